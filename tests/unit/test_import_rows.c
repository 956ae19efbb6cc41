/* SPDX-License-Identifier: MIT */
/* Wide files: one row a sample. Inputs are written by hand, expected values worked out by hand. */
#include "support/import.h"

static const double tenths[] = {0, 0.1, 0.2};
static const double speeds[] = {20, 20.5, 21}; /* m/s */

/* Three rows at 10 Hz of 20, 20.5 and 21 m/s, however they are written. */
static void assert_three(const char *text, const mbl_log_wish *wish)
{
    mbl_import import = import_text(text, wish);
    assert_int_equal(import.shape, MBL_SHAPE_WIDE);
    assert_samples(&import, MBL_LOG_SPEED, 3, tenths, speeds, 1e-3);
    for (int i = 0; i < MBL_REPAIRS; i++)
        assert_int_equal(import.repair[i].count, 0);
    mbl_import_free(&import);
}

static void every_usual_way_to_write_rows_is_read_the_same(void **state)
{
    (void)state;
    static const char *const text[] = {
        "Time,Speed\ns,m/s\n0,20\n0.1,20.5\n0.2,21\n",
        "Time;Speed\ns;m/s\n0,0;20,0\n0,1;20,5\n0,2;21,0\n",
        "Time\tSpeed\ns\tm/s\n0,0\t20,0\n0,1\t20,5\n0,2\t21,0\n",
        "\"Time\",\"Speed\"\r\n\"s\",\"m/s\"\r\n\"0,0\",\"20,0\"\r\n\"0,1\",\"20,5\"\r\n"
        "\"0,2\",\"21,0\"\r\n",
        "Time  Speed\ns m/s\n0\t20\n0.1  20.5\n 0.2 21 \n",
        "Time [s],Speed [m/s]\n0,20\n0.1,20.5\n0.2,21\n",
        "Time (s),Speed (m/s)\n0,20\n0.1,20.5\n0.2,21\n",
        "Time s,Speed m/s\n0,20\n0.1,20.5\n0.2,21\n",
        "time_s,speed_ms\n0,20\n0.1,20.5\n0.2,21\n",
        "TIME,speedKMH\n0,72\n0.1,73.8\n0.2,75.6\n",
        "\"Time\"|\"s\"|0|0|10,\"Speed\"|\"m/s\"|0|99|10\n0,20\n0.1,20.5\n0.2,21\n",
        "Time,Speed\n[s],[m/s]\n0,20\n0.1,20.5\n0.2,21\n",
        "\xEF\xBB\xBFTime,Speed [m/s]\r0,20\r0.1,20.5\r0.2,21\r",
        "Time,Speed,\ns,m/s,\n0,20,\n0.1,20.5,\n0.2,21,\n",
        "# made by hand\n\nTime,Speed [m/s]\n// here\n0,20\n\n# there\n0.1,20.5\n,\n0.2,21\n# "
        "end\n",
        "Made by hand\nTime,12:30\nSpeed,GPS\n\nFormat,plain\n\nTime,Speed\ns,m/s\n\n0,20\n"
        "0.1,20.5\n0.2,21\n",
        "Time,Speed,of what\n\nTime,Speed\ns,m/s\n0,20\n0.1,20.5\n0.2,21\n",
        "Time,Speed,Temp,Steer\ns,m/s,\xC2\xB0"
        "C, \nclock,gps,calc,calc\n0,20,1,2\n"
        "0.1,20.5,1,2\n0.2,21,1,2\n",
        "Time,Temp,Speed\ns,\xB0"
        "C,m/s\n0,1,20\n0.1,1,20.5\n0.2,1,21\n",
        "#time,speed m/s\n0,20\n0.1,20.5\n0.2,21\n",
        "# Time,Speed [m/s]\n0,20\n0.1,20.5\n0.2,21\n",
        "Time,Speed [km/h]\n0,72\n0.1,73.8\n0.2,75.6\n",
        "Time,Speed [kph]\n0,72\n0.1,73.8\n0.2,75.6\n",
        /* a mile is 1609.344 m, a nautical mile 1852 m */
        "Time,Speed [mph]\n0,44.7387\n0.1,45.8572\n0.2,46.9757\n",
        "Time,Speed [kn]\n0,38.8769\n0.1,39.8488\n0.2,40.8207\n",
        "Time,Speed [kts]\n0,38.8769\n0.1,39.8488\n0.2,40.8207\n",
        "Time,Speed [Knots]\n0,38.8769\n0.1,39.8488\n0.2,40.8207\n",
        "Time,Speed (GPS)\ns,m/s\n0,20\n0.1,20.5\n0.2,21\n",
        "Time [ms],Speed [m/s]\n0,20\n100,20.5\n200,21\n",
        "Time,Speed [m/s]\n0,20\n100,20.5\n200,21\n",
        "Time,Speed [m/s]\n0:00.0,20\n0:00.1,20.5\n0:00.2,21\n",
        "Time,Speed [m/s]\n2031-05-04T00:00:00.0Z,20\n2031-05-04T00:00:00.1Z,20.5\n"
        "2031-05-04T00:00:00.2Z,21\n",
    };
    for (size_t i = 0; i < sizeof text / sizeof text[0]; i++)
        assert_three(text[i], NULL);
}

