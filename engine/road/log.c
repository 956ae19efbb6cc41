/* SPDX-License-Identifier: MIT */
#include "road/log.h"

#include "road/csv.h"
#include "road/header.h"
#include "road/select.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Rows below which nothing can be said about a drive. */
#define FEWEST 10

/* m/s: a speed below zero by more is no offset of a sensor. */
#define BACKWARDS (-1.0)

/* m/s: no car on a circuit is faster, so the unit must be another. */
#define FASTEST 150.0

/* What is known while the rows are read. */
typedef struct reading {
    mbl_csv csv;
    mbl_header header;
    double scale[MBL_LOG_ROLES];
    double first_time; /* as in the file */
    int bad_line;      /* first line with an unreadable time or speed; 0 when none */
    mbl_log_role bad_role;
    char bad_text[40];
    size_t unreadable; /* rows whose time or speed has text that is no number */
} reading;

static size_t count_lines(const char *bytes, size_t size)
{
    size_t lines = 1;
    for (size_t i = 0; i < size; i++)
        lines += bytes[i] == '\n' || bytes[i] == '\r';
    return lines;
}

/* A log with room for `rows`, arrays for the columns that are there. */
static mbl_log *new_log(const mbl_alloc *alloc, size_t rows,
                        const mbl_log_column column[MBL_LOG_ROLES])
{
    size_t arrays = 0;
    for (int role = 0; role < MBL_LOG_ROLES; role++)
        arrays += column[role].present;
    size_t bytes = sizeof(mbl_log) + rows * (arrays * sizeof(double) + sizeof(int));
    mbl_log *log = mbl_new(alloc, bytes, 1);
    if (log == NULL)
        return NULL;
    log->alloc = alloc;
    log->bytes = bytes;
    memcpy(log->column, column, sizeof log->column);
    double *next = (double *)(log + 1);
    double **place[MBL_LOG_ROLES] = {&log->t, &log->v, &log->lap, &log->distance, &log->altitude};
    for (int role = 0; role < MBL_LOG_ROLES; role++)
        if (column[role].present) {
            *place[role] = next;
            next += rows;
        }
    log->line = (int *)next;
    return log;
}

static mbl_csv_cell cell_of(const reading *in, const mbl_log *log, mbl_log_role role)
{
    size_t index = (size_t)log->column[role].index;
    return index < in->csv.n ? in->csv.cell[index] : (mbl_csv_cell){"", 0};
}

static mbl_status decimal_comma(const mbl_log *log, mbl_log_role role, mbl_csv_cell cell,
                                mbl_error *err)
{
    return mbl_fail(err, MBL_INPUT,
                    "column \"%s\" has \"%.*s\": decimal commas are not read; export with a "
                    "decimal point",
                    log->column[role].name, (int)(cell.n < 40 ? cell.n : 40), cell.text);
}

/* Reads a number of this row in SI; *got is false for a blank or unreadable cell. */
static mbl_status read_cell(reading *in, const mbl_log *log, mbl_log_role role, double *value,
                            bool *got, mbl_error *err)
{
    mbl_csv_cell cell = cell_of(in, log, role);
    *got = mbl_csv_number(cell, value);
    if (*got || cell.n == 0)
        return MBL_OK;
    if (mbl_csv_decimal_comma(cell))
        return decimal_comma(log, role, cell, err);
    if (role == MBL_LOG_TIME || role == MBL_LOG_SPEED) {
        if (in->unreadable++ == 0) {
            in->bad_line = in->csv.line;
            in->bad_role = role;
            snprintf(in->bad_text, sizeof in->bad_text, "%.*s", (int)(cell.n < 39 ? cell.n : 39),
                     cell.text);
        }
    }
    return MBL_OK;
}

