/* SPDX-License-Identifier: MIT */
/* el.run and the run object. Private to `host`. */
#ifndef MBL_HOST_RUN_H
#define MBL_HOST_RUN_H

#include "host/context.h"

/*
 * The userdata; run is NULL while it is being made, and in a check. The first user value is its
 * result as a table. The base of a run belongs to that run, which the second user value holds.
 */
typedef struct mbl_run_object {
    mbl_run *run;
    bool borrowed;
} mbl_run_object;

extern const mbl_schema mbl_save_schema; /* the options of run:save */

int mbl_run_call(lua_State *L); /* el.run */
int mbl_run_save(lua_State *L); /* run:save */

/* Makes the type of runs. May raise. */
void mbl_run_open(lua_State *L);

/* Finds what a page or a summary tells beside the run itself: doubts and plan. */
MBL_NODISCARD mbl_status mbl_run_complete(mbl_run *run, mbl_error *err);

/* The run object at `index`, or NULL when it is none. Raises nothing. */
mbl_run_object *mbl_run_object_at(lua_State *L, int index);

/* The last run that was made, or NULL. */
mbl_run *mbl_run_last(lua_State *L);

#endif
