/* SPDX-License-Identifier: MIT */
/* A sweep's table as a page: what gives out where, the best rows, what could not run. */
#include "out/grid.h"
#include "support/grid.h"
#include "support/page.h"
#include "support/random.h"
#include "support/test_alloc.h"

static const char *const gauges[] = {
    "closest", "front.fluid.margin", "rear.rotor.core.peak", "front.pad.left", "mass.unsprung",
    "cost",    "front.pad.sessions"};
enum { GAUGES = sizeof gauges / sizeof gauges[0] };

/* The page as text, its shape checked; the caller frees it. */
static char *page_told(const mbl_grid *grid, const bool *keep, mbl_units_system units)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_out_grid(grid, keep, units, &text);
    assert_false(text.failed);
    char *copy = strdup(mbl_text_get(&text));
    assert_non_null(copy);
    mbl_text_free(&text);
    check_shape(copy);
    assert_null(strstr(copy, " \n"));
    assert_has(copy, "This is an estimate, not a certificate.");
    return copy;
}

static void expect_told(const mbl_grid *grid, const bool *keep, const char *part)
{
    char *page = page_told(grid, keep, MBL_UNITS_SI);
    assert_has(page, part);
    free(page);
}

static void put(mbl_grid *grid, size_t row, double closest, mbl_check_kind limit, int axle)
{
    const double values[GAUGES] = {
        closest, 20 * closest, 600 - 50 * closest, 0.0065, 49.2, 100 + (double)(row % 3), INFINITY};
    grid_put(grid, row, closest, limit, axle, values);
}

/* Three by two: all verdicts, one that could not run, one still open. */
static void small_grid(mbl_grid *grid)
{
    mbl_error err = {0};
    const size_t n[] = {3, 2};
    grid_of(grid, &mbl_alloc_libc, 2, n, GAUGES, gauges);
    put(grid, 0, 2.57, MBL_CHECK_FLUID, 0);
    put(grid, 1, 0.97, MBL_CHECK_ROTOR, 1);
    put(grid, 2, -0.01, MBL_CHECK_FLUID, 0);
    put(grid, 3, 1, MBL_CHECK_TRAVEL, MBL_WHOLE_CAR);
    assert_ok(mbl_grid_take(grid, 4, NULL, "no such pad", &err), err);
}

static void two_axes_are_a_matrix_of_what_gives_out_first(void **state)
{
    (void)state;
    mbl_grid grid;
    small_grid(&grid);
    expect_told(&grid, NULL,
                "SWEEP of duct (3) by pads (2): 6 rows\n"
                "  Rows       2 hold, 1 is marginal, 1 fails, 1 could not run, 1 was not run\n"
                "             yet.\n"
                "\n"
                "WHAT GIVES OUT FIRST, and its margin in bands\n"
                "  Down: duct. Across: pads.\n"
                "           b1       b2\n"
                "  a1    2.5 A   ~0.9 B\n"
                "  a2  !-0.1 A    1.0 C\n"
                "  a3        x        .\n"
                "  A front fluid, B rear rotor core, C pedal travel.\n"
                "  ! fails (the limit is passed), ~ marginal (less than a band is left), x could\n"
                "  not run, . not run here or not yet. A band stands for what the model can be\n"
                "  wrong by.\n");
    mbl_grid_free(&grid);
}

static void beside_it_is_the_number_that_tells_most_of_what_gives_out(void **state)
{
    (void)state;
    mbl_grid grid;
    small_grid(&grid); /* fluid, in most of the rows */
    expect_told(&grid, NULL,
                "\nfront.fluid.margin, K (below the boiling point that judges)\n"
                "  Down: duct. Across: pads. Marks as above, of the row's verdict.\n"
                "         b1     b2\n"
                "  a1     51    ~19\n"
                "  a2  !-0.2     20\n"
                "  a3      x      .\n");
    put(&grid, 0, 2.57, MBL_CHECK_ROTOR, 1);
    put(&grid, 2, -0.01, MBL_CHECK_ROTOR, 1);
    expect_told(&grid, NULL, "\nrear.rotor.core.peak, C (hottest rotor core)\n");
    for (size_t row = 0; row < 4; row++) /* its gauge is not kept: the first that differs */
        put(&grid, row, 2 + (double)row, MBL_CHECK_CALIPER, 1);
    expect_told(&grid, NULL, "\nfront.fluid.margin, K (");
    for (size_t row = 0; row < 4; row++)
        put(&grid, row, 2, MBL_CHECK_CALIPER, 1);
    expect_told(&grid, NULL, "\ncost (parts and the labour to fit them)\n");
    mbl_grid_free(&grid);
}

