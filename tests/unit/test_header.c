/* SPDX-License-Identifier: MIT */
/* Names of columns: how they are split, what they usually are, how a wish picks one. */
#include "road/columns.h"
#include "road/names.h"
#include "support/import.h"

static void assert_split(const char *text, const char *name, const char *unit)
{
    mbl_header_name got;
    mbl_header_split(text, strlen(text), &got);
    assert_string_equal(got.name, name);
    assert_string_equal(got.unit, unit);
}

static void a_unit_is_split_from_its_name(void **state)
{
    (void)state;
    assert_split("Speed [km/h]", "Speed", "km/h");
    assert_split("Speed (km/h)", "Speed", "km/h");
    assert_split("Speed km/h", "Speed", "km/h");
    assert_split("gps_speed_kmh", "gps_speed", "kmh");
    assert_split("SpeedMPH", "Speed", "MPH");
    assert_split("\"Speed\"|\"km/h\"|0.0|300.0|10", "Speed", "km/h");
    assert_split("Speed|km/h", "Speed", "km/h");
    assert_split("Lap", "Lap", "");
    assert_split("Logged in", "Logged in", "");
    assert_split("RPM min", "RPM min", "");
    assert_split("[km/h]", "[km/h]", "");
    assert_split("Latitude (decimal)", "Latitude", "decimal");
    assert_split("km/h", "km/h", "");
    assert_split("", "", "");
}

static void names_are_fit_to_be_shown(void **state)
{
    (void)state;
    char out[16];
#define SHOW(text) mbl_names_show(out, sizeof out, (text), sizeof(text) - 1)
    SHOW("a\x1B[31m\x7F\xC2\x9B");
    assert_string_equal(out, "a?[31m??");
    SHOW("V\xE9locit\xE9");
    assert_string_equal(out, "V?locit?");
    SHOW("\xB0"
         "C m\xB2");
    assert_string_equal(out, "\xC2\xB0"
                             "C m\xC2\xB2");
    SHOW("\xC3\xA9t\xC3\xA9");
    assert_string_equal(out, "\xC3\xA9t\xC3\xA9");
    SHOW("say \"\"x\"\"");
    assert_string_equal(out, "say \"x\"");
    SHOW("12345678901234567890");
    assert_string_equal(out, "123456789012345");
    /* no half of a character at the end */
    SHOW("12345678901234\xC3\xA9");
    assert_string_equal(out, "12345678901234");
    SHOW("\xF0\x9F\x98");
    assert_string_equal(out, "???");
    SHOW("\xC0\x80\xED\xA0\x80");
    assert_string_equal(out, "?????");
#undef SHOW
}

static void assert_guess(const char *name, mbl_log_role role)
{
    char text[200];
    snprintf(text, sizeof text, "%s,rest\n", name);
    mbl_csv csv;
    mbl_csv_begin(&csv, text, strlen(text), ',');
    assert_true(mbl_csv_next(&csv));
    static mbl_header header;
    header.columns = csv.n;
    for (size_t i = 0; i < csv.n; i++)
        mbl_header_split(csv.cell[i].text, csv.cell[i].n, &header.column[i]);
    mbl_log_wish none = {0};
    for (int r = 0; r < MBL_LOG_ROLES; r++) {
        mbl_columns_found found = mbl_columns_find(&header, &none, (mbl_log_role)r);
        if ((found.index == 0 && found.usable) != (r == (int)role))
            fail_msg("\"%s\" as %s", name, mbl_log_role_word((mbl_log_role)r));
    }
}

