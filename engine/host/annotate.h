/* SPDX-License-Identifier: MIT */
/* What Lua editors are told of scripts, from the tables that bind them. Private to `host`. */
#ifndef MBL_HOST_ANNOTATE_H
#define MBL_HOST_ANNOTATE_H

#include "host/host.h"

/* Appends annotations for Lua editors: scripts/library/emberlap.lua is what this writes. */
void mbl_annotate(mbl_text *text);

#endif
