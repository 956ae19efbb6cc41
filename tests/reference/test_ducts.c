/* SPDX-License-Identifier: MIT */
/* What a duct delivers, against the balance of heads worked by hand and a published friction law.
 */
#include "brake/brake.h"
#include "support/test.h"
#include "support/validation.h"

/* 76.2 mm, 1.2 m, two bends of 0.35, inlet loss 0.3, exit loss 1.0, recovery 0.9, no pressure at
 * the end; air of 1.204 kg/m3 and 1.51e-5 m2/s. */
static mbl_duct example(mbl_hose hose)
{
    return (mbl_duct){.bore = 0.0762,
                      .length = 1.2,
                      .bends = 2,
                      .recovery = 0.9,
                      .hose = (int)hose,
                      .hoses = 1,
                      .split = 1,
                      .present = true};
}

static const mbl_air air = {.density = 1.204,
                            .viscosity = 1.51e-5 * 1.204,
                            .conductivity = 0.0257,
                            .specific_heat = 1006,
                            .prandtl = 0.71};

static void a_duct_passes_its_tabulated_flow(void **state)
{
    (void)state;
    static const char source[] =
        "balance of heads, loss coefficients from memory; Haaland 1983 when smooth; computed";
    static const struct {
        double V;
        mbl_hose hose;
        const char *name;
        double speed, litres;
    } rows[] = {{30, MBL_HOSE_SMOOTH, "smooth", 18.83, 85.86},
                {50, MBL_HOSE_SMOOTH, "smooth", 31.57, 144.0},
                {30, MBL_HOSE_CORRUGATED, "f 0.08", 15.76, 71.89},
                {50, MBL_HOSE_CORRUGATED, "f 0.08", 26.27, 119.8},
                {30, MBL_HOSE_COMPRESSED, "f 0.12", 14.43, 65.81},
                {50, MBL_HOSE_COMPRESSED, "f 0.12", 24.05, 109.7}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_duct d = example(rows[i].hose);
        char what[96];
        snprintf(what, sizeof what, "3 in hose, %s, car at %g m/s: air speed, m/s", rows[i].name,
                 rows[i].V);
        validate(what, source, rows[i].speed, mbl_duct_speed(&d, rows[i].V, &air),
                 6e-4 * rows[i].speed);
        snprintf(what, sizeof what, "3 in hose, %s, car at %g m/s: flow, L/s", rows[i].name,
                 rows[i].V);
        validate(what, source, rows[i].litres,
                 1e3 * mbl_duct_flow(&d, rows[i].V, &air) / air.density, 6e-4 * rows[i].litres);
    }
}

static void the_friction_of_a_hose_is_haalands(void **state)
{
    (void)state;
    static const char source[] = "Haaland 1983, from memory, computed";
    validate("friction factor, smooth, Re 1e5", source, 0.01782, mbl_hose_friction(1e5, 0), 1e-5);
    validate("friction factor, roughness 0.01, Re 1e5", source, 0.03854,
             mbl_hose_friction(1e5, 0.01), 1e-5);
    /* Haaland's explicit form is within half a per cent of this implicit one */
    static const char colebrook[] = "Colebrook, smooth, from memory, computed; Haaland within 1 %";
    validate("friction factor, smooth, in the hose at 18.83 m/s", colebrook, 0.0181,
             mbl_hose_friction(18.83 * 0.0762 / 1.51e-5, 0), 1.8e-4);
    validate("friction factor, smooth, in the hose at 31.57 m/s", colebrook, 0.0163,
             mbl_hose_friction(31.57 * 0.0762 / 1.51e-5, 0), 1.6e-4);
    validate("friction factor, laminar, Re 1000", "Hagen-Poiseuille, 64/Re", 0.064,
             mbl_hose_friction(1000, 0), 1e-12);
}

static void inlets_recover_what_the_textbooks_give(void **state)
{
    (void)state;
    static const char source[] = "textbook ranges, from memory";
    validate_between("share of the dynamic pressure, flush opening", source, 0.3, 0.6,
                     mbl_inlet_recovery(MBL_INLET_FLUSH));
    validate_between("share of the dynamic pressure, submerged inlet", source, 0.7, 0.9,
                     mbl_inlet_recovery(MBL_INLET_SUBMERGED));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_duct_passes_its_tabulated_flow),
        cmocka_unit_test(the_friction_of_a_hose_is_haalands),
        cmocka_unit_test(inlets_recover_what_the_textbooks_give),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
