/* SPDX-License-Identifier: MIT */
#include "out/grid.h"

#include "out/figure.h"
#include "out/grid_parts.h"
#include "out/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void mbl_grid_limit(const mbl_grid_row *row, mbl_text *out)
{
    mbl_text_print(out, "%s %s", row->axle == MBL_WHOLE_CAR ? "car" : mbl_axle_word(row->axle),
                   mbl_check_word(row->limit));
}

bool mbl_grid_is_closest(const mbl_grid *grid, size_t column)
{
    return grid->gauge[column] == mbl_gauge_find("closest");
}

/* ---- writing ---- */

/* A field in quotes, those in it doubled. */
static void add_quoted(mbl_text *out, const char *field)
{
    mbl_text_add(out, "\"", 1);
    for (; *field != '\0'; field++) {
        if (*field == '"')
            mbl_text_add(out, "\"", 1);
        mbl_text_add(out, field, 1);
    }
    mbl_text_add(out, "\"", 1);
}

/* In quotes where it has to be, and where blanks at an end might be lost. */
static void add_field(mbl_text *out, const char *field)
{
    size_t n = strlen(field);
    bool blank = n > 0 && (field[0] == ' ' || field[n - 1] == ' ');
    if (blank || strpbrk(field, ",\"\r\n") != NULL)
        add_quoted(out, field);
    else
        mbl_text_add(out, field, n);
}

static void add_number(mbl_text *out, double number)
{
    char text[32] = ""; /* what is not a number is nothing */
    if (isinf(number))
        snprintf(text, sizeof text, "%s", number < 0 ? "-inf" : "inf");
    else if (!isnan(number))
        mbl_number_write(number, text);
    mbl_text_print(out, ",%s", text);
}

/* Of a gauge as it is kept, in the units of the file. */
static double converted(mbl_quantity quantity, mbl_units_system units, double value)
{
    if (units == MBL_UNITS_SI)
        return value;
    if (quantity == MBL_Q_LEVEL)
        return value * 9 / 5 + 32;
    return mbl_out_convert(mbl_figure_of(quantity, units).measure, units, value);
}

static const char *unit_of(mbl_quantity quantity, mbl_units_system units)
{
    if (units == MBL_UNITS_SI)
        return mbl_quantity_si(quantity);
    return mbl_out_unit(mbl_figure_of(quantity, units).measure, units);
}

void mbl_out_grid_head(const mbl_grid *grid, mbl_units_system units, mbl_text *out)
{
    mbl_text_print(out, "row");
    for (size_t i = 0; i < grid->naxes; i++) {
        mbl_text_add(out, ",", 1);
        add_field(out, grid->axis[i].name);
    }
    mbl_text_print(out, ",verdict,mode,limit,closest");
    for (size_t i = 0; i < grid->ngauges; i++) {
        if (!mbl_grid_is_closest(grid, i))
            mbl_text_print(out, ",%s", mbl_gauge_at(grid->gauge[i]).name);
    }
    mbl_text_print(out, ",reason\n");
    for (size_t i = 0; i < grid->naxes; i++)
        mbl_text_add(out, ",", 1);
    mbl_text_print(out, ",,,,");
    for (size_t i = 0; i < grid->ngauges; i++) {
        if (!mbl_grid_is_closest(grid, i))
            mbl_text_print(out, ",%s", unit_of(mbl_gauge_at(grid->gauge[i]).quantity, units));
    }
    mbl_text_print(out, ",\n");
}

/* A row with what came of it, whether the grid has that already or not. */
typedef struct line {
    mbl_grid_row what;
    const double *value;
    const char *reason;
} line;

/* Its number and the label of every axis. */
static void add_labels(const mbl_grid *grid, size_t row, mbl_text *out)
{
    mbl_text_print(out, "%zu", row + 1);
    for (size_t i = 0; i < grid->naxes; i++) {
        mbl_text_add(out, ",", 1);
        add_field(out, grid->axis[i].label[mbl_grid_option(grid, row, i)]);
    }
    mbl_text_add(out, ",", 1);
}

