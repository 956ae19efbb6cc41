/* SPDX-License-Identifier: MIT */
#define MBL_LANES          8
#define MBL_KERNEL_NAME(x) x##_8_avx512
#include "heat/kernel_body.h"
