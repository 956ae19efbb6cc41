/* SPDX-License-Identifier: MIT */
#include "parts/units.h"
#include "support/test.h"

typedef struct sample {
    mbl_quantity quantity;
    const char *text;
    double si;
} sample;

static void read_all(const sample *samples, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        mbl_error err = {0};
        double si = -1e99;
        assert_ok(mbl_units_read(samples[i].quantity, samples[i].text, &si, &err), err);
        /* one part in 1e14: a conversion rounds a few times, a wrong factor is off by far more */
        if (!(fabs(si - samples[i].si) <= 1e-14 * fabs(samples[i].si)))
            fail_msg("%s: %.17g, expected %.17g", samples[i].text, si, samples[i].si);
    }
}

/*
 * Expected values: NIST Special Publication 811 (2008), appendix B.8, and its exact definitions
 * (in, ft, lb, g, mile, nautical mile); lbf, psi and hp worked out by hand from those to all
 * figures. Values from memory, checked by hand multiplication.
 */
static void every_unit_has_its_published_factor(void **state)
{
    (void)state;
    static const sample samples[] = {
        {MBL_Q_SHARE, "3 %", 0.03},
        {MBL_Q_SHARE, "0.54", 0.54},
        {MBL_Q_COUNT, "48", 48},
        {MBL_Q_LENGTH, "2.55 m", 2.55},
        {MBL_Q_LENGTH, "355 mm", 0.355},
        {MBL_Q_LENGTH, "35 cm", 0.35},
        {MBL_Q_LENGTH, "1.5 km", 1500},
        {MBL_Q_LENGTH, "1 in", 0.0254},
        {MBL_Q_LENGTH, "1 ft", 0.3048},
        {MBL_Q_AREA, "0.72 m2", 0.72},
        {MBL_Q_AREA, "62 cm2", 0.0062},
        {MBL_Q_AREA, "500 mm2", 0.0005},
        {MBL_Q_AREA, "1 in2", 6.4516e-4},
        {MBL_Q_AREA, "1 ft2", 0.09290304},
        {MBL_Q_VOLUME, "2 m3", 2},
        {MBL_Q_VOLUME, "1.5 l", 0.0015},
        {MBL_Q_VOLUME, "150 ml", 1.5e-4},
        {MBL_Q_VOLUME, "150 cm3", 1.5e-4},
        {MBL_Q_MASS, "7.9 kg", 7.9},
        {MBL_Q_MASS, "250 g", 0.25},
        {MBL_Q_MASS, "1 lb", 0.45359237},
        {MBL_Q_TIME, "3 s", 3},
        {MBL_Q_TIME, "250 ms", 0.25},
        {MBL_Q_TIME, "10 min", 600},
        {MBL_Q_TIME, "2 h", 7200},
        {MBL_Q_SPEED, "50 m/s", 50},
        {MBL_Q_SPEED, "180 km/h", 50},
        {MBL_Q_SPEED, "1 mph", 0.44704},
        {MBL_Q_SPEED, "3600 kn", 1852},
        {MBL_Q_ACCELERATION, "4 m/s2", 4},
        {MBL_Q_ACCELERATION, "1 g", 9.80665},
        {MBL_Q_FORCE, "700 N", 700},
        {MBL_Q_FORCE, "1.2 kN", 1200},
        {MBL_Q_FORCE, "1 lbf", 4.4482216152605},
        {MBL_Q_PRESSURE, "101325 Pa", 101325},
        {MBL_Q_PRESSURE, "80 kPa", 80000},
        {MBL_Q_PRESSURE, "8 MPa", 8e6},
        {MBL_Q_PRESSURE, "80 bar", 8e6},
        {MBL_Q_PRESSURE, "1 psi", 6894.757293168361},
        {MBL_Q_POWER, "900 W", 900},
        {MBL_Q_POWER, "260 kW", 260000},
        {MBL_Q_POWER, "1 hp", 745.69987158227022},
        {MBL_Q_LEVEL, "32 C", 305.15},
        {MBL_Q_LEVEL, "300 K", 300},
        {MBL_Q_LEVEL, "212 F", 373.15},
        {MBL_Q_LEVEL, "-40 F", 233.15},
        {MBL_Q_RISE, "30 K", 30},
        {MBL_Q_RISE, "30 C", 30},
        {MBL_Q_RISE, "9 F", 5},
        {MBL_Q_DENSITY, "7200 kg/m3", 7200},
        {MBL_Q_DENSITY, "7.2 g/cm3", 7200},
        {MBL_Q_DENSITY, "1 lb/in3", 27679.904710203125},
        {MBL_Q_CONDUCTIVITY, "50 W/mK", 50},
        {MBL_Q_SPECIFIC_HEAT, "500 J/kgK", 500},
        {MBL_Q_FILM, "60 W/m2K", 60},
        {MBL_Q_CONDUCTANCE, "5 W/K", 5},
        {MBL_Q_CAPACITY, "900 J/K", 900},
        {MBL_Q_CAPACITY, "0.9 kJ/K", 900},
        {MBL_Q_ENERGY, "1.2 MJ", 1.2e6},
        {MBL_Q_ENERGY, "350 kJ", 350e3},
        {MBL_Q_ANGLE, "180 deg", 3.141592653589793},
        {MBL_Q_ANGLE, "0.5 rad", 0.5},
    };
    read_all(samples, sizeof samples / sizeof samples[0]);
}

