/* SPDX-License-Identifier: MIT */
/*
 * Batches: rows in order whatever becomes of them, errors and stops. That a row has the bits of its
 * case alone is in tests/property/test_batch_sameness.c.
 */
#include "support/batch_rows.h"
#include "support/coupe.h"
#include "support/session.h"

#include <time.h>

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

/* Row i of a sweep of front air flow, in two kinds that are driven apart. */
static mbl_case row_of(size_t i)
{
    mbl_case c = test_case(trace, "{ hot: 1 }");
    c.car.front.airflow = 0.3 + 0.001 * (double)i;
    if (i % 3 == 2)
        c.car.mass += 200;
    return c;
}

static const int crews[] = {0, 1, 3};
enum { CREWS = 3, NEVER = 1 << 20 };

/* ---- a batch with faults ---- */

enum { MOST = 64 };

typedef struct faults {
    mbl_case (*row)(size_t i);
    size_t n;                                /* rows that there are */
    size_t refuse, source_fails, sink_fails; /* rows */
    size_t stop_at;                          /* row whose sink raises the flag */
    volatile sig_atomic_t stop;
    size_t asked, taken;
    mbl_digest digest[MOST];
    bool ran[MOST];
    mbl_error why[MOST];
    double stopped_at; /* s */
} faults;

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    faults *f = ctx;
    static const mbl_case zero;
    assert_memory_equal(out, &zero, sizeof zero);
    assert_int_equal(i, f->asked++);
    if (i == f->n)
        return MBL_OK;
    if (i == f->source_fails)
        return mbl_fail(err, MBL_FILE, "source %zu", i);
    *fate = i % 8 == f->refuse ? MBL_ROW_REFUSED : MBL_ROW_GIVEN;
    if (*fate == MBL_ROW_REFUSED)
        (void)mbl_fail(err, MBL_INPUT, "refused %zu", i);
    else
        *out = f->row(i);
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    faults *f = ctx;
    assert_int_equal(i, f->taken);
    assert_true((run == NULL) == (why != NULL));
    if (i == f->sink_fails)
        return mbl_fail(err, MBL_FILE, "sink %zu", i);
    f->taken++;
    if (i == f->stop_at) {
        f->stop = 1;
        f->stopped_at = now();
    }
    if (i >= MOST)
        return MBL_OK;
    f->ran[i] = run != NULL;
    if (run != NULL)
        f->digest[i] = run_digest(run);
    else
        f->why[i] = *why;
    return MBL_OK;
}

static faults faults_of(mbl_case (*row)(size_t i), size_t n)
{
    return (faults){.row = row,
                    .n = n,
                    .refuse = NEVER,
                    .source_fails = NEVER,
                    .sink_fails = NEVER,
                    .stop_at = NEVER};
}

static mbl_status run(faults *f, int workers, int lanes, size_t rows, size_t *done, mbl_error *err)
{
    mbl_batch b = {.source = give,
                   .sink = take,
                   .ctx = f,
                   .rows = rows,
                   .workers = workers,
                   .lanes = lanes,
                   .stop = &f->stop};
    *err = (mbl_error){0};
    *done = 99999;
    mbl_status status = mbl_batch_run(&b, done, err);
    assert_int_equal(*done, f->taken);
    assert_int_equal(err->status, status);
    return status;
}

static void assert_alone(const faults *f, size_t i)
{
    mbl_case c = f->row(i);
    mbl_digest want = batch_rows_alone(&c, 0);
    if (!f->ran[i])
        fail_msg("row %zu failed: %s", i, f->why[i].text);
    if (!mbl_digest_same(&f->digest[i], &want))
        fail_msg("row %zu has other bits than alone", i);
}

/* ---- how many ---- */

static void as_many_rows_are_taken_as_there_are(void **state)
{
    (void)state;
    static const size_t counts[] = {0, 1, 2, 9, 40};
    for (size_t c = 0; c < CREWS; c++) {
        for (size_t k = 0; k < sizeof counts / sizeof counts[0]; k++) {
            for (int known = 0; known < 3; known++) { /* by the batch, the source, and both */
                size_t n = counts[k];
                faults f = faults_of(row_of, known == 0 ? NEVER : n);
                size_t done = 0;
                mbl_error err;
                assert_ok(run(&f, crews[c], 4, known == 1 ? SIZE_MAX : n, &done, &err), err);
                assert_int_equal(done, n);
                assert_int_equal(f.asked, known == 1 ? n + 1 : n);
                for (size_t i = 0; i < n; i++)
                    assert_true(f.ran[i]);
            }
        }
    }
}

