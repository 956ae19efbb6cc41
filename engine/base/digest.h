/* SPDX-License-Identifier: MIT */
/*
 * 128 bits that tell contents apart: two streams of multiply and mix. No protection against someone
 * who wants two contents to look alike.
 */
#ifndef MBL_BASE_DIGEST_H
#define MBL_BASE_DIGEST_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct mbl_digest {
    uint64_t a, b;
} mbl_digest;

void mbl_digest_start(mbl_digest *digest);
void mbl_digest_add(mbl_digest *digest, const void *bytes, size_t n);
void mbl_digest_number(mbl_digest *digest, double value); /* 0 and -0 alike */
void mbl_digest_count(mbl_digest *digest, uint64_t value);
bool mbl_digest_same(const mbl_digest *a, const mbl_digest *b);

/* 32 hexadecimal digits and a zero. */
void mbl_digest_write(const mbl_digest *digest, char out[33]);

#endif
