/* SPDX-License-Identifier: MIT */
/* Table C: random cars on five kinds of log. */
#ifndef MBL_BENCH_ACCURACY_H
#define MBL_BENCH_ACCURACY_H

#include "bench/aims.h"
#include "bench/drives.h"

#include "study/study.h"

/* What results are held against: the fixed grid of a quarter of the step, on the very samples that
 * the steps are cut from, or on samples four times as fine. */
typedef enum bench_against {
    BENCH_SAME_SAMPLES,
    BENCH_FINER_SAMPLES,
    BENCH_AGAINSTS
} bench_against;

/* How far off one drive is; `apart`: with the pads of both axles left alone. */
typedef struct bench_off {
    bench_errors all, apart;
} bench_off;

typedef struct bench_one {
    mbl_case setup;
    double pace; /* share of the full pace that its brakes bear; 0: none, and not driven */
    bench_off off[BENCH_AGAINSTS][BENCH_MODES]; /* [mode] */
} bench_one;

typedef struct bench_cars {
    const bench_options *options;
    size_t n;
    bench_one *of; /* [car][trace] */
} bench_cars;

/* Highest that a rotor may get to, K: hotter than any brake is driven (common practice, no source).
 */
#define BENCH_BEARS 1200.0

uint64_t bench_seed(const bench_options *options, size_t car);
void bench_cars_say(const bench_cars *cars, bench_against against, bench_errors worst[BENCH_MODES],
                    mbl_text *page);

#endif
