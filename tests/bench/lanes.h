/* SPDX-License-Identifier: MIT */
/* The classical Runge-Kutta method through steps, once per lane width and processor. */
#ifndef MBL_BENCH_LANES_H
#define MBL_BENCH_LANES_H

#include "bench/steps.h"

/* Temperatures of lane 0 at the ends of samples, between the ends of steps by the cubic through
 * both with their slopes. */
typedef struct bench_dense {
    const bench_stint *stint;
    double *T; /* [samples][nodes] */
} bench_dense;

/* From T, [nodes][lanes] K, which is left at the end; `peak` is raised. dense may be NULL. */
typedef void bench_march(const bench_field *f, const bench_step *steps, size_t n, double *T,
                         double *peak, const bench_dense *dense);
bench_march bench_rk4_1, bench_rk4_4, bench_rk4_4_avx2, bench_rk4_8_avx512;
bench_march bench_multirate_1, bench_multirate_4, bench_multirate_4_avx2, bench_multirate_8_avx512;

#endif
