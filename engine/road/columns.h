/* SPDX-License-Identifier: MIT */
/* Which column of a header plays a role. */
#ifndef MBL_ROAD_COLUMNS_H
#define MBL_ROAD_COLUMNS_H

#include "road/header.h"

typedef struct mbl_columns_found {
    int index;   /* -1: none */
    int repeats; /* others of the same name */
    bool usable; /* its unit is one of the role, or need not be given */
} mbl_columns_found;

/*
 * A wish picks by name and, when it has one, by unit: letter for letter, or else but for the case
 * of letters. Without a wish the usual names are gone through; of columns of one name the first
 * whose unit can be used is taken, and a name without such is only taken when no other is there.
 */
mbl_columns_found mbl_columns_find(const mbl_header *header, const mbl_log_wish *wish,
                                   mbl_log_role role);

/*
 * Chooses the column of a role, with its unit. The unit of time is as in the file or the wish,
 * or "": the clock chooses (road/clock.h). A column that only was guessed and whose unit cannot
 * be used is left aside: it keeps its name, and `present` is false.
 */
MBL_NODISCARD mbl_status mbl_columns_take(const mbl_header *header, const mbl_log_wish *wish,
                                          mbl_log_role role, mbl_log_column *out, mbl_error *err);

/* All roles but time; fails when nothing gives a speed. */
MBL_NODISCARD mbl_status mbl_columns_take_all(const mbl_header *header, const mbl_log_wish *wish,
                                              mbl_log_column column[MBL_LOG_ROLES], mbl_error *err);

#endif
