/* SPDX-License-Identifier: MIT */
/* What a script gets by require "emberlap". Private to `host`. */
#ifndef MBL_HOST_BINDINGS_H
#define MBL_HOST_BINDINGS_H

#include "host/context.h"

/*
 * One thing a script can call or read; fn is NULL for methods and values. What editors are told
 * (annotate.c) is in `takes` and `gives`; they know no more of a row where both are NULL.
 */
typedef struct mbl_binding {
    const char *name;      /* as written: el.run, d:with */
    const char *signature; /* how it is called */
    const char *about;     /* one sentence */
    lua_CFunction fn;
    const mbl_schema *takes; /* its one table; NULL when it takes none or something else */
    const char *gives;       /* type of the result or value as Lua editors write it; of the whole
                                function when it begins with "fun("; NULL: any */
} mbl_binding;

extern const mbl_binding mbl_bindings[];
extern const size_t mbl_binding_count;

/* Makes all types and pushes the table `el`. May raise. */
void mbl_bindings_open(lua_State *L);

#endif
