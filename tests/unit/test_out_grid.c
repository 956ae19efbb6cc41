/* SPDX-License-Identifier: MIT */
/* A sweep's table as CSV that comes back to the bit, and as JSON. Its page: test_grid_page. */
#include "out/grid.h"
#include "support/grid.h"
#include "support/random.h"
#include "support/take.h"
#include "support/test_alloc.h"

#include <jansson.h>
#include <signal.h>
#include <sys/resource.h>
#include <unistd.h>

static char folder[256];

static int set_up(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "%s/out_grid_test.XXXXXX", MBL_BINARY_DIR);
    assert_non_null(mkdtemp(folder));
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    return rmdir(folder); /* fails when a test, or a temporary file, is left behind */
}

static const char *in_folder(const char *name)
{
    static char path[320];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static char *csv_of(const mbl_grid *grid, const bool *keep, mbl_units_system units)
{
    mbl_error err = {0};
    const char *path = in_folder("grid.csv");
    assert_ok(mbl_out_grid_csv(grid, keep, units, path, &err), err);
    return test_take(path);
}

/* One row as text, without the end of its line; the caller frees it. */
static char *row_of(const mbl_grid *grid, size_t row)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_out_grid_row(grid, MBL_UNITS_SI, row, &text);
    assert_true(text.length > 0 && text.data[text.length - 1] == '\n');
    char *copy = strdup(mbl_text_get(&text));
    assert_non_null(copy);
    copy[text.length - 1] = '\0';
    mbl_text_free(&text);
    return copy;
}

static const char *const gauges[] = {"closest", "front.fluid.margin", "rear.pad.peak",
                                     "mass.unsprung", "front.pad.left"};

/* Labels that a table of commas finds hard; row 4 failed, row 6 is open. */
static void hard_grid(mbl_grid *grid, const mbl_alloc *alloc)
{
    static const char *const ducts[] = {"3 in, \"long\"", " none", "two\nlines"};
    static const char *const pads[] = {"compound \xc3\xa9", ""};
    mbl_error err = {0};
    mbl_grid_init(grid, alloc);
    assert_ok(mbl_grid_axis(grid, "duct, front", 3, ducts, &err), err);
    assert_ok(mbl_grid_axis(grid, "pads", 2, pads, &err), err);
    for (size_t i = 0; i < 5; i++)
        grid->gauge[grid->ngauges++] = mbl_gauge_find(gauges[i]);
    assert_ok(mbl_grid_open(grid, 0, 6, &err), err);
    grid_put(grid, 0, 1.5, MBL_CHECK_FLUID, 0, (const double[]){1.5, 30, 612.25, 49.2, 0.0065});
    grid_put(grid, 1, 0.25, MBL_CHECK_ROTOR, 1, (const double[]){0.25, 5, 700, 51, NAN});
    grid_put(grid, 2, -3, MBL_CHECK_EFFORT, -1, (const double[]){-3, -60, 0.1, INFINITY, 1e-7});
    assert_ok(mbl_grid_take(grid, 3, NULL, "no \"such\" pad,\nof that size", &err), err);
    grid_put(grid, 4, 12, MBL_CHECK_COLD, 0, (const double[]){12, 1. / 3, -0.0, 100000, 1e-300});
    grid->row[1].mode = MBL_MODE_SCREENING;
    grid->row[2].mode = MBL_MODE_REFERENCE;
    grid->row[4].mode = MBL_MODE_FINE;
}

static void csv_has_names_units_and_a_line_for_every_row_that_was_tried(void **state)
{
    (void)state;
    mbl_grid grid;
    hard_grid(&grid, &mbl_alloc_libc);
    char *text = csv_of(&grid, NULL, MBL_UNITS_SI);
    assert_string_equal(
        text, "row,\"duct, front\",pads,verdict,mode,limit,closest,front.fluid.margin,rear.pad.peak,"
              "mass.unsprung,front.pad.left,reason\n"
              ",,,,,,,K,C,kg,m,\n"
              "1,\"3 in, \"\"long\"\"\",compound \xc3\xa9,holds,default,front fluid,1.5,30,612.25,49.2,"
              "0.0065,\n"
              "2,\"3 in, \"\"long\"\"\",,marginal,screening,rear rotor,0.25,5,700,51,,\n"
              "3,\" none\",compound \xc3\xa9,fails,reference,car pedal effort,-3,-60,0.1,inf,1e-07,\n"
              "4,\" none\",,could not run,,,,,,,,\"no 'such' pad, of that size\"\n"
              "5,two lines,compound \xc3\xa9,holds,fine,front cold pad,12,0.3333333333333333,-0,100000,"
              "1e-300,\n");
    free(text);
    mbl_grid_free(&grid);
}

