/* SPDX-License-Identifier: MIT */
/*
 * Mass and money of a package, and of what an event uses up. Money is in whatever the user
 * counts; 0 where no price was given.
 */
#ifndef MBL_STUDY_BILL_H
#define MBL_STUDY_BILL_H

#include "study/package.h"

typedef struct mbl_weights {
    double rotor[MBL_AXLES], pads[MBL_AXLES], caliper[MBL_AXLES]; /* kg, one wheel */
    double duct[MBL_AXLES];
    double unsprung;            /* kg, all four wheels' brakes */
    double inertia;             /* kg m2, all four rotors */
    double equivalent;          /* kg that their turning adds */
    double ring_off[MBL_AXLES]; /* ring mass given over that from geometry, minus 1 */
} mbl_weights;

typedef struct mbl_bill {
    double parts;  /* the package: rotors, pads, calipers, ducts, masters, fluid of a bleed */
    double labour; /* to fit all of it */
    double event;  /* consumables of an event: shares of pads and rotors, bleeds and their
                      labour */
    double pads_event, rotors_event, fluid_event; /* of it */
    int unpriced;                                 /* parts without a price */
} mbl_bill;

mbl_weights mbl_weights_of(const mbl_car *car);
mbl_bill mbl_bill_of(const mbl_car *car, const mbl_event *event,
                     const mbl_life_result life[MBL_AXLES]);

#endif
