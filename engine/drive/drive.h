/* SPDX-License-Identifier: MIT */
/*
 * Cars on their stint: one block of lanes driven leg by leg along one route. Everything that
 * changes between laps (fuel, worn pads) changes at the boundary in front of a leg; inside a leg
 * only the kernel runs.
 */
#ifndef MBL_DRIVE_H
#define MBL_DRIVE_H

#include "drive/route.h"

/* Step of the fixed grid on track, s; parked, steps grow from it. */
#define MBL_REFERENCE_STEP 0.025

/*
 * Called with the state of lane 0 at each multiple of `every` seconds, T in the order of the
 * model's nodes: between the ends of steps by the cubic through both with their slopes.
 */
typedef struct mbl_history {
    double every; /* s */
    double next;  /* s, when the next row is due; 0 before the first leg */
    void *ctx;
    void (*row)(void *ctx, double t, const mbl_leg *leg, double speed, double power,
                double pressure, const double *T);
} mbl_history;

typedef struct mbl_drive {
    const mbl_alloc *alloc;
    int used;                              /* lanes */
    const mbl_case *setup[MBL_LANES_MOST]; /* borrowed; must outlive the drive */
    mbl_route *route;                      /* one reference */
    mbl_survey *survey;                    /* for legs that are not on the route; NULL so far */
    mbl_model *model;                      /* of lane 0; one reference */
    mbl_block *block;
    size_t at;      /* leg of the route that is likely next */
    double *memory; /* of the record, and of what follows */
    double *crept;  /* (nodes) K that slow ones have in a macro step under way; history's own */
    size_t memory_size;
    mbl_record record;            /* of the leg at hand */
    mbl_span gradient[MBL_AXLES]; /* of the leg at hand: rubbed face above core */
    mbl_hardest hardest;          /* of the leg at hand */

    /* state that is not in the block, owned by the lap boundary */
    double now;  /* s since the start of the stint */
    double fuel; /* kg */
} mbl_drive;

/* One application of the brakes, at one instant. */
typedef struct mbl_application {
    double pressure;      /* Pa, of the system (front); 0: the brakes were not used */
    double at;            /* s since the start of the stint */
    double speed;         /* m/s */
    double force;         /* N, of all brakes at the tyres */
    double mu[MBL_AXLES]; /* of the pads, every effect included */
} mbl_application;

/* What a leg did; peaks are in the record of the drive until the next leg. */
typedef struct mbl_leg_report {
    double start;        /* s since the start of the stint */
    double duration;     /* s */
    double energy;       /* J, braking energy of the whole car */
    double inferred;     /* J of it inferred from speed, not measured by line pressure */
    double braking_time; /* s */
    double top_speed;    /* m/s */
    /* K, pad faces of each axle as the first hard stop of the leg begins; NAN without one */
    double first_stop[MBL_AXLES];
    double mass;                 /* kg, of the car in this leg */
    double pad_left[MBL_AXLES];  /* m of friction material as it ends */
    double shortfall;            /* J that a cap on line pressure left undone */
    mbl_application hardest;     /* the one of the highest line pressure */
    double hardest_deceleration; /* m/s2, all that slows the car, at the highest deceleration */
} mbl_leg_report;

/*
 * Compiles a case whose course has its trace, and drives it alone. `step` as in mbl_road_of.
 * Watches are the caller's and are updated leg by leg (each leg clears them first). Film laws come
 * from `films` and are kept there; NULL for no store. Free with mbl_drive_free.
 */
MBL_NODISCARD mbl_status mbl_drive_make(const mbl_alloc *alloc, const mbl_case *setup, double step,
                                        mbl_watch *watch, int nwatches, mbl_film_store *films,
                                        mbl_drive **out, mbl_error *err);

/* The model of a case's car, in its stint's air. */
MBL_NODISCARD mbl_status mbl_drive_compile(const mbl_alloc *alloc, const mbl_case *setup,
                                           mbl_film_store *films, mbl_model **out, mbl_error *err);

/*
 * `used` cases side by side on one route that all of them share (equal mbl_route_digest), with
 * models of one shape. Takes references to models and route.
 */
MBL_NODISCARD mbl_status mbl_drive_lanes(const mbl_alloc *alloc, int used,
                                         const mbl_case *const setup[], mbl_model *const model[],
                                         mbl_route *route, mbl_watch *watch, int nwatches,
                                         mbl_drive **out, mbl_error *err);
void mbl_drive_free(mbl_drive *drive);

/* From here on along another route, for the same cars as they are. Takes a reference. */
void mbl_drive_onto(mbl_drive *drive, mbl_route *route);

/*
 * Drives one leg, of the route or not, from where the cars are. history may be NULL. `report` is
 * (used). Fails with MBL_NUMERIC when a temperature is no longer finite.
 */
MBL_NODISCARD mbl_status mbl_drive_leg(mbl_drive *drive, const mbl_leg *leg, mbl_history *history,
                                       mbl_leg_report *report, mbl_error *err);

/* Are all temperatures of a lane finite? */
bool mbl_drive_finite(const mbl_drive *drive, int lane);

/* Caps the line pressure (Pa) from here on; MBL_NO_CAP for none. What is left undone is in the
 * reports. */
void mbl_drive_cap(mbl_drive *drive, int lane, double pressure);

/* State of lane 0 between legs, to try what comes after and return. */
size_t mbl_drive_state_size(const mbl_drive *drive); /* doubles */
void mbl_drive_save(const mbl_drive *drive, double *state);
void mbl_drive_load(mbl_drive *drive, const double *state);

#endif
