/* SPDX-License-Identifier: MIT */
/*
 * A course as one logged lap tells it: the line that was driven, by distance. What is assumed and
 * how near it comes is in docs/layout_from_log.md.
 */
#ifndef MBL_ROAD_LAYOUT_LOG_H
#define MBL_ROAD_LAYOUT_LOG_H

#include "road/layout.h"
#include "road/trace.h"

/*
 * A closed course from lap `lap` (an index) of a trace. Distance is what the speed adds up to,
 * grade the trace's, bank none, surface 1. The whole of it is turned by whole turns, where it is
 * near that. Fails with MBL_INPUT where nothing tells how the course turns (the message names the
 * columns that would), where no lap is complete or this one is not; with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_layout_of_trace(const mbl_alloc *alloc, const mbl_trace *trace,
                                             size_t lap, mbl_layout **out, mbl_error *err);

#endif
