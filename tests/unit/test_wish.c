/* SPDX-License-Identifier: MIT */
/* What is wished of a log, in words and by a course. */
#include "host/wish.h"
#include "support/test.h"

static void words_name_columns_units_and_the_start_line(void **state)
{
    (void)state;
    mbl_log_wish wish = {0};
    mbl_error err = {0};
    assert_ok(mbl_wish_word("time=Clock", &wish, &err), err);
    assert_ok(mbl_wish_word("speed=Speed [mph]", &wish, &err), err);
    assert_ok(mbl_wish_word("speed_unit=km/h", &wish, &err), err);
    assert_ok(mbl_wish_word("pressure_front=Line=1", &wish, &err), err);
    assert_ok(mbl_wish_word("longitude_unit=min", &wish, &err), err);
    assert_ok(mbl_wish_word("start=12.5,-34.25", &wish, &err), err);
    assert_string_equal(wish.column[MBL_LOG_TIME], "Clock");
    assert_string_equal(wish.column[MBL_LOG_SPEED], "Speed [mph]");
    assert_string_equal(wish.unit[MBL_LOG_SPEED], "km/h");
    assert_string_equal(wish.column[MBL_LOG_PRESSURE_FRONT], "Line=1");
    assert_string_equal(wish.unit[MBL_LOG_LONGITUDE], "min");
    assert_null(wish.column[MBL_LOG_LAP]);
    assert_true(wish.start_line);
    assert_near(wish.start_latitude, 12.5, 0);
    assert_near(wish.start_longitude, -34.25, 0);
}

static void refuse(const char *word, const char *what)
{
    mbl_log_wish wish = {0};
    mbl_error err = {0};
    assert_int_equal(mbl_wish_word(word, &wish, &err), MBL_INPUT);
    assert_has(err.text, what);
    assert_false(wish.start_line);
}

static void words_that_are_no_wishes_are_refused(void **state)
{
    (void)state;
    refuse("Speed", "wishes as name=value, not \"Speed\"");
    refuse("=Speed", "wishes as name=value");
    refuse("speed=", "speed= needs a value");
    refuse("sped=Speed", "a log has no \"sped\"; did you mean \"speed\"?");
    refuse("speed_units=mph", "did you mean \"speed_unit\"?");
    refuse("lap_unit=1", "a log has no \"lap_unit\"");
    refuse("weather=fine", "a wish names a column (time=, speed=, lap= ...)");
    refuse("start=12.5", "a start line is a latitude and a longitude");
    refuse("start=12.5,", "a start line is");
    refuse("start=90.1,0", "a start line is");
    refuse("start=0,-180.5", "a start line is");
    refuse("start=nan,0", "a start line is");
    refuse("start=0x1p3,0", "a start line is");
}

static void a_course_wishes_what_it_says(void **state)
{
    (void)state;
    mbl_course course = {.start_line = {.n = 2, .v = {12.5, -34.25}}};
    strcpy(course.speed, "v");
    strcpy(course.altitude_unit, "ft");
    strcpy(course.pressure_rear, "p2");
    strcpy(course.pressure_rear_unit, "psi");
    mbl_log_wish wish;
    mbl_wish_of_course(&course, &wish);
    assert_string_equal(wish.column[MBL_LOG_SPEED], "v");
    assert_string_equal(wish.column[MBL_LOG_TIME], "");
    assert_string_equal(wish.unit[MBL_LOG_ALTITUDE], "ft");
    assert_string_equal(wish.column[MBL_LOG_PRESSURE_REAR], "p2");
    assert_string_equal(wish.unit[MBL_LOG_PRESSURE_REAR], "psi");
    assert_true(wish.start_line);
    assert_near(wish.start_longitude, -34.25, 0);
    course.start_line.n = 0;
    mbl_wish_of_course(&course, &wish);
    assert_false(wish.start_line);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_name_columns_units_and_the_start_line),
        cmocka_unit_test(words_that_are_no_wishes_are_refused),
        cmocka_unit_test(a_course_wishes_what_it_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
