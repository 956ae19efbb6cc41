/* SPDX-License-Identifier: MIT */
#define MBL_LANES          4
#define MBL_KERNEL_NAME(x) x##_4
#include "heat/kernel_body.h"
