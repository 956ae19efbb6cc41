/* SPDX-License-Identifier: MIT */
#include "num/table.h"

double mbl_polyline(const double *x, const double *y, size_t n, double at)
{
    size_t low = 0;
    size_t high = n - 1;
    if (at <= x[low])
        return y[low];
    if (!(at < x[high]))
        return y[high];
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (at < x[middle])
            high = middle;
        else
            low = middle;
    }
    return y[low] + (at - x[low]) / (x[high] - x[low]) * (y[high] - y[low]);
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
