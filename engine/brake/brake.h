/* SPDX-License-Identifier: MIT */
/* Public header of `brake`: friction, hydraulics, boiling. Pure laws. */
#ifndef MBL_BRAKE_H
#define MBL_BRAKE_H

#include "brake/boiling.h"
#include "brake/duct.h"
#include "brake/friction.h"

#endif
