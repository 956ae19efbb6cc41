/* SPDX-License-Identifier: MIT */
/* The stepping kernel, compiled once per lane width from kernel_body.h. Private to `heat`. */
#ifndef MBL_HEAT_KERNEL_H
#define MBL_HEAT_KERNEL_H

#include "heat/block.h"

void mbl_kernel_run_1(mbl_block *b, const mbl_inputs *in, size_t first, size_t last,
                      mbl_record *record);
void mbl_kernel_run_4(mbl_block *b, const mbl_inputs *in, size_t first, size_t last,
                      mbl_record *record);
void mbl_kernel_flows_1(mbl_block *b, double speed, double power, const double *source);
void mbl_kernel_flows_4(mbl_block *b, double speed, double power, const double *source);

#endif
