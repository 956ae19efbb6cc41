/* SPDX-License-Identifier: MIT */
/* A sweep's table: which row is which, what came of it, the best of them and those none beats. */
#include "support/grid.h"
#include "support/random.h"
#include "support/session.h"
#include "support/test_alloc.h"

static const char *const three[] = {"closest", "mass.unsprung", "front.fluid.margin"};

/* ---- axes and rows ---- */

static void the_last_axis_goes_fastest(void **state)
{
    (void)state;
    mbl_grid grid;
    const size_t n[] = {2, 3, 4};
    grid_of(&grid, &mbl_alloc_libc, 3, n, 0, NULL);
    assert_int_equal(grid.rows, 24);
    size_t row = 0;
    for (size_t a = 0; a < 2; a++)
        for (size_t b = 0; b < 3; b++)
            for (size_t c = 0; c < 4; c++, row++) {
                assert_int_equal(mbl_grid_option(&grid, row, 0), a);
                assert_int_equal(mbl_grid_option(&grid, row, 1), b);
                assert_int_equal(mbl_grid_option(&grid, row, 2), c);
            }
    mbl_grid_free(&grid);
}

static void rows_of_their_own_have_an_option_of_every_axis_each(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const char *const a[] = {"76 mm", "none", "76 mm"};
    const char *const b[] = {"small", "small", "large"};
    mbl_grid_init(&grid, &mbl_alloc_libc);
    grid.shape = MBL_GRID_ROWS;
    assert_int_equal(mbl_grid_rows(&grid), 0);
    assert_ok(mbl_grid_axis(&grid, "duct", 3, a, &err), err);
    assert_ok(mbl_grid_axis(&grid, "pads", 3, b, &err), err);
    assert_ok(mbl_grid_open(&grid, 0, 3, &err), err);
    assert_int_equal(grid.rows, 3);
    for (size_t row = 0; row < 3; row++)
        for (size_t axis = 0; axis < 2; axis++)
            assert_int_equal(mbl_grid_option(&grid, row, axis), row);
    assert_string_equal(grid.axis[1].label[2], "large");
    mbl_grid_free(&grid);
    grid.shape = MBL_GRID_ROWS;
    assert_ok(mbl_grid_axis(&grid, "duct", 3, a, &err), err);
    assert_ok(mbl_grid_axis(&grid, "pads", 2, b, &err), err);
    assert_int_equal(mbl_grid_open(&grid, 0, 3, &err), MBL_INPUT);
    assert_has(err.text, "\"pads\" has 2 options in 3 rows");
    mbl_grid_free(&grid);
}

static void a_sweep_of_nothing_varied_is_one_row(void **state)
{
    (void)state;
    mbl_grid grid;
    grid_of(&grid, &mbl_alloc_libc, 0, NULL, 3, three);
    assert_int_equal(grid.rows, 1);
    grid_put(&grid, 0, 2, MBL_CHECK_PAD, 0, (const double[]){2, 48, 31});
    assert_int_equal(mbl_grid_best(&grid, 0, false), 0);
    mbl_grid_free(&grid);
}

static void labels_are_copied_and_kept_on_one_line(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    char first[] = "two\nlines\tand \x7f";
    const char *labels[] = {first, "", "\xc3\xa9t\xc3\xa9, \"warm\""};
    mbl_grid_init(&grid, &mbl_alloc_libc);
    assert_ok(mbl_grid_axis(&grid, "season", 3, labels, &err), err);
    memset(first, 'x', sizeof first - 1);
    assert_string_equal(grid.axis[0].label[0], "two lines and  ");
    assert_string_equal(grid.axis[0].label[1], "");
    assert_string_equal(grid.axis[0].label[2], labels[2]);
    mbl_grid_free(&grid);
}

static void axes_that_make_no_sense_are_refused(void **state)
{
    (void)state;
    mbl_grid grid;
    const char *const label[] = {"x"};
    const struct {
        const char *name;
        size_t n;
        const char *says;
    } wrong[] = {{"", 1, "1 to 31 bytes"},
                 {"a name that has thirty-two bytes", 1, "1 to 31 bytes"},
                 {"pads", 0, "nothing on the axis \"pads\""},
                 {"duct", 1, "two axes \"duct\""}};
    mbl_grid_init(&grid, &mbl_alloc_libc);
    mbl_error none = {0};
    assert_ok(mbl_grid_axis(&grid, "duct", 1, label, &none), none);
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        mbl_error err = {0};
        assert_int_equal(mbl_grid_axis(&grid, wrong[i].name, wrong[i].n, label, &err), MBL_INPUT);
        assert_has(err.text, wrong[i].says);
    }
    for (int i = 1; i < MBL_AXES; i++) {
        char name[8];
        snprintf(name, sizeof name, "x%d", i);
        assert_ok(mbl_grid_axis(&grid, name, 1, label, &none), none);
    }
    mbl_error err = {0};
    assert_int_equal(mbl_grid_axis(&grid, "more", 1, label, &err), MBL_INPUT);
    assert_has(err.text, "at most 12 axes");
    assert_int_equal(grid.naxes, MBL_AXES);
    mbl_grid_free(&grid);
}

