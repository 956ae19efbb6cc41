/* SPDX-License-Identifier: MIT */
/* Reads a course on paper from YAML; docs/tracks.md says how one is written. */
#ifndef MBL_ROAD_LAYOUT_READ_H
#define MBL_ROAD_LAYOUT_READ_H

#include "road/layout.h"

/*
 * Most of each. So many pieces with every key, and so many points as lists, are what
 * parts/document reads; written as maps with a height it reads some 14,000 points.
 */
enum { MBL_LAYOUT_PIECES = 6000, MBL_LAYOUT_POINTS = 20000 };

/*
 * Fails with MBL_INPUT, and err then has file, line, column and path ("pieces[4].arc.radius"), or
 * with MBL_FILE or MBL_MEMORY. Paths and keys are as in parts/schema.h; the text is read by
 * parts/document.h and has its limits.
 */
MBL_NODISCARD mbl_status mbl_layout_read(const mbl_alloc *alloc, const char *path, mbl_layout **out,
                                         mbl_error *err);

/* The same from bytes; `name` is what errors call the file. */
MBL_NODISCARD mbl_status mbl_layout_parse(const mbl_alloc *alloc, const char *name,
                                          const char *bytes, size_t size, mbl_layout **out,
                                          mbl_error *err);

#endif
