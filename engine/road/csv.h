/* SPDX-License-Identifier: MIT */
/*
 * Delimited text, row by row, in place: nothing is copied and nothing is allocated. Lines that
 * begin with # or // are comments.
 */
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
    char delimiter;     /* ' ': any run of blanks and tabs; 0: a line is one cell */
    bool keep_comments; /* comments are rows too, without their mark */
    int line;           /* 1-based, of the row that was read last */
    size_t comments;    /* lines so far that are comments */
    bool comment;       /* that row is one, kept */
    bool open_quote;    /* a quote of that row was not closed on its line */
    bool too_many;      /* that row has more than MBL_CSV_CELLS cells; the rest was skipped */
    bool cut;           /* that row ends with the text, not with a line end */
    size_t n;           /* cells in that row; 0 for a blank one */
    mbl_csv_cell cell[MBL_CSV_CELLS];
} mbl_csv;

/*
 * The likeliest delimiter, ',' ';' '\t' or else ' ', and decimal mark, '.' or ',', from the first
 * rows of numbers: "12,5;13,0" is two numbers.
 */
void mbl_csv_sniff(const char *bytes, size_t size, char *delimiter, char *decimal);

/* The decimal mark alone, when the delimiter is known. */
char mbl_csv_sniff_decimal(const char *bytes, size_t size, char delimiter);

/* Starts at the beginning of the text, past a byte order mark. */
void mbl_csv_begin(mbl_csv *csv, const char *bytes, size_t size, char delimiter);

/* Reads the next row; false at the end. Lines end in LF, CR LF or CR. */
bool mbl_csv_next(mbl_csv *csv);

/*
 * The cell as a plain decimal number that fills it. The other mark may part thousands where that
 * is certain: "1.234,5" and "1.234.567" with a decimal comma, but never a lone "1.234".
 */
bool mbl_csv_number(mbl_csv_cell cell, char decimal, double *value);

/* Is this no number as it stands, but one with the other decimal mark? */
bool mbl_csv_other_mark(mbl_csv_cell cell, char decimal);

/* Is this a number, whichever the mark, or a stamp such as 12:30:01.5 or 2031-05-04T12:30:01Z? */
bool mbl_csv_is_value(mbl_csv_cell cell);

/* How many cells of the row are filled, and how many of these are values. */
size_t mbl_csv_filled(const mbl_csv *csv);
size_t mbl_csv_values(const mbl_csv *csv);

/*
 * Is the row, the last of the text and without a line end, cut short? It is when it has fewer
 * cells than the row before (`cells`), or fewer decimals at its end than each of the rows before.
 */
bool mbl_csv_torn(const mbl_csv *csv, const char *begin, size_t cells, char decimal);

#endif