/* 60 to the power of 12 is 2.2e21, more than 2 to the power of 64. */
static void too_many_combinations_are_told_and_refused(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const char *labels[60];
    for (size_t i = 0; i < 60; i++)
        labels[i] = "x";
    mbl_grid_init(&grid, &mbl_alloc_libc);
    for (int i = 0; i < MBL_AXES; i++) {
        char name[8];
        snprintf(name, sizeof name, "x%d", i);
        assert_ok(mbl_grid_axis(&grid, name, 60, labels, &err), err);
    }
    assert_true(mbl_grid_rows(&grid) == SIZE_MAX);
    assert_int_equal(mbl_grid_open(&grid, 0, 1, &err), MBL_INPUT);
    assert_has(err.text, "too many");
    mbl_grid_free(&grid);
}

static void a_part_has_the_numbers_of_the_whole(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {3, 4};
    grid_of(&grid, &mbl_alloc_libc, 2, n, 3, three);
    assert_int_equal(mbl_grid_open(&grid, 5, 13, &err), MBL_INPUT);
    assert_has(err.text, "rows 5 to 13 are not of a sweep of 12");
    assert_int_equal(mbl_grid_open(&grid, 6, 5, &err), MBL_INPUT);
    err = (mbl_error){0};
    assert_ok(mbl_grid_open(&grid, 5, 9, &err), err);
    grid_put(&grid, 8, 1.5, MBL_CHECK_PAD, 1, (const double[]){1.5, 48, 31});
    assert_near(mbl_grid_value(&grid, 8, 2), 31, 0);
    assert_int_equal(mbl_grid_best(&grid, 2, false), 8);
    assert_int_equal(mbl_grid_take(&grid, 4, NULL, "no", &err), MBL_INTERNAL);
    assert_int_equal(mbl_grid_take(&grid, 9, NULL, "no", &err), MBL_INTERNAL);
    assert_ok(mbl_grid_open(&grid, 12, 12, &err), err); /* an empty part */
    assert_int_equal(mbl_grid_best(&grid, 2, false), 12);
    mbl_grid_free(&grid);
}

/* ---- what came of a row ---- */

static void a_row_that_failed_says_why_and_has_no_numbers(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {2};
    grid_of(&grid, &mbl_alloc_libc, 1, n, 3, three);
    assert_true(isnan(mbl_grid_value(&grid, 0, 1))); /* open */
    assert_ok(mbl_grid_take(&grid, 0, NULL, "script.lua:3:\nno such pad", &err), err);
    assert_int_equal(grid.row[0].state, MBL_ROW_FAILED);
    assert_string_equal(grid.reason[0], "script.lua:3: no such pad");
    assert_true(isnan(mbl_grid_value(&grid, 0, 1)) && isnan(grid.row[0].closest));
    assert_ok(mbl_grid_take(&grid, 0, NULL, NULL, &err), err);
    assert_string_equal(grid.reason[0], "");
    grid_put(&grid, 0, 2, MBL_CHECK_PAD, 0, (const double[]){2, 48, 31});
    assert_null(grid.reason[0]);
    assert_near(mbl_grid_value(&grid, 0, 1), 48, 0);
    mbl_grid_free(&grid);
}

static void a_long_reason_is_cut_between_characters(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    char why[400];
    const size_t n[] = {2};
    grid_of(&grid, &mbl_alloc_libc, 1, n, 0, NULL);
    for (size_t lead = 0; lead < 3; lead++) {
        memset(why, 'a', lead);
        why[lead] = '\0';
        while (strlen(why) < 300)
            strcat(why, "\xe2\x82\xac"); /* three bytes each */
        assert_ok(mbl_grid_take(&grid, 0, NULL, why, &err), err);
        size_t kept = strlen(grid.reason[0]);
        assert_true(kept < MBL_REASON && kept >= MBL_REASON - 3);
        assert_int_equal((kept - lead) % 3, 0);
        assert_memory_equal(grid.reason[0], why, kept);
    }
    memset(why, 'b', MBL_REASON - 1);
    why[MBL_REASON - 1] = '\0';
    assert_ok(mbl_grid_take(&grid, 1, NULL, why, &err), err);
    assert_string_equal(grid.reason[1], why);
    mbl_grid_free(&grid);
}

