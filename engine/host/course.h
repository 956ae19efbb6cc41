/* SPDX-License-Identifier: MIT */
/* Logs and layouts of courses, and the laps of a layout. Private to `host`. */
#ifndef MBL_HOST_COURSE_H
#define MBL_HOST_COURSE_H

#include "host/context.h"

#include "road/layout.h"

/*
 * Reads the log, or the layout (.yaml), that a bound course names and puts it into the tree, which
 * must not be shared yet. A course that has its trace or layout is left alone. Says on standard
 * error what was made of the log beyond its letter.
 */
MBL_NODISCARD mbl_status mbl_course_attach(mbl_host *host, mbl_node *bound, mbl_error *err);

/* Does its file hold a layout, by its ending? */
bool mbl_course_is_layout(const mbl_course *course);

/* The tree of a course takes over a trace or a layout, also when it fails. */
MBL_NODISCARD mbl_status mbl_course_with_trace(mbl_host *host, mbl_node *bound, mbl_trace *trace,
                                               mbl_error *err);
MBL_NODISCARD mbl_status mbl_course_with_layout(mbl_host *host, mbl_node *bound, mbl_layout *layout,
                                                mbl_error *err);

/* A new course on top with the file of `old`, and of it nothing else but the car in `of`, if any.
 */
struct mbl_definition;
MBL_NODISCARD mbl_status mbl_course_push(lua_State *L, const mbl_node *old, const mbl_node *of,
                                         struct mbl_definition **out, mbl_error *err);

/* Fails where a course has neither trace nor layout. */
MBL_NODISCARD mbl_status mbl_course_needed(const mbl_course *course, mbl_error *err);

/*
 * Laps for a case on a layout, put into setup->course.trace; *made is one reference to it, NULL
 * where the course had its trace. Without course.of they are those of the stint, with the brakes
 * in the loop (drive/loop.h); with it one lap of that car, to be repeated.
 */
MBL_NODISCARD mbl_status mbl_course_laps(const mbl_alloc *alloc, mbl_case *setup, mbl_trace **made,
                                         mbl_error *err);

/* One lap of a case's layout by a car, pads at MBL_LAP_PADS, full of fuel: a trace to repeat. */
MBL_NODISCARD mbl_status mbl_course_lap(const mbl_alloc *alloc, const mbl_case *setup,
                                        const mbl_car *by, mbl_trace **out, mbl_error *err);

/* Makes a patch of a course drop trace and layout, when it changes what is read. */
MBL_NODISCARD mbl_status mbl_course_detach(mbl_node *patch, mbl_error *err);

#endif