static void usual_names_are_guessed_whatever_their_case_and_punctuation(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        mbl_log_role role;
    } usual[] = {
        {"Elapsed Time (s)", MBL_LOG_TIME},
        {"time-stamp", MBL_LOG_TIME},
        {"Vehicle-Speed (m/s)", MBL_LOG_SPEED},
        {"GPS_SPEED [mph]", MBL_LOG_SPEED},
        {"Lap #", MBL_LOG_LAP},
        {"LapNumber", MBL_LOG_LAP},
        {"Lap.Distance [m]", MBL_LOG_DISTANCE},
        {"Elevation (ft)", MBL_LOG_ALTITUDE},
        {"Brake Pressure Front [bar]", MBL_LOG_PRESSURE_FRONT},
        {"front brake pressure (psi)", MBL_LOG_PRESSURE_FRONT},
        {"brakepressf bar", MBL_LOG_PRESSURE_FRONT},
        {"pBrakeFront [MPa]", MBL_LOG_PRESSURE_FRONT},
        {"Brake Pressure [kPa]", MBL_LOG_PRESSURE_FRONT},
        {"Brake [bar]", MBL_LOG_PRESSURE_FRONT},
        {"Brake Pressure Rear [bar]", MBL_LOG_PRESSURE_REAR},
        {"p_brake_rear [bar]", MBL_LOG_PRESSURE_REAR},
        {"Longitudinal G [g]", MBL_LOG_ACCEL_LONG},
        {"Long Accel (m/s^2)", MBL_LOG_ACCEL_LONG},
        {"Longitudinal [g]", MBL_LOG_ACCEL_LONG},
        {"Long G", MBL_LOG_ACCEL_LONG},
        {"Lateral_G [g]", MBL_LOG_LATERAL},
        {"Lat G", MBL_LOG_LATERAL},
        {"lat acc [G]", MBL_LOG_LATERAL},
        {"Throttle Position (%)", MBL_LOG_THROTTLE},
        {"TPS", MBL_LOG_THROTTLE},
        {"GPS Latitude", MBL_LOG_LATITUDE},
        {"Lat [deg]", MBL_LOG_LATITUDE},
        {"lng", MBL_LOG_LONGITUDE},
        {"Long (\xC2\xB0)", MBL_LOG_LONGITUDE},
        {"Brake [%]", MBL_LOG_ROLES}, /* none */
        {"Brake Temp Front", MBL_LOG_ROLES},
        {"Accel X (g)", MBL_LOG_ROLES},
        {"Max Speed [km/h]", MBL_LOG_ROLES},
        {"Laptime [s]", MBL_LOG_ROLES},
    };
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++)
        assert_guess(usual[i].name, usual[i].role);
}

static void only_units_of_the_role_are_known(void **state)
{
    (void)state;
    double scale = 0;
    assert_true(mbl_names_scale(MBL_LOG_DISTANCE, "mi", &scale));
    assert_near(scale, 1609.344, 0);
    assert_true(mbl_names_scale(MBL_LOG_SPEED, "KNOTS", &scale));
    assert_near(scale, 1852.0 / 3600, 1e-15);
    assert_true(mbl_names_scale(MBL_LOG_PRESSURE_FRONT, "MPA", &scale));
    assert_near(scale, 1e6, 0);
    assert_true(mbl_names_scale(MBL_LOG_LATITUDE, "min", &scale));
    assert_near(scale, 1.0 / 60, 1e-18);
    assert_false(mbl_names_scale(MBL_LOG_SPEED, "bar", &scale));
    assert_false(mbl_names_scale(MBL_LOG_SPEED, "", &scale));
    assert_false(mbl_names_scale(MBL_LOG_PRESSURE_REAR, "V", &scale));
    assert_false(mbl_names_scale(MBL_LOG_DISTANCE, "a unit that is far too long for one", &scale));
}

static int index_of(const char *head, mbl_log_role role, const char *wished, int *repeats)
{
    char text[300];
    snprintf(text, sizeof text, "%s\n0,10,11,12,13\n1,10,11,12,13\n", head);
    mbl_log_wish wish = {0};
    wish.column[role] = wished;
    mbl_import import = import_text(text, &wish);
    int index = import.column[role].index;
    assert_int_equal(import.column[role].guessed, wished == NULL);
    if (repeats != NULL)
        *repeats = import.column[role].repeats;
    mbl_import_free(&import);
    return index;
}

static void a_wish_picks_by_name_and_unit(void **state)
{
    (void)state;
    int repeats = 0;
    const char *head = "Time,Speed [km/h],Speed [mph],Speed [mph],speed [m/s]";
    assert_int_equal(index_of(head, MBL_LOG_SPEED, "Speed [mph]", &repeats), 2);
    assert_int_equal(repeats, 1);
    assert_int_equal(index_of(head, MBL_LOG_SPEED, "Speed (MPH)", NULL), 2);
    assert_int_equal(index_of(head, MBL_LOG_SPEED, "Speed [kph]", NULL), 1);
    /* letter for letter first, then but for case */
    assert_int_equal(index_of(head, MBL_LOG_SPEED, "speed", &repeats), 4);
    assert_int_equal(repeats, 0);
    assert_int_equal(index_of(head, MBL_LOG_SPEED, "SPEED", &repeats), 1);
    assert_int_equal(repeats, 3);
    /* the first when nothing is said */
    assert_int_equal(index_of(head, MBL_LOG_SPEED, NULL, &repeats), 1);
    assert_int_equal(repeats, 3);
    /* what is in the brackets is no unit when a row of units says another */
    const char *sources = "Time,Speed (GPS),Speed (wheel),x,y\ns,km/h,km/h,,";
    assert_int_equal(index_of(sources, MBL_LOG_SPEED, "Speed (wheel)", NULL), 2);
    /* of one name, the one whose unit is known */
    assert_int_equal(index_of("Time,Speed,Speed,x,y\ns,,km/h,,", MBL_LOG_SPEED, NULL, NULL), 2);
}

