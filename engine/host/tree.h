/* SPDX-License-Identifier: MIT */
/* Lua values as definition trees. Private to `host`. */
#ifndef MBL_HOST_TREE_H
#define MBL_HOST_TREE_H

#include "host/context.h"

/* Most levels of nested tables, and most values in one definition. */
enum { MBL_TREE_DEPTH = 32, MBL_TREE_NODES = 100000 };

/*
 * The value at `index` as an unbound tree: text, numbers, true and false as text, tables as
 * lists and maps, definitions as they are. Raises no Lua error; on failure err has the path.
 */
MBL_NODISCARD mbl_status mbl_tree_read(lua_State *L, int index, mbl_node **out, mbl_error *err);

#endif