static void the_best_rows_come_first_with_their_numbers(void **state)
{
    (void)state;
    mbl_grid grid;
    small_grid(&grid);
    put(&grid, 5, 2.57, MBL_CHECK_FLUID, 1); /* as good as row 1 */
    expect_told(&grid, NULL,
                "BEST FIRST, by verdict and by what is left of the tightest limit\n"
                "                                                      rear\n"
                "                                              front  rotor\n"
                "                                              fluid   core\n"
                "  row  duct  pads  closest  tightest         margin   peak    cost\n"
                "                     bands                        K      C\n"
                "    1  a1    b1        2.5  front fluid          51    472  100.00\n"
                "    6  a3    b2        2.5  rear fluid           51    472  102.00\n"
                "    4  a2    b2        1.0  pedal travel         20    550  100.00\n"
                "    2  a1    b2       ~0.9  rear rotor core      19    552  101.00\n"
                "    3  a2    b1      !-0.1  front fluid        -0.2    601  102.00\n");
    expect_told(&grid, NULL,
                "  The same in every row: front.pad.left 6.5 mm, mass.unsprung 49.2 kg.\n");
    expect_told(&grid, NULL, "A part without a price costs nothing");
    mbl_grid_free(&grid);
}

static void numbers_are_told_in_the_units_that_were_asked_for(void **state)
{
    (void)state;
    mbl_grid grid;
    small_grid(&grid);
    char *page = page_told(&grid, NULL, MBL_UNITS_US);
    assert_has(page, "\nfront.fluid.margin, F (");
    assert_has(page, "  a1     93    ~35\n"); /* 51.4 and 19.4 K, 9/5 each: 92.5 and 34.9 */
    assert_has(page, "front.pad.left 0.26 in, mass.unsprung 108.5 lb."); /* 6.5 mm, 49.2 kg */
    free(page);
    mbl_grid_free(&grid);
}

static void more_axes_are_ranked_and_the_rest_is_counted(void **state)
{
    (void)state;
    mbl_grid grid;
    const size_t n[] = {5, 4, 6};
    grid_of(&grid, &mbl_alloc_libc, 3, n, GAUGES, gauges);
    for (size_t row = 0; row < grid.rows; row++)
        put(&grid, row, 1 + 0.1 * (double)((row * 7) % 120), MBL_CHECK_FLUID, 0);
    char *page = page_told(&grid, NULL, MBL_UNITS_SI);
    assert_has(page, "SWEEP of duct (5) by pads (4) by fluid (6): 120 rows\n");
    assert_null(strstr(page, "WHAT GIVES OUT"));
    const char *at = strstr(page, "\n  row ");
    assert_non_null(at);
    at = strchr(strchr(at + 1, '\n') + 1, '\n') + 1;
    for (size_t i = 0; i < 20; i++) {
        size_t row = strtoul(at, NULL, 10) - 1; /* (7 row) % 120 counts down from 119 */
        assert_int_equal((row * 7) % 120, 119 - i);
        at = strchr(at, '\n') + 1;
    }
    assert_memory_equal(at, "  and 100 more; grid:save writes them all.", 42);
    free(page);
    mbl_grid_free(&grid);
}

static void verdict_goes_before_what_is_left_and_unknown_goes_last(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    double none[GAUGES] = {0};
    grid_of_rows(&grid, &mbl_alloc_libc, 5, GAUGES, gauges);
    put(&grid, 0, NAN, MBL_CHECK_PAD, 0); /* fails: a number that is none keeps no limit */
    put(&grid, 1, -4, MBL_CHECK_PAD, 0);
    /* a cold pad at worst is marginal, however far below its window */
    const mbl_grid_row cold = {.verdict = MBL_MARGINAL, .limit = MBL_CHECK_COLD, .closest = -9};
    assert_ok(mbl_grid_put(&grid, 2, &cold, none, &err), err);
    put(&grid, 3, 0.2, MBL_CHECK_PAD, 0);
    put(&grid, 4, 1.2, MBL_CHECK_PAD, 0);
    char *page = page_told(&grid, NULL, MBL_UNITS_SI);
    const char *order[] = {"\n    5  5", "\n    4  4", "\n    3  3", "\n    2  2", "\n    1  1"};
    const char *at = page;
    for (size_t i = 0; i < 5; i++) {
        at = strstr(at, order[i]);
        if (at == NULL)
            fail_msg("%s is not next in: %s", order[i] + 1, page);
    }
    assert_has(page, "SWEEP of car: 5 rows\n");
    assert_has(page, "  ~-9.0  front cold pad");
    free(page);
    mbl_grid_free(&grid);
}

