/* SPDX-License-Identifier: MIT */
#include "study/crew.h"

#include "study/checks.h"
#include "study/packages.h"

#include <math.h>

/* The peaks of the leg just driven, into the totals of the run. */
static void merge_peaks(mbl_run *run, const mbl_drive *d, int w, const mbl_leg *leg,
                        double *leg_peak)
{
    bool parked = mbl_leg_stands(leg);
    int lanes = d->block->lanes;
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        mbl_axle_result *a = &run->axle[axle];
        for (int i = 0; i < MBL_CORNER_NODES; i++) {
            int at = mbl_corner_index(axle, (mbl_corner_node)i) * lanes + w;
            mbl_peak p = {d->record.peak[at], d->record.peak_at[at], leg->lap, parked};
            leg_peak[mbl_corner_index(axle, (mbl_corner_node)i)] = p.T;
            mbl_peak *part = parked ? &a->parked[i] : &a->track[i];
            if (p.T > part->T)
                *part = p;
            if (p.T > a->peak[i].T)
                a->peak[i] = p;
        }
    }
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_span *g = &d->gradient[axle];
        if (g->peak[w] > run->gradient[axle].T)
            run->gradient[axle] = (mbl_peak){g->peak[w], g->at[w], leg->lap, parked};
    }
    for (int i = 0; i < run->nown; i++) {
        int node = (MBL_AXLES * MBL_CORNER_NODES + i) * lanes + w;
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

static void merge_passings(const mbl_watch watch[MBL_WATCHES], int w, const mbl_leg *leg,
                           double leg_start, mbl_passing passing[MBL_WATCHES])
{
    for (int i = 0; i < MBL_WATCHES; i++) {
        passing[i].above += watch[i].above[w];
        if (isnan(watch[i].first[w]))
            continue;
        if (mbl_leg_stands(leg)) {
            if (isnan(passing[i].parked))
                passing[i].parked = watch[i].first[w] - leg_start;
        } else if (passing[i].lap == 0) {
            passing[i].lap = leg->lap;
        }
    }
}

/* What the ducts bring at the highest speed, and what the hottest fluid boils off. */
static void add_duct_and_vapour(mbl_run *run, const mbl_drive *d, int w)
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
        double capacity = d->block->model[w]->node[mbl_corner_index(axle, MBL_FLUID)].scale;
        double mass = capacity / mbl_brake_fluid.specific_heat;
        a->vapour = mbl_vapour_volume(mass, a->peak[MBL_FLUID].T, boils, p);
    }
}

