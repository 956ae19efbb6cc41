/* SPDX-License-Identifier: MIT */
#include "matter/solid.h"

#include <math.h>
#include <stddef.h>

/* Grey iron, handbook values from memory, +-10 %. The peak near 750 C is not resolved. */
enum { KNOTS = MBL_IRON_BREAKS };
const double mbl_iron_break[KNOTS] = {293.15, 473.15, 673.15, 873.15, 1073.15};
const double mbl_iron_heat[KNOTS] = {460.0, 510.0, 560.0, 640.0, 760.0};
const double mbl_iron_slope[KNOTS] = {50.0 / 180.0, 50.0 / 200.0, 80.0 / 200.0, 120.0 / 200.0, 0.0};
/* 20 K at 460, then 180 K at 485 on average, and 200 K each at 535, 600 and 700 */
const double mbl_iron_above[KNOTS] = {9200.0, 96500.0, 203500.0, 323500.0, 463500.0};

double mbl_iron_specific_heat(double T)
{
    return mbl_polyline(mbl_iron_break, mbl_iron_heat, KNOTS, T);
}

double mbl_iron_enthalpy(double T)
{
    int i = 0;
    while (i + 1 < KNOTS && T > mbl_iron_break[i + 1])
        i++;
    double rise = T - mbl_iron_break[i];
    double slope = rise > 0 ? mbl_iron_slope[i] : 0;
    return mbl_iron_above[i] + rise * (mbl_iron_heat[i] + 0.5 * slope * rise);
}

double mbl_iron_temperature(double h)
{
    int i = 0;
    while (i + 1 < KNOTS && h > mbl_iron_above[i + 1])
        i++;
    double above = h - mbl_iron_above[i];
    double slope = above > 0 ? mbl_iron_slope[i] : 0;
    double c = mbl_iron_heat[i];
    /* the root that stays exact when the slope is small, or none */
    return mbl_iron_break[i] + 2 * above / (c + sqrt(c * c + 2 * slope * above));
}

/* Handbook values from memory, +-10 %. */
const mbl_solid mbl_steel = {7850.0, 560.0, 45.0};
const mbl_solid mbl_aluminium = {2700.0, 930.0, 160.0};
const mbl_solid mbl_titanium = {4430.0, 580.0, 9.0};
const mbl_solid mbl_cast_iron = {7200.0, 500.0, 50.0};

/* 2200 J/kgK at 20 C and about 4 J/kgK more per kelvin; values from memory, no source readable. */
const mbl_solid mbl_brake_fluid = {970.0, 2600.0, 0.17};
