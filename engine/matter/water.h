/* SPDX-License-Identifier: MIT */
/* Water that is not dissolved boils by itself. */
#ifndef MBL_MATTER_WATER_H
#define MBL_MATTER_WATER_H

/*
 * Saturation temperature of water (K) at absolute pressure p (Pa, 611.213 to 22.064e6; clamped):
 * IAPWS-IF97, region 4, backward equation. Coefficients from memory; they reproduce the
 * standard's three verification values to nine digits (tests/unit/test_water.c).
 */
double mbl_water_boiling(double p);

#endif
