/* SPDX-License-Identifier: MIT */
/* Pad wear, the stress of a rotor's skin, and what rotors weigh and cost in inertia. */
#include "brake/brake.h"
#include "support/coupe.h"
#include "support/test.h"
#include "support/validation.h"

static double kelvin(double celsius)
{
    return celsius + 273.15;
}

/* A resin-bonded pad of 60 cm2; what it wears by and its activation energy are the field table's.
 */
static mbl_pad resin_pad(void)
{
    mbl_pad pad;
    test_fill(&mbl_pad_schema,
              "{ area: 60 cm2, height: 50 mm, thickness: 12 mm, friction: [[20, 0.4]], "
              "window: [50 C, 400 C], wear_onset: 230 C }",
              &pad);
    return pad;
}

static void wear_grows_as_arrhenius_says_above_its_onset(void **state)
{
    (void)state;
    static const char source[] = "Arrhenius factor on the onset of Liu and Rhee (as cited by Day, "
                                 "Braking of Road Vehicles), 60 kJ/mol ours, computed";
    static const struct {
        double celsius, factor, tolerance;
    } rows[] = {{230, 1, 1e-12}, {300, 5.764, 5e-4}, {400, 37.41, 5e-3}, {500, 149.7, 0.05}};
    mbl_pad pad = resin_pad();
    double mild = mbl_pad_wear(&pad, kelvin(100));
    for (int i = 0; i < 4; i++) {
        char what[96];
        snprintf(what, sizeof what, "wear at %.0f C over that below the onset of 230 C",
                 rows[i].celsius);
        validate(what, source, rows[i].factor, mbl_pad_wear(&pad, kelvin(rows[i].celsius)) / mild,
                 rows[i].tolerance);
    }
    /* "two orders of magnitude", to a whole number */
    validate_between("orders of magnitude between mild wear (100 C) and severe (500 C)",
                     "common practice, no source", 1.5, 2.5,
                     log10(mbl_pad_wear(&pad, kelvin(500)) / mild));
}

/*
 * What is published is for the energy that goes into one pad. A wheel has two that share its
 * energy, so 100 MJ into one pad are 200 MJ of the wheel.
 */
static void cold_wear_follows_archard(void **state)
{
    (void)state;
    static const char source[] =
        "Archard's law, V = k E / mu with k = 2e-14 m2/N (from memory) and mu 0.4, computed";
    mbl_pad pad = resin_pad();
    pad.wear = 2e-14 / 0.4; /* V = k E / mu */
    validate("cold friction material worn off by 1 MJ, mm3", source, 50,
             1e9 * mbl_pad_wear(&pad, kelvin(100)) * 1e6, 1e-9);
    validate("100 MJ into each pad of 60 cm2 (200 MJ of the wheel) take off, mm", source, 0.8333,
             1e3 * mbl_pad_wear_depth(&pad, 200e6, kelvin(100)), 5e-5);
}

static void a_rotors_skin_flows_where_the_closed_form_says(void **state)
{
    (void)state;
    static const char source[] = "E alpha dT / (1 - nu) of a skin held both ways, 110 GPa, 11e-6 "
                                 "1/K, 0.26 (from memory), computed";
    validate("skin 200 K above the bulk, MPa", source, 327, 1e-6 * mbl_skin_stress(200), 0.5);
    validate("skin at the point where cracks begin to count, MPa", source, 250,
             1e-6 * mbl_skin_stress(MBL_SKIN_FLOWS), 0.1);
    validate("rise at which the skin has 250 MPa, K", source, 152.9,
             200 * 250e6 / mbl_skin_stress(200), 0.05);
}

static mbl_rotor rotor_of(double diameter, double thickness, double height)
{
    return (mbl_rotor){
        .diameter = diameter, .thickness = thickness, .ring_height = height, .vanes = 40};
}

