/* SPDX-License-Identifier: MIT */
/* What every test file includes: cmocka in the order it needs, and comparisons that say more. */
#ifndef MBL_TESTS_TEST_H
#define MBL_TESTS_TEST_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Fails unless |got - want| <= tolerance; NaN fails. MBL_TOL_PRINT=1 prints every residual. */
#define assert_near(got, want, tolerance)                                                          \
    assert_near_at((got), (want), (tolerance), #got, __FILE__, __LINE__)

static inline void assert_near_at(double got, double want, double tolerance, const char *what,
                                  const char *file, int line)
{
    double off = fabs(got - want);
    int bad = !(off <= tolerance);
    const char *print = getenv("MBL_TOL_PRINT");
    if (bad || (print != NULL && print[0] == '1'))
        printf("%s:%d: %s = %.12g, expected %.12g within %.3g, off by %.3g\n", file, line, what, got,
               want, tolerance, off);
    if (bad)
        fail_msg("%s = %.12g, expected %.12g within %.3g", what, got, want, tolerance);
}

/* The same with the tolerance as a share of the expected value. */
#define assert_close(got, want, share) assert_near((got), (want), (share)*fabs(want))

/* Fails with the text of `err` unless the call returns MBL_OK. */
#define assert_ok(call, err)                                                                       \
    do {                                                                                           \
        if ((call) != MBL_OK)                                                                      \
            fail_msg("%s: %s:%d %s %s", #call, (err).file, (err).line, (err).path, (err).text);    \
    } while (0)

/* Fails unless `part` is found in `whole`. */
#define assert_has(whole, part)                                                                    \
    do {                                                                                           \
        if (strstr((whole), (part)) == NULL)                                                       \
            fail_msg("expected to find '%s' in: %s", (part), (whole));                             \
    } while (0)

#endif
