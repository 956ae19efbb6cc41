/* SPDX-License-Identifier: MIT */
/*
 * What the heat model is driven by: time steps, speed at their ends, and the mean power the
 * brakes must take at the tyres within each. Step means keep the energy of the trace exactly.
 */
#ifndef MBL_ROAD_CHANNELS_H
#define MBL_ROAD_CHANNELS_H

#include "road/trace.h"

/* What resists or pushes a car apart from its brakes. SI. */
typedef struct mbl_vehicle {
    double mass;           /* kg, with driver, load and the fuel of the moment */
    double rotating;       /* share of mass added by wheels, discs and driveline when slowing */
    double drag_area;      /* m2, drag coefficient times frontal area */
    double rolling;        /* rolling resistance over weight */
    double engine_braking; /* m/s2 of deceleration with the throttle closed */
    double air_density;    /* kg/m3 */
} mbl_vehicle;

/* Deceleration without brakes, throttle closed, on a grade (rise over run), m/s2. */
double mbl_vehicle_coast(const mbl_vehicle *car, double speed, double grade);

/*
 * Steps of one phase. The arrays belong to whoever made the struct and have room for `room`
 * steps; nothing here allocates.
 */
typedef struct mbl_channels {
    size_t room;
    size_t n;        /* steps */
    double *time;    /* (n + 1) s from the start of the phase, time[0] = 0 */
    double *speed;   /* (n + 1) m/s */
    double *power;   /* (n) W, mean over the step, braking power at the tyres of the whole car */
    double energy;   /* J, sum of power times step */
    double inferred; /* J of it inferred from speed; the rest is measured by line pressure */
    double braking_time; /* s with the brakes on */
} mbl_channels;

/* Steps that mbl_channels_lap needs for `duration` seconds of trace at this pace. */
size_t mbl_channels_count(double duration, double pace, double step);

/*
 * A stretch [start, end] of a trace driven at `pace` times its speed by `car`, cut into equal
 * steps of at most `step` seconds. The heat is what `car` has to take while the brakes are on:
 * mass times deceleration, less drag, rolling, engine braking, grade. `pace` scales speed, so
 * times stretch by 1/pace and decelerations by pace squared. Nothing outside [start, end] adds
 * braking: a lap driven twice has no seam.
 *
 * Without pressure (pressure_scale 0) the brakes count as on where `driver`, the car that made
 * the trace, slows down faster than it would coast by more than MBL_BRAKES_ON, and deceleration
 * is that of the trace. With it (m/s2 per Pa, from mbl_trace_pressure_scale; the trace then has
 * pressure) they are on where pressure says so, and deceleration is what the pressure and the
 * coasting of `driver` come to: his own braking force is scale times pressure, and another car
 * takes the difference in mass, drag, rolling and engine braking on top.
 */
void mbl_channels_lap(const mbl_trace *trace, double start, double end, double pace,
                      const mbl_vehicle *driver, double pressure_scale, const mbl_vehicle *car,
                      double step, mbl_channels *out);

/*
 * Are the brakes of `driver` on in the interval after knot i? Deceleration, when not NULL, is
 * that of the trace there, m/s2, positive when slowing.
 */
bool mbl_trace_brakes(const mbl_trace *trace, size_t i, const mbl_vehicle *driver,
                      double pressure_scale, double *deceleration);

/* From `speed` to rest at constant deceleration (m/s2), brakes taking all but the coasting. */
void mbl_channels_stop(double speed, double deceleration, const mbl_vehicle *car, double step,
                       mbl_channels *out);

/* How steps grow while a car stands: by a factor each, up to the longest. */
typedef struct mbl_parking {
    double growth; /* 1 or more */
    double most;   /* s */
} mbl_parking;

/* By a tenth each up to a second: where nothing else is said. */
extern const mbl_parking mbl_parking_close;

/* Standing still for `duration` s, in steps that grow from `step` s. */
void mbl_channels_park(double duration, double step, mbl_parking parking, mbl_channels *out);
size_t mbl_channels_park_count(double duration, double step, mbl_parking parking);

/*
 * m/s2 beyond coasting that count as braking. Lower, and noise left on a coasting stretch
 * becomes heat; higher, and gentle braking is lost. Common practice, no source.
 */
#define MBL_BRAKES_ON 0.3

#endif
