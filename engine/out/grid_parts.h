/* SPDX-License-Identifier: MIT */
/* What the files and the page of a sweep share. Private to `out`. */
#ifndef MBL_OUT_GRID_PARTS_H
#define MBL_OUT_GRID_PARTS_H

#include "study/grid.h"

#define MBL_GRID_FAILED "could not run" /* in the place of a verdict */

/* "front fluid", "car pedal effort": what gives out first, as scripts call checks. */
void mbl_grid_limit(const mbl_grid_row *row, mbl_text *out);

/* Is the gauge of a column `closest`? That has a place of its own wherever rows are written. */
bool mbl_grid_is_closest(const mbl_grid *grid, size_t column);

#endif
