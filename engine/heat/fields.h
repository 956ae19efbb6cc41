/* SPDX-License-Identifier: MIT */
/* The block as a kernel sees it: itself, or for screening its copy. Private to `heat`. */
#ifndef MBL_HEAT_FIELDS_H
#define MBL_HEAT_FIELDS_H

#ifdef MBL_SINGLE
#include "heat/single.h"
typedef mbl_single fields;
#else
#include "heat/block.h"
typedef mbl_block fields;
#endif

#endif