static void numbers_come_as_people_write_them(void **state)
{
    (void)state;
    static const sample samples[] = {
        {MBL_Q_LENGTH, "3/4 in", 0.01905},
        {MBL_Q_LENGTH, "1 3/4 in", 0.04445},
        {MBL_Q_LENGTH, "-1 1/2 in", -0.0381},
        {MBL_Q_LENGTH, "355mm", 0.355},
        {MBL_Q_LENGTH, "  355   mm  ", 0.355},
        {MBL_Q_LENGTH, "+.5 m", 0.5},
        {MBL_Q_LENGTH, "1e-3 km", 1},
        {MBL_Q_LENGTH, "0.355", 0.355},
        {MBL_Q_LEVEL, "-5 C", 268.15},
        {MBL_Q_LEVEL, "20", 293.15},
        {MBL_Q_ANGLE, "90", 1.5707963267948966},
    };
    read_all(samples, sizeof samples / sizeof samples[0]);
}

static void signs_of_print_and_of_loggers_are_read(void **state)
{
    (void)state;
    static const sample samples[] = {
        {MBL_Q_LEVEL, "310 \xC2\xB0\x43", 583.15},        /* degree sign C */
        {MBL_Q_LEVEL, "212\xC2\xA0\xC2\xB0\x46", 373.15}, /* no-break space, degree sign F */
        {MBL_Q_LEVEL, "\xE2\x88\x92\x35 C", 268.15},      /* minus sign */
        {MBL_Q_ANGLE, "90\xC2\xB0", 1.5707963267948966},  /* degree sign alone */
        {MBL_Q_AREA, "62 cm\xC2\xB2", 0.0062},
        {MBL_Q_VOLUME, "150 cm\xC2\xB3", 1.5e-4},
        {MBL_Q_CONDUCTIVITY, "50 W/m\xC2\xB7K", 50},
    };
    read_all(samples, sizeof samples / sizeof samples[0]);
}

/* A value at the limit of a range must not fall outside by rounding. */
static void metric_prefixes_round_once(void **state)
{
    (void)state;
    mbl_error err = {0};
    double si = 0;
    assert_ok(mbl_units_read(MBL_Q_LENGTH, "35 cm", &si, &err), err);
    assert_true(si <= 0.35 && si >= 0.35);
    assert_ok(mbl_units_read(MBL_Q_SHARE, "7 %", &si, &err), err);
    assert_true(si <= 0.07 && si >= 0.07);
}

typedef struct refusal {
    mbl_quantity quantity;
    const char *text;
    const char *says;
} refusal;

