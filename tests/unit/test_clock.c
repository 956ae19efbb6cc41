/* SPDX-License-Identifier: MIT */
/*
 * The clocks of loggers. Dates are held against POSIX.1-2017, "Seconds Since the Epoch": the days
 * between two of its stamps, worked out by hand where a test says so.
 */
#include "road/clock.h"
#include "support/test.h"

static mbl_csv_cell cell(const char *text)
{
    return (mbl_csv_cell){text, strlen(text)};
}

/* Chooses by up to 16 stamps and a unit, reads them all, and checks kind and seconds. */
static void assert_clock(const char *name, const char *unit, const char *const *stamp,
                         mbl_log_clock kind, const double *seconds)
{
    mbl_csv_cell cells[16];
    size_t n = 0;
    for (; stamp[n] != NULL; n++)
        cells[n] = cell(stamp[n]);
    mbl_log_column column = {.present = true};
    snprintf(column.name, sizeof column.name, "%s", name);
    snprintf(column.unit, sizeof column.unit, "%s", unit);
    mbl_clock clock;
    mbl_error err = {0};
    assert_ok(mbl_clock_choose(&clock, cells, n, '.', false, false, &column, &err), err);
    assert_int_equal(clock.kind, kind);
    for (size_t i = 0; i < n; i++) {
        double t = -1;
        bool midnight = true;
        if (!mbl_clock_read(&clock, cells[i], &t, &midnight))
            fail_msg("\"%s\" is not read", stamp[i]);
        assert_false(midnight);
        assert_near(t, seconds[i], 1e-6);
    }
}

#define STAMPS(...)  ((const char *const[]){__VA_ARGS__, NULL})
#define SECONDS(...) ((const double[]){__VA_ARGS__})

static void units_decide(void **state)
{
    (void)state;
    assert_clock("Time", "s", STAMPS("0", "0.05", "0.1"), MBL_CLOCK_SECONDS, SECONDS(0, 0.05, 0.1));
    assert_clock("Time", "sec", STAMPS("100", "200", "300"), MBL_CLOCK_SECONDS,
                 SECONDS(100, 200, 300));
    assert_clock("Time", "ms", STAMPS("0", "1", "2"), MBL_CLOCK_MILLISECONDS,
                 SECONDS(0, 0.001, 0.002));
    assert_clock("Time", "min", STAMPS("0", "0.5", "1"), MBL_CLOCK_SECONDS, SECONDS(0, 30, 60));
    assert_clock("Time", "us", STAMPS("0", "50000"), MBL_CLOCK_SECONDS, SECONDS(0, 0.05));
}

static void plain_numbers_without_a_unit_are_told_by_their_steps(void **state)
{
    (void)state;
    assert_clock("Time", "", STAMPS("0.00", "0.05", "0.10"), MBL_CLOCK_SECONDS,
                 SECONDS(0, 0.05, 0.1));
    /* one a second */
    assert_clock("Time", "", STAMPS("0", "1", "2", "3"), MBL_CLOCK_SECONDS, SECONDS(0, 1, 2, 3));
    /* 200 Hz to 1 Hz in whole milliseconds, some stamps twice */
    assert_clock("Time", "", STAMPS("0", "5", "5", "10", "15"), MBL_CLOCK_MILLISECONDS,
                 SECONDS(0, 0.005, 0.005, 0.010, 0.015));
    assert_clock("Time", "", STAMPS("81000", "82000", "83000"), MBL_CLOCK_MILLISECONDS,
                 SECONDS(81, 82, 83));
    /* a fraction: no milliseconds */
    assert_clock("Time", "", STAMPS("0.5", "10.5", "20.5"), MBL_CLOCK_SECONDS,
                 SECONDS(0.5, 10.5, 20.5));
}

