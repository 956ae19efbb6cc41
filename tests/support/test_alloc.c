/* SPDX-License-Identifier: MIT */
#include "support/test_alloc.h"

#include <stdlib.h>
#include <string.h>

/* every block carries its size in front, so that the size a caller names can be checked */
enum { HEADER = 16 };

static void *run(void *ctx, void *p, size_t old_size, size_t new_size)
{
    test_alloc *t = ctx;
    unsigned char *block = p == NULL ? NULL : (unsigned char *)p - HEADER;
    size_t known = 0;
    if (block != NULL)
        memcpy(&known, block, sizeof known);
    if (known != old_size)
        t->wrong_size++;
    if (new_size == 0) {
        if (block != NULL)
            memset(block, 0xA5, HEADER + known);
        free(block);
        t->live_bytes -= known;
        return NULL;
    }
    if (new_size > known) {
        t->calls++;
        if (t->calls == t->fail_at)
            return NULL;
    }
    /* always moves, so that a stale pointer is found by the address sanitizer */
    unsigned char *fresh = malloc(HEADER + new_size);
    if (fresh == NULL)
        return NULL;
    memcpy(fresh, &new_size, sizeof new_size);
    memset(fresh + HEADER, 0xA5, new_size);
    if (block != NULL) {
        memcpy(fresh + HEADER, p, known < new_size ? known : new_size);
        free(block);
    }
    t->live_bytes += new_size - known;
    return fresh + HEADER;
}

void test_alloc_init(test_alloc *t)
{
    *t = (test_alloc){.alloc = {run, t}};
}
