/* SPDX-License-Identifier: MIT */
/* Units' way out, and numbers as text. */
#include "out/figure.h"
#include "support/test.h"

static double out(mbl_measure measure, mbl_units_system units, double si)
{
    return mbl_out_convert(measure, units, si);
}

static void levels_and_differences_of_temperature_are_not_the_same(void **state)
{
    (void)state;
    /* 0 C = 273.15 K = 32 F, 100 C = 212 F: SI Brochure, 9th edition, and the Fahrenheit scale */
    assert_near(out(MBL_SHOW_LEVEL, MBL_UNITS_SI, 273.15), 0, 0);
    assert_near(out(MBL_SHOW_LEVEL, MBL_UNITS_US, 273.15), 32.0, 1e-10);
    assert_near(out(MBL_SHOW_LEVEL, MBL_UNITS_US, 373.15), 212.0, 1e-10);
    assert_near(out(MBL_SHOW_RISE, MBL_UNITS_SI, 30), 30, 0);
    assert_near(out(MBL_SHOW_RISE, MBL_UNITS_US, 30), 54.0, 1e-12);
}

static void american_units_follow_the_agreement_of_1959(void **state)
{
    (void)state;
    /* pound 0.45359237 kg, foot 0.3048 m, mile 1609.344 m: exact */
    assert_close(out(MBL_SHOW_MASS, MBL_UNITS_US, 45.359237), 100.0, 1e-15);
    assert_close(out(MBL_SHOW_HEIGHT, MBL_UNITS_US, 304.8), 1000.0, 1e-15);
    assert_close(out(MBL_SHOW_SPEED, MBL_UNITS_US, 44.704), 100.0, 1e-15);
    assert_close(out(MBL_SHOW_SIZE, MBL_UNITS_US, 0.3556), 14.0, 1e-15);
    assert_close(out(MBL_SHOW_AREA, MBL_UNITS_US, 0.09290304), 1.0, 1e-15);
    assert_close(out(MBL_SHOW_SMALL_AREA, MBL_UNITS_US, 0.00064516), 1.0, 1e-15);
    /* psi 6894.757 Pa and standard gravity 9.80665 m/s2: NIST SP 811, appendix B */
    assert_close(out(MBL_SHOW_PRESSURE, MBL_UNITS_US, 6894.757), 1.0, 1e-6);
    assert_close(out(MBL_SHOW_ACCELERATION, MBL_UNITS_US, 9.80665), 1.0, 1e-15);
    /* pound-force 4.448222 N, cubic inch 16.387064 cm3: NIST SP 811, appendix B */
    assert_close(out(MBL_SHOW_FORCE, MBL_UNITS_US, 4.4482216152605), 1.0, 1e-15);
    assert_close(out(MBL_SHOW_FORCE_RATE, MBL_UNITS_US, 4448.2216152605), 1000.0, 1e-15);
    assert_close(out(MBL_SHOW_VOLUME, MBL_UNITS_US, 16.387064e-6), 1.0, 1e-15);
}

