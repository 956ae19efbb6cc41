/* SPDX-License-Identifier: MIT */
/*
 * Runs driven side by side: what each lane of a drive did, gathered into the run of its case and
 * judged. Private to `study`.
 */
#ifndef MBL_STUDY_CREW_H
#define MBL_STUDY_CREW_H

#include "study/checks.h"
#include "study/reach.h"

typedef struct mbl_crew {
    int n;
    mbl_run *run[MBL_LANES_MOST]; /* (n) borrowed, of the lanes of the drive in order */
    mbl_drive *drive;             /* borrowed, from mbl_crew_drive on */
    mbl_passing passing[MBL_LANES_MOST][MBL_WATCHES];
} mbl_crew;

/* Room for the results of a run on this route. */
MBL_NODISCARD mbl_status mbl_crew_prepare(mbl_run *run, const mbl_route *route,
                                          const mbl_model *model, mbl_error *err);

/* Drives the whole route; `watch` is that of the drive. With one lane, laps are noted in `search`
 * (or NULL). */
MBL_NODISCARD mbl_status mbl_crew_drive(mbl_crew *crew, mbl_drive *drive,
                                        const mbl_watch watch[MBL_WATCHES],
                                        mbl_reach_search *search, mbl_error *err);

/* Package, shortfall, checks and verdict of each. Drives once more where effort or strokes end
 * before the demand does. */
MBL_NODISCARD mbl_status mbl_crew_judge(mbl_crew *crew, mbl_error *err);

#endif
