/* SPDX-License-Identifier: MIT */
/* All that a run found, as one number: equal bits, equal digest. */
#ifndef MBL_TESTS_RUN_DIGEST_H
#define MBL_TESTS_RUN_DIGEST_H

#include "study/run.h"

/*
 * Every number between `step` and `ndoubtful` in mbl_run, legs and paths included, but `reach`,
 * which mbl_run_quick does not look for. By bits: 0 is not -0, a NaN is its payload.
 */
mbl_digest run_digest(const mbl_run *run);

#endif
