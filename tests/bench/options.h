/* SPDX-License-Identifier: MIT */
/* What the benchmark was asked for. */
#ifndef MBL_BENCH_OPTIONS_H
#define MBL_BENCH_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct bench_options {
    const char *page;    /* file to write, or NULL */
    const char *program; /* emberlap itself, or NULL */
    const char *tables;  /* letters of those that are run: "ABCD" */
    int cars, laps;      /* of table C; hot laps */
    uint64_t seed;       /* of the first car; 0: the fixed list */
    int rounds;          /* of table A */
    bool all_rows;       /* table B goes to 100,000 rows */
    const char *log;     /* of one batch */
    size_t one_batch;    /* rows: run this batch, print its cost, and end */
} bench_options;

#endif
