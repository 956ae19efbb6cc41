/* SPDX-License-Identifier: MIT */
/*
 * A car driven round an invented course at 1 kHz, with the braking force known at every
 * instant: the truth that what is inferred from a log of the drive is held against.
 *
 * The driver of the model: full power up to the grip of the tyres, a short lift before each
 * braking point, the brakes brought on along a ramp, held at a deceleration that wavers a little,
 * let off along another ramp that ends at the speed of the corner, then part throttle to the end
 * of the corner. Nothing here calls the engine; only its vehicle struct is borrowed.
 */
#ifndef MBL_TESTS_DRIVE_H
#define MBL_TESTS_DRIVE_H

#include "base/base.h"
#include "road/channels.h"

#include <stdint.h>

enum { DRIVE_CORNERS = 16, DRIVE_HILLS = 3, DRIVE_LAPS = 32 };

typedef struct drive_corner {
    double straight; /* m from the end of the corner before (or the line) to the corner */
    double speed;    /* m/s in the corner */
    double length;   /* m of corner */
} drive_corner;

/* Height of the road: the sum of height * sin(2 pi (waves * s / lap + phase)), m. */
typedef struct drive_hill {
    double height;
    int waves; /* whole waves in a lap, so that the lap closes */
    double phase;
} drive_hill;

typedef struct drive_course {
    const char *name;
    size_t corners;
    drive_corner corner[DRIVE_CORNERS];
    double run_in; /* m from the end of the last corner to the line */
    drive_hill hill[DRIVE_HILLS];
} drive_course;

typedef struct drive_car {
    mbl_vehicle body;
    double power;        /* W at the tyres */
    double grip;         /* m/s2 the drive can use */
    double deceleration; /* m/s2 with the brakes full on */
} drive_car;

typedef struct drive_plan {
    uint64_t seed;
    size_t laps;
    double
        pace[DRIVE_LAPS]; /* of each lap: times the corner speeds; power, braking by its square */
    double variation;     /* share by which corner speeds and braking vary from lap to lap */
    double last;          /* share of the last lap that is driven */
} drive_plan;

/* One drive, a sample every millisecond. Free with drive_free. */
typedef struct drive_session {
    const drive_course *course;
    double lap_length; /* m */
    size_t laps;
    size_t n;
    size_t room;
    double *v;                       /* (n) m/s */
    double *s;                       /* (n) m from the start of the session */
    double *force;                   /* (n) N of braking until the next sample */
    unsigned char *lap;              /* (n) from 0 */
    double energy[DRIVE_LAPS];       /* J: braking force times speed, summed */
    double braking_time[DRIVE_LAPS]; /* s */
    double lap_time[DRIVE_LAPS];     /* s */
    double total;                    /* J */
} drive_session;

/* What a logger makes of it. Zero is a clean 20 Hz log in m/s. */
typedef struct drive_format {
    double rate;      /* Hz; 0 means 20 */
    double noise;     /* m/s, standard deviation, on speed */
    double step;      /* steps of the logged speed, in its unit; 0 for none */
    const char *unit; /* "km/h", "mph", "m/s"; NULL means m/s */
    char delimiter;   /* 0 means a comma */
    int header;       /* 0: names then units; 1: "Speed [km/h]"; 2: "Speed (km/h)"; 3: names only */
    int decimals;     /* of the speed; 0 means 4 */
    bool lap;         /* a lap column, laps numbered from 0 */
    bool distance;    /* a distance column that starts again each lap */
    bool altitude;    /* an altitude column, rounded to 0.1 m */
    bool quoted;      /* every cell in quotes */
    bool crlf;
    uint64_t seed;
} drive_format;

/* Aborts the program when memory runs out, as a test may. */
void drive_run(const drive_course *course, const drive_car *car, const drive_plan *plan,
               drive_session *out);
void drive_free(drive_session *session);
void drive_write(const drive_session *session, const drive_format *format, mbl_text *out);

/* Road height and slope at s metres from the line. */
double drive_height(const drive_course *course, double s);
double drive_grade(const drive_course *course, double s);
double drive_length(const drive_course *course);

/* An out-lap, hot laps, an in-lap. */
drive_plan drive_stint(size_t hot, uint64_t seed);

/* A car of our own invention: 1420 kg, 260 kW. */
drive_car drive_coupe(void);

/* Courses of our own invention. */
extern const drive_course drive_harrow_vale;  /* 3.4 km, mixed, two big stops */
extern const drive_course drive_long_mead;    /* fast and flowing */
extern const drive_course drive_cold_quay;    /* stop and go */
extern const drive_course drive_kestrel_rise; /* hilly */

/* A course drawn at random, for tests that must not know the course. */
drive_course drive_any_course(uint64_t seed);

/* splitmix64 (Steele, Lea, Flood 2014), and from it [0, 1) and a normal deviate. */
uint64_t drive_random(uint64_t *state);
double drive_uniform(uint64_t *state);
double drive_normal(uint64_t *state);

#endif
