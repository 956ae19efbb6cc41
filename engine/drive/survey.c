/* SPDX-License-Identifier: MIT */
#include "drive/route.h"

#include <math.h>

struct mbl_survey {
    const mbl_alloc *alloc;
    mbl_road road;
    size_t room;           /* steps */
    mbl_channels channels; /* into memory */
    double *memory;        /* channels, and scratch of the timeline */
    size_t memory_size;
    mbl_stride *stride; /* (room) */
    unsigned *cut;      /* (room + 1) */
    mbl_cuts cuts;
    mbl_leg cuts_of; /* the leg they were made for */
};

mbl_status mbl_survey_make(const mbl_alloc *alloc, const mbl_road *road, mbl_survey **out,
                           mbl_error *err)
{
    mbl_survey *s = mbl_new(alloc, 1, sizeof *s);
    if (s == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory planning a stint");
    *s = (mbl_survey){.alloc = alloc, .road = *road};
    *out = s;
    return MBL_OK;
}

static void release(mbl_survey *s)
{
    mbl_free(s->alloc, s->memory, s->memory_size, sizeof *s->memory);
    mbl_free(s->alloc, s->stride, s->room, sizeof *s->stride);
    mbl_free(s->alloc, s->cut, s->room + 1, sizeof *s->cut);
    s->memory = NULL;
    s->stride = NULL;
    s->cut = NULL;
    s->room = 0;
    s->cuts.n = 0;
}

void mbl_survey_free(mbl_survey *s)
{
    if (s == NULL)
        return;
    release(s);
    mbl_free(s->alloc, s, 1, sizeof *s);
}

static size_t steps_of(const mbl_road *r, const mbl_leg *leg)
{
    switch (leg->kind) {
    case MBL_LEG_LAP:
        return mbl_channels_count(leg->end - leg->start, leg->pace, r->step);
    case MBL_LEG_STOP:
        return mbl_channels_count(leg->speed / MBL_PIT_DECELERATION, 1.0, r->step);
    case MBL_LEG_PARK:
        break;
    }
    return mbl_channels_park_count(leg->duration, r->step, r->parking);
}

static mbl_status make_room(mbl_survey *s, size_t room, mbl_error *err)
{
    if (room <= s->room)
        return MBL_OK;
    release(s);
    s->room = room;
    s->memory_size = 3 * (room + 1) + mbl_timeline_scratch(room);
    s->memory = mbl_new(s->alloc, s->memory_size, sizeof *s->memory);
    s->stride = mbl_new(s->alloc, room, sizeof *s->stride);
    s->cut = mbl_new(s->alloc, room + 1, sizeof *s->cut);
    if (s->memory == NULL || s->stride == NULL || s->cut == NULL) {
        release(s);
        return mbl_fail(err, MBL_MEMORY, "out of memory for a leg of %zu steps", room);
    }
    s->channels = (mbl_channels){.room = room,
                                 .time = s->memory,
                                 .speed = s->memory + (room + 1),
                                 .power = s->memory + 2 * (room + 1)};
    s->cuts.at = s->cut;
    return MBL_OK;
}

static void fill_channels(mbl_survey *s, const mbl_leg *leg, double mass)
{
    const mbl_road *r = &s->road;
    mbl_vehicle car = r->car;
    car.mass = mass;
    switch (leg->kind) {
    case MBL_LEG_LAP:
        mbl_channels_lap(r->trace, leg->start, leg->end, leg->pace, &r->driver, r->pressure_scale,
                         &car, r->step, &s->channels);
        break;
    case MBL_LEG_STOP:
        mbl_channels_stop(leg->speed, MBL_PIT_DECELERATION, &car, r->step, &s->channels);
        break;
    case MBL_LEG_PARK:
        mbl_channels_park(leg->duration, r->step, r->parking, &s->channels);
        break;
    }
}

/* Cuts of a leg as the full car drives it, so that they do not depend on what was cut before.
 * True: the channels are those of that car. */
static bool cut_full(mbl_survey *s, const mbl_leg *leg, double *scratch)
{
    if (s->cuts.n > 0 && mbl_leg_same(leg, &s->cuts_of))
        return false;
    fill_channels(s, leg, s->road.full);
    mbl_timeline_plan(&s->channels, s->road.mode, &s->road.kin, scratch, &s->cuts);
    s->cuts_of = *leg;
    return true;
}

/* Into strides, by the cuts of the full car where they suit. */
static void cut(mbl_survey *s, const mbl_leg *leg, double mass)
{
    double *scratch = s->memory + 3 * (s->room + 1);
    bool full = cut_full(s, leg, scratch);
    if (!full || mass != s->road.full)
        fill_channels(s, leg, mass);
    if (mbl_timeline_fit(&s->channels, &s->cuts, scratch, s->stride))
        return;
    mbl_timeline_plan(&s->channels, s->road.mode, &s->road.kin, scratch, &s->cuts);
    /* cuts end where these very samples go on and off */
    (void)mbl_timeline_fit(&s->channels, &s->cuts, scratch, s->stride);
    s->cuts_of = (mbl_leg){0}; /* not those of the full car: the next leg is cut anew */
}

/* Time at which the brakes alone first slow the car hard; INFINITY when they never do. */
static double first_hard_stop(const mbl_channels *c, double mass)
{
    for (size_t k = 0; k < c->n; k++) {
        double speed = 0.5 * (c->speed[k] + c->speed[k + 1]);
        if (speed > 1 && c->power[k] > MBL_HARD_STOP * mass * speed)
            return c->time[k];
    }
    return INFINITY;
}

/* The first step that begins at `time` or later; the last index when none does. */
static size_t step_at(const mbl_route_leg *leg, double time)
{
    const double hair = 1e-6;
    double t = 0;
    for (size_t k = 0; k < leg->n; k++) {
        if (t >= time - hair)
            return k;
        t = leg->stride != NULL ? t + leg->stride[k].dt : leg->time[k + 1];
    }
    return leg->n;
}

static void add_speeds(const mbl_channels *c, mbl_route_leg *out)
{
    for (size_t k = 0; k <= c->n; k++)
        out->top_speed = fmax(out->top_speed, c->speed[k]);
    for (size_t k = 0; k < c->n; k++) {
        double a = (c->speed[k] - c->speed[k + 1]) / (c->time[k + 1] - c->time[k]);
        if (c->power[k] > 0)
            out->hardest_deceleration = fmax(out->hardest_deceleration, a);
    }
}

mbl_status mbl_survey_leg(mbl_survey *s, const mbl_leg *leg, double mass, mbl_route_leg *out,
                          mbl_error *err)
{
    bool strides = mbl_road_strides(&s->road) && leg->kind != MBL_LEG_PARK;
    MBL_TRY(make_room(s, steps_of(&s->road, leg), err));
    if (strides)
        cut(s, leg, mass);
    else
        fill_channels(s, leg, mass);
    const mbl_channels *c = &s->channels;
    *out = (mbl_route_leg){.leg = *leg,
                           .mass = mass,
                           .duration = c->time[c->n],
                           .energy = c->energy,
                           .inferred = c->inferred,
                           .braking_time = c->braking_time,
                           .n = c->n,
                           .time = c->time,
                           .speed = c->speed,
                           .power = c->power};
    if (strides) {
        out->n = s->cuts.n;
        out->stride = s->stride;
        out->time = NULL;
        out->speed = NULL;
        out->power = NULL;
    }
    add_speeds(c, out);
    out->hard = step_at(out, first_hard_stop(c, mass));
    return MBL_OK;
}
