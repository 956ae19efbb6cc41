/* SPDX-License-Identifier: MIT */
/* A sweep's table as scripts have it: rows, best, where, tradeoff, save. Private to `host`. */
#ifndef MBL_HOST_GRID_OBJECT_H
#define MBL_HOST_GRID_OBJECT_H

#include "host/context.h"

#include "study/grid.h"

/*
 * The userdata. A selection of rows (of grid:where and grid:tradeoff) borrows the grid of the
 * object that its first user value holds, and has row numbers of its own.
 */
typedef struct mbl_grid_object {
    mbl_grid *grid; /* NULL in a check */
    mbl_grid own;
    size_t n;     /* rows of a selection */
    size_t *pick; /* (n) its rows, in order; NULL: all of the grid */
} mbl_grid_object;

/* Pushes an object with an empty grid of its own; engine memory comes from the script's store. */
mbl_grid_object *mbl_grid_push(lua_State *L);

/* Raises: there is no measure of this name. */
int mbl_grid_unknown(lua_State *L, const char *path, const char *name);

/* Makes the type. May raise. */
void mbl_grid_object_open(lua_State *L);

#endif
