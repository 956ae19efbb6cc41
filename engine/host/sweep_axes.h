/* SPDX-License-Identifier: MIT */
/* What a sweep varies: `over`, `rows`, `sample` of el.sweep, and el.range. Private to `host`. */
#ifndef MBL_HOST_SWEEP_AXES_H
#define MBL_HOST_SWEEP_AXES_H

#include "host/context.h"

#include "study/grid.h"

/* Most rows of a sweep, and most options of an axis. */
enum { MBL_SWEEP_ROWS = 10000000, MBL_SWEEP_OPTIONS = 100000 };

/*
 * Reads the table of el.sweep at 1 into the axes and shape of `grid`, and pushes a table of what
 * mbl_sweep_x needs. Raises what is wrong with it.
 */
void mbl_sweep_axes(lua_State *L, mbl_grid *grid);

/* Pushes x, the values of a row, from the table at `axes`. May raise when memory is out. */
void mbl_sweep_x(lua_State *L, int axes, const mbl_grid *grid, size_t row);

int mbl_range_call(lua_State *L); /* el.range */

#endif
