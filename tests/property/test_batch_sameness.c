/* SPDX-License-Identifier: MIT */
/*
 * A row of a batch has the bits of its case alone: whatever the workers, lanes, kernels, order and
 * neighbours. By a mixed sweep, and by MBL_CASES random cars (48 when not set).
 */
#include "heat/processor.h"
#include "support/batch_rows.h"
#include "support/batch_sweep.h"
#include "support/random_car.h"
#include "support/session.h"

#include <stdatomic.h>

/* ---- what a test takes away, and what it looks at ---- */

/* The processor as the dispatch of kernels sees it. */
bool __real_mbl_processor_avx2(void);
bool __real_mbl_processor_avx512(void);
bool __wrap_mbl_processor_avx2(void);
bool __wrap_mbl_processor_avx512(void);
static bool plain; /* a processor without wide registers */

bool __wrap_mbl_processor_avx2(void)
{
    return !plain && __real_mbl_processor_avx2();
}

bool __wrap_mbl_processor_avx512(void)
{
    return !plain && __real_mbl_processor_avx512();
}

/* Drives that were begun, by lanes in use: those of the checks, and those with a cap after. */
mbl_status __real_mbl_drive_lanes(const mbl_alloc *alloc, int used, const mbl_case *const setup[],
                                  mbl_model *const model[], mbl_route *route, mbl_watch *watch,
                                  int nwatches, mbl_drive **out, mbl_error *err);
mbl_status __wrap_mbl_drive_lanes(const mbl_alloc *alloc, int used, const mbl_case *const setup[],
                                  mbl_model *const model[], mbl_route *route, mbl_watch *watch,
                                  int nwatches, mbl_drive **out, mbl_error *err);
static atomic_int first_drives[MBL_LANES_MOST + 1], second_drives[MBL_LANES_MOST + 1];

mbl_status __wrap_mbl_drive_lanes(const mbl_alloc *alloc, int used, const mbl_case *const setup[],
                                  mbl_model *const model[], mbl_route *route, mbl_watch *watch,
                                  int nwatches, mbl_drive **out, mbl_error *err)
{
    atomic_fetch_add(nwatches > 0 ? &first_drives[used] : &second_drives[used], 1);
    return __real_mbl_drive_lanes(alloc, used, setup, model, route, watch, nwatches, out, err);
}

static void forget_drives(void)
{
    memset(first_drives, 0, sizeof first_drives);
    memset(second_drives, 0, sizeof second_drives);
}

/* Drives with more than `above` and up to `to` lanes in use. */
static int drives(atomic_int counts[], int above, int to)
{
    int sum = 0;
    for (int i = above + 1; i <= to; i++)
        sum += counts[i];
    return sum;
}

/* ---- the sweep ---- */

enum { ROWS = 96, ALIKE = 21, TRACES = 2 }; /* the last of them alike, to fill the widest block */
static mbl_trace *trace[TRACES];
static mbl_case sweep[ROWS];
static mbl_digest alone[ROWS];

static mbl_case row_of(size_t id)
{
    random_source r = {id};
    mbl_trace *on = trace[random_below(&r, 4) == 0];
    mbl_case c = test_case(on, "{ out: 1, hot: 2, cool: 1, park: 2 min }");
    sweep_small_changes(&c.car, &r);
    if (id >= ROWS - ALIKE) {
        c.course.trace = trace[0];
        c.mode = MBL_MODE_SCREENING;
        return c;
    }
    if (random_below(&r, 6) == 0) {
        c.car.fuel.start = 30;
        c.car.fuel.per_lap = 2 + random_below(&r, 2);
    }
    if (random_below(&r, 5) > 1)
        sweep_large_changes(&c, &r);
    return c;
}

static int set_up(void **state)
{
    (void)state;
    trace[0] = test_session(&drive_harrow_vale, 1);
    trace[1] = test_session(&drive_cold_quay, 1);
    for (size_t i = 0; i < ROWS; i++) {
        sweep[i] = row_of(i);
        alone[i] = batch_rows_alone(&sweep[i], 0);
    }
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    for (int i = 0; i < TRACES; i++)
        mbl_trace_drop(trace[i]);
    return 0;
}

static void compare(const mbl_digest *got, const mbl_digest *want, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (!mbl_digest_same(&got[i], &want[i]))
            fail_msg("row %zu has other bits than its case alone", i);
    }
}

/* One digest of all rows in the order of their cases. */
static mbl_digest all_of(const mbl_digest *digest)
{
    mbl_digest all;
    mbl_digest_start(&all);
    for (size_t i = 0; i < ROWS; i++) {
        mbl_digest_count(&all, digest[i].a);
        mbl_digest_count(&all, digest[i].b);
    }
    return all;
}

static void shuffle(size_t *order, size_t n, uint64_t seed)
{
    random_source r = {seed};
    for (size_t i = 0; i < n; i++)
        order[i] = i;
    for (size_t i = n - 1; i > 0; i--) {
        size_t j = (size_t)random_below(&r, (int)i + 1);
        size_t kept = order[i];
        order[i] = order[j];
        order[j] = kept;
    }
}