static void metric_units_are_powers_of_ten_and_hours(void **state)
{
    (void)state;
    /* SI Brochure, 9th edition: bar 1e5 Pa, hour 3600 s */
    assert_close(out(MBL_SHOW_SPEED, MBL_UNITS_SI, 50), 180.0, 1e-15);
    assert_close(out(MBL_SHOW_PRESSURE, MBL_UNITS_SI, 7e6), 70.0, 1e-15);
    assert_close(out(MBL_SHOW_ENERGY, MBL_UNITS_SI, 4.2e6), 4.2, 1e-15);
    assert_close(out(MBL_SHOW_ENERGY, MBL_UNITS_US, 4.2e6), 4.2, 1e-15);
    assert_close(out(MBL_SHOW_POWER, MBL_UNITS_SI, 250e3), 250.0, 1e-15);
    assert_close(out(MBL_SHOW_SIZE, MBL_UNITS_SI, 0.355), 355.0, 1e-15);
    assert_close(out(MBL_SHOW_MINUTES, MBL_UNITS_SI, 360), 6.0, 1e-15);
    assert_close(out(MBL_SHOW_SHARE, MBL_UNITS_SI, 0.015), 1.5, 1e-15);
    assert_close(out(MBL_SHOW_VOLUME, MBL_UNITS_SI, 4.2e-6), 4.2, 1e-15);
    assert_close(out(MBL_SHOW_WEAR, MBL_UNITS_SI, 5e-14), 50.0, 1e-15);
    assert_close(out(MBL_SHOW_MOLAR_ENERGY, MBL_UNITS_US, 6e4), 60.0, 1e-15);
    assert_near(out(MBL_SHOW_FORCE, MBL_UNITS_SI, 670), 670, 0);
    assert_near(out(MBL_SHOW_PLAIN, MBL_UNITS_US, 12.5), 12.5, 0);
    /* a stop is spoken of in g in both: 9.80665 m/s2, 3rd CGPM 1901 */
    assert_close(out(MBL_SHOW_DECELERATION, MBL_UNITS_SI, 9.80665), 1.0, 1e-15);
}

static void what_goes_out_reads_back_in(void **state)
{
    (void)state;
    static const struct {
        mbl_quantity in;
        double si;
    } cases[] = {{MBL_Q_LEVEL, 473.15}, {MBL_Q_LENGTH, 0.355},       {MBL_Q_LENGTH, 812},
                 {MBL_Q_AREA, 0.0062},  {MBL_Q_AREA, 0.72},          {MBL_Q_MASS, 1420},
                 {MBL_Q_SPEED, 16.67},  {MBL_Q_PRESSURE, 7e6},       {MBL_Q_RISE, 30},
                 {MBL_Q_SHARE, 0.015},  {MBL_Q_ACCELERATION, 0.4},   {MBL_Q_POWER, 260e3},
                 {MBL_Q_FILM, 8000},    {MBL_Q_CONDUCTIVITY, 1.5},   {MBL_Q_TIME, 600},
                 {MBL_Q_DENSITY, 2500}, {MBL_Q_SPECIFIC_HEAT, 1000}, {MBL_Q_COUNT, 48},
                 {MBL_Q_FORCE, 670},    {MBL_Q_WEAR, 5e-14},         {MBL_Q_MOLAR_ENERGY, 6e4}};
    for (int units = 0; units < 2; units++) {
        for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
            mbl_shown text = mbl_out_value(cases[i].in, (mbl_units_system)units, cases[i].si);
            mbl_error err = {0};
            double back = 0;
            assert_ok(mbl_units_read(cases[i].in, text.s, &back, &err), err);
            /* four figures are shown */
            assert_close(back, cases[i].si, 6e-4);
        }
    }
}

static void values_of_inputs_are_short(void **state)
{
    (void)state;
    assert_string_equal(mbl_out_value(MBL_Q_SHARE, MBL_UNITS_SI, 0.015).s, "1.5 %");
    assert_string_equal(mbl_out_value(MBL_Q_LENGTH, MBL_UNITS_SI, 0.1525).s, "152.5 mm");
    assert_string_equal(mbl_out_value(MBL_Q_LENGTH, MBL_UNITS_US, 0.1524).s, "6 in");
    assert_string_equal(mbl_out_value(MBL_Q_CONDUCTIVITY, MBL_UNITS_SI, 46).s, "46 W/mK");
    assert_string_equal(mbl_out_value(MBL_Q_COUNT, MBL_UNITS_SI, 40).s, "40");
    assert_string_equal(mbl_out_value(MBL_Q_MASS, MBL_UNITS_SI, 0).s, "0 kg");
    assert_string_equal(mbl_out_value(MBL_Q_LEVEL, MBL_UNITS_SI, NAN).s, "- C");
}

