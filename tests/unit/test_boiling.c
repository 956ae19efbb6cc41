/* SPDX-License-Identifier: MIT */
#include "brake/brake.h"
#include "matter/matter.h"
#include "support/test.h"

static double kelvin(double celsius)
{
    return celsius + 273.15;
}

static mbl_fluid fluid(double dry, double wet)
{
    return (mbl_fluid){.grade = -1, .dry = kelvin(dry), .wet = kelvin(wet)};
}

/*
 * Transport and Road Research Laboratory report LR903, abstract: vapour lock at about 250 C dry,
 * 180 C with 1 % of water, 145 C with 3 %. The other points are computed from the exact fit
 * through these three, which gives 142.3 C at the 3.7 % of the wet test.
 */
static void the_points_of_lr903_are_met(void **state)
{
    (void)state;
    static const struct {
        double percent, celsius;
    } rows[] = {{0, 250}, {0.5, 206.4}, {1, 180}, {2, 154.4}, {3, 145}, {3.7, 142.3}, {5, 140.3}};
    mbl_fluid f = fluid(250, 142.3);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_near(mbl_boiling_with_water(f.dry, f.wet, rows[i].percent / 100),
                    kelvin(rows[i].celsius), 0.12);
}

/*
 * Least dry and wet points of 49 CFR 571.116 S5.1 (from a third party's transcription), the points
 * between computed with the same curve.
 */
static void the_curves_through_the_grades_minima_are_met(void **state)
{
    (void)state;
    static const double percent[] = {0, 1, 2, 3, 3.7};
    static const double celsius[3][5] = {{205, 162.8, 147.3, 141.7, 140},
                                         {230, 181.3, 163.4, 156.9, 155},
                                         {260, 208, 189, 182, 180}};
    for (int g = 0; g < 3; g++) {
        mbl_fluid f = fluid(celsius[g][0], celsius[g][4]);
        for (int i = 0; i < 5; i++)
            assert_near(mbl_boiling_with_water(f.dry, f.wet, percent[i] / 100),
                        kelvin(celsius[g][i]), 0.1);
    }
}

static void more_water_always_boils_sooner_and_never_below_the_floor(void **state)
{
    (void)state;
    mbl_fluid f = fluid(310, 200);
    double before = mbl_boiling_with_water(f.dry, f.wet, 0);
    assert_near(before, kelvin(310), 1e-9);
    for (int i = 1; i <= 800; i++) {
        double now = mbl_boiling_with_water(f.dry, f.wet, 1e-4 * i);
        assert_true(now < before);
        before = now;
    }
    /* what is left of the fall after the wet test: 110 K exp(-3.7/0.995) / (1 - exp(-3.7/0.995)) */
    assert_true(before > kelvin(200 - 2.74));
}

/*
 * Computed with the Clausius-Clapeyron relation and Trouton's rule (88 J/mol K, value from
 * memory); 0.7846 atm, 79.5 kPa, is the standard atmosphere at 2000 m.
 */
static void pressure_moves_the_boiling_point_by_troutons_rule(void **state)
{
    (void)state;
    static const struct {
        double celsius, atmospheres, moved;
    } rows[] = {{230, 0.7846, 218.7}, {230, 2, 265.3}, {230, 11, 377.4},
                {155, 0.7846, 145.4}, {155, 2, 185.0}, {155, 11, 280.4}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_near(mbl_boiling_at_pressure(kelvin(rows[i].celsius), 101325 * rows[i].atmospheres),
                    kelvin(rows[i].moved), 0.1);
    assert_near(mbl_boiling_at_pressure(kelvin(230), 101325), kelvin(230), 1e-9);
    /* altitude by way of the atmosphere's own law */
    assert_near(mbl_boiling_at_pressure(kelvin(230), mbl_air_pressure(2000)), kelvin(218.7), 0.1);
}

static void the_boiling_point_rises_with_pressure_and_stays_finite(void **state)
{
    (void)state;
    double before = mbl_boiling_at_pressure(kelvin(200), 1000);
    assert_near(mbl_boiling_at_pressure(kelvin(200), 0), before, 0);
    assert_near(mbl_boiling_at_pressure(kelvin(200), -5), before, 0);
    assert_near(mbl_boiling_at_pressure(kelvin(200), NAN), before, 0);
    for (double p = 1050; p < 1e9; p *= 1.05) {
        double now = mbl_boiling_at_pressure(kelvin(200), p);
        assert_true(now >= before && now <= 2000);
        assert_true(now > before || now == 2000);
        before = now;
    }
}

/* A fluid that boils higher at one atmosphere does so at any pressure and water content. */
static void a_better_fluid_stays_better(void **state)
{
    (void)state;
    mbl_fluid good = fluid(310, 200);
    mbl_fluid plain = fluid(270, 160);
    for (int i = 0; i <= 80; i++) {
        double a = mbl_boiling_with_water(good.dry, good.wet, 1e-3 * i);
        double b = mbl_boiling_with_water(plain.dry, plain.wet, 1e-3 * i);
        for (double p = 5e4; p < 2e5; p += 1e4)
            assert_true(mbl_boiling_at_pressure(a, p) > mbl_boiling_at_pressure(b, p));
    }
}

/*
 * Trouton's rule (from memory): the heat above the boiling point over 88 T_b a mole, as an ideal
 * gas. By hand for 0.1 kg at 2600 J/kgK, 10 K above, at one atmosphere:
 * 2600 J / 88 J/molK x 8.314463 J/molK / 101325 Pa = 2.4244e-3 m3, whatever the boiling point.
 */
static void fluid_above_its_boiling_point_makes_litres_of_vapour(void **state)
{
    (void)state;
    assert_close(mbl_vapour_volume(0.1, 438.15, 428.15, 101325), 2.4244e-3, 1e-4);
    assert_close(mbl_vapour_volume(0.1, 538.15, 528.15, 101325), 2.4244e-3, 1e-4);
    assert_true(mbl_vapour_volume(0.1, 428.15, 428.15, 101325) == 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_points_of_lr903_are_met),
        cmocka_unit_test(the_curves_through_the_grades_minima_are_met),
        cmocka_unit_test(more_water_always_boils_sooner_and_never_below_the_floor),
        cmocka_unit_test(pressure_moves_the_boiling_point_by_troutons_rule),
        cmocka_unit_test(the_boiling_point_rises_with_pressure_and_stays_finite),
        cmocka_unit_test(a_better_fluid_stays_better),
        cmocka_unit_test(fluid_above_its_boiling_point_makes_litres_of_vapour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
