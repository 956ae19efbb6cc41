/* SPDX-License-Identifier: MIT */
/* Public header of `base`: status, allocation, arena, text, files. Depends on libc alone. */
#ifndef MBL_BASE_H
#define MBL_BASE_H

#include "base/alloc.h"
#include "base/arena.h"
#include "base/digest.h"
#include "base/file.h"
#include "base/status.h"
#include "base/text.h"

#endif
