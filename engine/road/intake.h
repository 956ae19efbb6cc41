/* SPDX-License-Identifier: MIT */
/* From cells of text to the samples of an import: what every text shape does with its rows. */
#ifndef MBL_ROAD_INTAKE_H
#define MBL_ROAD_INTAKE_H

#include "road/clock.h"
#include "road/import.h"

/* Cells of one role that are no number. */
typedef struct mbl_intake_bad {
    mbl_repair note;
    char text[40]; /* the first */
} mbl_intake_bad;

typedef struct mbl_intake {
    mbl_import *import;
    mbl_clock clock;
    char decimal;
    double scale[MBL_LOG_ROLES];
    mbl_log_role main; /* what gives the speed */
    mbl_intake_bad bad[MBL_LOG_ROLES];
    mbl_repair no_main; /* rows with a time but nothing in the main column */
    int line;           /* of the row at hand */
    double t;           /* s, its stamp */
} mbl_intake;

/* Chooses the clock from n stamps and the scales of the columns that the import took. */
MBL_NODISCARD mbl_status mbl_intake_begin(mbl_intake *in, mbl_import *import, char decimal,
                                          const mbl_csv_cell *stamps, size_t n, bool unit_wished,
                                          bool of_day, mbl_error *err);

/*
 * Begins a row of data with its stamp. *got is false when the row must be left out; that has been
 * counted. Fails for a quote left open and for more than MBL_LOG_ROWS rows.
 */
MBL_NODISCARD mbl_status mbl_intake_row(mbl_intake *in, const mbl_csv *csv, mbl_csv_cell stamp,
                                        bool *got, mbl_error *err);

/*
 * Adds one cell of the row to a role. *filled: there was something, readable or not. Fails for a
 * number with the other decimal mark and without memory.
 */
MBL_NODISCARD mbl_status mbl_intake_cell(mbl_intake *in, mbl_log_role role, mbl_csv_cell cell,
                                         bool *filled, mbl_error *err);

/* Ends a row that was not left out. */
void mbl_intake_row_end(mbl_intake *in, bool any, bool with_main);

/*
 * Checks what came in: enough numbers in time and in what was wished, speeds of a car, positions
 * on the earth. What was only guessed and holds no such numbers is left aside.
 */
MBL_NODISCARD mbl_status mbl_intake_end(mbl_intake *in, const mbl_log_wish *wish, mbl_error *err);

#endif
