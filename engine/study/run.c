/* SPDX-License-Identifier: MIT */
#include "study/run.h"

#include "study/checks.h"
#include "study/compare.h"
#include "study/packages.h"
#include "study/reach.h"
#include "study/session.h"

#include <math.h>

/* The peaks of the leg just driven, into the totals of the run. */
static void merge_peaks(mbl_run *run, const mbl_drive *d, const mbl_leg *leg, double *leg_peak)
{
    bool parked = mbl_leg_stands(leg);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        mbl_axle_result *a = &run->axle[axle];
        for (int i = 0; i < MBL_CORNER_NODES; i++) {
            int node = mbl_corner_index(axle, (mbl_corner_node)i);
            mbl_peak p = {d->record.peak[node], d->record.peak_at[node], leg->lap, parked};
            leg_peak[node] = p.T;
            mbl_peak *part = parked ? &a->parked[i] : &a->track[i];
            if (p.T > part->T)
                *part = p;
            if (p.T > a->peak[i].T)
                a->peak[i] = p;
        }
    }
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_span *g = &d->gradient[axle];
        if (g->peak[0] > run->gradient[axle].T)
            run->gradient[axle] = (mbl_peak){g->peak[0], g->at[0], leg->lap, parked};
    }
    for (int i = 0; i < run->nown; i++) {
        int node = MBL_AXLES * MBL_CORNER_NODES + i;
        if (d->record.peak[node] > run->own[i].T)
            run->own[i] =
                (mbl_peak){d->record.peak[node], d->record.peak_at[node], leg->lap, parked};
    }
}

/* The first hard stop of the first hot lap: are the pads warm enough to push? */
static void note_first_stop(mbl_run *run, const mbl_leg_result *r)
{
    if (r->leg.kind != MBL_LEG_LAP || r->leg.phase != MBL_PHASE_HOT || run->first_stop[0].lap > 0)
        return;
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        if (isnan(r->report.first_stop[axle]))
            return;
        run->first_stop[axle] =
            (mbl_peak){r->report.first_stop[axle], r->report.start, r->leg.lap, false};
    }
}

static void merge_passings(const mbl_watch watch[MBL_WATCHES], const mbl_leg *leg, double leg_start,
                           mbl_passing passing[MBL_WATCHES])
{
    for (int i = 0; i < MBL_WATCHES; i++) {
        passing[i].above += watch[i].above[0];
        if (isnan(watch[i].first[0]))
            continue;
        if (mbl_leg_stands(leg)) {
            if (isnan(passing[i].parked))
                passing[i].parked = watch[i].first[0] - leg_start;
        } else if (passing[i].lap == 0) {
            passing[i].lap = leg->lap;
        }
    }
}

/* What the ducts bring at the highest speed, and what the hottest fluid boils off. */
static void add_duct_and_vapour(mbl_run *run, const mbl_drive *d)
{
    const mbl_case *setup = &run->setup;
    double p = mbl_air_pressure(setup->stint.altitude);
    mbl_air air = mbl_air_at(setup->stint.ambient, p);
    double top = 0;
    for (size_t i = 0; i < run->nlegs; i++)
        top = fmax(top, run->legs[i].report.top_speed);
    double boils = mbl_boiling_point(&setup->car.fluid, mbl_fluid_water(&setup->car.fluid), p);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        mbl_axle_result *a = &run->axle[axle];
        const mbl_duct *duct = &mbl_car_brake(&setup->car, axle)->duct;
        a->duct_flow = duct->present ? mbl_duct_flow(duct, top, &air) : 0;
        double capacity = d->model->node[mbl_corner_index(axle, MBL_FLUID)].scale;
        double mass = capacity / mbl_brake_fluid.specific_heat;
        a->vapour = mbl_vapour_volume(mass, a->peak[MBL_FLUID].T, boils, p);
    }
}

static void close_ledger(mbl_run *run, const mbl_drive *d)
{
    const mbl_block *b = d->block;
    run->ledger.heat = b->heat[0];
    run->ledger.stored = mbl_block_stored(b, 0);
    run->ledger.lost = 0;
    for (size_t p = 0; p < run->npaths; p++) {
        run->lost_by_path[p] = b->lost[p];
        run->ledger.lost += b->lost[p];
    }
    run->ledger.residual = mbl_block_residual(b, 0);
    add_duct_and_vapour(run, d);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        int at = axle * b->lanes;
        run->axle[axle].work = b->work[at];
        run->axle[axle].worn = b->worn[at];
        /* an application that is still under way counts, too */
        mbl_package_life(run, axle, run->gradient[axle].T,
                         b->cycles[at] + (b->strain[at] > MBL_SKIN_FLOWS ? 1 : 0),
                         b->crack[at] + mbl_crack_weight(b->strain[at]));
    }
}

/*
 * The same stint with the line pressure stopped where effort or strokes stop it: how much braking
 * is left undone. Checks look at the full demand, so that brakes that fade never look cool.
 */
