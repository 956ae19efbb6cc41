/* SPDX-License-Identifier: MIT */
#include "road/intake.h"

#include "road/names.h"

#include <math.h>
#include <string.h>

/* m/s: a speed below zero by more is no offset of a sensor. */
#define BACKWARDS (-1.0)

/* m/s: no car on a circuit is faster, so the unit must be another. */
#define FASTEST 150.0

/* One sample in so many may be off the scale: a spike, which is repaired later. */
enum { SPIKES = 100 };

static bool given(const char *text)
{
    return text != NULL && text[0] != '\0';
}

/* Where is the speed to come from? */
static mbl_log_role main_role(const mbl_log_column column[MBL_LOG_ROLES])
{
    return column[MBL_LOG_SPEED].present      ? MBL_LOG_SPEED
           : column[MBL_LOG_DISTANCE].present ? MBL_LOG_DISTANCE
                                              : MBL_LOG_LATITUDE;
}

mbl_status mbl_intake_begin(mbl_intake *in, mbl_import *import, char decimal,
                            const mbl_csv_cell *stamps, size_t n, bool unit_wished, bool of_day,
                            mbl_error *err)
{
    in->import = import;
    in->decimal = decimal;
    in->main = main_role(import->column);
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        in->scale[role] = 1;
        if (import->column[role].present && role != MBL_LOG_TIME)
            (void)mbl_names_scale((mbl_log_role)role, import->column[role].unit, &in->scale[role]);
    }
    mbl_status status = mbl_clock_choose(&in->clock, stamps, n, decimal, unit_wished, of_day,
                                         &import->column[MBL_LOG_TIME], err);
    if (status != MBL_OK)
        mbl_error_at(err, NULL, import->units_line > 0 ? import->units_line : import->header_line,
                     0);
    return status;
}

static void note_bad(mbl_intake *in, mbl_log_role role, mbl_csv_cell cell)
{
    mbl_intake_bad *bad = &in->bad[role];
    if (bad->note.count == 0)
        mbl_names_show(bad->text, sizeof bad->text, cell.text, cell.n);
    mbl_repair_note(&bad->note, in->line, 0);
}

/* Fails when the cell is a number but for its decimal mark. */
static mbl_status check_mark(const mbl_intake *in, mbl_log_role role, mbl_csv_cell cell,
                             mbl_error *err)
{
    char text[40];
    if (!mbl_csv_other_mark(cell, in->decimal))
        return MBL_OK;
    mbl_names_show(text, sizeof text, cell.text, cell.n);
    bool comma = in->decimal == '.';
    mbl_status status = mbl_fail(
        err, MBL_INPUT,
        "column \"%s\" has \"%s\", but the decimal mark of this file is taken to be the "
        "%s, and a lone %s may part thousands or decimals; export with one decimal mark "
        "and without thousands marks",
        in->import->column[role].name, text, comma ? "point" : "comma", comma ? "comma" : "point");
    mbl_error_at(err, NULL, in->line, 0);
    return status;
}

mbl_status mbl_intake_row(mbl_intake *in, const mbl_csv *csv, mbl_csv_cell stamp, bool *got,
                          mbl_error *err)
{
    mbl_import *import = in->import;
    in->line = csv->line;
    *got = false;
    if (import->rows == MBL_LOG_ROWS || csv->open_quote) {
        mbl_status status =
            csv->open_quote
                ? mbl_fail(err, MBL_INPUT, "a quote is opened and not closed on its line")
                : mbl_fail(err, MBL_INPUT,
                           "more than %zu rows of data, the most that are read; cut the log into "
                           "pieces",
                           MBL_LOG_ROWS);
        mbl_error_at(err, NULL, csv->line, 0);
        return status;
    }
    import->rows++;
    if (stamp.n == 0) {
        mbl_repair_note(&import->repair[MBL_REPAIR_BLANK], in->line, 0);
        return MBL_OK;
    }
    bool midnight = false;
    if (!mbl_clock_read(&in->clock, stamp, &in->t, &midnight)) {
        MBL_TRY(check_mark(in, MBL_LOG_TIME, stamp, err));
        note_bad(in, MBL_LOG_TIME, stamp);
        return MBL_OK;
    }
    if (midnight)
        mbl_repair_note(&import->repair[MBL_REPAIR_MIDNIGHT], in->line, 0);
    *got = true;
    return MBL_OK;
}

