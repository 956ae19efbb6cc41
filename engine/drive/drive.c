/* SPDX-License-Identifier: MIT */
#include "drive/drive.h"

#include "drive/history.h"

#include <math.h>

mbl_status mbl_drive_compile(const mbl_alloc *alloc, const mbl_case *setup, mbl_film_store *films,
                             mbl_model **out, mbl_error *err)
{
    double p = mbl_air_pressure(setup->stint.altitude);
    mbl_network net;
    mbl_network_init(&net, alloc);
    mbl_status status = mbl_corner_build(&net, &setup->car, setup->stint.ambient, p, films, err);
    if (status == MBL_OK)
        status = mbl_model_make(&net, setup->stint.ambient, out, err);
    mbl_network_free(&net);
    return status;
}

static mbl_status fill(mbl_drive *d, mbl_model *const model[], mbl_error *err)
{
    const mbl_stint *stint = &d->setup[0]->stint;
    if (d->route->road.mode == MBL_MODE_SCREENING)
        MBL_TRY(mbl_block_make_single(d->alloc, model, d->used, &d->block, err));
    else
        MBL_TRY(mbl_block_make(d->alloc, model, d->used, &d->block, err));
    for (int w = 0; w < d->used; w++) {
        stint = &d->setup[w]->stint;
        double T = isnan(stint->start) ? stint->ambient : stint->start;
        for (int i = 0; i < model[w]->nnodes; i++)
            mbl_block_set(d->block, w, i, T);
    }
    size_t cells = (size_t)d->model->nnodes * (size_t)d->block->lanes;
    d->memory_size = 2 * cells + (size_t)d->model->nnodes;
    d->memory = mbl_new(d->alloc, d->memory_size, sizeof *d->memory);
    if (d->memory == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory starting a stint");
    d->record.peak = d->memory;
    d->record.peak_at = d->memory + cells;
    d->crept = d->memory + 2 * cells;
    return MBL_OK;
}

mbl_status mbl_drive_lanes(const mbl_alloc *alloc, int used, const mbl_case *const setup[],
                           mbl_model *const model[], mbl_route *route, mbl_watch *watch,
                           int nwatches, mbl_drive **out, mbl_error *err)
{
    mbl_drive *d = mbl_new(alloc, 1, sizeof *d);
    if (d == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory starting a stint");
    d->alloc = alloc;
    d->used = used;
    for (int w = 0; w < used; w++)
        d->setup[w] = setup[w];
    d->route = mbl_route_keep(route);
    d->model = mbl_model_keep(model[0]);
    d->fuel = route->fuel;
    d->record.watch = watch;
    d->record.nwatches = nwatches;
    d->record.span = d->gradient;
    d->record.nspans = MBL_AXLES;
    d->record.hardest = &d->hardest;
    for (int axle = 0; axle < MBL_AXLES; axle++)
        d->gradient[axle] = (mbl_span){.hot = mbl_corner_index(axle, MBL_FACE),
                                       .cold = mbl_corner_index(axle, MBL_CORE)};
    mbl_status status = fill(d, model, err);
    if (status != MBL_OK) {
        mbl_drive_free(d);
        return status;
    }
    *out = d;
    return MBL_OK;
}

mbl_status mbl_drive_make(const mbl_alloc *alloc, const mbl_case *setup, double step,
                          mbl_watch *watch, int nwatches, mbl_film_store *films, mbl_drive **out,
                          mbl_error *err)
{
    mbl_road road;
    mbl_model *model = NULL;
    mbl_route *route = NULL;
    if (setup->course.trace == NULL)
        return mbl_fail(err, MBL_INTERNAL, "the course has no trace");
    mbl_status status = mbl_drive_compile(alloc, setup, films, &model, err);
    if (status == MBL_OK)
        status = mbl_road_of(alloc, setup, step, model, &road, err);
    if (status == MBL_OK)
        status = mbl_route_make(alloc, setup, &road, &route, err);
    if (status == MBL_OK)
        status = mbl_drive_lanes(alloc, 1, &setup, &model, route, watch, nwatches, out, err);
    mbl_route_drop(route);
    mbl_model_drop(model);
    return status;
}

void mbl_drive_free(mbl_drive *d)
{
    if (d == NULL)
        return;
    mbl_block_free(d->block);
    mbl_model_drop(d->model);
    mbl_route_drop(d->route);
    mbl_survey_free(d->survey);
    mbl_free(d->alloc, d->memory, d->memory_size, sizeof *d->memory);
    mbl_free(d->alloc, d, 1, sizeof *d);
}

void mbl_drive_onto(mbl_drive *d, mbl_route *route)
{
    mbl_route_keep(route);
    mbl_route_drop(d->route);
    mbl_survey_free(d->survey); /* it knows the old road */
    d->survey = NULL;
    d->route = route;
    d->at = 0;
}

static const mbl_pad *pad_of(const mbl_drive *d, int lane, int axle)
{
    return &mbl_car_brake(&d->setup[lane]->car, axle)->pad;
}

/* The steps of a leg: the route's where it has them, else surveyed for it. */
static mbl_status find_leg(mbl_drive *d, const mbl_leg *leg, mbl_route_leg *out, mbl_error *err)
{
    const mbl_route *r = d->route;
    double mass = r->road.car.mass + d->fuel;
    for (size_t i = 0; i < r->plan.n; i++) {
        size_t k = (d->at + i) % r->plan.n;
        if (r->leg[k].mass != mass || !mbl_leg_same(leg, &r->leg[k].leg))
            continue;
        *out = r->leg[k];
        out->leg = *leg;
        d->at = k + 1 < r->plan.n ? k + 1 : 0;
        return MBL_OK;
    }
    if (d->survey == NULL)
        MBL_TRY(mbl_survey_make(d->alloc, &r->road, &d->survey, err));
    return mbl_survey_leg(d->survey, leg, mass, out, err);
}

/* The lap-boundary hook: all that changes between laps changes here. */
static void at_boundary(mbl_drive *d, const mbl_leg *leg)
{
    for (int w = 0; w < d->used; w++) {
        for (int axle = 0; axle < MBL_AXLES; axle++)
            mbl_corner_wear(d->block, w, axle, pad_of(d, w, axle));
    }
    d->fuel = mbl_route_burn(d->fuel, d->route->fuel_per_lap, leg);
    d->record.offset = d->now;
    mbl_record_clear(d->block, &d->record, d->now);
}

/* Runs steps [first, last) of a leg from `time`; returns the time after them. */
static double run_steps(mbl_drive *d, const mbl_route_leg *leg, size_t first, size_t last,
                        double time, mbl_history *history)
{
    if (history != NULL)
        return mbl_history_run(d, leg, first, last, time, history);
    if (leg->stride == NULL) {
        mbl_inputs in = {.time = leg->time, .speed = leg->speed, .power = leg->power};
        mbl_block_run(d->block, &in, first, last, &d->record);
        return leg->time[last];
    }
    mbl_block_stride(d->block, leg->stride, first, last, time, &d->record);
    for (size_t k = first; k < last; k++)
        time += leg->stride[k].dt;
    return time;
}

/* What of the leg just driven is read off a lane. */
static void report_lane(const mbl_drive *d, int w, double shortfall, mbl_leg_report *r)
{
    const mbl_hardest *h = &d->hardest;
    r->shortfall = d->block->shortfall[w] - shortfall;
    r->hardest = (mbl_application){
        .pressure = h->pressure[w], .at = h->at[w], .speed = h->speed[w], .force = h->force[w]};
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        r->hardest.mu[axle] = h->mu[axle][w];
        r->pad_left[axle] = mbl_corner_pad_left(d->block, w, axle, pad_of(d, w, axle));
    }
}

bool mbl_drive_finite(const mbl_drive *d, int lane)
{
    for (int i = 0; i < d->model->nnodes; i++) {
        if (!isfinite(d->block->T[i * d->block->lanes + lane]))
            return false;
    }
    return true;
}

mbl_status mbl_drive_leg(mbl_drive *d, const mbl_leg *leg, mbl_history *history,
                         mbl_leg_report *report, mbl_error *err)
{
    mbl_route_leg r;
    double shortfall[MBL_LANES_MOST];
    MBL_TRY(find_leg(d, leg, &r, err));
    at_boundary(d, leg);
    for (int w = 0; w < d->used; w++)
        shortfall[w] = d->block->shortfall[w];
    double time = run_steps(d, &r, 0, r.hard, 0, history);
    for (int w = 0; w < d->used; w++) {
        report[w] = (mbl_leg_report){.start = d->now,
                                     .duration = r.duration,
                                     .energy = r.energy,
                                     .inferred = r.inferred,
                                     .braking_time = r.braking_time,
                                     .top_speed = r.top_speed,
                                     .mass = r.mass,
                                     .hardest_deceleration = r.hardest_deceleration};
        for (int axle = 0; axle < MBL_AXLES; axle++) {
            int at = mbl_corner_index(axle, MBL_PAD_FACE) * d->block->lanes + w;
            report[w].first_stop[axle] = r.hard < r.n ? d->block->T[at] : (double)NAN;
        }
    }
    run_steps(d, &r, r.hard, r.n, time, history);
    if (d->used == 1 && !mbl_drive_finite(d, 0))
        return mbl_fail(err, MBL_NUMERIC, "a temperature is no longer finite in lap %d", leg->lap);
    for (int w = 0; w < d->used; w++)
        report_lane(d, w, shortfall[w], &report[w]);
    d->now += r.duration;
    return MBL_OK;
}

void mbl_drive_cap(mbl_drive *d, int lane, double pressure)
{
    d->block->cap[lane] = pressure;
}

size_t mbl_drive_state_size(const mbl_drive *d)
{
    return mbl_block_state_size(d->block) + 2;
}

void mbl_drive_save(const mbl_drive *d, double *state)
{
    state[0] = d->now;
    state[1] = d->fuel;
    mbl_block_save(d->block, 0, state + 2);
}

void mbl_drive_load(mbl_drive *d, const double *state)
{
    d->now = state[0];
    d->fuel = state[1];
    mbl_block_load(d->block, 0, state + 2);
}