static mbl_status find_shortfall(mbl_run *run, mbl_film_store *films, mbl_error *err)
{
    mbl_pedal_result *pedal = &run->pedal;
    if (pedal->hardest.pressure <= pedal->reaches)
        return MBL_OK;
    mbl_drive *d = NULL;
    MBL_TRY(mbl_drive_make(run->alloc, &run->setup, run->step, NULL, 0, films, &d, err));
    mbl_drive_cap(d, pedal->reaches);
    mbl_status status = MBL_OK;
    for (size_t i = 0; i < run->nlegs && status == MBL_OK; i++) {
        mbl_leg_report r;
        status = mbl_drive_leg(d, &d->plan.leg[i], NULL, &r, err);
        if (status == MBL_OK && r.shortfall > 0 && pedal->shortfall_lap == 0)
            pedal->shortfall_lap = d->plan.leg[i].lap;
        if (status == MBL_OK)
            pedal->shortfall += r.shortfall;
    }
    mbl_drive_free(d);
    return status;
}

/* What is not heat: pedal, balance, mass, money. */
static mbl_status look_at_package(mbl_run *run, mbl_film_store *films, mbl_error *err)
{
    const mbl_life_result life[MBL_AXLES] = {run->axle[0].life, run->axle[1].life};
    mbl_package_pedal(run);
    mbl_package_balance(run);
    run->weights = mbl_weights_of(&run->setup.car);
    run->bill = mbl_bill_of(&run->setup.car, &run->setup.event, life);
    return find_shortfall(run, films, err);
}

static mbl_status drive_all(mbl_run *run, mbl_watch watch[MBL_WATCHES], mbl_reach_search *search,
                            mbl_passing passing[MBL_WATCHES], mbl_error *err)
{
    mbl_drive *d = run->drive;
    for (size_t i = 0; i < run->nlegs; i++) {
        mbl_leg_result *r = &run->legs[i];
        r->leg = d->plan.leg[i];
        MBL_TRY(mbl_drive_leg(d, &r->leg, NULL, &r->report, err));
        merge_peaks(run, d, &r->leg, r->peak);
        note_first_stop(run, r);
        merge_passings(watch, &r->leg, r->report.start, passing);
        mbl_reach_note(search, &run->setup, d, i, watch);
        run->ledger.energy += r->report.energy;
        run->duration += r->report.duration;
        if (i == d->plan.last_hot)
            run->hot_energy = r->report.energy;
    }
    close_ledger(run, d);
    return MBL_OK;
}

static mbl_status run_and_judge(mbl_run *run, mbl_watch watch[MBL_WATCHES], bool beyond,
                                mbl_film_store *films, mbl_error *err)
{
    mbl_passing passing[MBL_WATCHES];
    for (int i = 0; i < MBL_WATCHES; i++)
        passing[i] = (mbl_passing){.parked = NAN};
    mbl_reach_search search;
    MBL_TRY(mbl_reach_begin(&search, run->drive, err));
    mbl_status status = drive_all(run, watch, &search, passing, err);
    if (status == MBL_OK)
        status = look_at_package(run, films, err);
    if (status == MBL_OK)
        mbl_checks_judge_run(run, passing);
    if (status == MBL_OK && beyond)
        status = mbl_reach_find(&search, &run->setup, run->drive, watch, &run->reach, err);
    mbl_reach_end(&search);
    return status;
}

