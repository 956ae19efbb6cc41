/* SPDX-License-Identifier: MIT */
#include "road/csv.h"

#include "base/text.h"
#include "road/clock.h"

#include <string.h>

/* Rows looked back at to learn how many decimals the last cell has. */
enum { LOOKED_BACK = 32, FEWEST_BACK = 8 };

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* First byte at or after `at` that ends the line. */
static const char *line_end(const char *at, const char *end)
{
    while (at < end && *at != '\n' && *at != '\r')
        at++;
    return at;
}

/* First byte of the next line. */
static const char *past_line(const char *at, const char *end)
{
    if (at < end && *at == '\r')
        at++;
    else if (at < end)
        return at + 1;
    return at < end && *at == '\n' ? at + 1 : at;
}

static size_t mark_size(const char *bytes, size_t size)
{
    return size >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
}

/* Bytes of the comment mark at the beginning of a line, blanks before it included; 0: none. */
static size_t comment_mark(const char *at, const char *stop)
{
    const char *p = at;
    while (p < stop && is_blank(*p))
        p++;
    if (p < stop && *p == '#')
        return (size_t)(p - at) + 1;
    if (p + 1 < stop && p[0] == '/' && p[1] == '/')
        return (size_t)(p - at) + 2;
    return 0;
}

void mbl_csv_begin(mbl_csv *csv, const char *bytes, size_t size, char delimiter)
{
    csv->at = bytes + mark_size(bytes, size);
    csv->end = bytes + size;
    csv->delimiter = delimiter;
    csv->keep_comments = false;
    csv->line = 0;
    csv->comments = 0;
    csv->comment = false;
    csv->open_quote = false;
    csv->too_many = false;
    csv->cut = false;
    csv->n = 0;
}

static bool is_delimiter(const mbl_csv *csv, char c)
{
    return csv->delimiter == ' ' ? is_blank(c) : c == csv->delimiter && c != '\0';
}

static void trim(mbl_csv_cell *cell)
{
    while (cell->n > 0 && is_blank(cell->text[cell->n - 1]))
        cell->n--;
    while (cell->n > 0 && is_blank(cell->text[0])) {
        cell->text++;
        cell->n--;
    }
}

/*
 * Reads a cell that begins with a quote; returns the delimiter or line end behind it. What goes
 * on behind the closing quote, as in "Speed"|"km/h"|0|300|10, is taken whole, quotes included.
 */
static const char *read_quoted(mbl_csv *csv, const char *at, const char *stop, mbl_csv_cell *cell)
{
    const char *open = at;
    const char *from = ++at;
    while (at < stop && (*at != '"' || (at + 1 < stop && at[1] == '"')))
        at += *at == '"' ? 2 : 1;
    *cell = (mbl_csv_cell){from, (size_t)(at - from)};
    if (at >= stop) {
        csv->open_quote = true;
        return stop;
    }
    at++;
    while (at < stop && is_blank(*at) && !is_delimiter(csv, *at))
        at++;
    if (at == stop || is_delimiter(csv, *at))
        return at;
    bool quoted = false;
    for (; at < stop && (quoted || !is_delimiter(csv, *at)); at++)
        if (*at == '"')
            quoted = !quoted;
    *cell = (mbl_csv_cell){open, (size_t)(at - open)};
    return at;
}

/* Reads one cell that begins at `at`; returns the delimiter or line end behind it. */
static const char *read_cell(mbl_csv *csv, const char *at, const char *stop, mbl_csv_cell *cell)
{
    while (at < stop && is_blank(*at) && !is_delimiter(csv, *at))
        at++;
    if (at < stop && *at == '"') {
        at = read_quoted(csv, at, stop, cell);
    } else {
        const char *from = at;
        while (at < stop && !is_delimiter(csv, *at))
            at++;
        *cell = (mbl_csv_cell){from, (size_t)(at - from)};
    }
    trim(cell);
    return at;
}

/* Reads the cells of one line. */
static void read_line(mbl_csv *csv, const char *at, const char *stop)
{
    bool content = false;
    csv->n = 0;
    csv->open_quote = false;
    csv->too_many = false;
    for (;;) {
        if (csv->delimiter == ' ') {
            /* blanks at either end of the line part nothing */
            while (at < stop && is_blank(*at))
                at++;
            if (at >= stop)
                break;
        }
        if (csv->n == MBL_CSV_CELLS) {
            csv->too_many = true;
            break;
        }
        mbl_csv_cell *cell = &csv->cell[csv->n++];
        at = read_cell(csv, at, stop, cell);
        content = content || cell->n > 0;
        if (at >= stop)
            break;
        at++;
    }
    if (!content)
        csv->n = 0;
}

