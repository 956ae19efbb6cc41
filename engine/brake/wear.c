/* SPDX-License-Identifier: MIT */
#include "brake/wear.h"

#include "brake/friction.h"

#include <math.h>

/* exp((E / R) (1 / T_onset - 1 / T)) above the onset, 1 below. */
static double arrhenius(const mbl_pad *pad, double T)
{
    const double R = 8.314463; /* J/mol K */
    double onset = mbl_pad_wear_onset(pad);
    return T > onset ? exp(pad->wear_activation / R * (1 / onset - 1 / T)) : 1;
}

double mbl_pad_wear(const mbl_pad *pad, double T)
{
    bool given = pad->wear_effect.n > 0;
    return pad->wear * (given ? mbl_effect_at(&pad->wear_effect, T) : arrhenius(pad, T));
}

double mbl_pad_wear_depth(const mbl_pad *pad, double energy, double T)
{
    return mbl_pad_wear(pad, T) * 0.5 * energy / pad->area;
}

double mbl_rotor_wear_depth(const mbl_rotor *rotor, const mbl_pad *pad, double energy)
{
    /* the band that the pads sweep, at the rim; what both faces lose is spread over one of them */
    double swept = M_PI * (rotor->diameter - pad->height) * pad->height;
    return rotor->wear * energy / swept;
}

double mbl_skin_stress(double rise)
{
    const double stiffness = 110e9; /* Pa */
    const double expansion = 11e-6; /* 1/K */
    const double poisson = 0.26;
    return stiffness * expansion * rise / (1 - poisson);
}

double mbl_crack_weight(double rise)
{
    double above = fmax(rise - MBL_SKIN_FLOWS, 0) / MBL_SKIN_FLOWS;
    return above * above;
}
