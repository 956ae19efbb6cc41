/* SPDX-License-Identifier: MIT */
/* Public header of `heat`: cooling laws, networks, models, blocks of lanes. */
#ifndef MBL_HEAT_H
#define MBL_HEAT_H

#include "heat/block.h"
#include "heat/cooling.h"
#include "heat/corner.h"
#include "heat/film_store.h"
#include "heat/model.h"
#include "heat/network.h"
#include "heat/pilot.h"
#include "heat/ring.h"
#include "heat/stride.h"
#include "heat/surface.h"

#endif
