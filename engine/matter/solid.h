/* SPDX-License-Identifier: MIT */
/* Grey iron with its heat over temperature, and alloys at one representative temperature. */
#ifndef MBL_MATTER_SOLID_H
#define MBL_MATTER_SOLID_H

#include "num/num.h"

#define MBL_IRON_DENSITY 7200.0 /* kg/m3, handbook value from memory */

/* Specific heat of grey iron at T (K), J/kgK: linear between handbook knots, flat outside. */
double mbl_iron_specific_heat(double T);

/* Specific enthalpy of grey iron above 0 C, J/kg: the exact integral of the above. */
double mbl_iron_enthalpy(double T);

/* Its inverse. */
double mbl_iron_temperature(double h);

/*
 * The pieces of that law, for those who work on many values at once. From break i on, dc/dT is
 * slope[i], starting at heat[i] and enthalpy[i]; below break 0 the heat is heat[0].
 */
enum { MBL_IRON_BREAKS = 5 };
extern const double mbl_iron_break[MBL_IRON_BREAKS]; /* K */
extern const double mbl_iron_slope[MBL_IRON_BREAKS]; /* J/kgK2 */
extern const double mbl_iron_heat[MBL_IRON_BREAKS];  /* J/kgK */
extern const double mbl_iron_above[MBL_IRON_BREAKS]; /* J/kg above 0 C */

typedef struct mbl_solid {
    double density;       /* kg/m3 */
    double specific_heat; /* J/kgK */
    double conductivity;  /* W/mK */
} mbl_solid;

/* At about 150 C for metals that stay warm, 300 C for those that get hot. */
extern const mbl_solid mbl_steel;
extern const mbl_solid mbl_aluminium;
extern const mbl_solid mbl_titanium;
extern const mbl_solid mbl_cast_iron;

/* Glycol brake fluid at about 120 C. */
extern const mbl_solid mbl_brake_fluid;

#endif
