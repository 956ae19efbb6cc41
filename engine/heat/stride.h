/* SPDX-License-Identifier: MIT */
/*
 * The fast way through a stint: steps of a timeline instead of a fixed grid, some ten times longer
 * where nothing quick happens, and the slow nodes on steps of their own (docs/model.md, time
 * stepping). Runs the same model and block as mbl_block_run, whose results it approaches as its
 * steps shrink.
 */
#ifndef MBL_HEAT_STRIDE_H
#define MBL_HEAT_STRIDE_H

#include "heat/block.h"

/*
 * One step. Power is linear in it, so that the energy of the trace and its first moment are kept.
 * A macro step is a run of steps over which the slow nodes go in one; the first of it has
 * `macro_dt` > 0 and looks ahead to its end.
 */
typedef struct mbl_stride {
    double dt;     /* s */
    double v0, v1; /* m/s at its ends */
    double power;  /* W at the tyres of the whole car, mean */
    double slope;  /* W/s of it */
    double peak;   /* highest braking force within it over that of the means; below 1 counts as 1 */
    double macro_dt, macro_v1; /* s, m/s; 0 within a macro step */
    bool afresh; /* films are not carried on from the macro step before: the first of a leg */
} mbl_stride;

/*
 * Longest macro step a model bears, s: its slow nodes are stepped explicitly, so that none may lose
 * more than MBL_STRIDE_SHARE of its heat in one. 0 for a model that cannot go by strides and has to
 * be run by mbl_block_run: without the corners of mbl_corner_build, with sources, with a link of
 * the user's own within a chain of rotor and pad, or with a node of his own that is too quick.
 */
double mbl_model_macro(const mbl_model *model);

#define MBL_STRIDE_SHARE 0.2
#define MBL_STRIDE_MACRO 2.0 /* s, longest that is ever used */
#define MBL_STRIDE_LEAST 0.2 /* s, below which strides are not worth it */

/*
 * Runs steps [first, last); `time` is that of the first of them, s from the start of the inputs,
 * to which record->offset is added as in mbl_block_run. May be split between any two steps without
 * changing a bit. Needs mbl_model_macro above 0.
 */
void mbl_block_stride(mbl_block *block, const mbl_stride *steps, size_t first, size_t last,
                      double time, mbl_record *record);

#endif
