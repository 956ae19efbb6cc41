/* SPDX-License-Identifier: MIT */
/*
 * A sweep's table while it fills and after: what was varied, and of every row what came of it.
 * Rows are numbered from 0 in the order of the sweep, whoever ran them and when.
 */
#ifndef MBL_STUDY_GRID_H
#define MBL_STUDY_GRID_H

#include "study/gauge.h"

enum { MBL_AXES = 12, MBL_AXIS_NAME = 32, MBL_GRID_GAUGES = 128, MBL_REASON = 256 };

/* One thing that is varied. */
typedef struct mbl_axis {
    char name[MBL_AXIS_NAME];
    size_t n;           /* options */
    const char **label; /* (n) as people read them: "76 mm", "small"; control characters are kept
                           as blanks, so that a row is a line wherever it is written */
} mbl_axis;

typedef enum mbl_grid_shape {
    MBL_GRID_PRODUCT, /* every combination, the last axis fastest */
    MBL_GRID_ROWS     /* rows of their own; option i of every axis belongs to row i */
} mbl_grid_shape;

typedef enum mbl_row_state { MBL_ROW_OPEN, MBL_ROW_DONE, MBL_ROW_FAILED } mbl_row_state;

typedef struct mbl_grid_row {
    mbl_row_state state;
    mbl_verdict verdict;
    mbl_mode mode;        /* how finely time was cut */
    mbl_check_kind limit; /* what gives out first: the tightest check */
    int axle;             /* of it */
    double closest;       /* its margin over its band: below 0 its limit is passed, below 1 it is
                             marginal at best */
} mbl_grid_row;

typedef struct mbl_grid {
    const mbl_alloc *alloc;
    mbl_grid_shape shape;
    size_t naxes;
    mbl_axis axis[MBL_AXES];
    size_t ngauges;
    size_t gauge[MBL_GRID_GAUGES]; /* numbers of mbl_gauge_at */
    size_t rows;                   /* of the whole sweep */
    size_t first, end;             /* rows that are this grid's: all, or those of a part */
    mbl_grid_row *row;             /* (end - first) */
    double *value;                 /* ((end - first) x ngauges), as mbl_gauge_read gives them */
    char **reason; /* (end - first) why a row failed, or NULL; without control characters and double
                      quotes, so that a line that ends with it shows whether it is whole */
} mbl_grid;

/*
 * Axes (labels are copied), shape and gauges are set before; room for rows [first, end) is made.
 */
MBL_NODISCARD mbl_status mbl_grid_open(mbl_grid *grid, size_t first, size_t end, mbl_error *err);
void mbl_grid_init(mbl_grid *grid, const mbl_alloc *alloc);
void mbl_grid_free(mbl_grid *grid);

MBL_NODISCARD mbl_status mbl_grid_axis(mbl_grid *grid, const char *name, size_t n,
                                       const char *const labels[], mbl_error *err);

/* Rows of the whole sweep by its axes and shape. SIZE_MAX when that is too many. */
size_t mbl_grid_rows(const mbl_grid *grid);

/* Option of an axis in a row. */
size_t mbl_grid_option(const mbl_grid *grid, size_t row, size_t axis);

/* What came of a row (run NULL: it failed, `why`). */
MBL_NODISCARD mbl_status mbl_grid_take(mbl_grid *grid, size_t row, const mbl_run *run,
                                       const char *why, mbl_error *err);

/* The same from what was kept of a row that ran: its numbers in the order of the gauges. */
MBL_NODISCARD mbl_status mbl_grid_put(mbl_grid *grid, size_t row, const mbl_grid_row *what,
                                      const double values[], mbl_error *err);

/* Column of a gauge by name, or ngauges. */
size_t mbl_grid_column(const mbl_grid *grid, const char *name);
double mbl_grid_value(const mbl_grid *grid, size_t row, size_t column);

/*
 * The best row by a column among those that ran and do not fail; when all fail, among those that
 * ran; the first of equals. `rows` when none of these has the number. `less` says which way is
 * better.
 */
size_t mbl_grid_best(const mbl_grid *grid, size_t column, bool less);

/*
 * Marks in keep (end - first) the rows that no other row beats, of those that do not fail: none is
 * as good in every one of the columns and better in one. Equals are all kept; rows with NAN in a
 * column are left out.
 */
MBL_NODISCARD mbl_status mbl_grid_tradeoff(const mbl_grid *grid, size_t n, const size_t columns[],
                                           const bool less[], bool *keep, mbl_error *err);

#endif