static void a_run_leaves_its_verdict_its_tightest_check_and_its_gauges(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {2};
    mbl_trace *trace = test_session(&drive_harrow_vale, 2);
    mbl_case c = test_case(trace, "{ hot: 1 }");
    mbl_run *run = NULL;
    assert_ok(mbl_run_make(&mbl_alloc_libc, &c, NULL, 0, &run, &err), err);
    grid_of(&grid, &mbl_alloc_libc, 1, n, 3, three);
    assert_ok(mbl_grid_take(&grid, 1, NULL, "not yet", &err), err);
    assert_ok(mbl_grid_take(&grid, 1, run, NULL, &err), err);
    const mbl_grid_row *row = &grid.row[1];
    assert_int_equal(row->state, MBL_ROW_DONE);
    assert_int_equal(row->verdict, run->verdict);
    assert_int_equal(row->limit, run->checks[0].kind);
    assert_int_equal(row->axle, run->checks[0].axle);
    assert_near(row->closest, run->checks[0].margin / run->checks[0].band, 1e-12);
    assert_near(mbl_grid_value(&grid, 1, 0), row->closest, 0);
    assert_near(mbl_grid_value(&grid, 1, 1), run->weights.unsprung, 0);
    assert_near(mbl_grid_value(&grid, 1, 2), run->axle[0].margin, 0);
    assert_int_equal(mbl_grid_column(&grid, "mass.unsprung"), 1);
    assert_int_equal(mbl_grid_column(&grid, "rear.fluid.margin"), 3); /* not kept */
    mbl_run_free(run);
    mbl_trace_drop(trace);
    mbl_grid_free(&grid);
}

/* ---- the best ---- */

static void the_best_does_not_fail_where_any_does_not(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    grid_of_rows(&grid, &mbl_alloc_libc, 6, 3, three);
    assert_int_equal(mbl_grid_best(&grid, 1, true), 6); /* none ran */
    assert_ok(mbl_grid_take(&grid, 0, NULL, "no", &err), err);
    grid_put(&grid, 1, -1, MBL_CHECK_PAD, 0, (const double[]){-1, 40, NAN});
    grid_put(&grid, 2, -2, MBL_CHECK_PAD, 0, (const double[]){-2, 41, NAN});
    assert_int_equal(mbl_grid_best(&grid, 1, true), 1); /* all fail */
    assert_int_equal(mbl_grid_best(&grid, 1, false), 2);
    assert_int_equal(mbl_grid_best(&grid, 2, false), 6);
    grid_put(&grid, 3, 0.5, MBL_CHECK_PAD, 0, (const double[]){0.5, 50, NAN});
    grid_put(&grid, 4, 1.5, MBL_CHECK_PAD, 0, (const double[]){1.5, 50, 12});
    assert_int_equal(mbl_grid_best(&grid, 1, true), 3); /* the first of equals; row 1 is lighter */
    assert_int_equal(mbl_grid_best(&grid, 0, false), 4);
    assert_int_equal(mbl_grid_best(&grid, 2, true), 4); /* the others have no such number */
    grid_put(&grid, 5, 1.5, MBL_CHECK_PAD, 0, (const double[]){1.5, -INFINITY, 12});
    assert_int_equal(mbl_grid_best(&grid, 1, true), 5);
    assert_int_equal(mbl_grid_best(&grid, 1, false), 3);
    mbl_grid_free(&grid);
}

/* ---- what no other beats ---- */

static const char *const five[] = {"closest", "mass.unsprung", "cost", "front.fluid.margin",
                                   "rear.fluid.margin"};

/* By the definition: each against each. */
static void tradeoff_by_pairs(const mbl_grid *grid, size_t n, const size_t columns[],
                              const bool less[], bool *keep)
{
    size_t rows = grid->end - grid->first;
    for (size_t i = 0; i < rows; i++) {
        keep[i] = grid->row[i].state == MBL_ROW_DONE && grid->row[i].verdict != MBL_FAILS;
        for (size_t k = 0; k < n; k++)
            keep[i] = keep[i] && !isnan(mbl_grid_value(grid, grid->first + i, columns[k]));
    }
    for (size_t i = 0; i < rows; i++) {
        bool beaten = false;
        for (size_t o = 0; o < rows && !beaten; o++) {
            bool as_good = grid->row[o].state == MBL_ROW_DONE && grid->row[o].verdict != MBL_FAILS;
            bool better = false;
            for (size_t k = 0; k < n; k++) {
                double a = mbl_grid_value(grid, grid->first + o, columns[k]);
                double b = mbl_grid_value(grid, grid->first + i, columns[k]);
                as_good = as_good && (less[k] ? a <= b : a >= b);
                better = better || a != b;
            }
            beaten = as_good && better;
        }
        keep[i] = keep[i] && !beaten;
    }
}

