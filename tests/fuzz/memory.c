/* SPDX-License-Identifier: MIT */
#include "fuzz/fuzz.h"

#include <string.h>

static void *count(void *ctx, void *p, size_t old_size, size_t new_size)
{
    fuzz_memory *m = ctx;
    must(m->used >= old_size);
    if (new_size > m->cap - (m->used - old_size))
        return NULL;
    void *now = mbl_alloc_libc.fn(mbl_alloc_libc.ctx, p, old_size, new_size);
    if (now != NULL || new_size == 0)
        m->used = m->used - old_size + new_size;
    return now;
}

void fuzz_memory_init(fuzz_memory *memory, size_t cap)
{
    *memory = (fuzz_memory){.alloc = {count, memory}, .cap = cap};
}

void fuzz_check_error(mbl_status status, const mbl_error *err)
{
    if (status == MBL_OK)
        return;
    must(err->status == status);
    must(err->text[0] != '\0' && memchr(err->text, 0, sizeof err->text) != NULL);
    must(err->line >= 0 && err->column >= 0);
    must(status != MBL_INTERNAL);
}
