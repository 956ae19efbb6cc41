/* SPDX-License-Identifier: MIT */
/*
 * Loggers write anything above their columns: format, vehicle, date, number of samples. The
 * header is the first row that has a name for time and one for what gives a speed; the same words
 * alone in the preamble are not. When no row has both, the row above the first rows of numbers is
 * taken as the header, so that the message can list what the file does have.
 */
#include "road/header.h"

#include "road/columns.h"
#include "road/names.h"

#include <string.h>

/* Rows below a header that are looked at for a stamp; rows of units and sources among them. */
enum { LOOKED_AHEAD = 6, TEXT_ROWS = 4 };

/* Rows of words that are tried as a header: more is a book, no preamble. */
enum { TRIED = 20000 };

/* A file is tall without saying so when at least so many rows look it, and most do. */
enum { TALL_SAMPLE = 200, TALL_FEWEST = 10, TALL_NAMES = 64 };

static void read_names(const mbl_csv *csv, mbl_header *out)
{
    out->tall = false;
    out->line = csv->line;
    out->units_line = 0;
    out->speed_unit = NULL;
    out->columns = csv->n;
    /* delimiters at the end of the line are no columns */
    while (out->columns > 0 && csv->cell[out->columns - 1].n == 0)
        out->columns--;
    for (size_t i = 0; i < out->columns; i++)
        mbl_header_split(csv->cell[i].text, csv->cell[i].n, &out->column[i]);
}

/* ---- units ---- */

/* "[km/h]" and "(km/h)" without their brackets. */
static mbl_csv_cell bare_unit(mbl_csv_cell cell)
{
    if (cell.n > 2 && (cell.text[0] == '[' || cell.text[0] == '('))
        return (mbl_csv_cell){cell.text + 1, cell.n - 2};
    return cell;
}

static bool has_units(const mbl_csv *csv)
{
    for (size_t i = 0; i < csv->n; i++) {
        char unit[16];
        mbl_csv_cell cell = bare_unit(csv->cell[i]);
        if (cell.n == 0 || cell.n >= sizeof unit)
            continue;
        mbl_names_show(unit, sizeof unit, cell.text, cell.n);
        if (mbl_names_is_any_unit(unit))
            return true;
    }
    return false;
}

/*
 * Takes the units of a row over those in the names. What was in the brackets of a name and is no
 * unit then belongs to the name: "Speed (GPS)" above "km/h".
 */
static void take_units(const mbl_csv *csv, const mbl_csv *names, mbl_header *header)
{
    header->units_line = csv->line;
    for (size_t i = 0; i < csv->n && i < header->columns; i++) {
        mbl_header_name *column = &header->column[i];
        mbl_csv_cell cell = bare_unit(csv->cell[i]);
        if (cell.n == 0)
            continue;
        if (column->unit[0] != '\0' && !mbl_names_is_any_unit(column->unit))
            mbl_names_show(column->name, sizeof column->name, names->cell[i].text,
                           names->cell[i].n);
        mbl_names_show(column->unit, sizeof column->unit, cell.text, cell.n);
    }
}

/*
 * Goes from the header to the first row of data: past rows of text, of which the first with a
 * known unit is the row of units. Another may say where the channels come from.
 */
static void read_below(mbl_csv *csv, const mbl_csv *names, mbl_header *header)
{
    for (int rows = 0; rows < TEXT_ROWS;) {
        mbl_csv before = *csv;
        if (!mbl_csv_next(csv))
            return;
        if (csv->n == 0)
            continue;
        if (mbl_csv_values(csv) > 0) {
            *csv = before;
            return;
        }
        rows++;
        if (header->units_line == 0 && !header->tall && has_units(csv))
            take_units(csv, names, header);
    }
}

/* ---- by names ---- */

static bool has_role(const mbl_header *header, const mbl_log_wish *wish, mbl_log_role role)
{
    return mbl_columns_find(header, wish, role).index >= 0;
}

