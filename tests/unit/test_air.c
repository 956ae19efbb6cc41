/* SPDX-License-Identifier: MIT */
#include "matter/matter.h"
#include "support/test.h"

/*
 * Computed from Sutherland's law with the usual constants for air (viscosity 1.716e-5 Pa s at
 * 273.15 K and 110.4 K, conductivity 0.0241 W/mK and 194 K; values from memory) and the ideal
 * gas; four figures each.
 */
static void air_has_the_tabulated_properties_at_one_atmosphere(void **state)
{
    (void)state;
    static const struct {
        double T, viscosity, conductivity, density, kinematic;
    } rows[] = {
        {293.15, 1.813e-5, 0.02569, 1.204, 1.506e-5},
        {300.00, 1.846e-5, 0.02623, 1.177, 1.569e-5},
        {473.15, 2.571e-5, 0.03847, 0.7460, 3.447e-5},
        {773.15, 3.547e-5, 0.05543, 0.4566, 7.770e-5},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_air air = mbl_air_at(rows[i].T, 101325);
        assert_close(air.viscosity, rows[i].viscosity, 5e-4);
        assert_close(air.conductivity, rows[i].conductivity, 5e-4);
        assert_close(air.density, rows[i].density, 5e-4);
        assert_close(air.viscosity / air.density, rows[i].kinematic, 1e-3);
    }
}

/* Incropera and DeWitt, table of air at atmospheric pressure; values from memory. */
static void specific_heat_and_prandtl_number_are_near_the_textbook_table(void **state)
{
    (void)state;
    static const struct {
        double T, specific_heat, prandtl;
    } rows[] = {{300, 1007, 0.707}, {400, 1014, 0.690}, {600, 1051, 0.685}, {800, 1099, 0.709}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_air air = mbl_air_at(rows[i].T, 101325);
        assert_close(air.specific_heat, rows[i].specific_heat, 0.01);
        assert_close(air.prandtl, rows[i].prandtl, 0.03);
    }
}

static void density_goes_with_pressure_and_nothing_else_does(void **state)
{
    (void)state;
    mbl_air sea = mbl_air_at(350, 100000);
    mbl_air thin = mbl_air_at(350, 50000);
    assert_close(thin.density, 0.5 * sea.density, 1e-14);
    assert_near(thin.viscosity, sea.viscosity, 0);
    assert_near(thin.conductivity, sea.conductivity, 0);
    assert_near(thin.prandtl, sea.prandtl, 0);
}

/* ISO 2533 standard atmosphere, pressure over geopotential altitude; values from memory. */
static void pressure_falls_with_altitude_as_in_iso_2533(void **state)
{
    (void)state;
    assert_near(mbl_air_pressure(0), 101325, 1e-9);
    assert_near(mbl_air_pressure(1000), 89875, 2);
    assert_near(mbl_air_pressure(2000), 79495, 2);
    assert_near(mbl_air_pressure(5000), 54020, 2);
    assert_true(mbl_air_pressure(-500) > mbl_air_pressure(0));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(air_has_the_tabulated_properties_at_one_atmosphere),
        cmocka_unit_test(specific_heat_and_prandtl_number_are_near_the_textbook_table),
        cmocka_unit_test(density_goes_with_pressure_and_nothing_else_does),
        cmocka_unit_test(pressure_falls_with_altitude_as_in_iso_2533),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
