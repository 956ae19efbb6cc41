/* SPDX-License-Identifier: MIT */
/* Drives as five loggers have them. */
#ifndef MBL_BENCH_DRIVES_H
#define MBL_BENCH_DRIVES_H

#include "study/study.h"

enum { BENCH_TRACES = 5, BENCH_COURSES = 4, BENCH_TRAFFIC = 4 };

extern const char *const bench_trace_names[BENCH_TRACES];

/*
 * Out-lap, hot laps, in-lap on one of our courses, logged in one of five ways; the last is
 * meant to be driven in traffic.
 */
void bench_drive_log(size_t course, size_t kind, int hot, uint64_t seed, mbl_text *out);
mbl_trace *bench_trace(const char *log, size_t n);
mbl_trace *bench_drive(size_t course, size_t kind, int hot, uint64_t seed);

#endif
