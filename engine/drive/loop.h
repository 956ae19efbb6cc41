/* SPDX-License-Identifier: MIT */
/*
 * A stint on a layout, with the brakes in the loop: before each lap the lap itself is worked out
 * for the car, its fuel and its brakes as they are, then its heat. So brakes that fade slow the
 * laps that come after, and slower laps cool them.
 *
 * A lap is driven with the brakes as they were at the same place one lap before: friction of the
 * pads at their temperature there. The first goes by the temperature at the start. What comes out
 * is a trace of all laps, which every run, sweep and replay drives as if it had been logged.
 */
#ifndef MBL_DRIVE_LOOP_H
#define MBL_DRIVE_LOOP_H

#include "drive/drive.h"
#include "drive/lap.h"

/* Temperature of the pads where nothing says how hot they are: warm, as after an out-lap (common
 * practice, no source). */
#define MBL_LAP_PADS 573.15 /* K */

/* Speed at which pads are looked at whose friction depends on it, m/s (common practice). */
#define MBL_LAP_SPEED 30.0

/* What the driver of a course uses; what was not said stands for 0.95, 0.9, 1 and 0. */
mbl_driver mbl_driver_of(const mbl_course *course);

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

/* A trace of one lap, to be repeated. */
MBL_NODISCARD mbl_status mbl_lap_trace(const mbl_alloc *alloc, const mbl_path *path,
                                       mbl_trace **out, mbl_error *err);

/*
 * The laps of a stint, one after the other, each at its full pace: the stint's paces are applied
 * when the trace is driven. A lap after which the car stands ends at the last node before the
 * layout's pit entry, where there is one. What a lap lost to brakes that do not give what the tyres
 * hold is in it (mbl_trace.lost). A stint that replays a logged session fails with MBL_INPUT. Film
 * laws as in mbl_drive_make.
 */
MBL_NODISCARD mbl_status mbl_loop_trace(const mbl_alloc *alloc, const mbl_case *setup,
                                        mbl_film_store *films, mbl_trace **out, mbl_error *err);

#endif
