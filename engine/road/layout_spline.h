/* SPDX-License-Identifier: MIT */
/* From points of a centreline to stretches. Private to the reader of layouts. */
#ifndef MBL_ROAD_LAYOUT_SPLINE_H
#define MBL_ROAD_LAYOUT_SPLINE_H

#include "road/layout_tables.h"

/*
 * Cubic splines through the points over the length of the chords, periodic for a closed course and
 * natural (unbent at the ends) for an open one, walked at equal distances. The curvature at each
 * such place is the turning over one step around it, so that the turns sum to what the spline
 * turns; between places it is linear. Heights, when all points have one, give the grade.
 *
 * Makes at most MBL_LAYOUT_PIECES stretches in the arena, without bank. Fails with MBL_INPUT where
 * a point lies on the one before, turns back, or has no height while others do; err->path is then
 * "[3]", of the point.
 */
MBL_NODISCARD mbl_status mbl_layout_spline(mbl_arena *arena, const mbl_point *points, size_t n,
                                           bool closed, double surface, mbl_stretch **out,
                                           size_t *nout, mbl_error *err);

#endif
