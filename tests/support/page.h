/* SPDX-License-Identifier: MIT */
/* The page of a run as text, and what every page has to be. */
#ifndef MBL_TESTS_PAGE_H
#define MBL_TESTS_PAGE_H

#include "out/out.h"
#include "support/test.h"

/* The page as text; the caller frees it. */
static inline char *page_of(const mbl_run *run, mbl_units_system units)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_out_run(run, units, &text);
    assert_false(text.failed);
    char *copy = strdup(mbl_text_get(&text));
    assert_non_null(copy);
    mbl_text_free(&text);
    return copy;
}

static inline void expect_page(const mbl_run *run, mbl_units_system units, const char *part)
{
    char *page = page_of(run, units);
    assert_has(page, part);
    free(page);
}

static inline void expect_no_page(const mbl_run *run, const char *part)
{
    char *page = page_of(run, MBL_UNITS_SI);
    if (strstr(page, part) != NULL)
        fail_msg("'%s' is in: %s", part, page);
    free(page);
}

/* Plain ASCII, at most 79 columns, no trailing mess, and never the one word. */
static inline void check_shape(const char *page)
{
    size_t column = 0;
    for (const char *c = page; *c != '\0'; c++) {
        column = *c == '\n' ? 0 : column + 1;
        if (column > 79)
            fail_msg("a line is longer than 79 columns: %.90s", c - 79);
        if (*c != '\n' && ((unsigned char)*c < 0x20 || (unsigned char)*c > 0x7E))
            fail_msg("byte %d is not plain ASCII", (unsigned char)*c);
    }
    assert_int_equal(column, 0);
    assert_null(strstr(page, "safe"));
    assert_null(strstr(page, "Safe"));
    assert_null(strstr(page, "nan"));
    assert_null(strstr(page, "inf "));
}

#endif
