/* SPDX-License-Identifier: MIT */
#include "brake/boiling.h"

#include "matter/matter.h"

#include <math.h>

double mbl_boiling_with_water(const mbl_fluid *fluid, double water)
{
    const double w0 = 0.00995;
    double at_wet = exp(-MBL_WET_WATER / w0);
    double floor_T = (fluid->wet - fluid->dry * at_wet) / (1.0 - at_wet);
    return floor_T + (fluid->dry - floor_T) * exp(-water / w0);
}

double mbl_boiling_at_pressure(double boiling, double p)
{
    const double R = 8.314463; /* J/mol K */
    double pressure = p > 1000.0 ? p : 1000.0;
    double inverse = 1.0 / boiling - R * log(pressure / MBL_ATMOSPHERE) / (88.0 * boiling);
    /* beyond the critical region the rule has no answer: the highest it can give stands */
    return inverse > 1.0 / 2000.0 ? 1.0 / inverse : 2000.0;
}