static mbl_status check_speed(const mbl_log *log, double speed, double shown, mbl_error *err)
{
    const mbl_log_column *column = &log->column[MBL_LOG_SPEED];
    if (speed < BACKWARDS)
        return mbl_fail(err, MBL_INPUT,
                        "column \"%s\" is %g %s: a speed cannot be below zero; is it the right "
                        "column?",
                        column->name, shown, column->unit);
    if (speed > FASTEST)
        return mbl_fail(err, MBL_INPUT,
                        "column \"%s\" is %g %s, which is %.0f km/h: faster than any car; is it "
                        "in another unit? give it, as in speed_unit = \"km/h\"",
                        column->name, shown, column->unit, speed * 3.6);
    return MBL_OK;
}

static void drop(mbl_log *log, size_t *count, int line)
{
    ++*count;
    if (log->first_dropped_line == 0)
        log->first_dropped_line = line;
}

static mbl_status read_extra(reading *in, mbl_log *log, mbl_log_role role, double *array,
                             mbl_error *err)
{
    if (array == NULL)
        return MBL_OK;
    size_t row = log->rows;
    double value = 0;
    bool got = false;
    MBL_TRY(read_cell(in, log, role, &value, &got, err));
    if (got)
        array[row] = value * in->scale[role];
    else
        array[row] = row > 0 ? array[row - 1] : 0;
    return MBL_OK;
}

/* Reads the row that csv stands at into the log, or drops it. */
static mbl_status read_row(reading *in, mbl_log *log, mbl_error *err)
{
    int line = in->csv.line;
    if (in->csv.open_quote)
        return mbl_fail(err, MBL_INPUT, "a quote is opened and not closed on its line");
    double time = 0;
    double speed = 0;
    bool got_time = false;
    bool got_speed = false;
    MBL_TRY(read_cell(in, log, MBL_LOG_TIME, &time, &got_time, err));
    MBL_TRY(read_cell(in, log, MBL_LOG_SPEED, &speed, &got_speed, err));
    if (!got_time || !got_speed) {
        drop(log, &log->dropped_blank, line);
        return MBL_OK;
    }
    size_t row = log->rows;
    if (row == 0)
        in->first_time = time;
    double t = (time - in->first_time) * in->scale[MBL_LOG_TIME];
    if (row > 0 && t <= log->t[row - 1]) {
        drop(log, &log->dropped_time, line);
        return MBL_OK;
    }
    double v = speed * in->scale[MBL_LOG_SPEED];
    MBL_TRY(check_speed(log, v, speed, err));
    log->t[row] = t;
    log->v[row] = v > 0 ? v : 0;
    log->line[row] = line;
    MBL_TRY(read_extra(in, log, MBL_LOG_LAP, log->lap, err));
    MBL_TRY(read_extra(in, log, MBL_LOG_DISTANCE, log->distance, err));
    MBL_TRY(read_extra(in, log, MBL_LOG_ALTITUDE, log->altitude, err));
    log->rows++;
    return MBL_OK;
}

/* Refuses what has too few rows left, and says which reason took the most. */
static mbl_status check_rows(const reading *in, const mbl_log *log, mbl_error *err)
{
    size_t seen = log->rows + log->dropped_time + log->dropped_blank;
    mbl_status status = MBL_OK;
    int line = log->first_dropped_line;
    if (in->unreadable > seen / 2) {
        status = mbl_fail(err, MBL_INPUT,
                          "column \"%s\" has \"%s\", which is not a number, and so have most rows",
                          log->column[in->bad_role].name, in->bad_text);
        line = in->bad_line;
    } else if (log->dropped_time > seen / 2)
        status = mbl_fail(err, MBL_INPUT,
                          "column \"%s\" does not increase: %zu of %zu rows go back in time or "
                          "stand still",
                          log->column[MBL_LOG_TIME].name, log->dropped_time, seen);
    else if (log->rows < FEWEST)
        status = mbl_fail(err, MBL_INPUT,
                          "only %zu rows with time and speed (%zu dropped); a log needs %d",
                          log->rows, seen - log->rows, FEWEST);
    if (status != MBL_OK)
        mbl_error_at(err, NULL, line, 0);
    return status;
}

