/* SPDX-License-Identifier: MIT */
/*
 * The places of a car that a shortlist may fill otherwise, and a part for one of them: where it
 * goes, what it costs to buy and fit, what it goes together with, and whether it drives as hot as
 * another. SI; money in whatever the user counts.
 */
#ifndef MBL_STUDY_SLOTS_H
#define MBL_STUDY_SLOTS_H

#include "parts/parts.h"

#include <stdint.h>

/* In the order of the page; combinations are numbered with the last of them fastest. */
typedef enum mbl_slot_kind {
    MBL_SLOT_FRONT_ROTOR,
    MBL_SLOT_FRONT_PAD,
    MBL_SLOT_FRONT_CALIPER,
    MBL_SLOT_FRONT_DUCT,
    MBL_SLOT_REAR_ROTOR,
    MBL_SLOT_REAR_PAD,
    MBL_SLOT_REAR_CALIPER,
    MBL_SLOT_REAR_DUCT,
    MBL_SLOT_MASTER,
    MBL_SLOT_FLUID,
    MBL_SLOT_KINDS
} mbl_slot_kind;

const char *mbl_slot_name(mbl_slot_kind kind); /* as a path in a car: "front.rotor" */

/* What is bound there: that of the part, or of the pedal for the masters, which are a group of it.
 */
const mbl_schema *mbl_slot_schema(mbl_slot_kind kind);

/* The kind of a path, or MBL_SLOT_KINDS. */
mbl_slot_kind mbl_slot_find(const char *name);

/* What a slot holds. Masters come with the pedal around them, of which only they are used. */
typedef struct mbl_part {
    mbl_slot_kind kind;
    union {
        mbl_rotor rotor;
        mbl_pad pad;
        mbl_caliper caliper;
        mbl_duct duct; /* present false: there is none */
        mbl_fluid fluid;
        mbl_pedal pedal;
    } of;
} mbl_part;

void mbl_part_of(mbl_slot_kind kind, const mbl_car *car, mbl_part *out);
void mbl_part_put(const mbl_part *part, mbl_car *car);

/*
 * Millionths of money, so that equal sums are equal whatever they are added up of: rotors and
 * calipers by pairs, pads and ducts by axles, fluid for one bleed, as mbl_bill_of counts them.
 */
typedef struct mbl_price {
    int64_t parts, labour;
} mbl_price;

mbl_price mbl_part_price(const mbl_part *part, const mbl_event *event);

/*
 * Does a drive come out the same with either of two parts of one slot, on a car whose other slots
 * are the same? Price and hours never tell in a drive, nor does the fluid (its heat is that of any
 * brake fluid; its boiling points and its stiffness are read off afterwards), nor do the masters
 * but by how they divide the pressure. Anything else that differs counts as another drive.
 */
bool mbl_part_drives_alike(const mbl_part *a, const mbl_part *b);

#endif
