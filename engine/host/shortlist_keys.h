/* SPDX-License-Identifier: MIT */
/* The field tables of el.shortlist, and what they say of fit. Private to `host`. */
#ifndef MBL_HOST_SHORTLIST_KEYS_H
#define MBL_HOST_SHORTLIST_KEYS_H

#include "study/shortlist.h"

/* As mbl_fits, before what is absent is put as the rules of fit have it. */
typedef struct mbl_fits_keys {
    mbl_numbers diameter, thickness;
    double stack;
    char pad[MBL_TEXT_FIELD];
} mbl_fits_keys;

/* One option of a slot, beside its part. */
typedef struct mbl_option_keys {
    char name[MBL_TEXT_FIELD];
    double cost, labour, mass; /* only whether they are given */
    mbl_fits_keys fits;
} mbl_option_keys;

typedef struct mbl_room_keys {
    double wheel, rear_wheel;
    mbl_numbers ratio;
    mbl_fits_keys there[MBL_SLOT_KINDS];
} mbl_room_keys;

/* All but `change` and `fit`. */
typedef struct mbl_list_keys {
    mbl_case setup;
    mbl_room_keys fits;
    int want, by, need;
    bool keep;
} mbl_list_keys;

extern const mbl_schema mbl_option_schema;
extern const mbl_schema mbl_list_schema;

/* The verdict that a word of `need` stands for. */
mbl_verdict mbl_list_need(const mbl_list_keys *keys);

MBL_NODISCARD mbl_status mbl_fits_take(const mbl_fits_keys *keys, mbl_fits *out, mbl_error *err);

/* Room and what the parts on the car say; the path of an error begins with the key in `fits`. */
MBL_NODISCARD mbl_status mbl_room_take(const mbl_room_keys *keys, mbl_shortlist_ask *ask,
                                       mbl_error *err);

#endif
