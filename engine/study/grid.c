/* SPDX-License-Identifier: MIT */
#include "study/grid.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

void mbl_grid_init(mbl_grid *grid, const mbl_alloc *alloc)
{
    *grid = (mbl_grid){.alloc = alloc};
}

/* ---- axes ---- */

/* The labels of an axis lie one behind the other in one block, its size by the last of them. */
static void free_axis(const mbl_alloc *alloc, mbl_axis *axis)
{
    if (axis->label != NULL) {
        const char *first = axis->label[0];
        const char *last = axis->label[axis->n - 1];
        mbl_free(alloc, (char *)(uintptr_t)first, (size_t)(last - first) + strlen(last) + 1, 1);
        mbl_free(alloc, axis->label, axis->n, sizeof *axis->label);
    }
    *axis = (mbl_axis){0};
}

/* A file has one line a row, and a page is printed: nothing in a text breaks the line. */
static void copy_plain(char *to, const char *from, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        unsigned char c = (unsigned char)from[i];
        to[i] = (char)(c < 0x20 || c == 0x7F ? ' ' : c);
    }
    to[n] = '\0';
}

static mbl_status copy_labels(const mbl_alloc *alloc, size_t n, const char *const labels[],
                              const char ***out, mbl_error *err)
{
    size_t bytes = 0;
    for (size_t i = 0; i < n; i++)
        bytes += strlen(labels[i]) + 1;
    const char **label = mbl_new(alloc, n, sizeof *label);
    char *text = mbl_new(alloc, bytes, 1);
    if (label == NULL || text == NULL) {
        mbl_free(alloc, label, n, sizeof *label);
        mbl_free(alloc, text, bytes, 1);
        return mbl_fail(err, MBL_MEMORY, "out of memory for the %zu options of an axis", n);
    }
    for (size_t i = 0; i < n; i++) {
        size_t length = strlen(labels[i]);
        copy_plain(text, labels[i], length);
        label[i] = text;
        text += length + 1;
    }
    *out = label;
    return MBL_OK;
}

mbl_status mbl_grid_axis(mbl_grid *grid, const char *name, size_t n, const char *const labels[],
                         mbl_error *err)
{
    if (grid->naxes == MBL_AXES)
        return mbl_fail(err, MBL_INPUT, "a sweep has at most %d axes", MBL_AXES);
    if (name[0] == '\0' || strlen(name) >= MBL_AXIS_NAME)
        return mbl_fail(err, MBL_INPUT, "the name of an axis has 1 to %d bytes, not \"%.60s\"",
                        MBL_AXIS_NAME - 1, name);
    if (n == 0)
        return mbl_fail(err, MBL_INPUT, "there is nothing on the axis \"%s\"", name);
    for (size_t i = 0; i < grid->naxes; i++)
        if (strcmp(grid->axis[i].name, name) == 0)
            return mbl_fail(err, MBL_INPUT, "there are two axes \"%s\"", name);
    mbl_axis axis = {.n = n};
    MBL_TRY(copy_labels(grid->alloc, n, labels, &axis.label, err));
    copy_plain(axis.name, name, strlen(name));
    grid->axis[grid->naxes++] = axis;
    return MBL_OK;
}

size_t mbl_grid_rows(const mbl_grid *grid)
{
    if (grid->shape == MBL_GRID_ROWS)
        return grid->naxes > 0 ? grid->axis[0].n : 0;
    size_t rows = 1;
    for (size_t i = 0; i < grid->naxes; i++) {
        if (grid->axis[i].n > SIZE_MAX / rows)
            return SIZE_MAX;
        rows *= grid->axis[i].n;
    }
    return rows;
}

size_t mbl_grid_option(const mbl_grid *grid, size_t row, size_t axis)
{
    if (grid->shape == MBL_GRID_ROWS)
        return row;
    for (size_t i = grid->naxes; i-- > axis + 1;)
        row /= grid->axis[i].n;
    return row % grid->axis[axis].n;
}

/* ---- rows ---- */

static size_t held(const mbl_grid *grid)
{
    return grid->end - grid->first;
}

static mbl_status check_shape(const mbl_grid *grid, size_t first, size_t end, mbl_error *err)
{
    size_t rows = mbl_grid_rows(grid);
    for (size_t i = 0; grid->shape == MBL_GRID_ROWS && i < grid->naxes; i++)
        if (grid->axis[i].n != rows)
            return mbl_fail(err, MBL_INPUT, "the axis \"%s\" has %zu options in %zu rows",
                            grid->axis[i].name, grid->axis[i].n, rows);
    if (rows == SIZE_MAX)
        return mbl_fail(err, MBL_INPUT, "there are too many combinations to count");
    if (first > end || end > rows)
        return mbl_fail(err, MBL_INPUT, "rows %zu to %zu are not of a sweep of %zu", first, end,
                        rows);
    if (grid->ngauges > MBL_GRID_GAUGES)
        return mbl_fail(err, MBL_INPUT, "a sweep keeps at most %d numbers", MBL_GRID_GAUGES);
    for (size_t i = 0; i < grid->ngauges; i++)
        if (grid->gauge[i] >= mbl_gauge_count())
            return mbl_fail(err, MBL_INTERNAL, "there is no gauge %zu", grid->gauge[i]);
    return MBL_OK;
}

static void free_rows(mbl_grid *grid)
{
    size_t n = held(grid);
    for (size_t i = 0; grid->reason != NULL && i < n; i++)
        if (grid->reason[i] != NULL)
            mbl_free(grid->alloc, grid->reason[i], strlen(grid->reason[i]) + 1, 1);
    mbl_free(grid->alloc, grid->row, n, sizeof *grid->row);
    mbl_free(grid->alloc, grid->value, n, grid->ngauges * sizeof *grid->value);
    mbl_free(grid->alloc, grid->reason, n, sizeof *grid->reason);
    grid->row = NULL;
    grid->value = NULL;
    grid->reason = NULL;
    grid->first = grid->end = 0;
}

