/* SPDX-License-Identifier: MIT */
#ifndef MBL_BENCH_AGAINST_CVODE_H
#define MBL_BENCH_AGAINST_CVODE_H

#include "study/study.h"

/* One case, less what the peers know nothing of, by CVODE on samples of 6.25 ms: the fixed grid of
 * that step and both modes against it, on track, and peaks of the whole stint. */
void bench_against_cvode(const mbl_case *setup, const char *trace, mbl_text *page);

#endif
