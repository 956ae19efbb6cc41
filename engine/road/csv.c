/* SPDX-License-Identifier: MIT */
#include "road/csv.h"

#include "base/text.h"

#include <string.h>

/* Lines looked at to find the delimiter. */
enum { SNIFFED = 200 };

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
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

static size_t count_outside_quotes(const char *at, const char *end, char wanted)
{
    size_t n = 0;
    bool quoted = false;
    for (; at < end; at++) {
        if (*at == '"')
            quoted = !quoted;
        n += !quoted && *at == wanted;
    }
    return n;
}

/*
 * The delimiter is what most lines hold the same number of. With decimal commas both it and the
 * comma can be regular; so on equal terms the comma comes last.
 */
char mbl_csv_sniff(const char *bytes, size_t size)
{
    static const char candidates[] = {'\t', ';', ','};
    char best = ',';
    size_t most = 0;
    for (size_t c = 0; c < sizeof candidates; c++) {
        size_t agree[64] = {0};
        const char *end = bytes + size;
        const char *at = bytes;
        for (int line = 0; at < end && line < SNIFFED; line++) {
            const char *stop = line_end(at, end);
            size_t count = count_outside_quotes(at, stop, candidates[c]);
            agree[count < 64 ? count : 63]++;
            at = past_line(stop, end);
        }
        for (size_t count = 1; count < 64; count++)
            if (agree[count] > most) {
                most = agree[count];
                best = candidates[c];
            }
    }
    return best;
}

void mbl_csv_begin(mbl_csv *csv, const char *bytes, size_t size, char delimiter)
{
    csv->at = bytes + mark_size(bytes, size);
    csv->end = bytes + size;
    csv->delimiter = delimiter;
    csv->line = 0;
    csv->open_quote = false;
    csv->too_many = false;
    csv->n = 0;
}

/* Reads one cell that begins at `at`; returns the delimiter or line end behind it. */
static const char *read_cell(mbl_csv *csv, const char *at, const char *stop, mbl_csv_cell *cell)
{
    while (at < stop && is_blank(*at) && *at != csv->delimiter)
        at++;
    if (at < stop && *at == '"') {
        const char *from = ++at;
        while (at < stop && (*at != '"' || (at + 1 < stop && at[1] == '"')))
            at += *at == '"' ? 2 : 1;
        *cell = (mbl_csv_cell){from, (size_t)(at - from)};
        if (at >= stop)
            csv->open_quote = true;
        while (at < stop && *at != csv->delimiter)
            at++;
    } else {
        const char *from = at;
        while (at < stop && *at != csv->delimiter)
            at++;
        *cell = (mbl_csv_cell){from, (size_t)(at - from)};
    }
    while (cell->n > 0 && is_blank(cell->text[cell->n - 1]))
        cell->n--;
    while (cell->n > 0 && is_blank(cell->text[0])) {
        cell->text++;
        cell->n--;
    }
    return at;
}

bool mbl_csv_next(mbl_csv *csv)
{
    if (csv->at >= csv->end)
        return false;
    const char *at = csv->at;
    const char *stop = line_end(at, csv->end);
    bool content = false;
    csv->line++;
    csv->n = 0;
    csv->open_quote = false;
    csv->too_many = false;
    for (;;) {
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
    csv->at = past_line(stop, csv->end);
    return true;
}

/*
 * Most cells of a log are short: up to 15 digits and a point. Such a number is a whole number
 * over a power of ten, both exact in a double, so one division rounds it correctly and a log
 * reads several times faster. Anything else goes the long way.
 */
bool mbl_csv_number(mbl_csv_cell cell, double *value)
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
        if (p[i] >= '0' && p[i] <= '9') {
            whole = whole * 10 + (p[i] - '0');
            figures++;
            places += point;
        } else if (p[i] == '.' && !point)
            point = true;
        else
            break;
    }
    if (i < cell.n || figures == 0 || figures > 15)
        return mbl_number_read(cell.text, cell.n, value);
    double read = (double)whole / ten[places];
    *value = p[0] == '-' ? -read : read;
    return true;
}

bool mbl_csv_decimal_comma(mbl_csv_cell cell)
{
    char copy[64];
    if (cell.n == 0 || cell.n >= sizeof copy)
        return false;
    memcpy(copy, cell.text, cell.n);
    char *comma = memchr(copy, ',', cell.n);
    if (comma == NULL)
        return false;
    *comma = '.';
    double value = 0;
    return mbl_number_read(copy, cell.n, &value);
}