static void what_was_read_is_reported(void **state)
{
    (void)state;
    mbl_import import = import_text("made;by hand\n# no\n\nTime;Gap;Speed\ns;;km/h\ngps;;gps\n"
                                    "0,0;1;72,0\n0,5;1;73,8\n// end\n",
                                    NULL);
    assert_int_equal(import.delimiter, ';');
    assert_int_equal(import.decimal, ',');
    assert_int_equal(import.header_line, 4);
    assert_int_equal(import.units_line, 5);
    assert_int_equal(import.columns, 3);
    assert_int_equal(import.comments, 2);
    assert_int_equal(import.rows, 2);
    assert_int_equal(import.clock, MBL_CLOCK_SECONDS);
    const mbl_log_column *speed = &import.column[MBL_LOG_SPEED];
    assert_true(speed->present && speed->guessed && !speed->unit_assumed);
    assert_int_equal(speed->index, 2);
    assert_string_equal(speed->name, "Speed");
    assert_string_equal(speed->unit, "km/h");
    assert_int_equal(import.series[MBL_LOG_SPEED].line[0], 7);
    assert_int_equal(import.series[MBL_LOG_SPEED].line[1], 8);
    assert_false(import.column[MBL_LOG_LAP].present);
    mbl_import_free(&import);
}

static int header_line(const char *text)
{
    mbl_import import = import_text(text, NULL);
    int line = import.header_line;
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 2);
    mbl_import_free(&import);
    return line;
}

static void the_words_of_a_header_in_the_preamble_are_none(void **state)
{
    (void)state;
#define DATA "Time,Speed [m/s]\n0,20\n1,21\n"
    assert_int_equal(header_line("Time,12:30\nSpeed,GPS\n" DATA), 3);
    assert_int_equal(header_line("Speed,Time\n\n" DATA), 3);
    assert_int_equal(header_line("Time,Speed\na,b\nc,d\ne,f\ng,h\ni,j\nk,l\n" DATA), 8);
    /* a number below the time, but not soon */
    assert_int_equal(header_line("Time,Speed\na,b\nc,d\ne,f\ng,h\ni,j\nk,l\n7,days\n" DATA), 9);
    /* numbers, but none below the time */
    assert_int_equal(header_line("Time,Speed\nlogged,2\nof,3\na,4\nb,5\nc,6\nd,7\n" DATA), 8);
    /* none has a stamp soon below: the first it is */
    assert_int_equal(header_line("Time,Speed [m/s]\n,1\n,1\n,1\n,1\n,1\n,1\n,1\n0,1\n1,1\n"), 1);
#undef DATA
}

