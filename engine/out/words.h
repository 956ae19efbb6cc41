/* SPDX-License-Identifier: MIT */
/*
 * A run in words: the sentences that the page and the JSON share. Private to `out`. All text is
 * ASCII. Laps count from the first of the stint; hot laps are counted beside them.
 */
#ifndef MBL_OUT_WORDS_H
#define MBL_OUT_WORDS_H

#include "out/units.h"
#include "study/study.h"

/* "fluid", "rotor core": what a check looks at. */
const char *mbl_words_part(mbl_check_kind kind);

/* "its wet boiling point": what it is held against. */
const char *mbl_words_limit(const mbl_run *run, mbl_check_kind kind);

/* Is the wet boiling point the one that judges? */
bool mbl_words_wet_judges(const mbl_run *run);

/* Seconds that the car had been parked at `at` s from the start of the stint; 0 on track. */
double mbl_words_parked_for(const mbl_run *run, double at);

/* "lap 12", "parked 6 min", for a column of a table. */
mbl_shown mbl_words_peak_at(const mbl_run *run, const mbl_peak *peak);

/*
 * Verdict and reach, each a sentence or two, written to the end of `out`:
 * "FAILS: front fluid passes its wet boiling point, parked, 6 min after the stop"
 * "Hot laps that hold: 9 of 12 asked; ..."
 */
void mbl_words_verdict(const mbl_run *run, mbl_units_system units, mbl_text *out);
void mbl_words_reach(const mbl_run *run, mbl_text *out);

/* What the model takes for granted in every run, and what no run can tell; NULL-terminated. */
extern const char *const mbl_words_granted[];
extern const char *const mbl_words_cautions[];

#endif
