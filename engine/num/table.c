/* SPDX-License-Identifier: MIT */
#include "num/table.h"

double mbl_polyline(const double *x, const double *y, size_t n, double at)
{
    if (at <= x[0])
        return y[0];
    for (size_t i = 1; i < n; i++) {
        if (at < x[i])
            return y[i - 1] + (at - x[i - 1]) / (x[i] - x[i - 1]) * (y[i] - y[i - 1]);
    }
    return y[n - 1];
}

void mbl_polyline_sample(const double *x, const double *y, size_t n, double x0, double step,
                         size_t count, double *out)
{
    size_t i = 1; /* first knot beyond the place at hand */
    for (size_t k = 0; k < count; k++) {
        double at = x0 + step * (double)k;
        while (i < n && at >= x[i])
            i++;
        if (at <= x[0] || i >= n)
            out[k] = at <= x[0] ? y[0] : y[n - 1];
        else
            out[k] = y[i - 1] + (at - x[i - 1]) / (x[i] - x[i - 1]) * (y[i] - y[i - 1]);
    }
}
