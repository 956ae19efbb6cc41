/* SPDX-License-Identifier: MIT */
#include "matter/matter.h"
#include "support/test.h"

static double kelvin(double celsius)
{
    return celsius + 273.15;
}

/* Handbook values of grey iron, from memory, +-10 %. */
static void grey_iron_has_the_handbook_specific_heat(void **state)
{
    (void)state;
    static const struct {
        double celsius, c;
    } rows[] = {{20, 460}, {200, 510}, {400, 560}, {600, 640}, {800, 760}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_near(mbl_iron_specific_heat(kelvin(rows[i].celsius)), rows[i].c, 1e-9);
    assert_near(mbl_iron_specific_heat(kelvin(300)), 535, 1e-9);
    assert_near(mbl_iron_specific_heat(200), 460, 0);
    assert_near(mbl_iron_specific_heat(2000), 760, 0);
}

/* Computed from those handbook values by the trapezium rule, which is exact on a polyline. */
static void the_mean_specific_heat_of_iron_is_that_of_its_table(void **state)
{
    (void)state;
    double from20 = mbl_iron_enthalpy(kelvin(20));
    assert_near((mbl_iron_enthalpy(kelvin(400)) - from20) / 380, 511.3, 0.06);
    assert_near((mbl_iron_enthalpy(kelvin(600)) - from20) / 580, 541.9, 0.06);
    assert_near(mbl_iron_enthalpy(kelvin(600)) - from20, 3.143e5, 60);
}

static void enthalpy_counts_from_0_celsius_and_rises_by_specific_heat(void **state)
{
    (void)state;
    assert_near(mbl_iron_enthalpy(273.15), 0, 1e-9);
    for (double T = 201; T < 1799; T += 0.73) {
        /* a difference across a knot sees both slopes: they differ by less than 0.01 J/kgK here */
        double slope = (mbl_iron_enthalpy(T + 0.01) - mbl_iron_enthalpy(T - 0.01)) / 0.02;
        assert_near(slope, mbl_iron_specific_heat(T), 0.01);
    }
}

static void temperature_is_the_inverse_of_enthalpy(void **state)
{
    (void)state;
    double worst = 0;
    double before = -INFINITY;
    for (int i = 0; i <= 250000; i++) {
        double T = 0.01 * i; /* beyond both ends of the law, too */
        double back = mbl_iron_temperature(mbl_iron_enthalpy(T));
        worst = fmax(worst, fabs(back - T));
        assert_true(back > before);
        before = back;
    }
    printf("worst error of the inverse: %.3g K\n", worst);
    assert_true(worst < 1e-9);
}

/* Each piece begins where the one before it ends. */
static void the_pieces_of_iron_are_those_of_the_law(void **state)
{
    (void)state;
    for (int i = 0; i < MBL_IRON_BREAKS; i++) {
        double T = mbl_iron_break[i];
        assert_near(mbl_iron_specific_heat(T), mbl_iron_heat[i], 1e-12);
        assert_near(mbl_iron_enthalpy(T), mbl_iron_above[i], 1e-9);
        double rise = (i + 1 < MBL_IRON_BREAKS ? mbl_iron_break[i + 1] : T + 100) - T;
        double next = mbl_iron_heat[i] + mbl_iron_slope[i] * rise;
        double above = mbl_iron_above[i] + 0.5 * rise * (mbl_iron_heat[i] + next);
        assert_near(mbl_iron_specific_heat(T + rise), next, 1e-9);
        assert_near(mbl_iron_enthalpy(T + rise), above, 1e-8);
    }
}

static void the_alloys_lie_within_a_tenth_of_the_handbook(void **state)
{
    (void)state;
    /* values from memory, +-10 %; the representative temperatures are those of the header */
    assert_close(mbl_steel.density, 7850.0, 0.01);
    assert_close(mbl_steel.conductivity, 48.0, 0.1);
    assert_close(mbl_aluminium.density, 2700.0, 0.01);
    assert_close(mbl_aluminium.specific_heat, 930.0, 0.05);
    assert_close(mbl_titanium.density, 4430.0, 0.01);
    assert_close(mbl_titanium.conductivity, 8.9, 0.15);
    assert_close(mbl_cast_iron.density, 7200.0, 0.01);
    assert_close(mbl_cast_iron.specific_heat, 500.0, 0.05);
    /* 2200 J/kgK and 1050 kg/m3 at 20 C, 4 J/kgK more and 0.8 kg/m3 less per kelvin */
    assert_close(mbl_brake_fluid.specific_heat, 2200.0 + 4 * 100, 0.05);
    assert_close(mbl_brake_fluid.density, 1050 - 0.8 * 100, 0.05);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grey_iron_has_the_handbook_specific_heat),
        cmocka_unit_test(the_mean_specific_heat_of_iron_is_that_of_its_table),
        cmocka_unit_test(enthalpy_counts_from_0_celsius_and_rises_by_specific_heat),
        cmocka_unit_test(temperature_is_the_inverse_of_enthalpy),
        cmocka_unit_test(the_pieces_of_iron_are_those_of_the_law),
        cmocka_unit_test(the_alloys_lie_within_a_tenth_of_the_handbook),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