static void every_role_is_found_and_turned_into_si(void **state)
{
    (void)state;
    const char *text =
        "Time,GPS Speed,Lap No,Lap Distance,GPS Altitude,Front Brake Press,P_BRAKE_REAR,"
        "Longitudinal G,Lateral Acceleration,Yaw Rate,Throttle Position,GPS Latitude,"
        "GPS Longitude\n"
        "s,mph,,mi,ft,psi,kPa,g,m/s\xC2\xB2,deg/s,%,\xC2\xB0,deg\n"
        "0,100,2,0.5,100,1000,2500,-1.5,9.5,90,73,12.5,-34.25\n";
    /* mile 1609.344 m, foot 0.3048 m, pound-force per square inch 6894.757 Pa, g 9.80665 m/s2 */
    static const double want[MBL_LOG_ROLES] = {
        [MBL_LOG_SPEED] = 44.704,
        [MBL_LOG_LAP] = 2,
        [MBL_LOG_DISTANCE] = 804.672,
        [MBL_LOG_ALTITUDE] = 30.48,
        [MBL_LOG_PRESSURE_FRONT] = 6894757,
        [MBL_LOG_PRESSURE_REAR] = 2.5e6,
        [MBL_LOG_ACCEL_LONG] = -14.709975,
        [MBL_LOG_LATERAL] = 9.5,
        [MBL_LOG_YAW_RATE] = 1.5707963, /* a right angle */
        [MBL_LOG_THROTTLE] = 73,
        [MBL_LOG_LATITUDE] = 12.5,
        [MBL_LOG_LONGITUDE] = -34.25,
    };
    mbl_import import = import_text(text, NULL);
    for (int role = 1; role < MBL_LOG_ROLES; role++) {
        assert_true(import.column[role].present);
        assert_int_equal(import.column[role].index, role);
        assert_int_equal(import.series[role].n, 1);
        assert_close(import.series[role].x[0], want[role], 1e-6);
    }
    mbl_import_free(&import);
    import = import_text("Time,Speed,Brake Pressure Front,Brake Pressure Rear,Distance\n"
                         "s,m/s,MPa,bar,km\n0,1,4.5,30,1.5\n",
                         NULL);
    assert_false(import.column[MBL_LOG_LAP].present);
    assert_near(import.series[MBL_LOG_PRESSURE_FRONT].x[0], 4.5e6, 1e-6);
    assert_near(import.series[MBL_LOG_PRESSURE_REAR].x[0], 3e6, 1e-6);
    assert_near(import.series[MBL_LOG_DISTANCE].x[0], 1500, 1e-9);
    mbl_import_free(&import);
}

static void a_column_plays_one_role(void **state)
{
    (void)state;
    mbl_import import = import_text("Time,Speed [m/s],Long [g],Lat [g]\n0,20,0.5,1\n", NULL);
    assert_true(import.column[MBL_LOG_ACCEL_LONG].present);
    assert_true(import.column[MBL_LOG_LATERAL].present);
    /* not even as one that was left aside */
    assert_string_equal(import.column[MBL_LOG_LONGITUDE].name, "");
    assert_string_equal(import.column[MBL_LOG_LATITUDE].name, "");
    mbl_import_free(&import);
}

static void a_blank_cell_is_no_sample_of_its_channel_only(void **state)
{
    (void)state;
    /* speed at 10 Hz, pressure at 20 Hz, lap once a lap */
    mbl_import import = import_text("Time,Speed [m/s],Brake Pressure [bar],Lap\n"
                                    "0.00,20,0,1\n0.05,,10,\n0.10,20.5,20,\n0.15,,30,\n"
                                    "0.20,21,40,2\n0.25,,50,\n0.30,,60,\n",
                                    NULL);
    assert_samples(&import, MBL_LOG_SPEED, 3, tenths, speeds, 1e-12);
    const double t[] = {0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3};
    const double p[] = {0, 1e6, 2e6, 3e6, 4e6, 5e6, 6e6};
    assert_samples(&import, MBL_LOG_PRESSURE_FRONT, 7, t, p, 1e-6);
    const double lap_t[] = {0, 0.2};
    const double lap[] = {1, 2};
    assert_samples(&import, MBL_LOG_LAP, 2, lap_t, lap, 0);
    assert_int_equal(import.series[MBL_LOG_LAP].line[1], 6);
    assert_int_equal(import.rows, 7);
    /* most rows have no speed by design: none is missing */
    assert_int_equal(import.repair[MBL_REPAIR_BLANK].count, 0);
    mbl_import_free(&import);
}

