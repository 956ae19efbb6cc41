/* SPDX-License-Identifier: MIT */
/* el.sweep. Private to `host`. */
#ifndef MBL_HOST_SWEEP_H
#define MBL_HOST_SWEEP_H

#include "host/context.h"

int mbl_sweep_call(lua_State *L);

#endif
