/* SPDX-License-Identifier: MIT */
/* Files in and out, whole or not at all. */
#ifndef MBL_BASE_FILE_H
#define MBL_BASE_FILE_H

#include "base/alloc.h"
#include "base/status.h"

#include <stddef.h>
#include <stdio.h>

/*
 * Reads a regular file of at most `limit` bytes into a new block of *size + 1 bytes, a zero byte
 * added at the end. The caller frees it with mbl_free(alloc, data, *size + 1, 1).
 * Fails with MBL_FILE (missing, a directory, no permission, too large) or MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_file_read(const mbl_alloc *alloc, const char *path, size_t limit,
                                       char **data, size_t *size, mbl_error *err);

/*
 * A file that appears whole: opened under a temporary name beside `path`, and renamed by
 * mbl_file_commit once every byte is on disk. Until then `path` keeps what it had.
 */
typedef struct mbl_file {
    FILE *stream;
    char path[512];
    char temporary[528];
} mbl_file;

MBL_NODISCARD mbl_status mbl_file_begin(mbl_file *file, const char *path, mbl_error *err);

/* Flushes, syncs and renames. On failure removes the temporary file. */
MBL_NODISCARD mbl_status mbl_file_commit(mbl_file *file, mbl_error *err);

/* Gives up: closes and removes the temporary file. Harmless after a commit. */
void mbl_file_abandon(mbl_file *file);

#endif
