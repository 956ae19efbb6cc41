/* SPDX-License-Identifier: MIT */
#include "heat/heat.h"
#include "support/test.h"

/* A vented front rotor with a hose of 76 mm, in air of 20 C at the sea. */
static mbl_brake brake_with(mbl_aim aim)
{
    mbl_brake b;
    mbl_extract(&mbl_brake_schema, NULL, &b);
    b.rotor.diameter = 0.355;
    b.rotor.thickness = 0.032;
    b.rotor.ring_mass = 8.3;
    b.rotor.vanes = 48;
    mbl_extract(&mbl_duct_schema, NULL, &b.duct);
    b.duct.bore = 0.076;
    b.duct.length = 1.2;
    b.duct.aim = (int)aim;
    b.duct.present = true;
    return b;
}

static mbl_surroundings around(const mbl_brake *b)
{
    mbl_ring ring = mbl_ring_of(&b->rotor);
    return (mbl_surroundings){.brake = b,
                              .tyre_radius = 0.318,
                              .ambient = 293.15,
                              .p = MBL_ATMOSPHERE,
                              .vanes = ring.channels};
}

/* The table of docs/model.md, section 6: common practice, no source. */
static void a_ducts_air_gets_to_where_the_table_says(void **state)
{
    (void)state;
    static const struct {
        mbl_aim aim;
        double vanes, face, caliper, pump;
    } rows[] = {{MBL_AIM_EYE, 0.9, 0.02, 0, 0.3},
                {MBL_AIM_OPEN_EYE, 0.4, 0.05, 0.05, 1},
                {MBL_AIM_FACE, 0.05, 0.12, 0.05, 1},
                {MBL_AIM_CALIPER, 0, 0.02, 0.5, 1}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_brake b = brake_with(rows[i].aim);
        mbl_duct_reach reach = mbl_duct_reaches(&b);
        assert_near(reach.vanes, rows[i].vanes, 1e-12);
        assert_near(reach.face, rows[i].face, 1e-12);
        assert_near(reach.caliper, rows[i].caliper, 1e-12);
        assert_near(reach.pump, rows[i].pump, 1e-12);
    }
}

/* A tenth arrives behind the wheel; a solid ring spreads a fifth over its inboard face. */
static void an_inverted_hat_and_a_solid_ring_take_little_from_the_eye(void **state)
{
    (void)state;
    mbl_brake b = brake_with(MBL_AIM_EYE);
    b.rotor.hat = MBL_HAT_INVERTED;
    mbl_duct_reach reach = mbl_duct_reaches(&b);
    assert_near(reach.vanes, 0.09, 1e-12);
    assert_near(reach.pump, 1, 1e-12);
    b = brake_with(MBL_AIM_EYE);
    b.rotor.vanes = 0;
    reach = mbl_duct_reaches(&b);
    assert_near(reach.vanes, 0, 1e-12);
    assert_near(reach.face, 0.2, 1e-12); /* 0.02 + 0.2 x 0.9 */
    b.duct.present = false;
    reach = mbl_duct_reaches(&b);
    assert_true(reach.vanes == 0 && reach.face == 0 && reach.caliper == 0 && reach.pump == 1);
}

/* Put together a second time from the pure laws: 30 % of the pumping, and 90 % of the hose's air.
 */
static void vanes_behind_a_sealed_plate_have_the_air_of_both(void **state)
{
    (void)state;
    mbl_brake b = brake_with(MBL_AIM_EYE);
    mbl_surroundings at = around(&b);
    double V = 40;
    double T = 673.15;
    mbl_air film = mbl_air_at(0.5 * (T + 293.15), MBL_ATMOSPHERE);
    mbl_air cold = mbl_air_at(293.15, MBL_ATMOSPHERE);
    double pumped = 0.3 * mbl_vanes_speed(V / 0.318, &at.vanes, 0.5);
    double blown =
        0.9 * mbl_duct_flow(&b.duct, V, &cold) / (film.density * mbl_vanes_section(&at.vanes));
    assert_true(blown > pumped); /* the hose matters here */
    double forced = mbl_film_vanes(pumped + blown, &at.vanes, &film);
    double still = 0.5 * 0.7 * mbl_film_still(T, 293.15, 0.355, MBL_ATMOSPHERE);
    double expected = cbrt(forced * forced * forced + still * still * still);
    assert_close(mbl_surface_film(&at, MBL_SURFACE_VANES, V, T), expected, 1e-12);
}

/* Channels that close: less air, never air at more than the head of the inlet. */
static void vanes_that_are_nearly_shut_take_no_more_than_the_ducts_head_drives(void **state)
{
    (void)state;
    mbl_brake b = brake_with(MBL_AIM_EYE);
    mbl_surroundings at = around(&b);
    double V = 40;
    double T = 673.15;
    mbl_air film = mbl_air_at(0.5 * (T + 293.15), MBL_ATMOSPHERE);
    at.vanes.gap = 1e-4;
    double pumped = 0.3 * mbl_vanes_speed(V / 0.318, &at.vanes, 0.5);
    /* by hand: V times the root of what the inlet recovers, a stagnation pressure */
    double head = V * sqrt(mbl_inlet_recovery(b.duct.inlet) - b.duct.back_pressure);
    double forced = mbl_film_vanes(pumped + head, &at.vanes, &film);
    double still = 0.5 * 0.7 * mbl_film_still(T, 293.15, 0.355, MBL_ATMOSPHERE);
    double expected = cbrt(forced * forced * forced + still * still * still);
    assert_close(mbl_surface_film(&at, MBL_SURFACE_VANES, V, T), expected, 1e-12);
    assert_near(mbl_duct_head(&b.duct, V), head, 1e-12);
}

/* At a face: the flow law at the speed in the hose joins in, over the swept share alone. */
static void a_jet_on_one_face_helps_over_its_share_alone(void **state)
{
    (void)state;
    mbl_brake b = brake_with(MBL_AIM_FACE);
    mbl_surroundings at = around(&b);
    double V = 40;
    double T = 673.15;
    double with = mbl_surface_film(&at, MBL_SURFACE_FACE, V, T);
    b.duct.present = false;
    double alone = mbl_surface_film(&at, MBL_SURFACE_FACE, V, T);
    mbl_air film = mbl_air_at(0.5 * (T + 293.15), MBL_ATMOSPHERE);
    mbl_air cold = mbl_air_at(293.15, MBL_ATMOSPHERE);
    double jet = mbl_film_disc_flow(mbl_duct_speed(&b.duct, V, &cold), 0.355, &film);
    double swept = cbrt(alone * alone * alone + jet * jet * jet);
    assert_close(with, 0.88 * alone + 0.12 * swept, 1e-12);
    assert_true(with > alone);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_ducts_air_gets_to_where_the_table_says),
        cmocka_unit_test(an_inverted_hat_and_a_solid_ring_take_little_from_the_eye),
        cmocka_unit_test(vanes_behind_a_sealed_plate_have_the_air_of_both),
        cmocka_unit_test(vanes_that_are_nearly_shut_take_no_more_than_the_ducts_head_drives),
        cmocka_unit_test(a_jet_on_one_face_helps_over_its_share_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
