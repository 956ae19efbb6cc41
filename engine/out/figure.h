/* SPDX-License-Identifier: MIT */
/*
 * Figures of results: which unit a quantity is told in, and with how many decimals, so that a page
 * shows no more than the model knows. Private to `out`.
 */
#ifndef MBL_OUT_FIGURE_H
#define MBL_OUT_FIGURE_H

#include "out/units.h"

typedef struct mbl_figure {
    mbl_measure measure;
    int decimals;
} mbl_figure;

/* Of a result: whole degrees, bars and newtons, tenths of a millimetre and of a percent. */
mbl_figure mbl_figure_of(mbl_quantity quantity, mbl_units_system units);

/* The number, without its unit. */
mbl_shown mbl_figure_number(mbl_figure figure, mbl_units_system units, double si);

/*
 * A margin, which may be read against nothing: one more decimal where it would round to nothing,
 * rounded down, so that a limit that is passed never shows as one that is kept.
 */
mbl_shown mbl_figure_margin(mbl_figure figure, mbl_units_system units, double si);

/* The number with its unit: "62 bar"; a level of temperature too: "623 C". */
mbl_shown mbl_figure_told(mbl_quantity quantity, mbl_units_system units, double si);

/* A difference of two figures with its sign and unit: "+12 K"; of a level the difference is a rise.
 */
mbl_shown mbl_figure_change(mbl_quantity quantity, mbl_units_system units, double si);

#endif
