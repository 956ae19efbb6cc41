/* SPDX-License-Identifier: MIT */
/*
 * What this processor has of what kernels were compiled for. Private to `heat`; asked through
 * functions so that a test can say no for a processor that has all.
 */
#ifndef MBL_HEAT_PROCESSOR_H
#define MBL_HEAT_PROCESSOR_H

#include <stdbool.h>

bool mbl_processor_avx2(void);
bool mbl_processor_avx512(void);

#endif
