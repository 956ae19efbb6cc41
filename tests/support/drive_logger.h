/* SPDX-License-Identifier: MIT */
/*
 * What loggers of all kinds make of one drive: the shapes of their files, the ways they write
 * time, and what goes wrong with them. drive.h has the drive and the plain file.
 */
#ifndef MBL_TESTS_DRIVE_LOGGER_H
#define MBL_TESTS_DRIVE_LOGGER_H

#include "support/drive.h"

typedef enum drive_shape {
    DRIVE_WIDE,     /* names, then a row of units; rows of numbers */
    DRIVE_NAMES,    /* names with units in brackets; rows of numbers */
    DRIVE_TALL,     /* time, name, value */
    DRIVE_SECTIONS, /* sections in square brackets, hhmmss.ss, positions in arc minutes */
    DRIVE_SPARSE, /* "name"|"unit"|min|max|rate; pressure, altitude and lap at rates of their own */
    DRIVE_GPX
} drive_shape;

typedef enum drive_clock { DRIVE_SECONDS, DRIVE_MS, DRIVE_HMS, DRIVE_UNIX_MS } drive_clock;

/* Zero is a clean 20 Hz wide file of time and speed. */
typedef struct drive_logger {
    drive_shape shape;
    drive_clock clock;  /* of WIDE and NAMES */
    double rate;        /* Hz; 0 means 20 */
    double noise;       /* m/s on speed */
    double step;        /* km/h, steps of the speed; 0: 0.01 */
    double sensor;      /* Hz of a slow sensor that a fast logger repeats; 0: as the logger */
    bool decimal_comma; /* with semicolons between the columns */
    bool no_speed;      /* the file has no speed */
    bool lap;
    bool distance;        /* from the line, starts again each lap */
    double distance_step; /* m; 0: 0.1 */
    bool altitude;
    bool position; /* round a circle as long as the course */
    bool pressure; /* bar, front */

    /* what goes wrong */
    double drop;   /* share of rows that are missing */
    double block;  /* s: the clock of the stamps moves on in steps of this */
    double burst;  /* s: rows are stamped when they are sent, this often; 1 ms apart */
    double frozen; /* s at the beginning, and as much at the end, of a speed that stands still */
    double frozen_lap;   /* s, half way round each lap */
    bool spike;          /* one each lap */
    double gap;          /* s of each lap that are missing, elsewhere on every one */
    bool lap_clock;      /* time starts again each lap */
    double swap;         /* share of rows that change places with the next */
    double offset;       /* bar, resting level of the pressure */
    double sensor_noise; /* bar */
    uint64_t seed;
} drive_logger;

/* Pa of front line pressure in the car of drive.h for each newton of braking: 70 bar at 1 g. */
#define DRIVE_PASCAL_PER_NEWTON 480.0

void drive_log(const drive_session *session, const drive_logger *logger, mbl_text *out);

/*
 * Makes the drive end as drives do: rolls to rest at 3 m/s2 and stands for `standing` s with a
 * foot on the pedal. What the brakes take counts to the last lap.
 */
void drive_stop(drive_session *session, const drive_car *car, double standing);

/* Degrees north and east at s metres from the line. */
double drive_latitude(const drive_session *session, double s);
double drive_longitude(const drive_session *session, double s);

#endif
