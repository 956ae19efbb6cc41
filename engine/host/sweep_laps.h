/* SPDX-License-Identifier: MIT */
/*
 * Laps of a layout for the rows of a sweep. Each is worked out once, however many rows drive it,
 * and kept until the sweep ends. Private to `host`.
 */
#ifndef MBL_HOST_SWEEP_LAPS_H
#define MBL_HOST_SWEEP_LAPS_H

#include "host/context.h"

typedef struct mbl_sweep_laps {
    mbl_host *host;
    bool relap; /* every row its own; else all of them that of the first row's car */
    bool based; /* the first row's car is known */
    mbl_car base;
    size_t n, room;
    struct mbl_sweep_lap *lap; /* (room) */
} mbl_sweep_laps;

/* Takes the car of the first row of the whole sweep. */
void mbl_sweep_laps_base(mbl_sweep_laps *laps, const mbl_case *first);

/*
 * Gives a case on a layout a lap to repeat; leaves one with a trace alone. By the car of course.of
 * where there is one. The trace is kept by `laps`.
 */
MBL_NODISCARD mbl_status mbl_sweep_laps_find(mbl_sweep_laps *laps, mbl_case *setup, mbl_error *err);

/* Says on standard error whose laps were driven; nothing where all rows have a log. */
void mbl_sweep_laps_tell(const mbl_sweep_laps *laps);
void mbl_sweep_laps_free(mbl_sweep_laps *laps);

#endif