/*
 * The ranges follow from density and share of iron, but the depth of the rings is not told. With a
 * depth of 0.155 of the diameter, which is the engine's when none is given, all but the largest
 * come out lighter; the ranges are those of rings 50 to 65 mm deep.
 */
static void ring_masses_meet_the_usual_ranges_once_the_depth_suits(void **state)
{
    (void)state;
    static const char source[] =
        "common practice, no source: 7150 kg/m3 and 0.58 to 0.66 of iron, depth not told";
    static const struct {
        double diameter, thickness, low, high; /* mm, kg */
        double height;                         /* mm, the depth that suits the range */
        bool met;                              /* with the inferred depth */
    } rows[] = {
        {255, 20, 2.7, 3.0, 50, false},   {280, 25, 4.0, 4.6, 55, false},
        {300, 28, 4.9, 5.6, 55, false},   {330, 30, 6.3, 7.2, 60, false},
        {355, 32, 7.6, 8.7, 62.5, false}, {380, 34, 9.1, 10.3, 65, false},
        {405, 36, 10.4, 11.8, 65, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_rotor inferred = rotor_of(1e-3 * rows[i].diameter, 1e-3 * rows[i].thickness, NAN);
        mbl_rotor deep = inferred;
        deep.ring_height = 1e-3 * rows[i].height;
        char what[128];
        snprintf(what, sizeof what, "vented ring %.0f x %.0f mm of the inferred depth, kg",
                 rows[i].diameter, rows[i].thickness);
        void (*check)(const char *, const char *, double, double, double) =
            rows[i].met ? validate_between : validate_not_met;
        check(what, source, rows[i].low, rows[i].high, mbl_rotor_geometric_mass(&inferred));
        snprintf(what, sizeof what,
                 "vented ring %.0f x %.0f mm, %g mm deep (read back from the range), kg",
                 rows[i].diameter, rows[i].thickness, rows[i].height);
        validate_between(what, source, rows[i].low, rows[i].high,
                         mbl_rotor_geometric_mass(&deep));
    }
    /* by hand: pi (0.14^2 - 0.095^2) m2 x 10 mm x 7150 kg/m3 */
    mbl_rotor solid = rotor_of(0.28, 0.010, 0.045);
    solid.vanes = 0;
    validate("solid ring 280 x 10 mm, 45 mm deep, kg", "geometry at 7150 kg/m3, computed", 2.3754,
             mbl_rotor_geometric_mass(&solid), 5e-5);
}

/* A hat of nothing leaves the ring: m (R^2 + r^2) / 2. A hat alone is a disc: m r^2 / 2. */
static void a_rotors_inertia_is_that_of_a_thick_ring_and_a_disc(void **state)
{
    (void)state;
    static const char source[] = "moment of inertia of a thick ring and of a disc, computed";
    mbl_rotor ring = rotor_of(0.355, 0.032, 0.055);
    ring.ring_mass = 8;
    mbl_rotor hat = ring;
    hat.ring_mass = 0;
    hat.hat_mass = 2;
    /* R 177.5 mm, r 122.5 mm */
    validate("ring of 8 kg, 355 mm outside and 245 mm inside, kg m2", source, 0.18605,
             mbl_rotor_inertia(&ring), 5e-9);
    validate("hat of 2 kg, 245 mm across, kg m2", source, 0.01500625, mbl_rotor_inertia(&hat),
             5e-12);
    validate("that ring on tyres of 310 mm moves the car as, kg", "I / r2, computed", 1.93600,
             mbl_equivalent_mass(&ring, 0.31), 5e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wear_grows_as_arrhenius_says_above_its_onset),
        cmocka_unit_test(cold_wear_follows_archard),
        cmocka_unit_test(a_rotors_skin_flows_where_the_closed_form_says),
        cmocka_unit_test(ring_masses_meet_the_usual_ranges_once_the_depth_suits),
        cmocka_unit_test(a_rotors_inertia_is_that_of_a_thick_ring_and_a_disc),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
