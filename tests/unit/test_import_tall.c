/* SPDX-License-Identifier: MIT */
/* Tall files: one row a value. */
#include "support/import.h"

#define ROWS                                                                                       \
    "0.0,Speed [km/h],72\n0.0,brake_pressure_front_bar,1\n0.0,Gear,3\n"                            \
    "0.1,Speed [km/h],73.8\n0.1,brake_pressure_front_bar,2\n0.1,Lap,5\n"                           \
    "0.2,Speed [km/h],75.6\n0.2,brake_pressure_front_bar,\n0.2,Gear,3\n"                           \
    "0.3,Speed [km/h],nan\n0.3,brake_pressure_front_bar,4\n"

static const double t[] = {0, 0.1, 0.2};
static const double v[] = {20, 20.5, 21};

static void assert_rows(const char *text, int header_line)
{
    mbl_import import = import_text(text, NULL);
    assert_int_equal(import.shape, MBL_SHAPE_TALL);
    assert_int_equal(import.header_line, header_line);
    assert_int_equal(import.columns, 4);
    assert_int_equal(import.rows, 11);
    assert_samples(&import, MBL_LOG_SPEED, 3, t, v, 1e-9);
    assert_string_equal(import.column[MBL_LOG_SPEED].name, "Speed");
    assert_string_equal(import.column[MBL_LOG_SPEED].unit, "km/h");
    assert_int_equal(import.column[MBL_LOG_SPEED].index, 0);
    const double p_t[] = {0, 0.1, 0.3};
    const double p[] = {1e5, 2e5, 4e5};
    assert_samples(&import, MBL_LOG_PRESSURE_FRONT, 3, p_t, p, 1e-6);
    assert_int_equal(import.series[MBL_LOG_LAP].n, 1);
    assert_near(import.series[MBL_LOG_LAP].x[0], 5, 0);
    assert_int_equal(import.repair[MBL_REPAIR_BLANK].count, 1);
    assert_int_equal(import.repair[MBL_REPAIR_UNREADABLE].count, 1);
    mbl_import_free(&import);
}

static void a_header_or_the_looks_of_three_columns_tell(void **state)
{
    (void)state;
    assert_rows("time,name,value\n" ROWS, 1);
    assert_rows("made by hand\n\nTimestamp,Channel,Value\n" ROWS, 3);
    assert_rows("moment,thing,number\n" ROWS, 1);
    assert_rows(ROWS, 0);
}

static void three_columns_of_other_looks_are_not_tall(void **state)
{
    (void)state;
    /* words that do not repeat are notes */
    mbl_error err = import_refused("moment,thing,number\n0,a,1\n1,b,1\n2,c,1\n3,d,1\n4,e,1\n5,f,1\n"
                                   "6,g,1\n7,h,1\n8,i,1\n9,j,1\n",
                                   NULL);
    assert_has(err.text, "no time column was recognised");
    assert_has(err.text, "The columns are: moment, thing, number");
    /* rows of two kinds */
    err = import_refused("0,a,1\n1,a,1\n2,a,1\n3,a,1\n4,a,1\n5,a,1\n6,a,1\n7,a,1\n8,a,1\n9,a,1\n"
                         "10,11,12\n11,12,13\n",
                         NULL);
    assert_has(err.text, "no header found");
    /* too few to tell */
    err = import_refused("0,speed_kmh,1\n1,speed_kmh,1\n2,speed_kmh,1\n", NULL);
    assert_has(err.text, "no header found");
}

static void identifiers_and_units_may_stand_beside_the_three(void **state)
{
    (void)state;
    mbl_import import = import_text("id,time,car,signal,value,unit\n"
                                    "7,0.0,b,Speed,72,km/h\n8,0.0,b,Brake Pressure,3,bar\n"
                                    "9,0.1,b,Speed,73.8,km/h\n10,0.2,b,Speed,75.6,km/h\n",
                                    NULL);
    assert_int_equal(import.shape, MBL_SHAPE_TALL);
    assert_samples(&import, MBL_LOG_SPEED, 3, t, v, 1e-9);
    assert_near(import.series[MBL_LOG_PRESSURE_FRONT].x[0], 3e5, 1e-6);
    mbl_import_free(&import);
}

