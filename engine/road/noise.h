/* SPDX-License-Identifier: MIT */
/* How far a logged speed can be trusted: scatter from sample to sample, and rounding. */
#ifndef MBL_ROAD_NOISE_H
#define MBL_ROAD_NOISE_H

#include <stddef.h>

/*
 * Standard deviation of what is left of v when anything a car can do is taken out, in the unit
 * of v. `work` has room for n doubles. 0 for fewer than 8 samples.
 */
double mbl_noise_level(const double *t, const double *v, size_t n, double *work);

/*
 * The step that every value is a multiple of; 0 when there is none. `work` has room for n
 * doubles.
 */
double mbl_noise_step(const double *v, size_t n, double *work);

/*
 * Speed behind n samples that were rounded to steps, at the same times: see the file. `out` is
 * another array than v.
 */
void mbl_noise_unround(const double *t, const double *v, size_t n, double step, double *out);

#endif
