/* SPDX-License-Identifier: MIT */
/* What a lap of a trace amounts to for the brakes, in the figures that people compare. */
#ifndef MBL_ROAD_FIGURES_H
#define MBL_ROAD_FIGURES_H

#include "road/channels.h"

typedef struct mbl_lap_figures {
    double time;          /* s */
    double top_speed;     /* m/s */
    double energy;        /* J/kg, braking energy at the tyres over the mass of the car */
    double braking_share; /* of the time */
    size_t stops;         /* brakings that take off more than 10 km/h */
    double from, to;      /* m/s, of the braking that takes most; both 0 without stops */
} mbl_lap_figures;

/*
 * Of lap `lap` as `driver`, the car that made the trace, drove it. pressure_scale as in
 * mbl_channels_lap.
 */
void mbl_lap_measure(const mbl_trace *trace, size_t lap, const mbl_vehicle *driver,
                     double pressure_scale, mbl_lap_figures *out);

#endif
