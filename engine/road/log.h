/* SPDX-License-Identifier: MIT */
/*
 * A logger's file, read and repaired. Reading (road/import.h) takes what the file says, sample by
 * sample, with its line numbers; repairing makes one clean table of it. What was read, changed or
 * doubted is kept with its line numbers: nothing is silent.
 */
#ifndef MBL_ROAD_LOG_H
#define MBL_ROAD_LOG_H

#include "base/base.h"

#include <stdbool.h>

/*
 * X(NAME, word for people, field of mbl_log). What a column can be. Time and speed must be there;
 * speed may be worked out from distance or from positions.
 */
#define MBL_LOG_ROLE_LIST(X)                                                                       \
    X(TIME, "time", t)                                                                             \
    X(SPEED, "speed", v)                                                                           \
    X(LAP, "lap", lap)                                                                             \
    X(DISTANCE, "distance", distance)                                                              \
    X(ALTITUDE, "altitude", altitude)                                                              \
    X(PRESSURE_FRONT, "front pressure", pressure_front)                                            \
    X(PRESSURE_REAR, "rear pressure", pressure_rear)                                               \
    X(ACCEL_LONG, "longitudinal acceleration", accel_long)                                         \
    X(LATERAL, "lateral acceleration", accel_lat)                                                  \
    X(YAW_RATE, "yaw rate", yaw_rate)                                                              \
    X(THROTTLE, "throttle", throttle)                                                              \
    X(LATITUDE, "latitude", latitude)                                                              \
    X(LONGITUDE, "longitude", longitude)

typedef enum mbl_log_role {
#define MBL_LOG_ROLE_ENUM(name, word, field) MBL_LOG_##name,
    MBL_LOG_ROLE_LIST(MBL_LOG_ROLE_ENUM)
#undef MBL_LOG_ROLE_ENUM
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
    bool start_line;                 /* a start line is given: laps begin where it is crossed */
    double start_latitude, start_longitude; /* degrees */
} mbl_log_wish;

/*
 * A column that was taken. With a name and not present: one that was guessed and left aside, as
 * its unit or its numbers are none of the role.
 */
typedef struct mbl_log_column {
    bool present;
    bool guessed;      /* the name was not in the wish */
    bool unit_assumed; /* no unit was found in the file or the wish */
    bool derived;      /* there is no such column: worked out from others (see derived_from) */
    mbl_log_role derived_from;
    int repeats;       /* other columns of the same name that were left aside */
    int index;         /* 0-based position in the row; 0 in a tall file */
    char name[64];     /* as in the file, without the unit */
    char unit[16];     /* as in the file or the wish */
} mbl_log_column;

/* How the file is laid out. */
#define MBL_LOG_SHAPE_LIST(X)                                                                      \
    X(WIDE, "one row a sample, one column a channel")                                              \
    X(TALL, "one row a value: time, name, value")                                                  \
    X(SECTIONS, "sections in square brackets, data by blanks")                                     \
    X(GPX, "GPX 1.1 track points")

/* How its clock is written. */
#define MBL_LOG_CLOCK_LIST(X)                                                                      \
    X(SECONDS, "seconds")                                                                          \
    X(MILLISECONDS, "milliseconds")                                                                \
    X(HMS, "hours:minutes:seconds")                                                                \
    X(COMPACT, "hhmmss")                                                                           \
    X(UNIX, "seconds since 1970")                                                                  \
    X(UNIX_MS, "milliseconds since 1970")                                                          \
    X(DATE, "date and time")

typedef enum mbl_log_shape {
#define MBL_LOG_SHAPE_ENUM(name, text) MBL_SHAPE_##name,
    MBL_LOG_SHAPE_LIST(MBL_LOG_SHAPE_ENUM)
#undef MBL_LOG_SHAPE_ENUM
} mbl_log_shape;
typedef enum mbl_log_clock {
#define MBL_LOG_CLOCK_ENUM(name, text) MBL_CLOCK_##name,
    MBL_LOG_CLOCK_LIST(MBL_LOG_CLOCK_ENUM)
#undef MBL_LOG_CLOCK_ENUM
} mbl_log_clock;

const char *mbl_log_shape_text(mbl_log_shape shape);
const char *mbl_log_clock_text(mbl_log_clock clock);