static void a_refusal_says_what_was_meant(void **state)
{
    (void)state;
    static const refusal refusals[] = {
        {MBL_Q_LENGTH, "355 mn",
         "\"355 mn\": the unit \"mn\" is not one of m, mm, cm, km, in, ft, mi; did you mean "
         "\"mm\"?"},
        {MBL_Q_LENGTH, "355 MM", "did you mean \"mm\"?"},
        {MBL_Q_MASS, "7 Kg", "did you mean \"kg\"?"},
        {MBL_Q_MASS, "11 lbs", "did you mean \"lb\"?"},
        {MBL_Q_SPEED, "100 kph", "did you mean \"km/h\"?"},
        {MBL_Q_LENGTH, "7 inches", "did you mean \"in\"?"},
        {MBL_Q_LENGTH, "3 kg",
         "\"3 kg\": \"kg\" is a unit of mass; a length takes m, mm, cm, km, in, ft, mi"},
        {MBL_Q_COUNT, "4 pcs", "a count has none"},
        {MBL_Q_MASS, "7,9 kg", "write \"7.9 kg\" with a decimal point, or \"79 kg\""},
        {MBL_Q_PRESSURE, "1,200 psi", "\"1200 psi\" without a thousands mark"},
        {MBL_Q_AREA, "big", "\"big\" does not start with a number; expected an area such as"},
        {MBL_Q_MASS, "", "does not start with a number"},
        {MBL_Q_MASS, "nan", "does not start with a number"},
        {MBL_Q_MASS, "inf kg", "does not start with a number"},
        {MBL_Q_MASS, "- 5 kg", "does not start with a number"},
        {MBL_Q_MASS, "1.2.3 kg", "\"1.2.3\" is not a number"},
        {MBL_Q_MASS, "0x10 kg", "the unit \"x10 kg\""},
        {MBL_Q_MASS, "1e999 kg", "is not a number"},
        {MBL_Q_PRESSURE, "1e307 bar", "too large"},
        {MBL_Q_LENGTH, "1/0 in", "divides by zero"},
        {MBL_Q_LENGTH, "1 2 in", "two numbers"},
        {MBL_Q_LENGTH, "1.5/2 in", "the unit \"/2 in\""},
        {MBL_Q_LENGTH, "1 3/4 1/2 in", "two numbers"},
        {MBL_Q_LENGTH,
         "1111111111111111111111111111111111111111111111111111111111111111111111111111 m",
         "too long"},
    };
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        mbl_error err = {0};
        double si = 42;
        assert_int_equal(mbl_units_read(refusals[i].quantity, refusals[i].text, &si, &err),
                         MBL_INPUT);
        assert_has(err.text, refusals[i].says);
        assert_near(si, 42, 0);
    }
}

static void a_letter_that_fits_nothing_brings_no_suggestion(void **state)
{
    (void)state;
    mbl_error err = {0};
    double si = 0;
    assert_int_equal(mbl_units_read(MBL_Q_MASS, "3 xyzzy", &si, &err), MBL_INPUT);
    assert_null(strstr(err.text, "did you mean"));
}

static void a_message_stays_printable_and_short(void **state)
{
    (void)state;
    mbl_error err = {0};
    double si = 0;
    char text[300] = "\x1b[31m\xff";
    memset(text + 6, 'q', 250);
    assert_int_equal(mbl_units_read(MBL_Q_MASS, text, &si, &err), MBL_INPUT);
    assert_null(strchr(err.text, '\x1b'));
    assert_null(strchr(err.text, '\xff'));
    assert_has(err.text, "\"?[31m?q");
    assert_has(err.text, "...\"");
    assert_true(strlen(err.text) < 200);
}

static void values_are_shown_as_a_bare_number_would_mean(void **state)
{
    (void)state;
    char out[48];
    mbl_units_show(MBL_Q_LENGTH, 0.35, out);
    assert_string_equal(out, "0.35 m");
    mbl_units_show(MBL_Q_LEVEL, 268.15, out);
    assert_string_equal(out, "-5 C");
    mbl_units_show(MBL_Q_SHARE, 0.03, out);
    assert_string_equal(out, "0.03");
    mbl_units_show(MBL_Q_PRESSURE, 2e7, out);
    assert_string_equal(out, "20000000 Pa");
    mbl_units_show(MBL_Q_COUNT, 4, out);
    assert_string_equal(out, "4");
}

