/* SPDX-License-Identifier: MIT */
/* What is compared with what: the watches of a stint, and the checks they become. */
#ifndef MBL_STUDY_CHECKS_H
#define MBL_STUDY_CHECKS_H

#include "study/run.h"

/* The watches of one axle, in this order. */
enum {
    MBL_WATCH_ROTOR,
    MBL_WATCH_PAD,
    MBL_WATCH_CALIPER,
    MBL_WATCH_WET,
    MBL_WATCH_NOW,
    MBL_WATCH_HOSE,
    MBL_WATCHES_AXLE,
    MBL_WATCHES = MBL_AXLES * MBL_WATCHES_AXLE
};

/* Sets nodes, and the levels of one lane from its case. */
void mbl_checks_watch(const mbl_case *setup, int lane, mbl_watch watch[MBL_WATCHES]);

/* Boiling points of the car's fluid at the stint's altitude, K. */
void mbl_checks_boiling(const mbl_case *setup, double *wet, double *now);

/*
 * The end of a hose near the rotor, K: warmed by the rotor's core to 0.35 of its excess over the
 * air (common practice, no source).
 */
double mbl_checks_hose(double core, double ambient);

/* Which of the two points judges: MBL_WATCH_WET or MBL_WATCH_NOW. */
int mbl_checks_judge(const mbl_case *setup);

/* Does any watch that judges stand passed? If so, which check and axle. */
bool mbl_checks_passed(const mbl_case *setup, const mbl_watch watch[MBL_WATCHES],
                       mbl_check_kind *kind, int *axle);

/*
 * Fills run->checks, margins and verdict from the peaks in run->axle and the passings of each
 * watch, and sorts the checks.
 */
void mbl_checks_judge_run(mbl_run *run, const mbl_passing passing[MBL_WATCHES]);

#endif
