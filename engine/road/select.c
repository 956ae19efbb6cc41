/* SPDX-License-Identifier: MIT */
#include "road/select.h"

/* Hoare's selection. */
double mbl_select(double *x, size_t n, size_t k)
{
    size_t lo = 0;
    size_t hi = n - 1;
    while (lo < hi) {
        double pivot = x[lo + (hi - lo) / 2];
        size_t i = lo;
        size_t j = hi;
        for (;;) {
            while (x[i] < pivot)
                i++;
            while (x[j] > pivot)
                j--;
            if (i >= j)
                break;
            double keep = x[i];
            x[i++] = x[j];
            x[j--] = keep;
        }
        /* x[lo..j] <= pivot <= x[j+1..hi] */
        if (k <= j)
            hi = j;
        else
            lo = j + 1;
    }
    return x[k];
}

double mbl_median(double *x, size_t n)
{
    return mbl_select(x, n, n / 2);
}
