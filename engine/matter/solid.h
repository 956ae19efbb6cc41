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

/*
 * Temperature (K) over specific enthalpy (J/kg) on a uniform grid fine enough to be within
 * 0.001 K of the exact inverse between 200 and 1800 K. `y` holds MBL_IRON_KNOTS doubles and must
 * outlive the table. The stepping kernel goes on straight beyond its ends.
 */
enum { MBL_IRON_KNOTS = 1025 };
mbl_table1 mbl_iron_table(double y[MBL_IRON_KNOTS]);

/* Half of dc/dT over c of grey iron (1/K) over T (K), from 200 to 1800 K. `y` holds MBL_BEND_KNOTS
 * doubles and must outlive the table. */
enum { MBL_BEND_KNOTS = 801 };
mbl_table1 mbl_iron_bends(double y[MBL_BEND_KNOTS]);

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