static void a_unit_in_the_wish_wins_over_the_file(void **state)
{
    (void)state;
    mbl_log_wish wish = {.unit = {[MBL_LOG_SPEED] = "m/s", [MBL_LOG_TIME] = "ms"}};
    mbl_import import = import_text("Time,Speed\ns,km/h\n0,10\n100,11\n", &wish);
    const double t[] = {0, 0.1};
    const double v[] = {10, 11};
    assert_samples(&import, MBL_LOG_SPEED, 2, t, v, 0);
    assert_string_equal(import.column[MBL_LOG_SPEED].unit, "m/s");
    mbl_import_free(&import);
}

static void a_missing_column_names_its_neighbour_or_lists_all(void **state)
{
    (void)state;
    mbl_log_wish wish = {.column = {[MBL_LOG_SPEED] = "Spede"}};
    mbl_error err = import_refused("Time,Speed\ns,m/s\n0,1\n", &wish);
    assert_has(err.text, "no column \"Spede\"; did you mean \"Speed\"?");
    assert_int_equal(err.line, 1);
    wish.column[MBL_LOG_SPEED] = "Quickness";
    err = import_refused("note\nTime,Speed\ns,m/s\n0,1\n", &wish);
    assert_has(err.text, "the columns are: Time, Speed");
    assert_int_equal(err.line, 2);
    err = import_refused("note,5\nTime,Celerity\ns,m/s\n0,1\n", NULL);
    assert_has(err.text, "no speed column was recognised");
    assert_has(err.text, "speed = \"...\"");
    assert_has(err.text, "Time, Celerity");
    assert_int_equal(err.line, 2);
    wish = (mbl_log_wish){.column = {[MBL_LOG_PRESSURE_REAR] = "Hose"}};
    err = import_refused("Time,Speed\ns,m/s\n0,1\n", &wish);
    assert_has(err.text, "no column \"Hose\"");
    err = import_refused("Moment,Speed\n\ns,m/s\n0,1\n", NULL);
    assert_has(err.text, "no time column was recognised");
    /* as many names as fit */
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Moment");
    for (int i = 0; i < 100; i++)
        mbl_text_print(&text, ",column %d", i);
    mbl_text_print(&text, "\n0");
    for (int i = 0; i < 100; i++)
        mbl_text_print(&text, ",1");
    err = import_refused(mbl_text_get(&text), NULL);
    assert_has(err.text, "column 30, ");
    assert_has(err.text, ", ...");
    mbl_text_free(&text);
    /* a name nobody would guess is taken when it is wished */
    wish = (mbl_log_wish){.column = {[MBL_LOG_TIME] = "Moment", [MBL_LOG_SPEED] = "Celerity"}};
    mbl_import import = import_text("x,2\nMoment,Celerity\ns,m/s\n0,1\n", &wish);
    assert_int_equal(import.header_line, 2);
    mbl_import_free(&import);
}

static void a_speed_without_a_unit_says_how_to_give_it(void **state)
{
    (void)state;
    mbl_error err = import_refused("Time,Speed\n0,100\n", NULL);
    assert_has(err.text, "does not say the unit of \"Speed\"");
    assert_has(err.text, "speed_unit = \"km/h\"");
    assert_int_equal(err.line, 1);
    err = import_refused("Time,Speed\ns,furlongs\n0,100\n", NULL);
    assert_has(err.text, "\"furlongs\", which is not a known unit of speed");
    assert_int_equal(err.line, 2);
    err = import_refused("Time,Speed,Distance\ns,,m\n0,100,0\n", NULL);
    assert_has(err.text, "does not say the unit of \"Speed\"");
    mbl_log_wish wish = {.unit = {[MBL_LOG_SPEED] = "mph"}};
    mbl_import import = import_text("Time,Speed\n0,100\n", &wish);
    assert_near(import.series[MBL_LOG_SPEED].x[0], 44.704, 1e-9);
    mbl_import_free(&import);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_unit_is_split_from_its_name),
        cmocka_unit_test(names_are_fit_to_be_shown),
        cmocka_unit_test(usual_names_are_guessed_whatever_their_case_and_punctuation),
        cmocka_unit_test(only_units_of_the_role_are_known),
        cmocka_unit_test(a_wish_picks_by_name_and_unit),
        cmocka_unit_test(a_unit_in_the_wish_wins_over_the_file),
        cmocka_unit_test(a_missing_column_names_its_neighbour_or_lists_all),
        cmocka_unit_test(a_speed_without_a_unit_says_how_to_give_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
