/* SPDX-License-Identifier: MIT */
/*
 * Values of all lanes at once. Included by kernels, which define MBL_LANES (1, 4, 8 or 16) first:
 * with one lane a vec is one number and everything below is plain arithmetic. Every operation is
 * the same in every lane, so the width changes no bit of a result. A kernel for screening defines
 * MBL_SINGLE: its lanes are single precision, all but what is added up. Private to `heat`.
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

#ifdef MBL_SINGLE
typedef float real;
typedef int bits;
#else
typedef double real;
typedef long long bits;
#endif

#if MBL_LANES == 1
typedef real vec;
typedef double loose;
typedef int mask;
#define SELECT(m, a, b) ((m) ? (a) : (b))
#define EACH(w, v)      (*(&(v) + (w)))
#else
typedef real vec __attribute__((vector_size(sizeof(real) * MBL_LANES)));
/* doubles where they need not lie on a boundary of their size, as in a record of the caller's */
typedef double loose __attribute__((vector_size(8 * MBL_LANES), may_alias, aligned(8)));
typedef bits mask __attribute__((vector_size(sizeof(real) * MBL_LANES), may_alias));
#define SELECT(m, a, b) ((vec)(((mask)(a) & (m)) | ((mask)(b) & ~(m))))
#define EACH(w, v)      ((v)[w])
#endif

#define LANES for (int w = 0; w < W; w++)

/* Entry i of an array [..][lanes] of lanes, and of such a field of block b. */
#define OF(array, i) (*(vec *)(uintptr_t)((array) + (i)*W))
#define AT(field, i) OF(b->field, i)

/* Entry i of an array of doubles, whatever the lanes are: to read, to put there, and to add to. */
#define DOUBLES(array, i) (*(loose *)(uintptr_t)((array) + (i)*W))
#if MBL_LANES == 1
#define IN(array, i)     ((vec)DOUBLES(array, i))
#define PUT(array, i, x) (DOUBLES(array, i) = (x))
#define ADD(array, i, x) (DOUBLES(array, i) += (x))
#else
#define IN(array, i)     __builtin_convertvector(DOUBLES(array, i), vec)
#define PUT(array, i, x) (DOUBLES(array, i) = __builtin_convertvector(x, loose))
#define ADD(array, i, x) (DOUBLES(array, i) += __builtin_convertvector(x, loose))
#endif

/* A literal of neither kind of lanes; whole numbers are of both. */
#define HALF ((real)0.5)

static inline vec splat(real x)
{
#if MBL_LANES == 1
    return x;
#else
    return (vec){0} + x;
#endif
}

/* Puts x into entry i of an array of doubles, in the lanes of the mask alone: a double there that
 * no lane of single precision ever was is not to be rounded by what a neighbour does. */
static inline void put_where(mask m, double *array, int i, vec x)
{
#if MBL_LANES == 1
    DOUBLES(array, i) = m ? x : DOUBLES(array, i);
#else
    typedef long long all __attribute__((vector_size(8 * MBL_LANES), may_alias));
    all where = __builtin_convertvector(m, all);
    loose kept = DOUBLES(array, i);
    loose more = __builtin_convertvector(x, loose);
    DOUBLES(array, i) = (loose)(((all)more & where) | ((all)kept & ~where));
#endif
}

static inline vec root(vec x)
{
#if defined(MBL_SINGLE) && MBL_LANES == 8 && defined(__AVX__)
    return (vec)_mm256_sqrt_ps((__m256)x);
#elif defined(MBL_SINGLE) && MBL_LANES == 16 && defined(__AVX512F__)
    return (vec)_mm512_sqrt_ps((__m512)x);
#elif !defined(MBL_SINGLE) && MBL_LANES == 4 && defined(__AVX__)
    return (vec)_mm256_sqrt_pd((__m256d)x);
#elif !defined(MBL_SINGLE) && MBL_LANES == 8 && defined(__AVX512F__)
    return (vec)_mm512_sqrt_pd((__m512d)x);
#else
    vec y = x;
    LANES EACH(w, y) = (real)sqrt((double)EACH(w, x));
    return y;
#endif
}

