/* SPDX-License-Identifier: MIT */
/* An allocator for tests: counts, checks sizes on free, and fails the n-th allocation on order. */
#ifndef MBL_TESTS_TEST_ALLOC_H
#define MBL_TESTS_TEST_ALLOC_H

#include "base/alloc.h"

typedef struct test_alloc {
    mbl_alloc alloc;   /* pass &t.alloc to the engine */
    size_t calls;      /* allocations and growths asked for so far */
    size_t fail_at;    /* fail the allocation with this number (from 1); 0 never */
    size_t live_bytes; /* bytes not yet freed */
    size_t wrong_size; /* frees or resizes that named another size than was allocated */
} test_alloc;

/* Prepares t; t must not move afterwards. */
void test_alloc_init(test_alloc *t);

#endif