static void stamps_since_1970_are_told_by_their_size(void **state)
{
    (void)state;
    assert_clock("Time", "", STAMPS("1935052800.25", "1935052800.75"), MBL_CLOCK_UNIX,
                 SECONDS(1935052800.25, 1935052800.75));
    assert_clock("Time", "s", STAMPS("1935052800", "1935052801"), MBL_CLOCK_UNIX,
                 SECONDS(1935052800, 1935052801));
    assert_clock("Time", "unix time", STAMPS("1935052800", "1935052801"), MBL_CLOCK_UNIX,
                 SECONDS(1935052800, 1935052801));
    assert_clock("Time", "", STAMPS("1935052800040", "1935052800080"), MBL_CLOCK_UNIX_MS,
                 SECONDS(1935052800.04, 1935052800.08));
    assert_clock("Time", "ms", STAMPS("1935052800040", "1935052800080"), MBL_CLOCK_UNIX_MS,
                 SECONDS(1935052800.04, 1935052800.08));
    /* the file says seconds and writes 13 digits */
    assert_clock("Time", "s", STAMPS("1935052800040", "1935052800080"), MBL_CLOCK_UNIX_MS,
                 SECONDS(1935052800.04, 1935052800.08));
}

static void hours_minutes_and_seconds(void **state)
{
    (void)state;
    assert_clock("Time", "", STAMPS("01:02:03.5", "1:02:03,75", "23:59:59.999"), MBL_CLOCK_HMS,
                 SECONDS(3723.5, 3723.75, 86399.999));
    assert_clock("Time", "s", STAMPS("0:59.95", "1:00.000", "75:12.3"), MBL_CLOCK_HMS,
                 SECONDS(59.95, 60, 4512.3));
    /* without the 0: in the first minute */
    assert_clock("Time", "", STAMPS("59.9", "1:00.0"), MBL_CLOCK_HMS, SECONDS(59.9, 60));
    /* before the trigger */
    assert_clock("Time", "", STAMPS("-0:00:01.5", "0:00:00.5"), MBL_CLOCK_HMS, SECONDS(-1.5, 0.5));
}

static void plain_seconds_may_turn_into_minutes_after_the_sample(void **state)
{
    (void)state;
    mbl_clock clock;
    mbl_log_column column = {.name = "Time"};
    mbl_error err = {0};
    mbl_csv_cell first = cell("0.0");
    assert_ok(mbl_clock_choose(&clock, &first, 1, '.', false, false, &column, &err), err);
    assert_int_equal(clock.kind, MBL_CLOCK_SECONDS);
    double t = 0;
    bool midnight = false;
    assert_true(mbl_clock_read(&clock, cell("59.5"), &t, &midnight));
    assert_true(mbl_clock_read(&clock, cell("1:00.5"), &t, &midnight));
    assert_near(t, 60.5, 1e-12);
    assert_int_equal(clock.kind, MBL_CLOCK_HMS);
}

static void times_of_day_in_one_piece(void **state)
{
    (void)state;
    /* 10:11:12.25 = 36672.25 s */
    assert_clock("Time", "hhmmss.ss", STAMPS("101112.25", "101159.75", "101200.00"),
                 MBL_CLOCK_COMPACT, SECONDS(36672.25, 36719.75, 36720));
    assert_clock("UTC", "", STAMPS("101112.25", "101112.75"), MBL_CLOCK_COMPACT,
                 SECONDS(36672.25, 36672.75));
    /* a zero in front, or a full minute, and no name that says so */
    assert_clock("Time", "", STAMPS("091500.0", "091500.1"), MBL_CLOCK_COMPACT,
                 SECONDS(33300, 33300.1));
    assert_clock("Time", "", STAMPS("101159.5", "101200.0"), MBL_CLOCK_COMPACT,
                 SECONDS(36719.5, 36720));
    /* neither: seconds, as they stand */
    assert_clock("Time", "", STAMPS("101112.25", "101112.75"), MBL_CLOCK_SECONDS,
                 SECONDS(101112.25, 101112.75));
}

/*
 * From the midnight before the first stamp. 2031-05-04T10:00:00 is 36000 s into its day; the same
 * instant is 12:00 at +02:00, 15:30 at +05:30 and 03:00 at -0700.
 */