static bool is_wide(const mbl_header *header, const mbl_log_wish *wish)
{
    return has_role(header, wish, MBL_LOG_TIME) &&
           (has_role(header, wish, MBL_LOG_SPEED) || has_role(header, wish, MBL_LOG_DISTANCE) ||
            (has_role(header, wish, MBL_LOG_LATITUDE) &&
             has_role(header, wish, MBL_LOG_LONGITUDE)));
}

static int first_column(const mbl_header *header, bool (*is)(const char *))
{
    for (size_t i = 0; i < header->columns; i++)
        if (is(header->column[i].name))
            return (int)i;
    return -1;
}

static bool is_tall(mbl_header *header, const mbl_log_wish *wish)
{
    header->time_at = mbl_columns_find(header, wish, MBL_LOG_TIME).index;
    header->name_at = first_column(header, mbl_names_channel);
    header->value_at = first_column(header, mbl_names_value);
    header->unit_at = first_column(header, mbl_names_unit);
    return header->time_at >= 0 && header->name_at >= 0 && header->value_at >= 0;
}

static bool may_be_names(const mbl_csv *csv)
{
    return csv->n > 1 && 2 * mbl_csv_values(csv) <= mbl_csv_filled(csv);
}

/* Reads the row as a header; false when its names say that it is none. */
static bool is_header(const mbl_csv *csv, const mbl_log_wish *wish, mbl_header *out)
{
    read_names(csv, out);
    if (is_wide(out, wish)) {
        out->time_at = mbl_columns_find(out, wish, MBL_LOG_TIME).index;
        return true;
    }
    out->tall = is_tall(out, wish);
    return out->tall;
}

/*
 * Line of the first header with a stamp soon below its time, or else of the first at all; 0 when
 * there is none. Of headers one above the other the last is it. Only comments, or no comments,
 * are looked at for names.
 */
static int line_by_names(mbl_csv *csv, const mbl_log_wish *wish, bool comments, mbl_header *out)
{
    int first = 0;
    int open = 0; /* a header whose stamp is to come */
    int below = 0;
    size_t time_at = 0;
    for (int tried = 0; tried < TRIED && mbl_csv_next(csv);) {
        if (csv->n == 0)
            continue;
        if (csv->comment == comments && may_be_names(csv)) {
            tried++;
            if (is_header(csv, wish, out)) {
                open = csv->line;
                first = first == 0 ? open : first;
                below = 0;
                time_at = (size_t)out->time_at;
                continue;
            }
        }
        if (open == 0 || csv->comment)
            continue;
        if (time_at < csv->n && mbl_csv_is_value(csv->cell[time_at]))
            return open;
        if (++below == LOOKED_AHEAD)
            open = 0;
    }
    return first;
}

static bool find_by_names(mbl_csv *csv, const mbl_log_wish *wish, bool comments, mbl_header *out)
{
    mbl_csv start = *csv;
    csv->keep_comments = comments;
    int line = line_by_names(csv, wish, comments, out);
    *csv = start;
    csv->keep_comments = comments;
    while (csv->line < line && mbl_csv_next(csv))
        ;
    csv->keep_comments = false;
    return line > 0 && is_header(csv, wish, out);
}

/* ---- by shape ---- */

/* Is this stamp, word, number or nothing? */
static bool is_tall_row(const mbl_csv *csv)
{
    return csv->n == 3 && mbl_csv_is_value(csv->cell[0]) && csv->cell[1].n > 0 &&
           !mbl_csv_is_value(csv->cell[1]) &&
           (csv->cell[2].n == 0 || mbl_csv_is_value(csv->cell[2]));
}

/* Adds the word to those met; false when it is an old one. */
static bool meet(mbl_csv_cell *met, size_t n, mbl_csv_cell word)
{
    for (size_t i = 0; i < n; i++)
        if (met[i].n == word.n && memcmp(met[i].text, word.text, word.n) == 0)
            return false;
    if (n < TALL_NAMES)
        met[n] = word;
    return true;
}

