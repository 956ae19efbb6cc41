/* SPDX-License-Identifier: MIT */
#include "brake/duct.h"

#include <math.h>

/* Loss coefficients of the velocity head in the hose; textbook values from memory. */
static const double inlet_loss = 0.3;
static const double bend_loss = 0.35; /* 90 degrees, smooth radius */
static const double exit_loss = 1.0;  /* a jet into still surroundings */

double mbl_hose_friction(double Re, double roughness)
{
    if (Re < 1)
        Re = 1;
    double laminar = 64 / Re;
    if (Re <= 2000)
        return laminar;
    double root = -1.8 * log10(pow(roughness / 3.7, 1.11) + 6.9 / Re);
    double turbulent = 1 / (root * root);
    if (Re >= 4000)
        return turbulent;
    double u = log(Re / 2000) / log(2.0);
    return laminar + u * u * (3 - 2 * u) * (turbulent - laminar);
}

double mbl_inlet_recovery(int inlet)
{
    switch ((mbl_inlet)inlet) {
    case MBL_INLET_FLUSH:
        return 0.45;
    case MBL_INLET_SUBMERGED:
        return 0.8;
    case MBL_INLET_NOSE:
        break;
    }
    return 0.95;
}

/* f L/D of the hose at Reynolds number Re. */
static double hose_loss(const mbl_duct *d, double Re)
{
    double smooth = mbl_hose_friction(Re, 0.0);
    double f = smooth;
    /* folds trip the flow whatever Re: published factors 0.05 to 0.12 (from memory) */
    if (d->hose == MBL_HOSE_CORRUGATED)
        f = fmax(smooth, 0.08);
    if (d->hose == MBL_HOSE_COMPRESSED)
        f = fmax(smooth, 0.12);
    return f * d->length / d->bore;
}

double mbl_duct_speed(const mbl_duct *d, double V, const mbl_air *air)
{
    double open = 1.0 - d->taped;
    double recovery = isnan(d->recovery) ? mbl_inlet_recovery(d->inlet) : d->recovery;
    double drive = recovery - d->back_pressure;
    if (V <= 0 || open <= 0 || drive <= 0)
        return 0;
    /* tape narrows the inlet: a sharp contraction to `open` of the area, and out again */
    double tape = (1 / open - 1) * (1 / open - 1);
    /* one inlet for several hoses carries the flow of all */
    double shared = (inlet_loss + tape) * d->split * d->split;
    double fixed = shared + d->bends * bend_loss + exit_loss;
    double kinematic = air->viscosity / air->density;
    double head = V * V * drive;
    /* f depends on v and v on f; f moves little, so a few turns settle it to rounding */
    double v = sqrt(head / (fixed + hose_loss(d, 1e5)));
    for (int i = 0; i < 12; i++)
        v = sqrt(head / (fixed + hose_loss(d, v * d->bore / kinematic)));
    return v;
}

double mbl_duct_head(const mbl_duct *d, double V)
{
    double recovery = isnan(d->recovery) ? mbl_inlet_recovery(d->inlet) : d->recovery;
    return V * sqrt(fmax(recovery - d->back_pressure, 0));
}

double mbl_duct_carries(const mbl_duct *d, double v, const mbl_air *air)
{
    double area = M_PI / 4 * d->bore * d->bore;
    return air->density * v * area * d->hoses;
}

double mbl_duct_flow(const mbl_duct *d, double V, const mbl_air *air)
{
    return mbl_duct_carries(d, mbl_duct_speed(d, V, air), air);
}

double mbl_duct_bears(const mbl_duct *d)
{
    if (!isnan(d->bears))
        return d->bears;
    return d->material == MBL_HOSE_SILICONE ? 273.15 + 315 : 273.15 + 130;
}