static mbl_status prepare(mbl_run *run, double step, mbl_watch watch[MBL_WATCHES],
                          mbl_film_store *films, mbl_error *err)
{
    mbl_checks_watch(&run->setup, watch);
    MBL_TRY(
        mbl_drive_make(run->alloc, &run->setup, step, watch, MBL_WATCHES, films, &run->drive, err));
    run->nlegs = run->drive->plan.n;
    run->laps = run->drive->plan.laps;
    run->nown = run->drive->model->nnodes - MBL_AXLES * MBL_CORNER_NODES;
    run->npaths = (size_t)run->drive->model->npaths;
    run->path = run->drive->model->path;
    run->legs = mbl_new(run->alloc, run->nlegs, sizeof *run->legs);
    run->lost_by_path = mbl_new(run->alloc, run->npaths, sizeof *run->lost_by_path);
    if (run->legs == NULL || run->lost_by_path == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for the results of a run");
    return MBL_OK;
}

static mbl_status make(const mbl_alloc *alloc, const mbl_case *setup, mbl_node *tree, double step,
                       bool beyond, mbl_film_store *films, mbl_run **out, mbl_error *err)
{
    mbl_run *run = mbl_new(alloc, 1, sizeof *run);
    if (run == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a run");
    run->alloc = alloc;
    run->setup = *setup;
    run->step = step;
    run->tree = tree != NULL ? mbl_node_keep(tree) : NULL;
    run->trace = mbl_trace_keep(setup->course.trace);
    mbl_watch watch[MBL_WATCHES];
    mbl_status status = prepare(run, run->step, watch, films, err);
    if (status == MBL_OK)
        status = run_and_judge(run, watch, beyond, films, err);
    if (status != MBL_OK) {
        mbl_run_free(run);
        return status;
    }
    /* the watches end with this call */
    run->drive->record.watch = NULL;
    run->drive->record.nwatches = 0;
    *out = run;
    return MBL_OK;
}

/* The car before the change, on the same stint. */
static mbl_status run_base(mbl_run *run, mbl_film_store *films, mbl_error *err)
{
    mbl_case before = run->setup;
    if (!before.base.present)
        return MBL_OK;
    before.car = before.base;
    before.base.present = false;
    mbl_status status = make(run->alloc, &before, NULL, run->step, true, films, &run->base, err);
    if (status != MBL_OK)
        mbl_error_under(err, "base");
    return status;
}

mbl_status mbl_run_make(const mbl_alloc *alloc, const mbl_case *setup, mbl_node *tree, double step,
                        mbl_run **out, mbl_error *err)
{
    mbl_run *run = NULL;
    mbl_film_store films;
    mbl_film_store_init(&films, alloc);
    mbl_status status = make(alloc, setup, tree, step, true, &films, &run, err);
    if (status == MBL_OK)
        status = run_base(run, &films, err);
    mbl_film_store_free(&films);
    if (status != MBL_OK) {
        mbl_run_free(run);
        return status;
    }
    *out = run;
    return MBL_OK;
}

mbl_status mbl_run_quick(const mbl_alloc *alloc, const mbl_case *setup, double step,
                         mbl_film_store *films, mbl_run **out, mbl_error *err)
{
    return make(alloc, setup, NULL, step, false, films, out, err);
}

const mbl_check *mbl_run_check_of(const mbl_run *run, mbl_check_kind kind, int axle)
{
    for (int i = 0; i < run->nchecks; i++) {
        if (run->checks[i].kind == kind && run->checks[i].axle == axle)
            return &run->checks[i];
    }
    return NULL;
}

mbl_status mbl_run_plan(mbl_run *run, mbl_error *err)
{
    if (run->plan != NULL)
        return MBL_OK;
    mbl_session_plan *plan = mbl_new(run->alloc, 1, sizeof *plan);
    if (plan == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory planning a session");
    mbl_status status = mbl_session_find(run, plan, err);
    if (status == MBL_OK)
        run->plan = plan;
    else
        mbl_free(run->alloc, plan, 1, sizeof *plan);
    return status;
}

void mbl_run_free(mbl_run *run)
{
    if (run == NULL)
        return;
    mbl_run_free(run->base);
    mbl_free(run->alloc, run->plan, 1, sizeof *run->plan);
    mbl_drive_free(run->drive);
    mbl_free(run->alloc, run->legs, run->nlegs, sizeof *run->legs);
    mbl_free(run->alloc, run->lost_by_path, run->npaths, sizeof *run->lost_by_path);
    mbl_trace_drop(run->trace);
    mbl_node_drop(run->tree);
    mbl_free(run->alloc, run, 1, sizeof *run);
}

double mbl_run_bleed_months(const mbl_run *run)
{
    const mbl_fluid *f = &run->setup.car.fluid;
    if (mbl_fluid_keeps_water_apart(f) || f->uptake <= 0)
        return NAN;
    double p = mbl_air_pressure(run->setup.stint.altitude);
    double hottest = fmax(run->axle[0].peak[MBL_FLUID].T, run->axle[1].peak[MBL_FLUID].T);
    double needed = hottest + run->setup.limits.fluid_band;
    double low = mbl_fluid_water(f);
    double high = 0.08; /* more than fluids in service hold */
    if (mbl_boiling_point(f, low, p) <= needed)
        return 0;
    if (mbl_boiling_point(f, high, p) > needed)
        return INFINITY;
    double now = low;
    for (int i = 0; i < 60; i++) {
        double mid = 0.5 * (low + high);
        if (mbl_boiling_point(f, mid, p) > needed)
            low = mid;
        else
            high = mid;
    }
    return (low - now) / f->uptake;
}

mbl_status mbl_run_check(const mbl_alloc *alloc, const mbl_case *setup, mbl_error *err)
{
    mbl_drive *drive = NULL;
    MBL_TRY(mbl_drive_make(alloc, setup, 0, NULL, 0, NULL, &drive, err));
    mbl_drive_free(drive);
    if (!setup->base.present)
        return MBL_OK;
    mbl_case before = *setup;
    before.car = before.base;
    before.base.present = false;
    mbl_status status = mbl_run_check(alloc, &before, err);
    if (status != MBL_OK)
        mbl_error_under(err, "base");
    return status;
}

mbl_status mbl_run_replay(const mbl_run *run, mbl_history *history, mbl_error *err)
{
    mbl_drive *drive = NULL;
    MBL_TRY(mbl_drive_make(run->alloc, &run->setup, run->step, NULL, 0, NULL, &drive, err));
    mbl_status status = MBL_OK;
    for (size_t i = 0; i < run->nlegs && status == MBL_OK; i++) {
        mbl_leg_report report;
        status = mbl_drive_leg(drive, &drive->plan.leg[i], history, &report, err);
    }
    mbl_drive_free(drive);
    return status;
}
