/* SPDX-License-Identifier: MIT */
#include "brake/boiling.h"

#include "matter/matter.h"
#include "num/num.h"

#include <math.h>

double mbl_boiling_with_water(double dry, double wet, double water)
{
    const double w0 = 0.00995;
    double at_wet = exp(-MBL_WET_WATER / w0);
    double floor_T = (wet - dry * at_wet) / (1.0 - at_wet);
    return floor_T + (dry - floor_T) * exp(-water / w0);
}

double mbl_boiling_at_pressure(double boiling, double p)
{
    const double R = 8.314463; /* J/mol K */
    double pressure = p > 1000.0 ? p : 1000.0;
    double inverse = 1.0 / boiling - R * log(pressure / MBL_ATMOSPHERE) / (88.0 * boiling);
    /* beyond the critical region the rule has no answer: the highest it can give stands */
    return inverse > 1.0 / 2000.0 ? 1.0 / inverse : 2000.0;
}

double mbl_boiling_point(const mbl_fluid *fluid, double water, double p)
{
    double dry = mbl_fluid_dry(fluid);
    double of_water = mbl_water_boiling(p);
    if (mbl_fluid_keeps_water_apart(fluid)) {
        double alone = mbl_boiling_at_pressure(dry, p);
        return water > 0 ? fmin(alone, of_water) : alone;
    }
    const mbl_curve *own = &fluid->boiling;
    double mixed = own->n > 0 ? 273.15 + mbl_polyline(own->x, own->y, own->n, water)
                              : mbl_boiling_with_water(dry, mbl_fluid_wet(fluid), water);
    return fmax(mbl_boiling_at_pressure(mixed, p), of_water);
}

double mbl_vapour_volume(double mass, double T, double boiling, double p)
{
    if (T <= boiling)
        return 0;
    const double R = 8.314463; /* J/mol K */
    double moles = mass * mbl_brake_fluid.specific_heat * (T - boiling) / (88.0 * boiling);
    return moles * R * boiling / p;
}