static void a_guess_has_three_figures_and_a_range_one_unit(void **state)
{
    (void)state;
    /* below 1 m a length is told in mm, so both ends are when the value is */
    mbl_rough high = mbl_out_rough(MBL_Q_LENGTH, MBL_UNITS_SI, 0.98, 1.0344);
    assert_string_equal(high.number.s, "1034");
    assert_string_equal(high.unit, "mm");
    mbl_rough stab = mbl_out_rough(MBL_Q_FORCE_RATE, MBL_UNITS_US, 4000, 4000);
    assert_string_equal(stab.number.s, "899"); /* 4000 N/s / 4.448222 N: NIST SP 811 */
    assert_string_equal(stab.unit, "lbf/s");
    mbl_rough density = mbl_out_rough(MBL_Q_DENSITY, MBL_UNITS_US, 2700, 2200);
    assert_string_equal(density.number.s, "2200");
    assert_string_equal(density.unit, "kg/m3");
}

static void fixed_numbers_round_halves_away_and_have_no_minus_nought(void **state)
{
    (void)state;
    assert_string_equal(mbl_out_fixed(2.5, 0).s, "3");
    assert_string_equal(mbl_out_fixed(-2.5, 0).s, "-3");
    assert_string_equal(mbl_out_fixed(-0.4, 0).s, "0");
    assert_string_equal(mbl_out_fixed(-0.04, 1).s, "0.0");
    assert_string_equal(mbl_out_fixed(0.0625, 3).s, "0.063");
    assert_string_equal(mbl_out_fixed(-1234.05, 3).s, "-1234.050");
    assert_string_equal(mbl_out_fixed(999.9999, 3).s, "1000.000");
    assert_string_equal(mbl_out_fixed(1e30, 3).s, "1e+30");
    assert_string_equal(mbl_out_fixed(NAN, 3).s, "-");
    assert_string_equal(mbl_out_fixed(INFINITY, 0).s, "-");
}

static void a_passed_limit_never_shows_as_nothing(void **state)
{
    (void)state;
    assert_string_equal(mbl_out_margin(MBL_UNITS_SI, 34.6).s, "35");
    assert_string_equal(mbl_out_margin(MBL_UNITS_SI, -12.4).s, "-12");
    assert_string_equal(mbl_out_margin(MBL_UNITS_US, 10).s, "18");
    assert_string_equal(mbl_out_margin(MBL_UNITS_SI, -0.001).s, "-0.1");
    assert_string_equal(mbl_out_margin(MBL_UNITS_SI, -0.35).s, "-0.4");
    assert_string_equal(mbl_out_margin(MBL_UNITS_SI, 0.29).s, "0.2");
    assert_string_equal(mbl_out_margin(MBL_UNITS_SI, 0).s, "0");
}

static void figures_of_results_have_the_decimals_the_model_is_good_for(void **state)
{
    (void)state;
    assert_string_equal(mbl_figure_told(MBL_Q_PRESSURE, MBL_UNITS_SI, 6.24e6).s, "62 bar");
    assert_string_equal(mbl_figure_told(MBL_Q_LEVEL, MBL_UNITS_SI, 473.15).s, "200 C");
    assert_string_equal(mbl_figure_told(MBL_Q_LEVEL, MBL_UNITS_US, 473.15).s, "392 F");
    assert_string_equal(mbl_figure_told(MBL_Q_LENGTH, MBL_UNITS_SI, 0.0385).s, "38.5 mm");
    assert_string_equal(mbl_figure_told(MBL_Q_LENGTH, MBL_UNITS_US, 0.0381).s, "1.50 in");
    assert_string_equal(mbl_figure_told(MBL_Q_FORCE, MBL_UNITS_US, 444.822).s, "100 lbf");
    assert_string_equal(mbl_figure_told(MBL_Q_SHARE, MBL_UNITS_SI, 0.682).s, "68.2 %");
    assert_string_equal(mbl_figure_told(MBL_Q_ACCELERATION, MBL_UNITS_SI, 9.80665).s, "1.00 g");
    assert_string_equal(mbl_figure_told(MBL_Q_MONEY, MBL_UNITS_SI, 412.5).s, "412.50");
    assert_string_equal(mbl_figure_told(MBL_Q_FORCE, MBL_UNITS_SI, NAN).s, "- N");
}

