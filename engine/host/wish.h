/* SPDX-License-Identifier: MIT */
/* Which columns of a log are wished for: from a course, or from words. Private to `host`. */
#ifndef MBL_HOST_WISH_H
#define MBL_HOST_WISH_H

#include "parts/definitions.h"
#include "road/log.h"

/* The names and units of a course; `wish` borrows them. */
void mbl_wish_of_course(const mbl_course *course, mbl_log_wish *wish);

/*
 * Adds one word of the command line: time=NAME and the like, time_unit=UNIT, start=LAT,LON.
 * `wish` borrows the word. Fails with MBL_INPUT.
 */
MBL_NODISCARD mbl_status mbl_wish_word(const char *word, mbl_log_wish *wish, mbl_error *err);

/* Reads a log as wished. Fails with MBL_INPUT for a start line when the log has no positions. */
MBL_NODISCARD mbl_status mbl_wish_read(const mbl_alloc *alloc, const char *path,
                                       const mbl_log_wish *wish, mbl_log **out, mbl_error *err);

#endif
