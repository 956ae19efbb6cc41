/* SPDX-License-Identifier: MIT */
/* The page of a sweep while it is being written. Private to `out`. */
#ifndef MBL_OUT_GRID_SHEET_H
#define MBL_OUT_GRID_SHEET_H

#include "out/page.h"
#include "out/units.h"
#include "study/grid.h"

/* What gives out first, in how many rows. */
typedef struct mbl_grid_limits {
    mbl_check_kind kind;
    int axle;
    size_t rows;
} mbl_grid_limits;

enum { MBL_GRID_LETTERS = 52 }; /* more than there are checks */

typedef struct mbl_grid_sheet {
    const mbl_grid *grid;
    const bool *keep; /* as for mbl_out_grid */
    mbl_units_system units;
    mbl_text *page;
    mbl_text line; /* a sentence while it is put together */
    size_t nvaried;
    size_t varied[MBL_AXES]; /* axes on which not every row has the same */
    size_t rows;             /* that the page is about */
    size_t ran, failed, open;
    size_t verdict[MBL_FAILS + 1]; /* rows of each */
    size_t nlimits;
    mbl_grid_limits limit[MBL_GRID_LETTERS]; /* in the order of rows */
} mbl_grid_sheet;

/* A row when the page is about it and it stands so; else NULL. */
const mbl_grid_row *mbl_grid_in(const mbl_grid_sheet *sheet, size_t row, mbl_row_state state);

/* '!' fails, '~' marginal, ' ' holds. */
char mbl_grid_mark(const mbl_grid_row *row);

/* Puts a mark right before a text, where it is one. */
void mbl_grid_marked(char mark, mbl_shown *text);

/* Closest of a row: a tenth of a band, rounded down, so that none shows as more than it is. */
mbl_shown mbl_grid_closest(const mbl_grid_row *row);

/* A number of a column as the page has it, and its unit ("" where it has none). */
mbl_shown mbl_grid_told(const mbl_grid_sheet *sheet, size_t column, double value);
const char *mbl_grid_unit(const mbl_grid_sheet *sheet, size_t column);

/* Has every row that ran the same in a column? */
bool mbl_grid_same(const mbl_grid_sheet *sheet, size_t column);

/* Ends the sentence at hand; or the line of a table, which loses the blanks at its end. */
void mbl_grid_sentence(mbl_grid_sheet *sheet);
void mbl_grid_line(mbl_grid_sheet *sheet);

/* Two axes as matrices; false, and nothing written, when they are too wide or too long for it. */
bool mbl_grid_matrix(mbl_grid_sheet *sheet);

/* The best `most` rows. */
void mbl_grid_ranked(mbl_grid_sheet *sheet, size_t most);

#endif