static void dates_with_and_without_an_offset(void **state)
{
    (void)state;
    assert_clock(
        "Time", "",
        STAMPS("2031-05-04T10:00:00Z", "2031-05-04T12:00:00.5+02:00", "2031-05-04T15:30:01+05:30",
               "2031-05-04T03:00:01.5-0700", "2031-05-04 12:00:02+02", "2031/05/04 10:00:03",
               "20310504T100004Z", "2031-05-04T10:01Z", "2031-05-05T00:00:00Z"),
        MBL_CLOCK_DATE, SECONDS(36000, 36000.5, 36001, 36001.5, 36002, 36003, 36004, 36060, 86400));
}

/*
 * By the formula of POSIX the days from 2000-02-28 to 2000-03-01 are two (2000 is a leap year),
 * from 2100-02-28 to 2100-03-01 one (2100 is none), from 1999-12-31 to 2001-01-01 367.
 */
static void days_are_counted_across_leap_years(void **state)
{
    (void)state;
    assert_clock("T", "", STAMPS("2000-02-28T00:00:00Z", "2000-03-01T00:00:00Z"), MBL_CLOCK_DATE,
                 SECONDS(0, 2 * 86400));
    assert_clock("T", "", STAMPS("2100-02-28T00:00:00Z", "2100-03-01T00:00:00Z"), MBL_CLOCK_DATE,
                 SECONDS(0, 86400));
    assert_clock("T", "", STAMPS("1999-12-31T00:00:00Z", "2001-01-01T00:00:00Z"), MBL_CLOCK_DATE,
                 SECONDS(0, 367.0 * 86400));
}

static void what_is_no_stamp_is_refused(void **state)
{
    (void)state;
    static const char *const bad[] = {"",
                                      ":",
                                      "12:",
                                      ":30",
                                      "1:2:3:4",
                                      "1:60:00",
                                      "1:00:61",
                                      "1:00:100",
                                      "12:30pm",
                                      "2031-13-01T00:00:00Z",
                                      "2031-01-32T00:00:00Z",
                                      "2031-01-01",
                                      "2031-01-01T",
                                      "2031-01-01T25:00:00Z",
                                      "2031-01-01T00:60:00Z",
                                      "2031-01-01T00:00:00+15:00",
                                      "2031-01-01T00:00:00Zulu",
                                      "Speed",
                                      "note: 12",
                                      "km/h",
                                      "12:30:00:00"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        if (mbl_clock_is_stamp(cell(bad[i])))
            fail_msg("\"%s\" is read as a stamp", bad[i]);
    static const char *const good[] = {"0:00", "1:02:03", "2031-05-04T10:00:00Z"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++)
        assert_true(mbl_clock_is_stamp(cell(good[i])));
    /* hhmmss that is no time of day */
    mbl_clock clock = {.kind = MBL_CLOCK_COMPACT, .decimal = '.', .scale = 1};
    double t = 0;
    bool midnight = false;
    assert_false(mbl_clock_read(&clock, cell("106000"), &t, &midnight));
    assert_false(mbl_clock_read(&clock, cell("240000"), &t, &midnight));
    assert_false(mbl_clock_read(&clock, cell("-000001"), &t, &midnight));
    assert_true(mbl_clock_read(&clock, cell("235959.9"), &t, &midnight));
}

static void midnight_is_carried_on(void **state)
{
    (void)state;
    mbl_clock clock = {.kind = MBL_CLOCK_HMS, .decimal = '.', .scale = 1};
    static const struct {
        const char *text;
        double t;
        bool midnight;
    } row[] = {
        {"23:59:59.5", 86399.5, false}, {"00:00:00.0", 86400.0, true},
        {"23:59:59.9", 86399.9, false}, /* a row in disorder */
        {"00:00:00.5", 86400.5, true},  {"12:00:00.0", 129600.0, false},
        {"00:00:01.0", 86401.0, false}, /* a fall of less than half a day is none */
    };
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        double t = 0;
        bool midnight = false;
        assert_true(mbl_clock_read(&clock, cell(row[i].text), &t, &midnight));
        assert_near(t, row[i].t, 1e-9);
        assert_int_equal(midnight, row[i].midnight);
    }
}

