/* SPDX-License-Identifier: MIT */
/* Results as Lua tables. Private to `host`. */
#ifndef MBL_HOST_RESULT_H
#define MBL_HOST_RESULT_H

#include "host/result_names.h"

/* Pushes a table with what a run has by name: front, laps, verdict, ... */
void mbl_result_push(lua_State *L, const mbl_run *run);

/*
 * Makes the table on top a result called `what`: a name that it has not is an error that names
 * the nearest, but for the NULL-terminated `optional` ones, which are nil when absent.
 */
void mbl_result_seal(lua_State *L, const char *what, const char *const *optional);

/*
 * The same with the names of a class. A name that is not in its rows, or one that is always there
 * and is missing, is a failure of ours: so the rows say what results have.
 */
void mbl_result_seal_as(lua_State *L, const char *what, const mbl_result_class *of);

/* Pushes a result of which any use ends a check. */
void mbl_result_push_unknown(lua_State *L);

#endif
