/* SPDX-License-Identifier: MIT */
/* What the engine aims at, and what it falls short of. */
#ifndef MBL_BENCH_AIMS_H
#define MBL_BENCH_AIMS_H

#include "bench/precision.h"
#include "bench/tables.h"

/* Errors by number: at steps, every 25 ms, stint peak, zone peak. */
enum { BENCH_MEASURES = 4 };
extern const char *const bench_measures[BENCH_MEASURES];
double bench_measure(const bench_errors *e, int i);

/* K */
double bench_error_aim(mbl_mode mode, int measure);

/* What was measured; a table that was not run leaves NULL or NAN. */
typedef struct bench_found {
    const bench_precision *precision;
    const bench_errors *same, *finer; /* [mode], of table C */
    bench_single single;
    double resident; /* MB */
    size_t rows;     /* it is of */
} bench_found;

void bench_aims_say(const bench_found *found, mbl_text *page);

#endif
