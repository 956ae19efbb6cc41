/* SPDX-License-Identifier: MIT */
/* A drive by strides, and the same samples on a fixed grid. */
#ifndef MBL_TESTS_STRIDES_H
#define MBL_TESTS_STRIDES_H

#include "drive/timeline.h"
#include "heat/stride.h"
#include "support/random.h"
#include "support/test.h"

/* Samples of MBL_TIMELINE_SAMPLE, and the strides made of them. Free with strides_free. */
typedef struct strides {
    mbl_channels fine;
    double *memory;
    size_t n;
    mbl_stride *step; /* (n) */
} strides;

static inline void strides_make(size_t room, strides *s)
{
    *s = (strides){.memory = calloc(3 * (room + 1), sizeof(double)),
                   .step = calloc(room, sizeof(mbl_stride))};
    assert_true(s->memory != NULL && s->step != NULL);
    s->fine = (mbl_channels){.room = room,
                             .time = s->memory,
                             .speed = s->memory + (room + 1),
                             .power = s->memory + 2 * (room + 1)};
}

static inline void strides_free(strides *s)
{
    free(s->memory);
    free(s->step);
}

/* Adds one stretch of even power in samples of at most MBL_TIMELINE_SAMPLE. */
static inline void strides_add(strides *s, double dt, double v0, double v1, double power)
{
    mbl_channels *c = &s->fine;
    size_t pieces = (size_t)ceil(dt / MBL_TIMELINE_SAMPLE - 1e-9);
    double start = c->time[c->n];
    assert_true(c->n + pieces <= c->room);
    c->speed[c->n] = v0;
    for (size_t k = 1; k <= pieces; k++) {
        double u = (double)k / (double)pieces;
        c->power[c->n++] = power;
        c->time[c->n] = start + u * dt;
        c->speed[c->n] = v0 + u * (v1 - v0);
    }
}

/* Steps [0, n) of inputs, sampled. */
static inline void strides_of(const mbl_inputs *in, size_t n, strides *s)
{
    strides_make((size_t)(in->time[n] / MBL_TIMELINE_SAMPLE) + 2 * n, s);
    for (size_t k = 0; k < n; k++)
        strides_add(s, in->time[k + 1] - in->time[k], in->speed[k], in->speed[k + 1], in->power[k]);
}

/* The first hot lap of a trace, driven by the car that made it. */
static inline void strides_lap(const mbl_trace *trace, const mbl_car *car, strides *s)
{
    mbl_vehicle body = {.mass = car->mass,
                        .rotating = car->rotating,
                        .drag_area = car->aero.drag_area,
                        .rolling = car->rolling,
                        .engine_braking = car->engine_braking,
                        .air_density = 1.16};
    const mbl_lap *lap = &trace->laps[1];
    strides_make(mbl_channels_count(lap->end - lap->start, 1, MBL_TIMELINE_SAMPLE), s);
    mbl_channels_lap(trace, lap->start, lap->end, 1, &body, 0, &body, MBL_TIMELINE_SAMPLE,
                     &s->fine);
}

/* Up to `share` of the power of each sample more or less. */
static inline void strides_noise(strides *s, double share, uint64_t seed)
{
    random_source r = {seed};
    for (size_t k = 0; k < s->fine.n; k++)
        s->fine.power[k] *= 1 + random_between(&r, -share, share);
}

/* J at the tyres of the whole car. */
static inline double strides_energy(const strides *s)
{
    double sum = 0;
    for (size_t k = 0; k < s->fine.n; k++)
        sum += s->fine.power[k] * (s->fine.time[k + 1] - s->fine.time[k]);
    return sum;
}

/* Cuts the samples for this model as a drive does. */
static inline void strides_cut(strides *s, const mbl_model *m, mbl_mode mode)
{
    mbl_kin kin;
    mbl_kin_of(m, &kin);
    double *scratch = calloc(mbl_timeline_scratch(s->fine.n), sizeof *scratch);
    mbl_cuts cuts = {.at = calloc(s->fine.n + 1, sizeof *cuts.at)};
    assert_true(scratch != NULL && cuts.at != NULL);
    mbl_timeline_plan(&s->fine, mode, &kin, scratch, &cuts);
    assert_true(mbl_timeline_fit(&s->fine, &cuts, scratch, s->step));
    s->n = cuts.n;
    free(cuts.at);
    free(scratch);
}

static inline void strides_run(mbl_block *b, const strides *s, mbl_record *record)
{
    mbl_block_stride(b, s->step, 0, s->n, 0, record);
}

/* Each sample in `per` even steps of the fixed grid; called back after each sample when asked. */
static inline void strides_fixed(mbl_block *b, const strides *s, int per, mbl_record *record,
                                 void (*after)(void *ctx, size_t sample), void *ctx)
{
    enum { MOST = 8 };
    const mbl_channels *c = &s->fine;
    double time[MOST + 1], speed[MOST + 1], power[MOST];
    mbl_inputs in = {.time = time, .speed = speed, .power = power};
    assert_true(per <= MOST);
    for (size_t k = 0; k < c->n; k++) {
        for (int j = 0; j <= per; j++) {
            double u = (double)j / per;
            time[j] = c->time[k] + u * (c->time[k + 1] - c->time[k]);
            speed[j] = c->speed[k] + u * (c->speed[k + 1] - c->speed[k]);
            if (j < per)
                power[j] = c->power[k];
        }
        mbl_block_run(b, &in, 0, (size_t)per, record);
        if (after != NULL)
            after(ctx, k);
    }
}

#endif
