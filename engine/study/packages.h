/* SPDX-License-Identifier: MIT */
/* Fills the results of study/package.h in a run. Private to `study`. */
#ifndef MBL_STUDY_PACKAGES_H
#define MBL_STUDY_PACKAGES_H

#include "study/run.h"

/* Pressure of the air at the stint's altitude, Pa. */
double mbl_package_air(const mbl_case *setup);

/* From the legs of a run that has been driven. */
void mbl_package_pedal(mbl_run *run);
void mbl_package_balance(mbl_run *run);

/* From the totals of an axle; `stress_rise` is the widest gradient, K. */
void mbl_package_life(mbl_run *run, int axle, double stress_rise, double cycles, double crack);

#endif
