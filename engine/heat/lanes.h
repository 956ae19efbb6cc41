/* SPDX-License-Identifier: MIT */
/*
 * Values of all lanes at once. Included by kernels, which define MBL_LANES (1, 4 or 8) first: with
 * one lane a vec is a double and everything below is plain arithmetic. Every operation is the same
 * in every lane, so the width changes no bit of a result. Private to `heat`.
 */
#ifndef MBL_HEAT_LANES_H
#define MBL_HEAT_LANES_H

#include "num/num.h"

#include <math.h>
#include <stdint.h>

#if defined(__AVX__)
#include <immintrin.h>
#endif

enum { W = MBL_LANES };

#if MBL_LANES == 1
typedef double vec;
typedef double loose;
typedef int mask;
#define SELECT(m, a, b) ((m) ? (a) : (b))
#define EACH(w, v)      (*(&(v) + (w)))
#else
typedef double vec __attribute__((vector_size(8 * MBL_LANES)));
/* the same where it need not lie on a boundary of its size, as in a record of the caller's */
typedef double loose __attribute__((vector_size(8 * MBL_LANES), may_alias, aligned(8)));
typedef long long mask __attribute__((vector_size(8 * MBL_LANES), may_alias));
#define SELECT(m, a, b) ((vec)(((mask)(a) & (m)) | ((mask)(b) & ~(m))))
#define EACH(w, v)      ((v)[w])
#endif

#define LANES for (int w = 0; w < W; w++)

/* Entry i of a field of block b, or of any array [..][lanes]. */
#define AT(field, i) (*(vec *)(void *)(b->field + (i)*W))
#define IN(array, i) (*(loose *)(uintptr_t)((array) + (i)*W))

static inline vec splat(double x)
{
#if MBL_LANES == 1
    return x;
#else
    return (vec){0} + x;
#endif
}

static inline vec root(vec x)
{
#if MBL_LANES == 4 && defined(__AVX__)
    return (vec)_mm256_sqrt_pd((__m256d)x);
#elif MBL_LANES == 8 && defined(__AVX512F__)
    return (vec)_mm512_sqrt_pd((__m512d)x);
#else
    vec y;
    LANES EACH(w, y) = sqrt(EACH(w, x));
    return y;
#endif
}

static inline int any(mask m)
{
#if MBL_LANES == 1
    return m;
#elif MBL_LANES == 4 && defined(__AVX__)
    return !_mm256_testz_si256((__m256i)m, (__m256i)m);
#elif MBL_LANES == 8 && defined(__AVX512F__)
    return _mm512_test_epi64_mask((__m512i)m, (__m512i)m) != 0;
#else
    long long sum = 0;
    LANES sum |= m[w];
    return sum != 0;
#endif
}

/* Interval and position of each lane on a grid of n knots; the last of both beyond the ends, where
 * `u` goes on past 0..1 unless it is held. */
typedef struct spots {
    int i[MBL_LANES];
    vec u;
} spots;

static inline spots spots_of(vec s, int n)
{
    spots at;
    double last = (double)(n - 2);
    vec low = SELECT(s > 0.0, s, splat(0)); /* NaN ends here too */
    low = SELECT(low < last, low, splat(last));
#if MBL_LANES == 1
    at.i[0] = (int)low;
    at.u = s - (double)at.i[0];
#else
    typedef int whole __attribute__((vector_size(4 * MBL_LANES)));
    whole i = __builtin_convertvector(low, whole);
    LANES at.i[w] = i[w];
    at.u = s - __builtin_convertvector(i, vec);
#endif
    return at;
}

static inline vec hold(vec u)
{
    vec low = SELECT(u > 0.0, u, splat(0));
    return SELECT(low < 1.0, low, splat(1));
}

/* Two neighbouring values of each lane: those at `from` past its own base and `on`, and the ones
 * after. */
static inline void neighbours(const double *const base[MBL_LANES], const int from[MBL_LANES],
                              ptrdiff_t on, vec *low, vec *high)
{
#define PAIR(w) (base[w] + from[w] + on)
#if MBL_LANES == 4 && defined(__AVX__)
    __m256d even = _mm256_loadu2_m128d(PAIR(2), PAIR(0));
    __m256d odd = _mm256_loadu2_m128d(PAIR(3), PAIR(1));
    *low = (vec)_mm256_unpacklo_pd(even, odd);
    *high = (vec)_mm256_unpackhi_pd(even, odd);
#elif MBL_LANES == 8 && defined(__AVX512F__)
    __m256d even0 = _mm256_loadu2_m128d(PAIR(2), PAIR(0));
    __m256d odd0 = _mm256_loadu2_m128d(PAIR(3), PAIR(1));
    __m256d even1 = _mm256_loadu2_m128d(PAIR(6), PAIR(4));
    __m256d odd1 = _mm256_loadu2_m128d(PAIR(7), PAIR(5));
    __m512d even = _mm512_insertf64x4(_mm512_castpd256_pd512(even0), even1, 1);
    __m512d odd = _mm512_insertf64x4(_mm512_castpd256_pd512(odd0), odd1, 1);
    *low = (vec)_mm512_unpacklo_pd(even, odd);
    *high = (vec)_mm512_unpackhi_pd(even, odd);
#else
    *low = splat(0);
    *high = splat(0);
    LANES
    {
        EACH(w, *low) = PAIR(w)[0];
        EACH(w, *high) = PAIR(w)[1];
    }
#endif
#undef PAIR
}

/* Each lane's own samples between two knots. */
static inline vec look_up(const double *const y[MBL_LANES], const spots *at)
{
    vec low;
    vec high;
    neighbours(y, at->i, 0, &low, &high);
    return low + at->u * (high - low);
}

#endif
