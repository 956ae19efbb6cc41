/* SPDX-License-Identifier: MIT */
/* A first path through fixes, for bend.c to begin with. Private to `road`. */
#ifndef MBL_ROAD_BEND_DRAW_H
#define MBL_ROAD_BEND_DRAW_H

#include "road/bend.h"

/* What a path is at a fix: m, m, rad (it counts turns), 1/m. */
enum { MBL_BEND_EAST, MBL_BEND_NORTH, MBL_BEND_HEADING, MBL_BEND_CURVED, MBL_BEND_STATE };

/*
 * Through places by lines along a few of them; evenly turned between two. `path` (n) is zeroed, and
 * remains so where there are no places: curvatures need no path to begin with.
 */
void mbl_bend_draw(const mbl_bend_fix *fix, size_t n, double (*path)[MBL_BEND_STATE]);

#endif
