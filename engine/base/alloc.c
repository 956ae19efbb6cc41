/* SPDX-License-Identifier: MIT */
#include "base/alloc.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static void *libc_fn(void *ctx, void *p, size_t old_size, size_t new_size)
{
    (void)ctx;
    (void)old_size;
    if (new_size == 0) {
        free(p);
        return NULL;
    }
    return realloc(p, new_size);
}

const mbl_alloc mbl_alloc_libc = {libc_fn, NULL};

static int overflows(size_t n, size_t size)
{
    return size != 0 && n > SIZE_MAX / size;
}

void *mbl_new(const mbl_alloc *alloc, size_t n, size_t size)
{
    return mbl_resize(alloc, NULL, 0, n, size);
}

void *mbl_resize(const mbl_alloc *alloc, void *p, size_t old_n, size_t new_n, size_t size)
{
    if (overflows(new_n, size))
        return NULL;
    /* an empty array still gets a block, so that NULL always means failure */
    size_t old_bytes = p == NULL ? 0 : (old_n * size > 0 ? old_n * size : 1);
    size_t new_bytes = new_n * size > 0 ? new_n * size : 1;
    unsigned char *q = alloc->fn(alloc->ctx, p, old_bytes, new_bytes);
    if (q == NULL)
        return NULL;
    size_t kept = p == NULL ? 0 : old_n * size;
    if (new_bytes > kept)
        memset(q + kept, 0, new_bytes - kept);
    return q;
}

void mbl_free(const mbl_alloc *alloc, void *p, size_t n, size_t size)
{
    if (p != NULL)
        alloc->fn(alloc->ctx, p, n * size > 0 ? n * size : 1, 0);
}
