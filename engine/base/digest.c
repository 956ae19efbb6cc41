/* SPDX-License-Identifier: MIT */
#include "base/digest.h"

#include <stdio.h>
#include <string.h>

/* The finishing mix of splitmix64 (Steele, Lea and Flood 2014; constants from memory). */
static uint64_t mix(uint64_t x)
{
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

void mbl_digest_start(mbl_digest *d)
{
    *d = (mbl_digest){0x243f6a8885a308d3u, 0x13198a2e03707344u}; /* digits of pi */
}

void mbl_digest_count(mbl_digest *d, uint64_t value)
{
    d->a = mix(d->a ^ value) + 0x9e3779b97f4a7c15u;
    d->b = mix(d->b + value * 0xd1342543de82ef95u) ^ 0xa4093822299f31d0u;
}

void mbl_digest_add(mbl_digest *d, const void *bytes, size_t n)
{
    const unsigned char *next = bytes;
    mbl_digest_count(d, n);
    for (size_t left = n; left > 0;) {
        uint64_t word = 0;
        size_t some = left < sizeof word ? left : sizeof word;
        memcpy(&word, next, some);
        mbl_digest_count(d, word);
        next += some;
        left -= some;
    }
}

void mbl_digest_number(mbl_digest *d, double value)
{
    uint64_t word;
    value += 0.0; /* -0 becomes 0 */
    memcpy(&word, &value, sizeof word);
    mbl_digest_count(d, word);
}

bool mbl_digest_same(const mbl_digest *a, const mbl_digest *b)
{
    return a->a == b->a && a->b == b->b;
}

void mbl_digest_write(const mbl_digest *d, char out[33])
{
    snprintf(out, 33, "%016llx%016llx", (unsigned long long)d->a, (unsigned long long)d->b);
}
