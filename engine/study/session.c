/* SPDX-License-Identifier: MIT */
#include "study/session.h"

#include "study/packages.h"

#include <math.h>

/* A drive of its own along the legs of the run, with the state after its last hot lap kept. */
typedef struct rehearsal {
    const mbl_run *run;
    mbl_drive *drive;
    mbl_watch watch[MBL_WATCHES];
    double *after_hot; /* state */
    size_t size;
    bool passed; /* a limit was passed up to the last hot lap */
} rehearsal;

static bool over(const rehearsal *r)
{
    mbl_check_kind kind;
    int axle;
    return mbl_checks_passed(&r->run->setup, r->watch, &kind, &axle);
}

static mbl_status drive_leg(rehearsal *r, const mbl_leg *leg, mbl_error *err)
{
    mbl_leg_report report;
    return mbl_drive_leg(r->drive, leg, NULL, &report, err);
}

/* Everything up to the last hot lap. */
static mbl_status to_last_hot(rehearsal *r, mbl_error *err)
{
    const mbl_plan *plan = &r->drive->route->plan;
    for (size_t i = 0; i <= plan->last_hot; i++) {
        MBL_TRY(drive_leg(r, &plan->leg[i], err));
        r->passed = r->passed || over(r);
    }
    r->size = mbl_drive_state_size(r->drive);
    r->after_hot = mbl_new(r->run->alloc, r->size, sizeof *r->after_hot);
    if (r->after_hot == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory planning a session");
    mbl_drive_save(r->drive, r->after_hot);
    return MBL_OK;
}

static double park_time(const mbl_run *run)
{
    for (size_t i = run->nlegs; i > 0; i--) {
        if (run->legs[i - 1].leg.kind == MBL_LEG_PARK)
            return run->legs[i - 1].leg.duration;
    }
    return MBL_PARK_TRIED;
}

/* Stops and parks; the hottest fluid of the stand goes to `fluid`. */
static mbl_status park(rehearsal *r, mbl_peak fluid[MBL_AXLES], bool *passed, mbl_error *err)
{
    const mbl_leg *hot = &r->drive->route->plan.leg[r->drive->route->plan.last_hot];
    mbl_leg stop = {.kind = MBL_LEG_STOP,
                    .phase = MBL_PHASE_PARK,
                    .lap = hot->lap,
                    .pace = 1,
                    .speed = r->run->setup.stint.pit_speed};
    mbl_leg stand = stop;
    stand.kind = MBL_LEG_PARK;
    stand.speed = 0;
    stand.duration = park_time(r->run);
    if (stop.speed > 0)
        MBL_TRY(drive_leg(r, &stop, err));
    bool stopped = stop.speed > 0 && over(r);
    MBL_TRY(drive_leg(r, &stand, err));
    *passed = stopped || over(r);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        int node = mbl_corner_index(axle, MBL_FLUID);
        fluid[axle] =
            (mbl_peak){r->drive->record.peak[node], r->drive->record.peak_at[node], hot->lap, true};
    }
    return MBL_OK;
}

/* Parked straight after the last hot lap, then after 1, 2 ... cool-down laps, until it holds. */
static mbl_status find_cool(rehearsal *r, mbl_session_plan *out, mbl_error *err)
{
    const mbl_plan *plan = &r->drive->route->plan;
    mbl_leg cool = plan->leg[plan->last_hot];
    cool.phase = MBL_PHASE_COOL;
    cool.start = plan->repeated.start;
    cool.end = plan->repeated.end;
    cool.pace = r->run->setup.stint.pace.cool;
    /* a limit that the hot laps passed no cool-down mends: then only skipping it is looked at */
    int most = r->passed ? 0 : MBL_COOL_LAPS_CAP;
    for (int laps = 0; laps <= most; laps++) {
        mbl_peak fluid[MBL_AXLES];
        bool passed = false;
        bool parked = false;
        mbl_drive_load(r->drive, r->after_hot);
        for (int i = 0; i < laps; i++) {
            MBL_TRY(drive_leg(r, &cool, err));
            passed = passed || over(r);
        }
        MBL_TRY(park(r, fluid, &parked, err));
        for (int axle = 0; laps == 0 && axle < MBL_AXLES; axle++)
            out->skip_fluid[axle] = fluid[axle];
        if (passed || parked || r->passed)
            continue;
        out->cool = laps;
        out->cool_known = true;
        break;
    }
    double wet;
    double now;
    mbl_checks_boiling(&r->run->setup, &wet, &now);
    double point = mbl_checks_judge(&r->run->setup) == MBL_WATCH_WET ? wet : now;
    out->skip_margin = point - fmax(out->skip_fluid[0].T, out->skip_fluid[1].T);
    return MBL_OK;
}

/* Does the same stint, begun `gap` seconds after the last one stopped, pass no limit? The drive
 * stands where the car does, in the pits. */
