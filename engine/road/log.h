/* SPDX-License-Identifier: MIT */
/*
 * Reading a logger's CSV: which delimiter, where the header is, which columns are time, speed,
 * lap, distance and altitude, and in which units. What was read is kept with its line numbers;
 * what was made of it is reported, never silent.
 */
#ifndef MBL_ROAD_LOG_H
#define MBL_ROAD_LOG_H

#include "base/base.h"

#include <stdbool.h>

typedef enum mbl_log_role {
    MBL_LOG_TIME,
    MBL_LOG_SPEED,
    MBL_LOG_LAP,
    MBL_LOG_DISTANCE,
    MBL_LOG_ALTITUDE,
    MBL_LOG_ROLES
} mbl_log_role;

const char *mbl_log_role_word(mbl_log_role role); /* "time" */

/*
 * Which columns to take. NULL or "" for a name: guessed from usual names, and said so. A name may
 * carry its unit, "Speed [mph]", to pick one of several columns of the same name.
 */
typedef struct mbl_log_wish {
    const char *column[MBL_LOG_ROLES];
    const char *unit[MBL_LOG_ROLES]; /* overrides what the file says; NULL or "" to believe it */
} mbl_log_wish;

/* A column that was taken. */
typedef struct mbl_log_column {
    bool present;
    bool guessed;      /* the name was not in the wish */
    bool unit_assumed; /* no unit was found in the file or the wish */
    int repeats;       /* other columns of the same name that were left aside */
    int index;         /* 0-based position in the row */
    char name[64];     /* as in the file, without the unit */
    char unit[16];     /* as in the file or the wish */
} mbl_log_column;

/* One allocation; free with mbl_log_free. SI throughout. */
typedef struct mbl_log {
    const mbl_alloc *alloc;
    size_t bytes; /* of the allocation */

    char file[192];
    char delimiter;  /* ',' ';' '\t' */
    int header_line; /* 1-based */
    int units_line;  /* 1-based; 0 when units are in the names or nowhere */
    mbl_log_column column[MBL_LOG_ROLES];
    size_t columns; /* in a row */

    size_t rows;            /* kept */
    size_t dropped_time;    /* rows whose time did not increase */
    size_t dropped_blank;   /* rows with a blank or unreadable time or speed */
    int first_dropped_line; /* 0 when none */
    double rate;            /* Hz, from the median interval */
    double longest_gap;     /* s */
    int longest_gap_line;   /* line after the gap */

    /* (rows x 1); NULL for a column that is not there */
    int *line;        /* 1-based line in the file */
    double *t;        /* s, from the first row, strictly increasing */
    double *v;        /* m/s, not negative */
    double *lap;      /* lap number as logged; here and below, a cell that cannot be read */
    double *distance; /* m                     has the value of the row before */
    double *altitude; /* m */
} mbl_log;

/* At most this many bytes are read. */
#define MBL_LOG_LIMIT ((size_t)256 * 1024 * 1024)

/* Fails with MBL_INPUT and the file's line for what cannot be read as a log. */
MBL_NODISCARD mbl_status mbl_log_parse(const mbl_alloc *alloc, const char *name, const char *bytes,
                                       size_t size, const mbl_log_wish *wish, mbl_log **out,
                                       mbl_error *err);
MBL_NODISCARD mbl_status mbl_log_read(const mbl_alloc *alloc, const char *path,
                                      const mbl_log_wish *wish, mbl_log **out, mbl_error *err);
void mbl_log_free(mbl_log *log);

#endif
