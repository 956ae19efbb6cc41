/* SPDX-License-Identifier: MIT */
/* What a logger makes of a layout that is driven at a known speed, lap after lap. */
#ifndef MBL_TESTS_LAYOUT_LOGGER_H
#define MBL_TESTS_LAYOUT_LOGGER_H

#include "road/road.h"

#include <stdint.h>

/* One lap: between nodes the acceleration is constant. Arrays are borrowed. */
typedef struct layout_drive {
    const mbl_layout *layout;
    size_t n;
    const double *s, *t, *v; /* (n) m, s, m/s */
} layout_drive;

enum { LOG_POSITIONS = 1, LOG_YAW = 2, LOG_LATERAL = 4, LOG_ALTITUDE = 8 };

/* Standard deviations of the noise; zero is a clean log without it. */
typedef struct layout_logger {
    double rate; /* Hz */
    size_t laps;
    unsigned columns;
    double speed;      /* m/s */
    double place;      /* m, east and north each */
    double yaw;        /* deg/s */
    double lateral;    /* g */
    double yaw_offset; /* deg/s, no noise: always there */
    size_t every;      /* rows for one fix; 0 means 1 */
    bool held;         /* the rows between repeat the last fix; else their cells are blank */
    size_t stray;      /* every so many rows a fix lies 80 m off; 0: none */
    uint64_t seed;
} layout_logger;

/* The course goes on where it ended: a gap between its end and its start is not jumped. */
void layout_log_write(const layout_drive *drive, const layout_logger *logger, mbl_text *out);

#endif
