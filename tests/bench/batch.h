/* SPDX-License-Identifier: MIT */
/* A sweep through mbl_batch_run that reaches a file. */
#ifndef MBL_BENCH_BATCH_H
#define MBL_BENCH_BATCH_H

#include "bench/scene.h"

typedef struct bench_batch {
    size_t rows;
    int workers, lanes;
    const mbl_kin *kin; /* one plan for all, or NULL: each row's own */
} bench_batch;

typedef struct bench_batch_result {
    double seconds;  /* of processor time, all threads; everything included */
    double wall;     /* s */
    double resident; /* bytes, the most this process ever had */
    double residual; /* the worst share of heat that a ledger does not account for */
    double face;     /* K, highest front face of row 0 */
} bench_batch_result;

/* Rows of bench_sweep over a case, each a line of a CSV in a temporary file. */
bench_batch_result bench_batch_run(const mbl_case *base, const bench_batch *batch);

#endif
