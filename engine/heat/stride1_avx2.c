/* SPDX-License-Identifier: MIT */
#define MBL_LANES          1
#define MBL_STRIDE_NAME(x) x##_1_avx2
#include "heat/stride_body.h"
