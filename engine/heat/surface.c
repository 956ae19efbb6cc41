/* SPDX-License-Identifier: MIT */
#include "heat/surface.h"

#include "heat/network.h"

#include <math.h>

/* Common practice, no source. */
static const double body_flow = 0.3;   /* of the car's speed, at caliper and hub in a wheel */
static const double body_width = 0.09; /* m, a caliper across the flow */
static const double still_vanes = 0.5; /* of natural convection inside the channels */

mbl_duct_reach mbl_duct_reaches(const mbl_brake *brake)
{
    static const mbl_duct_reach by_aim[] = {
        [MBL_AIM_EYE] = {0.9, 0.02, 0.0, 0.3},
        [MBL_AIM_OPEN_EYE] = {0.4, 0.05, 0.05, 1.0},
        [MBL_AIM_FACE] = {0.05, 0.12, 0.05, 1.0},
        [MBL_AIM_CALIPER] = {0.0, 0.02, 0.5, 1.0},
    };
    if (!brake->duct.present)
        return (mbl_duct_reach){.pump = 1.0};
    mbl_duct_reach reach = by_aim[brake->duct.aim];
    if (brake->rotor.hat == MBL_HAT_INVERTED) {
        /* the inlets are behind the wheel: what reaches the eye turns back, and a plate on the
         * inboard side does not shut them */
        reach.vanes *= 0.1;
        reach.pump = 1.0;
    }
    if (mbl_rotor_vanes(&brake->rotor) == 0) {
        /* a solid ring has no channels: air from the eye spreads over the inboard face */
        reach.face += 0.2 * reach.vanes;
        reach.vanes = 0;
    }
    return reach;
}

/* Level of the sampled grid, or -1 for another temperature or without a memo. */
static int level_of(const mbl_surroundings *at, double T)
{
    double s = (T - MBL_FILM_LEVEL_0) / MBL_FILM_LEVEL_STEP;
    int i = s >= 0 && s < MBL_FILM_LEVELS ? (int)s : -1;
    return at->memo != NULL && i >= 0 && (double)i == s ? i : -1;
}

static mbl_air film_air(const mbl_surroundings *at, double T)
{
    int i = level_of(at, T);
    if (i >= 0 && at->memo->aired[i])
        return at->memo->air[i];
    mbl_air air = mbl_air_at(0.5 * (T + at->ambient), at->p);
    if (i >= 0) {
        at->memo->air[i] = air;
        at->memo->aired[i] = true;
    }
    return air;
}

/* Of the disc, or of a body. */
static double still(const mbl_surroundings *at, double T, bool disc)
{
    int i = level_of(at, T);
    if (i >= 0 && at->memo->still[disc][i] > 0)
        return at->memo->still[disc][i];
    double length = disc ? at->brake->rotor.diameter : body_width;
    double h = at->brake->still_air * mbl_film_still(T, at->ambient, length, at->p);
    if (i >= 0)
        at->memo->still[disc][i] = h;
    return h;
}

static double duct_speed(const mbl_surroundings *at, double speed)
{
    if (!at->brake->duct.present)
        return 0;
    if (at->memo != NULL && at->memo->ducted && at->memo->V == speed)
        return at->memo->v;
    mbl_air air = mbl_air_at(at->ambient, at->p);
    double v = mbl_duct_speed(&at->brake->duct, speed, &air);
    if (at->memo != NULL) {
        at->memo->ducted = true;
        at->memo->V = speed;
        at->memo->v = v;
    }
    return v;
}

/* Rim and hat, and faces before a jet: the car's flow, the disc's turning, still air. */
static double disc(const mbl_surroundings *at, double speed, double T)
{
    double D = at->brake->rotor.diameter;
    mbl_air air = film_air(at, T);
    double flow = mbl_film_disc_flow(at->brake->airflow * speed, D, &air);
    double turning = mbl_film_disc_free(speed / at->tyre_radius, 0.5 * D, &air);
    return mbl_film_mixed(mbl_film_mixed(flow, turning), still(at, T, true));
}

static double face(const mbl_surroundings *at, double speed, double T)
{
    double alone = disc(at, speed, T);
    double share = mbl_duct_reaches(at->brake).face;
    double jet_speed = duct_speed(at, speed);
    if (share <= 0 || jet_speed <= 0)
        return alone;
    mbl_air air = film_air(at, T);
    double jet = mbl_film_disc_flow(jet_speed, at->brake->rotor.diameter, &air);
    return alone + share * (mbl_film_mixed(alone, jet) - alone);
}

static double vanes(const mbl_surroundings *at, double speed, double T)
{
    const mbl_brake *b = at->brake;
    mbl_air air = film_air(at, T);
    mbl_duct_reach reach = mbl_duct_reaches(b);
    double V = reach.pump *
               mbl_vanes_speed(speed / at->tyre_radius, &at->vanes, mbl_rotor_pumping(&b->rotor));
    if (reach.vanes > 0) {
        mbl_air cold = mbl_air_at(at->ambient, at->p);
        double flow = reach.vanes * mbl_duct_carries(&b->duct, duct_speed(at, speed), &cold);
        /* channels that are nearly shut take no more than the duct's head drives through them */
        double through = flow / (air.density * mbl_vanes_section(&at->vanes));
        V += fmin(through, mbl_duct_head(&b->duct, speed));
    }
    double forced = mbl_film_vanes(V, &at->vanes, &air);
    return mbl_film_mixed(forced, still_vanes * still(at, T, true));
}

static double body(const mbl_surroundings *at, double speed, double jet, double T)
{
    mbl_air air = film_air(at, T);
    double V = body_flow * at->brake->airflow * speed + jet;
    return mbl_film_mixed(mbl_film_across(V, body_width, &air), still(at, T, false));
}

/* A law of the user's own for this surface, or NULL. */
static const mbl_film_samples *own_law(const mbl_brake *b, mbl_surface surface)
{
    switch (surface) {
    case MBL_SURFACE_FACE:
        return b->cooling.faces;
    case MBL_SURFACE_VANES:
        return b->cooling.vanes;
    case MBL_SURFACE_CALIPER:
        return b->cooling.caliper;
    case MBL_SURFACE_RIM:
    case MBL_SURFACE_HUB:
        break;
    }
    return NULL;
}

double mbl_surface_film(const mbl_surroundings *at, mbl_surface surface, double speed, double T)
{
    const mbl_film_samples *own = own_law(at->brake, surface);
    if (own != NULL) {
        mbl_table2 grid = mbl_film_grid(own->h);
        return mbl_table2_at(&grid, mbl_spot_find(speed, grid.x0, grid.x_per_step, grid.nx), T);
    }
    switch (surface) {
    case MBL_SURFACE_FACE:
        return face(at, speed, T);
    case MBL_SURFACE_RIM:
        return disc(at, speed, T);
    case MBL_SURFACE_VANES:
        return vanes(at, speed, T);
    case MBL_SURFACE_CALIPER:
        return body(at, speed, mbl_duct_reaches(at->brake).caliper * duct_speed(at, speed), T);
    case MBL_SURFACE_HUB:
        break;
    }
    return body(at, speed, 0, T);
}
