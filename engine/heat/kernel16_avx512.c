/* SPDX-License-Identifier: MIT */
#define MBL_LANES          16
#define MBL_KERNEL_NAME(x) x##_16_avx512
#include "heat/kernel_body.h"
