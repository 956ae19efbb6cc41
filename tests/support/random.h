/* SPDX-License-Identifier: MIT */
/* Seeded random numbers for tests: splitmix64 (Steele, Lea, Flood 2014). */
#ifndef MBL_TESTS_RANDOM_H
#define MBL_TESTS_RANDOM_H

#include <stddef.h>
#include <stdint.h>

typedef struct random_source {
    uint64_t state; /* the seed, to begin with */
} random_source;

static inline uint64_t random_bits(random_source *r)
{
    uint64_t z = r->state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* Evenly in [low, high). */
static inline double random_between(random_source *r, double low, double high)
{
    return low + (high - low) * ((double)(random_bits(r) >> 11) * 0x1p-53);
}

/* 0 .. n - 1, n at least 1. */
static inline int random_below(random_source *r, int n)
{
    return (int)(random_bits(r) % (uint64_t)n);
}

#endif
