/* SPDX-License-Identifier: MIT */
/*
 * What nobody said: every value of a case that is a default or was inferred, and how much the
 * answer hangs on it.
 */
#ifndef MBL_STUDY_ASSUMPTIONS_H
#define MBL_STUDY_ASSUMPTIONS_H

#include "study/run.h"

/*
 * The value that stands in for an inferred number at `path` ("car.front.rotor.ring_height"), SI;
 * NAN when the path infers none.
 */
double mbl_inferred_value(const mbl_case *setup, const char *path);

/*
 * Tries each assumed number at the ends of its usual range (an inferred one 10 %, a level 20 K,
 * either way; both axles together where neither was given), and puts the
 * five that move the limiting margin most into run->doubtful. Does nothing without a tree, or the
 * second time.
 */
MBL_NODISCARD mbl_status mbl_run_doubt(mbl_run *run, mbl_error *err);

#endif
