/* SPDX-License-Identifier: MIT */
/*
 * Where the inputs of a run come from: given, default, or worked out, and the few assumptions a
 * reader should see first. Private to `out`.
 */
#ifndef MBL_OUT_ASSUMED_H
#define MBL_OUT_ASSUMED_H

#include "out/units.h"
#include "study/study.h"

/*
 * The number an inferred leaf was given, SI: "car.front.effective_radius" and the like. NAN when
 * the rule does not apply (the pace of a parked car) or the leaf has no single number.
 */
double mbl_assumed_inferred(const mbl_run *run, const char *path);

/* "given", "default", "inferred" */
const char *mbl_assumed_word(mbl_origin origin);

/* At most this many are shown on the page. */
enum { MBL_ASSUMED_SHOWN = 8 };

typedef struct mbl_assumed_line {
    const char *what; /* "water in the fluid" */
    char value[56];   /* "1.5 %", "front 50 %, rear 40 %", "front and rear 50 %" */
    mbl_origin origin;
} mbl_assumed_line;

/*
 * The assumptions that matter most, in a fixed order; *rest is how many other inputs were not
 * given. Returns how many lines there are. run->tree must be there.
 */
int mbl_assumed_lines(const mbl_run *run, mbl_units_system units,
                      mbl_assumed_line line[MBL_ASSUMED_SHOWN], int *rest);

#endif
