/* SPDX-License-Identifier: MIT */
/*
 * The curvature behind noisy fixes along a course. A course is taken to keep its curvature except
 * where the fixes say that it changes: a filter and smoother over distance, forward and back, in
 * which how much the curvature may change from place to place is learnt from the fixes themselves.
 * So straights and arcs come out even, and where one meets the other stays sharp. A filter of one
 * width would round off the tightest corners or leave noise on the rest.
 */
#ifndef MBL_ROAD_BEND_H
#define MBL_ROAD_BEND_H

#include "base/base.h"

typedef enum mbl_bend_kind { MBL_BEND_NONE, MBL_BEND_PLACE, MBL_BEND_CURVATURE } mbl_bend_kind;

typedef struct mbl_bend_fix {
    double s; /* m along the course, rising */
    mbl_bend_kind kind;
    double a, b;     /* m east and north; or 1/m, and nothing */
    double usual;    /* 1/m, by how much curvature may well change from one place to another here */
    double variance; /* of the noise, as a multiple of what all share and which is not known */
} mbl_bend_fix;

/*
 * Curvature (n) 1/m at each of n >= 2 fixes; all that are of a kind are of the same. `noise`
 * becomes the standard deviation that the variances are multiples of. Fails with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_bend_fit(mbl_arena *arena, const mbl_bend_fix *fix, size_t n,
                                      double *curvature, double *noise, mbl_error *err);

#endif
