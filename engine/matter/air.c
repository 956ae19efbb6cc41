/* SPDX-License-Identifier: MIT */
#include "matter/air.h"

#include <math.h>

mbl_air mbl_air_at(double T, double p)
{
    const double R = 287.05; /* J/kgK, dry air */
    double t = T / 273.15;
    mbl_air air;
    air.density = p / (R * T);
    air.viscosity = 1.716e-5 * t * sqrt(t) * 383.55 / (T + 110.4);
    air.conductivity = 0.0241 * t * sqrt(t) * 467.15 / (T + 194.0);
    air.specific_heat = 1006.0 + (T > 300.0 ? (T - 300.0) * (1093.0 - 1006.0) / 500.0 : 0.0);
    air.prandtl = air.specific_heat * air.viscosity / air.conductivity;
    return air;
}

double mbl_air_pressure(double altitude)
{
    /* ISO 2533: 288.15 K at sea level, 6.5 K/km lapse; the exponent is g/(R lapse) */
    return MBL_ATMOSPHERE * pow(1.0 - 0.0065 * altitude / 288.15, 5.25588);
}
