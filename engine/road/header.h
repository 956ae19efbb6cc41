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
} mbl_header_name;

typedef struct mbl_header {
    int line;       /* 1-based line of the names */
    int units_line; /* 1-based; 0 when there is no row of units */
    size_t columns;
    mbl_header_name column[MBL_CSV_CELLS];
} mbl_header;

/* Splits "Speed [km/h]", "Speed (km/h)", "Speed km/h" into name and unit. */
void mbl_header_split(const char *text, size_t n, mbl_header_name *out);

/*
 * Finds the header and leaves `csv` at the first row after it. The error has the line.
 */
MBL_NODISCARD mbl_status mbl_header_find(mbl_csv *csv, const mbl_log_wish *wish, mbl_header *out,
                                         mbl_error *err);

/* Chooses the column of each role, with its unit. */
MBL_NODISCARD mbl_status mbl_header_take(const mbl_header *header, const mbl_log_wish *wish,
                                         mbl_log_column column[MBL_LOG_ROLES], mbl_error *err);

/* value_si = value * scale for the unit of a taken column; false when the unit is not known. */
bool mbl_header_scale(mbl_log_role role, const char *unit, double *scale);

#endif
