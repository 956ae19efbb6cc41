/* SPDX-License-Identifier: MIT */
/* The page about a logger's file. */
#include "out/out.h"
#include "support/session.h"
#include "support/test.h"

/* What mbl_out_log makes of a file; the caller frees it. */
static char *page_of(const char *name, const char *csv, size_t size, mbl_units_system units)
{
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    assert_ok(mbl_log_parse(&mbl_alloc_libc, name, csv, size, &(mbl_log_wish){0}, &log, &err), err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    mbl_text page;
    mbl_text_init(&page, &mbl_alloc_libc);
    mbl_out_log(log, trace, units, &page);
    assert_false(page.failed);
    char *copy = strdup(mbl_text_get(&page));
    assert_non_null(copy);
    mbl_text_free(&page);
    mbl_trace_drop(trace);
    mbl_log_free(log);
    size_t column = 0;
    for (const char *c = copy; *c != '\0'; c++) {
        column = *c == '\n' ? 0 : column + 1;
        assert_true(column <= 80);
        assert_true(*c == '\n' || (*c >= 0x20 && *c < 0x7F));
    }
    return copy;
}

static char *page_of_session(const drive_format *format, mbl_units_system units)
{
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(3, 7);
    drive_session session;
    drive_run(&drive_harrow_vale, &car, &plan, &session);
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    drive_write(&session, format, &text);
    drive_free(&session);
    char *page = page_of("session.csv", mbl_text_get(&text), text.length, units);
    mbl_text_free(&text);
    return page;
}

static void a_good_log_lists_columns_rows_and_laps_and_raises_no_doubt(void **state)
{
    (void)state;
    drive_format format = {
        .rate = 20, .unit = "km/h", .lap = true, .distance = true, .altitude = true};
    char *page = page_of_session(&format, MBL_UNITS_SI);
    assert_memory_equal(page, "LOG session.csv\n", 16);
    assert_has(page, "a comma between them; names on line 1, units on line 2");
    assert_has(page, "in km/h, guessed by its name");
    assert_has(page, "kept at 20.0 Hz");
    assert_has(page, "  Gaps       none\n");
    assert_has(page, "  Dropped    none\n");
    assert_has(page, "LAPS\n");
    assert_has(page, "fastest");
    assert_has(page, "median");
    assert_has(page, "  None. Look at lap times");
    free(page);
    page = page_of_session(&format, MBL_UNITS_US);
    assert_has(page, "mph");
    free(page);
}

static void what_is_missing_is_named_as_a_doubt(void **state)
{
    (void)state;
    char *page = page_of_session(&(drive_format){.rate = 4}, MBL_UNITS_SI);
    assert_has(page, "There is no lap column");
    assert_has(page, "There is no altitude");
    assert_has(page, "4.0 Hz is slow");
    assert_null(strstr(page, "None. Look"));
    free(page);
}

/* A minute and a half at 10 Hz: three slowings a lap of 30 s, speed 20 to 40 m/s. */
static void synthetic(mbl_text *csv, const char *head, double scale)
{
    mbl_text_print(csv, "%s\n", head);
    for (int i = 0; i < 900; i++) {
        double t = 0.1 * i;
        double phase = fmod(t, 10);
        double v = phase < 7 ? 20 + 20 * phase / 7 : 40 - 20 * (phase - 7) / 3;
        mbl_text_print(csv, "%.1f,%.3f\n", t, v * scale);
        if (i == 500)
            mbl_text_print(csv, "%.1f,%.3f\n%.1f,\n", t, v * scale, t + 0.05);
    }
}

static void dropped_rows_are_counted_with_the_line_of_the_first(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    synthetic(&csv, "Time [s],Speed [m/s]", 1);
    char *page = page_of("a.csv", mbl_text_get(&csv), csv.length, MBL_UNITS_SI);
    /* row i is on line i + 2; the two bad rows follow row 500 */
    assert_has(page, "2, the first on line 503: 1 where time did not go forward, 1 with\n");
    assert_has(page, "not logged, so speed cannot be checked");
    free(page);
    mbl_text_free(&csv);
}

static void an_unbelievable_speed_or_an_unknown_unit_is_doubted(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    /* km/h written where m/s is said */
    synthetic(&csv, "Time [s],Speed [m/s]", 3.6);
    char *page = page_of("a.csv", mbl_text_get(&csv), csv.length, MBL_UNITS_SI);
    assert_has(page, "reaches 518 km/h; is the unit of speed right?"); /* 40 x 3.6 x 3.6 */
    free(page);
    mbl_text_free(&csv);
    mbl_text_init(&csv, &mbl_alloc_libc);
    synthetic(&csv, "Time,Speed [km/h]", 3.6);
    page = page_of("a.csv", mbl_text_get(&csv), csv.length, MBL_UNITS_SI);
    assert_has(page, "The unit of time is nowhere in the file; s was assumed.");
    free(page);
    mbl_text_free(&csv);
}

static void long_names_and_foreign_letters_keep_to_the_page(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    synthetic(&csv, "Time [s],\"Speed of the car over the ground \xC3\xA9 as measured [m/s]\"", 1);
    char name[181];
    memset(name, 'n', 180);
    name[180] = '\0';
    mbl_error err = {0};
    mbl_log_wish wish = {0};
    wish.column[MBL_LOG_SPEED] = "Speed of the car over the ground \xC3\xA9 as measured";
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    assert_ok(
        mbl_log_parse(&mbl_alloc_libc, name, mbl_text_get(&csv), csv.length, &wish, &log, &err),
        err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    mbl_text page;
    mbl_text_init(&page, &mbl_alloc_libc);
    mbl_out_log(log, trace, MBL_UNITS_SI, &page);
    assert_has(mbl_text_get(&page), "ground ? as");
    size_t column = 0;
    for (const char *c = mbl_text_get(&page); *c != '\0'; c++) {
        column = *c == '\n' ? 0 : column + 1;
        assert_true(column <= 80);
        assert_true(*c == '\n' || (*c >= 0x20 && *c < 0x7F));
    }
    mbl_text_free(&page);
    mbl_trace_drop(trace);
    mbl_log_free(log);
    mbl_text_free(&csv);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_good_log_lists_columns_rows_and_laps_and_raises_no_doubt),
        cmocka_unit_test(what_is_missing_is_named_as_a_doubt),
        cmocka_unit_test(dropped_rows_are_counted_with_the_line_of_the_first),
        cmocka_unit_test(an_unbelievable_speed_or_an_unknown_unit_is_doubted),
        cmocka_unit_test(long_names_and_foreign_letters_keep_to_the_page),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