static void holes_are_counted_with_their_lines(void **state)
{
    (void)state;
    mbl_import import = import_text("Time,Speed [m/s],Lap\n0,20,1\n,99,1\n0.1,20.5,1\n0.15,,1\n"
                                    "0.2,21,1\n0.3,nan,1\n0.4,0x10,1\n0.5,inf,1\nsoon,3,1\n"
                                    "0.6,,\n0.7,22,1\n0.8,22,1\n0.9,22,1\n",
                                    NULL);
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 6);
    const mbl_repair *blank = &import.repair[MBL_REPAIR_BLANK];
    assert_int_equal(blank->count, 3);
    assert_int_equal(blank->first_line, 3);
    assert_int_equal(blank->last_line, 11);
    const mbl_repair *bad = &import.repair[MBL_REPAIR_UNREADABLE];
    assert_int_equal(bad->count, 4);
    assert_int_equal(bad->first_line, 7);
    assert_int_equal(bad->last_line, 10);
    assert_int_equal(import.rows, 13);
    mbl_import_free(&import);
}

static void a_torn_last_row_is_left_out(void **state)
{
    (void)state;
    mbl_import import =
        import_text("Time,Speed [m/s],Lap\n0,20,1\n0.1,20.5,1\n0.2,21,1\n0.3,2", NULL);
    assert_samples(&import, MBL_LOG_SPEED, 3, tenths, speeds, 0);
    assert_int_equal(import.repair[MBL_REPAIR_TORN].count, 1);
    assert_int_equal(import.repair[MBL_REPAIR_TORN].first_line, 5);
    mbl_import_free(&import);
    /* in the midst of a quote */
    import = import_text("Time,Speed [m/s]\n0,20\n0.1,20.5\n0.2,21\n0.3,\"2", NULL);
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 3);
    assert_int_equal(import.repair[MBL_REPAIR_TORN].count, 1);
    mbl_import_free(&import);
    /* whole, though without a line end */
    assert_three("Time,Speed [m/s]\n0,20\n0.1,20.5\n0.2,21", NULL);
}

static void ragged_rows_are_read_as_far_as_they_go(void **state)
{
    (void)state;
    mbl_import import = import_text("Time,Speed [m/s],Lap\n0,20\n0.1,20.5,1,,\n0.2,21,1,9,9\n"
                                    "0.3\n",
                                    NULL);
    assert_samples(&import, MBL_LOG_SPEED, 3, tenths, speeds, 0);
    assert_int_equal(import.series[MBL_LOG_LAP].n, 2);
    assert_int_equal(import.repair[MBL_REPAIR_BLANK].count, 1);
    mbl_import_free(&import);
}

static void stamps_are_handed_on_as_they_are(void **state)
{
    (void)state;
    mbl_import import = import_text("Time,Speed [m/s]\n5,1\n4,2\n4,3\n0,4\n", NULL);
    const double t[] = {5, 4, 4, 0};
    const double v[] = {1, 2, 3, 4};
    assert_samples(&import, MBL_LOG_SPEED, 4, t, v, 0);
    mbl_import_free(&import);
}

static void midnight_is_carried_on_and_counted(void **state)
{
    (void)state;
    mbl_import import = import_text("Time,Speed [m/s]\n23:59:59.9,20\n0:00:00.0,20.5\n"
                                    "0:00:00.1,21\n",
                                    NULL);
    const double t[] = {86399.9, 86400, 86400.1};
    assert_samples(&import, MBL_LOG_SPEED, 3, t, speeds, 0);
    assert_int_equal(import.clock, MBL_CLOCK_HMS);
    assert_int_equal(import.repair[MBL_REPAIR_MIDNIGHT].count, 1);
    assert_int_equal(import.repair[MBL_REPAIR_MIDNIGHT].first_line, 3);
    mbl_import_free(&import);
}

