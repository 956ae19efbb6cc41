/* SPDX-License-Identifier: MIT */
/*
 * Laws as tables on uniform grids: linear in one variable, bilinear in two, flat outside. An
 * interpolant of monotone samples is monotone and continuous, and costs the same whatever the
 * law behind it is.
 */
#ifndef MBL_NUM_TABLE_H
#define MBL_NUM_TABLE_H

#include <stddef.h>

/* y over x; y is (n), n at least 2, borrowed. */
typedef struct mbl_table1 {
    double x0;       /* first knot */
    double per_step; /* 1 / knot spacing */
    int n;
    const double *y;
} mbl_table1;

/*
 * z over (x, y); z is (ny x nx), x innermost, both at least 2, borrowed. What changes faster is
 * best made x: its samples lie side by side.
 */
typedef struct mbl_table2 {
    double x0, x_per_step;
    double y0, y_per_step;
    int nx, ny;
    const double *z;
} mbl_table2;

/* Where a value lies on a grid: interval and position in it, 0..1; the ends outside. */
typedef struct mbl_spot {
    int i;
    double u;
} mbl_spot;

static inline mbl_spot mbl_spot_find(double x, double x0, double per_step, int n)
{
    double s = (x - x0) * per_step;
    double last = (double)(n - 1);
    s = s > 0 ? s : 0; /* NaN ends here too */
    s = s < last ? s : last;
    int i = (int)s;
    i = i < n - 2 ? i : n - 2;
    return (mbl_spot){i, s - (double)i};
}

static inline double mbl_table1_at(const mbl_table1 *t, double x)
{
    mbl_spot s = mbl_spot_find(x, t->x0, t->per_step, t->n);
    double a = t->y[s.i];
    return a + s.u * (t->y[s.i + 1] - a);
}

/* dy/dx on the interval that x lies in (the end intervals outside). */
static inline double mbl_table1_slope(const mbl_table1 *t, double x)
{
    mbl_spot s = mbl_spot_find(x, t->x0, t->per_step, t->n);
    return (t->y[s.i + 1] - t->y[s.i]) * t->per_step;
}

/* With the place in x found before: lanes share their speed. */
static inline double mbl_table2_at(const mbl_table2 *t, mbl_spot x, double y)
{
    mbl_spot s = mbl_spot_find(y, t->y0, t->y_per_step, t->ny);
    const double *low = t->z + (ptrdiff_t)s.i * t->nx + x.i;
    const double *high = low + t->nx;
    double a = low[0] + s.u * (high[0] - low[0]);
    double b = low[1] + s.u * (high[1] - low[1]);
    return a + x.u * (b - a);
}

/* Piecewise linear through n points of strictly rising x, flat outside. */
double mbl_polyline(const double *x, const double *y, size_t n, double at);

/* The same at x0, x0 + step, ... (step above 0), `count` values. */
void mbl_polyline_sample(const double *x, const double *y, size_t n, double x0, double step,
                         size_t count, double *out);

#endif