/*
 * By the definitions: 10 K are 18 F, 100 C are 212 F, 0.45359237 kg are a pound, 25.4 mm an inch
 * (international agreement of 1959).
 */
static void csv_in_american_units_says_so_and_means_it(void **state)
{
    (void)state;
    mbl_grid grid;
    const size_t n[] = {2};
    grid_of(&grid, &mbl_alloc_libc, 1, n, 5, gauges);
    grid_put(&grid, 0, 2, MBL_CHECK_FLUID, 0, (const double[]){2, 10, 100, 0.45359237, 0.0254});
    char *text = csv_of(&grid, NULL, MBL_UNITS_US);
    assert_has(text, "\n,,,,,,F,F,lb,in,\n");
    assert_has(text, "\n1,a1,holds,default,front fluid,2,18,212,1,1,\n");
    free(text);
    mbl_grid_free(&grid);
}

static void only_rows_that_are_kept_are_written(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {9};
    grid_of(&grid, &mbl_alloc_libc, 1, n, 2, gauges);
    assert_ok(mbl_grid_open(&grid, 4, 7, &err), err);
    for (size_t row = 4; row < 7; row++)
        grid_put(&grid, row, 2, MBL_CHECK_FLUID, 0, (const double[]){2, (double)row});
    const bool keep[] = {true, false, true};
    char *text = csv_of(&grid, keep, MBL_UNITS_SI);
    assert_string_equal(text, "row,duct,verdict,mode,limit,closest,front.fluid.margin,reason\n"
                              ",,,,,,K,\n"
                              "5,a5,holds,default,front fluid,2,4,\n"
                              "7,a7,holds,default,front fluid,2,6,\n");
    free(text);
    mbl_grid_free(&grid);
}

/* ---- taking lines back ---- */

static double any_number(random_source *r)
{
    static const double hard[] = {
        0,      -0.0,     0.1,    1. / 3,    5e-324,  1.7976931348623157e308,
        1e-300, INFINITY, 1e22,   -INFINITY, 2.5,     9007199254740993.0,
        100000, 123456,   -1e-07, 1e15,      999999.5};
    int n = (int)(sizeof hard / sizeof hard[0]);
    int which = random_below(r, 3 * n);
    if (which < n)
        return hard[which];
    if (which < n + 4)
        return NAN;
    return random_between(r, -1, 1) * pow(10, random_below(r, 12) - 4);
}

static bool same_bits(double a, double b)
{
    return (isnan(a) && isnan(b)) || memcmp(&a, &b, sizeof a) == 0;
}

static void what_is_taken_back_is_the_same_to_the_last_bit(void **state)
{
    (void)state;
    random_source r = {11};
    mbl_grid from;
    mbl_grid to;
    mbl_error err = {0};
    const size_t n[] = {9, 9, 9};
    grid_of(&from, &mbl_alloc_libc, 3, n, 5, gauges);
    grid_of(&to, &mbl_alloc_libc, 3, n, 5, gauges);
    for (size_t row = 0; row < from.rows; row++) {
        double v[5];
        for (size_t k = 0; k < 5; k++)
            v[k] = any_number(&r);
        mbl_grid_row what = {.verdict = (mbl_verdict)random_below(&r, 3),
                             .mode = (mbl_mode)random_below(&r, 4),
                             .limit = (mbl_check_kind)random_below(&r, MBL_CHECK_KINDS),
                             .axle = random_below(&r, 3) - 1,
                             .closest = v[0]};
        if (row % 10 == 9)
            assert_ok(mbl_grid_take(&from, row, NULL, row % 20 == 9 ? "" : "a, \"b\"\n", &err),
                      err);
        else
            assert_ok(mbl_grid_put(&from, row, &what, v, &err), err);
        char *line = row_of(&from, row);
        if (!mbl_out_grid_take(&to, row, line, strlen(line)))
            fail_msg("not taken: %s", line);
        char *again = row_of(&to, row);
        assert_string_equal(line, again);
        assert_int_equal(to.row[row].state, from.row[row].state);
        assert_true(same_bits(to.row[row].closest, from.row[row].closest));
        for (size_t k = 0; k < 5; k++)
            assert_true(same_bits(mbl_grid_value(&to, row, k), mbl_grid_value(&from, row, k)));
        if (from.row[row].state == MBL_ROW_FAILED) {
            assert_string_equal(to.reason[row], from.reason[row]);
        } else {
            assert_int_equal(to.row[row].verdict, from.row[row].verdict);
            assert_int_equal(to.row[row].mode, from.row[row].mode);
            assert_int_equal(to.row[row].limit, from.row[row].limit);
            assert_int_equal(to.row[row].axle, from.row[row].axle);
        }
        free(line);
        free(again);
    }
    mbl_grid_free(&from);
    mbl_grid_free(&to);
}

