/* SPDX-License-Identifier: MIT */
/* The engine's own side: cases driven side by side on one route. */
#ifndef MBL_BENCH_ENGINE_H
#define MBL_BENCH_ENGINE_H

#include "bench/scene.h"

typedef struct bench_engine {
    int lanes;
    const mbl_case *setup[MBL_LANES_MOST]; /* borrowed */
    mbl_model *const *model;               /* borrowed */
    mbl_route *route;                      /* owned */
    double planned;                        /* s of processor time that the route took */
    double flops;                          /* of one lane, by strides; 0 on a fixed grid */
    size_t steps;                          /* on track */
    double *split;                         /* owned: see bench_engine_split */
} bench_engine;

/* The first `lanes` of cases, by the steps of the first. `step` as in mbl_road_of. Free with
 * bench_engine_free. */
void bench_engine_make(const mbl_case setups[], mbl_model *const models[], int lanes, double step,
                       bench_engine *out);
void bench_engine_free(bench_engine *engine);

/* Cuts each step of a fixed grid into equal parts of the same power. */
void bench_engine_split(bench_engine *engine, size_t parts);

/*
 * Drives the whole stint; returns processor time, s: from making the drive to its last leg, watches
 * and everything else that a study asks for included. `peak`, [nodes][lanes] K, may be NULL.
 */
double bench_engine_drive(const bench_engine *engine, double *peak);

/*
 * The same with the engine's own history of lane 0, in rows every 25 ms: `dense`, [samples][nodes]
 * K at the ends of samples, between rows by the cubic through four where samples grow.
 * `at` (samples) as in bench_errors_of; both of a stint of whole samples of 25 ms.
 */
void bench_engine_dense(const bench_engine *engine, const bench_stint *stint, double *dense,
                        unsigned char *at, double *peak);

/*
 * Floating-point operations of one lane, by hand from stride_body.h and what it includes, with four
 * stages of two chains of nine nodes: of a step with the brakes on, of one without, of a macro
 * step. Look-ups' indices and comparisons are left out; so are parked steps.
 */
#define BENCH_FLOPS_BRAKE 2510.0
#define BENCH_FLOPS_COAST 2240.0
#define BENCH_FLOPS_MACRO 1160.0

#endif
