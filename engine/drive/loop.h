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
#include "drive/lap_case.h"

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
