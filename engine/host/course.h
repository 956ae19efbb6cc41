/* SPDX-License-Identifier: MIT */
/* Reading the log of a course. Private to `host`. */
#ifndef MBL_HOST_COURSE_H
#define MBL_HOST_COURSE_H

#include "host/context.h"

/*
 * Reads the log that a bound course names and puts the trace into the tree, which must not be
 * shared yet. A course that has its trace is left alone. Says on standard error what was made of
 * the log beyond its letter.
 */
MBL_NODISCARD mbl_status mbl_course_attach(mbl_host *host, mbl_node *bound, mbl_error *err);

/* Makes a patch of a course drop the trace, when it changes what is read. */
MBL_NODISCARD mbl_status mbl_course_detach(mbl_node *patch, mbl_error *err);

#endif
