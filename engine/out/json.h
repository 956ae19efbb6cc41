/* SPDX-License-Identifier: MIT */
/* A run as one JSON document: everything that was found, and every input with its source. */
#ifndef MBL_OUT_JSON_H
#define MBL_OUT_JSON_H

#include "out/units.h"
#include "study/study.h"

#ifndef MBL_VERSION
#define MBL_VERSION "0.1.0"
#endif

/*
 * Writes the summary of a run. Always SI, levels of temperature in C, whatever people's units
 * are: programs read it, and it says so in its "units". Keys are sorted, doubles come back the
 * same to the last bit, what never happened or does not apply is null. Nothing of the machine or
 * the moment is in it: the same run gives the same bytes.
 * Fails with MBL_FILE when the file cannot be written whole (whatever was at `path` is then still
 * there) and MBL_MEMORY. The JSON library takes its memory from the C library, not from the
 * allocator of the run.
 */
MBL_NODISCARD mbl_status mbl_out_run_json(const mbl_run *run, const char *path, mbl_error *err);

#endif
