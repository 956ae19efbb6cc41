/* SPDX-License-Identifier: MIT */
/* Order statistics without sorting. */
#ifndef MBL_ROAD_SELECT_H
#define MBL_ROAD_SELECT_H

#include <stddef.h>

/* The k-th smallest (from 0) of n > k finite numbers. Reorders x. */
double mbl_select(double *x, size_t n, size_t k);

/* The upper median of n >= 1 finite numbers. Reorders x. */
double mbl_median(double *x, size_t n);

#endif
