/* SPDX-License-Identifier: MIT */
/*
 * A layout as the text that road/layout_read.h reads: straights, arcs, and curves where the bend
 * changes. Read back it is the same to the rounding of an angle and a radius.
 */
#ifndef MBL_OUT_LAYOUT_YAML_H
#define MBL_OUT_LAYOUT_YAML_H

#include "road/layout.h"

/*
 * Appends the text; text->failed says whether memory ran out. Fails with MBL_INPUT, and appends
 * nothing, for a layout of more stretches than are read (MBL_LAYOUT_PIECES).
 */
MBL_NODISCARD mbl_status mbl_out_layout_text(const mbl_layout *layout, mbl_text *text,
                                             mbl_error *err);

/* The same to a file, whole or not at all; fails also with MBL_FILE or MBL_MEMORY. */
MBL_NODISCARD mbl_status mbl_out_layout(const mbl_layout *layout, const char *path, mbl_error *err);

#endif
