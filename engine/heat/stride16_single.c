/* SPDX-License-Identifier: MIT */
#define MBL_SINGLE
#define MBL_LANES          16
#define MBL_STRIDE_NAME(x) x##_16_single
#include "heat/stride_body.h"
