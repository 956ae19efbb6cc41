/* SPDX-License-Identifier: MIT */
/*
 * A run in words: the sentences that the page and the JSON share. Private to `out`. All text is
 * ASCII. Laps count from the first of the stint; hot laps are counted beside them.
 */
#ifndef MBL_OUT_WORDS_H
#define MBL_OUT_WORDS_H

#include "out/figure.h"
#include "study/study.h"

/* The brake of an axle of the car that was run. */
const mbl_brake *mbl_words_brake(const mbl_run *run, int axle);

/* "front", "rear", "car" for MBL_WHOLE_CAR */
const char *mbl_words_axle(int axle);

/* "fluid", "rotor core": what a check looks at. */
const char *mbl_words_part(mbl_check_kind kind);

/* "front fluid", "pedal travel": with its axle where it has one. */
mbl_shown mbl_words_subject(mbl_check_kind kind, int axle);

/* "its wet boiling point": what it is held against. */
const char *mbl_words_limit(const mbl_run *run, mbl_check_kind kind);

/* Is the wet boiling point the one that judges? */
bool mbl_words_wet_judges(const mbl_run *run);

/* Is it a check of temperatures, whose peak has its lap or its time? */
bool mbl_words_is_heat(mbl_check_kind kind);

/* How peak and limit of a kind are shown, and how its margin and band are. */
mbl_figure mbl_words_figure(mbl_check_kind kind, mbl_units_system units);
mbl_figure mbl_words_margin_figure(mbl_check_kind kind, mbl_units_system units);

/* Margin or band with its unit: "12 K", "30 N". */
mbl_shown mbl_words_margin(mbl_check_kind kind, mbl_units_system units, double si);

/* Peak or limit with its unit: "162 C", "670 N". */
mbl_shown mbl_words_value(mbl_check_kind kind, mbl_units_system units, double si);

/* The tightest check that is a figure: what an inspection found is none. */
const mbl_check *mbl_words_limiting(const mbl_run *run);

/* Share of the braking energy of the laps that was inferred from speed, not measured by line
 * pressure. */
double mbl_words_inferred(const mbl_run *run);

/* Seconds that the car had been parked at `at` s from the start of the stint; 0 on track. */
double mbl_words_parked_for(const mbl_run *run, double at);

/* "lap 12", "parked 6 min", for a column of a table. */
mbl_shown mbl_words_peak_at(const mbl_run *run, const mbl_peak *peak);

/* " on lap 13 (hot lap 12)" */
void mbl_words_lap(const mbl_run *run, int lap, mbl_text *out);

/* " on lap 12", ", parked, 6 min after the stop": when a limit was passed, or a peak came. */
void mbl_words_passing(const mbl_run *run, const mbl_passing *passing, mbl_text *out);
void mbl_words_peak(const mbl_run *run, const mbl_peak *peak, mbl_text *out);

/* "crack and soft pedal" */
void mbl_words_found(const mbl_car *car, mbl_text *out);

/* The state in which the balance is worst: "with cold pads, on half the grip". */
void mbl_words_state(const mbl_run *run, mbl_text *out);

/*
 * Verdict and reach, each a sentence or two, written to the end of `out`:
 * "FAILS: front fluid passes its wet boiling point, parked, 6 min after the stop"
 * "Hot laps that hold: 9 of 12 asked; ..."
 */
void mbl_words_verdict(const mbl_run *run, mbl_units_system units, mbl_text *out);
void mbl_words_reach(const mbl_run *run, mbl_text *out);

/* What the model takes for granted in every run, and what no run can tell; NULL-terminated. */
extern const char *const mbl_words_granted[];
extern const char *const mbl_words_granted_laps[]; /* where laps were worked out */
extern const char *const mbl_words_cautions[];

#endif
