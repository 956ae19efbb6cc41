/* SPDX-License-Identifier: MIT */
#include "brake/brake.h"
#include "support/coupe.h"
#include "support/test.h"

/* By hand: pi (0.15^2 - 0.1^2) m2 x 30 mm x 7150 kg/m3 = 8.423395 kg when it is solid. */
static void a_vented_ring_weighs_a_share_of_a_solid_one(void **state)
{
    (void)state;
    mbl_rotor r = {.diameter = 0.3, .thickness = 0.03, .ring_height = 0.05, .vanes = 0};
    assert_close(mbl_rotor_geometric_mass(&r), 8.423395, 1e-6);
    r.vanes = 40;
    assert_close(mbl_rotor_geometric_mass(&r), 0.62 * 8.423395, 1e-6);
    /* vanes are inferred from the thickness when not given, the depth from the diameter */
    r.vanes = -1;
    assert_close(mbl_rotor_geometric_mass(&r), 0.62 * 8.423395, 1e-6);
    r.ring_height = NAN;
    double depth = 0.155 * 0.3;
    assert_close(mbl_rotor_geometric_mass(&r), 0.62 * 7150 * M_PI * depth * (0.3 - depth) * 0.03,
                 1e-12);
}

/* By hand: 62 cm2 of 11 mm at 2700 kg/m3 and 5 mm of steel at 7850 kg/m3, twice. */
static void pads_weigh_what_is_left_of_them_and_their_plates(void **state)
{
    (void)state;
    mbl_pad pad = test_coupe().front.pad;
    assert_close(mbl_pads_mass(&pad), 0.85498, 1e-9);
    pad.thickness_now = NAN;
    assert_close(mbl_pads_mass(&pad), 0.85498 + 0.16740, 1e-9);
}

static void a_brake_weighs_its_parts_and_its_duct(void **state)
{
    (void)state;
    mbl_brake b = test_coupe().front;
    assert_close(mbl_rotor_mass(&b.rotor), 9.1, 1e-12);
    assert_close(mbl_brake_mass(&b), 9.1 + 0.85498 + 3.4, 1e-9);
    b.duct.mass = 0.5;
    b.duct.present = false;
    assert_close(mbl_brake_mass(&b), 13.35498, 1e-9);
    b.duct.present = true;
    assert_close(mbl_brake_mass(&b), 13.85498, 1e-9);
}

/* By hand: 8 (0.15^2 + 0.1^2) / 2 + 1.5 x 0.1^2 / 2 = 0.1375 kg m2; on 0.3125 m, 1.408 kg. */
static void inertia_is_that_of_ring_and_hat_together(void **state)
{
    (void)state;
    mbl_rotor r = {.diameter = 0.3, .ring_height = 0.05, .ring_mass = 8, .hat_mass = 1.5};
    assert_close(mbl_rotor_inertia(&r), 0.1375, 1e-12);
    assert_close(mbl_equivalent_mass(&r, 0.3125), 1.408, 1e-12);
    /* it is less than that of all its mass at the rim, and more than none */
    assert_true(mbl_rotor_inertia(&r) < mbl_rotor_mass(&r) * 0.15 * 0.15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_vented_ring_weighs_a_share_of_a_solid_one),
        cmocka_unit_test(pads_weigh_what_is_left_of_them_and_their_plates),
        cmocka_unit_test(a_brake_weighs_its_parts_and_its_duct),
        cmocka_unit_test(inertia_is_that_of_ring_and_hat_together),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
