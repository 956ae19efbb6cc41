/* SPDX-License-Identifier: MIT */
/*
 * Film coefficients of the surfaces of one corner as it stands in its wheel, its duct included:
 * the laws of cooling.h put together. Continuous; at fixed temperatures never falling with speed,
 * nor with more air from a duct.
 */
#ifndef MBL_HEAT_SURFACE_H
#define MBL_HEAT_SURFACE_H

#include "brake/brake.h"
#include "heat/cooling.h"

typedef enum mbl_surface {
    MBL_SURFACE_FACE,    /* both rubbed faces, mean of both */
    MBL_SURFACE_RIM,     /* rim and hat: no duct reaches them */
    MBL_SURFACE_VANES,   /* walls of the channels */
    MBL_SURFACE_CALIPER, /* body and pads' edges */
    MBL_SURFACE_HUB
} mbl_surface;

/*
 * What laws asked before, as they are sampled at many temperatures for each speed and at many
 * speeds for each temperature: what the duct gave at a speed, air and still air at the levels of
 * the grid. Zeroed before use; no value depends on it.
 */
typedef struct mbl_film_memo {
    bool ducted;
    double V, v; /* m/s, of the car and in the hose */
    bool aired[MBL_FILM_LEVELS];
    mbl_air air[MBL_FILM_LEVELS];
    double still[2][MBL_FILM_LEVELS]; /* W/m2K, of the disc and of a body; 0: not asked yet */
} mbl_film_memo;

typedef struct mbl_surroundings {
    const mbl_brake *brake; /* borrowed */
    double tyre_radius;     /* m */
    double ambient;         /* K */
    double p;               /* Pa, absolute */
    mbl_vanes vanes;        /* count 0 for a solid ring */
    mbl_film_memo *memo;    /* for this brake in this air alone; NULL for none */
} mbl_surroundings;

/* h at car speed `speed` (m/s) and surface temperature T (K), W/m2K. */
double mbl_surface_film(const mbl_surroundings *at, mbl_surface surface, double speed, double T);

/*
 * Where a duct's air gets to, as shares of its flow, and what it takes away from the vanes.
 * Common practice, no source, in the order the trade agrees on: a sealed plate feeds the eye, an
 * open eye loses most of the air around the rotor, a face takes little and on one side only, and
 * an inverted hat has its vane inlets on the other side.
 */
typedef struct mbl_duct_reach {
    double vanes;   /* share that goes through the vanes */
    double face;    /* share of the two faces' area that the jet sweeps (one side) */
    double caliper; /* jet speed at the caliper over that in the hose */
    double pump;    /* share of the rotor's own pumping that is left (a sealed plate shuts it) */
} mbl_duct_reach;

mbl_duct_reach mbl_duct_reaches(const mbl_brake *brake);

#endif
