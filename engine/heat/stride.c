/* SPDX-License-Identifier: MIT */
#include "heat/stride.h"

#include "heat/processor.h"
#include "heat/stride_kernel.h"

int mbl_lanes_best(void)
{
    return mbl_processor_avx512() ? MBL_LANES_EIGHT : MBL_LANES_FOUR;
}

int mbl_lanes_best_single(void)
{
    return mbl_processor_avx512() ? MBL_LANES_SIXTEEN : MBL_LANES_EIGHT;
}

/* The kernel for this block on this processor. All of them give the same bits. */
static mbl_stride_kernel *kernel_of(const mbl_block *b)
{
    switch (b->lanes) {
    case MBL_LANES_ONE:
#ifdef MBL_HAVE_AVX2
        if (mbl_processor_avx2())
            return mbl_stride_run_1_avx2;
#endif
        return mbl_stride_run_1;
    case MBL_LANES_FOUR:
#ifdef MBL_HAVE_AVX2
        if (mbl_processor_avx2())
            return mbl_stride_run_4_avx2;
#endif
        return mbl_stride_run_4;
    default:
#ifdef MBL_HAVE_AVX512
        if (mbl_processor_avx512())
            return mbl_stride_run_8_avx512;
#endif
        return mbl_stride_run_8;
    }
}

static mbl_stride_kernel_single *single_of(const mbl_block *b)
{
    switch (b->lanes) {
    case MBL_LANES_ONE:
        return mbl_stride_run_1_single;
    case MBL_LANES_FOUR:
        return mbl_stride_run_4_single;
    case MBL_LANES_EIGHT:
#ifdef MBL_HAVE_AVX2
        if (mbl_processor_avx2())
            return mbl_stride_run_8_single_avx2;
#endif
        return mbl_stride_run_8_single;
    default:
#ifdef MBL_HAVE_AVX512
        if (mbl_processor_avx512())
            return mbl_stride_run_16_single_avx512;
#endif
        return mbl_stride_run_16_single;
    }
}

void mbl_block_stride(mbl_block *b, const mbl_stride *steps, size_t first, size_t last, double time,
                      mbl_record *record)
{
    b->plain = !b->pressure_matters;
    for (int w = 0; w < b->lanes; w++)
        b->plain = b->plain && b->knee[w] >= MBL_NO_KNEE && b->cap[w] >= MBL_NO_CAP;
    if (b->single == NULL) {
        kernel_of(b)(b, steps, first, last, time, record);
        return;
    }
    mbl_single_enter(b);
    single_of(b)(b->single, steps, first, last, time, record);
    mbl_single_leave(b);
}