static void measure(mbl_log *log, double *work)
{
    size_t intervals = log->rows - 1;
    for (size_t i = 0; i < intervals; i++) {
        work[i] = log->t[i + 1] - log->t[i];
        if (work[i] > log->longest_gap) {
            log->longest_gap = work[i];
            log->longest_gap_line = log->line[i + 1];
        }
    }
    log->rate = 1 / mbl_median(work, intervals);
}

/* Everything but the name of the file in errors. `in` and `made` are cleaned up by the caller. */
static mbl_status parse(const mbl_alloc *alloc, mbl_arena *arena, const char *bytes, size_t size,
                        const mbl_log_wish *wish, mbl_log **made, mbl_error *err)
{
    const char *zero = size > 0 ? memchr(bytes, 0, size) : NULL;
    if (zero != NULL) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT, "holds binary bytes: a log must be text, as CSV in UTF-8");
        mbl_error_at(err, NULL, (int)count_lines(bytes, (size_t)(zero - bytes)), 0);
        return status;
    }
    reading *in = mbl_arena_new(arena, 1, sizeof *in);
    if (in == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to read a log");
    mbl_csv_begin(&in->csv, bytes, size, mbl_csv_sniff(bytes, size));
    MBL_TRY(mbl_header_find(&in->csv, wish, &in->header, err));
    mbl_log_column column[MBL_LOG_ROLES];
    MBL_TRY(mbl_header_take(&in->header, wish, column, err));
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        in->scale[role] = 1;
        if (column[role].present && role != MBL_LOG_LAP)
            (void)mbl_header_scale((mbl_log_role)role, column[role].unit, &in->scale[role]);
    }
    size_t rows = count_lines(in->csv.at, (size_t)(in->csv.end - in->csv.at));
    mbl_log *log = new_log(alloc, rows, column);
    *made = log;
    double *work = mbl_arena_new(arena, rows, sizeof *work);
    if (log == NULL || work == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for a log of %zu rows", rows);
    log->delimiter = in->csv.delimiter;
    log->header_line = in->header.line;
    log->units_line = in->header.units_line;
    log->columns = in->header.columns;
    while (mbl_csv_next(&in->csv)) {
        if (in->csv.n == 0)
            continue;
        mbl_status status = read_row(in, log, err);
        if (status != MBL_OK) {
            mbl_error_at(err, NULL, in->csv.line, 0);
            return status;
        }
    }
    MBL_TRY(check_rows(in, log, err));
    measure(log, work);
    return MBL_OK;
}

mbl_status mbl_log_parse(const mbl_alloc *alloc, const char *name, const char *bytes, size_t size,
                         const mbl_log_wish *wish, mbl_log **out, mbl_error *err)
{
    static const mbl_log_wish none;
    mbl_arena arena;
    mbl_arena_init(&arena, alloc);
    mbl_log *log = NULL;
    mbl_status status = parse(alloc, &arena, bytes, size, wish != NULL ? wish : &none, &log, err);
    mbl_arena_free(&arena);
    if (status != MBL_OK) {
        mbl_error_at(err, name, 0, 0);
        mbl_log_free(log);
        return status;
    }
    snprintf(log->file, sizeof log->file, "%s", name);
    *out = log;
    return MBL_OK;
}

mbl_status mbl_log_read(const mbl_alloc *alloc, const char *path, const mbl_log_wish *wish,
                        mbl_log **out, mbl_error *err)
{
    char *bytes = NULL;
    size_t size = 0;
    MBL_TRY(mbl_file_read(alloc, path, MBL_LOG_LIMIT, &bytes, &size, err));
    mbl_status status = mbl_log_parse(alloc, path, bytes, size, wish, out, err);
    mbl_free(alloc, bytes, size + 1, 1);
    return status;
}

void mbl_log_free(mbl_log *log)
{
    if (log != NULL)
        mbl_free(log->alloc, log, log->bytes, 1);
}
