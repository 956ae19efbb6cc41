/* SPDX-License-Identifier: MIT */
/*
 * A trace: one drive as a continuous speed over time, linear between knots, with the noise of
 * the logger taken out and the corners of the curve (brakes on, brakes off) kept in. Braking
 * energy is first order in those corners: rounding them off loses heat, and noise on the slope
 * between them makes heat that was never there.
 */
#ifndef MBL_ROAD_TRACE_H
#define MBL_ROAD_TRACE_H

#include "road/log.h"

typedef enum mbl_lap_kind {
    MBL_LAP_OUT,     /* first lap, slow */
    MBL_LAP_HOT,     /* within 12 % of the fastest complete lap */
    MBL_LAP_TRAFFIC, /* slower, between hot laps */
    MBL_LAP_IN,      /* last lap, slow or incomplete */
    MBL_LAP_WHOLE    /* a log without laps: all of it */
} mbl_lap_kind;

const char *mbl_lap_kind_word(mbl_lap_kind kind); /* "hot" */

typedef struct mbl_lap {
    int number; /* as logged; 1 for a log without laps */
    mbl_lap_kind kind;
    double start;     /* s, within the trace */
    double end;       /* s */
    double top_speed; /* m/s */
} mbl_lap;

/* Immutable, one allocation, reference counted (one thread). */
typedef struct mbl_trace {
    const mbl_alloc *alloc;
    size_t bytes;
    unsigned refs;

    double noise; /* m/s, standard deviation of what was taken for noise; 0 for a clean log */
    double distance_ratio; /* logged distance over integrated speed; NAN when not logged */

    size_t n;            /* knots */
    const double *t;     /* (n) s, strictly increasing, t[0] = 0 */
    const double *v;     /* (n) m/s, not negative */
    const double *grade; /* (n - 1) rise over run on each interval; 0 without altitude */
    bool has_grade;

    size_t nlaps;
    const mbl_lap *laps; /* (nlaps) in order */
    size_t median;       /* index of the hot lap of median time */
    size_t fastest;      /* index of the fastest hot lap */
} mbl_trace;

MBL_NODISCARD mbl_status mbl_trace_make(const mbl_alloc *alloc, const mbl_log *log, mbl_trace **out,
                                        mbl_error *err);
mbl_trace *mbl_trace_keep(mbl_trace *trace);
void mbl_trace_drop(mbl_trace *trace);

/* Index of the lap with this logged number, or nlaps. */
size_t mbl_trace_lap(const mbl_trace *trace, int number);

#endif
