/* SPDX-License-Identifier: MIT */
/*
 * Which parts go together. What a part does not say is not tested. Dimensions in m; NAN and ""
 * mean that nothing is known.
 */
#ifndef MBL_STUDY_FITS_H
#define MBL_STUDY_FITS_H

#include "study/slots.h"

#include "heat/heat.h"

enum { MBL_SHAPE = 24 };

/* What a part says of its neighbours. */
typedef struct mbl_fits {
    double diameter[2];  /* rotors that a caliper takes, least and greatest */
    double thickness[2]; /* */
    double stack;        /* how far a caliper stands out over the edge of its rotor */
    char pad[MBL_SHAPE]; /* shape of a pad, and of the pads that a caliper takes */
} mbl_fits;

/* What the car says. */
typedef struct mbl_room {
    double wheel[MBL_AXLES]; /* inside diameter of the wheel where the caliper is */
    double ratio[2];         /* piston area of a caliper's side over that of its master's bore */
} mbl_room;

typedef enum mbl_misfit {
    MBL_FITS,
    MBL_MISFIT_DIAMETER,
    MBL_MISFIT_THICKNESS,
    MBL_MISFIT_WHEEL,
    MBL_MISFIT_SHAPE,
    MBL_MISFIT_RATIO,
    MBL_MISFIT_RULES, /* a rule of brake, pedal or car that no such car keeps */
    MBL_MISFIT_ASKED, /* the user's own rule */
    MBL_MISFITS
} mbl_misfit;

/* The rule in words: "the pad has another shape than the caliper takes". */
const char *mbl_misfit_text(mbl_misfit misfit);

/* What every slot of a car says of its neighbours. */
typedef struct mbl_fits_of {
    const mbl_fits *of[MBL_SLOT_KINDS]; /* NULL: nothing */
} mbl_fits_of;

/* The first rule that a car breaks, in the order of the enum. */
mbl_misfit mbl_fits_check(const mbl_car *car, const mbl_fits_of *fits, const mbl_room *room);

#endif