static void close_ledger(mbl_run *run, const mbl_drive *d, int w)
{
    const mbl_block *b = d->block;
    run->ledger.heat = b->heat[w];
    run->ledger.stored = mbl_block_stored(b, w);
    run->ledger.lost = 0;
    for (size_t p = 0; p < run->npaths; p++) {
        run->lost_by_path[p] = b->lost[p * (size_t)b->lanes + (size_t)w];
        run->ledger.lost += run->lost_by_path[p];
    }
    run->ledger.residual = mbl_block_residual(b, w);
    add_duct_and_vapour(run, d, w);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        int at = axle * b->lanes + w;
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
static mbl_status find_shortfalls(mbl_crew *crew, mbl_error *err)
{
    const mbl_drive *full = crew->drive;
    const mbl_case *setup[MBL_LANES_MOST];
    mbl_model *model[MBL_LANES_MOST];
    mbl_pedal_result *pedal[MBL_LANES_MOST];
    int n = 0;
    for (int w = 0; w < crew->n; w++) {
        mbl_run *run = crew->run[w];
        if (!mbl_drive_finite(full, w) || run->pedal.hardest.pressure <= run->pedal.reaches)
            continue;
        setup[n] = &run->setup;
        model[n] = full->block->model[w];
        pedal[n++] = &run->pedal;
    }
    if (n == 0)
        return MBL_OK;
    mbl_drive *d = NULL;
    MBL_TRY(mbl_drive_lanes(full->alloc, n, setup, model, full->route, NULL, 0, &d, err));
    for (int w = 0; w < n; w++)
        mbl_drive_cap(d, w, pedal[w]->reaches);
    mbl_status status = MBL_OK;
    for (size_t i = 0; i < d->route->plan.n && status == MBL_OK; i++) {
        mbl_leg_report r[MBL_LANES_MOST];
        status = mbl_drive_leg(d, &d->route->plan.leg[i], NULL, r, err);
        for (int w = 0; w < n && status == MBL_OK; w++) {
            if (r[w].shortfall > 0 && pedal[w]->shortfall_lap == 0)
                pedal[w]->shortfall_lap = d->route->plan.leg[i].lap;
            pedal[w]->shortfall += r[w].shortfall;
        }
    }
    mbl_drive_free(d);
    return status;
}

/* What is not heat: pedal, balance, mass, money. */
static void look_at_package(mbl_run *run)
{
    const mbl_life_result life[MBL_AXLES] = {run->axle[0].life, run->axle[1].life};
    mbl_package_pedal(run);
    mbl_package_balance(run);
    run->weights = mbl_weights_of(&run->setup.car);
    run->bill = mbl_bill_of(&run->setup.car, &run->setup.event, life);
}

static void note_leg(mbl_run *run, mbl_drive *d, int w, size_t i, const mbl_leg_report *report,
                     const mbl_watch watch[MBL_WATCHES], mbl_passing passing[MBL_WATCHES])
{
    mbl_leg_result *r = &run->legs[i];
    r->leg = d->route->plan.leg[i];
    r->report = *report;
    merge_peaks(run, d, w, &r->leg, r->peak);
    note_first_stop(run, r);
    merge_passings(watch, w, &r->leg, report->start, passing);
    run->ledger.energy += report->energy;
    run->duration += report->duration;
    if (i == d->route->plan.last_hot)
        run->hot_energy = report->energy;
}

mbl_status mbl_crew_prepare(mbl_run *run, const mbl_route *route, const mbl_model *model,
                            mbl_error *err)
{
    run->mode = route->road.mode;
    run->nlegs = route->plan.n;
    run->laps = route->plan.laps;
    run->nown = model->nnodes - MBL_AXLES * MBL_CORNER_NODES;
    run->npaths = (size_t)model->npaths;
    run->legs = mbl_new(run->alloc, run->nlegs, sizeof *run->legs);
    run->lost_by_path = mbl_new(run->alloc, run->npaths, sizeof *run->lost_by_path);
    if (run->legs == NULL || run->lost_by_path == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for the results of a run");
    return MBL_OK;
}

mbl_status mbl_crew_drive(mbl_crew *crew, mbl_drive *d, const mbl_watch watch[MBL_WATCHES],
                          mbl_reach_search *search, mbl_error *err)
{
    crew->drive = d;
    for (int w = 0; w < crew->n; w++) {
        for (int i = 0; i < MBL_WATCHES; i++)
            crew->passing[w][i] = (mbl_passing){.parked = NAN};
    }
    for (size_t i = 0; i < d->route->plan.n; i++) {
        mbl_leg_report report[MBL_LANES_MOST];
        MBL_TRY(mbl_drive_leg(d, &d->route->plan.leg[i], NULL, report, err));
        for (int w = 0; w < crew->n; w++)
            note_leg(crew->run[w], d, w, i, &report[w], watch, crew->passing[w]);
        if (search != NULL)
            mbl_reach_note(search, &crew->run[0]->setup, d, i, watch);
    }
    for (int w = 0; w < crew->n; w++)
        close_ledger(crew->run[w], d, w);
    return MBL_OK;
}

mbl_status mbl_crew_judge(mbl_crew *crew, mbl_error *err)
{
    for (int w = 0; w < crew->n; w++)
        look_at_package(crew->run[w]);
    MBL_TRY(find_shortfalls(crew, err));
    for (int w = 0; w < crew->n; w++)
        mbl_checks_judge_run(crew->run[w], crew->passing[w]);
    return MBL_OK;
}
