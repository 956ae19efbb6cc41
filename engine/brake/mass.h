/* SPDX-License-Identifier: MIT */
/* What a brake weighs, and what its weight costs in inertia. Pure laws. */
#ifndef MBL_BRAKE_MASS_H
#define MBL_BRAKE_MASS_H

#include "parts/parts.h"

/* Rotor with hat; both pads of one wheel at their present thickness, with plates of
 * steel, kg. */
double mbl_rotor_mass(const mbl_rotor *rotor);
double mbl_pads_mass(const mbl_pad *pad);

/* Everything unsprung of one wheel's brake, kg: rotor, pads, caliper, duct. */
double mbl_brake_mass(const mbl_brake *brake);

/* Moment of inertia of a rotor about its axle, kg m2: the ring as a thick ring, the hat as a disc
 * within it. */
double mbl_rotor_inertia(const mbl_rotor *rotor);

/* Mass (kg) that this inertia adds to a car with tyres of `radius` m: I / r^2. */
double mbl_equivalent_mass(const mbl_rotor *rotor, double tyre_radius);

#endif
