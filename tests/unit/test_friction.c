/* SPDX-License-Identifier: MIT */
#include "brake/brake.h"
#include "support/test.h"

/*
 * Worked example, computed by hand from statics: 400 N on a pedal of ratio 4.5 at 95 % into a
 * master cylinder of 19 mm; four opposed pistons of 38 mm, friction 0.42 at 125 mm, tyre 310 mm.
 */
static mbl_brake opposed_four(void)
{
    mbl_brake b = {.effective_radius = 0.125};
    b.caliper.pistons = (mbl_numbers){2, {0.038, 0.038}};
    b.pad.friction = (mbl_curve){.n = 1, .x = {293.15}, .y = {0.42}};
    b.rotor.diameter = 0.30;
    b.pad.height = 0.05;
    return b;
}

static void the_worked_example_gives_its_pressure_clamp_torque_and_force(void **state)
{
    (void)state;
    mbl_brake b = opposed_four();
    double bore = 0.019;
    double p = 400 * 4.5 * 0.95 / (M_PI / 4 * bore * bore);
    assert_close(p, 6.031e6, 2e-4);
    double area = mbl_caliper_area(&b.caliper);
    assert_close(area, 2.268e-3, 3e-4);
    assert_close(p * area, 1.368e4, 3e-4);
    double mu = mbl_friction_at(&b.pad, 500, 20, 3e6);
    assert_close(2 * mu * p * area * mbl_effective_radius(&b), 1436.0, 5e-4);
    assert_close(mbl_axle_gain(&b, 0.31) * mu * p, 9267.0, 2e-4);
}

/* One side counts, whether the body slides or has pistons on both sides. */
static void a_sliding_caliper_presses_like_a_fixed_one_with_the_same_side(void **state)
{
    (void)state;
    mbl_brake b = opposed_four();
    b.caliper.type = MBL_CALIPER_FIXED;
    double fixed = mbl_axle_gain(&b, 0.31);
    b.caliper.type = MBL_CALIPER_SLIDING;
    assert_near(mbl_axle_gain(&b, 0.31), fixed, 0);
}

static void the_effective_radius_is_as_given_or_the_middle_of_the_pad(void **state)
{
    (void)state;
    mbl_brake b = opposed_four();
    assert_near(mbl_effective_radius(&b), 0.125, 0);
    b.effective_radius = NAN;
    assert_near(mbl_effective_radius(&b), 0.15 - 0.025, 1e-15);
}

static void friction_follows_its_curve_and_is_flat_outside(void **state)
{
    (void)state;
    mbl_pad pad = {.friction = {.n = 3, .x = {300, 600, 900}, .y = {0.38, 0.48, 0.30}}};
    assert_near(mbl_friction_at(&pad, 300, 20, 3e6), 0.38, 0);
    assert_near(mbl_friction_at(&pad, 450, 20, 3e6), 0.43, 1e-15);
    assert_near(mbl_friction_at(&pad, 750, 20, 3e6), 0.39, 1e-15);
    assert_near(mbl_friction_at(&pad, 100, 20, 3e6), 0.38, 0);
    assert_near(mbl_friction_at(&pad, 2000, 20, 3e6), 0.30, 0);
}

/* Two pads of 60 cm2, iron skin 0.5 mm over 0.09 m2, pad layer 0.5 mm. */
static mbl_interface interface_with(double k_pad)
{
    const double pads = 0.012;
    return (mbl_interface){.area = pads,
                           .k_rotor = 46,
                           .k_pad = k_pad,
                           .rotor_half = 0.25e-3 / (46 * 0.09),
                           .pad_half = 0.25e-3 / (k_pad * pads)};
}

static double share_of_rotor(const mbl_interface *face, double h)
{
    double to_rotor;
    double to_pad;
    mbl_interface_sides(face, h, &to_rotor, &to_pad);
    return to_rotor / (to_rotor + to_pad);
}

static void heat_divides_strictly_between_rotor_and_pad(void **state)
{
    (void)state;
    for (double h = 10; h < 1e7; h *= 1.3) {
        double before = 1;
        /* organic to sintered friction material: 0.9 to 12 W/mK, handbook values from memory */
        for (double k = 0.2; k < 40; k *= 1.1) {
            mbl_interface face = interface_with(k);
            double share = share_of_rotor(&face, h);
            assert_true(share > 0 && share < 1);
            assert_true(share < before); /* a pad that conducts better takes more */
            before = share;
        }
    }
}

/*
 * The constriction theory of contacts: resistance on each side goes with 1/k, and both sides in
 * series make the whole layer.
 */
static void the_contact_layer_divides_as_the_conductivities(void **state)
{
    (void)state;
    mbl_interface bare = {.area = 0.012, .k_rotor = 48, .k_pad = 2};
    double to_rotor;
    double to_pad;
    mbl_interface_sides(&bare, 5000, &to_rotor, &to_pad);
    assert_close(1 / (1 / to_rotor + 1 / to_pad), 5000 * 0.012, 1e-14);
    assert_close(to_rotor / to_pad, 48.0 / 2.0, 1e-14);
    assert_near(share_of_rotor(&bare, 5000), 0.96, 1e-14);
}

static void a_perfect_contact_divides_as_the_first_layers_conduct(void **state)
{
    (void)state;
    mbl_interface face = interface_with(1.5);
    double rotor = 1 / face.rotor_half;
    double pad = 1 / face.pad_half;
    assert_close(share_of_rotor(&face, 1e15), rotor / (rotor + pad), 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worked_example_gives_its_pressure_clamp_torque_and_force),
        cmocka_unit_test(a_sliding_caliper_presses_like_a_fixed_one_with_the_same_side),
        cmocka_unit_test(the_effective_radius_is_as_given_or_the_middle_of_the_pad),
        cmocka_unit_test(friction_follows_its_curve_and_is_flat_outside),
        cmocka_unit_test(heat_divides_strictly_between_rotor_and_pad),
        cmocka_unit_test(the_contact_layer_divides_as_the_conductivities),
        cmocka_unit_test(a_perfect_contact_divides_as_the_first_layers_conduct),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