static mbl_status holds_after(rehearsal *r, const double *stopped, double gap, bool *holds,
                              mbl_error *err)
{
    const mbl_plan *plan = &r->drive->route->plan;
    mbl_drive_load(r->drive, stopped);
    r->drive->fuel = r->run->setup.car.fuel.start; /* filled up again */
    /* in pieces: a drive has room for the steps of its own legs */
    mbl_leg stand = {
        .kind = MBL_LEG_PARK, .phase = MBL_PHASE_PARK, .pace = 1, .duration = MBL_GAP_STEP};
    for (double stood = 0; stood < gap; stood += MBL_GAP_STEP)
        MBL_TRY(drive_leg(r, &stand, err));
    *holds = true;
    for (size_t i = 0; i < plan->n && *holds; i++) {
        MBL_TRY(drive_leg(r, &plan->leg[i], err));
        *holds = !over(r);
    }
    return MBL_OK;
}

/* The shortest stand between two such stints, by bisection: a longer one never leaves it hotter. */
static mbl_status shortest_gap(rehearsal *r, const double *stopped, double *gap, mbl_error *err)
{
    bool holds = false;
    int fails = -1; /* in steps; -1: not even tried */
    int high = (int)(MBL_GAP_CAP / MBL_GAP_STEP);
    *gap = NAN;
    MBL_TRY(holds_after(r, stopped, MBL_GAP_CAP, &holds, err));
    if (!holds)
        return MBL_OK;
    while (high - fails > 1) {
        int middle = fails + (high - fails) / 2;
        MBL_TRY(holds_after(r, stopped, middle * MBL_GAP_STEP, &holds, err));
        if (holds)
            high = middle;
        else
            fails = middle;
    }
    *gap = high * MBL_GAP_STEP;
    return MBL_OK;
}

/* Legs that drive: what the car does before its last stand. */
static mbl_status find_gap(rehearsal *r, mbl_session_plan *out, mbl_error *err)
{
    const mbl_plan *plan = &r->drive->route->plan;
    size_t end = plan->n;
    while (end > 0 && plan->leg[end - 1].kind == MBL_LEG_PARK)
        end--;
    mbl_drive_load(r->drive, r->after_hot);
    for (size_t i = plan->last_hot + 1; i < end; i++)
        MBL_TRY(drive_leg(r, &plan->leg[i], err));
    double *stopped = mbl_new(r->run->alloc, r->size, sizeof *stopped);
    if (stopped == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory planning a session");
    mbl_drive_save(r->drive, stopped);
    mbl_status status = r->passed ? MBL_OK : shortest_gap(r, stopped, &out->gap, err);
    mbl_free(r->run->alloc, stopped, r->size, sizeof *stopped);
    return status;
}

/* Pads at their end, where they are not past it. */
static void wear_out(mbl_pad *pad)
{
    pad->thickness_now = fmin(mbl_pad_thickness(pad), fmax(mbl_pad_worn_at(pad), MBL_PAD_LEAST));
}

static void skip_cool(mbl_stint *stint)
{
    stint->cool = 0;
    size_t n = 0;
    for (size_t i = 0; i < stint->phases.n; i++) {
        if (stint->phases.v[i].kind != MBL_PHASE_COOL)
            stint->phases.v[n++] = stint->phases.v[i];
    }
    stint->phases.n = n;
}

/* Hot day, worn pads, no cool-down. Pads that are worn are no news here: their check is left out.
 */
static mbl_status find_worst(const mbl_run *run, mbl_session_plan *out, mbl_error *err)
{
    mbl_case setup = run->setup;
    mbl_run *worst = NULL;
    setup.base.present = false;
    setup.stint.ambient += MBL_HOT_DAY;
    wear_out(&setup.car.front.pad);
    wear_out(&setup.car.rear.pad);
    skip_cool(&setup.stint);
    MBL_TRY(mbl_run_quick(run->alloc, &setup, run->step, NULL, &worst, err));
    out->worst = MBL_HOLDS;
    bool found = false;
    for (int i = 0; i < worst->nchecks && !found; i++) {
        if (worst->checks[i].kind == MBL_CHECK_WORN)
            continue;
        out->worst = worst->checks[i].verdict;
        out->worst_check = worst->checks[i];
        found = true;
    }
    mbl_run_free(worst);
    return MBL_OK;
}

static mbl_status rehearse(rehearsal *r, mbl_session_plan *out, mbl_error *err)
{
    MBL_TRY(to_last_hot(r, err));
    MBL_TRY(find_cool(r, out, err));
    MBL_TRY(find_gap(r, out, err));
    return find_worst(r->run, out, err);
}

mbl_status mbl_session_find(const mbl_run *run, mbl_session_plan *out, mbl_error *err)
{
    *out = (mbl_session_plan){.gap = NAN};
    rehearsal r = {.run = run};
    mbl_checks_watch(&run->setup, 0, r.watch);
    MBL_TRY(mbl_drive_make(run->alloc, &run->setup, run->step, r.watch, MBL_WATCHES, NULL, &r.drive,
                           err));
    mbl_status status = MBL_OK;
    if (r.drive->route->plan.last_hot < r.drive->route->plan.n) {
        out->known = true;
        status = rehearse(&r, out, err);
    }
    mbl_free(run->alloc, r.after_hot, r.size, sizeof *r.after_hot);
    mbl_drive_free(r.drive);
    return status;
}
