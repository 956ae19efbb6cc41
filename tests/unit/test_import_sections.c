/* SPDX-License-Identifier: MIT */
/* Files in sections. 750' of arc are 12.5 degrees, 2055' are 34.25. */
#include "support/import.h"

static const char usual[] = "Made by hand on a Sunday\n\n"
                            "[header]\nsatellites\ntime\nlatitude\nlongitude\nvelocity kmh\n"
                            "height\nBrake pressure front\n\n"
                            "[channel units]\nbar\n\n"
                            "[comments]\nWet, then dry. time speed\n\n"
                            "[column names]\nsats time lat long velocity height bpf\n\n"
                            "[data]\n"
                            "009 235959.50 +0750.0 +02055.0 072.0 +00054.0 1.5\n"
                            "009  235959.75 +0750.3 +02055.6\t073.8 +00054.5 2.5\n"
                            "009 000000.00 +0750.6 +02056.2 075.6 +00055.0 3.5\n";

static void the_usual_sections_are_read(void **state)
{
    (void)state;
    mbl_import import = import_text(usual, NULL);
    assert_int_equal(import.shape, MBL_SHAPE_SECTIONS);
    assert_int_equal(import.clock, MBL_CLOCK_COMPACT);
    assert_int_equal(import.delimiter, ' ');
    assert_int_equal(import.header_line, 19);
    assert_int_equal(import.units_line, 0);
    assert_int_equal(import.columns, 7);
    assert_int_equal(import.rows, 3);
    const double t[] = {86399.5, 86399.75, 86400};
    const double v[] = {20, 20.5, 21};
    const double lat[] = {12.5, 12.505, 12.51};
    const double lon[] = {-34.25, -34.26, -34.27};
    const double height[] = {54, 54.5, 55};
    assert_samples(&import, MBL_LOG_SPEED, 3, t, v, 1e-9);
    assert_samples(&import, MBL_LOG_LATITUDE, 3, t, lat, 1e-12);
    assert_samples(&import, MBL_LOG_LONGITUDE, 3, t, lon, 1e-12);
    assert_samples(&import, MBL_LOG_ALTITUDE, 3, t, height, 0);
    assert_int_equal(import.series[MBL_LOG_SPEED].line[2], 24);
    assert_string_equal(import.column[MBL_LOG_LATITUDE].unit, "min");
    assert_string_equal(import.column[MBL_LOG_SPEED].unit, "kmh");
    assert_false(import.column[MBL_LOG_SPEED].unit_assumed);
    assert_int_equal(import.repair[MBL_REPAIR_MIDNIGHT].count, 1);
    assert_int_equal(import.repair[MBL_REPAIR_MIDNIGHT].first_line, 24);
    /* one unit for seven columns: whose? */
    assert_false(import.column[MBL_LOG_PRESSURE_FRONT].present);
    assert_string_equal(import.column[MBL_LOG_PRESSURE_FRONT].name, "bpf");
    mbl_import_free(&import);
}

static void a_column_goes_by_either_name(void **state)
{
    (void)state;
    static const char *const names[] = {"bpf", "Brake pressure front"};
    for (int i = 0; i < 2; i++) {
        mbl_log_wish wish = {.column = {[MBL_LOG_PRESSURE_FRONT] = names[i]},
                             .unit = {[MBL_LOG_PRESSURE_FRONT] = "bar"}};
        mbl_import import = import_text(usual, &wish);
        assert_int_equal(import.column[MBL_LOG_PRESSURE_FRONT].index, 6);
        assert_near(import.series[MBL_LOG_PRESSURE_FRONT].x[0], 1.5e5, 1e-6);
        mbl_import_free(&import);
    }
}

static void units_for_all_columns_are_believed(void **state)
{
    (void)state;
    mbl_import import = import_text("[column names]\ntime lat long velocity brake_pressure\n"
                                    "[column units]\ns min min mph kPa\n"
                                    "[data]\n0.5 60 -120 100 250\n1.0 60 -120 100 250\n",
                                    NULL);
    assert_int_equal(import.units_line, 4);
    assert_int_equal(import.clock, MBL_CLOCK_SECONDS);
    assert_near(import.series[MBL_LOG_SPEED].t[1], 1, 0);
    assert_near(import.series[MBL_LOG_SPEED].x[0], 44.704, 1e-9);
    assert_near(import.series[MBL_LOG_PRESSURE_FRONT].x[0], 2.5e5, 1e-6);
    /* minutes, by the unit: 60' are a degree, and west is positive */
    assert_near(import.series[MBL_LOG_LATITUDE].x[0], 1, 1e-12);
    assert_near(import.series[MBL_LOG_LONGITUDE].x[0], 2, 1e-12);
    mbl_import_free(&import);
}

