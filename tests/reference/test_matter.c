/* SPDX-License-Identifier: MIT */
/* Air and iron against published properties. */
#include "matter/matter.h"
#include "support/test.h"
#include "support/validation.h"

static void air_has_its_tabulated_properties(void **state)
{
    (void)state;
    static const char source[] = "Sutherland's law, constants from memory; ideal gas; computed";
    static const struct {
        double T, viscosity, conductivity, density, kinematic;
    } rows[] = {{293.15, 1.813e-5, 0.02569, 1.204, 1.506e-5},
                {300.00, 1.846e-5, 0.02623, 1.177, 1.569e-5},
                {473.15, 2.571e-5, 0.03847, 0.7460, 3.447e-5},
                {773.15, 3.547e-5, 0.05543, 0.4566, 7.770e-5}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_air air = mbl_air_at(rows[i].T, 101325);
        const struct {
            const char *name;
            double want, got;
        } columns[] = {
            {"viscosity, Pa s", rows[i].viscosity, air.viscosity},
            {"conductivity, W/mK", rows[i].conductivity, air.conductivity},
            {"density, kg/m3", rows[i].density, air.density},
            {"kinematic viscosity, m2/s", rows[i].kinematic, air.viscosity / air.density}};
        for (int c = 0; c < 4; c++) {
            char what[96];
            snprintf(what, sizeof what, "air at %g K, %s", rows[i].T, columns[c].name);
            validate(what, source, columns[c].want, columns[c].got, 1e-3 * columns[c].want);
        }
    }
}

static void iron_takes_the_heat_of_its_table(void **state)
{
    (void)state;
    static const char source[] = "handbook table, from memory, +-10 %; trapezium rule, computed";
    double cold = mbl_iron_enthalpy(293.15);
    validate("grey iron, mean specific heat 20 to 400 C, J/kgK", source, 511.3,
             (mbl_iron_enthalpy(673.15) - cold) / 380, 0.06);
    validate("grey iron, mean specific heat 20 to 600 C, J/kgK", source, 541.9,
             (mbl_iron_enthalpy(873.15) - cold) / 580, 0.06);
    validate("grey iron, enthalpy 20 to 600 C, J/kg", source, 3.143e5,
             mbl_iron_enthalpy(873.15) - cold, 60);
}

/* One number stands for a range of temperatures: within a tenth of the handbook. */
static void alloys_are_within_a_tenth_of_the_handbook(void **state)
{
    (void)state;
    static const char source[] = "handbook ranges, from memory, +-10 %";
    validate_between("aluminium alloy, conductivity, W/mK", source, 150, 170,
                     mbl_aluminium.conductivity);
    validate_between("aluminium alloy, specific heat, J/kgK", source, 900, 960,
                     mbl_aluminium.specific_heat);
    validate("low-carbon steel, conductivity at 150 C, W/mK", source, 48.9, mbl_steel.conductivity,
             4.9);
    validate("titanium alloy, conductivity between 20 and 400 C, W/mK", source, 8.85,
             mbl_titanium.conductivity, 0.9);
    validate_between("glycol fluid, conductivity, W/mK", source, 0.17, 0.20,
                     mbl_brake_fluid.conductivity);
    validate_between("glycol fluid, specific heat at 120 C (2100 to 2400 at 20 C, +4 per K)",
                     source, 2500, 2800, mbl_brake_fluid.specific_heat);
    validate_between("glycol fluid, density at 120 C (1030 to 1070 at 20 C, -0.8 per K)", source,
                     950, 990, mbl_brake_fluid.density);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(air_has_its_tabulated_properties),
        cmocka_unit_test(iron_takes_the_heat_of_its_table),
        cmocka_unit_test(alloys_are_within_a_tenth_of_the_handbook),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
