/* SPDX-License-Identifier: MIT */
#include "drive/drive.h"

#include <math.h>

static double mass_without_fuel(const mbl_car *c)
{
    return c->mass + c->load.passenger + c->load.luggage + c->load.ballast;
}

static mbl_vehicle vehicle_of(const mbl_car *c, double fuel, double air_density)
{
    return (mbl_vehicle){.mass = mass_without_fuel(c) + fuel,
                         .rotating = c->rotating,
                         .drag_area = c->aero.drag_area,
                         .rolling = c->rolling,
                         .engine_braking = c->engine_braking,
                         .air_density = air_density};
}

static size_t steps_of(const mbl_leg *leg, double step)
{
    switch (leg->kind) {
    case MBL_LEG_LAP:
        return mbl_channels_count(leg->end - leg->start, leg->pace, step);
    case MBL_LEG_STOP:
        return mbl_channels_count(leg->speed / MBL_PIT_DECELERATION, 1.0, step);
    case MBL_LEG_PARK:
        break;
    }
    return mbl_channels_park_count(leg->duration, step);
}

/* One block for the arrays of the channels and of the record. */
static mbl_status allocate_arrays(mbl_drive *d, mbl_error *err)
{
    size_t room = 0;
    for (size_t i = 0; i < d->plan.n; i++) {
        size_t n = steps_of(&d->plan.leg[i], d->step);
        room = n > room ? n : room;
    }
    size_t cells = (size_t)d->model->nnodes * (size_t)d->block->lanes;
    d->memory_size = 3 * (room + 1) + 2 * cells;
    d->memory = mbl_new(d->alloc, d->memory_size, sizeof *d->memory);
    if (d->memory == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a leg of %zu steps", room);
    d->channels = (mbl_channels){.room = room,
                                 .time = d->memory,
                                 .speed = d->memory + (room + 1),
                                 .power = d->memory + 2 * (room + 1)};
    d->record.peak = d->memory + 3 * (room + 1);
    d->record.peak_at = d->record.peak + cells;
    return MBL_OK;
}

static mbl_status compile(mbl_drive *d, mbl_film_store *films, mbl_error *err)
{
    const mbl_case *s = d->setup;
    double p = mbl_air_pressure(s->stint.altitude);
    mbl_network net;
    mbl_network_init(&net, d->alloc);
    mbl_status status = mbl_corner_build(&net, &s->car, s->stint.ambient, p, films, err);
    if (status == MBL_OK)
        status = mbl_model_make(&net, s->stint.ambient, &d->model, err);
    mbl_network_free(&net);
    if (status != MBL_OK)
        return status;
    MBL_TRY(mbl_block_make(d->alloc, &d->model, 1, &d->block, err));
    mbl_block_start(d->block, isnan(s->stint.start) ? s->stint.ambient : s->stint.start);
    double density = mbl_air_at(s->stint.ambient, p).density;
    const mbl_car *by = s->course.of.present ? &s->course.of : &s->car;
    d->driver = vehicle_of(by, by->fuel.start, density);
    double scatter = 0;
    MBL_TRY(mbl_trace_pressure_scale(d->alloc, d->trace, &d->driver, &d->pressure_scale, &scatter,
                                     err));
    d->fuel = s->car.fuel.start;
    d->car = vehicle_of(&s->car, d->fuel, density);
    MBL_TRY(mbl_plan_make(d->alloc, &s->stint, s->course.hot_lap, d->trace, &d->plan, err));
    return allocate_arrays(d, err);
}

mbl_status mbl_drive_make(const mbl_alloc *alloc, const mbl_case *setup, double step,
                          mbl_watch *watch, int nwatches, mbl_film_store *films, mbl_drive **out,
                          mbl_error *err)
{
    if (setup->course.trace == NULL)
        return mbl_fail(err, MBL_INTERNAL, "the course has no trace");
    mbl_drive *d = mbl_new(alloc, 1, sizeof *d);
    if (d == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory starting a stint");
    d->alloc = alloc;
    d->setup = setup;
    d->trace = setup->course.trace;
    d->step = step;
    d->plan.alloc = alloc;
    d->record.watch = watch;
    d->record.nwatches = nwatches;
    d->record.span = d->gradient;
    d->record.nspans = MBL_AXLES;
    for (int axle = 0; axle < MBL_AXLES; axle++)
        d->gradient[axle] = (mbl_span){.hot = mbl_corner_index(axle, MBL_FACE),
                                       .cold = mbl_corner_index(axle, MBL_CORE)};
    mbl_status status = compile(d, films, err);
    if (status != MBL_OK) {
        mbl_drive_free(d);
        return status;
    }
    *out = d;
    return MBL_OK;
}

void mbl_drive_free(mbl_drive *d)
{
    if (d == NULL)
        return;
    mbl_plan_free(&d->plan);
    mbl_block_free(d->block);
    mbl_model_drop(d->model);
    mbl_free(d->alloc, d->memory, d->memory_size, sizeof *d->memory);
    mbl_free(d->alloc, d, 1, sizeof *d);
}

/* The lap-boundary hook: all that changes between laps changes here. */
static void at_boundary(mbl_drive *d, const mbl_leg *leg)
{
    d->car.mass = mass_without_fuel(&d->setup->car) + d->fuel;
    switch (leg->kind) {
    case MBL_LEG_LAP:
        mbl_channels_lap(d->trace, leg->start, leg->end, leg->pace, &d->driver, d->pressure_scale,
                         &d->car, d->step, &d->channels);
        /* a logged stop is a stretch of the trace in which the car stands */
        if (leg->phase != MBL_PHASE_PARK)
            d->fuel = fmax(d->fuel - d->setup->car.fuel.per_lap, 0.0);
        break;
    case MBL_LEG_STOP:
        mbl_channels_stop(leg->speed, MBL_PIT_DECELERATION, &d->car, d->step, &d->channels);
        break;
    case MBL_LEG_PARK:
        mbl_channels_park(leg->duration, d->step, &d->channels);
        break;
    }
    d->record.offset = d->now;
    mbl_record_clear(d->block, &d->record, d->now);
}

static void report_row(const mbl_drive *d, const mbl_leg *leg, const mbl_history *history, size_t k)
{
    const mbl_channels *c = &d->channels;
    history->row(history->ctx, d->now + c->time[k], leg, c->speed[k], c->power[k],
                 d->block->pressure[0], d->block->T);
}

/* Runs steps [first, last), pausing for a row of history whenever one is due. */
static void run_steps(mbl_drive *d, const mbl_leg *leg, size_t first, size_t last,
                      mbl_history *history)
{
    const mbl_channels *c = &d->channels;
    mbl_inputs in = {.time = c->time, .speed = c->speed, .power = c->power};
    size_t done = first;
    for (size_t k = first; history != NULL && k < last; k++) {
        double t = d->now + c->time[k];
        if (t < history->next - 1e-9)
            continue;
        mbl_block_run(d->block, &in, done, k, &d->record);
        done = k;
        report_row(d, leg, history, k);
        history->next = (floor(t / history->every + 1e-6) + 1.0) * history->every;
    }
    mbl_block_run(d->block, &in, done, last, &d->record);
}

/* First step in which the brakes alone slow the car hard; n when there is none. */
static size_t first_hard_stop(const mbl_drive *d)
{
    const mbl_channels *c = &d->channels;
    for (size_t k = 0; k < c->n; k++) {
        double speed = 0.5 * (c->speed[k] + c->speed[k + 1]);
        if (speed > 1 && c->power[k] > MBL_HARD_STOP * d->car.mass * speed)
            return k;
    }
    return c->n;
}

mbl_status mbl_drive_leg(mbl_drive *d, const mbl_leg *leg, mbl_history *history,
                         mbl_leg_report *report, mbl_error *err)
{
    at_boundary(d, leg);
    const mbl_channels *c = &d->channels;
    size_t stop = first_hard_stop(d);
    run_steps(d, leg, 0, stop, history);
    mbl_leg_report r = {.start = d->now,
                        .duration = c->time[c->n],
                        .energy = c->energy,
                        .inferred = c->inferred,
                        .braking_time = c->braking_time};
    for (int axle = 0; axle < MBL_AXLES; axle++)
        r.first_stop[axle] =
            stop < c->n ? d->block->T[mbl_corner_index(axle, MBL_PAD_FACE)] : (double)NAN;
    run_steps(d, leg, stop, c->n, history);
    if (!mbl_block_finite(d->block))
        return mbl_fail(err, MBL_NUMERIC, "a temperature is no longer finite in lap %d", leg->lap);
    for (size_t k = 0; k <= c->n; k++)
        r.top_speed = fmax(r.top_speed, c->speed[k]);
    d->now += c->time[c->n];
    *report = r;
    return MBL_OK;
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
