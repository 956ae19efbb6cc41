/* SPDX-License-Identifier: MIT */
#include "study/run.h"

#include "study/checks.h"
#include "study/compare.h"
#include "study/crew.h"
#include "study/reach.h"
#include "study/session.h"

#include <math.h>

static mbl_status run_and_judge(mbl_run *run, mbl_watch watch[MBL_WATCHES], bool beyond,
                                mbl_error *err)
{
    mbl_reach_search search;
    mbl_crew crew = {.n = 1, .run = {run}};
    MBL_TRY(mbl_reach_begin(&search, run->drive, err));
    mbl_status status = mbl_crew_drive(&crew, run->drive, watch, &search, err);
    if (status == MBL_OK)
        status = mbl_crew_judge(&crew, err);
    if (status == MBL_OK && beyond)
        status = mbl_reach_find(&search, &run->setup, run->drive, watch, &run->reach, err);
    mbl_reach_end(&search);
    return status;
}

static mbl_status prepare(mbl_run *run, double step, mbl_watch watch[MBL_WATCHES],
                          mbl_film_store *films, mbl_error *err)
{
    mbl_checks_watch(&run->setup, 0, watch);
    MBL_TRY(
        mbl_drive_make(run->alloc, &run->setup, step, watch, MBL_WATCHES, films, &run->drive, err));
    MBL_TRY(mbl_crew_prepare(run, run->drive->route, run->drive->model, err));
    run->path = run->drive->model->path;
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
    mbl_watch watch[MBL_WATCHES] = {0};
    mbl_status status = prepare(run, run->step, watch, films, err);
    if (status == MBL_OK)
        status = run_and_judge(run, watch, beyond, err);
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
        status = mbl_drive_leg(drive, &drive->route->plan.leg[i], history, &report, err);
    }
    mbl_drive_free(drive);
    return status;
}
