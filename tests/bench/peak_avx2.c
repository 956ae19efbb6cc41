/* SPDX-License-Identifier: MIT */
/* Compiled with -mavx2 -mfma. */
#include <immintrin.h>

#define VEC       __m256d
#define SPLAT     _mm256_set1_pd
#define FMA       _mm256_fmadd_pd
#define WIDTH     4
#define PEAK_NAME bench_peak_avx2
#include "bench/peak_body.h"
