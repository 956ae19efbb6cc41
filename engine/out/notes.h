/* SPDX-License-Identifier: MIT */
/* What a reader should be told about the parts, beyond temperatures. Private to `out`. */
#ifndef MBL_OUT_NOTES_H
#define MBL_OUT_NOTES_H

#include "out/units.h"
#include "study/study.h"

/*
 * Calls tell(ctx, sentence) for each note: ducts that cannot do what they are meant to, one-sided
 * cooling, pads that are not bedded, fluid that keeps water apart, laws that were sampled.
 */
void mbl_notes_tell(const mbl_run *run, mbl_units_system units,
                    void (*tell)(void *ctx, const char *sentence), void *ctx);

#endif