static void a_thousand_rows_run(void **state)
{
    (void)state;
    faults f = faults_of(row_of, 1000);
    size_t done = 0;
    mbl_error err;
    assert_ok(run(&f, 2, 0, SIZE_MAX, &done, &err), err);
    assert_int_equal(done, 1000);
}

/* ---- rows that fail ---- */

/* Every kind of fault a row can have, among rows that have none. */
enum { REFUSED = 4 };

static mbl_case faulty_row_of(size_t i)
{
    mbl_case c = row_of(i);
    mbl_brake *b = &c.car.rear;
    switch (i % 8) {
    case 1:
        c.course.hot_lap = 99;
        break;
    case 3:
        b->links.n = 1;
        b->links.v[0] = (mbl_extra_link){.from = "shroud", .to = "ambient", .conductance = 3};
        break;
    case 6:
        b->nodes.n = 1;
        b->nodes.v[0] = (mbl_extra_node){.name = "shroud", .capacity = -3};
        break;
    default:
        break;
    }
    return c;
}

static void assert_reason_alone(const faults *f, size_t i)
{
    mbl_error err = {0};
    mbl_run *r = NULL;
    mbl_case c = f->row(i);
    mbl_status status = mbl_run_quick(&mbl_alloc_libc, &c, 0, NULL, &r, &err);
    assert_int_not_equal(status, MBL_OK);
    assert_int_equal(f->why[i].status, status);
    assert_string_equal(f->why[i].path, err.path);
    assert_string_equal(f->why[i].text, err.text);
}

static void rows_that_fail_come_in_order_with_their_reason_and_harm_no_other(void **state)
{
    (void)state;
    enum { ROWS = 30 };
    for (size_t c = 0; c < CREWS; c++) {
        for (int lanes = 1; lanes <= 8; lanes = lanes == 1 ? 4 : 2 * lanes) {
            faults f = faults_of(faulty_row_of, ROWS);
            size_t done = 0;
            mbl_error err;
            f.refuse = REFUSED;
            assert_ok(run(&f, crews[c], lanes, SIZE_MAX, &done, &err), err);
            assert_int_equal(done, ROWS);
            for (size_t i = 0; i < ROWS; i++) {
                size_t kind = i % 8;
                char text[32];
                snprintf(text, sizeof text, "refused %zu", i);
                if (kind == REFUSED) {
                    assert_false(f.ran[i]);
                    assert_string_equal(f.why[i].text, text);
                } else if (kind == 1 || kind == 3 || kind == 6) {
                    assert_false(f.ran[i]);
                    assert_reason_alone(&f, i);
                } else {
                    assert_alone(&f, i);
                }
            }
        }
    }
}

/* Row 2 has infinitely hot brakes, with and without neighbours in its block, and with an effort
 * that ends early, so that it would be driven once more. */
static bool crowded, with_pedal;

static mbl_case broken_row_of(size_t i)
{
    mbl_case c = row_of(i);
    c.car.mass = crowded ? 1400 : 1400 + 50 * (double)i;
    if (i != 2)
        return c;
    c.stint.start = INFINITY;
    if (with_pedal) {
        test_fill(&mbl_pedal_schema, test_pedal_tandem, &c.car.pedal);
        c.car.pedal.present = true;
        c.car.pedal.effort_limit = 20;
    }
    return c;
}

static void a_row_that_is_no_longer_finite_fails_alone(void **state)
{
    (void)state;
    char text[sizeof(mbl_error)];
    for (int way = 0; way < 4; way++) {
        crowded = way % 2 == 1;
        with_pedal = way >= 2;
        faults f = faults_of(broken_row_of, 5);
        size_t done = 0;
        mbl_error err;
        assert_ok(run(&f, 0, 8, 5, &done, &err), err);
        assert_int_equal(done, 5);
        for (size_t i = 0; i < 5; i++) {
            if (i != 2)
                assert_alone(&f, i);
        }
        assert_false(f.ran[2]);
        assert_int_equal(f.why[2].status, MBL_NUMERIC);
        if (way == 0)
            strcpy(text, f.why[2].text);
        assert_string_equal(f.why[2].text, text); /* whatever it is beside */
    }
}