static void seconds_of_the_day_go_past_midnight_but_a_lap_clock_does_not(void **state)
{
    (void)state;
    double t = 0;
    bool midnight = false;
    mbl_clock clock = {.kind = MBL_CLOCK_MILLISECONDS, .decimal = '.', .scale = 1e-3};
    assert_true(mbl_clock_read(&clock, cell("86399950"), &t, &midnight));
    assert_true(mbl_clock_read(&clock, cell("50"), &t, &midnight));
    assert_true(midnight);
    assert_near(t, 86400.05, 1e-9);
    clock = (mbl_clock){.kind = MBL_CLOCK_SECONDS, .decimal = '.', .scale = 1};
    assert_true(mbl_clock_read(&clock, cell("98.7"), &t, &midnight));
    assert_true(mbl_clock_read(&clock, cell("0.0"), &t, &midnight));
    assert_false(midnight);
    assert_near(t, 0, 0);
}

static void a_unit_of_something_else_is_refused(void **state)
{
    (void)state;
    mbl_clock clock;
    mbl_error err = {0};
    mbl_log_column column = {.name = "Time", .unit = "km/h"};
    mbl_csv_cell cells[2] = {cell("0.1"), cell("0.2")};
    assert_int_equal(mbl_clock_choose(&clock, cells, 2, '.', false, false, &column, &err),
                     MBL_INPUT);
    assert_has(err.text, "\"Time\" is in \"km/h\", which is not a known unit of time");
    assert_has(err.text, "time_unit = \"s\"");
}

static void a_wished_unit_wins_over_the_looks(void **state)
{
    (void)state;
    mbl_clock clock;
    mbl_error err = {0};
    mbl_log_column column = {.name = "Time", .unit = "s"};
    mbl_csv_cell cells[2] = {cell("1935052800040"), cell("1935052800080")};
    assert_ok(mbl_clock_choose(&clock, cells, 2, '.', true, false, &column, &err), err);
    assert_int_equal(clock.kind, MBL_CLOCK_SECONDS);
}

static void an_assumed_unit_is_said(void **state)
{
    (void)state;
    mbl_clock clock;
    mbl_error err = {0};
    mbl_csv_cell cells[2] = {cell("0"), cell("20")};
    mbl_log_column column = {.name = "Time"};
    assert_ok(mbl_clock_choose(&clock, cells, 2, '.', false, false, &column, &err), err);
    assert_true(column.unit_assumed);
    assert_string_equal(column.unit, "ms");
    cells[1] = cell("0.5");
    column = (mbl_log_column){.name = "Time"};
    assert_ok(mbl_clock_choose(&clock, cells, 2, '.', false, false, &column, &err), err);
    assert_true(column.unit_assumed);
    assert_string_equal(column.unit, "s");
    cells[1] = cell("0:01.5");
    column = (mbl_log_column){.name = "Time"};
    assert_ok(mbl_clock_choose(&clock, cells, 2, '.', false, false, &column, &err), err);
    assert_false(column.unit_assumed);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(units_decide),
        cmocka_unit_test(plain_numbers_without_a_unit_are_told_by_their_steps),
        cmocka_unit_test(stamps_since_1970_are_told_by_their_size),
        cmocka_unit_test(hours_minutes_and_seconds),
        cmocka_unit_test(plain_seconds_may_turn_into_minutes_after_the_sample),
        cmocka_unit_test(times_of_day_in_one_piece),
        cmocka_unit_test(dates_with_and_without_an_offset),
        cmocka_unit_test(days_are_counted_across_leap_years),
        cmocka_unit_test(what_is_no_stamp_is_refused),
        cmocka_unit_test(midnight_is_carried_on),
        cmocka_unit_test(seconds_of_the_day_go_past_midnight_but_a_lap_clock_does_not),
        cmocka_unit_test(a_unit_of_something_else_is_refused),
        cmocka_unit_test(a_wished_unit_wins_over_the_looks),
        cmocka_unit_test(an_assumed_unit_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
