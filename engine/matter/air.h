/* SPDX-License-Identifier: MIT */
/* Dry air as an ideal gas. */
#ifndef MBL_MATTER_AIR_H
#define MBL_MATTER_AIR_H

typedef struct mbl_air {
    double density;       /* kg/m3 */
    double viscosity;     /* Pa s, dynamic */
    double conductivity;  /* W/mK */
    double specific_heat; /* J/kgK */
    double prandtl;
} mbl_air;

/*
 * Air at temperature T (K, 150 to 1900) and pressure p (Pa).
 * Viscosity and conductivity: Sutherland's law. Specific heat: 1006 J/kgK up to 300 K, rising
 * linearly to 1093 at 800 K and on (textbook air tables, values from memory).
 */
mbl_air mbl_air_at(double T, double p);

/* Pressure at an altitude (m, -500 to 5000), Pa: standard atmosphere, ISO 2533. */
double mbl_air_pressure(double altitude);

#define MBL_ATMOSPHERE 101325.0 /* Pa */

#endif
