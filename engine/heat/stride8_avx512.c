/* SPDX-License-Identifier: MIT */
#define MBL_LANES          8
#define MBL_STRIDE_NAME(x) x##_8_avx512
#include "heat/stride_body.h"
