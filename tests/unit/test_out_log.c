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

static void a_good_log_lists_columns_rows_and_laps_and_needs_no_repair(void **state)
{
    (void)state;
    drive_format format = {
        .rate = 20, .unit = "km/h", .lap = true, .distance = true, .altitude = true};
    char *page = page_of_session(&format, MBL_UNITS_SI);
    assert_memory_equal(page, "LOG session.csv\n", 16);
    assert_has(page, "  Shape      one row a sample, one column a channel\n");
    assert_has(page, "commas between them, numbers with a decimal point; names on\n"
                     "             line 1, units on line 2\n");
    assert_has(page, "  Clock      seconds\n");
    assert_has(page, " at 20.0 Hz, ");
    assert_has(page, "  Gaps       none\n");
    assert_has(page, "in km/h, column 3, guessed by its name\n");
    assert_has(page, "  Not there: front pressure, rear pressure, ");
    assert_has(page, "REPAIRS\n  None was needed.\n");
    assert_has(page, "LAPS\n    lap kind          time braking  brakes  stops   largest    top\n");
    assert_has(page, " is the fastest and ");
    assert_has(page, "  car: 1400 kg, 0.7 m2 of drag area, rolling 1.5 %,");
    free(page);
    page = page_of_session(&format, MBL_UNITS_US);
    assert_has(page, "mph");
    assert_has(page, "  car: 3086 lb,"); /* 1400 / 0.45359237 */
    free(page);
}

static void what_is_missing_is_named_as_a_doubt(void **state)
{
    (void)state;
    char *page = page_of_session(&(drive_format){.rate = 1}, MBL_UNITS_SI);
    assert_has(page, "  - nothing tells laps apart: all of the log counts as one lap\n");
    assert_has(page, "  - no altitude: the road is taken as level\n");
    assert_has(page, "are guessed: 1.0 Hz\n");
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
            mbl_text_print(csv, "%.1f,%.3f\n%.1f,\n", t, v * scale + 0.5, t + 0.05);
    }
}

static void repairs_are_listed_with_their_lines(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    synthetic(&csv, "Time [s],Speed [m/s]", 1);
    char *page = page_of("a.csv", mbl_text_get(&csv), csv.length, MBL_UNITS_SI);
    /* row i is on line i + 2; the two bad rows follow row 500 */
    assert_has(page, "REPAIRS\n       1  rows without time or speed, left out; line 504\n");
    assert_has(page, "       1  rows whose time did not increase, left out; line 503\n");
    assert_has(page, "not logged, so speed cannot be checked");
    free(page);
    mbl_text_free(&csv);
}

static void a_speed_faster_than_any_car_is_refused_or_doubted(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    /* three times as fast: up in 7 s from 60 to 120 m/s, at 1 kW/kg */
    synthetic(&csv, "Time [s],Speed [m/s]", 3);
    char *page = page_of("a.csv", mbl_text_get(&csv), csv.length, MBL_UNITS_SI);
    assert_has(page, "speed or time is wrong");
    free(page);
    mbl_text_free(&csv);
    mbl_text_init(&csv, &mbl_alloc_libc);
    synthetic(&csv, "Time,Speed [km/h]", 3.6);
    page = page_of("a.csv", mbl_text_get(&csv), csv.length, MBL_UNITS_SI);
    assert_has(page, "the unit of time is nowhere in the file; s was assumed\n");
    free(page);
    mbl_text_free(&csv);
}

static void lines_about_guesses_and_repairs_are_short(void **state)
{
    (void)state;
    mbl_log log = {0};
    mbl_text line;
    mbl_text_init(&line, &mbl_alloc_libc);
    mbl_out_log_guesses(&log, &line);
    mbl_out_log_repairs(&log, &line);
    assert_int_equal(line.length, 0);
    log.column[MBL_LOG_TIME] = (mbl_log_column){.present = true, .guessed = true, .name = "Clock"};
    log.column[MBL_LOG_SPEED] = (mbl_log_column){
        .present = true, .guessed = true, .name = "v", .unit = "mph", .repeats = 1};
    log.column[MBL_LOG_LAP] = (mbl_log_column){.present = true, .name = "Lap"};
    log.column[MBL_LOG_DISTANCE] = (mbl_log_column){.guessed = true, .name = "s"};
    mbl_out_log_guesses(&log, &line);
    assert_string_equal(mbl_text_get(&line), "Clock, v in mph (first of 2)");
    mbl_text_free(&line);
    log.repair[MBL_REPAIR_GAP].count = 1;
    log.repair[MBL_REPAIR_SPIKE].count = 12;
    mbl_out_log_repairs(&log, &line);
    assert_string_equal(mbl_text_get(&line), "12 spikes, 1 gap");
    mbl_text_free(&line);
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
        cmocka_unit_test(a_good_log_lists_columns_rows_and_laps_and_needs_no_repair),
        cmocka_unit_test(what_is_missing_is_named_as_a_doubt),
        cmocka_unit_test(repairs_are_listed_with_their_lines),
        cmocka_unit_test(a_speed_faster_than_any_car_is_refused_or_doubted),
        cmocka_unit_test(lines_about_guesses_and_repairs_are_short),
        cmocka_unit_test(long_names_and_foreign_letters_keep_to_the_page),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
