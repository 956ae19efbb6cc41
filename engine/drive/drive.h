/* SPDX-License-Identifier: MIT */
/*
 * A car on its stint: one case compiled, and driven leg by leg. Everything that changes between
 * laps (fuel, and with it the channels) changes at the boundary in front of a leg; inside a leg
 * only the kernel runs.
 */
#ifndef MBL_DRIVE_H
#define MBL_DRIVE_H

#include "drive/plan.h"
#include "drive/timeline.h"
#include "heat/heat.h"

/* Step of the fixed grid on track, s; parked, steps grow from it. */
#define MBL_REFERENCE_STEP 0.025

/*
 * Called with the state at each multiple of `every` seconds, T in the order of the model's nodes:
 * between the ends of strides by the cubic through both with their slopes, on a fixed grid at the
 * first step at or after it.
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
    const mbl_case *setup;  /* borrowed; must outlive the drive */
    const mbl_trace *trace; /* borrowed from the case */
    mbl_plan plan;
    mbl_vehicle driver;    /* the car that made the trace */
    double pressure_scale; /* m/s2 per Pa of its brakes; 0: braking is inferred from speed */
    mbl_vehicle car;       /* this car; its mass is that of the lap at hand */
    double step;           /* s, of the samples of the channels */
    bool strides;          /* by a timeline; else sample by sample */
    mbl_mode mode;
    mbl_model *model;
    mbl_block *block;
    mbl_channels channels; /* of the leg at hand */
    mbl_stride *stride;    /* (room) of the leg at hand */
    size_t nstrides;
    mbl_leg planned;     /* the leg they were made for, and the mass */
    double planned_mass; /* kg; 0: none yet */
    double *memory;      /* of channels and record */
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

/* Deceleration by the brakes from which a stop counts as hard, m/s2 (common practice, no source).
 */
#define MBL_HARD_STOP 5.0

/*
 * Compiles a case whose course has its trace. `step` 0: by a timeline in the mode of the case,
 * where its model can; else a fixed grid of that many seconds, at most 1. Watches are the caller's
 * and are updated leg by leg (each leg clears them first). Film laws come from `films` and are kept
 * there; NULL for no store. Free with mbl_drive_free.
 */
MBL_NODISCARD mbl_status mbl_drive_make(const mbl_alloc *alloc, const mbl_case *setup, double step,
                                        mbl_watch *watch, int nwatches, mbl_film_store *films,
                                        mbl_drive **out, mbl_error *err);
void mbl_drive_free(mbl_drive *drive);

/*
 * Drives one leg from where the car is. history may be NULL. Fails with MBL_NUMERIC when a
 * temperature is no longer finite.
 */
MBL_NODISCARD mbl_status mbl_drive_leg(mbl_drive *drive, const mbl_leg *leg, mbl_history *history,
                                       mbl_leg_report *report, mbl_error *err);

/* Caps the line pressure (Pa) from here on; MBL_NO_CAP for none. What is left undone is in the
 * reports. */
void mbl_drive_cap(mbl_drive *drive, double pressure);

/* State of the drive between legs, to try what comes after and return. */
size_t mbl_drive_state_size(const mbl_drive *drive); /* doubles */
void mbl_drive_save(const mbl_drive *drive, double *state);
void mbl_drive_load(mbl_drive *drive, const double *state);

#endif
