/* SPDX-License-Identifier: MIT */
/* What was guessed and repaired in a log, in one line each. */
#ifndef MBL_OUT_LOG_WORDS_H
#define MBL_OUT_LOG_WORDS_H

#include "road/log.h"

/* Appends the columns that were not named, "Time, Speed in km/h"; nothing when all were. */
void mbl_out_log_guesses(const mbl_log *log, mbl_text *line);

/* Appends what was repaired, "12 spikes, 1 gap"; nothing when nothing was. */
void mbl_out_log_repairs(const mbl_log *log, mbl_text *line);

#endif
