/* SPDX-License-Identifier: MIT */
/*
 * Rows of delimited text, in either of two shapes. Wide: one row a sample, one column a channel; a
 * blank cell is no sample of that channel, which is how several rates share a file. Tall: one row
 * a value, with the channel's name beside it (road/import_tall.c).
 */
#include "road/columns.h"
#include "road/import_text.h"
#include "road/intake.h"

#include <string.h>

typedef struct reader {
    mbl_csv csv;
    mbl_header header;
    mbl_intake in;
    mbl_csv_cell stamps[MBL_CLOCK_SAMPLE];
} reader;

size_t mbl_text_stamps(const mbl_csv *at, size_t column, mbl_csv_cell *stamps)
{
    mbl_csv csv = *at;
    size_t n = 0;
    /* rows without a stamp cost as much, and may be all there is */
    for (int rows = 0; n < MBL_CLOCK_SAMPLE && rows < 64 * MBL_CLOCK_SAMPLE; rows++) {
        if (!mbl_csv_next(&csv))
            break;
        if (column < csv.n && csv.cell[column].n > 0)
            stamps[n++] = csv.cell[column];
    }
    return n;
}

mbl_csv_cell mbl_text_cell(const mbl_csv *csv, int column)
{
    size_t index = (size_t)column;
    return index < csv->n ? csv->cell[index] : (mbl_csv_cell){"", 0};
}

/* Is anything written beyond the columns that have a name? */
static bool has_more(const mbl_csv *csv, size_t columns)
{
    for (size_t i = columns; i < csv->n; i++)
        if (csv->cell[i].n > 0)
            return true;
    return false;
}

static mbl_status read_row(mbl_intake *in, const mbl_csv *csv, const mbl_log_role *role,
                           size_t roles, mbl_error *err)
{
    const mbl_log_column *column = in->import->column;
    bool got = false;
    bool any = false;
    bool with_main = false;
    mbl_csv_cell stamp = mbl_text_cell(csv, column[MBL_LOG_TIME].index);
    MBL_TRY(mbl_intake_row(in, csv, stamp, &got, err));
    if (!got)
        return MBL_OK;
    for (size_t k = 0; k < roles; k++) {
        bool filled = false;
        mbl_csv_cell cell = mbl_text_cell(csv, column[role[k]].index);
        MBL_TRY(mbl_intake_cell(in, role[k], cell, &filled, err));
        any = any || filled;
        with_main = with_main || (filled && role[k] == in->main);
    }
    mbl_intake_row_end(in, any, with_main);
    return MBL_OK;
}

mbl_status mbl_text_rows(mbl_csv *csv, const char *begin, size_t columns, mbl_intake *in,
                         mbl_error *err)
{
    mbl_import *out = in->import;
    mbl_log_role role[MBL_LOG_ROLES];
    size_t roles = 0;
    size_t cells = 0; /* in the row before */
    size_t longer = 0;
    int first_longer = 0;
    for (int r = 0; r < MBL_LOG_ROLES; r++)
        if (r != MBL_LOG_TIME && out->column[r].present)
            role[roles++] = (mbl_log_role)r;
    while (mbl_csv_next(csv)) {
        if (csv->n == 0)
            continue;
        if (csv->cut && mbl_csv_torn(csv, begin, cells, in->decimal)) {
            out->rows++;
            mbl_repair_note(&out->repair[MBL_REPAIR_TORN], csv->line, 0);
            break;
        }
        cells = csv->n;
        if (csv->n > columns && has_more(csv, columns)) {
            first_longer = longer == 0 ? csv->line : first_longer;
            longer++;
        }
        MBL_TRY(read_row(in, csv, role, roles, err));
    }
    out->comments = csv->comments;
    if (2 * longer > out->rows) {
        mbl_status status = mbl_fail(err, MBL_INPUT,
                                     "rows have more cells than the header has names (%zu): is "
                                     "the decimal mark the delimiter too? export with a decimal "
                                     "point or with semicolons",
                                     columns);
        mbl_error_at(err, NULL, first_longer, 0);
        return status;
    }
    return MBL_OK;
}

static mbl_status read_wide(reader *r, const char *begin, const mbl_log_wish *wish, mbl_import *out,
                            mbl_error *err)
{
    mbl_log_column *time = &out->column[MBL_LOG_TIME];
    out->shape = MBL_SHAPE_WIDE;
    out->columns = r->header.columns;
    MBL_TRY(mbl_columns_take(&r->header, wish, MBL_LOG_TIME, time, err));
    MBL_TRY(mbl_columns_take_all(&r->header, wish, out->column, err));
    size_t n = mbl_text_stamps(&r->csv, (size_t)time->index, r->stamps);
    MBL_TRY(mbl_intake_begin(&r->in, out, out->decimal, r->stamps, n, mbl_text_time_wish(wish),
                             false, err));
    MBL_TRY(mbl_text_rows(&r->csv, begin, r->header.columns, &r->in, err));
    return mbl_intake_end(&r->in, wish, err);
}

bool mbl_text_time_wish(const mbl_log_wish *wish)
{
    return wish->unit[MBL_LOG_TIME] != NULL && wish->unit[MBL_LOG_TIME][0] != '\0';
}

static mbl_status read(reader *r, const char *bytes, size_t size, const mbl_log_wish *wish,
                       mbl_import *out, mbl_error *err)
{
    mbl_csv_sniff(bytes, size, &out->delimiter, &out->decimal);
    mbl_csv_begin(&r->csv, bytes, size, out->delimiter);
    bool blank = true;
    for (size_t i = 0; i < size && blank; i++)
        blank = bytes[i] == ' ' || bytes[i] == '\t' || bytes[i] == '\n' || bytes[i] == '\r';
    if (blank)
        return mbl_fail(err, MBL_INPUT, "is empty: no header and no rows");
    MBL_TRY(mbl_header_find(&r->csv, wish, &r->header, err));
    out->header_line = r->header.line;
    out->units_line = r->header.units_line;
    if (r->header.tall)
        return mbl_import_tall(&r->csv, &r->header, bytes, wish, out, err);
    return read_wide(r, bytes, wish, out, err);
}

mbl_status mbl_import_rows(const char *bytes, size_t size, const mbl_log_wish *wish,
                           mbl_import *out, mbl_error *err)
{
    const mbl_alloc *alloc = out->alloc;
    reader *r = mbl_new(alloc, 1, sizeof *r);
    if (r == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to read a log");
    mbl_status status = read(r, bytes, size, wish, out, err);
    mbl_free(alloc, r, 1, sizeof *r);
    return status;
}
