/* SPDX-License-Identifier: MIT */
/* Whether a course of pieces ends where it begins. Private to the reader of layouts. */
#ifndef MBL_ROAD_LAYOUT_CLOSING_H
#define MBL_ROAD_LAYOUT_CLOSING_H

#include "road/layout_tables.h"

/*
 * Fails with MBL_INPUT where a closed course turns other than a whole multiple of a full turn, to
 * 2 degrees, ends off its start by more than 1 % of its length, or above or below it by more than
 * 0.2 %. The message says by how much, and which change would close it. pieces[i] is what the
 * layout's stretch i was made of.
 */
MBL_NODISCARD mbl_status mbl_layout_closes(const mbl_layout *layout, const mbl_piece *pieces,
                                           mbl_error *err);

#endif
