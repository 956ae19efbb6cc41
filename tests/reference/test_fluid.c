/* SPDX-License-Identifier: MIT */
/* Brake fluid, water in it, pressure on it. Published temperatures are in C here, too. */
#include "brake/brake.h"
#include "support/test.h"
#include "support/validation.h"

static const double atmosphere = 101325;

static double kelvin(double celsius)
{
    return celsius + 273.15;
}

static double celsius(double kelvin)
{
    return kelvin - 273.15;
}

/* Nothing but its grade is known. */
static mbl_fluid of_grade(mbl_grade grade)
{
    return (mbl_fluid){.grade = (int)grade, .dry = NAN, .wet = NAN, .water = NAN};
}

static void every_grade_has_its_least_boiling_points(void **state)
{
    (void)state;
    static const char law[] = "49 CFR 571.116 S5.1.1, S5.1.2, a third party's transcription";
    static const char iso[] = "ISO 4925, from memory";
    static const struct {
        const char *name;
        mbl_grade grade;
        double dry, wet;
        const char *source;
    } rows[] = {
        {"DOT 3", MBL_DOT_3, 205, 140, law},
        {"DOT 4", MBL_DOT_4, 230, 155, law},
        {"DOT 5", MBL_DOT_5, 260, 180, law},
        {"DOT 5.1 (held to the row of DOT 5)", MBL_DOT_5_1, 260, 180, law},
        {"class 3", MBL_CLASS_3, 205, 140, iso},
        {"class 4", MBL_CLASS_4, 230, 155, iso},
        {"class 5-1", MBL_CLASS_5_1, 260, 180, iso},
        {"class 6", MBL_CLASS_6, 250, 165, iso},
        {"class 7", MBL_CLASS_7, 260, 180, iso},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_fluid f = of_grade(rows[i].grade);
        char what[96];
        snprintf(what, sizeof what, "%s, dry boiling point, C", rows[i].name);
        validate(what, rows[i].source, rows[i].dry, celsius(mbl_fluid_dry(&f)), 1e-6);
        snprintf(what, sizeof what, "%s, wet boiling point, C", rows[i].name);
        validate(what, rows[i].source, rows[i].wet, celsius(mbl_fluid_wet(&f)), 1e-6);
    }
}

/*
 * The law's one constant is the exact fit through three of these points, so they prove the
 * arithmetic; the wet point of that fit is 142.3 C.
 */
static void water_lowers_the_boiling_point_as_in_lr903(void **state)
{
    (void)state;
    static const struct {
        double percent, celsius;
        bool published;
    } rows[] = {{0, 250, true}, {0.5, 206.4, false}, {1, 180, true},   {2, 154.4, false},
                {3, 145, true}, {3.7, 142.3, false}, {5, 140.3, false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double T = mbl_boiling_with_water(kelvin(250), kelvin(142.3), rows[i].percent / 100);
        char what[96];
        snprintf(what, sizeof what, "vapour lock with %g %% of water, C", rows[i].percent);
        validate(what,
                 rows[i].published ? "TRRL report LR903, abstract; the law is fitted to it"
                                   : "computed from the fit to TRRL report LR903",
                 rows[i].celsius, celsius(T), 0.12);
    }
}

static void the_curves_of_the_grades_run_between_their_least_points(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        mbl_grade grade;
        double celsius[3]; /* at 1, 2 and 3 % */
    } rows[] = {{"DOT 3", MBL_DOT_3, {162.8, 147.3, 141.7}},
                {"DOT 4", MBL_DOT_4, {181.3, 163.4, 156.9}},
                {"DOT 5.1", MBL_DOT_5_1, {208.0, 189.0, 182.0}}};
    for (int i = 0; i < 3; i++) {
        mbl_fluid f = of_grade(rows[i].grade);
        for (int w = 1; w <= 3; w++) {
            char what[96];
            snprintf(what, sizeof what, "%s at its minima, boils with %d %% of water, C",
                     rows[i].name, w);
            validate(what, "computed: the same curve through the minima of the grade",
                     rows[i].celsius[w - 1], celsius(mbl_boiling_point(&f, 0.01 * w, atmosphere)),
                     0.1);
        }
    }
}

/* Read from a maker's graph: fresh fluid as given, its wet point the least of the grade. */
static void five_percent_of_water_is_within_the_band_of_a_testers_graph(void **state)
{
    (void)state;
    static const char source[] = "a fluid tester maker's graph, read to 15 K";
    mbl_fluid glycol = of_grade(MBL_DOT_3);
    glycol.dry = kelvin(257.2);
    validate("glycol ether (DOT 3), dry 257 C, boils with 5 % of water, C", source, 137.8,
             celsius(mbl_boiling_point(&glycol, 0.05, atmosphere)), 15);
    mbl_fluid borate = of_grade(MBL_DOT_4);
    borate.dry = kelvin(268.3);
    validate("borate ester (DOT 4), dry 268 C, boils with 5 % of water, C", source, 165.6,
             celsius(mbl_boiling_point(&borate, 0.05, atmosphere)), 15);
    /* the graph has the floor of the ester 27.8 K above that of the ether */
    double apart =
        mbl_boiling_point(&borate, 0.05, atmosphere) - mbl_boiling_point(&glycol, 0.05, atmosphere);
    validate_between("floor of a borate ester above that of a glycol ether, K", source, 10, 45,
                     apart);
}

