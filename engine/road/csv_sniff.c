/* SPDX-License-Identifier: MIT */
#include "road/csv.h"

#include <string.h>

/* Rows of numbers looked at to find the delimiter and the decimal mark. */
enum { SNIFFED = 1000 };

/* Does this row look like data: two for nothing but values, one for half of them, else none. */
static unsigned looks_like_data(const mbl_csv *csv)
{
    if (csv->n < 2)
        return 0;
    size_t filled = mbl_csv_filled(csv);
    size_t values = mbl_csv_values(csv);
    return values == 0 ? 0 : values == filled ? 2 : 2 * values >= filled ? 1 : 0;
}

/* What one number says about its decimal mark: '.' or ',' when certain, 0 when nothing. */
static char mark_of(mbl_csv_cell cell)
{
    const char *comma = memchr(cell.text, ',', cell.n);
    const char *point = memchr(cell.text, '.', cell.n);
    double value = 0;
    if (comma == NULL && point == NULL)
        return 0;
    if (comma != NULL && point != NULL)
        return mbl_csv_number(cell, ',', &value)   ? ','
               : mbl_csv_number(cell, '.', &value) ? '.'
                                                   : '\0';
    const char *mark = comma != NULL ? comma : point;
    if (!mbl_csv_number(cell, *mark, &value))
        return 0;
    /* 1,234 may be either; 0,234 and 1,23 and 1234,567 may not */
    const char *first = cell.text + (cell.text[0] == '-' || cell.text[0] == '+');
    size_t before = (size_t)(mark - first);
    size_t behind = cell.n - (size_t)(mark - cell.text) - 1;
    bool either = behind == 3 && before >= 1 && before <= 3 && *first != '0';
    return either ? '\0' : *mark;
}

char mbl_csv_sniff_decimal(const char *bytes, size_t size, char delimiter)
{
    mbl_csv csv;
    size_t commas = 0;
    size_t points = 0;
    int rows = 0;
    mbl_csv_begin(&csv, bytes, size, delimiter);
    while (rows < SNIFFED && mbl_csv_next(&csv)) {
        if (looks_like_data(&csv) == 0)
            continue;
        rows++;
        for (size_t i = 0; i < csv.n; i++) {
            char mark = mark_of(csv.cell[i]);
            commas += mark == ',';
            points += mark == '.';
        }
    }
    return commas > points ? ',' : '.';
}

/*
 * The delimiter is what parts most rows into numbers. A decimal comma parts "12,5;13,0" too, but
 * leaves "5;13" that is none; on equal terms the comma comes last.
 */
void mbl_csv_sniff(const char *bytes, size_t size, char *delimiter, char *decimal)
{
    static const char candidate[] = {'\t', ';', ',', ' '};
    enum { CANDIDATES = sizeof candidate };
    mbl_csv csv[CANDIDATES];
    unsigned score[CANDIDATES] = {0};
    for (size_t c = 0; c < CANDIDATES; c++)
        mbl_csv_begin(&csv[c], bytes, size, candidate[c]);
    for (int rows = 0; rows < SNIFFED;) {
        bool more = false;
        unsigned any = 0;
        for (size_t c = 0; c < CANDIDATES; c++) {
            if (!mbl_csv_next(&csv[c]))
                continue;
            more = true;
            unsigned s = looks_like_data(&csv[c]);
            score[c] += s;
            any += s;
        }
        if (!more)
            break;
        rows += any > 0;
    }
    /* blanks are within cells and beside other marks too: they must do better than any of these */
    size_t best = CANDIDATES - 2;
    for (size_t c = CANDIDATES - 1; c-- > 0;)
        if (score[c] >= score[best] && score[c] > 0)
            best = c;
    if (score[CANDIDATES - 1] > score[best])
        best = CANDIDATES - 1;
    *delimiter = candidate[best];
    *decimal = mbl_csv_sniff_decimal(bytes, size, *delimiter);
}
