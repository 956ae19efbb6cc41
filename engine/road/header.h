/* SPDX-License-Identifier: MIT */
/* Where the header of a log is, what its columns are called, and which of them to take. */
#ifndef MBL_ROAD_HEADER_H
#define MBL_ROAD_HEADER_H

#include "road/csv.h"
#include "road/log.h"

/* A name and the unit that came with it, "" when none did. */
typedef struct mbl_header_name {
    char name[64];
    char unit[16];
    char alias[64]; /* another name of the same column, "" for none */
} mbl_header_name;

typedef struct mbl_header {
    bool tall;      /* columns are time, name and value; else there is one for each channel */
    int line;       /* 1-based line of the names; 0 when there is none, in a tall file */
    int units_line; /* 1-based; 0 when there is no row of units */
    int time_at, name_at, value_at, unit_at; /* tall: which column is which; unit_at -1: none */
    const char *speed_unit; /* what speed is in when nothing says so; NULL: it must be said */
    size_t columns;
    mbl_header_name column[MBL_CSV_CELLS];
} mbl_header;

/* Splits "Speed [km/h]", "Speed (km/h)", "Speed km/h", "Speed"|"km/h"|0|300|10 into two. */
void mbl_header_split(const char *text, size_t n, mbl_header_name *out);

/*
 * Finds the header and leaves `csv` at the first row of data. A header is a row with usual or
 * wished names for time and for what gives a speed (speed, distance, or both positions), or with
 * names for time, name and value, with a stamp below its name for time. Else a row by its shape:
 * three columns of stamps, repeating words and numbers are a tall file, and names above rows of
 * numbers are a header whose names mean nothing yet. The error has the line.
 */
MBL_NODISCARD mbl_status mbl_header_find(mbl_csv *csv, const mbl_log_wish *wish, mbl_header *out,
                                         mbl_error *err);

#endif