mbl_status mbl_intake_cell(mbl_intake *in, mbl_log_role role, mbl_csv_cell cell, bool *filled,
                           mbl_error *err)
{
    double number = 0;
    *filled = cell.n > 0;
    if (!*filled)
        return MBL_OK;
    if (!mbl_csv_number(cell, in->decimal, &number) || !isfinite(number * in->scale[role])) {
        MBL_TRY(check_mark(in, role, cell, err));
        note_bad(in, role, cell);
        return MBL_OK;
    }
    if (!mbl_import_add(in->import, role, in->t, number * in->scale[role], in->line))
        return mbl_fail(err, MBL_MEMORY, "no memory for the samples of a log");
    return MBL_OK;
}

void mbl_intake_row_end(mbl_intake *in, bool any, bool with_main)
{
    if (!any)
        mbl_repair_note(&in->import->repair[MBL_REPAIR_BLANK], in->line, 0);
    else if (!with_main)
        mbl_repair_note(&in->no_main, in->line, 0);
}

/* ---- checks ---- */

static mbl_status refuse_at(int line, mbl_error *err)
{
    mbl_error_at(err, NULL, line, 0);
    return MBL_INPUT;
}

/*
 * Samples of a role beyond lo or hi; *first is one. The lines are those of the first. A few are
 * spikes; true when they are too many for that.
 */
static bool off_scale(const mbl_series *s, double lo, double hi, size_t *first)
{
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++)
        if (s->x[i] < lo || s->x[i] > hi) {
            *first = n == 0 ? i : *first;
            n++;
        }
    return n > s->n / SPIKES;
}

static mbl_status check_speed(const mbl_intake *in, mbl_error *err)
{
    const mbl_log_column *column = &in->import->column[MBL_LOG_SPEED];
    const mbl_series *s = &in->import->series[MBL_LOG_SPEED];
    size_t i = 0;
    if (off_scale(s, BACKWARDS, INFINITY, &i)) {
        mbl_fail(err, MBL_INPUT,
                 "column \"%s\" is %g %s: a speed cannot be below zero; is it the right column?",
                 column->name, s->x[i] / in->scale[MBL_LOG_SPEED], column->unit);
        return refuse_at(s->line[i], err);
    }
    if (off_scale(s, -INFINITY, FASTEST, &i)) {
        mbl_fail(err, MBL_INPUT,
                 "column \"%s\" is %g %s, which is %.0f km/h: faster than any car; is it in "
                 "another unit? give it, as in speed_unit = \"km/h\"",
                 column->name, s->x[i] / in->scale[MBL_LOG_SPEED], column->unit, s->x[i] * 3.6);
        return refuse_at(s->line[i], err);
    }
    return MBL_OK;
}

/* Takes a column back that holds nothing of use. */
static void leave_aside(mbl_import *import, mbl_log_role role)
{
    import->column[role].present = false;
    import->series[role].n = 0;
}

/* Is there a speed without this role? */
static bool can_do_without(const mbl_import *import, mbl_log_role role)
{
    bool both = import->series[MBL_LOG_LATITUDE].n > 0 && import->series[MBL_LOG_LONGITUDE].n > 0;
    bool speed = import->series[MBL_LOG_SPEED].n > 0;
    bool distance = import->series[MBL_LOG_DISTANCE].n > 0;
    switch (role) {
    case MBL_LOG_SPEED:
        return distance || both;
    case MBL_LOG_DISTANCE:
        return speed || both;
    case MBL_LOG_LATITUDE:
    case MBL_LOG_LONGITUDE:
        return speed || distance;
    default:
        return true;
    }
}

