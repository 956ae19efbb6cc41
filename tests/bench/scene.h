/* SPDX-License-Identifier: MIT */
/* What is run: the coupe with ducts round Harrow Vale, in the lanes of a sweep. */
#ifndef MBL_BENCH_SCENE_H
#define MBL_BENCH_SCENE_H

#include "bench/errors.h"
#include "bench/peers.h"

#include "study/study.h"

/* Bores of ducts by masses of rings. */
enum { BENCH_BORES = 4, BENCH_RINGS = 9, BENCH_SWEEP = BENCH_BORES * BENCH_RINGS };

/* Row i of the sweep over a case, and again from the first after the last. */
mbl_case bench_sweep(const mbl_case *base, size_t i);

/*
 * The coupe with a duct: out-lap, hot laps, cool-down lap, ten minutes parked. Paces of slow laps
 * are such that every leg lasts whole samples, so that rows of history every 25 ms are the ends of
 * samples. Pads do not wear: the peers know no wear. Borrows the trace.
 */
mbl_case bench_case(mbl_trace *trace, int hot);

/* Makes the legs of a case last whole samples. */
void bench_whole_samples(mbl_case *setup);

/* The model of a case, and its way cut by strides (step 0) or on a fixed grid. */
mbl_model *bench_model(const mbl_case *setup);
mbl_route *bench_route(const mbl_case *setup, const mbl_model *model, double step);

typedef struct bench_scene {
    mbl_trace *trace;
    mbl_case lane[MBL_LANES_MOST];    /* the first rows of the sweep */
    mbl_model *model[MBL_LANES_MOST]; /* of the lanes */
    bench_stint stint;                /* samples of 25 ms */
    /* of lane 0, by CVODE at 1e-9 with a new start at every change of power; NULL without it */
    double *reference;                     /* [samples][nodes] K */
    double peak[BENCH_NODES * BENCH_MOST]; /* K, at its own steps */
    bench_errors apart;                    /* the same at 1e-8 from it */
} bench_scene;

void bench_scene_make(bench_scene *scene);
void bench_scene_free(bench_scene *scene);

#endif
