/* SPDX-License-Identifier: MIT */
/* The language a script gets, without what would let it out. Private to `host`. */
#ifndef MBL_HOST_FENCE_H
#define MBL_HOST_FENCE_H

#include "host/context.h"

/*
 * Opens base, string, table, math, utf8 and coroutine, takes away what reaches files, bytecode,
 * addresses, finalisers and shared metatables, and makes pairs and random numbers the same in
 * every run. May raise (out of memory): call it protected.
 */
void mbl_fence_open(lua_State *L);

/* Puts `pairs` and `next` that go by key into the global table. */
void mbl_pairs_open(lua_State *L);

/* Pushes what `pairs` gives for the table at 1, whatever its metatable: 3 values. */
int mbl_pairs_of(lua_State *L);

/* Replaces the table on top by one that reads the same and cannot be changed; errors call it
 * `name`. */
void mbl_fence_seal(lua_State *L, const char *name);
bool mbl_fence_sealed(lua_State *L, int index);

/* Pushes what `tostring` and `print` show: no addresses. May call __tostring, so may raise. */
void mbl_fence_text(lua_State *L, int index);

/* Begins the script's random numbers anew. May raise. */
void mbl_fence_seed(lua_State *L, lua_Integer seed);

#endif