static mbl_status check_role(mbl_intake *in, mbl_log_role role, bool wished, mbl_error *err)
{
    mbl_import *import = in->import;
    const mbl_log_column *column = &import->column[role];
    const mbl_series *s = &import->series[role];
    const mbl_intake_bad *bad = &in->bad[role];
    bool needed = wished || !can_do_without(import, role);
    bool position = role == MBL_LOG_LATITUDE || role == MBL_LOG_LONGITUDE;
    double limit = role == MBL_LOG_LATITUDE ? 90 : 180;
    size_t i = 0;
    if (bad->note.count > s->n) {
        if (needed) {
            mbl_fail(err, MBL_INPUT,
                     "column \"%s\" has \"%s\", which is not a number, and so have most rows",
                     column->name, bad->text);
            return refuse_at(bad->note.first_line, err);
        }
        leave_aside(import, role);
    } else if (s->n == 0) {
        if (needed) {
            mbl_fail(err, MBL_INPUT, "column \"%s\" holds no numbers", column->name);
            return refuse_at(import->header_line, err);
        }
        leave_aside(import, role);
    } else if (position && off_scale(s, -limit, limit, &i)) {
        if (needed) {
            mbl_fail(err, MBL_INPUT, "column \"%s\" is %g: a %s is within %g degrees", column->name,
                     s->x[i], mbl_log_role_word(role), limit);
            return refuse_at(s->line[i], err);
        }
        leave_aside(import, role);
    } else if (role == MBL_LOG_SPEED)
        return check_speed(in, err);
    return MBL_OK;
}

static mbl_status check_time(const mbl_intake *in, mbl_error *err)
{
    const mbl_import *import = in->import;
    const mbl_intake_bad *bad = &in->bad[MBL_LOG_TIME];
    if (import->rows == 0) {
        mbl_fail(err, MBL_INPUT, "no rows of data below the header");
        return refuse_at(import->header_line, err);
    }
    if (2 * bad->note.count > import->rows) {
        mbl_fail(err, MBL_INPUT,
                 "column \"%s\" has \"%s\", which is not a number or a time, and so have most rows",
                 import->column[MBL_LOG_TIME].name, bad->text);
        return refuse_at(bad->note.first_line, err);
    }
    return MBL_OK;
}

/* One position is none. */
static void pair_positions(mbl_import *import)
{
    if (import->column[MBL_LOG_LATITUDE].present != import->column[MBL_LOG_LONGITUDE].present) {
        leave_aside(import, MBL_LOG_LATITUDE);
        leave_aside(import, MBL_LOG_LONGITUDE);
    }
}

static void merge(mbl_repair *into, const mbl_repair *from)
{
    if (from->count == 0)
        return;
    if (into->count == 0 || from->first_line < into->first_line)
        into->first_line = from->first_line;
    if (from->last_line > into->last_line)
        into->last_line = from->last_line;
    into->count += from->count;
}

mbl_status mbl_intake_end(mbl_intake *in, const mbl_log_wish *wish, mbl_error *err)
{
    mbl_import *import = in->import;
    MBL_TRY(check_time(in, err));
    /* the least needed first: what is left aside makes the others needed */
    for (int r = MBL_LOG_ROLES - 1; r > MBL_LOG_TIME; r--)
        if (import->column[r].present)
            MBL_TRY(check_role(in, (mbl_log_role)r, given(wish->column[r]), err));
    pair_positions(import);
    import->clock = in->clock.kind;
    for (int r = 0; r < MBL_LOG_ROLES; r++)
        if (import->column[r].present)
            merge(&import->repair[MBL_REPAIR_UNREADABLE], &in->bad[r].note);
    /*
     * With several rates in a file most rows have no speed, and none is missing. When few have
     * none, these are rows with a hole.
     */
    if (2 * in->no_main.count <= import->rows)
        merge(&import->repair[MBL_REPAIR_BLANK], &in->no_main);
    return MBL_OK;
}
