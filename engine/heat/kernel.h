/* SPDX-License-Identifier: MIT */
/* The stepping kernel, compiled once per lane width from kernel_body.h. Private to `heat`. */
#ifndef MBL_HEAT_KERNEL_H
#define MBL_HEAT_KERNEL_H

#include "heat/block.h"

typedef void mbl_kernel_run(mbl_block *b, const mbl_inputs *in, size_t first, size_t last,
                            mbl_record *record);
typedef void mbl_kernel_flows(mbl_block *b, double speed, double power, const double *source);

mbl_kernel_run mbl_kernel_run_1, mbl_kernel_run_4, mbl_kernel_run_8, mbl_kernel_run_16;
mbl_kernel_flows mbl_kernel_flows_1, mbl_kernel_flows_4, mbl_kernel_flows_8, mbl_kernel_flows_16;
/* the same bits from wider registers */
mbl_kernel_run mbl_kernel_run_4_avx2, mbl_kernel_run_8_avx512, mbl_kernel_run_16_avx512;
mbl_kernel_flows mbl_kernel_flows_4_avx2, mbl_kernel_flows_8_avx512, mbl_kernel_flows_16_avx512;

#endif
