/* SPDX-License-Identifier: MIT */
/*
 * All memory of the engine comes through one function that is told the old size, so that a
 * caller can count, cap, or fail any allocation. Objects keep the pointer they were made with.
 */
#ifndef MBL_BASE_ALLOC_H
#define MBL_BASE_ALLOC_H

#include <stddef.h>

/*
 * fn(ctx, p, old_size, new_size): p NULL allocates, new_size 0 frees and returns NULL, anything
 * else resizes. Returns NULL on failure, leaving p as it was. Blocks are aligned for any type.
 */
typedef struct mbl_alloc {
    void *(*fn)(void *ctx, void *p, size_t old_size, size_t new_size);
    void *ctx;
} mbl_alloc;

/* The C library's allocator. */
extern const mbl_alloc mbl_alloc_libc;

/* A zeroed array of n items of `size` bytes; NULL on failure, overflow of n * size included. */
void *mbl_new(const mbl_alloc *alloc, size_t n, size_t size);

/*
 * Resizes an array from old_n to new_n items; new items are zeroed. On failure returns NULL and
 * the old array stays valid.
 */
void *mbl_resize(const mbl_alloc *alloc, void *p, size_t old_n, size_t new_n, size_t size);

/* Frees an array of n items of `size` bytes. p may be NULL. */
void mbl_free(const mbl_alloc *alloc, void *p, size_t n, size_t size);

#endif