static void a_longest_reason_comes_back(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {2};
    char why[MBL_REASON];
    memset(why, ',', sizeof why - 1);
    why[sizeof why - 1] = '\0';
    grid_of(&grid, &mbl_alloc_libc, 1, n, 2, gauges);
    assert_ok(mbl_grid_take(&grid, 0, NULL, why, &err), err);
    char *line = row_of(&grid, 0);
    assert_ok(mbl_grid_take(&grid, 0, NULL, "gone", &err), err);
    assert_true(mbl_out_grid_take(&grid, 0, line, strlen(line)));
    assert_string_equal(grid.reason[0], why);
    free(line);
    mbl_grid_free(&grid);
}

/* Every line of the hard grid cut off everywhere, and with one byte more. */
static void a_torn_line_is_not_taken(void **state)
{
    (void)state;
    mbl_grid from;
    mbl_grid to;
    hard_grid(&from, &mbl_alloc_libc);
    hard_grid(&to, &mbl_alloc_libc);
    for (size_t row = 0; row < 5; row++) {
        char *line = row_of(&from, row);
        size_t n = strlen(line);
        for (size_t cut = 0; cut < n; cut++) {
            /* in its own block, so that reading on shows */
            char *torn = malloc(cut > 0 ? cut : 1);
            assert_non_null(torn);
            memcpy(torn, line, cut);
            if (mbl_out_grid_take(&to, row, torn, cut))
                fail_msg("taken, cut off: %.*s", (int)cut, line);
            free(torn);
        }
        static const char more[] = "\r\n,\"x ";
        for (size_t i = 0; i < sizeof more; i++) {
            char longer[256];
            memcpy(longer, line, n);
            longer[n] = more[i]; /* a zero byte is the last */
            assert_false(mbl_out_grid_take(&to, row, longer, n + 1));
        }
        assert_true(mbl_out_grid_take(&to, row, line, n));
        free(line);
    }
    mbl_grid_free(&from);
    mbl_grid_free(&to);
}

