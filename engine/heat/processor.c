/* SPDX-License-Identifier: MIT */
#include "heat/processor.h"

bool mbl_processor_avx2(void)
{
#ifdef MBL_HAVE_AVX2
    return __builtin_cpu_supports("avx2");
#else
    return false;
#endif
}

bool mbl_processor_avx512(void)
{
#ifdef MBL_HAVE_AVX512
    return __builtin_cpu_supports("avx512f");
#else
    return false;
#endif
}
