/* SPDX-License-Identifier: MIT */
/* What each mode allows a step. Private to the timeline. */
#ifndef MBL_DRIVE_TIMELINE_RULE_H
#define MBL_DRIVE_TIMELINE_RULE_H

#include "drive/timeline.h"

/* In kelvin of the pilot; docs/model.md, section 9. */
typedef struct mbl_timeline_rule {
    double face;    /* K that a step may be off at the faces of rotor and pad */
    double bow;     /* K that a place may stand above both ends of a step: a peak that is missed */
    double deep;    /* K elsewhere in the chains, where an error stays */
    double rough;   /* K that its fit of the power may be ahead or behind within it */
    double warms;   /* K that a pad's face may change by while it rubs: friction is taken twice */
    double slips;   /* share that its friction may change by with that */
    double ramp;    /* change of the power in a step, over its mean: the contact is taken twice */
    size_t contact; /* single samples after the brakes went on */
    double longest; /* s */
    double bends;   /* m/s that speed may leave a straight line by in a step */
    double swing;   /* K that a rotor may change by in a macro step */
    double gains;   /* m/s that speed may change by in it: films go straight, as if by speed */
    double veer;    /* m/s that speed may leave a straight line by in it */
    double macro;   /* s, longest macro step */
    double apart;   /* s within which the hottest moments of an application count as one */
    double stretch; /* the same over what the model bears with its errors small: mbl_model_macro */
    double grow; /* how fast steps grow from where a lap begins and brakes go on or off; usual: 1 */
} mbl_timeline_rule;

/*
 * The rule for a kin whose quickest pad's face follows its rotor within `tau` seconds, and whose
 * friction changes by up to `steep` of itself in a kelvin. The pilot knows nothing of friction that
 * turns with temperature, nor of wear, and both move a thin pad more than it shows: such a kin is
 * held closer.
 */
mbl_timeline_rule mbl_timeline_rule_for(mbl_mode mode, double tau, double steep);

#endif