/* ---- sameness ---- */

/* Else the others could not fail. */
static void the_rows_of_the_sweep_differ_and_are_driven_in_blocks_of_every_kind(void **state)
{
    (void)state;
    for (size_t i = 0; i < ROWS; i++) {
        for (size_t k = 0; k < i; k++)
            assert_false(mbl_digest_same(&alone[i], &alone[k]));
    }
    mbl_digest digest[ROWS];
    for (int lanes = 1; lanes <= MBL_LANES_MOST; lanes = lanes == 1 ? 4 : 2 * lanes) {
        batch_rows rows = {.cases = sweep, .n = ROWS, .digest = digest};
        forget_drives();
        batch_rows_run(&rows, (mbl_batch){.lanes = lanes, .rows = SIZE_MAX});
        printf("%d lanes: drives of 1 to 16:", lanes);
        for (int i = 1; i <= MBL_LANES_MOST; i++)
            printf(" %d", first_drives[i]);
        printf("; after a cap:");
        for (int i = 1; i <= MBL_LANES_MOST; i++)
            printf(" %d", second_drives[i]);
        printf("\n");
        assert_int_equal(drives(first_drives, lanes, MBL_LANES_MOST), 0);
        assert_true(drives(first_drives, 0, 1) > 0);
        if (lanes == 1)
            continue;
        assert_true(first_drives[2] + first_drives[3] > 0); /* padded to 4 */
        if (lanes == MBL_LANES_SIXTEEN) {                   /* screening alone */
            assert_true(first_drives[8] > 0 && drives(first_drives, 8, 16) > 0);
            continue;
        }
        assert_true(first_drives[lanes] > 0);
        assert_true(drives(second_drives, 0, 1) > 0 && drives(second_drives, 1, lanes) > 0);
        if (lanes == MBL_LANES_EIGHT)
            assert_true(drives(first_drives, 4, 7) > 0); /* padded to 8 */
    }
}

/* A result that is no part of the digest could be anything. */
static void the_digest_holds_every_number_in_which_two_runs_differ(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_run *a = NULL;
    mbl_run *b = NULL;
    int seen = 0;
    for (size_t i = 1; i < 8; i++) {
        assert_ok(mbl_run_quick(&mbl_alloc_libc, &sweep[0], 0, NULL, &a, &err), err);
        assert_ok(mbl_run_quick(&mbl_alloc_libc, &sweep[i], 0, NULL, &b, &err), err);
        mbl_digest whole = run_digest(a);
        for (size_t at = offsetof(mbl_run, duration); at < offsetof(mbl_run, ndoubtful);
             at += sizeof(double)) {
            char *slot = (char *)a + at;
            double x, y;
            if (at == offsetof(mbl_run, path) || at == offsetof(mbl_run, lost_by_path))
                continue;
            memcpy(&x, slot, sizeof x);
            memcpy(&y, (const char *)b + at, sizeof y);
            /* whole numbers and gaps look like numbers far too small or large */
            if (!(x != y) || !(fabs(x) > 1e-30 && fabs(x) < 1e30))
                continue;
            memcpy(slot, &y, sizeof y);
            mbl_digest changed = run_digest(a);
            memcpy(slot, &x, sizeof x);
            if (mbl_digest_same(&whole, &changed))
                fail_msg("the number at %zu of a run is not in its digest", at);
            seen++;
        }
        for (size_t k = 0; k < a->nlegs; k++) {
            a->legs[k].report.hardest_deceleration += 1;
            a->legs[k].peak[MBL_FLUID] += 1;
            mbl_digest changed = run_digest(a);
            assert_false(mbl_digest_same(&whole, &changed));
            a->legs[k].report.hardest_deceleration -= 1;
            a->legs[k].peak[MBL_FLUID] -= 1;
        }
        mbl_run_free(a);
        mbl_run_free(b);
    }
    printf("%d numbers changed\n", seen);
    assert_true(seen > 1000);
}

static void workers_lanes_and_kernels_change_no_bit(void **state)
{
    (void)state;
    static const int workers[] = {1, 2, 3, 5, 8};
    static const int lanes[] = {1, 4, 8, 16};
    char text[33];
    mbl_digest want = all_of(alone);
    mbl_digest_write(&want, text);
    printf("all rows: %s\n", text);
    for (int k = 0; k < 2; k++) {
        plain = k == 1;
        for (size_t w = 0; w < sizeof workers / sizeof workers[0]; w++) {
            for (size_t l = 0; l < sizeof lanes / sizeof lanes[0]; l++) {
                mbl_digest digest[ROWS] = {0};
                batch_rows rows = {.cases = sweep, .n = ROWS, .digest = digest};
                batch_rows_run(&rows, (mbl_batch){.workers = workers[w], .lanes = lanes[l]});
                compare(digest, alone, ROWS);
                mbl_digest all = all_of(digest);
                assert_true(mbl_digest_same(&all, &want));
            }
        }
    }
    plain = false;
}

/* The wide kernels were taken where there are any, and the plain ones where there seem to be none.
 */