static void units_may_stand_in_brackets_or_be_dashes(void **state)
{
    (void)state;
    mbl_import import = import_text("[channels]\ntime\nvelocity\nlap\nheight\n"
                                    "[units]\n(s) [mph] - [\n[data]\n0.5 100 2 9\n",
                                    NULL);
    assert_int_equal(import.units_line, 7);
    assert_string_equal(import.column[MBL_LOG_TIME].unit, "s");
    assert_string_equal(import.column[MBL_LOG_SPEED].unit, "mph");
    assert_string_equal(import.column[MBL_LOG_LAP].unit, "");
    assert_near(import.series[MBL_LOG_SPEED].x[0], 44.704, 1e-9);
    assert_false(import.column[MBL_LOG_ALTITUDE].present); /* in "[" */
    mbl_import_free(&import);
}

static void a_latitude_in_minutes_tells_for_both(void **state)
{
    (void)state;
    /* 58.5' of longitude could be degrees */
    mbl_import import = import_text("[column names]\ntime lat long velocity\n[data]\n"
                                    "101112.5 3120 58.5 72\n101113.0 3120 58.5 72\n",
                                    NULL);
    assert_near(import.series[MBL_LOG_LATITUDE].x[0], 52, 1e-12);
    assert_near(import.series[MBL_LOG_LONGITUDE].x[0], -0.975, 1e-12);
    mbl_import_free(&import);
}

static void degrees_stay_degrees_with_east_positive(void **state)
{
    (void)state;
    mbl_import import = import_text("[header]\ntime\nlat\nlong\nvelocity\n[data]\n"
                                    "101112.5 12.5 -34.25 72\n101113.0 12.5 -34.25 72\n",
                                    NULL);
    assert_near(import.series[MBL_LOG_LATITUDE].x[0], 12.5, 0);
    assert_near(import.series[MBL_LOG_LONGITUDE].x[0], -34.25, 0);
    /* 10:11:12.5, and km/h where nothing says otherwise */
    assert_near(import.series[MBL_LOG_SPEED].t[0], 36672.5, 1e-9);
    assert_near(import.series[MBL_LOG_SPEED].x[0], 20, 1e-9);
    assert_true(import.column[MBL_LOG_SPEED].unit_assumed);
    assert_int_equal(import.header_line, 2);
    mbl_import_free(&import);
}

static void rows_end_where_another_section_begins(void **state)
{
    (void)state;
    mbl_import import = import_text("[DATA]\n101112,5 72,5\n# dry\n101113,0 73,5\n101113,5\n"
                                    "[column names]\ntime velocity\n[laps]\n1 2 3\n",
                                    NULL);
    assert_int_equal(import.rows, 3);
    assert_int_equal(import.decimal, ',');
    assert_int_equal(import.comments, 1);
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 2);
    assert_int_equal(import.repair[MBL_REPAIR_BLANK].count, 1);
    assert_int_equal(import.repair[MBL_REPAIR_BLANK].first_line, 5);
    mbl_import_free(&import);
}

static void what_is_missing_is_said(void **state)
{
    (void)state;
    mbl_error err = import_refused("[header]\n\n[data]\n1 2\n", NULL);
    assert_has(err.text, "no names of its columns");
    assert_int_equal(err.line, 3);
    err = import_refused("[column names]\ntime heading\n[data]\n101112 2\n", NULL);
    assert_has(err.text, "no speed column was recognised");
    assert_has(err.text, "time, heading");
    err = import_refused("[column names]\ntime velocity\n[data]\n", NULL);
    assert_has(err.text, "no rows of data");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_usual_sections_are_read),
        cmocka_unit_test(a_column_goes_by_either_name),
        cmocka_unit_test(units_for_all_columns_are_believed),
        cmocka_unit_test(units_may_stand_in_brackets_or_be_dashes),
        cmocka_unit_test(a_latitude_in_minutes_tells_for_both),
        cmocka_unit_test(degrees_stay_degrees_with_east_positive),
        cmocka_unit_test(rows_end_where_another_section_begins),
        cmocka_unit_test(what_is_missing_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
