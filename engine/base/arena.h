/* SPDX-License-Identifier: MIT */
/* A bump allocator for things that live and die together: documents, networks being built. */
#ifndef MBL_BASE_ARENA_H
#define MBL_BASE_ARENA_H

#include "base/alloc.h"

typedef struct mbl_arena {
    const mbl_alloc *alloc;
    struct mbl_arena_chunk *chunk; /* newest first */
    size_t used;                   /* bytes used in the newest chunk */
} mbl_arena;

void mbl_arena_init(mbl_arena *arena, const mbl_alloc *alloc);

/* A zeroed array of n items, 16-byte aligned; NULL on failure. Freed by mbl_arena_free. */
void *mbl_arena_new(mbl_arena *arena, size_t n, size_t size);

/* A zero-terminated copy of `length` bytes of text; NULL on failure. */
char *mbl_arena_copy(mbl_arena *arena, const char *text, size_t length);

/* Frees everything; the arena can be used again. */
void mbl_arena_free(mbl_arena *arena);

#endif
