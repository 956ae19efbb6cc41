/* SPDX-License-Identifier: MIT */
/* Whole lines of an open file one by one, however large it is. Private to `host`. */
#ifndef MBL_HOST_LINES_H
#define MBL_HOST_LINES_H

#include "base/alloc.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Bytes of the longest line: what has none for longer is not a file of lines. */
#define MBL_LINES_LONGEST ((size_t)16 * 1024 * 1024)

typedef struct mbl_lines {
    const mbl_alloc *alloc;
    int fd; /* borrowed; read from the start with pread */
    const char *path;
    char *buffer;
    size_t room, begin, end; /* bytes of the buffer; what is not handed out yet */
    long long read;          /* bytes of the file that have been in the buffer */
    size_t number;           /* lines handed out */
} mbl_lines;

void mbl_lines_begin(mbl_lines *lines, const mbl_alloc *alloc, int fd, const char *path);
void mbl_lines_end(mbl_lines *lines);

/*
 * The next whole line, without its end, valid until the next call; NULL when there is none. `path`
 * names the file in errors. MBL_FILE, MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_lines_next(mbl_lines *lines, const char **line, size_t *n,
                                        mbl_error *err);

/* Bytes of the lines handed out so far, their ends included. */
long long mbl_lines_bytes(const mbl_lines *lines);

/* Bytes behind the last whole line; after mbl_lines_next gave NULL. */
size_t mbl_lines_torn(const mbl_lines *lines);

#endif
