/* SPDX-License-Identifier: MIT */
/* Where laps begin and end in a log, and what kind of lap each is. */
#ifndef MBL_ROAD_LAPS_H
#define MBL_ROAD_LAPS_H

#include "road/trace.h"

/* Room that laps of this log need. */
size_t mbl_laps_count(const mbl_log *log);

/*
 * Fills all but top_speed and returns how many laps there are, mbl_laps_count(log) at most.
 * `work` has room for as many doubles.
 */
size_t mbl_laps_find(const mbl_log *log, mbl_lap *laps, double *work, size_t *median,
                     size_t *fastest);

#endif