static void reasons_are_told_once_each_and_three_of_them(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    grid_of_rows(&grid, &mbl_alloc_libc, 12, GAUGES, gauges);
    static const char *const why[] = {"front.duct.bore is 300 mm", "no such pad", "no lap there",
                                      "too many nodes", "no air"};
    for (size_t row = 0; row < 10; row++)
        assert_ok(mbl_grid_take(&grid, row, NULL, why[row / 2], &err), err);
    expect_told(&grid, NULL,
                "COULD NOT RUN\n"
                "  - row 1 and 1 more: front.duct.bore is 300 mm\n"
                "  - row 3 and 1 more: no such pad\n"
                "  - row 5 and 1 more: no lap there\n"
                "  and 4 more, for other reasons; grid:save writes them all.\n");
    expect_told(&grid, NULL, "  Rows       10 could not run, 2 were not run yet.\n");
    put(&grid, 10, 2, MBL_CHECK_PAD, 0);
    put(&grid, 11, 2, MBL_CHECK_PAD, 0);
    for (size_t row = 1; row < 10; row++)
        put(&grid, row, 2, MBL_CHECK_PAD, 0);
    expect_told(&grid, NULL, "COULD NOT RUN\n  - row 1: front.duct.bore is 300 mm\n\n");
    mbl_grid_free(&grid);
}

static void a_part_and_a_choice_say_what_they_are(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {3, 2};
    small_grid(&grid);
    const bool keep[] = {false, true, false, true, true, false};
    char *page = page_told(&grid, keep, MBL_UNITS_SI);
    assert_has(page, "  Rows       1 holds, 1 is marginal, 1 could not run.\n"
                     "  A choice   3 of the 6.\n");
    assert_null(strstr(page, "WHAT GIVES OUT"));
    assert_null(strstr(page, "front fluid"));
    assert_has(page, "    4  a2    b2        1.0  pedal travel");
    assert_has(page, "  - row 5: no such pad\n");
    free(page);
    mbl_grid_free(&grid);
    grid_of(&grid, &mbl_alloc_libc, 2, n, GAUGES, gauges);
    assert_ok(mbl_grid_open(&grid, 2, 4, &err), err);
    put(&grid, 2, 2, MBL_CHECK_FLUID, 0);
    put(&grid, 3, 3, MBL_CHECK_FLUID, 0);
    expect_told(&grid, NULL, "  A part     only rows 3 to 4 of 6 are in this table.\n");
    expect_told(&grid, NULL, "  a1      .      .\n  a2  2.0 A  3.0 A\n  a3      .      .\n");
    mbl_grid_free(&grid);
}

static void what_is_the_same_everywhere_is_told_once(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    static const char *const fluid[] = {"fresh"};
    static const char *const pads[] = {"B", "B", "B"};
    static const char *const ducts[] = {"none", "51 mm", "76 mm"};
    mbl_grid_init(&grid, &mbl_alloc_libc);
    assert_ok(mbl_grid_axis(&grid, "fluid", 1, fluid, &err), err);
    assert_ok(mbl_grid_axis(&grid, "duct", 3, ducts, &err), err);
    assert_ok(mbl_grid_open(&grid, 0, 3, &err), err);
    grid_put(&grid, 0, 2, MBL_CHECK_PAD, 0, NULL);
    expect_told(&grid, NULL, "SWEEP of duct (3): 3 rows\n  Everywhere fluid: fresh.\n");
    mbl_grid_free(&grid);
    grid.shape = MBL_GRID_ROWS;
    assert_ok(mbl_grid_axis(&grid, "duct", 3, ducts, &err), err);
    assert_ok(mbl_grid_axis(&grid, "pads", 3, pads, &err), err);
    assert_ok(mbl_grid_open(&grid, 0, 3, &err), err);
    expect_told(&grid, NULL, "SWEEP of duct: 3 rows\n  Everywhere pads: B.\n");
    mbl_grid_free(&grid);
}

