/* SPDX-License-Identifier: MIT */
/* Plans for the day: what laps, gaps and cool-downs a package asks for. SI. */
#ifndef MBL_STUDY_SESSION_H
#define MBL_STUDY_SESSION_H

#include "study/checks.h"

enum { MBL_COOL_LAPS_CAP = 5 };

#define MBL_HOT_DAY    10.0   /* K warmer than asked, in the worst line (common practice) */
#define MBL_PARK_TRIED 600.0  /* s parked, where the stint does not say */
#define MBL_GAP_CAP    7200.0 /* s, beyond which a gap is not looked for */
#define MBL_GAP_STEP   300.0  /* s, to which it is found */

typedef struct mbl_session_plan {
    bool known;      /* false: the stint has no hot lap, nothing below is set */
    int cool;        /* fewest cool-down laps after which parking passes no limit */
    bool cool_known; /* false: no number up to the cap is enough, or a limit is passed before */
    double gap;      /* s parked after which the same stint again passes no limit of temperature;
                        NAN when no stand up to the cap is enough */
    /* the stint without its cool-down laps: parked straight after the last hot lap */
    mbl_peak skip_fluid[MBL_AXLES];
    double skip_margin; /* K, least of both axles, to the point that judges */
    /* a hot day, pads worn to worn_at, no cool-down lap */
    mbl_verdict worst;
    mbl_check worst_check; /* its tightest */
} mbl_session_plan;

/* Finds the plan of a run that has been driven and judged. */
MBL_NODISCARD mbl_status mbl_session_find(const mbl_run *run, mbl_session_plan *out,
                                          mbl_error *err);

#endif
