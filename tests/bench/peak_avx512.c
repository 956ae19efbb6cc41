/* SPDX-License-Identifier: MIT */
/* Compiled with -mavx512f. */
#include <immintrin.h>

#define VEC       __m512d
#define SPLAT     _mm512_set1_pd
#define FMA       _mm512_fmadd_pd
#define WIDTH     8
#define PEAK_NAME bench_peak_avx512
#include "bench/peak_body.h"
