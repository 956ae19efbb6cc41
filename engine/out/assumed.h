/* SPDX-License-Identifier: MIT */
/* The assumptions a reader should see first. Private to `out`. */
#ifndef MBL_OUT_ASSUMED_H
#define MBL_OUT_ASSUMED_H

#include "out/figure.h"
#include "study/study.h"

/* "given", "default", "inferred" */
const char *mbl_assumed_word(mbl_origin origin);

typedef struct mbl_assumed_line {
    char what[40];   /* the key: "front/rear.pad.conductivity" */
    char value[24];  /* "3 W/mK" */
    char tried[32];  /* "1 to 5", in the unit of the value */
    char margin[32]; /* "+32 to -14" */
} mbl_assumed_line;

/* One of run->doubtful in people's units; `figure` is that of the margin it moves. */
mbl_assumed_line mbl_assumed_tell(const mbl_doubtful *doubtful, mbl_figure figure,
                                  mbl_units_system units);

/* How many inputs of the run were not given. run->tree must be there. */
int mbl_assumed_count(const mbl_run *run);

#endif
