/* SPDX-License-Identifier: MIT */
#include "drive/drive.h"

#include <math.h>

static mbl_vehicle vehicle_of(const mbl_car *c, double fuel, double air_density)
{
    return (mbl_vehicle){.mass = mbl_car_mass(c, fuel),
                         .rotating = c->rotating,
                         .drag_area = c->aero.drag_area,
                         .rolling = c->rolling,
                         .engine_braking = c->engine_braking,
                         .air_density = air_density};
}

static size_t steps_of(const mbl_leg *leg, double step, double most)
{
    switch (leg->kind) {
    case MBL_LEG_LAP:
        return mbl_channels_count(leg->end - leg->start, leg->pace, step);
    case MBL_LEG_STOP:
        return mbl_channels_count(leg->speed / MBL_PIT_DECELERATION, 1.0, step);
    case MBL_LEG_PARK:
        break;
    }
    return mbl_channels_park_count(leg->duration, step, most);
}

/* Longest step while parked, s: nothing is quick there, and the fixed-grid kernel is L-stable. */
static double park_step(const mbl_drive *d)
{
    return d->strides && d->mode == MBL_MODE_DEFAULT ? 2.5 : MBL_PARK_STEP;
}

/* One block for the arrays of the channels and of the record. */
static mbl_status allocate_arrays(mbl_drive *d, mbl_error *err)
{
    size_t room = 0;
    for (size_t i = 0; i < d->plan.n; i++) {
        size_t n = steps_of(&d->plan.leg[i], d->step, park_step(d));
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
    d->stride = mbl_new(d->alloc, room, sizeof *d->stride);
    if (d->stride == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a leg of %zu steps", room);
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
    if (d->step <= 0) {
        d->mode = (mbl_mode)s->mode;
        d->strides = d->mode != MBL_MODE_REFERENCE && mbl_model_macro(d->model) > 0;
        d->step = MBL_TIMELINE_SAMPLE;
    }
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
    d->record.hardest = &d->hardest;
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
    mbl_free(d->alloc, d->stride, d->channels.room, sizeof *d->stride);
    mbl_free(d->alloc, d->memory, d->memory_size, sizeof *d->memory);
    mbl_free(d->alloc, d, 1, sizeof *d);
}

static const mbl_pad *pad_of(const mbl_drive *d, int axle)
{
    return &mbl_car_brake(&d->setup->car, axle)->pad;
}

/* Is this the leg the channels and strides were last made for, driven by a car as heavy? */
static bool planned_before(const mbl_drive *d, const mbl_leg *leg)
{
    const mbl_leg *p = &d->planned;
    return d->planned_mass == d->car.mass && leg->kind == p->kind && leg->start == p->start &&
           leg->end == p->end && leg->pace == p->pace && leg->speed == p->speed &&
           leg->duration == p->duration;
}

static void plan_leg(mbl_drive *d, const mbl_leg *leg)
{
    if (planned_before(d, leg))
        return;
    switch (leg->kind) {
    case MBL_LEG_LAP:
        mbl_channels_lap(d->trace, leg->start, leg->end, leg->pace, &d->driver, d->pressure_scale,
                         &d->car, d->step, &d->channels);
        break;
    case MBL_LEG_STOP:
        mbl_channels_stop(leg->speed, MBL_PIT_DECELERATION, &d->car, d->step, &d->channels);
        break;
    case MBL_LEG_PARK:
        mbl_channels_park(leg->duration, d->step, park_step(d), &d->channels);
        break;
    }
    d->planned = *leg;
    d->planned_mass = d->car.mass;
    d->nstrides = 0;
    if (d->strides && leg->kind != MBL_LEG_PARK)
        d->nstrides = mbl_timeline_make(&d->channels, d->mode, mbl_model_macro(d->model),
                                        mbl_timeline_skin(d->model), d->stride);
}

/* The lap-boundary hook: all that changes between laps changes here. */
static void at_boundary(mbl_drive *d, const mbl_leg *leg)
{
    d->car.mass = mbl_car_mass(&d->setup->car, d->fuel);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mbl_corner_wear(d->block, 0, axle, pad_of(d, axle));
    plan_leg(d, leg);
    /* a logged stop is a stretch of the trace in which the car stands */
    if (leg->kind == MBL_LEG_LAP && leg->phase != MBL_PHASE_PARK)
        d->fuel = fmax(d->fuel - d->setup->car.fuel.per_lap, 0.0);
    d->record.offset = d->now;
    mbl_record_clear(d->block, &d->record, d->now);
}

/* When the next row is due after one at t. */
static void next_row(mbl_history *h, double t)
{
    h->next = (floor(t / h->every + 1e-6) + 1.0) * h->every;
}

static void report_row(const mbl_drive *d, const mbl_leg *leg, const mbl_history *history, size_t k)
{
    const mbl_channels *c = &d->channels;
    history->row(history->ctx, d->now + c->time[k], leg, c->speed[k], c->power[k],
                 d->block->pressure[0], d->block->T);
}

/* Runs samples [first, last), pausing for a row of history whenever one is due. */
static void run_samples(mbl_drive *d, const mbl_leg *leg, size_t first, size_t last,
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
        next_row(history, t);
    }
    mbl_block_run(d->block, &in, done, last, &d->record);
}

enum { HISTORY_NODES = MBL_AXLES * (MBL_CORNER_NODES + MBL_EXTRA_NODES) };

/* Temperatures and their slopes at one end of a stride. */
typedef struct knot {
    double T[HISTORY_NODES], slope[HISTORY_NODES];
} knot;

static void take_knot(mbl_drive *d, double speed, double power, knot *out)
{
    mbl_block *b = d->block;
    double flow[HISTORY_NODES];
    double pressure = b->pressure[0];
    mbl_block_flows(b, speed, fmax(power, 0.0), NULL, flow);
    b->pressure[0] = pressure;
    for (int i = 0; i < d->model->nnodes; i++) {
        out->T[i] = b->T[i];
        out->slope[i] = flow[i] / b->C[i];
    }
}

/* The cubic through two knots `dt` apart, at share u of the way. */
static void between(const mbl_drive *d, const knot *a, const knot *b, double dt, double u,
                    double *T)
{
    double s = 1 - u;
    for (int i = 0; i < d->model->nnodes; i++)
        T[i] = s * s * (1 + 2 * u) * a->T[i] + u * u * (1 + 2 * s) * b->T[i] +
               dt * u * s * (s * a->slope[i] - u * b->slope[i]);
}

/* One stride with the rows of history that fall into it. */
static void run_stride(mbl_drive *d, const mbl_leg *leg, size_t k, double time,
                       mbl_history *history)
{
    const mbl_stride *s = &d->stride[k];
    double start = d->now + time;
    double half = 0.5 * s->dt * s->slope;
    double T[HISTORY_NODES];
    knot a;
    knot b;
    take_knot(d, s->v0, s->power - half, &a);
    mbl_block_stride(d->block, d->stride, k, k + 1, time, &d->record);
    take_knot(d, s->v1, s->power + half, &b);
    while (history->next < start + s->dt - 1e-9) {
        double u = fmax((history->next - start) / s->dt, 0.0);
        between(d, &a, &b, s->dt, u, T);
        history->row(history->ctx, start + u * s->dt, leg, s->v0 + u * (s->v1 - s->v0),
                     s->power > 0 ? fmax(s->power + half * (2 * u - 1), 0.0) : 0.0,
                     d->block->pressure[0], T);
        next_row(history, start + u * s->dt);
    }
}

/* Runs the leg from sample `first` to `last`, which strides meet at their nearest end. */
static void run_steps(mbl_drive *d, const mbl_leg *leg, size_t first, size_t last,
                      mbl_history *history)
{
    const mbl_channels *c = &d->channels;
    if (d->nstrides == 0) {
        run_samples(d, leg, first, last, history);
        return;
    }
    const double hair = 1e-6;
    double time = 0;
    size_t k = 0;
    while (k < d->nstrides && time < c->time[first] - hair)
        time += d->stride[k++].dt;
    size_t begin = k;
    double began = time;
    while (k < d->nstrides && time < c->time[last] - hair) {
        if (history != NULL)
            run_stride(d, leg, k, time, history);
        time += d->stride[k++].dt;
    }
    if (history == NULL)
        mbl_block_stride(d->block, d->stride, begin, k, began, &d->record);
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

/* What of the leg just driven is read off the block. */
static void report_brakes(const mbl_drive *d, double shortfall, mbl_leg_report *r)
{
    const mbl_hardest *h = &d->hardest;
    r->mass = d->car.mass;
    r->shortfall = d->block->shortfall[0] - shortfall;
    r->hardest = (mbl_application){
        .pressure = h->pressure[0], .at = h->at[0], .speed = h->speed[0], .force = h->force[0]};
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        r->hardest.mu[axle] = h->mu[axle][0];
        r->pad_left[axle] = mbl_corner_pad_left(d->block, 0, axle, pad_of(d, axle));
    }
}

/* The highest speed, and the highest deceleration in a step. */
static void report_speeds(const mbl_channels *c, mbl_leg_report *r)
{
    for (size_t k = 0; k <= c->n; k++)
        r->top_speed = fmax(r->top_speed, c->speed[k]);
    for (size_t k = 0; k < c->n; k++) {
        double a = (c->speed[k] - c->speed[k + 1]) / (c->time[k + 1] - c->time[k]);
        if (c->power[k] > 0)
            r->hardest_deceleration = fmax(r->hardest_deceleration, a);
    }
}

mbl_status mbl_drive_leg(mbl_drive *d, const mbl_leg *leg, mbl_history *history,
                         mbl_leg_report *report, mbl_error *err)
{
    at_boundary(d, leg);
    const mbl_channels *c = &d->channels;
    size_t stop = first_hard_stop(d);
    double shortfall = d->block->shortfall[0];
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
    report_brakes(d, shortfall, &r);
    report_speeds(c, &r);
    d->now += c->time[c->n];
    *report = r;
    return MBL_OK;
}

void mbl_drive_cap(mbl_drive *d, double pressure)
{
    for (int w = 0; w < d->block->lanes; w++)
        d->block->cap[w] = pressure;
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