static void options_of_one_name_are_still_two(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    static const char *const ducts[] = {"duct", "duct"};
    static const char *const pads[] = {"A", "B"};
    mbl_grid_init(&grid, &mbl_alloc_libc);
    assert_ok(mbl_grid_axis(&grid, "duct", 2, ducts, &err), err);
    assert_ok(mbl_grid_axis(&grid, "pads", 2, pads, &err), err);
    assert_ok(mbl_grid_open(&grid, 0, 4, &err), err);
    for (size_t row = 0; row < 4; row++)
        grid_put(&grid, row, 1 + (double)row, MBL_CHECK_PAD, 0, NULL);
    expect_told(&grid, NULL, "  duct  1.0 A  2.0 A\n  duct  3.0 A  4.0 A\n");
    mbl_grid_free(&grid);
}

/* A sweep whose labels are too long for columns, and wider and longer than a page has room for. */
static void make_wide(mbl_grid *grid, size_t down, size_t across, const char *format)
{
    mbl_error err = {0};
    char text[64][64];
    const char *label[64];
    mbl_grid_init(grid, &mbl_alloc_libc);
    for (size_t i = 0; i < down; i++) {
        snprintf(text[i], sizeof text[i], format, (int)i + 40);
        label[i] = text[i];
    }
    assert_ok(mbl_grid_axis(grid, "front.duct.bore", down, label, &err), err);
    for (size_t i = 0; i < across; i++) {
        snprintf(text[i], sizeof text[i], "%d mm", (int)i + 40);
        label[i] = text[i];
    }
    assert_ok(mbl_grid_axis(grid, "piston", across, label, &err), err);
    assert_ok(mbl_grid_open(grid, 0, mbl_grid_rows(grid), &err), err);
    for (size_t row = 0; row < grid->rows; row++)
        grid_put(grid, row, 1 + (double)(row % 9), MBL_CHECK_FLUID, 0, NULL);
}

static void a_wide_matrix_goes_on_below(void **state)
{
    (void)state;
    mbl_grid grid;
    make_wide(&grid, 2, 20, "%d mm");
    expect_told(&grid, NULL,
                "         40 mm  41 mm  42 mm  43 mm  44 mm  45 mm  46 mm  47 mm  48 mm  49 mm\n"
                "  40 mm  1.0 A  2.0 A");
    char *page = page_told(&grid, NULL, MBL_UNITS_SI);
    assert_has(page, "\n\n         50 mm  51 mm");
    assert_has(page, "  59 mm\n");
    free(page);
    mbl_grid_free(&grid);
    make_wide(&grid, 40, 20, "%d mm"); /* 80 lines of it are no page */
    page = page_told(&grid, NULL, MBL_UNITS_SI);
    assert_null(strstr(page, "WHAT GIVES OUT"));
    assert_has(page, "  and 780 more; grid:save writes them all.\n");
    free(page);
    mbl_grid_free(&grid);
}

static void long_labels_are_numbered_and_told_below(void **state)
{
    (void)state;
    mbl_grid grid;
    make_wide(&grid, 3, 4, "a duct of %d mm with a long scoop \xc3\xa9");
    char *page = page_told(&grid, NULL, MBL_UNITS_SI);
    assert_has(page, "\n  #1  1.0 A  2.0 A");
    assert_has(page,
               "  front.duct.bore: #1 a duct of 40 mm with a long scoop ?, #2 a duct of 41 mm");
    /* below the row where it does not fit beside it */
    assert_has(page, "\n    9      9.0  front fluid\n"
                     "      front.duct.bore: a duct of 42 mm with a long scoop ?, piston: 40 mm\n");
    free(page);
    mbl_grid_free(&grid);
}