static void distance_or_positions_do_without_a_speed(void **state)
{
    (void)state;
    mbl_import import = import_text("Time,Distance\ns,km\n0,0\n1,0.02\n", NULL);
    assert_false(import.column[MBL_LOG_SPEED].present);
    assert_near(import.series[MBL_LOG_DISTANCE].x[1], 20, 1e-9);
    mbl_import_free(&import);
    import = import_text("Time,Lat,Lon\n0,12.5,-34\n1,12.6,-34.1\n", NULL);
    assert_int_equal(import.series[MBL_LOG_LATITUDE].n, 2);
    assert_near(import.series[MBL_LOG_LONGITUDE].x[1], -34.1, 0);
    mbl_import_free(&import);
    /* a speed column without a number in it is no speed */
    import = import_text("Time,Speed [m/s],Distance [m]\n0,,0\n1,,20\n", NULL);
    assert_false(import.column[MBL_LOG_SPEED].present);
    assert_string_equal(import.column[MBL_LOG_SPEED].name, "Speed");
    mbl_import_free(&import);
}

static void what_was_only_guessed_and_is_of_no_use_is_left_aside(void **state)
{
    (void)state;
    mbl_import import =
        import_text("Time,Speed,Brake Pressure,Altitude,Lap,Latitude,Longitude,Lat Acc\n"
                    "s,m/s,V,furlongs,,,,\n"
                    "0,20,0.5,1,out,5123.4,3,0.1\n0.1,20.5,0.5,1,out,5123.4,3,0.1\n"
                    "0.2,21,0.5,1,1,5123.4,3,0.1\n",
                    NULL);
    assert_samples(&import, MBL_LOG_SPEED, 3, tenths, speeds, 0);
    static const mbl_log_role aside[] = {
        MBL_LOG_PRESSURE_FRONT, MBL_LOG_ALTITUDE,  MBL_LOG_LAP,
        MBL_LOG_LATITUDE,       MBL_LOG_LONGITUDE, MBL_LOG_LATERAL};
    for (size_t i = 0; i < sizeof aside / sizeof aside[0]; i++) {
        assert_false(import.column[aside[i]].present);
        assert_true(import.column[aside[i]].name[0] != '\0');
        assert_int_equal(import.series[aside[i]].n, 0);
    }
    assert_string_equal(import.column[MBL_LOG_PRESSURE_FRONT].unit, "V");
    assert_int_equal(import.repair[MBL_REPAIR_UNREADABLE].count, 0);
    mbl_import_free(&import);
    mbl_log_wish wish = {.column = {[MBL_LOG_PRESSURE_FRONT] = "Brake Pressure"}};
    mbl_error err = import_refused("Time,Speed,Brake Pressure\ns,m/s,V\n0,20,0.5\n", &wish);
    assert_has(err.text, "\"V\", which is not a known unit of front pressure");
    assert_has(err.text, "pressure_front_unit = \"bar\"");
    assert_int_equal(err.line, 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_usual_way_to_write_rows_is_read_the_same),
        cmocka_unit_test(what_was_read_is_reported),
        cmocka_unit_test(the_words_of_a_header_in_the_preamble_are_none),
        cmocka_unit_test(every_role_is_found_and_turned_into_si),
        cmocka_unit_test(a_column_plays_one_role),
        cmocka_unit_test(a_blank_cell_is_no_sample_of_its_channel_only),
        cmocka_unit_test(holes_are_counted_with_their_lines),
        cmocka_unit_test(a_torn_last_row_is_left_out),
        cmocka_unit_test(ragged_rows_are_read_as_far_as_they_go),
        cmocka_unit_test(stamps_are_handed_on_as_they_are),
        cmocka_unit_test(midnight_is_carried_on_and_counted),
        cmocka_unit_test(distance_or_positions_do_without_a_speed),
        cmocka_unit_test(what_was_only_guessed_and_is_of_no_use_is_left_aside),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
