/* SPDX-License-Identifier: MIT */
#include "road/repair.h"

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

/* ---- the table ---- */

bool mbl_table_room(mbl_table *table, size_t n)
{
    mbl_arena *arena = table->arena;
    table->line = mbl_arena_new(arena, n, sizeof *table->line);
    table->stamp = mbl_arena_new(arena, n, sizeof *table->stamp);
    table->t = mbl_arena_new(arena, n, sizeof *table->t);
    table->keep = mbl_arena_new(arena, n, 1);
    table->work = mbl_arena_new(arena, n, sizeof *table->work);
    if (table->line == NULL || table->stamp == NULL || table->t == NULL || table->keep == NULL ||
        table->work == NULL)
        return false;
    for (int role = MBL_LOG_SPEED; role < MBL_LOG_ROLES; role++) {
        bool wanted = table->import->series[role].n > 0 || role == (int)MBL_LOG_SPEED ||
                      role == (int)MBL_LOG_LAP;
        if (!wanted)
            continue;
        table->x[role] = mbl_arena_new(arena, n, sizeof *table->x[role]);
        if (table->x[role] == NULL)
            return false;
    }
    table->n = n;
    return true;
}

void mbl_table_pack(mbl_table *table)
{
    size_t kept = 0;
    for (size_t i = 0; i < table->n; i++) {
        if (!table->keep[i])
            continue;
        if (kept < i) {
            table->line[kept] = table->line[i];
            table->stamp[kept] = table->stamp[i];
            table->t[kept] = table->t[i];
            for (int role = 0; role < MBL_LOG_ROLES; role++)
                if (table->x[role] != NULL)
                    table->x[role][kept] = table->x[role][i];
        }
        kept++;
    }
    memset(table->keep, 1, kept);
    table->n = kept;
}

void mbl_table_bridge(const mbl_table *table, double *x, size_t begin, size_t end)
{
    double t0 = table->t[begin - 1];
    double x0 = x[begin - 1];
    double slope = (x[end] - x0) / (table->t[end] - t0);
    for (size_t i = begin; i < end; i++)
        x[i] = x0 + slope * (table->t[i] - t0);
}

/* ---- from import to log ---- */

static mbl_log_role choose_base(const mbl_import *import)
{
    if (import->series[MBL_LOG_SPEED].n > 0)
        return MBL_LOG_SPEED;
    return import->series[MBL_LOG_DISTANCE].n > 0 ? MBL_LOG_DISTANCE : MBL_LOG_LATITUDE;
}

static mbl_status few_rows(const mbl_import *import, size_t rows, int line, mbl_error *err)
{
    size_t dropped = import->rows > rows ? import->rows - rows : 0;
    mbl_status status =
        mbl_fail(err, MBL_INPUT, "only %zu rows with time and speed (%zu left out); a log needs %d",
                 rows, dropped, FEWEST);
    mbl_error_at(err, NULL, line, 0);
    return status;
}

/* First of the lines at which something was left out; 0 when nothing was. */
static int first_repair(const mbl_repair *repair)
{
    int first = 0;
    for (int k = 0; k < MBL_REPAIRS; k++)
        if (repair[k].count > 0 && (first == 0 || repair[k].first_line < first))
            first = repair[k].first_line;
    return first;
}

static mbl_status take_base(mbl_table *table, mbl_error *err)
{
    const mbl_import *import = table->import;
    const mbl_series *base = &import->series[table->base];
    if (base->n < FEWEST ||
        (table->base == MBL_LOG_LATITUDE && import->series[MBL_LOG_LONGITUDE].n < FEWEST))
        return few_rows(import, base->n, first_repair(import->repair), err);
    if (!mbl_table_room(table, base->n))
        return mbl_fail(err, MBL_MEMORY, "no memory for a log of %zu rows", base->n);
    memcpy(table->line, base->line, base->n * sizeof *table->line);
    memcpy(table->stamp, base->t, base->n * sizeof *table->stamp);
    memcpy(table->x[table->base], base->x, base->n * sizeof *base->x);
    memset(table->keep, 1, base->n);
    return MBL_OK;
}