static void a_line_of_another_row_or_with_other_words_is_not_taken(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {2, 2};
    grid_of(&grid, &mbl_alloc_libc, 2, n, 3, gauges);
    static const char *const wrong[] = {
        "",
        "2,a1,b1,holds,default,front fluid,1.5,30,600,",
        "01,a1,b1,holds,default,front fluid,1.5,30,600,",
        " 1,a1,b1,holds,default,front fluid,1.5,30,600,",
        "1,a2,b1,holds,default,front fluid,1.5,30,600,",
        "1,a1,b2,holds,default,front fluid,1.5,30,600,",
        "1,\"a1\",b1,holds,default,front fluid,1.5,30,600,",
        "1,a1,b1,Holds,default,front fluid,1.5,30,600,",
        "1,a1,b1,,default,front fluid,1.5,30,600,",
        "1,a1,b1,holds,default,,1.5,30,600,",
        "1,a1,b1,holds,default,fluid,1.5,30,600,",
        "1,a1,b1,holds,default,middle fluid,1.5,30,600,",
        "1,a1,b1,holds,default,front oil,1.5,30,600,",
        "1,a1,b1,holds,front fluid,1.5,30,600,",
        "1,a1,b1,holds,,front fluid,1.5,30,600,",
        "1,a1,b1,holds,quick,front fluid,1.5,30,600,",
        "1,a1,b1,could not run,fine,,,,,\"why\"",
        "1,a1,b1,holds,default,front fluid,1.5,30,",
        "1,a1,b1,holds,default,front fluid,1.5,30,600,7,",
        "1,a1,b1,holds,default,front fluid,1.50,30,600,",
        "1,a1,b1,holds,default,front fluid,1.5,+30,600,",
        "1,a1,b1,holds,default,front fluid,1.5,30,6e2,",
        "1,a1,b1,holds,default,front fluid,1.5,30,600 K,",
        "1,a1,b1,holds,default,front fluid,1.5,nan,600,",
        "1,a1,b1,holds,default,front fluid,1.5,Inf,600,",
        "1,a1,b1,holds,default,front fluid,1.5,30,1e999,",
        "1,a1,b1,holds,default,front fluid,1.5,30,600,\"why\"",
        "1,a1,b1,could not run,,front fluid,,,,\"why\"",
        "1,a1,b1,could not run,,,1.5,,,\"why\"",
        "1,a1,b1,could not run,,,,30,,\"why\"",
        "1,a1,b1,could not run,,,,,,why",
        "1,a1,b1,could not run,,,,,,\"why\" ",
        "1,a1,b1,could not run,,,,,,",
        "1,a1,b1,could not run,,,,,,\"no \"\"such\"\" pad\"",
        "row,duct,pads,verdict,mode,limit,closest,front.fluid.margin,rear.pad.peak,reason",
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        if (mbl_out_grid_take(&grid, 0, wrong[i], strlen(wrong[i])))
            fail_msg("taken: %s", wrong[i]);
    assert_int_equal(grid.row[0].state, MBL_ROW_OPEN);
    static const char right[] = "1,a1,b1,holds,default,front fluid,1.5,30,600,";
    assert_true(mbl_out_grid_take(&grid, 0, right, sizeof right - 1));
    assert_near(mbl_grid_value(&grid, 0, 2), 600, 0);
    assert_false(mbl_out_grid_take(&grid, 4, right, sizeof right - 1)); /* there is none */
    assert_ok(mbl_grid_open(&grid, 1, 3, &err), err);
    assert_false(mbl_out_grid_take(&grid, 0, right, sizeof right - 1)); /* not of this part */
    mbl_grid_free(&grid);
}

/* A byte changed anywhere: not taken, or a line that is as sound as any. */
static void an_altered_line_is_not_taken_or_is_a_line_like_others(void **state)
{
    (void)state;
    mbl_grid grid;
    hard_grid(&grid, &mbl_alloc_libc);
    size_t taken = 0;
    for (size_t row = 0; row < 5; row++) {
        char *line = row_of(&grid, row);
        size_t n = strlen(line);
        for (size_t at = 0; at < n; at++)
            for (int byte = 0; byte < 256; byte++) {
                char was = line[at];
                line[at] = (char)byte;
                if (mbl_out_grid_take(&grid, row, line, n)) {
                    char *again = row_of(&grid, row);
                    assert_string_equal(again, line);
                    free(again);
                    taken++;
                }
                line[at] = was;
            }
        free(line);
    }
    assert_true(taken > 50); /* digits of numbers, letters of a reason */
    mbl_grid_free(&grid);
}

/* ---- JSON ---- */

static json_t *json_of(const mbl_grid *grid, const bool *keep)
{
    mbl_error err = {0};
    const char *path = in_folder("grid.json");
    assert_ok(mbl_out_grid_json(grid, keep, path, &err), err);
    char *text = test_take(path);
    assert_null(strstr(text, "safe"));
    json_error_t why;
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &why);
    if (root == NULL)
        fail_msg("%s: %s", why.text, text);
    free(text);
    return root;
}

