/* SPDX-License-Identifier: MIT */
/*
 * The steps of a leg, made from its channels alone: short where the skins of rotor and pad move
 * quickly (after brakes go on or off, and where braking is rough), long elsewhere. Never made from
 * a lane's neighbours, so a result does not depend on what runs beside it.
 */
#ifndef MBL_DRIVE_TIMELINE_H
#define MBL_DRIVE_TIMELINE_H

#include "heat/heat.h"
#include "road/channels.h"

/* How finely time is cut. */
typedef enum mbl_mode {
    MBL_MODE_DEFAULT,
    MBL_MODE_FINE,
    MBL_MODE_REFERENCE /* a fixed fine grid, for tests; also what models do that cannot stride */
} mbl_mode;

const char *mbl_mode_word(mbl_mode mode);    /* "default" */
const char *mbl_mode_promise(mbl_mode mode); /* what it is worth, in a sentence */

/* Samples of the channels a timeline is made from, s. */
#define MBL_TIMELINE_SAMPLE 0.025

/*
 * Joins whole samples of `fine` to strides, at most fine->n of them, and returns how many. Steps
 * end where the brakes go on or off; power in a step keeps energy and first moment of its samples,
 * and no step is longer than what keeps its fit within a small part of the heat that moves the
 * lightest face by a kelvin (`skin`: see below). `macro` is the longest macro step of the model; no
 * step is longer.
 */
size_t mbl_timeline_make(const mbl_channels *fine, mbl_mode mode, double macro, double skin,
                         mbl_stride *out);

/* Heat of rubbing that moves the lightest face of a wheel, rotor's or pad's, by a kelvin, J/K. */
double mbl_timeline_skin(const mbl_model *model);

#endif
