/* SPDX-License-Identifier: MIT */
/* A shortlist for people and for other programs. */
#ifndef MBL_OUT_SHORTLIST_H
#define MBL_OUT_SHORTLIST_H

#include "out/units.h"
#include "study/shortlist.h"

/* The page, at most 79 columns of ASCII. `ask` is that of the list. */
void mbl_out_shortlist(const mbl_shortlist_ask *ask, const mbl_shortlist *list,
                       mbl_units_system units, mbl_text *out);

/* "front fluid", as scripts call what gives out first. */
void mbl_out_shortlist_limit(const mbl_choice *choice, mbl_text *out);

/*
 * Rows as CSV (RFC 4180) in SI with a row of units, and the whole as JSON: by its name what is
 * picked of every slot, "" or null for what is there. MBL_FILE, MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_out_shortlist_csv(const mbl_shortlist_ask *ask,
                                               const mbl_shortlist *list, const char *path,
                                               mbl_error *err);
MBL_NODISCARD mbl_status mbl_out_shortlist_json(const mbl_shortlist_ask *ask,
                                                const mbl_shortlist *list, const char *path,
                                                mbl_error *err);

#endif
