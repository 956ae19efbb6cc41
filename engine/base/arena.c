/* SPDX-License-Identifier: MIT */
#include "base/arena.h"

#include <stdint.h>
#include <string.h>

enum { FIRST_CHUNK = 4096, ALIGN = 16 };

typedef struct mbl_arena_chunk {
    struct mbl_arena_chunk *next;
    size_t size; /* bytes after the header */
} chunk;

/* the header is padded so that the bytes after it stay aligned */
enum { HEADER = (sizeof(chunk) + ALIGN - 1) / ALIGN * ALIGN };

void mbl_arena_init(mbl_arena *arena, const mbl_alloc *alloc)
{
    *arena = (mbl_arena){.alloc = alloc};
}

static int grow(mbl_arena *arena, size_t bytes)
{
    size_t size = arena->chunk == NULL ? (size_t)FIRST_CHUNK : arena->chunk->size * 2;
    if (size < bytes)
        size = bytes;
    if (size > SIZE_MAX - HEADER)
        return 0;
    chunk *fresh = mbl_new(arena->alloc, 1, HEADER + size);
    if (fresh == NULL)
        return 0;
    fresh->next = arena->chunk;
    fresh->size = size;
    arena->chunk = fresh;
    arena->used = 0;
    return 1;
}

void *mbl_arena_new(mbl_arena *arena, size_t n, size_t size)
{
    if (size != 0 && n > (SIZE_MAX / 2) / size)
        return NULL;
    size_t bytes = (n * size + ALIGN - 1) / ALIGN * ALIGN;
    if (bytes == 0)
        bytes = ALIGN;
    if (arena->chunk == NULL || arena->chunk->size - arena->used < bytes) {
        if (!grow(arena, bytes))
            return NULL;
    }
    unsigned char *p = (unsigned char *)arena->chunk + HEADER + arena->used;
    arena->used += bytes;
    return p;
}

char *mbl_arena_copy(mbl_arena *arena, const char *text, size_t length)
{
    char *copy = mbl_arena_new(arena, length + 1, 1);
    if (copy != NULL)
        memcpy(copy, text, length);
    return copy;
}

void mbl_arena_free(mbl_arena *arena)
{
    chunk *c = arena->chunk;
    while (c != NULL) {
        chunk *next = c->next;
        mbl_free(arena->alloc, c, 1, HEADER + c->size);
        c = next;
    }
    arena->chunk = NULL;
    arena->used = 0;
}
