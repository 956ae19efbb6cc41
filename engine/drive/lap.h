/* SPDX-License-Identifier: MIT */
/*
 * A lap of a layout by one car: quasi-steady, forward and backward under a limit of speed.
 *
 * At every place the tyres of each axle carry m v^2 kappa and what drives or brakes the car within
 * a circle of friction (mbl_tyre_grip of their load: sensitivity, transfer, downforce, grade and
 * bank included). The car is as fast as that lets it corner; from every slowest place it gains
 * speed with what power and driven tyres give, and reaches it with what tyres, pedal and brakes
 * can take. Sideways load transfer is not modelled: an axle is one tyre.
 */
#ifndef MBL_DRIVE_LAP_H
#define MBL_DRIVE_LAP_H

#include "brake/brake.h"
#include "road/layout.h"

/* What of the car's the driver uses, and how early the brakes go on. */
typedef struct mbl_driver {
    double corner; /* share of the sideways grip, 0.3 to 1: beside what is used sideways, an axle
                      has along the road the rest of an ellipse, not of a circle */
    double brake;  /* share of the force that tyres and brakes would give, 0.05 to 1 */
    double power;  /* share of the force that engine and tyres would give, 0.05 to 1 */
    double early;  /* m, 0 to 1000: a zone of braking L long without it is slowed through by
                      L / (L + early) of its deceleration. From a constant speed it then begins
                      that many metres earlier; after a pull, which is given up earlier, by less */
} mbl_driver;

/*
 * The brakes along the lap: friction of the pads, every effect but that of line pressure included,
 * linear between places. n = 0: brakes set no limit.
 */
typedef struct mbl_lap_brakes {
    size_t n;
    const double *s;       /* (n) m, rising */
    const double (*mu)[2]; /* (n) front, rear; above 0 */
    double pressure;       /* Pa, front: the most that leg, booster, stroke and cap give */
} mbl_lap_brakes;

typedef struct mbl_lap_ask {
    const mbl_car *car; /* needs tyre.grip; power or gearing where the course is closed */
    const mbl_layout *layout;
    mbl_driver driver;
    mbl_lap_brakes brakes;
    double mass;    /* kg, as it rolls */
    double density; /* kg/m3 of the air */
    double step;    /* m, the longest; 0: MBL_LAP_STEP. Stretches end on nodes */
} mbl_lap_ask;

#define MBL_LAP_STEP 2.0 /* m */

/* What holds the car back at a node. */
typedef enum mbl_lap_holds {
    MBL_HOLDS_CORNER, /* sideways grip */
    MBL_HOLDS_POWER,
    MBL_HOLDS_TRACTION,
    MBL_HOLDS_TYRES,  /* braking at the tyres' grip */
    MBL_HOLDS_BRAKES, /* braking at what pedal and brakes give */
    MBL_HOLDS_COUNT
} mbl_lap_holds;

/* One allocation. */
typedef struct mbl_path {
    const mbl_alloc *alloc;
    size_t bytes;
    size_t n;                      /* nodes */
    const double *s;               /* (n) m, s[0] = 0, s[n - 1] the length */
    const double *v;               /* (n) m/s */
    const double *t;               /* (n) s, t[0] = 0: between nodes the acceleration is constant */
    const double *grade;           /* (n - 1) rise over run after each node */
    const unsigned char *by;       /* (n - 1) mbl_lap_holds after each node */
    double time, top_speed;        /* s, m/s */
    double held[MBL_HOLDS_COUNT];  /* s spent held by each */
    double split[MBL_SPLITS_MOST]; /* s, at each split of the layout */
} mbl_path;

/*
 * Drives one lap: flying for a closed layout (its end joins its start), from and to rest for an
 * open one. Fails with MBL_INPUT where the car cannot drive it: no grip or power given, a climb
 * that its power or tyres do not take, brakes that do not slow it in time for a turn even from
 * walking pace.
 */
MBL_NODISCARD mbl_status mbl_lap_drive(const mbl_alloc *alloc, const mbl_lap_ask *ask,
                                       mbl_path **out, mbl_error *err);
void mbl_path_free(mbl_path *path); /* NULL is fine */

/*
 * Most acceleration (m/s2, positive) by power and driven tyres, and most deceleration (positive) by
 * all that slows it, at speed v on a place of curvature, grade, bank and surface as of `at`.
 * Continuous up to the speed at which the turn can be held; beyond it the pull may fall away at
 * once, as a car that stops pulling takes load off the axle that drives.
 */
double mbl_lap_pull(const mbl_lap_ask *ask, const mbl_stretch *at, double curvature, double v);
double mbl_lap_stop(const mbl_lap_ask *ask, const mbl_stretch *at, double curvature, double s,
                    double v);

#endif