/* Three columns: stamps, words that repeat, numbers. A row of three words above is the header. */
static bool find_tall(mbl_csv *csv, mbl_header *out)
{
    mbl_csv start = *csv;
    mbl_csv first = *csv; /* before the first row of data */
    mbl_csv above = *csv; /* the row before that */
    mbl_csv_cell met[TALL_NAMES];
    size_t names = 0;
    size_t rows = 0;
    size_t fit = 0;
    while (rows < TALL_SAMPLE) {
        mbl_csv before = *csv;
        if (!mbl_csv_next(csv))
            break;
        if (csv->n == 0)
            continue;
        bool fits = is_tall_row(csv);
        if (rows == 0 && !fits) {
            above = *csv;
            continue;
        }
        if (rows++ == 0)
            first = before;
        fit += fits;
        if (fits && names < TALL_NAMES)
            names += meet(met, names, csv->cell[1]);
    }
    if (fit < TALL_FEWEST || 10 * fit < 9 * rows || 2 * names > fit) {
        *csv = start;
        return false;
    }
    out->columns = 0;
    if (above.n == 3 && mbl_csv_values(&above) == 0)
        read_names(&above, out);
    if (out->columns < 3) {
        static const char *const plain[] = {"column 1", "column 2", "column 3"};
        out->line = 0;
        out->columns = 3;
        for (size_t i = 0; i < 3; i++)
            mbl_header_split(plain[i], strlen(plain[i]), &out->column[i]);
    }
    *csv = first;
    out->tall = true;
    out->units_line = 0;
    out->speed_unit = NULL;
    out->time_at = 0;
    out->name_at = 1;
    out->value_at = 2;
    out->unit_at = -1;
    return true;
}

/*
 * The row above the first row of numbers, or above the row of units on it, or above a third of
 * sources. Nothing is known by these names, but a wish can point at them.
 */
static bool find_by_shape(mbl_csv *csv, mbl_header *out)
{
    enum { DEEP = 3 };
    int line[DEEP] = {0}; /* rows of words as long as each other; the newest first */
    bool units[DEEP] = {false};
    size_t cells = 0;
    mbl_csv start = *csv;
    bool found = false;
    while (mbl_csv_next(csv)) {
        if (csv->n == 0)
            continue;
        size_t values = mbl_csv_values(csv);
        found = csv->n > 1 && line[0] > 0 && cells == csv->n && 2 * values >= mbl_csv_filled(csv) &&
                values > 0;
        if (found)
            break;
        if (csv->n != cells || values > 0)
            memset(line, 0, sizeof line);
        cells = csv->n;
        if (values > 0)
            continue;
        for (int i = DEEP - 1; i > 0; i--) {
            line[i] = line[i - 1];
            units[i] = units[i - 1];
        }
        line[0] = csv->line;
        units[0] = has_units(csv);
    }
    *csv = start;
    if (!found)
        return false;
    int want = line[1] > 0 && units[0]                  ? line[1]
               : line[2] > 0 && line[1] > 0 && units[1] ? line[2]
                                                        : line[0];
    while (csv->line < want && mbl_csv_next(csv))
        ;
    read_names(csv, out);
    return true;
}

mbl_status mbl_header_find(mbl_csv *csv, const mbl_log_wish *wish, mbl_header *out, mbl_error *err)
{
    bool found = find_by_names(csv, wish, false, out) || find_by_names(csv, wish, true, out);
    if (!found && find_tall(csv, out))
        return MBL_OK;
    if (!found && !find_by_shape(csv, out))
        return mbl_fail(err, MBL_INPUT,
                        "no header found: a log has a row of column names, time and speed among "
                        "them, above its rows of numbers");
    if (csv->too_many) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT, "the header has more than %d columns", (int)MBL_CSV_CELLS);
        mbl_error_at(err, NULL, csv->line, 0);
        return status;
    }
    mbl_csv names = *csv;
    read_below(csv, &names, out);
    return MBL_OK;
}
