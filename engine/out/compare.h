/* SPDX-License-Identifier: MIT */
/* Runs beside each other: what they were given, and what came of it. */
#ifndef MBL_OUT_COMPARE_H
#define MBL_OUT_COMPARE_H

#include "out/units.h"
#include "study/compare.h"
#include "study/compare_inputs.h"

/*
 * The page of 2 to MBL_COMPARED_MOST runs, at most 79 columns: the first against the others, two of
 * them at a time.
 */
void mbl_out_compare(size_t n, const mbl_run *const runs[], const mbl_given *inputs,
                     mbl_units_system units, mbl_text *out);

/* A key as a run has it: "38 mm, 34 mm, 30 mm", "none". */
void mbl_out_input(const mbl_field *field, const mbl_given_value *input, mbl_units_system units,
                   mbl_text *out);

/* Figures of a comparison, which the page of one run with its base shares: does the change show,
 * what one of both is ("62 bar"), and the change ("+38 %", "-12 K"). */
bool mbl_compare_shows(mbl_units_system units, const mbl_difference *difference);
mbl_shown mbl_compare_told(mbl_units_system units, const mbl_difference *difference, double si);
mbl_shown mbl_compare_change(mbl_units_system units, const mbl_difference *difference);

#endif
