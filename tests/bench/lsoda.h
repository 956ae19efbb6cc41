/* SPDX-License-Identifier: MIT */
/* The file that lsoda.c leaves for lsoda.py, and the shared library that it reads it with. */
#ifndef MBL_BENCH_LSODA_H
#define MBL_BENCH_LSODA_H

#include "bench/field.h"

/* First in the file; then the field, time, speed (samples + 1 each) and power (samples). */
typedef struct bench_lsoda_head {
    long long samples, nodes, dense; /* dense: 1 when it is asked for */
    double start, rtol;              /* K */
} bench_lsoda_head;

int bench_lsoda_open(const char *path); /* 0 when the file is not as it should be */
const bench_lsoda_head *bench_lsoda_about(void);
const double *bench_lsoda_data(void);
size_t bench_lsoda_evaluations(void);
void bench_lsoda_span(size_t from, size_t to); /* samples until the next new start */
void bench_lsoda_rates(const int *n, const double *t, const double *T, double *out);

#endif
