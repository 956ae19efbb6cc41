/* SPDX-License-Identifier: MIT */
#define MBL_SINGLE
#define MBL_LANES          1
#define MBL_STRIDE_NAME(x) x##_1_single
#include "heat/stride_body.h"
