/* SPDX-License-Identifier: MIT */
#include "brake/friction.h"

#include "num/num.h"

#include <math.h>

double mbl_effect_at(const mbl_curve *effect, double x)
{
    return effect->n == 0 ? 1.0 : mbl_polyline(effect->x, effect->y, effect->n, x);
}

double mbl_friction_at(const mbl_pad *pad, double T, double v, double p)
{
    return mbl_pad_condition(pad) *
           mbl_polyline(pad->friction.x, pad->friction.y, pad->friction.n, T) *
           mbl_effect_at(&pad->speed_effect, v) * mbl_effect_at(&pad->pressure_effect, p);
}

double mbl_caliper_area(const mbl_caliper *caliper)
{
    double area = 0;
    for (size_t i = 0; i < caliper->pistons.n; i++)
        area += M_PI / 4 * caliper->pistons.v[i] * caliper->pistons.v[i];
    return area;
}

double mbl_effective_radius(const mbl_brake *brake)
{
    if (!isnan(brake->effective_radius))
        return brake->effective_radius;
    return 0.5 * (brake->rotor.diameter - brake->pad.height);
}

double mbl_axle_gain(const mbl_brake *brake, double tyre_radius)
{
    return 4.0 * mbl_caliper_area(&brake->caliper) * mbl_effective_radius(brake) / tyre_radius;
}

void mbl_interface_sides(const mbl_interface *face, double h, double *to_rotor, double *to_pad)
{
    double layer = h * face->area;
    double rotor_side = layer * (1.0 + face->k_rotor / face->k_pad);
    double pad_side = layer * (1.0 + face->k_pad / face->k_rotor);
    *to_rotor = 1.0 / (1.0 / rotor_side + face->rotor_half);
    *to_pad = 1.0 / (1.0 / pad_side + face->pad_half);
}
