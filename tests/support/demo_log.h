/* SPDX-License-Identifier: MIT */
/* The session of the demo: its drive, and the log a 20 Hz logger makes of it. */
#ifndef MBL_TESTS_DEMO_LOG_H
#define MBL_TESTS_DEMO_LOG_H

#include "support/drive.h"

/* Harrow Vale: out-lap, thirteen hot laps, in-lap. Free with drive_free and mbl_text_free. */
void demo_log(drive_session *session, mbl_text *text);

#endif
