/* SPDX-License-Identifier: MIT */
/*
 * What a car can do at one place of a layout: corner, pull, stop. Private to the lap.
 *
 * An axle carries its share by weight of the sideways force; with load N it bears
 * C = surface mu_t(N) N in all, and along the road what the circle leaves over,
 *
 *   sqrt(C^2 - (F_y / corner)^2)
 *
 * with the driver's share of the sideways grip. Loads are those of mbl_axle_loads for a car whose
 * weight is what presses it on the road here.
 */
#ifndef MBL_DRIVE_LAP_LIMITS_H
#define MBL_DRIVE_LAP_LIMITS_H

#include "drive/lap.h"

#define MBL_LAP_FASTEST 200.0 /* m/s: no limit is looked for above, no lap driven faster */

/* What of car and driver stays the same all lap. */
typedef struct mbl_lap_car {
    const mbl_lap_ask *ask;
    const mbl_car *car;
    double inertia;        /* kg, rotating parts included */
    double drag;           /* kg/m: force over the square of the speed */
    double power;          /* W, INFINITY where only the gearing limits, 0 where nothing drives */
    double torque;         /* N m, the highest of the curve; 0 without gearing */
    double top;            /* m/s: the last rev in the highest gear, at most MBL_LAP_FASTEST */
    double static_load[2]; /* N, axles at rest as their tyres' grip is stated */
    double weight[2];      /* shares of the weight */
    bool driven[2];
} mbl_lap_car;

/* A stretch as the car feels it, m/s2. */
typedef struct mbl_lap_ground {
    double press;  /* of gravity onto the road */
    double along;  /* of gravity against the way, positive uphill */
    double across; /* of gravity towards the left */
    double cos_bank, sin_bank;
    double surface;
} mbl_lap_ground;

/* A place as the car passes it. */
typedef struct mbl_lap_place {
    const mbl_lap_ground *ground;
    double curvature; /* 1/m */
    double s;         /* m, where the brakes' friction is looked up */
} mbl_lap_place;

mbl_lap_car mbl_lap_car_of(const mbl_lap_ask *ask);
mbl_lap_ground mbl_lap_ground_of(const mbl_stretch *stretch);

/*
 * Half the square of the highest speed at which the tyres hold the car sideways and, on top, bear
 * what keeps its speed: drag, rolling and grade, by the driven axle where the engine gives it, by
 * weight where brakes do. No more than half of an axle's grip is set aside for that: where it does
 * not do, the car slows down in the turn, which is for mbl_lap_pulls to say. 0: they do not hold it
 * at the speed at which bank and turn cancel either. At most that of MBL_LAP_FASTEST.
 */
double mbl_lap_corner(const mbl_lap_car *c, const mbl_lap_place *at);

/* Acceleration, and deceleration, m/s2, at v2 = v^2; *by is what limits it. Either may be negative:
 * a climb is too steep, a descent too slippery. */
double mbl_lap_pulls(const mbl_lap_car *c, const mbl_lap_place *at, double v2, mbl_lap_holds *by);
double mbl_lap_stops(const mbl_lap_car *c, const mbl_lap_place *at, double v2, mbl_lap_holds *by);

#endif
