/* SPDX-License-Identifier: MIT */
/* What loggers call the columns we know, how they spell units, and names fit to be shown. */
#ifndef MBL_ROAD_NAMES_H
#define MBL_ROAD_NAMES_H

#include "road/log.h"

/* The same but for the case of ASCII letters? */
bool mbl_names_alike(const char *a, const char *b);

/* Does `name` spell `plain`, without case, blanks and punctuation? */
bool mbl_names_spell(const char *name, const char *plain);

/*
 * The k-th usual name of a role, the likeliest first; NULL past the last. *unit: it is only one
 * when a unit of the role stands beside it, as "Lateral [g]".
 */
const char *mbl_names_usual(mbl_log_role role, size_t k, bool *unit);

/* Columns of a tall file: the name of the channel, its value, its unit. */
bool mbl_names_channel(const char *name);
bool mbl_names_value(const char *name);
bool mbl_names_unit(const char *name);

/* value_si = value * scale; false when it is no known unit of the role. */
bool mbl_names_scale(mbl_log_role role, const char *unit, double *scale);

/* A unit of any role? Of anything that is logged, such as %, rpm, C, V? */
bool mbl_names_is_unit(const char *unit);
bool mbl_names_is_any_unit(const char *unit);

/* The unit a role has when none is given; NULL when it must be given. */
const char *mbl_names_assumed(mbl_log_role role);

/* A unit to give as an example. */
const char *mbl_names_example(mbl_log_role role);

/* "pressure_front": the role as a key. */
void mbl_names_key(mbl_log_role role, char out[32]);

/*
 * Copies n bytes, cut between characters to fit: doubled quotes single, blanks at both ends away,
 * control characters and what is no UTF-8 as '?'. A lone 0xB0, 0xB2 or 0xB3 is the degree sign or
 * the small 2 or 3 of an older encoding.
 */
void mbl_names_show(char *out, size_t room, const char *text, size_t n);

#endif
