/* SPDX-License-Identifier: MIT */
/* Delimited text, row by row, in place: nothing is copied and nothing is allocated. */
#ifndef MBL_ROAD_CSV_H
#define MBL_ROAD_CSV_H

#include <stdbool.h>
#include <stddef.h>

/* Most columns of a row. */
enum { MBL_CSV_CELLS = 512 };

/* A cell without its quotes and the blanks around it; points into the text. */
typedef struct mbl_csv_cell {
    const char *text;
    size_t n;
} mbl_csv_cell;

typedef struct mbl_csv {
    const char *at; /* what is read next */
    const char *end;
    char delimiter;
    int line;        /* 1-based, of the row that was read last */
    bool open_quote; /* a quote of that row was not closed on its line */
    bool too_many;   /* that row has more than MBL_CSV_CELLS cells; the rest was skipped */
    size_t n;        /* cells in that row; 0 for a blank one */
    mbl_csv_cell cell[MBL_CSV_CELLS];
} mbl_csv;

/* The likeliest delimiter, from the first rows: ',' ';' or '\t'. */
char mbl_csv_sniff(const char *bytes, size_t size);

/* Starts at the beginning of the text, past a byte order mark. */
void mbl_csv_begin(mbl_csv *csv, const char *bytes, size_t size, char delimiter);

/* Reads the next row; false at the end. Lines end in LF, CR LF or CR. */
bool mbl_csv_next(mbl_csv *csv);

/* The cell as a plain decimal number that fills it. */
bool mbl_csv_number(mbl_csv_cell cell, double *value);

/* Is this a number written with a decimal comma, such as 12,5? */
bool mbl_csv_decimal_comma(mbl_csv_cell cell);

#endif
