/* SPDX-License-Identifier: MIT */
/*
 * The page of a run while it is being written, and the sections it is put together from; a section
 * that has nothing to say adds nothing. Private to `out`.
 */
#ifndef MBL_OUT_SHEET_H
#define MBL_OUT_SHEET_H

#include "out/page.h"
#include "out/words.h"

typedef struct mbl_sheet {
    const mbl_run *run;
    mbl_units_system units;
    mbl_text *page;
    mbl_text line; /* a sentence while it is put together */
    int notes;     /* told so far */
} mbl_sheet;

/* A value in people's unit, without it; and the unit. */
mbl_shown mbl_sheet_show(const mbl_sheet *sheet, mbl_measure measure, double si, int decimals);
const char *mbl_sheet_unit(const mbl_sheet *sheet, mbl_measure measure);

/* A figure with its unit: "62 bar". */
mbl_shown mbl_sheet_told(const mbl_sheet *sheet, mbl_quantity quantity, double si);

/* Ends the sentence at hand: as a fact of the page, with a word in the margin; or as a point. */
void mbl_sheet_fact(mbl_sheet *sheet, const char *word);
void mbl_sheet_point(mbl_sheet *sheet);

/* A row of figures of both axles; left out where neither is known. */
void mbl_sheet_row(mbl_sheet *sheet, const char *what, mbl_quantity quantity,
                   const double of[MBL_AXLES]);

void mbl_sheet_limits(mbl_sheet *sheet);  /* LIMITS */
void mbl_sheet_pedal(mbl_sheet *sheet);   /* PEDAL AND BALANCE */
void mbl_sheet_life(mbl_sheet *sheet);    /* WHAT IT USES UP */
void mbl_sheet_plan(mbl_sheet *sheet);    /* SESSION PLAN */
void mbl_sheet_weight(mbl_sheet *sheet);  /* WEIGHT AND MONEY */
void mbl_sheet_compare(mbl_sheet *sheet); /* AGAINST THE BASE */

#endif
