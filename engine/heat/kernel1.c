/* SPDX-License-Identifier: MIT */
#define MBL_LANES          1
#define MBL_KERNEL_NAME(x) x##_1
#include "heat/kernel_body.h"
