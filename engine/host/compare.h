/* SPDX-License-Identifier: MIT */
/* el.compare. Private to `host`. */
#ifndef MBL_HOST_COMPARE_H
#define MBL_HOST_COMPARE_H

#include "host/context.h"

int mbl_compare_call(lua_State *L); /* el.compare */

/* Makes the type. May raise. */
void mbl_compare_open(lua_State *L);

#endif
