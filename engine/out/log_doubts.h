/* SPDX-License-Identifier: MIT */
/* What may be wrong with a log although it could be read. */
#ifndef MBL_OUT_LOG_DOUBTS_H
#define MBL_OUT_LOG_DOUBTS_H

#include "out/units.h"
#include "road/trace.h"

/* Appends the heading and a point each; a sentence when there are none. */
void mbl_out_log_doubts(const mbl_log *log, const mbl_trace *trace, mbl_units_system units,
                        mbl_text *page);

/* Appends to a line what a run of laps of the log must not be read without, "...; ..."; nothing
   when there is nothing. Left out: units and columns, which mbl_out_log_guesses tells; a missing
   altitude, which most logs share and a run's assumptions hold; and an end at speed where laps
   are told apart, so that the end is in none that is repeated. */
void mbl_out_log_doubt_line(const mbl_log *log, const mbl_trace *trace, mbl_units_system units,
                            mbl_text *line);

#endif
