/* SPDX-License-Identifier: MIT */
/* The machine, the compiler, and the most the processor could do. */
#ifndef MBL_BENCH_MACHINE_H
#define MBL_BENCH_MACHINE_H

#include "base/base.h"

void bench_machine_say(mbl_text *page);

/*
 * Floating-point operations a second of one core, measured with independent fused multiply-adds on
 * the widest registers there are. NAN where the processor or the compiler has none.
 */
double bench_peak(void);
const char *bench_peak_name(void); /* "fused multiply-adds of 4 doubles" */

/* Most operations in `seconds`, a second. */
typedef double bench_peak_loop(double seconds);
bench_peak_loop bench_peak_avx2, bench_peak_avx512;

#endif
