/* SPDX-License-Identifier: MIT */
/*
 * How many hot laps hold: states are kept after each lap of the last run of hot laps while the
 * stint is driven, more laps are tried beyond it, and what follows the run (cool-down, parking)
 * is tried from them. Private to `study`.
 */
#ifndef MBL_STUDY_REACH_H
#define MBL_STUDY_REACH_H

#include "study/checks.h"

/* What passed a limit first, if anything did. */
typedef struct mbl_reach_pass {
    bool passed;
    mbl_check_kind kind;
    int axle;
    bool parked;
} mbl_reach_pass;

typedef struct mbl_reach_search {
    const mbl_alloc *alloc;
    size_t first, laps; /* legs [first, first + laps) are the run of hot laps; 0: none */
    size_t kept;        /* states so far: after 0, 1, 2 ... laps of the run */
    size_t state_size, nodes;
    double *states;         /* (laps + cap + 1) x state_size */
    mbl_reach_pass before;  /* in the legs before the run */
    mbl_reach_pass *in_lap; /* (laps + cap + 1); in_lap[j]: during the j-th lap, from 1 */
} mbl_reach_search;

MBL_NODISCARD mbl_status mbl_reach_begin(mbl_reach_search *search, const mbl_drive *drive,
                                         mbl_error *err);
void mbl_reach_end(mbl_reach_search *search);

/* To be told after every leg of the stint, in order. */
void mbl_reach_note(mbl_reach_search *search, const mbl_case *setup, const mbl_drive *drive,
                    size_t leg, const mbl_watch watch[MBL_WATCHES]);

/* Finds the answer; uses the drive, and leaves it elsewhere. */
MBL_NODISCARD mbl_status mbl_reach_find(mbl_reach_search *search, const mbl_case *setup,
                                        mbl_drive *drive, const mbl_watch watch[MBL_WATCHES],
                                        mbl_reach *out, mbl_error *err);

#endif
