/* SPDX-License-Identifier: MIT */
/*
 * What a log says about how the course turns. Of what is there the most trusted alone is taken:
 * positions, which have no drift; then yaw rate over speed, whose sensor only has an offset; then
 * lateral acceleration over the square of speed, which also has body roll and bank in it.
 *
 * Positive is to the left for positions. Yaw rate and lateral acceleration have the sign that the
 * logger gives them, which is not known: a course that comes out mirrored is driven in the same
 * time.
 */
#ifndef MBL_ROAD_TURNING_H
#define MBL_ROAD_TURNING_H

#include "road/trace.h"

typedef struct mbl_turning {
    mbl_told told;
    double *curvature;    /* (rows) 1/m, or NULL */
    double *east, *north; /* (rows) m from the first row, or NULL */
} mbl_turning;

/*
 * Curvature of slow rows is carried over from those around them. A column in which nothing changes
 * tells nothing. The arrays live in the arena. Fails with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_turning_find(mbl_arena *arena, const mbl_log *log, mbl_turning *out,
                                          mbl_error *err);

#endif
