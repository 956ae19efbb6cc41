/* SPDX-License-Identifier: MIT */
/* Public header of `num`: tables and compiled elimination. */
#ifndef MBL_NUM_H
#define MBL_NUM_H

#include "num/elim.h"
#include "num/table.h"

#endif
