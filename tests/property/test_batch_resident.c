/* SPDX-License-Identifier: MIT */
/*
 * The memory of a batch does not grow with its rows: the peak of the resident set after a quarter
 * of them and after all. MBL_CASES rows (2000 when not set).
 */
#include "study/batch.h"
#include "support/random_car.h"
#include "support/session.h"
#include "support/test.h"

#include <sys/resource.h>

static mbl_trace *trace;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 1);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    return 0;
}

typedef struct watched {
    size_t n;
    double quarter, whole; /* MB */
} watched;

static double peak(void)
{
    struct rusage used;
    getrusage(RUSAGE_SELF, &used);
    return (double)used.ru_maxrss / 1024; /* kB on Linux */
}

/* No two rows alike: films, kin and mass differ, so that whatever is kept for later is renewed. */
static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    (void)ctx;
    (void)err;
    random_source r = {i};
    *out = test_case(trace, "{ hot: 1 }");
    out->car.front.airflow = random_between(&r, 0.3, 0.6);
    out->car.front.rotor.ring_mass *= random_between(&r, 0.7, 1.4);
    out->car.rear.pad.conductivity *= random_between(&r, 0.5, 2);
    out->car.mass += 10 * random_below(&r, 40);
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    watched *w = ctx;
    (void)err;
    if (run == NULL)
        fail_msg("row %zu: %s", i, why->text);
    if (i == w->n / 4)
        w->quarter = peak();
    if (i + 1 == w->n)
        w->whole = peak();
    return MBL_OK;
}

static void memory_does_not_grow_with_the_rows(void **state)
{
    (void)state;
    static const int workers[] = {0, 2};
    for (int k = 0; k < 2; k++) {
        watched w = {.n = (size_t)random_cases(2000)};
        size_t done = 0;
        mbl_error err = {0};
        mbl_batch b = {.source = give, .sink = take, .ctx = &w, .rows = w.n, .workers = workers[k]};
        assert_ok(mbl_batch_run(&b, &done, &err), err);
        printf("%d workers: %.1f MB after %zu rows, %.1f MB after %zu\n", workers[k], w.quarter,
               w.n / 4, w.whole, w.n);
        assert_true(w.quarter > 0);
        assert_true(w.whole - w.quarter < 2);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(memory_does_not_grow_with_the_rows),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
