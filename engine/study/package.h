/* SPDX-License-Identifier: MIT */
/*
 * The half of a brake package that is not heat, read off a stint that was driven: pedal, balance,
 * life. SI; NAN where what it needs was not given.
 */
#ifndef MBL_STUDY_PACKAGE_H
#define MBL_STUDY_PACKAGE_H

#include "drive/drive.h"

/* What the foot felt. Without a pedal only pressures are known. */
typedef struct mbl_pedal_result {
    mbl_application hardest;    /* the one of the highest line pressure, of the whole stint */
    int lap;                    /* it fell in; 0 when the brakes were not used */
    double pressure[MBL_AXLES]; /* Pa, of each axle at it */
    double effort;              /* N, at it */
    double run_out;             /* N, from which the booster helps no more; INFINITY without one */
    double reaches;     /* Pa of front pressure: all that effort_limit or the strokes give */
    mbl_travel travel;  /* at it; with knock-back where pedal.knock_back says so */
    double with_vapour; /* share of a master's stroke it would use with the vapour of fluid that
                           boiled; travel.used where none did */
    double knock_back;  /* m of the travel at the pad: of pads knocked back as pedal.knock_back says
                           (it is in `travel`), or that MBL_KNOCK_BACK would add (it is not) */
    double panic[MBL_AXLES];  /* Pa at limits.panic */
    double rating[MBL_AXLES]; /* Pa, that hose, master and caliper bear */
    double shortfall;         /* J of braking left undone when pressure stops at `reaches` */
    int shortfall_lap;        /* the first lap it happens in; 0: never */
} mbl_pedal_result;

#define MBL_KNOCK_BACK 3e-4 /* m each pad; 0.1 to 0.5 mm is seen (trade articles) */

/* Who locks first, over all hot laps, cold and hot pads, full and empty tank, dry to wet. */
typedef struct mbl_balance_result {
    bool known;    /* false without tyre.grip: then only front, ideal and asked hold */
    double asked;  /* m/s2, highest deceleration of the stint */
    int lap;       /* it fell in */
    double front;  /* front share of the braking force at the hardest application */
    double ideal;  /* and the ideal one */
    double grip;   /* m/s2 to be had at it: see mbl_grip_limit; least of all hot laps */
    mbl_lock lock; /* at it */
    double ahead;  /* least by which the front share exceeds the ideal one at the first lock */
    double ahead_mu[MBL_AXLES]; /* friction of the pads there */
    double ahead_grip;          /* share of the tyres' grip there: below 1 stands for wet */
    int ahead_lap;              /* lap that the state is from; 0: cold pads at the start */
    double bite;                /* see mbl_bite; least of all hot laps */
    double turns; /* of the bar towards the front that put the front 3 points ahead of ideal, in
                     every one of those states; NAN without a bar */
} mbl_balance_result;

#define MBL_PAD_SHORT 1e-3 /* m */

/* What a wheel's brake has left. Per session is per stint as driven. */
typedef struct mbl_life_result {
    double pad_session;      /* m of friction material a stint takes off each pad */
    double pad_now, pad_end; /* m of it before and after the stint, at least 0 */
    double pad_event; /* m after the event; negative when a set does not last it, and then at least
                         -MBL_PAD_SHORT: more than all of it is no more than all */
    double pad_sessions;   /* sessions until worn_at, from now; INFINITY without wear */
    int pad_sets;          /* sets of pads used up or begun by the event, at least 1 */
    double rotor_session;  /* m of thickness a stint takes */
    double rotor_event;    /* m of thickness after the event */
    double rotor_sessions; /* until the minimum; INFINITY without minimum or wear */
    int rotor_sets;        /* 1, or more when one does not last the event */
    double cycles;         /* applications in which the skin flowed, this stint */
    double crack;          /* sum of mbl_crack_weight: ranks rotors and duties, no life */
    double stress;         /* Pa, of a held skin at the widest gradient */
} mbl_life_result;

#endif
