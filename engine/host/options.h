/* SPDX-License-Identifier: MIT */
/*
 * Methods and their tables of options. What a method takes is a field table like that of a
 * definition, so units, ranges, likely slips and misspelt names are told in the same words.
 * Private to `host`.
 */
#ifndef MBL_HOST_OPTIONS_H
#define MBL_HOST_OPTIONS_H

#include "host/context.h"

#include "parts/rows.h"

/* The definition a method was called on, of the right kind; raises otherwise. */
const mbl_node *mbl_options_self(lua_State *L, const mbl_schema *schema, const char *name);

/*
 * Fills `out`, of takes->size bytes, from the table of options at `index`; nil or nothing there is
 * a table without any. The schema is named as the method is. Raises when an option is wrong.
 * No field may be of a kind that borrows from the tree: texts, films and handles.
 */
void mbl_options_read(lua_State *L, int index, const mbl_schema *takes, void *out);

/* Both at once: the definition a method was called on into `part`, its options at 2 into `out`. */
void mbl_options_take(lua_State *L, const mbl_schema *schema, void *part, const mbl_schema *takes,
                      void *out);

/* Rows that many methods have; `T` is the struct of the table at hand, as in parts/rows.h. */
#define OPTION_SPEED(key_, member_, need_, fallback_, about_)                                      \
    NUMBER(key_, member_, need_, SPEED, 0, 120, fallback_, about_, "")
#define OPTION_TEMPERATURE(member_, celsius_, about_)                                              \
    NUMBER("temperature", member_, MBL_DEFAULT, LEVEL, K(-40), K(1200), K(celsius_), about_, "")
#define OPTION_AMBIENT(member_, celsius_)                                                          \
    NUMBER("ambient", member_, MBL_DEFAULT, LEVEL, K(-30), K(60), K(celsius_),                     \
           "temperature of the air", "")
#define OPTION_ALTITUDE(member_)                                                                   \
    NUMBER("altitude", member_, MBL_DEFAULT, LENGTH, -500, 5000, 0, "height above the sea", "")

#endif
