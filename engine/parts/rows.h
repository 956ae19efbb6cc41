/* SPDX-License-Identifier: MIT */
/*
 * How the field tables are written: one macro a kind of row. Private to the files that define
 * something; `T` is the struct type of the table at hand, defined around each table.
 */
#ifndef MBL_PARTS_ROWS_H
#define MBL_PARTS_ROWS_H

#include "parts/definitions.h"

#include <math.h>

#define K(celsius)       ((celsius) + 273.15)
#define COMMON_PRACTICE  "common practice, no source"
#define COUNT_OF(table)  (sizeof(table) / sizeof((table)[0]))
#define AT(type, member) offsetof(type, member)

/* One row each. `T` is the struct type of the table at hand. */
#define NUMBER(key_, member_, need_, quantity_, lo_, hi_, fallback_, about_, source_)              \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_NUMBER, .need = (need_), .offset = AT(T, member_),        \
        .quantity = MBL_Q_##quantity_, .lo = (lo_), .hi = (hi_), .fallback = (fallback_),          \
        .about = (about_), .source = (source_)                                                     \
    }
/* The same for a default whose usual range is known: what a run tries to see how much it matters.
 */
#define ASSUMED(key_, member_, quantity_, lo_, hi_, fallback_, usual_lo_, usual_hi_, about_,       \
                source_)                                                                           \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_NUMBER, .need = MBL_DEFAULT, .offset = AT(T, member_),    \
        .quantity = MBL_Q_##quantity_, .lo = (lo_), .hi = (hi_), .usual_lo = (usual_lo_),          \
        .usual_hi = (usual_hi_), .fallback = (fallback_), .about = (about_), .source = (source_)   \
    }
#define COUNT(key_, member_, need_, lo_, hi_, fallback_, about_, source_)                          \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_COUNT, .need = (need_), .offset = AT(T, member_),         \
        .quantity = MBL_Q_COUNT, .lo = (lo_), .hi = (hi_), .fallback = (fallback_),                \
        .about = (about_), .source = (source_)                                                     \
    }
#define CHOICE(key_, member_, need_, choices_, fallback_, about_, source_)                         \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_CHOICE, .need = (need_), .offset = AT(T, member_),        \
        .choices = (choices_), .fallback = (fallback_), .about = (about_), .source = (source_)     \
    }
#define TEXT(key_, member_, need_, about_)                                                         \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_TEXT, .need = (need_), .offset = AT(T, member_),          \
        .about = (about_), .source = ""                                                            \
    }
#define FLAG(key_, member_, fallback_, about_)                                                     \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_FLAG, .need = MBL_DEFAULT, .offset = AT(T, member_),      \
        .fallback = (fallback_), .about = (about_), .source = ""                                   \
    }
#define GROUP(key_, member_, sub_, about_)                                                         \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_GROUP, .need = MBL_DEFAULT, .offset = AT(T, member_),     \
        .sub = (sub_), .about = (about_), .source = ""                                             \
    }
#define PART(key_, member_, need_, sub_, about_)                                                   \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_PART, .need = (need_), .offset = AT(T, member_),          \
        .sub = (sub_), .about = (about_), .source = ""                                             \
    }
#define COST(key_, about_)   NUMBER(key_, cost, MBL_DEFAULT, MONEY, 0, 1e6, 0, about_, "")
#define LABOUR(key_, about_) NUMBER(key_, labour, MBL_DEFAULT, TIME, 0, 360000, 0, about_, "")
#define LATER(key_, about_)                                                                        \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_LATER, .about = (about_), .source = ""                    \
    }

#define SCHEMA(symbol_, name_, type_, fields_, rules_, about_)                                     \
    const mbl_schema symbol_ = {.name = (name_),                                                   \
                                .about = (about_),                                                 \
                                .size = sizeof(type_),                                             \
                                .fields = (fields_),                                               \
                                .nfields = COUNT_OF(fields_),                                      \
                                .present = -1,                                                     \
                                .rules = (rules_)}

/* a group of the same struct: its member offset is 0 */
#define INLINE(key_, need_, sub_, about_)                                                          \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_GROUP, .need = (need_), .offset = 0, .sub = (sub_),       \
        .about = (about_), .source = ""                                                            \
    }

/* A rule between fields that is broken: the message, with the key in front. */
mbl_status mbl_rule_broken(mbl_error *err, const char *key, const char *text);

#endif