mbl_status mbl_grid_open(mbl_grid *grid, size_t first, size_t end, mbl_error *err)
{
    MBL_TRY(check_shape(grid, first, end, err));
    free_rows(grid);
    size_t n = end - first;
    size_t wide = grid->ngauges * sizeof *grid->value;
    grid->rows = mbl_grid_rows(grid);
    grid->first = first;
    grid->end = end;
    if (n == 0)
        return MBL_OK;
    grid->row = mbl_new(grid->alloc, n, sizeof *grid->row);
    grid->value = wide > 0 ? mbl_new(grid->alloc, n, wide) : NULL;
    grid->reason = mbl_new(grid->alloc, n, sizeof *grid->reason);
    if (grid->row != NULL && (grid->value != NULL || wide == 0) && grid->reason != NULL)
        return MBL_OK;
    free_rows(grid);
    return mbl_fail(err, MBL_MEMORY, "out of memory for %zu rows of %zu numbers", n, grid->ngauges);
}

void mbl_grid_free(mbl_grid *grid)
{
    free_rows(grid);
    for (size_t i = 0; i < grid->naxes; i++)
        free_axis(grid->alloc, &grid->axis[i]);
    mbl_grid_init(grid, grid->alloc);
}

/* Bytes of `why` that are kept: no character is cut in two. */
static size_t reason_length(const char *why)
{
    size_t n = strlen(why);
    if (n < MBL_REASON)
        return n;
    n = MBL_REASON - 1;
    while (n > 0 && ((unsigned char)why[n] & 0xC0) == 0x80)
        n--;
    return n;
}

/* Puts a reason, or none (NULL), in the place of what was there. */
static mbl_status put_reason(mbl_grid *grid, size_t at, const char *why, mbl_error *err)
{
    char *copy = NULL;
    if (why != NULL) {
        size_t n = reason_length(why);
        copy = mbl_new(grid->alloc, n + 1, 1);
        if (copy == NULL)
            return mbl_fail(err, MBL_MEMORY, "out of memory for why a row failed");
        copy_plain(copy, why, n);
        for (char *c = copy; *c != '\0'; c++)
            *c = *c == '"' ? '\'' : *c;
    }
    char *old = grid->reason[at];
    if (old != NULL)
        mbl_free(grid->alloc, old, strlen(old) + 1, 1);
    grid->reason[at] = copy;
    return MBL_OK;
}

static mbl_status check_row(const mbl_grid *grid, size_t row, mbl_error *err)
{
    if (row >= grid->first && row < grid->end)
        return MBL_OK;
    return mbl_fail(err, MBL_INTERNAL, "row %zu is not one of %zu to %zu", row, grid->first,
                    grid->end);
}

mbl_status mbl_grid_put(mbl_grid *grid, size_t row, const mbl_grid_row *what, const double values[],
                        mbl_error *err)
{
    MBL_TRY(check_row(grid, row, err));
    size_t at = row - grid->first;
    MBL_TRY(put_reason(grid, at, NULL, err));
    grid->row[at] = *what;
    grid->row[at].state = MBL_ROW_DONE;
    for (size_t i = 0; i < grid->ngauges; i++)
        grid->value[at * grid->ngauges + i] = values[i];
    return MBL_OK;
}

mbl_status mbl_grid_take(mbl_grid *grid, size_t row, const mbl_run *run, const char *why,
                         mbl_error *err)
{
    MBL_TRY(check_row(grid, row, err));
    if (run == NULL) {
        size_t at = row - grid->first;
        MBL_TRY(put_reason(grid, at, why != NULL ? why : "", err));
        grid->row[at] = (mbl_grid_row){.state = MBL_ROW_FAILED, .closest = NAN};
        return MBL_OK;
    }
    const mbl_check *tightest = &run->checks[0];
    const mbl_grid_row what = {.verdict = run->verdict,
                               .mode = run->mode,
                               .limit = tightest->kind,
                               .axle = tightest->axle,
                               .closest = mbl_check_rank(tightest)};
    double values[MBL_GRID_GAUGES];
    for (size_t i = 0; i < grid->ngauges; i++)
        values[i] = mbl_gauge_read(grid->gauge[i], run);
    return mbl_grid_put(grid, row, &what, values, err);
}

size_t mbl_grid_column(const mbl_grid *grid, const char *name)
{
    for (size_t i = 0; i < grid->ngauges; i++)
        if (strcmp(mbl_gauge_at(grid->gauge[i]).name, name) == 0)
            return i;
    return grid->ngauges;
}

double mbl_grid_value(const mbl_grid *grid, size_t row, size_t column)
{
    size_t at = row - grid->first;
    return grid->row[at].state == MBL_ROW_DONE ? grid->value[at * grid->ngauges + column] : NAN;
}

size_t mbl_grid_best(const mbl_grid *grid, size_t column, bool less)
{
    bool any_kept = false;
    for (size_t at = 0; at < held(grid); at++)
        any_kept =
            any_kept || (grid->row[at].state == MBL_ROW_DONE && grid->row[at].verdict != MBL_FAILS);
    size_t best = grid->rows;
    double least = NAN;
    for (size_t row = grid->first; row < grid->end; row++) {
        double value = mbl_grid_value(grid, row, column);
        double key = less ? value : -value;
        if (isnan(key) || (any_kept && grid->row[row - grid->first].verdict == MBL_FAILS))
            continue;
        if (best == grid->rows || key < least) {
            best = row;
            least = key;
        }
    }
    return best;
}