static void json_has_axes_gauges_and_rows_with_the_same_doubles(void **state)
{
    (void)state;
    mbl_grid grid;
    hard_grid(&grid, &mbl_alloc_libc);
    json_t *root = json_of(&grid, NULL);
    const char *name;
    const char *unit;
    int rows;
    int open;
    assert_int_equal(json_unpack(root, "{s:i,s:i,s:[{s:s}]}", "rows_of_all", &rows, "not_run_yet",
                                 &open, "axes", "name", &name),
                     0);
    assert_int_equal(rows, 6);
    assert_int_equal(open, 1);
    assert_string_equal(name, "duct, front");
    json_t *list = json_object_get(root, "gauges");
    assert_int_equal(json_array_size(list), 4);
    assert_int_equal(json_unpack(list, "[{s:s,s:s}]", "name", &name, "unit", &unit), 0);
    assert_string_equal(name, "front.fluid.margin");
    assert_string_equal(unit, "K");
    json_t *table = json_object_get(root, "table");
    assert_int_equal(json_array_size(table), 5);
    const char *label;
    const char *verdict;
    const char *limit;
    double closest;
    double third;
    double tiny;
    int row;
    assert_int_equal(json_unpack(json_array_get(table, 4), "{s:i,s:{s:s},s:s,s:s,s:F,s:{s:F,s:F}}",
                                 "row", &row, "options", "duct, front", &label, "verdict", &verdict,
                                 "limit", &limit, "closest", &closest, "values",
                                 "front.fluid.margin", &third, "front.pad.left", &tiny),
                     0);
    assert_int_equal(row, 5);
    assert_string_equal(label, "two lines");
    assert_string_equal(verdict, "holds");
    assert_string_equal(limit, "front cold pad");
    assert_near(closest, 12, 0);
    assert_near(third, 1. / 3, 0);
    assert_near(tiny, 1e-300, 0);
    json_decref(root);
    mbl_grid_free(&grid);
}

static void json_has_null_for_what_is_not_known_and_says_why(void **state)
{
    (void)state;
    mbl_grid grid;
    hard_grid(&grid, &mbl_alloc_libc);
    json_t *root = json_of(&grid, NULL);
    json_t *table = json_object_get(root, "table");
    json_t *failed = json_array_get(table, 3);
    assert_string_equal(json_string_value(json_object_get(failed, "verdict")), "could not run");
    assert_string_equal(json_string_value(json_object_get(failed, "reason")),
                        "no 'such' pad, of that size");
    assert_true(json_is_null(json_object_get(failed, "limit")));
    assert_true(json_is_null(json_object_get(failed, "closest")));
    assert_true(
        json_is_null(json_object_get(json_object_get(failed, "values"), "front.fluid.margin")));
    json_t *second = json_array_get(table, 1);
    assert_true(json_is_null(json_object_get(second, "reason")));
    assert_true(json_is_null(json_object_get(json_object_get(second, "values"), "front.pad.left")));
    json_decref(root);
    mbl_grid_free(&grid);
}

static void json_of_no_rows_of_some_and_of_bytes_that_are_no_text_is_sound(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    static const char *const labels[] = {"caf\xe9", "\xff\xfe"};
    mbl_grid_init(&grid, &mbl_alloc_libc);
    grid.shape = MBL_GRID_ROWS;
    assert_ok(mbl_grid_axis(&grid, "w\xf6rd", 2, labels, &err), err);
    assert_ok(mbl_grid_open(&grid, 0, 2, &err), err);
    json_t *root = json_of(&grid, NULL);
    assert_int_equal(json_array_size(json_object_get(root, "table")), 0);
    json_decref(root);
    grid_put(&grid, 0, 2, MBL_CHECK_PAD, 0, NULL);
    grid_put(&grid, 1, 2, MBL_CHECK_PAD, 0, NULL);
    const bool keep[] = {false, true};
    root = json_of(&grid, keep);
    json_t *table = json_object_get(root, "table");
    assert_int_equal(json_array_size(table), 1);
    assert_int_equal(json_integer_value(json_object_get(json_array_get(table, 0), "row")), 2);
    assert_string_equal(json_string_value(json_object_get(
                            json_object_get(json_array_get(table, 0), "options"), "w?rd")),
                        "??");
    json_decref(root);
    mbl_grid_free(&grid);
}

static void json_of_a_part_says_which_rows_and_keeps_by_its_own(void **state)
{
    (void)state;
    mbl_grid grid;
    mbl_error err = {0};
    const size_t n[] = {9};
    grid_of(&grid, &mbl_alloc_libc, 1, n, 2, gauges);
    assert_ok(mbl_grid_open(&grid, 4, 7, &err), err);
    for (size_t row = 4; row < 7; row++)
        grid_put(&grid, row, 2, MBL_CHECK_FLUID, 0, (const double[]){2, (double)row});
    const bool keep[] = {true, false, true};
    json_t *root = json_of(&grid, keep);
    assert_int_equal(json_integer_value(json_object_get(root, "first")), 5);
    assert_int_equal(json_integer_value(json_object_get(root, "last")), 7);
    json_t *table = json_object_get(root, "table");
    assert_int_equal(json_array_size(table), 2);
    assert_int_equal(json_integer_value(json_object_get(json_array_get(table, 0), "row")), 5);
    assert_int_equal(json_integer_value(json_object_get(json_array_get(table, 1), "row")), 7);
    json_decref(root);
    mbl_grid_free(&grid);
}