static inline int any(mask m)
{
#if MBL_LANES == 1
    return m;
#elif defined(__AVX__) && (MBL_LANES == 4 || (MBL_LANES == 8 && defined(MBL_SINGLE)))
    return !_mm256_testz_si256((__m256i)m, (__m256i)m);
#elif !defined(MBL_SINGLE) && MBL_LANES == 8 && defined(__AVX512F__)
    return _mm512_test_epi64_mask((__m512i)m, (__m512i)m) != 0;
#elif defined(MBL_SINGLE) && MBL_LANES == 16 && defined(__AVX512F__)
    return _mm512_test_epi32_mask((__m512i)m, (__m512i)m) != 0;
#else
    bits sum = 0;
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
    real last = (real)(n - 2);
    vec low = SELECT(s > 0, s, splat(0)); /* NaN ends here too */
    low = SELECT(low < last, low, splat(last));
#if MBL_LANES == 1
    at.i[0] = (int)low;
    at.u = s - (real)at.i[0];
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
    vec low = SELECT(u > 0, u, splat(0));
    return SELECT(low < 1, low, splat(1));
}

/* Two neighbouring values of each lane: those at `from` past its own base and `on`, and the ones
 * after. */
static inline void neighbours(const double *const base[MBL_LANES], const int from[MBL_LANES],
                              ptrdiff_t on, vec *low, vec *high)
{
#define PAIR(w) (base[w] + from[w] + on)
#define TWO_PAIRS(w)                                                                               \
    _mm_shuffle_ps(_mm_cvtpd_ps(_mm_loadu_pd(PAIR(w))), _mm_cvtpd_ps(_mm_loadu_pd(PAIR((w) + 1))), \
                   _MM_SHUFFLE(1, 0, 1, 0))
#define FOUR_OF(a, b, c, d)                                                                        \
    _mm512_insertf32x4(                                                                            \
        _mm512_insertf32x4(_mm512_insertf32x4(_mm512_castps128_ps512(a), b, 1), c, 2), d, 3)
#if MBL_LANES == 4 && defined(__AVX__) && !defined(MBL_SINGLE)
    __m256d even = _mm256_loadu2_m128d(PAIR(2), PAIR(0));
    __m256d odd = _mm256_loadu2_m128d(PAIR(3), PAIR(1));
    *low = (vec)_mm256_unpacklo_pd(even, odd);
    *high = (vec)_mm256_unpackhi_pd(even, odd);
#elif MBL_LANES == 8 && defined(__AVX__) && defined(MBL_SINGLE)
    __m256 early = _mm256_set_m128(TWO_PAIRS(4), TWO_PAIRS(0)); /* lanes 0 1 4 5 */
    __m256 late = _mm256_set_m128(TWO_PAIRS(6), TWO_PAIRS(2));  /* lanes 2 3 6 7 */
    *low = (vec)_mm256_shuffle_ps(early, late, _MM_SHUFFLE(2, 0, 2, 0));
    *high = (vec)_mm256_shuffle_ps(early, late, _MM_SHUFFLE(3, 1, 3, 1));
#elif MBL_LANES == 16 && defined(__AVX512F__) && defined(MBL_SINGLE)
    __m512 early = FOUR_OF(TWO_PAIRS(0), TWO_PAIRS(4), TWO_PAIRS(8), TWO_PAIRS(12));
    __m512 late = FOUR_OF(TWO_PAIRS(2), TWO_PAIRS(6), TWO_PAIRS(10), TWO_PAIRS(14));
    *low = (vec)_mm512_shuffle_ps(early, late, _MM_SHUFFLE(2, 0, 2, 0));
    *high = (vec)_mm512_shuffle_ps(early, late, _MM_SHUFFLE(3, 1, 3, 1));
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
        EACH(w, *low) = (real)PAIR(w)[0];
        EACH(w, *high) = (real)PAIR(w)[1];
    }
#endif
#undef FOUR_OF
#undef TWO_PAIRS
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
