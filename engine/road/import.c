/* SPDX-License-Identifier: MIT */
#include "road/import.h"

#include "road/csv.h"

#include <string.h>

/* Samples there is room for at first. */
enum { FIRST_ROOM = 256 };

/* Lines looked at for the heading of a section of data. */
enum { HEADINGS = 5000 };

/*
 * The three arrays of a series are one block, so that one allocation grows them all or none:
 * t first, then x, then the lines.
 */
enum { SAMPLE = 2 * sizeof(double) + sizeof(int) };

static bool grow(const mbl_alloc *alloc, mbl_series *s)
{
    size_t room = s->room == 0 ? FIRST_ROOM : s->room * 2;
    double *t = room > s->room ? alloc->fn(alloc->ctx, NULL, 0, room * SAMPLE) : NULL;
    if (t == NULL)
        return false;
    double *x = t + room;
    int *line = (int *)(x + room);
    if (s->n > 0) {
        memcpy(t, s->t, s->n * sizeof *t);
        memcpy(x, s->x, s->n * sizeof *x);
        memcpy(line, s->line, s->n * sizeof *line);
    }
    mbl_free(alloc, s->t, s->room, SAMPLE);
    *s = (mbl_series){.n = s->n, .room = room, .t = t, .x = x, .line = line};
    return true;
}

bool mbl_import_add(mbl_import *import, mbl_log_role role, double t, double x, int line)
{
    mbl_series *s = &import->series[role];
    if (s->n == s->room && !grow(import->alloc, s))
        return false;
    s->t[s->n] = t;
    s->x[s->n] = x;
    s->line[s->n] = line;
    s->n++;
    return true;
}

void mbl_import_free(mbl_import *import)
{
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        mbl_series *s = &import->series[role];
        if (s->t != NULL)
            mbl_free(import->alloc, s->t, s->room, SAMPLE);
        *s = (mbl_series){0};
    }
}

void mbl_repair_note(mbl_repair *repair, int line, double amount)
{
    /* channels of several rates are put in the order of their stamps, not of their lines */
    if (repair->count == 0 || line < repair->first_line)
        repair->first_line = line;
    if (line > repair->last_line)
        repair->last_line = line;
    repair->count++;
    repair->amount += amount;
}

static int line_of(const char *bytes, const char *at)
{
    int line = 1;
    for (const char *p = bytes; p < at; p++)
        line += *p == '\n' || (*p == '\r' && (p + 1 == at || p[1] != '\n'));
    return line;
}

static mbl_status refuse_bytes(const char *bytes, size_t size, mbl_error *err)
{
    if (size > MBL_LOG_LIMIT)
        return mbl_fail(err, MBL_INPUT, "larger than %zu MiB, the most that is read",
                        MBL_LOG_LIMIT >> 20);
    if (size >= 2 && (memcmp(bytes, "\xFF\xFE", 2) == 0 || memcmp(bytes, "\xFE\xFF", 2) == 0))
        return mbl_fail(err, MBL_INPUT, "is text in UTF-16: save it as UTF-8");
    const char *zero = size > 0 ? memchr(bytes, 0, size) : NULL;
    if (zero == NULL)
        return MBL_OK;
    mbl_status status =
        mbl_fail(err, MBL_INPUT, "holds binary bytes: a log must be text, as CSV in UTF-8");
    mbl_error_at(err, NULL, line_of(bytes, zero), 0);
    return status;
}

/* The first cell with anything in it. */
static bool begins_with_tag(const char *bytes, size_t size)
{
    mbl_csv csv;
    mbl_csv_begin(&csv, bytes, size, '\0');
    while (mbl_csv_next(&csv))
        if (csv.n > 0)
            return csv.cell[0].text[0] == '<';
    return false;
}

static bool has_data_section(const char *bytes, size_t size)
{
    mbl_csv csv;
    mbl_csv_begin(&csv, bytes, size, '\0');
    while (csv.line < HEADINGS && mbl_csv_next(&csv)) {
        mbl_csv_cell cell = csv.n > 0 ? csv.cell[0] : (mbl_csv_cell){"", 0};
        if (cell.n == 6 && cell.text[0] == '[' && cell.text[5] == ']' &&
            (memcmp(cell.text + 1, "data", 4) == 0 || memcmp(cell.text + 1, "DATA", 4) == 0 ||
             memcmp(cell.text + 1, "Data", 4) == 0))
            return true;
    }
    return false;
}

mbl_status mbl_import_parse(const mbl_alloc *alloc, const char *bytes, size_t size,
                            const mbl_log_wish *wish, mbl_import *out, mbl_error *err)
{
    static const mbl_log_wish none;
    mbl_import import = {.alloc = alloc, .decimal = '.'};
    if (wish == NULL)
        wish = &none;
    MBL_TRY(refuse_bytes(bytes, size, err));
    mbl_status status = MBL_OK;
    if (begins_with_tag(bytes, size))
        status = mbl_import_gpx(bytes, size, wish, &import, err);
    else if (has_data_section(bytes, size))
        status = mbl_import_sections(bytes, size, wish, &import, err);
    else
        status = mbl_import_rows(bytes, size, wish, &import, err);
    if (status != MBL_OK) {
        mbl_import_free(&import);
        return status;
    }
    *out = import;
    return MBL_OK;
}
