/* SPDX-License-Identifier: MIT */
/*
 * The steps of a leg: short where the skins of rotor and pad move quickly, long elsewhere. A pilot
 * is driven over the samples of the leg first; a step is as long as leaves one step of it from
 * there as good as its many short ones. Made from the samples and from rounded constants of the
 * car, never from a lane's neighbours, so a result does not depend on what runs beside it.
 */
#ifndef MBL_DRIVE_TIMELINE_H
#define MBL_DRIVE_TIMELINE_H

#include "heat/heat.h"
#include "road/channels.h"

/* How finely time is cut. */
typedef enum mbl_mode {
    MBL_MODE_DEFAULT,
    MBL_MODE_FINE,
    MBL_MODE_SCREENING, /* long steps in single precision: to tell what is worth a second look */
    MBL_MODE_REFERENCE  /* a fixed fine grid, for tests; also what models do that cannot stride */
} mbl_mode;

const char *mbl_mode_word(mbl_mode mode);    /* "default" */
const char *mbl_mode_promise(mbl_mode mode); /* what it is worth, in a sentence */

/* Samples of the channels a timeline is made from, s: the longest there are. */
#define MBL_TIMELINE_SAMPLE 0.025

/* The same for cars of this kin, of `mass` (kg): a thin pad's face follows every sample. The fine
 * mode has half of it: no step is shorter than a sample, and under noise one may be too long. */
double mbl_timeline_sample(mbl_mode mode, const mbl_kin *kin, double mass);

/*
 * Where steps begin, as numbers of samples, with MBL_CUT_MACRO where a macro step begins, too; last
 * the end. A plan of one leg serves others of the same samples.
 */
typedef struct mbl_cuts {
    size_t n;
    unsigned *at; /* (n + 1) */
} mbl_cuts;
#define MBL_CUT_MACRO 0x80000000u

/* Doubles of scratch that the two functions below need for a leg of n samples. */
size_t mbl_timeline_scratch(size_t n);

/*
 * Finds the cuts of `fine` for cars of this kin; cuts->at has room for fine->n + 1. `scratch` as
 * above, for this call only.
 */
void mbl_timeline_plan(const mbl_channels *fine, mbl_mode mode, const mbl_kin *kin, double *scratch,
                       mbl_cuts *cuts);

/*
 * Joins samples between cuts to strides, cuts->n of them: power in a step keeps energy and first
 * moment of its samples. The cuts may have been made for other samples of the same times, as of a
 * lap with less fuel; false when the brakes go on or off within a step of them: plan anew.
 */
bool mbl_timeline_fit(const mbl_channels *fine, const mbl_cuts *cuts, double *scratch,
                      mbl_stride *out);

#endif
