/* SPDX-License-Identifier: MIT */
#define MBL_SINGLE
#define MBL_LANES          4
#define MBL_STRIDE_NAME(x) x##_4_single
#include "heat/stride_body.h"
