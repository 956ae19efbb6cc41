/* SPDX-License-Identifier: MIT */
/* A script's function as a law: evaluated while a definition is bound, never after. Private. */
#ifndef MBL_HOST_FUNCTION_H
#define MBL_HOST_FUNCTION_H

#include "host/context.h"

/*
 * A handle node (parts/law.h) around the function at `index`. Raises nothing; NULL when memory
 * runs out. The node must be dropped before the state is closed, and is: binding turns it into
 * samples.
 */
mbl_node *mbl_function_node(lua_State *L, const mbl_alloc *alloc, int index);

#endif
