/* SPDX-License-Identifier: MIT */
#include "out/grid.h"

#include "out/figure.h"
#include "out/grid_parts.h"
#include "out/grid_sheet.h"
#include "out/words.h"

#include <math.h>
#include <string.h>

enum { BESIDE_MATRIX = 5, RANKED = 20, REASONS = 3 };

const mbl_grid_row *mbl_grid_in(const mbl_grid_sheet *s, size_t row, mbl_row_state state)
{
    size_t at = row - s->grid->first;
    bool about = s->keep == NULL || s->keep[at];
    return about && s->grid->row[at].state == state ? &s->grid->row[at] : NULL;
}

char mbl_grid_mark(const mbl_grid_row *row)
{
    return row->verdict == MBL_FAILS ? '!' : row->verdict == MBL_MARGINAL ? '~' : ' ';
}

void mbl_grid_marked(char mark, mbl_shown *text)
{
    if (mark == ' ')
        return;
    memmove(text->s + 1, text->s, sizeof text->s - 1);
    text->s[sizeof text->s - 1] = '\0';
    text->s[0] = mark;
}

mbl_shown mbl_grid_closest(const mbl_grid_row *row)
{
    return mbl_out_fixed(floor(10 * row->closest) / 10, 1);
}

/* Counts and bare numbers have no unit that would say how fine they are. */
static bool is_bare(mbl_quantity quantity)
{
    return quantity == MBL_Q_RATIO || quantity == MBL_Q_COUNT;
}

mbl_shown mbl_grid_told(const mbl_grid_sheet *s, size_t column, double value)
{
    mbl_shown none = {"-"};
    mbl_gauge gauge = mbl_gauge_at(s->grid->gauge[column]);
    mbl_figure f = mbl_figure_of(gauge.quantity, s->units);
    if (!isfinite(value))
        return none;
    if (is_bare(gauge.quantity))
        return mbl_out_rough(gauge.quantity, s->units, value, value).number;
    if (gauge.quantity == MBL_Q_LEVEL)
        return mbl_figure_number(f, s->units, value + 273.15);
    if (gauge.quantity == MBL_Q_RISE)
        return mbl_figure_margin(f, s->units, value);
    return mbl_figure_number(f, s->units, value);
}

const char *mbl_grid_unit(const mbl_grid_sheet *s, size_t column)
{
    mbl_quantity quantity = mbl_gauge_at(s->grid->gauge[column]).quantity;
    return is_bare(quantity) ? ""
                             : mbl_out_unit(mbl_figure_of(quantity, s->units).measure, s->units);
}

bool mbl_grid_same(const mbl_grid_sheet *s, size_t column)
{
    const mbl_grid *grid = s->grid;
    bool any = false;
    double first = NAN;
    for (size_t row = grid->first; row < grid->end; row++) {
        if (mbl_grid_in(s, row, MBL_ROW_DONE) == NULL)
            continue;
        double value = mbl_grid_value(grid, row, column);
        if (any && value != first && !(isnan(value) && isnan(first)))
            return false;
        first = value;
        any = true;
    }
    return true;
}

