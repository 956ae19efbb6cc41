/* SPDX-License-Identifier: MIT */
/*
 * Laws that a user writes: functions of one or two numbers, evaluated by whoever hosts them, and
 * sampled once when a definition is bound. After that a law is a table, whatever it came from.
 * Functions take and give bare numbers: SI, with levels of temperature in C.
 */
#ifndef MBL_PARTS_LAW_H
#define MBL_PARTS_LAW_H

#include "base/base.h"

/* The object of a handle node tagged "function". */
typedef struct mbl_function {
    /* y = f(x[0], ..., x[n - 1]); fails when it cannot be called or gives no finite number */
    mbl_status (*at)(void *ctx, const double *x, int n, double *y, mbl_error *err);
    void *ctx;
} mbl_function;

#define MBL_FUNCTION_TAG "function"

/* The grid that film laws are sampled on: speed 0 to 120 m/s by 2, temperature 250 to 1450 K by 50.
 */
enum { MBL_FILM_SPEEDS = 61, MBL_FILM_LEVELS = 25 };
#define MBL_FILM_SPEED_STEP 2.0
#define MBL_FILM_LEVEL_0    250.0
#define MBL_FILM_LEVEL_STEP 50.0

/* A film law of one's own, sampled: h in W/m2K over (speed, temperature), speed innermost. */
typedef struct mbl_film_samples {
    const mbl_alloc *alloc;
    double error; /* W/m2K, worst difference found half way between the samples */
    double h[MBL_FILM_SPEEDS * MBL_FILM_LEVELS];
} mbl_film_samples;

#endif
