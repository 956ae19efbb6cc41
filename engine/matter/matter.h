/* SPDX-License-Identifier: MIT */
/* Public header of `matter`: air, iron, alloys, fluid, water. */
#ifndef MBL_MATTER_H
#define MBL_MATTER_H

#include "matter/air.h"
#include "matter/solid.h"
#include "matter/water.h"

#endif
