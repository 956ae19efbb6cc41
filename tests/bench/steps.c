/* SPDX-License-Identifier: MIT */
#include "bench/steps.h"

#include <math.h>
#include <stdlib.h>

static void add(bench_stint *s, size_t room, const mbl_channels *c)
{
    double start = s->time[s->n];
    if (s->n + c->n > room)
        abort();
    s->speed[s->n] = c->speed[0];
    for (size_t k = 0; k < c->n; k++) {
        s->power[s->n] = c->power[k];
        s->time[s->n + 1] = start + c->time[k + 1];
        s->speed[s->n + 1] = c->speed[k + 1];
        s->n++;
    }
}

static size_t room_of(const mbl_leg *leg, double sample)
{
    switch (leg->kind) {
    case MBL_LEG_LAP:
        return mbl_channels_count(leg->end - leg->start, leg->pace, sample);
    case MBL_LEG_STOP:
        return mbl_channels_count(leg->speed / MBL_PIT_DECELERATION, 1, sample);
    case MBL_LEG_PARK:
        break;
    }
    return mbl_channels_park_count(leg->duration, sample, mbl_parking_close);
}

static void sample_leg(const mbl_road *r, const mbl_route_leg *leg, double sample, mbl_channels *c)
{
    mbl_vehicle car = r->car;
    car.mass = leg->mass;
    switch (leg->leg.kind) {
    case MBL_LEG_LAP:
        mbl_channels_lap(r->trace, leg->leg.start, leg->leg.end, leg->leg.pace, &r->driver,
                         r->pressure_scale, &car, sample, c);
        break;
    case MBL_LEG_STOP:
        mbl_channels_stop(leg->leg.speed, MBL_PIT_DECELERATION, &car, sample, c);
        break;
    case MBL_LEG_PARK:
        mbl_channels_park(leg->leg.duration, sample, mbl_parking_close, c);
        break;
    }
}

/* The parked steps of the engine's default mode. */
static void make_soak(const mbl_route *route, double sample, bench_stint *s, mbl_channels *c)
{
    for (size_t i = 0; i < route->plan.n; i++) {
        if (route->plan.leg[i].kind != MBL_LEG_PARK)
            continue;
        mbl_channels_park(route->plan.leg[i].duration, sample, mbl_road_parking(MBL_MODE_DEFAULT),
                          c);
        s->nsoak = c->n;
        for (size_t k = 0; k <= c->n; k++)
            s->soak[k] = s->time[s->parked] + c->time[k];
    }
}

void bench_stint_make(const mbl_route *route, double sample, bench_stint *out)
{
    size_t room = 0;
    for (size_t i = 0; i < route->plan.n; i++)
        room += room_of(&route->plan.leg[i], sample) + 1;
    double *memory = calloc(7 * (room + 1), sizeof *memory);
    if (memory == NULL)
        abort();
    double *scratch = memory + 3 * (room + 1);
    *out = (bench_stint){.memory = memory,
                         .time = memory,
                         .speed = memory + (room + 1),
                         .power = memory + 2 * (room + 1),
                         .soak = memory + 6 * (room + 1)};
    mbl_channels c = {.room = room,
                      .time = scratch,
                      .speed = scratch + (room + 1),
                      .power = scratch + 2 * (room + 1)};
    for (size_t i = 0; i < route->plan.n; i++) {
        if (route->plan.leg[i].kind == MBL_LEG_PARK)
            out->parked = out->n;
        sample_leg(&route->road, &route->leg[i], sample, &c);
        add(out, room, &c);
        out->lap = i == 0 ? out->n : out->lap;
    }
    out->parked = out->parked > 0 ? out->parked : out->n;
    make_soak(route, sample, out, &c);
}

void bench_stint_free(bench_stint *s)
{
    free(s->memory);
    *s = (bench_stint){0};
}

size_t bench_stint_event(const bench_stint *s, size_t k)
{
    size_t end = k < s->parked ? s->parked : s->n;
    bool on = s->power[k] > 0;
    while (k < end && (s->power[k] > 0) == on)
        k++;
    return k;
}

static bench_step joined(const bench_stint *s, size_t first, size_t last)
{
    double dt = s->time[last] - s->time[first];
    double middle = 0.5 * (s->time[last] + s->time[first]);
    double energy = 0;
    double moment = 0;
    for (size_t k = first; k < last; k++) {
        double heat = s->power[k] * (s->time[k + 1] - s->time[k]);
        energy += heat;
        moment += heat * (0.5 * (s->time[k] + s->time[k + 1]) - middle);
    }
    double mean = energy / dt;
    double slope = last - first > 1 ? 12 * moment / (dt * dt * dt) : 0;
    double most = 2 * mean / dt; /* no stage may cool the faces */
    return (bench_step){.dt = dt,
                        .v0 = s->speed[first],
                        .v1 = s->speed[last],
                        .power = mean,
                        .slope = fmin(fmax(slope, -most), most),
                        .seen = last};
}

/* Sample k in `split` steps. */
static size_t split_sample(const bench_stint *s, size_t k, int split, bench_step *out)
{
    double dt = (s->time[k + 1] - s->time[k]) / split;
    double rise = s->speed[k + 1] - s->speed[k];
    for (int i = 0; i < split; i++)
        out[i] = (bench_step){.dt = dt,
                              .v0 = s->speed[k] + rise * i / split,
                              .v1 = s->speed[k] + rise * (i + 1) / split,
                              .power = s->power[k],
                              .seen = i + 1 < split ? k : k + 1};
    return (size_t)split;
}

/* Stretches of whole steps; a new one where the brakes go on or off. */
static void mark(bench_step *x, size_t n, double most)
{
    size_t first = 0;
    while (first < n) {
        size_t last = first + 1;
        double dt = x[first].dt;
        bool on = x[first].power > 0;
        while (last < n && (x[last].power > 0) == on && dt + x[last].dt <= most * (1 + 1e-9))
            dt += x[last++].dt;
        x[first].stretch_dt = dt;
        x[first].stretch_v1 = x[last - 1].v1;
        first = last;
    }
}

size_t bench_cut_make(const bench_stint *s, const bench_cut *cut, bench_step *out)
{
    size_t n = 0;
    size_t k = 0;
    while (k < s->parked) {
        size_t event = bench_stint_event(s, k);
        size_t start = k;
        size_t most = (size_t)(s->power[k] > 0 ? cut->braking : cut->coasting);
        while (k < event) {
            if (cut->split > 1) {
                n += split_sample(s, k++, cut->split, out + n);
                continue;
            }
            size_t join = most;
            if (cut->share > 0) {
                size_t grown = 1 + (size_t)(cut->share * (double)(k - start));
                join = grown < most ? grown : most;
            }
            size_t last = k + join < event ? k + join : event;
            out[n++] = joined(s, k, last);
            k = last;
        }
    }
    mark(out, n, cut->stretch);
    return n;
}
