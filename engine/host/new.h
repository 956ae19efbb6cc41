/* SPDX-License-Identifier: MIT */
/* `emberlap new NAME`: a scenario to start from, and a log for it. Private to `host`. */
#ifndef MBL_HOST_NEW_H
#define MBL_HOST_NEW_H

#include "host/host.h"

/*
 * Writes NAME.lua below out_dir, which must be there, and NAME_log.csv unless there is one. Never
 * overwrites. Returns an exit code.
 */
int mbl_host_new(const mbl_host_options *options, const char *name);

/* Appends the log of an invented session: time, speed and lap at 10 Hz; the same bytes always. */
void mbl_new_log(mbl_text *text);

#endif
