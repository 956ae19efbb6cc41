/* SPDX-License-Identifier: MIT */
#define BENCH_LANES   8
#define BENCH_NAME(x) x##_8_avx512
#include "bench/field_body.h"
#include "bench/rk4_body.h"
#include "bench/multirate_body.h"
