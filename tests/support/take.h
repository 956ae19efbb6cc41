/* SPDX-License-Identifier: MIT */
/* Files that a test has had written, read and removed. */
#ifndef MBL_TEST_TAKE_H
#define MBL_TEST_TAKE_H

#include "support/test.h"

#include "base/file.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Reads and removes a file; the caller frees the text. */
static inline char *test_take(const char *path)
{
    mbl_error err = {0};
    char *data = NULL;
    size_t size = 0;
    assert_ok(mbl_file_read(&mbl_alloc_libc, path, (size_t)1 << 28, &data, &size, &err), err);
    assert_int_equal(unlink(path), 0);
    char *copy = malloc(size + 1);
    assert_non_null(copy);
    memcpy(copy, data, size + 1);
    mbl_free(&mbl_alloc_libc, data, size + 1, 1);
    return copy;
}

#endif