static void add_row(const mbl_grid *grid, mbl_units_system units, size_t row, const line *l,
                    mbl_text *out)
{
    bool ran = l->what.state == MBL_ROW_DONE;
    add_labels(grid, row, out);
    mbl_text_print(out, "%s,", ran ? mbl_verdict_word(l->what.verdict) : MBL_GRID_FAILED);
    mbl_text_print(out, "%s,", ran ? mbl_mode_word(l->what.mode) : "");
    if (ran)
        mbl_grid_limit(&l->what, out);
    add_number(out, ran ? l->what.closest : NAN);
    for (size_t i = 0; i < grid->ngauges; i++) {
        mbl_quantity quantity = mbl_gauge_at(grid->gauge[i]).quantity;
        if (!mbl_grid_is_closest(grid, i))
            add_number(out, ran ? converted(quantity, units, l->value[i]) : NAN);
    }
    /* in quotes always, and without any: one that was cut off shows */
    mbl_text_add(out, ",", 1);
    if (!ran)
        add_quoted(out, l->reason);
    mbl_text_add(out, "\n", 1);
}

void mbl_out_grid_row(const mbl_grid *grid, mbl_units_system units, size_t row, mbl_text *out)
{
    size_t at = row - grid->first;
    line l = {.what = grid->row[at], .reason = grid->reason[at]};
    if (l.what.state == MBL_ROW_OPEN)
        return;
    l.value = grid->ngauges > 0 ? &grid->value[at * grid->ngauges] : NULL;
    add_row(grid, units, row, &l, out);
}

mbl_status mbl_out_grid_csv(const mbl_grid *grid, const bool *keep, mbl_units_system units,
                            const char *path, mbl_error *err)
{
    mbl_file file;
    mbl_text text;
    MBL_TRY(mbl_file_begin(&file, path, err));
    mbl_text_init(&text, grid->alloc);
    mbl_out_grid_head(grid, units, &text);
    for (size_t row = grid->first; row < grid->end && !text.failed; row++) {
        fwrite(mbl_text_get(&text), 1, text.length, file.stream);
        mbl_page_clear(&text);
        if (keep == NULL || keep[row - grid->first])
            mbl_out_grid_row(grid, units, row, &text);
    }
    fwrite(mbl_text_get(&text), 1, text.length, file.stream);
    bool failed = text.failed;
    mbl_text_free(&text);
    if (failed) {
        mbl_file_abandon(&file);
        return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", path);
    }
    return mbl_file_commit(&file, err);
}

/* ---- reading ---- */

/* What is left of a line. */
typedef struct cursor {
    const char *at, *end;
} cursor;

/*
 * The next field, its quotes undone, into out[room]; false when there is none or it does not fit.
 * How it was quoted does not matter: the row is written again and compared.
 */
static bool next_field(cursor *c, char *out, size_t room)
{
    size_t n = 0;
    if (c->at == NULL)
        return false;
    bool quoted = c->at < c->end && *c->at == '"';
    for (c->at += quoted; c->at < c->end; c->at++) {
        if (quoted && *c->at == '"') {
            if (c->at + 1 == c->end || c->at[1] != '"')
                break;
            c->at++;
        } else if (!quoted && *c->at == ',') {
            break;
        }
        /* none of them has such a byte, see mbl_axis and mbl_grid */
        if (n + 1 >= room || (unsigned char)*c->at < 0x20 || *c->at == 0x7F)
            return false;
        out[n++] = *c->at;
    }
    out[n] = '\0';
    c->at += quoted && c->at < c->end;
    if (c->at < c->end && *c->at != ',')
        return false;
    c->at = c->at < c->end ? c->at + 1 : NULL;
    return true;
}

static bool next_number(cursor *c, double *number)
{
    char text[40];
    if (!next_field(c, text, sizeof text))
        return false;
    *number = NAN;
    if (text[0] == '\0')
        return true;
    *number = text[0] == '-' ? -INFINITY : INFINITY;
    if (strcmp(text, "inf") == 0 || strcmp(text, "-inf") == 0)
        return true;
    return mbl_number_read(text, strlen(text), number);
}

