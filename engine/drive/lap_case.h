/* SPDX-License-Identifier: MIT */
/* One lap of a case: its car, driver, air and pedal on its layout. */
#ifndef MBL_DRIVE_LAP_CASE_H
#define MBL_DRIVE_LAP_CASE_H

#include "drive/drive.h"
#include "drive/lap.h"
#include "road/trace_driven.h"

/* Temperature of the pads where nothing says how hot they are: warm, as after an out-lap (common
 * practice, no source). */
#define MBL_LAP_PADS 573.15 /* K */

/* Speed at which pads are looked at whose friction depends on it, m/s (common practice). */
#define MBL_LAP_SPEED 30.0

/* What the driver of a course uses; what was not said stands for 0.95, 0.9, 1 and 0. */
mbl_driver mbl_driver_of(const mbl_course *course);

/* What a case with `fuel` (kg) in its car asks of its laps, the brakes apart. */
mbl_lap_ask mbl_lap_ask_of(const mbl_case *setup, double fuel);

/* Pa, more than any brake is ever asked for: only the tyres limit then. */
#define MBL_LAP_UNLIMITED 1e9

/*
 * Highest front pressure that the leg, the booster and the stroke of the masters give, Pa; NAN for
 * a car without a pedal, whose brakes are taken to give what the tyres hold.
 */
double mbl_lap_pressure(const mbl_car *car, double altitude);

/*
 * One lap of the layout of a case by its car with `fuel` (kg) in it and pads at T (K) throughout.
 * Not `limited`: pedal and brakes give any force, divided as they divide it; only tyres limit.
 * The case needs course.layout. Errors as of mbl_lap_drive. Free with mbl_path_free.
 */
MBL_NODISCARD mbl_status mbl_lap_of(const mbl_alloc *alloc, const mbl_case *setup, double fuel,
                                    double T, bool limited, mbl_path **out, mbl_error *err);

/* All that mbl_lap_of depends on for this case driven by `car`, full of fuel and with its pads at
 * MBL_LAP_PADS, as one number. */
mbl_digest mbl_lap_digest(const mbl_case *setup, const mbl_car *car);

/* The first nodes of a path as a lap that was driven and lost so many seconds for want of brakes.
 */
mbl_driven_lap mbl_lap_driven(const mbl_path *path, size_t nodes, double lost);

/* A trace of one lap, to be repeated. */
MBL_NODISCARD mbl_status mbl_lap_trace(const mbl_alloc *alloc, const mbl_path *path,
                                       mbl_trace **out, mbl_error *err);

#endif
