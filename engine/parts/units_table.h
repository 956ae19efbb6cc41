/* SPDX-License-Identifier: MIT */
/* The table of units. Private to this layer: units_table.c has the factors, units.c reads. */
#ifndef MBL_PARTS_UNITS_TABLE_H
#define MBL_PARTS_UNITS_TABLE_H

#include "parts/units.h"

/*
 * si = (number + shift) * num / den. Two factors and not one, because 35 / 100 is the double
 * nearest to 0.35 and 35 * 0.01 is not: a value at the edge of a range must stay inside it.
 */
typedef struct mbl_unit {
    mbl_quantity quantity;
    const char *name; /* "" for a share without a unit */
    double num, den, shift;
} mbl_unit;

extern const mbl_unit mbl_unit_table[];
extern const size_t mbl_unit_count;

double mbl_unit_apply(const mbl_unit *unit, double number);

/* By spelling as in the table; NULL when the quantity has none such. */
const mbl_unit *mbl_unit_find(mbl_quantity quantity, const char *name);

/*
 * Copies text with the spellings people and loggers use brought to the table's: superscript two
 * and three, a degree sign before C or F, a middle dot, a real minus sign, a no-break space;
 * blanks at both ends go. False when it does not fit in `room`.
 */
bool mbl_unit_clean(const char *text, char *out, size_t room);

#endif