bool mbl_csv_next(mbl_csv *csv)
{
    while (csv->at < csv->end) {
        const char *at = csv->at;
        const char *stop = line_end(at, csv->end);
        csv->at = past_line(stop, csv->end);
        csv->line++;
        size_t mark = comment_mark(at, stop);
        csv->comment = mark > 0;
        if (mark > 0) {
            csv->comments++;
            if (!csv->keep_comments)
                continue;
        }
        csv->cut = stop == csv->end;
        read_line(csv, at + mark, stop);
        return true;
    }
    return false;
}

/*
 * Copies the cell with a decimal point and without thousands marks, zero-terminated; false when
 * the other mark is in it and may mean either. Thousands are certain with two marks or more, or
 * with one and a decimal mark behind it.
 */
static bool plain_number(mbl_csv_cell cell, char decimal, char out[64])
{
    char other = decimal == ',' ? '.' : ',';
    size_t groups = 0;
    size_t run = 0; /* digits since the sign or the last thousands mark */
    bool point = false;
    size_t k = 0;
    if (cell.n == 0 || cell.n >= 64)
        return false;
    for (size_t i = 0; i < cell.n; i++) {
        char c = cell.text[i];
        if (c == other) {
            bool first = groups == 0;
            if (point || (first ? run < 1 || run > 3 || out[k - run] == '0' : run != 3))
                return false;
            groups++;
            run = 0;
            continue;
        }
        if (c == decimal) {
            if (groups > 0 && run != 3)
                return false;
            point = true;
            c = '.';
        } else if (is_digit(c))
            run += !point;
        else if (groups > 0)
            return false;
        out[k++] = c;
    }
    out[k] = '\0';
    return groups == 0 || (groups == 1 && point) || (groups > 1 && (point || run == 3));
}

/*
 * Most cells of a log are short: up to 15 digits and a point. Such a number is a whole number
 * over a power of ten, both exact in a double, so one division rounds it correctly and a log
 * reads several times faster. Anything else goes the long way.
 */
bool mbl_csv_number(mbl_csv_cell cell, char decimal, double *value)
{
    static const double ten[] = {1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    const char *p = cell.text;
    size_t i = cell.n > 0 && p[0] == '-' ? 1 : 0;
    long long whole = 0;
    size_t figures = 0;
    size_t places = 0;
    bool point = false;
    for (; i < cell.n && figures <= 15; i++) {
        if (is_digit(p[i])) {
            whole = whole * 10 + (p[i] - '0');
            figures++;
            places += point;
        } else if (p[i] == decimal && !point)
            point = true;
        else
            break;
    }
    if (i < cell.n || figures == 0 || figures > 15) {
        char copy[64];
        return plain_number(cell, decimal, copy) && mbl_number_read(copy, strlen(copy), value);
    }
    double read = (double)whole / ten[places];
    *value = p[0] == '-' ? -read : read;
    return true;
}

bool mbl_csv_other_mark(mbl_csv_cell cell, char decimal)
{
    double value = 0;
    return !mbl_csv_number(cell, decimal, &value) &&
           mbl_csv_number(cell, decimal == ',' ? '.' : ',', &value);
}

bool mbl_csv_is_value(mbl_csv_cell cell)
{
    double value = 0;
    return mbl_csv_number(cell, '.', &value) || mbl_csv_number(cell, ',', &value) ||
           mbl_clock_is_stamp(cell);
}

size_t mbl_csv_filled(const mbl_csv *csv)
{
    size_t n = 0;
    for (size_t i = 0; i < csv->n; i++)
        n += csv->cell[i].n > 0;
    return n;
}

size_t mbl_csv_values(const mbl_csv *csv)
{
    size_t n = 0;
    for (size_t i = 0; i < csv->n; i++)
        n += mbl_csv_is_value(csv->cell[i]);
    return n;
}

/* Decimals of the number that ends at `stop`; 0 when it has none. */
static size_t decimals_before(const char *from, const char *stop, char decimal)
{
    const char *at = stop;
    while (at > from && is_digit(at[-1]))
        at--;
    return at > from && at[-1] == decimal ? (size_t)(stop - at) : 0;
}

static const char *line_start(const char *begin, const char *at)
{
    while (at > begin && at[-1] != '\n' && at[-1] != '\r')
        at--;
    return at;
}

bool mbl_csv_torn(const mbl_csv *csv, const char *begin, size_t cells, char decimal)
{
    if (!csv->cut || csv->n == 0)
        return false;
    if (csv->open_quote || csv->n < cells)
        return true;
    const char *from = line_start(begin, csv->end);
    size_t last = decimals_before(from, csv->end, decimal);
    size_t usual = 0;
    int looked = 0;
    for (; looked < LOOKED_BACK && from > begin; looked++) {
        const char *stop = from;
        while (stop > begin && (stop[-1] == '\n' || stop[-1] == '\r'))
            stop--;
        from = line_start(begin, stop);
        size_t here = decimals_before(from, stop, decimal);
        if (here == 0 && (stop == from || !is_digit(stop[-1])))
            break; /* the header */
        if (here == 0 || (looked > 0 && here != usual))
            return false;
        usual = here;
    }
    return looked >= FEWEST_BACK && last < usual;
}