/* ---- what can go wrong ---- */

static void every_failed_allocation_of_csv_ends_cleanly(void **state)
{
    (void)state;
    for (size_t fail_at = 1;; fail_at++) {
        test_alloc t;
        mbl_grid grid;
        mbl_error err = {0};
        test_alloc_init(&t);
        hard_grid(&grid, &t.alloc);
        size_t before = t.calls;
        char *line = row_of(&grid, 3);
        t.fail_at = before + fail_at;
        mbl_status status = mbl_out_grid_csv(&grid, NULL, MBL_UNITS_SI, in_folder("c"), &err);
        bool failed = status != MBL_OK;
        if (failed)
            assert_int_equal(access(in_folder("c"), F_OK), -1);
        else
            free(test_take(in_folder("c")));
        bool taken = mbl_out_grid_take(&grid, 3, line, strlen(line));
        assert_string_equal(grid.reason[3], "no 'such' pad, of that size");
        bool all = t.calls < t.fail_at;
        assert_true(all ? taken && !failed : !taken || failed);
        assert_int_equal(status, failed ? MBL_MEMORY : MBL_OK);
        free(line);
        mbl_grid_free(&grid);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (all)
            break;
        assert_true(fail_at < 100);
    }
}

/* The JSON library takes its memory where it is told to. */
static size_t blocks, refuse_at, live;

static void *counted_malloc(size_t size)
{
    if (++blocks == refuse_at)
        return NULL;
    live++;
    return malloc(size);
}

static void counted_free(void *p)
{
    live -= p != NULL;
    free(p);
}

static void every_failed_allocation_of_json_ends_cleanly(void **state)
{
    (void)state;
    mbl_grid grid;
    hard_grid(&grid, &mbl_alloc_libc);
    mbl_error none = {0};
    assert_ok(mbl_out_grid_json(&grid, NULL, in_folder("j"), &none), none);
    char *whole = test_take(in_folder("j"));
    json_malloc_t was_malloc;
    json_free_t was_free;
    json_get_alloc_funcs(&was_malloc, &was_free);
    json_set_alloc_funcs(counted_malloc, counted_free);
    for (refuse_at = 1;; refuse_at++) {
        mbl_error err = {0};
        blocks = 0;
        mbl_status status = mbl_out_grid_json(&grid, NULL, in_folder("j"), &err);
        assert_int_equal(live, 0);
        if (status == MBL_OK) {
            char *text = test_take(in_folder("j")); /* a text is tried twice */
            assert_string_equal(text, whole);
            free(text);
            if (blocks < refuse_at)
                break;
            continue;
        }
        assert_int_equal(status, MBL_MEMORY);
        assert_int_equal(access(in_folder("j"), F_OK), -1);
    }
    json_set_alloc_funcs(was_malloc, was_free);
    free(whole);
    assert_true(refuse_at > 100);
    test_alloc t; /* and what the engine itself takes */
    test_alloc_init(&t);
    mbl_grid own;
    hard_grid(&own, &t.alloc);
    t.fail_at = t.calls + 1;
    mbl_error err = {0};
    assert_int_equal(mbl_out_grid_json(&own, NULL, in_folder("j"), &err), MBL_MEMORY);
    mbl_grid_free(&own);
    assert_int_equal(t.live_bytes, 0);
    mbl_grid_free(&grid);
}

