/* SPDX-License-Identifier: MIT */
/* Tables B, C, D and E. */
#ifndef MBL_BENCH_TABLES_H
#define MBL_BENCH_TABLES_H

#include "bench/errors.h"
#include "bench/options.h"

#include "base/base.h"

/* Table B; `self` is this program. Peak resident MB of the largest batch. */
double bench_cost(const bench_options *options, const char *self, mbl_text *page);

/* One batch of so many rows on a log in a file; prints s, s of wall clock, bytes, residual. */
void bench_one_batch(const bench_options *options);

/* Table C; the worst of all cars and traces, [mode], by stepping alone and with sampling. */
void bench_accuracy(const bench_options *options, bench_errors same[BENCH_MODES],
                    bench_errors finer[BENCH_MODES], mbl_text *page);

/* Table D, ms; NAN where it was not measured. */
typedef struct bench_single {
    double run;  /* trace in memory to result */
    double cold; /* process to verdict */
    double page; /* process to the whole page */
} bench_single;
bench_single bench_verdict(const bench_options *options, mbl_text *page);

/* Table E. */
void bench_laps(mbl_text *page);

#endif
