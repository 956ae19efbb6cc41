/* SPDX-License-Identifier: MIT */
#define BENCH_LANES   4
#define BENCH_NAME(x) x##_4_avx2
#include "bench/field_body.h"
#include "bench/rk4_body.h"
#include "bench/multirate_body.h"