/* Anything at all: labels of any bytes, every gauge, numbers of any size. */
static void every_page_keeps_its_shape(void **state)
{
    (void)state;
    random_source r = {5};
    static const char *const words[] = {
        "",
        "x",
        "a longer name of it",
        "76 mm",
        "\xc3\xa9t\xc3\xa9",
        "averyverylongwordthatgoesforeverwithoutablankoranyothersigntobreakituntilitends"};
    for (int i = 0; i < 300; i++) {
        mbl_grid grid;
        mbl_error err = {0};
        mbl_grid_init(&grid, &mbl_alloc_libc);
        grid.shape = random_below(&r, 3) == 0 ? MBL_GRID_ROWS : MBL_GRID_PRODUCT;
        size_t naxes = (size_t)random_below(&r, 5) + 1;
        size_t n = (size_t)random_below(&r, 5) + 1;
        for (size_t a = 0; a < naxes; a++) {
            const char *label[8];
            char name[MBL_AXIS_NAME];
            snprintf(name, sizeof name, "%.24s.%c", words[random_below(&r, 4)], "abcde"[a]);
            for (size_t k = 0; k < 8; k++)
                label[k] = words[random_below(&r, 6)];
            if (grid.shape == MBL_GRID_PRODUCT)
                n = (size_t)random_below(&r, 5) + 1;
            assert_ok(mbl_grid_axis(&grid, name, n, label, &err), err);
        }
        for (size_t g = 0; g < mbl_gauge_count(); g++)
            if (random_below(&r, 4) == 0)
                grid.gauge[grid.ngauges++] = g;
        assert_ok(mbl_grid_open(&grid, 0, mbl_grid_rows(&grid), &err), err);
        for (size_t row = 0; row < grid.rows; row++) {
            double v[MBL_GRID_GAUGES];
            int what = random_below(&r, 8);
            for (size_t g = 0; g < grid.ngauges; g++)
                v[g] = random_below(&r, 9) == 0
                           ? (double)NAN
                           : random_between(&r, -1, 1) * pow(10, random_below(&r, 30) - 9);
            if (what == 0)
                assert_ok(mbl_grid_take(&grid, row, NULL, words[random_below(&r, 6)], &err), err);
            else if (what > 1)
                grid_put(&grid, row, what == 2 ? -1e7 : random_between(&r, -2, 9),
                         (mbl_check_kind)random_below(&r, MBL_CHECK_KINDS), random_below(&r, 3) - 1,
                         v);
        }
        free(page_told(&grid, NULL, i % 2 == 0 ? MBL_UNITS_SI : MBL_UNITS_US));
        mbl_grid_free(&grid);
    }
}

static void a_hundred_thousand_rows_are_a_page_too(void **state)
{
    (void)state;
    mbl_grid grid;
    grid_of_rows(&grid, &mbl_alloc_libc, 100000, GAUGES, gauges);
    for (size_t row = 0; row < grid.rows; row++)
        put(&grid, row, 1 + 1e-3 * (double)row, MBL_CHECK_FLUID, 0);
    char *page = page_told(&grid, NULL, MBL_UNITS_SI);
    assert_has(page, "\n  100000  100000    100.9  front fluid");
    assert_has(page, "  and 99980 more; grid:save writes them all.");
    free(page);
    mbl_grid_free(&grid);
}

static void every_failed_allocation_shows_on_the_text(void **state)
{
    (void)state;
    mbl_grid grid;
    small_grid(&grid);
    for (size_t fail_at = 1;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_text text;
        mbl_text_init(&text, &t.alloc);
        mbl_out_grid(&grid, NULL, MBL_UNITS_SI, &text);
        bool all = t.calls < fail_at;
        assert_int_equal(text.failed, !all);
        mbl_text_free(&text);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (all)
            break;
    }
    mbl_grid_free(&grid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_axes_are_a_matrix_of_what_gives_out_first),
        cmocka_unit_test(beside_it_is_the_number_that_tells_most_of_what_gives_out),
        cmocka_unit_test(the_best_rows_come_first_with_their_numbers),
        cmocka_unit_test(numbers_are_told_in_the_units_that_were_asked_for),
        cmocka_unit_test(more_axes_are_ranked_and_the_rest_is_counted),
        cmocka_unit_test(verdict_goes_before_what_is_left_and_unknown_goes_last),
        cmocka_unit_test(reasons_are_told_once_each_and_three_of_them),
        cmocka_unit_test(a_part_and_a_choice_say_what_they_are),
        cmocka_unit_test(what_is_the_same_everywhere_is_told_once),
        cmocka_unit_test(options_of_one_name_are_still_two),
        cmocka_unit_test(a_wide_matrix_goes_on_below),
        cmocka_unit_test(long_labels_are_numbered_and_told_below),
        cmocka_unit_test(every_page_keeps_its_shape),
        cmocka_unit_test(a_hundred_thousand_rows_are_a_page_too),
        cmocka_unit_test(every_failed_allocation_shows_on_the_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
