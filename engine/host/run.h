/* SPDX-License-Identifier: MIT */
/* el.run and the run object. Private to `host`. */
#ifndef MBL_HOST_RUN_H
#define MBL_HOST_RUN_H

#include "host/context.h"

/* The userdata; run is NULL while it is being made, and in a check. */
typedef struct mbl_run_object {
    mbl_run *run;
} mbl_run_object;

int mbl_run_call(lua_State *L); /* el.run */
int mbl_run_save(lua_State *L); /* run:save */

/* Makes the type of runs. May raise. */
void mbl_run_open(lua_State *L);

/* The last run that was made, or NULL. */
mbl_run *mbl_run_last(lua_State *L);

#endif
