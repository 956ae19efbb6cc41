/* SPDX-License-Identifier: MIT */
/* What may be wrong with a log although it could be read. Private to `out`. */
#ifndef MBL_OUT_LOG_DOUBTS_H
#define MBL_OUT_LOG_DOUBTS_H

#include "out/units.h"
#include "road/trace.h"

/* Appends the heading and a point each; a sentence when there are none. */
void mbl_out_log_doubts(const mbl_log *log, const mbl_trace *trace, mbl_units_system units,
                        mbl_text *page);

#endif
