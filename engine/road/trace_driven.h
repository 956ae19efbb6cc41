/* SPDX-License-Identifier: MIT */
/* A trace that was worked out, not logged: laps as their own speed over time. */
#ifndef MBL_ROAD_TRACE_DRIVEN_H
#define MBL_ROAD_TRACE_DRIVEN_H

#include "road/trace.h"

/* One lap, from line to line. Arrays are borrowed for the call. */
typedef struct mbl_driven_lap {
    size_t n;            /* knots, at least 2 */
    const double *t;     /* (n) s, strictly increasing, t[0] = 0 */
    const double *v;     /* (n) m/s, not negative */
    const double *grade; /* (n - 1) rise over run */
    double lost;         /* s that it took longer for want of brakes */
} mbl_driven_lap;

/*
 * A trace of these laps in a row, numbered from 1, all of them hot. Between two of them lie
 * MBL_DRIVEN_SEAM seconds that belong to neither. There is no noise and nothing to doubt.
 * `followed`: the laps are those of one stint, each to be driven once in their order; else the
 * median one is repeated.
 */
#define MBL_DRIVEN_SEAM 1e-3
MBL_NODISCARD mbl_status mbl_trace_driven(const mbl_alloc *alloc, size_t nlaps,
                                          const mbl_driven_lap *laps, bool followed,
                                          mbl_trace **out, mbl_error *err);

#endif
