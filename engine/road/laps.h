/* SPDX-License-Identifier: MIT */
/* Where laps begin and end in a log, where the car stands, and what kind of lap each is. */
#ifndef MBL_ROAD_LAPS_H
#define MBL_ROAD_LAPS_H

#include "road/trace.h"

typedef struct mbl_laps {
    size_t n;
    mbl_lap *lap;   /* (n) in order, without gaps, all but top_speed; lives in the arena */
    size_t median;  /* index of the hot lap of median time; without hot laps the longest */
    size_t fastest; /* index of the fastest hot lap; likewise */
} mbl_laps;

/* Fails with MBL_MEMORY. */
MBL_NODISCARD mbl_status mbl_laps_find(mbl_arena *arena, const mbl_log *log, mbl_laps *out,
                                       mbl_error *err);

/*
 * The times at which the car crosses the start line of the log, in order: where its path comes
 * nearest to the point, within reach, in the direction in which it does so fastest. Writes at
 * most `room` times and returns how many there are.
 */
size_t mbl_start_line_crossings(const mbl_log *log, double *times, size_t room);

#endif
