/* SPDX-License-Identifier: MIT */
/* Where a course lies in the plane, by walking its stretches. */
#ifndef MBL_ROAD_LAYOUT_SHAPE_H
#define MBL_ROAD_LAYOUT_SHAPE_H

#include "road/layout.h"

typedef struct mbl_pose {
    double east, north; /* m from where the walk began */
    double heading;     /* rad from east, left positive; not wrapped: it counts turns */
} mbl_pose;

/* 1/m at `along` metres into a stretch. */
double mbl_stretch_curvature(const mbl_stretch *stretch, double along);

/* rad turned over the whole of it, left positive. */
double mbl_stretch_turns(const mbl_stretch *stretch);

/*
 * Where one is after `along` metres of a stretch that begins at `from`: exact for straights and
 * arcs, else by Simpson's rule in steps of at most 1 m.
 */
mbl_pose mbl_stretch_walk(const mbl_stretch *stretch, mbl_pose from, double along);

#endif
