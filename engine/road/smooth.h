/* SPDX-License-Identifier: MIT */
/* Logged speed as a curve through knots: noise out, corners in. */
#ifndef MBL_ROAD_SMOOTH_H
#define MBL_ROAD_SMOOTH_H

#include "base/base.h"

#include <stdbool.h>

typedef struct mbl_smooth {
    double noise; /* m/s, standard deviation of what was taken out; 0 when nothing was */
    double step;  /* m/s that all samples are multiples of; 0 for none */
    size_t n;     /* knots */
    double *t;    /* (n) s, strictly increasing, from the first sample to the last */
    double *v;    /* (n) m/s, not negative; every sample time is among the knots */
} mbl_smooth;

/*
 * The curve behind n >= 4 samples, t strictly increasing. The arrays live in the arena. Fails
 * with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_smooth_make(mbl_arena *arena, const double *t, const double *v,
                                         size_t n, mbl_smooth *out, mbl_error *err);

#endif
