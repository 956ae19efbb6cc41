/* SPDX-License-Identifier: MIT */
/* A stint as samples, and the steps that explicit peers take through it. */
#ifndef MBL_BENCH_STEPS_H
#define MBL_BENCH_STEPS_H

#include "bench/field.h"
#include "drive/route.h"

/*
 * Sample k lies between time[k] and time[k + 1]: power is constant in it, speed goes in a straight
 * line. From sample `parked` on the car stands, and samples grow.
 */
typedef struct bench_stint {
    size_t n, parked;
    size_t lap;           /* samples of the first lap */
    double *time, *speed; /* (n + 1) s, m/s */
    double *power;        /* (n) W at the tyres of the whole car */
    size_t nsoak;         /* steps that the engine's default mode takes while parked */
    double *soak;         /* (nsoak + 1) s, from where it parks; fewer than the samples */
    double *memory;
} bench_stint;

/*
 * The legs of a route, each in samples of at most `sample` seconds; parked, samples grow from that.
 * Aborts when memory runs out. Free with bench_stint_free.
 */
void bench_stint_make(const mbl_route *route, double sample, bench_stint *out);
void bench_stint_free(bench_stint *s);

/* Samples from k on until the brakes go on or off, or the car is parked: the end of the run. */
size_t bench_stint_event(const bench_stint *s, size_t k);

/* How an explicit peer cuts samples. */
typedef struct bench_cut {
    int split;             /* equal steps of one sample; above 1 nothing is joined */
    int braking, coasting; /* most samples joined to a step */
    double share;          /* or this share of the time since the brakes went on or off, if more
                              than one sample and less than the most; 0: the most at once */
    double stretch;        /* s over which films and iron are held as lines, and the macro step of
                              multirate; 0: one step */
} bench_cut;

/*
 * One step. Never across brakes going on or off. Power is a straight line in it, by the energy and
 * the first moment of its samples: RK4 gives its stages the weights of Simpson's rule, so that the
 * energy is exact.
 */
typedef struct bench_step {
    double dt, v0, v1;             /* s, m/s */
    double power, slope;           /* W mean, W/s */
    double stretch_dt, stretch_v1; /* of the stretch that begins here; 0 within one */
    size_t seen;                   /* samples that have ended as it ends */
} bench_step;

/* Steps of the track part; returns how many. `out` has room for split x parked. */
size_t bench_cut_make(const bench_stint *s, const bench_cut *cut, bench_step *out);

#endif