void mbl_grid_sentence(mbl_grid_sheet *s)
{
    mbl_page_wrap(s->page, "  ", 2, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

void mbl_grid_line(mbl_grid_sheet *s)
{
    size_t n = s->line.length;
    while (n > 0 && s->line.data[n - 1] == ' ')
        n--;
    mbl_text_add(s->page, mbl_text_get(&s->line), n);
    mbl_text_add(s->page, "\n", 1);
    mbl_page_clear(&s->line);
}

static void fact(mbl_grid_sheet *s, const char *word)
{
    mbl_page_fact(s->page, word, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

/* ---- what there is ---- */

static bool varies(const mbl_grid *grid, size_t axis)
{
    const mbl_axis *a = &grid->axis[axis];
    for (size_t i = 1; i < a->n; i++)
        if (grid->shape == MBL_GRID_PRODUCT || strcmp(a->label[i], a->label[0]) != 0)
            return true;
    return false;
}

static void count_limit(mbl_grid_sheet *s, const mbl_grid_row *row)
{
    size_t i = 0;
    while (i < s->nlimits && (s->limit[i].kind != row->limit || s->limit[i].axle != row->axle))
        i++;
    if (i == MBL_GRID_LETTERS)
        return;
    if (i == s->nlimits)
        s->limit[s->nlimits++] = (mbl_grid_limits){row->limit, row->axle, 0};
    s->limit[i].rows++;
}

static void count(mbl_grid_sheet *s)
{
    for (size_t i = 0; i < s->grid->naxes; i++)
        if (varies(s->grid, i))
            s->varied[s->nvaried++] = i;
    for (size_t row = s->grid->first; row < s->grid->end; row++) {
        const mbl_grid_row *done = mbl_grid_in(s, row, MBL_ROW_DONE);
        s->failed += mbl_grid_in(s, row, MBL_ROW_FAILED) != NULL;
        s->open += mbl_grid_in(s, row, MBL_ROW_OPEN) != NULL;
        if (done == NULL)
            continue;
        s->ran++;
        s->verdict[done->verdict]++;
        count_limit(s, done);
    }
    s->rows = s->ran + s->failed + s->open;
}

/* ---- the head ---- */

static void put_title(mbl_grid_sheet *s)
{
    const mbl_grid *grid = s->grid;
    bool product = grid->shape == MBL_GRID_PRODUCT;
    mbl_text_print(&s->line, "SWEEP");
    for (size_t i = 0; i < s->nvaried; i++) {
        const mbl_axis *a = &grid->axis[s->varied[i]];
        mbl_text_print(&s->line, "%s%s", i == 0 ? " of " : product ? " by " : ", ", a->name);
        if (product)
            mbl_text_print(&s->line, " (%zu)", a->n);
    }
    mbl_text_print(&s->line, ": %zu row%s", grid->rows, grid->rows == 1 ? "" : "s");
    mbl_page_heading(s->page, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

static void put_fixed(mbl_grid_sheet *s)
{
    const mbl_grid *grid = s->grid;
    const char *lead = "";
    for (size_t i = 0; i < grid->naxes; i++) {
        bool is_varied = false;
        for (size_t k = 0; k < s->nvaried; k++)
            is_varied = is_varied || s->varied[k] == i;
        if (is_varied)
            continue;
        mbl_text_print(&s->line, "%s%s: %s", lead, grid->axis[i].name, grid->axis[i].label[0]);
        lead = ", ";
    }
    if (lead[0] != '\0') {
        mbl_text_print(&s->line, ".");
        fact(s, "Everywhere");
    }
}

/* "3 are marginal", after a comma where something went before. */
static void add_count(mbl_grid_sheet *s, size_t n, const char *one, const char *many)
{
    if (n > 0)
        mbl_text_print(&s->line, "%s%zu %s", s->line.length > 0 ? ", " : "", n,
                       n == 1 ? one : many);
}

static void put_counts(mbl_grid_sheet *s)
{
    const mbl_grid *grid = s->grid;
    add_count(s, s->verdict[MBL_HOLDS], "holds", "hold");
    add_count(s, s->verdict[MBL_MARGINAL], "is marginal", "are marginal");
    add_count(s, s->verdict[MBL_FAILS], "fails", "fail");
    add_count(s, s->failed, MBL_GRID_FAILED, MBL_GRID_FAILED);
    add_count(s, s->open, "was not run yet", "were not run yet");
    mbl_text_print(&s->line, "%s", s->line.length > 0 ? "." : "There are no rows.");
    fact(s, "Rows");
    if (s->keep != NULL) {
        mbl_text_print(&s->line, "%zu of the %zu.", s->rows, grid->rows);
        fact(s, "A choice");
    } else if (grid->first > 0 || grid->end < grid->rows) {
        mbl_text_print(&s->line, "only rows %zu to %zu of %zu are in this table.", grid->first + 1,
                       grid->end, grid->rows);
        fact(s, "A part");
    }
}

/* ---- what could not run ---- */

/* Rows from `row` on that failed for the reason of this one. */
static size_t alike(const mbl_grid_sheet *s, size_t row)
{
    const mbl_grid *grid = s->grid;
    const char *reason = grid->reason[row - grid->first];
    size_t n = 0;
    for (size_t i = row; i < grid->end; i++)
        n += mbl_grid_in(s, i, MBL_ROW_FAILED) != NULL &&
             strcmp(grid->reason[i - grid->first], reason) == 0;
    return n;
}

static bool told_before(const mbl_grid *grid, const size_t *told, size_t n, size_t row)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(grid->reason[told[i] - grid->first], grid->reason[row - grid->first]) == 0)
            return true;
    return false;
}

static void put_reasons(mbl_grid_sheet *s)
{
    const mbl_grid *grid = s->grid;
    size_t told[REASONS];
    size_t n = 0;
    size_t rest = s->failed;
    if (s->failed == 0)
        return;
    mbl_page_heading(s->page, "COULD NOT RUN");
    for (size_t row = grid->first; row < grid->end && n < REASONS; row++) {
        if (grid->row[row - grid->first].state != MBL_ROW_FAILED || told_before(grid, told, n, row))
            continue;
        size_t same = alike(s, row);
        told[n++] = row;
        rest -= same;
        mbl_text_print(&s->line, "row %zu", row + 1);
        if (same > 1)
            mbl_text_print(&s->line, " and %zu more", same - 1);
        mbl_text_print(&s->line, ": %s", grid->reason[row - grid->first]);
        mbl_page_point(s->page, mbl_text_get(&s->line));
        mbl_page_clear(&s->line);
    }
    if (rest > 0) {
        mbl_text_print(&s->line, "and %zu more, for other reasons; grid:save writes them all.",
                       rest);
        mbl_grid_sentence(s);
    }
}

/* What was only looked over. */
static void put_screened(mbl_grid_sheet *s)
{
    size_t screened = 0;
    for (size_t row = s->grid->first; row < s->grid->end; row++) {
        const mbl_grid_row *r = mbl_grid_in(s, row, MBL_ROW_DONE);
        screened += r != NULL && r->mode == MBL_MODE_SCREENING;
    }
    if (screened == 0)
        return;
    mbl_text_print(&s->line, "%zu of %zu rows were screened: %s.", screened, s->ran,
                   mbl_mode_promise(MBL_MODE_SCREENING));
    mbl_page_point(s->page, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

void mbl_out_grid(const mbl_grid *grid, const bool *keep, mbl_units_system units, mbl_text *out)
{
    mbl_grid_sheet s = {.grid = grid, .keep = keep, .units = units, .page = out};
    mbl_text_init(&s.line, out->alloc);
    count(&s);
    put_title(&s);
    put_fixed(&s);
    put_counts(&s);
    if (s.ran > 0) {
        bool matrix = keep == NULL && grid->shape == MBL_GRID_PRODUCT && s.nvaried == 2 &&
                      mbl_grid_matrix(&s);
        mbl_grid_ranked(&s, matrix ? BESIDE_MATRIX : RANKED);
    }
    put_reasons(&s);
    mbl_page_heading(out, "BEFORE ANYONE DRIVES");
    put_screened(&s);
    mbl_page_point(out, mbl_words_cautions[0]);
    mbl_page_point(out, mbl_words_cautions[2]);
    out->failed = out->failed || s.line.failed;
    mbl_text_free(&s.line);
}
