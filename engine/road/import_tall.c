/* SPDX-License-Identifier: MIT */
/*
 * One row a value: time, name, value. The names are gone through first, and become a header like
 * any other, so that what is taken, missing or in which unit is decided in one place.
 */
#include "road/columns.h"
#include "road/import_text.h"
#include "road/names.h"

#include <string.h>

typedef struct reader {
    mbl_header names; /* the channels, in the order in which they first come */
    mbl_csv_cell text[MBL_CSV_CELLS];
    int role[MBL_CSV_CELLS]; /* of each name; -1: not taken */
    size_t last;             /* the name found before: channels mostly come in the same order */
    mbl_intake in;
    mbl_csv_cell stamps[MBL_CLOCK_SAMPLE];
} reader;

static bool is_name(const reader *r, size_t i, mbl_csv_cell name)
{
    return r->text[i].n == name.n && memcmp(r->text[i].text, name.text, name.n) == 0;
}

/* Index of a name, or their number when it is new. */
static size_t find_name(reader *r, mbl_csv_cell name)
{
    size_t n = r->names.columns;
    size_t next = r->last + 1 < n ? r->last + 1 : 0;
    if (next < n && is_name(r, next, name))
        return r->last = next;
    for (size_t i = 0; i < n; i++)
        if (is_name(r, i, name))
            return r->last = i;
    return n;
}

static mbl_status collect_names(reader *r, const mbl_csv *from, const mbl_header *header,
                                mbl_error *err)
{
    mbl_csv csv = *from;
    while (mbl_csv_next(&csv)) {
        mbl_csv_cell name = mbl_text_cell(&csv, header->name_at);
        if (name.n == 0 || find_name(r, name) < r->names.columns)
            continue;
        if (r->names.columns == MBL_CSV_CELLS) {
            mbl_status status =
                mbl_fail(err, MBL_INPUT, "column \"%s\" has more than %d different names",
                         header->column[header->name_at].name, (int)MBL_CSV_CELLS);
            mbl_error_at(err, NULL, csv.line, 0);
            return status;
        }
        size_t i = r->names.columns++;
        mbl_header_name *column = &r->names.column[i];
        r->text[i] = name;
        mbl_header_split(name.text, name.n, column);
        if (header->unit_at >= 0 && column->unit[0] == '\0') {
            mbl_header_name unit;
            mbl_csv_cell cell = mbl_text_cell(&csv, header->unit_at);
            mbl_header_split(cell.text, cell.n, &unit);
            memcpy(column->unit, unit.name, sizeof column->unit - 1);
        }
    }
    return MBL_OK;
}

static mbl_status read_row(reader *r, const mbl_csv *csv, const mbl_header *header, mbl_error *err)
{
    bool got = false;
    bool filled = false;
    mbl_csv_cell name = mbl_text_cell(csv, header->name_at);
    size_t i = find_name(r, name);
    MBL_TRY(mbl_intake_row(&r->in, csv, mbl_text_cell(csv, header->time_at), &got, err));
    if (!got)
        return MBL_OK;
    if (i < r->names.columns && r->role[i] < 0)
        return MBL_OK;
    if (i < r->names.columns)
        MBL_TRY(mbl_intake_cell(&r->in, (mbl_log_role)r->role[i],
                                mbl_text_cell(csv, header->value_at), &filled, err));
    mbl_intake_row_end(&r->in, filled, true);
    return MBL_OK;
}

static mbl_status read_rows(reader *r, mbl_csv *csv, const mbl_header *header, const char *begin,
                            mbl_import *out, mbl_error *err)
{
    size_t cells = 0; /* in the row before */
    while (mbl_csv_next(csv)) {
        if (csv->n == 0)
            continue;
        if (csv->cut && mbl_csv_torn(csv, begin, cells, '\0')) {
            out->rows++;
            mbl_repair_note(&out->repair[MBL_REPAIR_TORN], csv->line, 0);
            break;
        }
        cells = csv->n;
        MBL_TRY(read_row(r, csv, header, err));
    }
    out->comments = csv->comments;
    return MBL_OK;
}

/* A tall file that was known by its looks alone may call its stamps anything, or nothing. */
static mbl_status take_time(const mbl_header *header, const mbl_log_wish *wish,
                            mbl_log_column *time, mbl_error *err)
{
    const char *wished = wish->column[MBL_LOG_TIME];
    const mbl_header_name *have = &header->column[header->time_at];
    if (header->line > 0 && wished != NULL && wished[0] != '\0')
        return mbl_columns_take(header, wish, MBL_LOG_TIME, time, err);
    *time = (mbl_log_column){.present = true, .guessed = true};
    memcpy(time->name, have->name, sizeof time->name);
    const char *unit = mbl_text_time_wish(wish) ? wish->unit[MBL_LOG_TIME] : have->unit;
    mbl_names_show(time->unit, sizeof time->unit, unit, strlen(unit));
    return MBL_OK;
}

static mbl_status read(reader *r, mbl_csv *csv, const mbl_header *header, const char *begin,
                       const mbl_log_wish *wish, mbl_import *out, mbl_error *err)
{
    mbl_log_column *time = &out->column[MBL_LOG_TIME];
    out->shape = MBL_SHAPE_TALL;
    r->names.tall = true;
    r->names.line = header->line;
    MBL_TRY(collect_names(r, csv, header, err));
    out->columns = r->names.columns;
    MBL_TRY(take_time(header, wish, time, err));
    MBL_TRY(mbl_columns_take_all(&r->names, wish, out->column, err));
    for (size_t i = 0; i < r->names.columns; i++)
        r->role[i] = -1;
    for (int role = 0; role < MBL_LOG_ROLES; role++)
        if (role != MBL_LOG_TIME && out->column[role].present) {
            r->role[out->column[role].index] = role;
            out->column[role].index = 0;
        }
    size_t n = mbl_text_stamps(csv, (size_t)header->time_at, r->stamps);
    MBL_TRY(mbl_intake_begin(&r->in, out, out->decimal, r->stamps, n, mbl_text_time_wish(wish),
                             false, err));
    MBL_TRY(read_rows(r, csv, header, begin, out, err));
    time->index = 0;
    return mbl_intake_end(&r->in, wish, err);
}

mbl_status mbl_import_tall(mbl_csv *csv, const mbl_header *header, const char *begin,
                           const mbl_log_wish *wish, mbl_import *out, mbl_error *err)
{
    reader *r = mbl_new(out->alloc, 1, sizeof *r);
    if (r == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to read a log");
    mbl_status status = read(r, csv, header, begin, wish, out, err);
    mbl_free(out->alloc, r, 1, sizeof *r);
    return status;
}