/* X(NAME, what was done, unit of `amount` or ""). In the order they are applied and printed. */
#define MBL_REPAIR_LIST(X)                                                                         \
    X(BLANK, "rows without time or speed, left out", "")                                           \
    X(UNREADABLE, "cells that are no number, left out", "")                           \
    X(TORN, "last row cut short, left out", "")                                                    \
    X(MIDNIGHT, "clock went past midnight, carried on", "")                                        \
    X(RESET, "clock began again at a lap, carried on", "")                                         \
    X(BACK, "rows whose time did not increase, left out", "")                                      \
    X(REBUILT, "bunched or repeated stamps, time rebuilt from distance and speed", "s")            \
    X(SPREAD, "repeated stamps, spread evenly", "")                                                \
    X(REPEATED, "samples repeated between fixes, left out", "")                                    \
    X(FROZEN, "speeds that stood still while the car moved, bridged", "s")                         \
    X(SPIKE, "speeds no car can reach from its neighbours, bridged", "")                           \
    X(GAP, "gaps, bridged by a straight line", "s")                                                \
    X(OFFSET, "resting offset of line pressure, taken off", "Pa")                                  \
    X(HELD, "pedal held at a standstill, ignored", "s")

typedef enum mbl_repair_kind {
#define MBL_REPAIR_ENUM(name, text, unit) MBL_REPAIR_##name,
    MBL_REPAIR_LIST(MBL_REPAIR_ENUM)
#undef MBL_REPAIR_ENUM
    MBL_REPAIRS
} mbl_repair_kind;

const char *mbl_repair_text(mbl_repair_kind kind);
const char *mbl_repair_unit(mbl_repair_kind kind);

typedef struct mbl_repair {
    size_t count;   /* rows or places; 0: not needed */
    int first_line; /* 1-based */
    int last_line;
    double amount;  /* SI: seconds bridged, offset taken off */
} mbl_repair;

/* One allocation; free with mbl_log_free. SI throughout. */
typedef struct mbl_log {
    const mbl_alloc *alloc;
    size_t bytes; /* of the allocation */

    char file[192];
    mbl_log_shape shape;
    mbl_log_clock clock;
    char delimiter;    /* ',' ';' '\t' ' '; 0 for GPX */
    char decimal;      /* '.' or ',' */
    int header_line;   /* 1-based; 0 when there is none */
    int units_line;    /* 1-based; 0 when units are in the names or nowhere */
    size_t comments;   /* lines that are comments */
    size_t columns;    /* in a row, or different names in a tall file */
    mbl_log_column column[MBL_LOG_ROLES];

    size_t rows;             /* kept */
    double rate;             /* Hz, from the median interval */
    double longest_gap;      /* s */
    int longest_gap_line;    /* line after the gap */
    mbl_repair repair[MBL_REPAIRS];
    bool has_start_line;     /* as wished */
    double start_latitude, start_longitude; /* degrees */

    /* (rows) NULL for what is not there */
    int *line;       /* 1-based line in the file */
    double *t;       /* s, from the first row, strictly increasing */
    double *v;       /* m/s, not negative */
    double *lap;     /* lap number as logged */
    double *distance;       /* m */
    double *altitude;       /* m */
    double *pressure_front; /* Pa, gauge, at rest 0 */
    double *pressure_rear;  /* Pa */
    double *accel_long;     /* m/s2, as logged: sign and zero are the logger's */
    double *accel_lat;      /* m/s2, the same */
    double *yaw_rate;       /* rad/s, the same */
    double *throttle;       /* as logged, 0 closed */
    double *latitude;       /* degrees, north positive */
    double *longitude;      /* degrees, east positive */
} mbl_log;

/* At most this many bytes and rows are read; more is an error that says so. */
#define MBL_LOG_LIMIT ((size_t)1 << 30)
#define MBL_LOG_ROWS  ((size_t)10 * 1000 * 1000)

/* Fails with MBL_INPUT and the file's line for what cannot be read as a log. */
MBL_NODISCARD mbl_status mbl_log_parse(const mbl_alloc *alloc, const char *name, const char *bytes,
                                       size_t size, const mbl_log_wish *wish, mbl_log **out,
                                       mbl_error *err);
MBL_NODISCARD mbl_status mbl_log_read(const mbl_alloc *alloc, const char *path,
                                      const mbl_log_wish *wish, mbl_log **out, mbl_error *err);
void mbl_log_free(mbl_log *log);

#endif
