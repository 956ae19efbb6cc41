/* SPDX-License-Identifier: MIT */
/* Public header of `road`: logs, traces, and the channels made of them. */
#ifndef MBL_ROAD_H
#define MBL_ROAD_H

#include "road/channels.h"
#include "road/doubts.h"
#include "road/figures.h"
#include "road/layout.h"
#include "road/layout_log.h"
#include "road/layout_read.h"
#include "road/layout_shape.h"
#include "road/log.h"
#include "road/pressure.h"
#include "road/trace.h"

#endif
