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

static void the_table_of_temperature_is_within_a_thousandth_of_a_kelvin(void **state)
{
    (void)state;
    static double y[MBL_IRON_KNOTS];
    mbl_table1 table = mbl_iron_table(y);
    double worst = 0;
    for (int i = 0; i <= 160000; i++) {
        double T = 200 + 0.01 * i;
        worst = fmax(worst, fabs(mbl_table1_at(&table, mbl_iron_enthalpy(T)) - T));
    }
    printf("worst error of the table of iron: %.3g K\n", worst);
    assert_true(worst < 1e-3);
    for (int i = 1; i < MBL_IRON_KNOTS; i++)
        assert_true(y[i] > y[i - 1]);
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
        cmocka_unit_test(the_table_of_temperature_is_within_a_thousandth_of_a_kelvin),
        cmocka_unit_test(the_alloys_lie_within_a_tenth_of_the_handbook),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
