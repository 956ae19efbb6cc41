/* SPDX-License-Identifier: MIT */
/*
 * A log as it was understood, written as the plainest log there is: commas, a decimal point, one
 * row of names that need no guessing, one of units, every channel on every row, time rising from
 * 0. Read back it needs no repair and has the same laps; the numbers have as many digits as it
 * takes to come back the same (pressures, which are written in bar, to their last digit).
 *
 * Speed is in m/s and not in km/h: the trace is worked out from it, and a division that does not
 * come out even would make it another trace.
 */
#ifndef MBL_OUT_CLEAN_LOG_H
#define MBL_OUT_CLEAN_LOG_H

#include "road/trace.h"

/*
 * Writes the file whole or not at all. A gap is filled with rows at the log's rate, and a lap that
 * begins between two rows gets a row of its own; their speed is that of the trace. Fails with
 * MBL_FILE or MBL_MEMORY; whatever was at `path` is then still there.
 */
MBL_NODISCARD mbl_status mbl_out_clean_log(const mbl_log *log, const mbl_trace *trace,
                                           const char *path, mbl_error *err);

/* The same appended to a text; text->failed says whether memory ran out. */
void mbl_out_clean_text(const mbl_log *log, const mbl_trace *trace, mbl_text *text);

#endif
