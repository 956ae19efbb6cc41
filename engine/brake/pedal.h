/* SPDX-License-Identifier: MIT */
/*
 * From the foot to line pressure, and back: distribution, booster, effort, and where the travel
 * of the pedal goes. Pure laws. "Front pressure" is that of the front circuit and stands for the
 * whole system: everything else follows from it.
 */
#ifndef MBL_BRAKE_PEDAL_H
#define MBL_BRAKE_PEDAL_H

#include "parts/parts.h"

/*
 * Rear pressure over front pressure p:
 *
 *   p_rear = rear (min(p, knee) + slope max(p - knee, 0))
 *
 * Two masters give `rear` = (1 - balance) A_front / (balance A_rear): each gets its share of the
 * rod's force. A tandem master, and a car without a pedal: 1. A valve has a knee and a slope. Where
 * there is no valve the knee is MBL_NO_KNEE and the slope 1.
 */
typedef struct mbl_distribution {
    double rear;
    double knee; /* Pa */
    double slope;
} mbl_distribution;

#define MBL_NO_KNEE 1e12 /* Pa, above every line pressure */

mbl_distribution mbl_distribution_of(const mbl_pedal *pedal);
double mbl_rear_pressure(const mbl_distribution *distribution, double front); /* Pa */

/* What follows is about a car with a pedal; without one every number is NAN. */

/* Share of the rod's force on the front master; 1 for a tandem master, whose rod feels all. Two
 * masters without a bar count as a bar in its middle. */
double mbl_pedal_balance(const mbl_pedal *pedal);

/*
 * Front line pressure (Pa) at an effort on the pad (N, not negative) in air of pressure `air`
 * (Pa, absolute):
 *
 *   F_rod = effort ratio efficiency
 *   F_master = F_rod + min((gain - 1) F_rod, assist air / 101325)     booster with run-out
 *   p = balance F_master / A_front
 *
 * Continuous, rises with the effort.
 */
double mbl_pedal_pressure(const mbl_pedal *pedal, double effort, double air);

/* The effort (N) that front pressure p asks for: the inverse of the former. */
double mbl_pedal_effort(const mbl_pedal *pedal, double p, double air);

/* Effort at which the booster runs out, N; INFINITY without a booster. */
double mbl_pedal_run_out(const mbl_pedal *pedal, double air);

/* What the travel is asked to cover besides pressure. */
typedef struct mbl_travel_at {
    double vapour[2];  /* m3 in one caliper of the front and of the rear axle */
    bool knocked_back; /* pads pushed back by pedal.knock_back before this application */
} mbl_travel_at;

/*
 * Where the stroke goes at front pressure p. Volumes are of both wheels of an axle, m3:
 *
 *   gap      4 A x (rollback + knock-back)   two pads at each of two wheels, A of one side
 *   pads     4 A squeeze p / 100 bar
 *   caliper  2 A opening p / 100 bar
 *   hoses    2 hose_swell p / 100 bar
 *   fluid    V p / K, V half of pedal.fluid_volume for each axle, K its bulk modulus
 *   vapour   2 x the vapour of one caliper: it has to be closed up before pressure can rise
 *
 * with p that of the axle. A fixed and a sliding caliper of the same one-side area take the same
 * volume. Stroke of a circuit = free + volume / area of its bore. The two circuits of a tandem
 * master are in line: their strokes add to the rod's travel, but each bottoms by itself. A bar is
 * a lever: the rod travels the mean of the two strokes, weighted by the shares of its force.
 */
typedef struct mbl_travel {
    double volume[2];                                 /* m3, front and rear axle */
    double gap, pads, calipers, hoses, fluid, vapour; /* m3, both axles: they add up */
    double stroke[2];                                 /* m, of the front and of the rear circuit */
    double pad;  /* m at the pedal's pad: ratio x the rod's travel */
    double used; /* share of its stroke that the worse circuit uses; above 1 it bottoms */
} mbl_travel;

mbl_travel mbl_pedal_travel(const mbl_car *car, double p, const mbl_travel_at *at);

/* Highest front pressure that is reached before a circuit bottoms, Pa: 0 where one bottoms without
 * pressure, INFINITY where none ever does. */
double mbl_pedal_bottoms(const mbl_car *car, const mbl_travel_at *at);

#endif
