/* SPDX-License-Identifier: MIT */
/*
 * How far long work has come: one line on a terminal, rewritten a few times a second, with rate
 * and time left; nothing at all where notes do not go to a terminal. Private to `host`.
 */
#ifndef MBL_HOST_PROGRESS_H
#define MBL_HOST_PROGRESS_H

#include "host/context.h"

typedef struct mbl_progress {
    const mbl_host *host;
    const char *what;
    size_t all, before; /* rows; those that were there from the start */
    double start, told; /* s, of a clock that only goes forward */
    bool on;            /* there is a terminal */
    bool shown;
} mbl_progress;

void mbl_progress_begin(mbl_progress *p, const mbl_host *host, const char *what, size_t all,
                        size_t before);
void mbl_progress_tell(mbl_progress *p, size_t done);

/* Wipes the line. */
void mbl_progress_end(mbl_progress *p);

#endif
