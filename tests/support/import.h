/* SPDX-License-Identifier: MIT */
/* Reads a text as a log, for tests of the readers: the import, or the error it must give. */
#ifndef MBL_TESTS_IMPORT_H
#define MBL_TESTS_IMPORT_H

#include "road/import.h"
#include "support/test.h"

static inline mbl_import import_text(const char *text, const mbl_log_wish *wish)
{
    mbl_import import = {0};
    mbl_error err = {0};
    assert_ok(mbl_import_parse(&mbl_alloc_libc, text, strlen(text), wish, &import, &err), err);
    return import;
}

static inline mbl_error import_refused(const char *text, const mbl_log_wish *wish)
{
    mbl_import import = {0};
    mbl_error err = {0};
    assert_int_equal(mbl_import_parse(&mbl_alloc_libc, text, strlen(text), wish, &import, &err),
                     MBL_INPUT);
    assert_int_equal(import.rows, 0); /* untouched */
    return err;
}

/* Fails unless the series of a role holds these samples; stamps within 1e-9 s. */
static inline void assert_samples(const mbl_import *import, mbl_log_role role, size_t n,
                                  const double *t, const double *x, double tolerance)
{
    const mbl_series *s = &import->series[role];
    assert_int_equal(s->n, n);
    for (size_t i = 0; i < n; i++) {
        assert_near(s->t[i], t[i], 1e-9);
        assert_near(s->x[i], x[i], tolerance);
    }
}

#endif
