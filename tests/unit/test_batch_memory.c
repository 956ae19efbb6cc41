/* SPDX-License-Identifier: MIT */
/* What a batch allocates, when, and what happens when it cannot. */
#include "study/chunk.h"
#include "support/batch_rows.h"
#include "support/coupe.h"
#include "support/session.h"
#include "support/test_alloc.h"

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

static mbl_case stint_of(int hot)
{
    mbl_case c = test_case(trace, "{ out: 1, cool: 1, park: 1 min, hot: 1 }");
    c.stint.hot = hot;
    return c;
}

static size_t calls_of(const mbl_case *cases, size_t n)
{
    test_alloc t;
    test_alloc_init(&t);
    mbl_digest digest[4];
    batch_rows rows = {.cases = cases, .n = n, .digest = digest};
    batch_rows_run(&rows, (mbl_batch){.alloc = &t.alloc});
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
    return t.calls;
}

/* Laps that are alike share their steps, so that more of them need no more memory. */
static void the_number_of_laps_does_not_change_the_number_of_allocations(void **state)
{
    (void)state;
    size_t calls[3];
    static const int laps[] = {1, 4, 40};
    for (int k = 0; k < 3; k++) {
        mbl_case cases[4];
        for (size_t i = 0; i < 4; i++) {
            cases[i] = stint_of(laps[k]);
            cases[i].car.front.airflow = 0.4 + 0.02 * (double)i;
        }
        /* one whose effort ends early is driven twice */
        test_fill(&mbl_pedal_schema, test_pedal_tandem, &cases[3].car.pedal);
        cases[3].car.pedal.present = true;
        cases[3].car.pedal.effort_limit = 80;
        calls[k] = calls_of(cases, 4);
    }
    printf("%zu allocations for 4 rows\n", calls[0]);
    assert_int_equal(calls[1], calls[0]);
    assert_int_equal(calls[2], calls[0]);
}

static void a_leg_of_the_route_allocates_nothing(void **state)
{
    (void)state;
    static const double steps[] = {0, 0.1};
    for (int k = 0; k < 4; k++) {
        test_alloc t;
        test_alloc_init(&t);
        mbl_error err = {0};
        mbl_drive *d = NULL;
        mbl_case c = stint_of(3);
        c.car.fuel.start = k >= 2 ? 20 : 0;
        c.car.fuel.per_lap = k >= 2 ? 3 : 0;
        assert_ok(mbl_drive_make(&t.alloc, &c, steps[k % 2], NULL, 0, NULL, &d, &err), err);
        size_t before = t.calls;
        for (size_t i = 0; i < d->route->plan.n; i++) {
            mbl_leg_report report;
            assert_ok(mbl_drive_leg(d, &d->route->plan.leg[i], NULL, &report, &err), err);
        }
        assert_int_equal(t.calls, before);
        assert_null(d->survey);
        mbl_drive_free(d);
        assert_int_equal(t.live_bytes, 0);
    }
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    mbl_case cases[2] = {stint_of(1), stint_of(1)};
    test_fill(&mbl_pedal_schema, test_pedal_tandem, &cases[1].car.pedal);
    cases[1].car.pedal.present = true;
    cases[1].car.pedal.effort_limit = 80;
    mbl_digest want[2] = {batch_rows_alone(&cases[0], 0), batch_rows_alone(&cases[1], 0)};
    size_t failed = 0;
    size_t borne = 0; /* what is kept for later may find no room: that costs time only */
    for (size_t fail_at = 1;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_digest digest[2] = {0};
        batch_rows rows = {.cases = cases, .n = 2, .digest = digest};
        mbl_batch b = {.alloc = &t.alloc,
                       .source = batch_rows_give,
                       .sink = batch_rows_take,
                       .ctx = &rows,
                       .rows = 2};
        mbl_error err = {0};
        size_t done = 9;
        mbl_status status = mbl_batch_run(&b, &done, &err);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        assert_int_equal(done, status == MBL_OK ? 2 : 0);
        assert_int_equal(err.status, status);
        if (status == MBL_OK)
            assert_memory_equal(digest, want, sizeof want);
        else
            assert_int_equal(status, MBL_MEMORY);
        if (t.calls < fail_at)
            break;
        failed += status != MBL_OK;
        borne += status == MBL_OK;
    }
    printf("%zu allocations failed the batch, %zu did not\n", failed, borne);
    assert_true(failed > 30);
}

/* Rows of one route, each with a trace of its own that is gone once the row was taken. */
static mbl_trace *lent;

static mbl_status lend(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    (void)ctx;
    (void)err;
    assert_null(lent);
    lent = test_session(&drive_harrow_vale, 1);
    *out = test_case(lent, "{ out: 1, hot: 2, park: 1 min }");
    out->car.front.airflow += 0.01 * (double)i;
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status take_back(void *ctx, size_t i, const mbl_run *r, const mbl_error *why,
                            mbl_error *err)
{
    mbl_digest *digest = ctx;
    (void)why;
    (void)err;
    digest[i] = run_digest(r);
    mbl_trace_drop(lent);
    lent = NULL;
    return MBL_OK;
}

static void what_a_row_points_to_may_go_once_it_was_taken(void **state)
{
    (void)state;
    mbl_digest digest[3];
    mbl_error err = {0};
    mbl_bench bench;
    mbl_bench_init(&bench, &mbl_alloc_libc);
    mbl_chunk_rule rule = {.lanes = 4};
    for (size_t i = 0; i < 3; i++) {
        mbl_chunk chunk = {.first = i, .n = 1};
        mbl_row_fate fate;
        chunk.row[0].run = mbl_new(&mbl_alloc_libc, 1, sizeof *chunk.row[0].run);
        assert_non_null(chunk.row[0].run);
        chunk.row[0].run->alloc = &mbl_alloc_libc;
        assert_ok(lend(NULL, i, &chunk.row[0].run->setup, &fate, &err), err);
        assert_ok(mbl_chunk_work(&bench, &rule, &chunk, &err), err);
        assert_ok(take_back(digest, i, chunk.row[0].run, NULL, &err), err);
        mbl_run_free(chunk.row[0].run);
    }
    mbl_bench_free(&bench);
    for (size_t i = 0; i < 3; i++) {
        mbl_case c = test_case(trace, "{ out: 1, hot: 2, park: 1 min }");
        c.car.front.airflow += 0.01 * (double)i;
        mbl_digest want = batch_rows_alone(&c, 0);
        assert_true(mbl_digest_same(&digest[i], &want));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_number_of_laps_does_not_change_the_number_of_allocations),
        cmocka_unit_test(a_leg_of_the_route_allocates_nothing),
        cmocka_unit_test(every_allocation_may_fail),
        cmocka_unit_test(what_a_row_points_to_may_go_once_it_was_taken),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
