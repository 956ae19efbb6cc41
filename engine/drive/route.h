/* SPDX-License-Identifier: MIT */
/*
 * A stint on its way: every leg of its plan cut into steps, once, for all cars that are driven
 * alike. Immutable when made; cars that differ in parts but not in what drives them share one.
 */
#ifndef MBL_DRIVE_ROUTE_H
#define MBL_DRIVE_ROUTE_H

#include "drive/plan.h"
#include "drive/timeline.h"

/* All that the steps of a leg depend on. */
typedef struct mbl_road {
    const mbl_trace *trace; /* borrowed */
    mbl_vehicle driver;     /* the car that made the trace */
    double pressure_scale;  /* m/s2 per Pa of its brakes; 0: braking is inferred from speed */
    mbl_vehicle car;        /* this car, without fuel */
    double full;            /* kg of it with the fuel it starts with: steps are cut for that */
    mbl_mode mode;          /* reference when it does not stride, whatever was asked for */
    double step;            /* s, of the samples on track */
    mbl_parking parking;    /* and how they grow from that while parked */
    mbl_kin kin;            /* of its brakes, where they stride; else zeros */
} mbl_road;

/* By a timeline, or sample by sample? */
static inline bool mbl_road_strides(const mbl_road *road)
{
    return road->mode != MBL_MODE_REFERENCE;
}

/* How steps grow while parked: nothing is quick there, and the fixed-grid kernel is L-stable. */
mbl_parking mbl_road_parking(mbl_mode mode);

/*
 * The road of a case, for a model of its brakes. `step` 0: by a timeline in the mode of the case,
 * where the model can; else a fixed grid of that many seconds.
 */
MBL_NODISCARD mbl_status mbl_road_of(const mbl_alloc *alloc, const mbl_case *setup, double step,
                                     const mbl_model *model, mbl_road *out, mbl_error *err);

/* One leg, driven by a car of `mass`. */
typedef struct mbl_route_leg {
    mbl_leg leg;
    double mass;                                                            /* kg, fuel included */
    double duration;                                                        /* s */
    double energy, inferred, braking_time, top_speed, hardest_deceleration; /* see mbl_leg_report */
    size_t n;
    const mbl_stride *stride; /* (n), or NULL: a fixed grid */
    const double *time;       /* (n + 1) s */
    const double *speed;      /* (n + 1) m/s */
    const double *power;      /* (n) W */
    size_t hard;              /* step in which the first hard stop begins; n without one */
} mbl_route_leg;

/* Deceleration by the brakes from which a stop counts as hard, m/s2 (common practice, no source).
 */
#define MBL_HARD_STOP 5.0

/* Cuts legs one at a time into room of its own. */
typedef struct mbl_survey mbl_survey;

MBL_NODISCARD mbl_status mbl_survey_make(const mbl_alloc *alloc, const mbl_road *road,
                                         mbl_survey **out, mbl_error *err);
void mbl_survey_free(mbl_survey *survey);

/* The arrays of `out` are the survey's, until its next leg. */
MBL_NODISCARD mbl_status mbl_survey_leg(mbl_survey *survey, const mbl_leg *leg, double mass,
                                        mbl_route_leg *out, mbl_error *err);

typedef struct mbl_route {
    const mbl_alloc *alloc;
    unsigned refs; /* one thread */
    mbl_road road;
    mbl_plan plan;
    mbl_route_leg *leg;        /* (plan.n) with the fuel of a car that starts with `fuel` */
    double fuel, fuel_per_lap; /* kg */
    void **owned;              /* (plan.n) arrays of a leg; NULL where an earlier leg has them */
    size_t *bytes;
} mbl_route;

/* The route of a case on its road. Borrows the trace. */
MBL_NODISCARD mbl_status mbl_route_make(const mbl_alloc *alloc, const mbl_case *setup,
                                        const mbl_road *road, mbl_route **out, mbl_error *err);
mbl_route *mbl_route_keep(mbl_route *route);
void mbl_route_drop(mbl_route *route);

/* Fuel after a leg that began with `fuel`, kg. */
double mbl_route_burn(double fuel, double per_lap, const mbl_leg *leg);

/*
 * All that a route depends on, as one number of 128 bits: cases of equal digest share a route.
 */
mbl_digest mbl_route_digest(const mbl_case *setup, const mbl_road *road);

#endif
