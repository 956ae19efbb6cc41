/* SPDX-License-Identifier: MIT */
#include "matter/solid.h"

#include <stddef.h>

/* Grey iron, handbook values from memory, +-10 %. The peak near 750 C is not resolved. */
static const double iron_T[] = {293.15, 473.15, 673.15, 873.15, 1073.15};
static const double iron_c[] = {460.0, 510.0, 560.0, 640.0, 760.0};
enum { KNOTS = sizeof iron_T / sizeof iron_T[0] };

double mbl_iron_specific_heat(double T)
{
    return mbl_polyline(iron_T, iron_c, KNOTS, T);
}

/* Integral of the polyline from iron_T[0] to T. */
static double above_first_knot(double T)
{
    if (T <= iron_T[0])
        return (T - iron_T[0]) * iron_c[0];
    double h = 0;
    for (size_t i = 1; i < KNOTS; i++) {
        double end = T < iron_T[i] ? T : iron_T[i];
        h += (end - iron_T[i - 1]) * 0.5 * (iron_c[i - 1] + mbl_iron_specific_heat(end));
        if (T <= iron_T[i])
            return h;
    }
    return h + (T - iron_T[KNOTS - 1]) * iron_c[KNOTS - 1];
}

double mbl_iron_enthalpy(double T)
{
    return above_first_knot(T) - above_first_knot(273.15);
}

/* Inverse by Newton's method from T: enthalpy is convex and rising, so a few steps settle it. */
static double iron_temperature(double h, double T)
{
    for (int i = 0; i < 8; i++)
        T += (h - mbl_iron_enthalpy(T)) / mbl_iron_specific_heat(T);
    return T;
}

mbl_table1 mbl_iron_table(double y[MBL_IRON_KNOTS])
{
    double low = mbl_iron_enthalpy(200.0);
    double step = (mbl_iron_enthalpy(1800.0) - low) / (MBL_IRON_KNOTS - 1);
    double T = 200.0;
    for (int i = 0; i < MBL_IRON_KNOTS; i++) {
        T = iron_temperature(low + step * i, T);
        y[i] = T;
    }
    return (mbl_table1){low, 1.0 / step, MBL_IRON_KNOTS, y};
}

mbl_table1 mbl_iron_bends(double y[MBL_BEND_KNOTS])
{
    const double per = (MBL_BEND_KNOTS - 1) / (1800.0 - 200.0);
    for (int i = 0; i < MBL_BEND_KNOTS; i++) {
        /* over a few kelvin, so that the knots of the polyline do not make steps */
        double T = 200.0 + i / per;
        double rise = mbl_iron_specific_heat(T + 4) - mbl_iron_specific_heat(T - 4);
        y[i] = 0.5 * (rise / 8) / mbl_iron_specific_heat(T);
    }
    return (mbl_table1){200.0, per, MBL_BEND_KNOTS, y};
}

/* Handbook values from memory, +-10 %. */
const mbl_solid mbl_steel = {7850.0, 560.0, 45.0};
const mbl_solid mbl_aluminium = {2700.0, 930.0, 160.0};
const mbl_solid mbl_titanium = {4430.0, 580.0, 9.0};
const mbl_solid mbl_cast_iron = {7200.0, 500.0, 50.0};

/* 2200 J/kgK at 20 C and about 4 J/kgK more per kelvin; values from memory, no source readable. */
const mbl_solid mbl_brake_fluid = {970.0, 2600.0, 0.17};
