/* SPDX-License-Identifier: MIT */
#include "heat/cooling.h"

#include <math.h>

/* 0 below Re = low, 1 above high, smooth and rising in log Re between. */
static double blend(double Re, double low, double high)
{
    if (Re <= low)
        return 0;
    if (Re >= high)
        return 1;
    double u = log(Re / low) / log(high / low);
    return u * u * (3 - 2 * u);
}

static double nu(const mbl_air *air)
{
    return air->viscosity / air->density;
}

double mbl_film_disc_free(double omega, double R, const mbl_air *air)
{
    const double Re_c = 2.4e5;
    double Re = omega * R * R / nu(air);
    double k_R = air->conductivity / R;
    double laminar = 0.36 * sqrt(Re) * k_R;
    if (Re <= Re_c)
        return laminar;
    /* the laminar core reaches r_c with (r_c/R)^2 = Re_c/Re; locally turbulent h goes as r^0.6 */
    double core = Re_c / Re;
    double turbulent = 0.015 * pow(Re, 0.8) * k_R;
    return laminar * core + turbulent * (1.0 - pow(core, 1.3));
}

double mbl_film_disc_flow(double V, double D, const mbl_air *air)
{
    double Re = V * D / nu(air);
    if (Re <= 0)
        return 0;
    double s = blend(Re, 2.0e5, 2.9e5);
    /* each power only where it counts: laws are sampled by the thousand */
    double low = s < 1 ? 0.70 * pow(Re, 0.55) : 0;
    double high = s > 0 ? 0.04 * pow(Re, 0.8) : 0;
    double Nu = s <= 0 ? low : s >= 1 ? high : low + s * (high - low);
    return Nu * air->conductivity / D;
}

static double mean_width(const mbl_vanes *v)
{
    double circumference = M_PI * 0.5 * (v->outer + v->inner);
    return (1.0 - v->solid) * circumference / v->count;
}

double mbl_vanes_hydraulic(const mbl_vanes *v)
{
    double width = mean_width(v);
    return 2.0 * width * v->gap / (width + v->gap);
}

void mbl_vanes_area(const mbl_vanes *v, double *walls, double *sides)
{
    double length = 0.5 * (v->outer - v->inner);
    double ring = M_PI / 4 * (v->outer * v->outer - v->inner * v->inner);
    *walls = 2.0 * (1.0 - v->solid) * ring;
    *sides = 2.0 * v->count * v->gap * length;
}

static double channel_laminar(double Re, double Pr, double d_l)
{
    return 1.86 * cbrt(Re * Pr * d_l);
}

static double channel_turbulent(double Re, double Pr, double d_l)
{
    double root = 0.79 * log(Re) - 1.64; /* f = root^-2 */
    double f_8 = 0.125 / (root * root);
    double entrance = 1.0 + pow(d_l, 2.0 / 3.0);
    return f_8 * (Re - 1000.0) * Pr / (1.0 + 12.7 * sqrt(f_8) * (pow(Pr, 2.0 / 3.0) - 1.0)) *
           entrance;
}

double mbl_film_channel(double V, double d, double l, const mbl_air *air)
{
    const double laminar_to = 2300.0;
    const double turbulent_from = 4000.0;
    double Re = V * d / nu(air);
    double Pr = air->prandtl;
    if (Re <= 0)
        return 0;
    double Nu;
    if (Re <= laminar_to) {
        Nu = channel_laminar(Re, Pr, d / l);
    } else if (Re >= turbulent_from) {
        Nu = channel_turbulent(Re, Pr, d / l);
    } else {
        double low = channel_laminar(laminar_to, Pr, d / l);
        double high = channel_turbulent(turbulent_from, Pr, d / l);
        Nu = low + (high - low) * (Re - laminar_to) / (turbulent_from - laminar_to);
    }
    return Nu * air->conductivity / d;
}

double mbl_vanes_speed(double omega, const mbl_vanes *v, double pumping)
{
    double inlet = 0.5 * omega * sqrt(v->outer * v->outer - v->inner * v->inner);
    /* the channel's area grows with the radius, so the air slows down */
    double outlet = inlet * v->inner / v->outer;
    return pumping * 0.5 * (inlet + outlet);
}

double mbl_vanes_section(const mbl_vanes *v)
{
    return v->count * mean_width(v) * v->gap;
}

double mbl_film_vanes(double V, const mbl_vanes *v, const mbl_air *air)
{
    if (V <= 0)
        return 0;
    double d = mbl_vanes_hydraulic(v);
    double h = mbl_film_channel(V, d, 0.5 * (v->outer - v->inner), air);
    double walls;
    double sides;
    mbl_vanes_area(v, &walls, &sides);
    double carried = air->density * V * mbl_vanes_section(v) * air->specific_heat; /* W/K */
    double transfer_units = h * (walls + sides) / carried;
    return h * -expm1(-transfer_units) / transfer_units;
}

double mbl_film_across(double V, double D, const mbl_air *air)
{
    double Re = V * D / nu(air);
    if (Re <= 0)
        return 0;
    double Nu = 0.3 + 0.62 * sqrt(Re) * cbrt(air->prandtl) /
                          pow(1.0 + pow(0.4 / air->prandtl, 2.0 / 3.0), 0.25) *
                          pow(1.0 + pow(Re / 282000.0, 0.625), 0.8);
    return Nu * air->conductivity / D;
}

double mbl_film_still(double T, double ambient, double L, double p)
{
    double film = 0.5 * (T + ambient);
    mbl_air air = mbl_air_at(film, p);
    double v = nu(&air);
    double Ra = 9.80665 * fabs(T - ambient) / film * L * L * L / (v * v) * air.prandtl;
    double root = 0.825 + 0.387 * pow(Ra, 1.0 / 6.0) /
                              pow(1.0 + pow(0.492 / air.prandtl, 9.0 / 16.0), 8.0 / 27.0);
    return root * root * air.conductivity / L;
}

double mbl_film_mixed(double a, double b)
{
    return cbrt(a * a * a + b * b * b);
}