static void the_kernels_that_a_test_asks_for_are_those_it_gets(void **state)
{
    (void)state;
    plain = true;
    assert_int_equal(mbl_lanes_best(), MBL_LANES_FOUR);
    assert_int_equal(mbl_lanes_best_single(), MBL_LANES_EIGHT);
    plain = false;
    assert_int_equal(mbl_lanes_best_single(),
                     __real_mbl_processor_avx512() ? MBL_LANES_SIXTEEN : MBL_LANES_EIGHT);
    assert_int_equal(mbl_lanes_best(),
                     __real_mbl_processor_avx512() ? MBL_LANES_EIGHT : MBL_LANES_FOUR);
    printf("this processor: %s avx2, %s avx512\n", __real_mbl_processor_avx2() ? "with" : "no",
           __real_mbl_processor_avx512() ? "with" : "no");
}

static void the_order_of_rows_changes_no_bit(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 6; seed++) {
        size_t order[ROWS];
        mbl_digest digest[ROWS] = {0};
        shuffle(order, ROWS, seed);
        batch_rows rows = {.cases = sweep, .order = order, .n = ROWS, .digest = digest};
        batch_rows_run(&rows, (mbl_batch){.workers = (int)seed % 4,
                                          .lanes = seed % 2 ? 8 : 4,
                                          .rows = seed % 3 ? 0 : SIZE_MAX});
        compare(digest, alone, ROWS);
    }
}

/* Alone, in pairs, in a crowd of itself, and in batches of a few. */
static void neighbours_change_no_bit(void **state)
{
    (void)state;
    random_source r = {77};
    for (int k = 0; k < 40; k++) {
        size_t order[ROWS];
        size_t n = (size_t)(k < 10 ? 1 : k < 20 ? 2 : 1 + random_below(&r, 20));
        for (size_t i = 0; i < n; i++)
            order[i] = k % 5 == 4 && i > 0 ? order[0] : (size_t)random_below(&r, ROWS);
        mbl_digest digest[ROWS];
        memcpy(digest, alone, sizeof digest);
        for (size_t i = 0; i < n; i++)
            digest[order[i]] = (mbl_digest){0};
        batch_rows rows = {.cases = sweep, .order = order, .n = n, .digest = digest};
        batch_rows_run(&rows, (mbl_batch){.lanes = k % 3 ? 8 : 4});
        compare(digest, alone, ROWS);
    }
}

static void a_fixed_grid_changes_no_bit_either(void **state)
{
    (void)state;
    enum { SOME = 13 };
    mbl_digest want[SOME];
    for (size_t i = 0; i < SOME; i++)
        want[i] = batch_rows_alone(&sweep[i], 0.1);
    for (int k = 0; k < 4; k++) {
        mbl_digest digest[SOME] = {0};
        batch_rows rows = {.cases = sweep, .n = SOME, .digest = digest};
        plain = k >= 2;
        batch_rows_run(&rows, (mbl_batch){.workers = k, .lanes = k % 2 ? 4 : 8, .step = 0.1});
        compare(digest, want, SOME);
    }
    plain = false;
}

/* Any car at all, beside any other. */
static void random_cars_have_the_bits_they_have_alone(void **state)
{
    (void)state;
    size_t n = (size_t)random_cases(48);
    mbl_case *cases = calloc(n, sizeof *cases);
    mbl_digest *want = calloc(n, sizeof *want);
    mbl_digest *got = calloc(n, sizeof *got);
    size_t *order = calloc(n, sizeof *order);
    assert_true(cases != NULL && want != NULL && got != NULL && order != NULL);
    for (size_t i = 0; i < n; i++) { /* two of each, one with a little more air */
        cases[i] = test_case(trace[i / 2 % 2], "{ hot: 1, park: 1 min }");
        cases[i].car = random_car(i / 2 + 1);
        if (i % 2 == 1)
            cases[i].car.front.airflow *= 1.1;
        want[i] = batch_rows_alone(&cases[i], 0);
    }
    for (int k = 0; k < 4; k++) {
        shuffle(order, n, (uint64_t)k + 9);
        batch_rows rows = {.cases = cases, .order = k == 0 ? NULL : order, .n = n, .digest = got};
        memset(got, 0, n * sizeof *got);
        batch_rows_run(&rows, (mbl_batch){.workers = k, .lanes = k % 2 ? 4 : 8});
        compare(got, want, n);
    }
    free(cases);
    free(want);
    free(got);
    free(order);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_rows_of_the_sweep_differ_and_are_driven_in_blocks_of_every_kind),
        cmocka_unit_test(the_digest_holds_every_number_in_which_two_runs_differ),
        cmocka_unit_test(the_kernels_that_a_test_asks_for_are_those_it_gets),
        cmocka_unit_test(workers_lanes_and_kernels_change_no_bit),
        cmocka_unit_test(the_order_of_rows_changes_no_bit),
        cmocka_unit_test(neighbours_change_no_bit),
        cmocka_unit_test(a_fixed_grid_changes_no_bit_either),
        cmocka_unit_test(random_cars_have_the_bits_they_have_alone),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
