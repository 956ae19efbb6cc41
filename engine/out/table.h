/* SPDX-License-Identifier: MIT */
/* The page a person in a paddock reads: verdict first, in words, at most 80 columns of ASCII. */
#ifndef MBL_OUT_TABLE_H
#define MBL_OUT_TABLE_H

#include "out/units.h"
#include "study/study.h"

/* Appends the page of a run to `text`; text->failed says whether memory ran out. */
void mbl_out_run(const mbl_run *run, mbl_units_system units, mbl_text *text);

/* What gives out first, in a few words for a note: "front rotor, 14 K above its limit". */
void mbl_out_tightest(const mbl_run *run, mbl_units_system units, mbl_text *text);

#endif