static void fill_at_random(mbl_grid *grid, random_source *r, int steps)
{
    mbl_error err = {0};
    for (size_t row = 0; row < grid->rows; row++) {
        double v[5];
        if (random_below(r, 12) == 0) {
            if (random_below(r, 2) == 0)
                assert_ok(mbl_grid_take(grid, row, NULL, "no", &err), err);
            continue;
        }
        for (size_t k = 0; k < 5; k++)
            v[k] = random_below(r, 40) == 0 ? (double)NAN : (double)random_below(r, steps) - 5;
        if (random_below(r, 50) == 0)
            v[2] = INFINITY;
        grid_put(grid, row, random_between(r, -0.3, 2), MBL_CHECK_PAD, 0, v);
    }
}

static void what_no_row_beats_is_what_pairs_of_rows_say(void **state)
{
    (void)state;
    random_source r = {7};
    size_t kept = 0;
    for (int i = 0; i < 400; i++) {
        mbl_grid grid;
        mbl_error err = {0};
        bool want[120];
        bool got[120];
        size_t columns[5] = {0, 1, 2, 3, 4};
        bool less[5];
        size_t rows = (size_t)random_below(&r, 120) + 1;
        size_t n = (size_t)random_below(&r, 6);
        grid_of_rows(&grid, &mbl_alloc_libc, rows, 5, five);
        fill_at_random(&grid, &r, i % 2 == 0 ? 4 : 1000);
        for (size_t k = 0; k < 5; k++) {
            size_t other = (size_t)random_below(&r, 5);
            size_t swap = columns[k];
            columns[k] = columns[other];
            columns[other] = swap;
            less[k] = random_below(&r, 2) == 0;
        }
        tradeoff_by_pairs(&grid, n, columns, less, want);
        assert_ok(mbl_grid_tradeoff(&grid, n, columns, less, got, &err), err);
        for (size_t row = 0; row < rows; row++) {
            if (got[row] != want[row])
                fail_msg("grid %d, %zu columns: row %zu is %d, not %d", i, n, row, got[row],
                         want[row]);
            kept += got[row];
        }
        mbl_grid_free(&grid);
    }
    assert_true(kept > 2000);
}

static void of_a_part_the_marks_begin_at_its_first_row(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {2, 4};
    grid_of(&grid, &mbl_alloc_libc, 2, n, 3, three);
    assert_ok(mbl_grid_open(&grid, 4, 7, &err), err);
    grid_put(&grid, 4, 1, MBL_CHECK_PAD, 0, (const double[]){1, 40, 10});
    grid_put(&grid, 5, 1, MBL_CHECK_PAD, 0, (const double[]){1, 41, 9});
    grid_put(&grid, 6, 1, MBL_CHECK_PAD, 0, (const double[]){1, 42, 12});
    bool keep[3];
    assert_ok(mbl_grid_tradeoff(&grid, 2, (const size_t[]){1, 2}, (const bool[]){true, false}, keep,
                                &err),
              err);
    assert_true(keep[0] && !keep[1] && keep[2]);
    mbl_grid_free(&grid);
}

/* All of 100,000 rows are kept in two and in three columns: each against each would take 10^10. */
static void a_hundred_thousand_rows_none_of_which_is_beaten_are_all_kept(void **state)
{
    (void)state;
    enum { MANY = 100000 };
    mbl_grid grid;
    mbl_error err = {0};
    grid_of_rows(&grid, &mbl_alloc_libc, MANY, 3, three);
    for (size_t i = 0; i < MANY; i++) {
        double a = (double)((i * 7919) % MANY); /* in no order */
        double b = (double)(((size_t)a * 104729) % MANY);
        grid_put(&grid, i, 2, MBL_CHECK_PAD, 0, (const double[]){a, b, -a - b});
    }
    bool *keep = malloc(MANY);
    assert_non_null(keep);
    const size_t columns[] = {0, 1, 2};
    const bool less[] = {true, true, true};
    assert_ok(mbl_grid_tradeoff(&grid, 3, columns, less, keep, &err), err);
    for (size_t i = 0; i < MANY; i++)
        assert_true(keep[i]);
    /* the less of the first the more of the second */
    for (size_t i = 0; i < MANY; i++) {
        double a = (double)((i * 7919) % MANY);
        grid_put(&grid, i, 2, MBL_CHECK_PAD, 0, (const double[]){a, -a, 0});
    }
    assert_ok(mbl_grid_tradeoff(&grid, 2, columns, less, keep, &err), err);
    for (size_t i = 0; i < MANY; i++)
        assert_true(keep[i]);
    mbl_grid_free(&grid);
    free(keep);
}

