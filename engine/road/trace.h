/* SPDX-License-Identifier: MIT */
/*
 * A trace: one drive as a continuous speed over time, linear between knots, with the noise of
 * the logger taken out and the corners of the curve (brakes on, brakes off) kept in. Braking
 * energy is first order in those corners: rounding them off loses heat, and noise on the slope
 * between them makes heat that was never there.
 */
#ifndef MBL_ROAD_TRACE_H
#define MBL_ROAD_TRACE_H

#include "road/doubts.h"
#include "road/log.h"

/*
 * A stretch of a log: a lap, or what a stop makes of one. A lap in which the car stands is cut in
 * three: in to the stop, the stop, out from it.
 */
typedef enum mbl_lap_kind {
    MBL_LAP_OUT,     /* first lap, slow; or from a stop to the line */
    MBL_LAP_HOT,     /* within 12 % of the fastest complete lap */
    MBL_LAP_TRAFFIC, /* slower, between hot laps */
    MBL_LAP_IN,      /* last lap, slow or incomplete; or from the line to a stop */
    MBL_LAP_WHOLE,   /* a log without laps: all of it, or all between two stops */
    MBL_LAP_PIT,     /* below 10 km/h for more than 20 s, and off again within two minutes */
    MBL_LAP_PARKED   /* the same, for longer, or at the beginning or the end of the log */
} mbl_lap_kind;

const char *mbl_lap_kind_word(mbl_lap_kind kind); /* "hot" */

typedef struct mbl_lap {
    int number; /* as logged, for all pieces of a lap; else counted, 0 before a start line */
    mbl_lap_kind kind;
    double start;     /* s, within the trace */
    double end;       /* s */
    double top_speed; /* m/s */
} mbl_lap;

/* What tells how the course turns, the most trusted first: see road/turning.h. */
typedef enum mbl_told {
    MBL_TOLD_NOTHING,
    MBL_TOLD_POSITIONS,
    MBL_TOLD_YAW_RATE,
    MBL_TOLD_LATERAL
} mbl_told;

/* Immutable, one allocation, reference counted (one thread). */
typedef struct mbl_trace {
    const mbl_alloc *alloc;
    size_t bytes;
    unsigned refs;
    mbl_digest digest; /* of the numbers below that anything is driven by */

    double noise; /* m/s, standard deviation of what was taken for noise; 0 for a clean log */
    double step;  /* m/s that every logged speed is a multiple of; 0 for none */
    double distance_ratio; /* logged distance over integrated speed; NAN when not logged or when
                              speed was worked out from it */

    size_t n;            /* knots */
    const double *t;     /* (n) s, strictly increasing, t[0] = 0 */
    const double *v;     /* (n) m/s, not negative */
    const double *grade; /* (n - 1) rise over run on each interval; 0 without altitude */
    bool has_grade;

    /*
     * Line pressure: that of the one circuit that is logged, or the sum of both, which is as the
     * braking force whatever the share of each, while the share does not change.
     */
    const double *pressure;  /* (n) Pa, gauge; NULL when not logged */
    bool measured;           /* pressure explains the braking: brakes are on where it says so */
    double pressure_on;      /* Pa, brakes count as on above it; NAN without pressure */
    double pressure_scale;   /* m/s2 per Pa for a car of common drag; NAN without pressure */
    double pressure_scatter; /* share, of single stops about the scale; NAN without pressure */
    double measured_share;   /* of the braking time in the speed, with pressure on; 0 without */

    /*
     * How the course turns, as logged, noise and all: only layouts are made of it, nothing is
     * driven by it, and the digest leaves it out.
     */
    mbl_told told;
    const double *curvature;    /* (n) 1/m, by yaw rate or lateral acceleration; else NULL */
    const double *east, *north; /* (n) m from the first fix, by positions; else NULL */

    mbl_doubt doubt[MBL_DOUBTS];

    size_t nlaps;
    const mbl_lap *laps; /* (nlaps) in order */
    size_t median;       /* index of the hot lap of median time */
    size_t fastest;      /* index of the fastest hot lap */
    const double *lost;  /* (nlaps) s that each took longer for want of brakes; NULL when logged */
    bool followed;       /* its laps are those of one stint, each driven once (trace_driven.h) */
} mbl_trace;

MBL_NODISCARD mbl_status mbl_trace_make(const mbl_alloc *alloc, const mbl_log *log, mbl_trace **out,
                                        mbl_error *err);
mbl_trace *mbl_trace_keep(mbl_trace *trace);
void mbl_trace_drop(mbl_trace *trace);

/* Digest of the numbers that anything is driven by. */
mbl_digest mbl_trace_digest(const mbl_trace *trace);

/* Index of the lap with this logged number (its longest piece), or nlaps. */
size_t mbl_trace_lap(const mbl_trace *trace, int number);

#endif