/* A limit on the size of files stands in for a full disk. */
static void a_full_disk_is_an_error_and_keeps_the_old_file(void **state)
{
    (void)state;
    mbl_grid grid;
    grid_of_rows(&grid, &mbl_alloc_libc, 2000, 5, gauges);
    for (size_t i = 0; i < grid.rows; i++)
        grid_put(&grid, i, 2, MBL_CHECK_PAD, 0, (const double[]){2, 1. / 3, 2. / 3, 1e-9, 7});
    const char *path = in_folder("old");
    FILE *old = fopen(path, "w");
    assert_non_null(old);
    fputs("old", old);
    assert_int_equal(fclose(old), 0);
    struct rlimit before;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    struct rlimit small = {.rlim_cur = 10000, .rlim_max = before.rlim_max};
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    mbl_error csv = {0};
    mbl_error json = {0};
    mbl_status csv_status = mbl_out_grid_csv(&grid, NULL, MBL_UNITS_SI, path, &csv);
    mbl_status json_status = mbl_out_grid_json(&grid, NULL, path, &json);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    signal(SIGXFSZ, handler);
    assert_int_equal(csv_status, MBL_FILE);
    assert_int_equal(json_status, MBL_FILE);
    assert_has(csv.text, "cannot write");
    assert_has(json.text, "cannot write");
    char *kept = test_take(path);
    assert_string_equal(kept, "old");
    free(kept);
    mbl_grid_free(&grid);
}

static void a_folder_that_is_not_there_is_an_error(void **state)
{
    (void)state;
    mbl_grid grid;
    hard_grid(&grid, &mbl_alloc_libc);
    mbl_error csv = {0};
    mbl_error json = {0};
    assert_int_equal(mbl_out_grid_csv(&grid, NULL, MBL_UNITS_SI, in_folder("no/grid.csv"), &csv),
                     MBL_FILE);
    assert_int_equal(mbl_out_grid_json(&grid, NULL, in_folder("no/grid.json"), &json), MBL_FILE);
    mbl_grid_free(&grid);
}

static void a_hundred_thousand_rows_are_written_and_taken_back(void **state)
{
    (void)state;
    enum { MANY = 100000 };
    random_source r = {3};
    mbl_grid from;
    mbl_grid to;
    grid_of_rows(&from, &mbl_alloc_libc, MANY, 5, gauges);
    grid_of_rows(&to, &mbl_alloc_libc, MANY, 5, gauges);
    for (size_t i = 0; i < MANY; i++) {
        double v[5];
        for (size_t k = 0; k < 5; k++)
            v[k] = random_between(&r, -100, 1000);
        grid_put(&from, i, v[0], MBL_CHECK_PAD, 0, v);
    }
    char *text = csv_of(&from, NULL, MBL_UNITS_SI);
    char *at = strchr(strchr(text, '\n') + 1, '\n') + 1;
    for (size_t i = 0; i < MANY; i++) {
        char *end = strchr(at, '\n');
        assert_non_null(end);
        assert_true(mbl_out_grid_take(&to, i, at, (size_t)(end - at)));
        at = end + 1;
    }
    assert_int_equal(*at, '\0');
    assert_memory_equal(from.value, to.value, MANY * 5 * sizeof *from.value);
    json_t *root = json_of(&from, NULL);
    assert_int_equal(json_array_size(json_object_get(root, "table")), MANY);
    json_decref(root);
    free(text);
    mbl_grid_free(&from);
    mbl_grid_free(&to);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(csv_has_names_units_and_a_line_for_every_row_that_was_tried),
        cmocka_unit_test(csv_in_american_units_says_so_and_means_it),
        cmocka_unit_test(only_rows_that_are_kept_are_written),
        cmocka_unit_test(what_is_taken_back_is_the_same_to_the_last_bit),
        cmocka_unit_test(a_longest_reason_comes_back),
        cmocka_unit_test(a_torn_line_is_not_taken),
        cmocka_unit_test(a_line_of_another_row_or_with_other_words_is_not_taken),
        cmocka_unit_test(an_altered_line_is_not_taken_or_is_a_line_like_others),
        cmocka_unit_test(json_has_axes_gauges_and_rows_with_the_same_doubles),
        cmocka_unit_test(json_has_null_for_what_is_not_known_and_says_why),
        cmocka_unit_test(json_of_no_rows_of_some_and_of_bytes_that_are_no_text_is_sound),
        cmocka_unit_test(json_of_a_part_says_which_rows_and_keeps_by_its_own),
        cmocka_unit_test(every_failed_allocation_of_csv_ends_cleanly),
        cmocka_unit_test(every_failed_allocation_of_json_ends_cleanly),
        cmocka_unit_test(a_full_disk_is_an_error_and_keeps_the_old_file),
        cmocka_unit_test(a_folder_that_is_not_there_is_an_error),
        cmocka_unit_test(a_hundred_thousand_rows_are_written_and_taken_back),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
