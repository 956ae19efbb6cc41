/* SPDX-License-Identifier: MIT */
/*
 * What a sweep keeps of a run: single numbers, called as scripts call them in a result
 * ("front.fluid.margin"). One table serves the rows of sweeps, their files and their ranking.
 */
#ifndef MBL_STUDY_GAUGE_H
#define MBL_STUDY_GAUGE_H

#include "study/run.h"

typedef enum mbl_better {
    MBL_BETTER_MORE,   /* margins, thickness left */
    MBL_BETTER_LESS,   /* temperatures, mass, money */
    MBL_BETTER_NEITHER /* shares, inputs */
} mbl_better;

typedef struct mbl_gauge {
    char name[48]; /* "front.rotor.core.peak" */
    mbl_quantity quantity;
    mbl_better better;
    bool usual; /* kept when a sweep does not say which */
    const char *about;
} mbl_gauge;

/* Gauges are in a fixed order, 0 .. count - 1. */
size_t mbl_gauge_count(void);
mbl_gauge mbl_gauge_at(size_t i);

/* By name, or mbl_gauge_count() when there is none. */
size_t mbl_gauge_find(const char *name);

/* SI, but levels in degrees Celsius, as scripts read them; NAN where the run has no such number. */
double mbl_gauge_read(size_t i, const mbl_run *run);

#endif
