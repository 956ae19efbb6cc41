/* SPDX-License-Identifier: MIT */
/* What methods of definitions share: on what they are called, and their table of options. Private.
 */
#ifndef MBL_HOST_OPTIONS_H
#define MBL_HOST_OPTIONS_H

#include "host/context.h"

/* The definition a method was called on, of the right kind; raises otherwise. */
const mbl_node *mbl_options_self(lua_State *L, const mbl_schema *schema, const char *name);

/* Refuses options that are not in `known`, NULL-terminated; the options are at index 2 or absent.
 */
void mbl_options_check(lua_State *L, const char *name, const char *const *known);

/*
 * An option as SI: a bare number or text with a unit; `otherwise` when it is not given. NAN as
 * `otherwise` demands that it is. mbl_option_positive refuses what is below 0.
 */
double mbl_option(lua_State *L, const char *name, const char *key, mbl_quantity quantity,
                  double otherwise);
double mbl_option_positive(lua_State *L, const char *name, const char *key, mbl_quantity quantity,
                           double otherwise);

#endif
