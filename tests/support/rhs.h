/* SPDX-License-Identifier: MIT */
/*
 * The heat flow into every node of a car, and what it takes to warm it, derived a second time from
 * the description of the model and the textbook formulas. No law of the engine is called: only the
 * numbers of the car and the order of its nodes are shared. Constants of common practice are
 * written out again, so a slip in either copy shows.
 */
#ifndef MBL_TESTS_RHS_H
#define MBL_TESTS_RHS_H

#include "heat/corner.h"

enum { RHS_NODES = MBL_AXLES * MBL_CORNER_NODES };

/* Speed of the car (m/s), air temperature (K) and absolute pressure (Pa). */
typedef struct rhs_weather {
    double v, T_air, p;
} rhs_weather;

/*
 * Net heat flow (W) into each of RHS_NODES nodes at temperatures T (K) while the brakes take
 * `power` (W, whole car); what leaves to the air of the two wheels modelled goes to `lost` (W).
 * Returns the front line pressure, Pa. Pads are as thick as at the start: no wear.
 */
double rhs_flows(const mbl_car *car, const rhs_weather *weather, double power, const double *T,
                 double *q, double *lost);

/* Heat capacity (J/K) of each node. */
void rhs_capacities(const mbl_car *car, const double *T, double *C);

#endif
