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