/* ---- out of memory ---- */

static mbl_status all_of_it(const mbl_alloc *alloc)
{
    static const char *const labels[] = {"76 mm", "none", "51 mm"};
    mbl_grid grid;
    mbl_status status;
    bool keep[9];
    const size_t columns[] = {0, 1};
    const bool less[] = {false, true};
    const mbl_grid_row row = {.verdict = MBL_HOLDS, .closest = 2};
    mbl_grid_init(&grid, alloc);
    grid.gauge[grid.ngauges++] = 0;
    grid.gauge[grid.ngauges++] = 1;
    status = mbl_grid_axis(&grid, "duct", 3, labels, NULL);
    if (status == MBL_OK)
        status = mbl_grid_axis(&grid, "other", 3, labels, NULL);
    if (status == MBL_OK)
        status = mbl_grid_open(&grid, 0, 9, NULL);
    if (status == MBL_OK)
        status = mbl_grid_take(&grid, 0, NULL, "no", NULL);
    if (status == MBL_OK)
        status = mbl_grid_put(&grid, 1, &row, (const double[]){2, 30}, NULL);
    if (status == MBL_OK)
        status = mbl_grid_take(&grid, 1, NULL, "after all not", NULL);
    if (grid.row != NULL && grid.row[1].state == MBL_ROW_DONE) /* then it is as it was */
        assert_near(mbl_grid_value(&grid, 1, 1), 30, 0);
    if (status == MBL_OK)
        status = mbl_grid_tradeoff(&grid, 2, columns, less, keep, NULL);
    mbl_grid_free(&grid);
    return status;
}

static void every_failed_allocation_ends_cleanly(void **state)
{
    (void)state;
    size_t fail_at = 1;
    for (;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_status status = all_of_it(&t.alloc);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (t.calls < fail_at) {
            assert_int_equal(status, MBL_OK);
            break;
        }
        assert_int_equal(status, MBL_MEMORY);
    }
    /* 2 an axis, 3 for the rows, 2 reasons, 4 to compare */
    assert_int_equal(fail_at, 1 + 2 * 2 + 3 + 2 + 4);
}

static void rows_cost_no_allocation_but_for_reasons(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    mbl_grid grid;
    grid_of_rows(&grid, &t.alloc, 1000, 3, three);
    size_t before = t.calls;
    for (size_t i = 0; i < 1000; i++)
        grid_put(&grid, i, 2, MBL_CHECK_PAD, 0, (const double[]){2, 48, 31});
    assert_int_equal(t.calls, before);
    mbl_grid_free(&grid);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_last_axis_goes_fastest),
        cmocka_unit_test(rows_of_their_own_have_an_option_of_every_axis_each),
        cmocka_unit_test(a_sweep_of_nothing_varied_is_one_row),
        cmocka_unit_test(labels_are_copied_and_kept_on_one_line),
        cmocka_unit_test(axes_that_make_no_sense_are_refused),
        cmocka_unit_test(too_many_combinations_are_told_and_refused),
        cmocka_unit_test(a_part_has_the_numbers_of_the_whole),
        cmocka_unit_test(a_row_that_failed_says_why_and_has_no_numbers),
        cmocka_unit_test(a_long_reason_is_cut_between_characters),
        cmocka_unit_test(a_run_leaves_its_verdict_its_tightest_check_and_its_gauges),
        cmocka_unit_test(the_best_does_not_fail_where_any_does_not),
        cmocka_unit_test(what_no_row_beats_is_what_pairs_of_rows_say),
        cmocka_unit_test(of_a_part_the_marks_begin_at_its_first_row),
        cmocka_unit_test(a_hundred_thousand_rows_none_of_which_is_beaten_are_all_kept),
        cmocka_unit_test(every_failed_allocation_ends_cleanly),
        cmocka_unit_test(rows_cost_no_allocation_but_for_reasons),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
