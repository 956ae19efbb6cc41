/* SPDX-License-Identifier: MIT */
/* The page that the benchmark writes: printed as it grows, and a file in the end. */
#ifndef MBL_BENCH_PAGE_H
#define MBL_BENCH_PAGE_H

#include "base/base.h"

/* Ends the program, saying why, unless a call went well. */
void bench_need(mbl_status status, const mbl_error *err, const char *what);

/* Memory of zeros, or the end of the program. */
void *bench_room(size_t n, size_t size);

/* Adds to the page and to standard output. */
void bench_say(mbl_text *page, const char *format, ...) MBL_PRINTF(2, 3);

/* Four significant figures at most, "-" for what is not a number. */
const char *bench_figure(double x, char out[24]);

/* Wall clock, s. */
double bench_wall(void);

#endif
