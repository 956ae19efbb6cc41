/* SPDX-License-Identifier: MIT */
/*
 * A stint spelt out: which stretch of the trace is driven when, at which pace, and when the car
 * stands. Short form, ordered list and logged session all end here, as legs.
 */
#ifndef MBL_DRIVE_PLAN_H
#define MBL_DRIVE_PLAN_H

#include "num/num.h"
#include "parts/parts.h"
#include "road/road.h"

typedef enum mbl_leg_kind {
    MBL_LEG_LAP,  /* a stretch of the trace */
    MBL_LEG_STOP, /* from pit speed to rest, before parking */
    MBL_LEG_PARK  /* standing */
} mbl_leg_kind;

typedef struct mbl_leg {
    mbl_leg_kind kind;
    mbl_phase_kind phase; /* what people call it: out, hot, in, park */
    int lap;              /* LAP: 1, 2, 3 ... through the stint; else the lap before */
    double start, end;    /* s, stretch of the trace (LAP) */
    double pace;          /* LAP */
    double duration;      /* s, PARK; LAP: (end - start) / pace */
    double speed;         /* m/s, STOP: where it starts */
} mbl_leg;

typedef struct mbl_plan {
    const mbl_alloc *alloc;
    size_t n;
    mbl_leg *leg;     /* (n) */
    mbl_lap repeated; /* the lap of the trace that is repeated */
    int laps;         /* laps driven */
    int hot_laps;     /* of them hot */
    size_t last_hot;  /* leg of the last hot (or logged) lap; n when there is none */
} mbl_plan;

/* Comfortable braking in the pit lane, m/s2 (common practice, no source). */
#define MBL_PIT_DECELERATION 3.0

/*
 * Fails when the trace has not the lap asked for. The trace is borrowed only for the call. Free
 * with mbl_plan_free.
 */
MBL_NODISCARD mbl_status mbl_plan_make(const mbl_alloc *alloc, const mbl_stint *stint, int hot_lap,
                                       const mbl_trace *trace, mbl_plan *plan, mbl_error *err);
void mbl_plan_free(mbl_plan *plan);

/* Does the car stand in this leg: parked, or a stop in the pits of a logged session? */
static inline bool mbl_leg_stands(const mbl_leg *leg)
{
    return leg->kind == MBL_LEG_PARK || (leg->kind == MBL_LEG_LAP && leg->phase == MBL_PHASE_PARK);
}

/* Is it the same stretch at the same pace, so that samples of both lie at the same times? */
static inline bool mbl_leg_same(const mbl_leg *a, const mbl_leg *b)
{
    return a->kind == b->kind && a->start == b->start && a->end == b->end && a->pace == b->pace &&
           a->speed == b->speed && a->duration == b->duration;
}

/* Pace of a kind of lap where the phase names none. */
double mbl_plan_pace(const mbl_stint *stint, mbl_phase_kind kind);

#endif