static void stamps_may_be_dates_and_bunch(void **state)
{
    (void)state;
    mbl_import import = import_text("time;name;value\n"
                                    "2031-05-04T23:59:59.9Z;speed_kmh;72,0\n"
                                    "2031-05-04T23:59:59.9Z;speed_kmh;73,8\n"
                                    "2031-05-05T00:00:00.1Z;speed_kmh;75,6\n",
                                    NULL);
    const double at[] = {86399.9, 86399.9, 86400.1};
    assert_int_equal(import.clock, MBL_CLOCK_DATE);
    assert_int_equal(import.decimal, ',');
    assert_samples(&import, MBL_LOG_SPEED, 3, at, v, 1e-9);
    mbl_import_free(&import);
}

static void a_wish_names_a_channel(void **state)
{
    (void)state;
    mbl_log_wish wish = {.column = {[MBL_LOG_SPEED] = "wheel"}, .unit = {[MBL_LOG_SPEED] = "m/s"}};
    const char *text = "time,name,value\n0,Speed [km/h],1\n0,Wheel,20\n0.1,Wheel,20.5\n"
                       "0.2,Wheel,21\n";
    mbl_import import = import_text(text, &wish);
    assert_samples(&import, MBL_LOG_SPEED, 3, t, v, 0);
    mbl_import_free(&import);
    wish.column[MBL_LOG_SPEED] = "Whele";
    mbl_error err = import_refused(text, &wish);
    assert_has(err.text, "no name \"Whele\"; did you mean \"Wheel\"?");
    /* time too, in a file that its looks alone tell */
    wish = (mbl_log_wish){.column = {[MBL_LOG_TIME] = "Moment"}};
    import = import_text("moment,thing,number\n" ROWS, &wish);
    assert_false(import.column[MBL_LOG_TIME].guessed);
    assert_samples(&import, MBL_LOG_SPEED, 3, t, v, 1e-9);
    mbl_import_free(&import);
    import = import_text(ROWS, &wish); /* no names, no other column for it */
    assert_samples(&import, MBL_LOG_SPEED, 3, t, v, 1e-9);
    mbl_import_free(&import);
    wish.column[MBL_LOG_TIME] = "momment";
    err = import_refused("moment,thing,number\n" ROWS, &wish);
    assert_has(err.text, "did you mean \"moment\"?");
    err = import_refused("time,name,value\n0,Gear,3\n0,Revs,9\n", NULL);
    assert_has(err.text, "no speed column was recognised");
    assert_has(err.text, "The names are: Gear, Revs");
}

static void a_torn_last_row_is_left_out(void **state)
{
    (void)state;
    mbl_import import = import_text("time,name,value\n0,speed_kmh,72\n0.1,speed_kmh,73.8\n"
                                    "0.2,speed_kmh,75.6\n0.3,spee",
                                    NULL);
    assert_samples(&import, MBL_LOG_SPEED, 3, t, v, 1e-9);
    assert_int_equal(import.repair[MBL_REPAIR_TORN].count, 1);
    assert_int_equal(import.repair[MBL_REPAIR_TORN].first_line, 5);
    mbl_import_free(&import);
}

static void too_many_names_are_no_channels(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "time,name,value\n");
    for (int i = 0; i < 600; i++)
        mbl_text_print(&text, "%d,name %d,1\n", i, i);
    mbl_error err = import_refused(mbl_text_get(&text), NULL);
    assert_has(err.text, "\"name\" has more than 512 different names");
    assert_int_equal(err.line, 514);
    mbl_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_header_or_the_looks_of_three_columns_tell),
        cmocka_unit_test(three_columns_of_other_looks_are_not_tall),
        cmocka_unit_test(identifiers_and_units_may_stand_beside_the_three),
        cmocka_unit_test(stamps_may_be_dates_and_bunch),
        cmocka_unit_test(a_wish_names_a_channel),
        cmocka_unit_test(a_torn_last_row_is_left_out),
        cmocka_unit_test(too_many_names_are_no_channels),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
