/* SPDX-License-Identifier: MIT */
#define MBL_SINGLE
#define MBL_LANES          8
#define MBL_STRIDE_NAME(x) x##_8_single
#include "heat/stride_body.h"
