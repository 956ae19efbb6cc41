/* SPDX-License-Identifier: MIT */
/* The history of a run as a CSV file: names, units, then a row at a fixed rate. */
#ifndef MBL_OUT_CSV_H
#define MBL_OUT_CSV_H

#include "out/units.h"
#include "study/study.h"

/* Seconds between rows: what 0 means, and the range. */
#define MBL_CSV_EVERY 0.1
#define MBL_CSV_LEAST 0.05
#define MBL_CSV_MOST  60.0

/*
 * Drives the run once more and writes its history: time, phase, lap, speed, braking power, line
 * pressure, then every node by its name, as "front.rotor.face". Commas, a point in numbers
 * whatever the locale, three decimals, an empty cell for a number that is not finite. Rows fall
 * on the steps of the run, the first at or after each multiple of `every`; parked steps are up to
 * a second long, so parked rows come no closer than that.
 * Fails with MBL_INPUT for `every` out of range, MBL_FILE when the file cannot be written whole
 * (whatever was at `path` is then still there), and as mbl_run_replay does.
 */
MBL_NODISCARD mbl_status mbl_out_run_csv(const mbl_run *run, const char *path, double every,
                                         mbl_units_system units, mbl_error *err);

#endif
