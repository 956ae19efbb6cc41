/* SPDX-License-Identifier: MIT */
/* What `emberlap help TOPIC` says. Private to `host`. */
#ifndef MBL_HOST_HELP_H
#define MBL_HOST_HELP_H

#include "host/host.h"

enum { MBL_HELP_TOPICS = 32 };

/* What there is: el, results, sweep, ..., and each definition. Returns how many. */
size_t mbl_help_topics(const char *names[MBL_HELP_TOPICS]);

/* Appends a topic as Markdown (annotations: as Lua); false when there is none of that name. */
bool mbl_help(const char *topic, mbl_text *text);

#endif