static void water_boils_where_the_standard_says(void **state)
{
    (void)state;
    static const struct {
        double MPa, kelvin;
    } verification[] = {{0.1, 372.755919}, {1, 453.035632}, {10, 584.149488}};
    for (int i = 0; i < 3; i++) {
        char what[96];
        snprintf(what, sizeof what, "water at %g MPa saturates, K (verification value)",
                 verification[i].MPa);
        validate(what, "IAPWS-IF97 region 4, coefficients from memory", verification[i].kelvin,
                 mbl_water_boiling(verification[i].MPa * 1e6), 5e-7);
    }
    static const struct {
        double MPa, celsius, tolerance;
    } rows[] = {{0.0795, 93.32, 0.01}, {0.101325, 99.97, 0.01}, {0.2, 120.2, 0.06},
                {0.5, 151.8, 0.06},    {1, 179.9, 0.06},        {2, 212.4, 0.06},
                {5, 263.9, 0.06},      {7, 285.8, 0.06},        {10, 311.0, 0.06}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char what[96];
        snprintf(what, sizeof what, "water at %g MPa saturates, C", rows[i].MPa);
        validate(what, "IAPWS-IF97 region 4, computed", rows[i].celsius,
                 celsius(mbl_water_boiling(rows[i].MPa * 1e6)), rows[i].tolerance);
    }
}

/* Silicone keeps water apart: 3 % or a drop, it boils by itself. Dissolved, it does not. */
static void water_that_stays_apart_boils_by_itself(void **state)
{
    (void)state;
    mbl_fluid silicone = of_grade(MBL_DOT_5);
    validate("silicone (DOT 5) with free water in the caliper boils, C",
             "IAPWS-IF97; that the water boils alone: several trade texts", 99.97,
             celsius(mbl_boiling_point(&silicone, 0.003, atmosphere)), 0.01);
    validate("silicone (DOT 5) without water boils, C", "49 CFR 571.116 S5.1.1", 260,
             celsius(mbl_boiling_point(&silicone, 0, atmosphere)), 1e-6);
    mbl_fluid ester = of_grade(MBL_DOT_4);
    /* Eng. Proc. 100(1) 27, abstract: well above 100 C with 3 % dissolved */
    validate_between("borate ester (DOT 4) with 3 % of water dissolved boils, C",
                     "Engineering Proceedings 100(1) 27, abstract: well above 100 C", 120, INFINITY,
                     celsius(mbl_boiling_point(&ester, 0.03, atmosphere)));
}

static void pressure_shifts_the_boiling_point(void **state)
{
    (void)state;
    static const struct {
        double celsius, kPa, moved;
    } rows[] = {{230, 79.5, 218.7}, {230, 202.65, 265.3}, {230, 1114.575, 377.4},
                {155, 79.5, 145.4}, {155, 202.65, 185.0}, {155, 1114.575, 280.4}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char what[96];
        snprintf(what, sizeof what, "boils at %g C at 1 atm, at %.4g kPa, C", rows[i].celsius,
                 rows[i].kPa);
        validate(what, "Clausius-Clapeyron with Trouton's rule (from memory), computed",
                 rows[i].moved,
                 celsius(mbl_boiling_at_pressure(kelvin(rows[i].celsius), rows[i].kPa * 1e3)), 0.1);
    }
}

/* Boyle's law: what fills 1 mL at one atmosphere fills 0.01427 mL at 7.1 MPa. */
static void vapour_is_squeezed_as_a_gas(void **state)
{
    (void)state;
    double boiling = kelvin(200);
    double free = mbl_vapour_volume(1e-3, boiling + 1, boiling, atmosphere);
    double mass = 1e-3 * 1e-6 / free; /* kg of fluid that make 1 mL of it 1 K above the point */
    validate("1 mL of vapour at 1 atm, squeezed to 7.1 MPa, mL", "isothermal ideal gas, computed",
             0.01427, 1e6 * mbl_vapour_volume(mass, boiling + 1, boiling, 7.1e6), 5e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_grade_has_its_least_boiling_points),
        cmocka_unit_test(water_lowers_the_boiling_point_as_in_lr903),
        cmocka_unit_test(the_curves_of_the_grades_run_between_their_least_points),
        cmocka_unit_test(five_percent_of_water_is_within_the_band_of_a_testers_graph),
        cmocka_unit_test(water_boils_where_the_standard_says),
        cmocka_unit_test(water_that_stays_apart_boils_by_itself),
        cmocka_unit_test(pressure_shifts_the_boiling_point),
        cmocka_unit_test(vapour_is_squeezed_as_a_gas),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
