/* SPDX-License-Identifier: MIT */
/* el.shortlist: what it takes, the search, and its list as scripts have it. Private to `host`. */
#ifndef MBL_HOST_SHORTLIST_H
#define MBL_HOST_SHORTLIST_H

#include "host/context.h"

#include "study/shortlist.h"

enum { MBL_SHORTLIST_NAME = 56, MBL_SHORTLIST_OPTIONS = 1000 };

/* What goes with an option beside what the search asks for. */
typedef struct mbl_shelved {
    char name[MBL_SHORTLIST_NAME];
    mbl_node *node; /* owned; the part, or for masters the pedal with them; NULL: what is there */
} mbl_shelved;

/* The userdata. */
typedef struct mbl_shortlist_object {
    bool known;      /* false until it has been found, and in a check */
    mbl_node *bound; /* owned: all but `change` and `fit`; holds trace and laws of the car */
    mbl_case setup;
    mbl_trace *lap; /* owned; of the car as it is, where the course is a layout */
    mbl_shortlist_ask ask;
    mbl_option *option[MBL_SLOT_KINDS];   /* owned, by slot */
    mbl_shelved *shelved[MBL_SLOT_KINDS]; /* owned, by slot */
    mbl_shortlist list;
} mbl_shortlist_object;

/* Reads the table at `index` into a new object; raises nothing. */
MBL_NODISCARD mbl_status mbl_shortlist_read(lua_State *L, int index, mbl_shortlist_object *object,
                                            mbl_error *err);

/* Pushes an object with nothing in it. */
mbl_shortlist_object *mbl_shortlist_push(lua_State *L);

int mbl_shortlist_call(lua_State *L); /* el.shortlist */

/* Makes the type. May raise. */
void mbl_shortlist_open(lua_State *L);

#endif
