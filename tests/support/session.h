/* SPDX-License-Identifier: MIT */
/* A generated session as a trace, and a case that drives it. */
#ifndef MBL_TESTS_SESSION_H
#define MBL_TESTS_SESSION_H

#include "study/study.h"
#include "support/drive.h"

/* Out-lap, `hot` hot laps, in-lap of a generated course, logged clean at 20 Hz. */
mbl_trace *test_session(const drive_course *course, size_t hot);

/* The test coupe on that trace (borrowed) with a stint given in YAML, default limits. */
mbl_case test_case(mbl_trace *trace, const char *stint_yaml);

#endif
