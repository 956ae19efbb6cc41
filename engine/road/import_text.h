/* SPDX-License-Identifier: MIT */
/* What the readers of text share: rows of cells, sample by sample, into an import. */
#ifndef MBL_ROAD_IMPORT_TEXT_H
#define MBL_ROAD_IMPORT_TEXT_H

#include "road/header.h"
#include "road/intake.h"

/* Collects up to MBL_CLOCK_SAMPLE stamps of a column from the rows that come next. */
size_t mbl_text_stamps(const mbl_csv *at, size_t column, mbl_csv_cell *stamps);

/* The cell of a column in this row; blank when the row is shorter. */
mbl_csv_cell mbl_text_cell(const mbl_csv *csv, int column);

/* Did the user give a unit of time? */
bool mbl_text_time_wish(const mbl_log_wish *wish);

/*
 * Reads all rows from where csv stands, one column a channel, `columns` of them with a name.
 * `begin` is where the text begins.
 */
MBL_NODISCARD mbl_status mbl_text_rows(mbl_csv *csv, const char *begin, size_t columns,
                                       mbl_intake *in, mbl_error *err);

/* Reads all rows from where csv stands, one row a value. */
MBL_NODISCARD mbl_status mbl_import_tall(mbl_csv *csv, const mbl_header *header, const char *begin,
                                         const mbl_log_wish *wish, mbl_import *out, mbl_error *err);

#endif
