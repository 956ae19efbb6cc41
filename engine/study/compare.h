/* SPDX-License-Identifier: MIT */
/*
 * One run against another: what changed in the car, and what that did, by name.
 */
#ifndef MBL_STUDY_COMPARE_H
#define MBL_STUDY_COMPARE_H

#include "study/run.h"

/* A figure of both. */
typedef struct mbl_difference {
    char what[48];         /* "front caliper", "pedal travel at the hardest stop" */
    mbl_quantity quantity; /* of both */
    double before, after;  /* SI; NAN where it is not known */
    bool relative;         /* told as a percentage: "+38 %"; else as a difference */
} mbl_difference;

enum { MBL_DIFFERENCES_MOST = 40 };

typedef struct mbl_comparison {
    int n;
    mbl_difference row[MBL_DIFFERENCES_MOST];
    /* hydraulics at one and the same deceleration, 1 g, pads at 300 C */
    double travel, pressure, effort; /* change over the base, as a share; NAN without a pedal */
    double front_share;              /* change of the front share of the braking force, in points
                                        as a share */
    bool master_unchanged;           /* same bores as the base's */
} mbl_comparison;

/* Fills the rows in a fixed order: pedal, balance, each check that both have, mass, money. */
void mbl_compare(const mbl_run *before, const mbl_run *after, mbl_comparison *out);

#endif
