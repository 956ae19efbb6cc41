/* SPDX-License-Identifier: MIT */
/* Tables of sweeps made by hand. */
#ifndef MBL_TESTS_GRID_H
#define MBL_TESTS_GRID_H

#include "study/grid.h"
#include "support/test.h"

/* A grid of axes of 2 to 9 options "a1", "a2", ... that keeps these gauges; open, to be freed. */
static inline void grid_of(mbl_grid *grid, const mbl_alloc *alloc, size_t naxes, const size_t n[],
                           size_t ngauges, const char *const gauges[])
{
    static const char *const labels[MBL_AXES][9] = {
        {"a1", "a2", "a3", "a4", "a5", "a6", "a7", "a8", "a9"},
        {"b1", "b2", "b3", "b4", "b5", "b6", "b7", "b8", "b9"},
        {"c1", "c2", "c3", "c4", "c5", "c6", "c7", "c8", "c9"}};
    static const char *const names[] = {"duct", "pads", "fluid"};
    mbl_error err = {0};
    mbl_grid_init(grid, alloc);
    for (size_t i = 0; i < naxes; i++)
        assert_ok(mbl_grid_axis(grid, names[i], n[i], labels[i], &err), err);
    for (size_t i = 0; i < ngauges; i++) {
        grid->gauge[grid->ngauges++] = mbl_gauge_find(gauges[i]);
        assert_true(mbl_gauge_find(gauges[i]) < mbl_gauge_count());
    }
    assert_ok(mbl_grid_open(grid, 0, mbl_grid_rows(grid), &err), err);
}

/* The same with one axis of n rows of their own, "1", "2", ... */
static inline void grid_of_rows(mbl_grid *grid, const mbl_alloc *alloc, size_t n, size_t ngauges,
                                const char *const gauges[])
{
    mbl_error err = {0};
    char(*text)[24] = malloc(n * sizeof *text);
    const char **label = malloc(n * sizeof *label);
    assert_non_null(text);
    assert_non_null(label);
    for (size_t i = 0; i < n; i++) {
        snprintf(text[i], sizeof text[i], "%zu", i + 1);
        label[i] = text[i];
    }
    mbl_grid_init(grid, alloc);
    grid->shape = MBL_GRID_ROWS;
    assert_ok(mbl_grid_axis(grid, "car", n, label, &err), err);
    free(text);
    free(label);
    for (size_t i = 0; i < ngauges; i++)
        grid->gauge[grid->ngauges++] = mbl_gauge_find(gauges[i]);
    assert_ok(mbl_grid_open(grid, 0, n, &err), err);
}

/* A row that ran: holds from 1 band up, marginal from 0. */
static inline void grid_put(mbl_grid *grid, size_t row, double closest, mbl_check_kind limit,
                            int axle, const double values[])
{
    mbl_error err = {0};
    mbl_grid_row what = {.limit = limit, .axle = axle, .closest = closest};
    what.verdict = closest >= 1 ? MBL_HOLDS : closest >= 0 ? MBL_MARGINAL : MBL_FAILS;
    assert_ok(mbl_grid_put(grid, row, &what, values, &err), err);
}

#endif
