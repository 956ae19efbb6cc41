/* SPDX-License-Identifier: MIT */
/* Loading Lua text: the script itself, and `require`. Private to `host`. */
#ifndef MBL_HOST_MODULE_H
#define MBL_HOST_MODULE_H

#include "host/context.h"

/* Most bytes of a script or module. */
#define MBL_MODULE_LIMIT ((size_t)4 * 1024 * 1024)

/*
 * Pushes the chunk of a source text, or an error message. Text only; a byte order mark and a
 * first line that starts with # are passed over. Returns a Lua status.
 */
int mbl_module_load(lua_State *L, const char *name, const char *bytes, size_t size);

/* Puts `require` into the global table; the value of "emberlap" is on top and is popped. */
void mbl_module_open(lua_State *L);

#endif
