/* SPDX-License-Identifier: MIT */
#include "brake/brake.h"
#include "support/test.h"

static mbl_pad pad_of(double onset)
{
    return (mbl_pad){.area = 5e-3,
                     .height = 0.05,
                     .window = {2, {400, 950}},
                     .wear = 5e-14,
                     .wear_onset = onset,
                     .wear_activation = 6e4};
}

static void below_its_onset_a_pad_wears_by_energy_alone(void **state)
{
    (void)state;
    mbl_pad pad = pad_of(700);
    assert_near(mbl_pad_wear(&pad, 250), 5e-14, 0);
    assert_near(mbl_pad_wear(&pad, 699), 5e-14, 0);
    assert_near(mbl_pad_wear(&pad, 700), 5e-14, 0);
    /* no jump: 60 kJ/mol / (R 700 K 700 K) is 1.47 % a kelvin there */
    assert_close(mbl_pad_wear(&pad, 700.01), 5e-14 * (1 + 1.4727e-4), 1e-7);
}

/* By hand: exp(60000 / 8.314463 x (1 / 700 - 1 / 800)) = 3.62782. */
static void above_it_wear_grows(void **state)
{
    (void)state;
    mbl_pad pad = pad_of(700);
    assert_close(mbl_pad_wear(&pad, 800), 5e-14 * 3.62782, 1e-5);
    pad.wear_activation = 0;
    assert_near(mbl_pad_wear(&pad, 800), 5e-14, 0);
}

static void an_onset_that_is_not_given_moves_with_the_window(void **state)
{
    (void)state;
    mbl_pad inferred = pad_of(NAN);
    mbl_pad given = pad_of(800); /* 950 less 150 */
    assert_near(mbl_pad_wear(&inferred, 900), mbl_pad_wear(&given, 900), 0);
    assert_true(mbl_pad_wear(&inferred, 801) > mbl_pad_wear(&inferred, 799));
}

static void a_curve_of_ones_own_replaces_the_law(void **state)
{
    (void)state;
    mbl_pad pad = pad_of(500);
    pad.wear_effect = (mbl_curve){.n = 3, .x = {400, 600, 900}, .y = {1, 0.5, 3}};
    assert_near(mbl_pad_wear(&pad, 300), 5e-14, 1e-27);
    assert_near(mbl_pad_wear(&pad, 600), 2.5e-14, 1e-27);
    assert_near(mbl_pad_wear(&pad, 750), 8.75e-14, 1e-27);
    assert_near(mbl_pad_wear(&pad, 2000), 15e-14, 1e-27);
}

/* 10 MJ of a wheel are 5 MJ a pad: 0.25 cm3 over 50 cm2. */
static void two_pads_share_the_energy_of_a_wheel(void **state)
{
    (void)state;
    mbl_pad pad = pad_of(700);
    assert_close(mbl_pad_wear_depth(&pad, 10e6, 400), 5e-5, 1e-12);
    assert_near(mbl_pad_wear_depth(&pad, 0, 400), 0, 0);
    assert_close(mbl_pad_wear_depth(&pad, 10e6, 800), 5e-5 * 3.62782, 1e-5);
}

/* By hand: 1 GJ x 1e-14 m3/J over pi (0.35 - 0.05) 0.05 m2 is 0.2122066 mm. */
static void a_rotor_loses_from_the_band_its_pads_sweep(void **state)
{
    (void)state;
    mbl_pad pad = pad_of(700);
    mbl_rotor rotor = {.diameter = 0.35, .wear = 1e-14};
    assert_close(mbl_rotor_wear_depth(&rotor, &pad, 1e9), 2.122066e-4, 1e-6);
    assert_near(mbl_rotor_wear_depth(&rotor, &pad, 0), 0, 0);
}

static void stress_goes_with_the_rise_and_turns_sign_with_it(void **state)
{
    (void)state;
    assert_near(mbl_skin_stress(0), 0, 0);
    /* 110e9 x 11e-6 / 0.74 by hand */
    assert_close(mbl_skin_stress(100), 163.513514e6, 1e-8);
    assert_near(mbl_skin_stress(-100), -mbl_skin_stress(100), 0);
}

static void only_what_flows_counts_towards_cracks(void **state)
{
    (void)state;
    assert_near(mbl_crack_weight(-300), 0, 0);
    assert_near(mbl_crack_weight(0), 0, 0);
    assert_near(mbl_crack_weight(152.9), 0, 0);
    assert_close(mbl_crack_weight(1.5 * 152.9), 0.25, 1e-12);
    assert_close(mbl_crack_weight(2 * 152.9), 1.0, 1e-12);
    assert_close(mbl_crack_weight(3 * 152.9), 4.0, 1e-12);
    /* it leaves zero without a jump */
    assert_true(mbl_crack_weight(152.9 + 1e-3) < 1e-10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(below_its_onset_a_pad_wears_by_energy_alone),
        cmocka_unit_test(above_it_wear_grows),
        cmocka_unit_test(an_onset_that_is_not_given_moves_with_the_window),
        cmocka_unit_test(a_curve_of_ones_own_replaces_the_law),
        cmocka_unit_test(two_pads_share_the_energy_of_a_wheel),
        cmocka_unit_test(a_rotor_loses_from_the_band_its_pads_sweep),
        cmocka_unit_test(stress_goes_with_the_rise_and_turns_sign_with_it),
        cmocka_unit_test(only_what_flows_counts_towards_cracks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