static void a_likely_slip_is_named(void **state)
{
    (void)state;
    char out[48] = "";
    assert_true(mbl_units_slip(MBL_Q_LENGTH, 355, 0.15, 0.5, out));
    assert_string_equal(out, "355 mm");
    assert_true(mbl_units_slip(MBL_Q_SHARE, 54, 0.3, 0.7, out));
    assert_string_equal(out, "54 %");
    assert_false(mbl_units_slip(MBL_Q_LENGTH, 0.2, 0.15, 0.5, out));
    assert_false(mbl_units_slip(MBL_Q_MASS, -3, 0, 10, out));
    assert_true(mbl_units_slip_text(MBL_Q_LENGTH, "355 m", 0.15, 0.5, out));
    assert_string_equal(out, "355 mm");
    assert_true(mbl_units_slip_text(MBL_Q_SHARE, "0.54 %", 0.3, 0.7, out));
    assert_string_equal(out, "0.54");
    assert_true(mbl_units_slip_text(MBL_Q_LENGTH, "3/4", 0.01, 0.03, out));
    assert_string_equal(out, "3/4 in");
    assert_false(mbl_units_slip_text(MBL_Q_LENGTH, "nonsense", 0.01, 0.03, out));
}

static void a_column_of_a_log_finds_its_unit(void **state)
{
    (void)state;
    double scale = 0;
    double offset = 0;
    assert_true(mbl_units_find(MBL_Q_SPEED, "km/h", &scale, &offset));
    assert_close(scale, 0.27777777777777778, 1e-15); /* 1 / 3.6 */
    assert_near(offset, 0, 0);
    assert_true(mbl_units_find(MBL_Q_LEVEL, "\xC2\xB0\x46", &scale, &offset));
    assert_near(212 * scale + offset, 373.15, 1e-12);
    assert_false(mbl_units_find(MBL_Q_SPEED, "rpm", &scale, &offset));
    assert_false(mbl_units_find(MBL_Q_SHARE, " ", &scale, &offset));
}

static void every_quantity_reads_its_own_example_and_unit(void **state)
{
    (void)state;
    for (int q = MBL_Q_SHARE; q <= MBL_Q_ENERGY; q++) {
        mbl_quantity quantity = (mbl_quantity)q;
        const char *example = mbl_quantity_example(quantity);
        const char *quote = strchr(example, '"');
        char text[32];
        snprintf(text, sizeof text, "%s", quote != NULL ? quote + 1 : example);
        text[strcspn(text, "\"")] = '\0';
        mbl_error err = {0};
        double si = 0;
        assert_ok(mbl_units_read(quantity, text, &si, &err), err);
        assert_true(mbl_quantity_word(quantity)[0] != '\0');
        double scale = 0;
        double offset = 0;
        if (quantity != MBL_Q_SHARE && quantity != MBL_Q_COUNT) {
            assert_true(mbl_units_find(quantity, mbl_quantity_si(quantity), &scale, &offset));
            assert_near(scale, 1, 0);
            assert_near(offset, mbl_units_bare(quantity, 0), 0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_unit_has_its_published_factor),
        cmocka_unit_test(numbers_come_as_people_write_them),
        cmocka_unit_test(signs_of_print_and_of_loggers_are_read),
        cmocka_unit_test(metric_prefixes_round_once),
        cmocka_unit_test(a_refusal_says_what_was_meant),
        cmocka_unit_test(a_letter_that_fits_nothing_brings_no_suggestion),
        cmocka_unit_test(a_message_stays_printable_and_short),
        cmocka_unit_test(values_are_shown_as_a_bare_number_would_mean),
        cmocka_unit_test(a_likely_slip_is_named),
        cmocka_unit_test(a_column_of_a_log_finds_its_unit),
        cmocka_unit_test(every_quantity_reads_its_own_example_and_unit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