/* ---- what ends a batch ---- */

static void an_error_of_the_source_ends_the_batch(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        for (size_t at = 0; at < 40; at += 13) {
            faults f = faults_of(row_of, NEVER);
            size_t done = 0;
            mbl_error err;
            f.source_fails = at;
            assert_int_equal(run(&f, crews[c], 4, SIZE_MAX, &done, &err), MBL_FILE);
            char text[32];
            snprintf(text, sizeof text, "source %zu", at);
            assert_string_equal(err.text, text);
            assert_int_equal(f.asked, at + 1);
            assert_true(done <= at);
        }
    }
}

static void an_error_of_the_sink_ends_the_batch(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        for (size_t at = 0; at < 40; at += 13) {
            faults f = faults_of(row_of, NEVER);
            size_t done = 0;
            mbl_error err;
            f.sink_fails = at;
            assert_int_equal(run(&f, crews[c], 4, SIZE_MAX, &done, &err), MBL_FILE);
            char text[32];
            snprintf(text, sizeof text, "sink %zu", at);
            assert_string_equal(err.text, text);
            assert_int_equal(done, at);
        }
    }
}

static void a_course_without_a_trace_ends_the_batch(void **state)
{
    (void)state;
    mbl_case c = row_of(0);
    c.course.trace = NULL;
    mbl_digest digest;
    batch_rows rows = {.cases = &c, .n = 1, .digest = &digest};
    mbl_batch b = {.source = batch_rows_give, .sink = batch_rows_take, .ctx = &rows, .rows = 1};
    mbl_error err = {0};
    size_t done = 9;
    assert_int_equal(mbl_batch_run(&b, &done, &err), MBL_INTERNAL);
    assert_has(err.text, "trace");
    assert_int_equal(done, 0);
}

static mbl_case long_row_of(size_t i)
{
    mbl_case c = row_of(i);
    test_fill(&mbl_stint_schema, "{ out: 1, hot: 18, cool: 1, park: 10 min }", &c.stint);
    return c;
}

/* Or, in a build that is slow, within a few times what the rows before the flag took. */
static void a_stop_ends_within_a_second_and_keeps_what_is_finished(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        faults f = faults_of(long_row_of, NEVER);
        size_t done = 0;
        mbl_error err;
        f.stop_at = 5;
        double began = now();
        assert_int_equal(run(&f, crews[c], 0, SIZE_MAX, &done, &err), MBL_STOPPED);
        double took = now() - f.stopped_at;
        printf("%d workers: %zu rows, %.3f s after the flag\n", crews[c], done, took);
        assert_true(done > 5);
        assert_true(took < fmax(1, 3 * (f.stopped_at - began)));
        for (size_t i = 0; i < done && i < 8; i++)
            assert_alone(&f, i);
    }
}

static void a_stop_beforehand_runs_nothing(void **state)
{
    (void)state;
    for (size_t c = 0; c < CREWS; c++) {
        faults f = faults_of(row_of, 20);
        size_t done = 0;
        mbl_error err;
        f.stop = 1;
        assert_int_equal(run(&f, crews[c], 0, SIZE_MAX, &done, &err), MBL_STOPPED);
        assert_int_equal(done, 0);
        assert_int_equal(f.asked, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_many_rows_are_taken_as_there_are),
        cmocka_unit_test(a_thousand_rows_run),
        cmocka_unit_test(rows_that_fail_come_in_order_with_their_reason_and_harm_no_other),
        cmocka_unit_test(a_row_that_is_no_longer_finite_fails_alone),
        cmocka_unit_test(an_error_of_the_source_ends_the_batch),
        cmocka_unit_test(an_error_of_the_sink_ends_the_batch),
        cmocka_unit_test(a_course_without_a_trace_ends_the_batch),
        cmocka_unit_test(a_stop_ends_within_a_second_and_keeps_what_is_finished),
        cmocka_unit_test(a_stop_beforehand_runs_nothing),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
