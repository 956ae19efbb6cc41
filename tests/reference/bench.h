/* SPDX-License-Identifier: MIT */
/* Small networks run on even steps, for holding against closed forms. */
#ifndef MBL_TESTS_BENCH_H
#define MBL_TESTS_BENCH_H

#include "heat/heat.h"
#include "support/test.h"

/* A block of one lane from a network, which is freed; everything at `ambient` (K). */
static inline mbl_block *bench_block(mbl_network *net, double ambient)
{
    mbl_error err = {0};
    mbl_model *model = NULL;
    mbl_block *block = NULL;
    assert_ok(mbl_model_make(net, ambient, &model, &err), err);
    mbl_model *const lanes[] = {model};
    assert_ok(mbl_block_make(&mbl_alloc_libc, lanes, 1, &block, &err), err);
    mbl_model_drop(model);
    mbl_network_free(net);
    return block;
}

/* Runs n steps of dt with the same source (W, may be NULL: none) on the only source node. */
static inline void bench_run(mbl_block *block, double dt, int n, const double *source)
{
    for (int k = 0; k < n; k++) {
        double time[] = {0, dt};
        mbl_inputs in = {.time = time, .source = source, .stride = 1};
        mbl_block_run(block, &in, 0, 1, NULL);
    }
}

static inline double celsius(double kelvin)
{
    return kelvin - 273.15;
}

static inline double kelvin(double in_celsius)
{
    return in_celsius + 273.15;
}

#endif
