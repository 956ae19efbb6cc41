/* SPDX-License-Identifier: MIT */
/* Public header of `brake`: friction, pedal, balance, boiling, wear, mass. Pure laws. */
#ifndef MBL_BRAKE_H
#define MBL_BRAKE_H

#include "brake/balance.h"
#include "brake/boiling.h"
#include "brake/duct.h"
#include "brake/friction.h"
#include "brake/mass.h"
#include "brake/pedal.h"
#include "brake/wear.h"

#endif
