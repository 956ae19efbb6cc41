/* SPDX-License-Identifier: MIT */
/* The strides, compiled once per lane width and processor from stride_body.h. Private to `heat`. */
#ifndef MBL_HEAT_STRIDE_KERNEL_H
#define MBL_HEAT_STRIDE_KERNEL_H

#include "heat/corner.h"
#include "heat/single.h"
#include "heat/stride.h"

typedef void mbl_stride_kernel(mbl_block *b, const mbl_stride *steps, size_t first, size_t last,
                               double time, mbl_record *record);

typedef void mbl_stride_kernel_single(mbl_single *b, const mbl_stride *steps, size_t first,
                                      size_t last, double time, mbl_record *record);

mbl_stride_kernel mbl_stride_run_1;
mbl_stride_kernel mbl_stride_run_4;
mbl_stride_kernel mbl_stride_run_8;
/* the same bits by what newer processors have */
mbl_stride_kernel mbl_stride_run_1_avx2;
mbl_stride_kernel mbl_stride_run_4_avx2;
mbl_stride_kernel mbl_stride_run_8_avx512;
/* in single precision */
mbl_stride_kernel_single mbl_stride_run_1_single;
mbl_stride_kernel_single mbl_stride_run_4_single;
mbl_stride_kernel_single mbl_stride_run_8_single;
mbl_stride_kernel_single mbl_stride_run_16_single;
mbl_stride_kernel_single mbl_stride_run_8_single_avx2;
mbl_stride_kernel_single mbl_stride_run_16_single_avx512;

#endif
