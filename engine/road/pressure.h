/* SPDX-License-Identifier: MIT */
/* Line pressure as a measure of braking: how many m/s2 a pascal is worth in the car that logged. */
#ifndef MBL_ROAD_PRESSURE_H
#define MBL_ROAD_PRESSURE_H

#include "road/channels.h"

/* How well pressure explains the braking that the speed shows. */
typedef struct mbl_pressure_fit {
    double scale;   /* m/s2 per Pa beyond coasting; NAN when no stop can be used */
    double scatter; /* share, median size of what single stops are off the scale; NAN likewise */
    double share;   /* of the braking time in the speed, with pressure on */
    size_t stops;   /* used */
} mbl_pressure_fit;

/*
 * The scale with which the brakes of `driver`, the car that made the trace, do the work that its
 * deceleration shows: fitted on this trace, so that the unit and the error of the sensor drop
 * out. Fails with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_pressure_fit_make(const mbl_alloc *alloc, const mbl_trace *trace,
                                               const mbl_vehicle *driver, mbl_pressure_fit *out,
                                               mbl_error *err);

/* Does a fit explain the braking well enough to take its place? */
bool mbl_pressure_fit_holds(const mbl_pressure_fit *fit);

/*
 * What mbl_channels_lap needs: the scale for this driver, 0 when the trace has no pressure that
 * explains its braking. Fails with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_trace_pressure_scale(const mbl_alloc *alloc, const mbl_trace *trace,
                                                  const mbl_vehicle *driver, double *scale,
                                                  double *scatter, mbl_error *err);

#endif