static void changes_have_a_sign_and_small_margins_one_more_decimal(void **state)
{
    (void)state;
    assert_string_equal(mbl_figure_change(MBL_Q_LEVEL, MBL_UNITS_SI, 12).s, "+12 K");
    assert_string_equal(mbl_figure_change(MBL_Q_LEVEL, MBL_UNITS_US, -10).s, "-18 F");
    assert_string_equal(mbl_figure_change(MBL_Q_SHARE, MBL_UNITS_SI, -0.031).s, "-3.1 %");
    const mbl_figure g = {MBL_SHOW_DECELERATION, 2};
    assert_string_equal(mbl_figure_margin(g, MBL_UNITS_SI, -0.0196133).s, "-0.002");
    assert_string_equal(mbl_figure_margin(g, MBL_UNITS_SI, 0.0098).s, "0.000");
    assert_string_equal(mbl_figure_margin(g, MBL_UNITS_SI, -1e-6).s, "-0.001");
}

static void spans_and_lap_times_read_as_people_say_them(void **state)
{
    (void)state;
    assert_string_equal(mbl_out_span(0).s, "0 s");
    assert_string_equal(mbl_out_span(40.2).s, "40 s");
    assert_string_equal(mbl_out_span(89.6).s, "1 min");
    assert_string_equal(mbl_out_span(372).s, "6 min");
    assert_string_equal(mbl_out_span(7530).s, "2 h 06 min");
    assert_string_equal(mbl_out_span(NAN).s, "-");
    assert_string_equal(mbl_out_lap_time(99.2044).s, "1:39.204");
    assert_string_equal(mbl_out_lap_time(59.9996).s, "1:00.000");
    assert_string_equal(mbl_out_lap_time(0).s, "0:00.000");
    assert_string_equal(mbl_out_lap_time(NAN).s, "-");
}

static void every_measure_has_its_unit_in_both_systems(void **state)
{
    (void)state;
    assert_string_equal(mbl_out_unit(MBL_SHOW_LEVEL, MBL_UNITS_SI), "C");
    assert_string_equal(mbl_out_unit(MBL_SHOW_LEVEL, MBL_UNITS_US), "F");
    assert_string_equal(mbl_out_unit(MBL_SHOW_RISE, MBL_UNITS_SI), "K");
    assert_string_equal(mbl_out_unit(MBL_SHOW_MASS, MBL_UNITS_US), "lb");
    assert_string_equal(mbl_out_unit(MBL_SHOW_PRESSURE, MBL_UNITS_US), "psi");
    assert_string_equal(mbl_out_unit(MBL_SHOW_SHARE, MBL_UNITS_US), "%");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(levels_and_differences_of_temperature_are_not_the_same),
        cmocka_unit_test(american_units_follow_the_agreement_of_1959),
        cmocka_unit_test(metric_units_are_powers_of_ten_and_hours),
        cmocka_unit_test(what_goes_out_reads_back_in),
        cmocka_unit_test(values_of_inputs_are_short),
        cmocka_unit_test(a_guess_has_three_figures_and_a_range_one_unit),
        cmocka_unit_test(fixed_numbers_round_halves_away_and_have_no_minus_nought),
        cmocka_unit_test(a_passed_limit_never_shows_as_nothing),
        cmocka_unit_test(figures_of_results_have_the_decimals_the_model_is_good_for),
        cmocka_unit_test(changes_have_a_sign_and_small_margins_one_more_decimal),
        cmocka_unit_test(spans_and_lap_times_read_as_people_say_them),
        cmocka_unit_test(every_measure_has_its_unit_in_both_systems),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
