/* SPDX-License-Identifier: MIT */
#define BENCH_LANES   1
#define BENCH_NAME(x) x##_1
#include "bench/field_body.h"
#include "bench/rk4_body.h"
#include "bench/multirate_body.h"
