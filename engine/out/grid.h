/* SPDX-License-Identifier: MIT */
/* A sweep's table for people and for other programs. */
#ifndef MBL_OUT_GRID_H
#define MBL_OUT_GRID_H

#include "out/units.h"
#include "study/grid.h"

/*
 * The table at most 79 columns wide: two axes of a product as a matrix, else rows ranked by
 * `closest`, the best first. With `keep` (rows of the grid) only those, ranked.
 */
void mbl_out_grid(const mbl_grid *grid, const bool *keep, mbl_units_system units, mbl_text *out);

/*
 * CSV (RFC 4180): a row of names, a row of units, then the grid's rows in order: row number from 1,
 * the label of every axis, verdict, limit (what gives out first), closest, every gauge, and the
 * reason of a row that failed. Numbers are the shortest text that reads back to the same double.
 */
void mbl_out_grid_head(const mbl_grid *grid, mbl_units_system units, mbl_text *out);
void mbl_out_grid_row(const mbl_grid *grid, mbl_units_system units, size_t row, mbl_text *out);

/*
 * Takes one line of such a file (in SI, without its end) back into the grid; false when it is not
 * that row, whole and unharmed.
 */
bool mbl_out_grid_take(mbl_grid *grid, size_t row, const char *line, size_t n);

/* Rows for which keep (or NULL: all) is true, by the ending of what they are saved as. */
MBL_NODISCARD mbl_status mbl_out_grid_csv(const mbl_grid *grid, const bool *keep,
                                          mbl_units_system units, const char *path, mbl_error *err);
MBL_NODISCARD mbl_status mbl_out_grid_json(const mbl_grid *grid, const bool *keep, const char *path,
                                           mbl_error *err);

#endif