/* Refuses speeds that no car has: the unit or the column is wrong. */
static mbl_status check_speeds(mbl_table *table, mbl_error *err)
{
    double *v = table->x[MBL_LOG_SPEED];
    const mbl_log_column *column = &table->column[MBL_LOG_SPEED];
    for (size_t i = 0; i < table->n; i++) {
        mbl_status status = MBL_OK;
        if (column->derived && (v[i] < BACKWARDS || v[i] > FASTEST))
            status = mbl_fail(err, MBL_INPUT,
                              "speed worked out from %s is %.0f km/h here, which no car has; is "
                              "its unit right?",
                              mbl_log_role_word(column->derived_from), v[i] * 3.6);
        else if (v[i] < BACKWARDS)
            status = mbl_fail(err, MBL_INPUT,
                              "column \"%s\" is %.0f km/h here: a speed cannot be below zero; is "
                              "it the right column?",
                              column->name, v[i] * 3.6);
        else if (v[i] > FASTEST)
            status = mbl_fail(err, MBL_INPUT,
                              "column \"%s\", read in %s, is %.0f km/h here: faster than any car; "
                              "is it in another unit? give it, as in speed_unit = \"km/h\"",
                              column->name, column->unit, v[i] * 3.6);
        if (status != MBL_OK) {
            mbl_error_at(err, NULL, table->line[i], 0);
            return status;
        }
        v[i] = v[i] > 0 ? v[i] : 0;
    }
    return MBL_OK;
}

static mbl_status repair_all(mbl_table *table, mbl_error *err)
{
    MBL_TRY(take_base(table, err));
    MBL_TRY(mbl_repair_clock(table, err));
    MBL_TRY(mbl_align(table, err));
    mbl_repair_repeats(table);
    if (table->n < FEWEST)
        return few_rows(table->import, table->n, first_repair(table->repair), err);
    if (table->base != MBL_LOG_SPEED)
        MBL_TRY(mbl_derive_speed(table, err));
    mbl_repair_frozen(table);
    mbl_repair_spikes(table);
    MBL_TRY(check_speeds(table, err));
    if (table->n < FEWEST)
        return few_rows(table->import, table->n, first_repair(table->repair), err);
    mbl_repair_gaps(table);
    mbl_repair_pressures(table);
    return MBL_OK;
}

/* ---- the log ---- */

/* Where a log keeps the array of each role. */
static void places(mbl_log *log, double **place[MBL_LOG_ROLES])
{
#define PLACE(name, word, field) place[MBL_LOG_##name] = &log->field;
    MBL_LOG_ROLE_LIST(PLACE)
#undef PLACE
}

static mbl_log *copy_out(const mbl_table *table, const mbl_alloc *alloc)
{
    size_t n = table->n;
    size_t arrays = 1;
    for (int role = MBL_LOG_SPEED; role < MBL_LOG_ROLES; role++)
        arrays += table->x[role] != NULL;
    size_t bytes = sizeof(mbl_log) + n * (arrays * sizeof(double) + sizeof(int));
    mbl_log *log = mbl_new(alloc, bytes, 1);
    if (log == NULL)
        return NULL;
    log->alloc = alloc;
    log->bytes = bytes;
    double **place[MBL_LOG_ROLES];
    places(log, place);
    double *next = (double *)(log + 1);
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        const double *from = role == (int)MBL_LOG_TIME ? table->t : table->x[role];
        if (from == NULL)
            continue;
        memcpy(next, from, n * sizeof *next);
        *place[role] = next;
        next += n;
    }
    log->line = (int *)next;
    memcpy(log->line, table->line, n * sizeof *log->line);
    /* frozen rows cut off at the beginning take the first seconds with them */
    double first = log->t[0];
    for (size_t i = 0; i < n; i++)
        log->t[i] -= first;
    log->rows = n;
    return log;
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

static void describe(mbl_log *log, const mbl_table *table, const char *name,
                     const mbl_log_wish *wish)
{
    const mbl_import *import = table->import;
    snprintf(log->file, sizeof log->file, "%s", name);
    log->shape = import->shape;
    log->clock = import->clock;
    log->delimiter = import->delimiter;
    log->decimal = import->decimal;
    log->header_line = import->header_line;
    log->units_line = import->units_line;
    log->comments = import->comments;
    log->columns = import->columns;
    memcpy(log->column, table->column, sizeof log->column);
    memcpy(log->repair, table->repair, sizeof log->repair);
    if (wish != NULL && wish->start_line) {
        log->has_start_line = true;
        log->start_latitude = wish->start_latitude;
        log->start_longitude = wish->start_longitude;
    }
    measure(log, table->work);
}

mbl_status mbl_log_assemble(const mbl_import *import, const char *name, const mbl_log_wish *wish,
                            mbl_log **out, mbl_error *err)
{
    mbl_arena arena;
    mbl_arena_init(&arena, import->alloc);
    mbl_table table = {.arena = &arena, .import = import, .base = choose_base(import)};
    memcpy(table.column, import->column, sizeof table.column);
    memcpy(table.repair, import->repair, sizeof table.repair);
    mbl_status status = repair_all(&table, err);
    if (status == MBL_OK) {
        mbl_log *log = copy_out(&table, import->alloc);
        if (log != NULL) {
            describe(log, &table, name, wish);
            *out = log;
        } else
            status = mbl_fail(err, MBL_MEMORY, "no memory for a log of %zu rows", table.n);
    }
    mbl_arena_free(&arena);
    return status;
}