static bool next_verdict(cursor *c, mbl_grid_row *row)
{
    char text[32];
    if (!next_field(c, text, sizeof text))
        return false;
    row->state = MBL_ROW_FAILED;
    if (strcmp(text, MBL_GRID_FAILED) == 0)
        return true;
    row->state = MBL_ROW_DONE;
    for (int v = MBL_HOLDS; v <= MBL_FAILS; v++) {
        row->verdict = (mbl_verdict)v;
        if (strcmp(text, mbl_verdict_word(row->verdict)) == 0)
            return true;
    }
    return false;
}

static bool next_mode(cursor *c, mbl_grid_row *row)
{
    char text[32];
    if (!next_field(c, text, sizeof text))
        return false;
    if (row->state == MBL_ROW_FAILED)
        return text[0] == '\0';
    for (int m = MBL_MODE_DEFAULT; m <= MBL_MODE_REFERENCE; m++) {
        row->mode = (mbl_mode)m;
        if (strcmp(text, mbl_mode_word(row->mode)) == 0)
            return true;
    }
    return false;
}

static bool next_limit(cursor *c, mbl_grid_row *row)
{
    char text[48];
    if (!next_field(c, text, sizeof text))
        return false;
    if (row->state == MBL_ROW_FAILED)
        return text[0] == '\0';
    const char *word = strchr(text, ' ');
    if (word == NULL)
        return false;
    size_t n = (size_t)(word - text);
    for (row->axle = 0; row->axle < MBL_AXLES; row->axle++)
        if (strlen(mbl_axle_word(row->axle)) == n && memcmp(text, mbl_axle_word(row->axle), n) == 0)
            break;
    if (row->axle == MBL_AXLES)
        row->axle = MBL_WHOLE_CAR;
    for (int k = 0; k < MBL_CHECK_KINDS; k++) {
        row->limit = (mbl_check_kind)k;
        if (strcmp(word + 1, mbl_check_word(row->limit)) == 0)
            return true;
    }
    return false;
}

/* Everything behind the labels. */
static bool read_rest(const mbl_grid *grid, cursor *c, mbl_grid_row *what, double value[],
                      char reason[MBL_REASON])
{
    if (!next_verdict(c, what) || !next_mode(c, what) || !next_limit(c, what) ||
        !next_number(c, &what->closest))
        return false;
    for (size_t i = 0; i < grid->ngauges; i++) {
        value[i] = what->closest;
        if (!mbl_grid_is_closest(grid, i) && !next_number(c, &value[i]))
            return false;
    }
    return next_field(c, reason, MBL_REASON) && c->at == NULL && strchr(reason, '"') == NULL;
}

/* Written again, is it the same? */
static bool same_again(const mbl_grid *grid, size_t row, const line *l, const char *text, size_t n)
{
    mbl_text again;
    mbl_text_init(&again, grid->alloc);
    add_row(grid, MBL_UNITS_SI, row, l, &again);
    bool same = !again.failed && again.length == n + 1 && memcmp(again.data, text, n) == 0;
    mbl_text_free(&again);
    return same;
}

/* Goes past the fields before the verdict where they are those of the row. */
static bool skip_labels(const mbl_grid *grid, size_t row, cursor *c)
{
    mbl_text lead;
    mbl_text_init(&lead, grid->alloc);
    add_labels(grid, row, &lead);
    size_t n = lead.length;
    bool there = !lead.failed && (size_t)(c->end - c->at) >= n && memcmp(c->at, lead.data, n) == 0;
    mbl_text_free(&lead);
    c->at += there ? n : 0;
    return there;
}

bool mbl_out_grid_take(mbl_grid *grid, size_t row, const char *text, size_t n)
{
    cursor c = {text, text + n};
    mbl_grid_row what = {0};
    double value[MBL_GRID_GAUGES];
    char reason[MBL_REASON];
    if (row < grid->first || row >= grid->end || !skip_labels(grid, row, &c) ||
        !read_rest(grid, &c, &what, value, reason))
        return false;
    line l = {what, value, reason};
    if (!same_again(grid, row, &l, text, n))
        return false;
    if (what.state == MBL_ROW_FAILED)
        return mbl_grid_take(grid, row, NULL, reason, NULL) == MBL_OK;
    return mbl_grid_put(grid, row, &what, value, NULL) == MBL_OK;
}
