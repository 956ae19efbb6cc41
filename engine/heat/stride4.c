/* SPDX-License-Identifier: MIT */
#define MBL_LANES          4
#define MBL_STRIDE_NAME(x) x##_4
#include "heat/stride_body.h"
