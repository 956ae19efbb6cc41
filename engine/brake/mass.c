/* SPDX-License-Identifier: MIT */
#include "brake/mass.h"

#include "matter/matter.h"

#include <math.h>

static double inner_radius(const mbl_rotor *rotor)
{
    return 0.5 * rotor->diameter - mbl_rotor_ring_height(rotor);
}

double mbl_rotor_mass(const mbl_rotor *rotor)
{
    return mbl_rotor_ring_mass(rotor) + rotor->hat_mass;
}

double mbl_pads_mass(const mbl_pad *pad)
{
    double plate = mbl_steel.density * pad->plate_thickness;
    return 2 * pad->area * (pad->density * mbl_pad_thickness(pad) + plate);
}

double mbl_brake_mass(const mbl_brake *brake)
{
    double duct = brake->duct.present ? brake->duct.mass : 0;
    return mbl_rotor_mass(&brake->rotor) + mbl_pads_mass(&brake->pad) + brake->caliper.mass + duct;
}

double mbl_rotor_inertia(const mbl_rotor *rotor)
{
    double outer = 0.5 * rotor->diameter;
    double inner = inner_radius(rotor);
    return 0.5 * mbl_rotor_ring_mass(rotor) * (outer * outer + inner * inner) +
           0.5 * rotor->hat_mass * inner * inner;
}

double mbl_equivalent_mass(const mbl_rotor *rotor, double tyre_radius)
{
    return mbl_rotor_inertia(rotor) / (tyre_radius * tyre_radius);
}
