/* SPDX-License-Identifier: MIT */
/*
 * What was made of a logger's file, as a page: its layout, the columns taken, guessed and left
 * aside, what was repaired and where, the laps with what each takes from the brakes of a stated
 * car, and doubts.
 */
#ifndef MBL_OUT_LOG_H
#define MBL_OUT_LOG_H

#include "out/units.h"
#include "road/trace.h"

/* Appends the page to `text`; text->failed says whether memory ran out. */
void mbl_out_log(const mbl_log *log, const mbl_trace *trace, mbl_units_system units,
                 mbl_text *text);

#endif
