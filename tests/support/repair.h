/* SPDX-License-Identifier: MIT */
/* Imports made by hand, and the logs that are assembled from them, for tests of the repairs. */
#ifndef MBL_TESTS_REPAIR_H
#define MBL_TESTS_REPAIR_H

#include "road/import.h"
#include "support/test.h"

/* An import of nothing yet. Line numbers are those the tests give. */
static inline mbl_import repair_blank(void)
{
    mbl_import import = {.alloc = &mbl_alloc_libc, .delimiter = ',', .decimal = '.'};
    snprintf(import.column[MBL_LOG_TIME].name, sizeof import.column[0].name, "Time");
    snprintf(import.column[MBL_LOG_SPEED].name, sizeof import.column[0].name, "Speed");
    snprintf(import.column[MBL_LOG_SPEED].unit, sizeof import.column[0].unit, "m/s");
    return import;
}

static inline void repair_add(mbl_import *import, mbl_log_role role, double t, double x, int line)
{
    import->column[role].present = true;
    assert_true(mbl_import_add(import, role, t, x, line));
}

/* Assembles and frees the import. */
static inline mbl_log *repair_assemble(mbl_import *import)
{
    mbl_error err = {0};
    mbl_log *log = NULL;
    assert_ok(mbl_log_assemble(import, "x", NULL, &log, &err), err);
    mbl_import_free(import);
    return log;
}

static inline mbl_error repair_refused(mbl_import *import)
{
    mbl_error err = {0};
    mbl_log *log = NULL;
    assert_int_equal(mbl_log_assemble(import, "x", NULL, &log, &err), MBL_INPUT);
    assert_null(log);
    mbl_import_free(import);
    return err;
}

/* Fails unless these repairs, and no others, were made. */
static inline void assert_repairs(const mbl_log *log, size_t n, const mbl_repair_kind *kind,
                                  const size_t *count)
{
    for (int k = 0; k < MBL_REPAIRS; k++) {
        size_t want = 0;
        for (size_t i = 0; i < n; i++)
            want = kind[i] == (mbl_repair_kind)k ? count[i] : want;
        if (log->repair[k].count != want)
            fail_msg("%s: %zu, expected %zu", mbl_repair_text((mbl_repair_kind)k),
                     log->repair[k].count, want);
    }
}

static inline void assert_repair(const mbl_log *log, mbl_repair_kind kind, size_t count, int first,
                                 int last, double amount)
{
    assert_repairs(log, 1, &kind, &count);
    assert_int_equal(log->repair[kind].first_line, first);
    assert_int_equal(log->repair[kind].last_line, last);
    assert_near(log->repair[kind].amount, amount, 1e-6);
}

/* A drive with nothing wrong: never the same speed twice, never beyond what a car can do. */
static inline double repair_speed(double t)
{
    return 40 + 12 * sin(0.37 * t) + 0.01 * t;
}

#endif
