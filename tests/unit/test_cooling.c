/* SPDX-License-Identifier: MIT */
#include "heat/heat.h"
#include "support/test.h"

/* Air as the tabulated examples have it: k 0.0262 W/mK, nu 1.57e-5 m2/s. */
static mbl_air example_air(double prandtl)
{
    return (mbl_air){.density = 1.177,
                     .viscosity = 1.57e-5 * 1.177,
                     .conductivity = 0.0262,
                     .specific_heat = 1006,
                     .prandtl = prandtl};
}

static double turning(double rpm)
{
    return rpm * M_PI / 30;
}

/*
 * Cobb and Saunders, Proc. R. Soc. A 236 (1956), laminar Nu = 0.36 Re^0.5 and turbulent
 * Nu = 0.015 Re^0.8, coefficients from memory; values computed for R = 0.15 m.
 */
static void a_disc_in_still_air_has_its_tabulated_films(void **state)
{
    (void)state;
    static const struct {
        double rpm, h;
    } rows[] = {{342, 14.25}, {684, 20.15}, {1025, 24.66}, {1500, 29.83}, {2000, 43.47}};
    mbl_air air = example_air(0.72);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_close(mbl_film_disc_free(turning(rows[i].rpm), 0.15, &air), rows[i].h, 5e-4);
}

static void the_laminar_film_of_a_disc_does_not_depend_on_its_radius(void **state)
{
    (void)state;
    mbl_air air = example_air(0.72);
    double h = mbl_film_disc_free(30, 0.10, &air);
    assert_close(mbl_film_disc_free(30, 0.15, &air), h, 1e-12);
    assert_close(mbl_film_disc_free(30, 0.20, &air), h, 1e-12);
}

/* Far above the transition the core is small: within 1 % of the turbulent law at Re = 1e7. */
static void a_fast_disc_nears_the_turbulent_law(void **state)
{
    (void)state;
    mbl_air air = example_air(0.72);
    double R = 0.15;
    double omega = 1e7 * 1.57e-5 / (R * R);
    assert_close(mbl_film_disc_free(omega, R, &air), 0.015 * pow(1e7, 0.8) * 0.0262 / R, 0.01);
}

/* Limpert, Brake Design and Safety, from memory; values computed for D = 0.28 m. */
static void a_disc_in_the_flow_has_its_tabulated_films(void **state)
{
    (void)state;
    static const struct {
        double V, h;
    } rows[] = {{10, 50.63}, {20, 103.5}, {30, 143.2}, {50, 215.5}};
    mbl_air air = example_air(0.71);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_close(mbl_film_disc_flow(rows[i].V, 0.28, &air), rows[i].h, 5e-4);
}

/* At Re = 2.4e5 the published branches give Nu = 637.1 and 805.8, 26 % apart. */
static void the_branches_of_the_flow_law_are_kept_and_joined_between(void **state)
{
    (void)state;
    mbl_air air = example_air(0.71);
    double D = 0.28;
    double per_Re = 1.57e-5 / D;
    double k_D = 0.0262 / D;
    double at_change = mbl_film_disc_flow(2.4e5 * per_Re, D, &air) / k_D;
    assert_true(at_change > 637.1 && at_change < 805.8);
    assert_close(mbl_film_disc_flow(1.99e5 * per_Re, D, &air) / k_D, 0.70 * pow(1.99e5, 0.55),
                 1e-12);
    assert_close(mbl_film_disc_flow(2.91e5 * per_Re, D, &air) / k_D, 0.04 * pow(2.91e5, 0.8),
                 1e-12);
}

/* Nusselt number of a channel 13.6 mm wide, as long as d/l says. */
static double nusselt(double Re, double d_l)
{
    mbl_air air = example_air(0.71);
    double d = 0.0136;
    return mbl_film_channel(Re * 1.57e-5 / d, d, d / d_l, &air) * d / 0.0262;
}

/*
 * Sieder and Tate up to Re 2300, Gnielinski with Petukhov's friction from Re 4000, linear between
 * (Gnielinski 2013), coefficients from memory; computed apart from the engine for Pr 0.71.
 */
static void a_channel_has_the_nusselt_numbers_of_a_duct(void **state)
{
    (void)state;
    static const double d_l[] = {0.02, 0.1, 0.5, 1};
    static const struct {
        double Re, Nu[4];
    } rows[] = {{500, {3.5749, 6.1130, 10.4531, 13.1701}},
                {2300, {5.9455, 10.1666, 17.3846, 21.9032}},
                {2800, {8.4804, 12.0256, 18.7744, 23.4404}},
                {3150, {10.2548, 13.3269, 19.7473, 24.5164}},
                {4000, {14.5642, 16.4872, 22.1100, 27.1295}},
                {6000, {21.0965, 23.8820, 32.0268, 39.2976}},
                {1e4, {32.2403, 36.4972, 48.9442, 60.0557}},
                {3e4, {76.0397, 86.0796, 115.4363, 141.6431}},
                {1e5, {193.5232, 219.0749, 293.7886, 360.4856}}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        for (int j = 0; j < 4; j++)
            assert_close(nusselt(rows[i].Re, d_l[j]), rows[i].Nu[j], 2e-5);
}

/*
 * Over the whole domain: nowhere steeper than Re^1.97 (the line has 1.96 at Re 2300 and d/l 0.02),
 * nor flatter than Re^0.32 (it has 0.323 at d/l 1; laminar flow a third). A jump of 4 in ten
 * thousand would be steeper.
 */
static void the_channel_law_rises_without_a_jump_for_short_and_long_channels(void **state)
{
    (void)state;
    const double step = 1.0002;
    for (double d_l = 0.02; d_l < 1.005; d_l += 0.02) {
        double before = nusselt(1, d_l);
        for (double Re = step; Re < 3e5; Re *= step) {
            double now = nusselt(Re, d_l);
            double slope = log(now / before) / log(step);
            if (!(slope > 0.32 && slope < 1.97))
                fail_msg("Nu goes as Re^%.4g at Re %.6g, d/l %.2g", slope, Re, d_l);
            before = now;
        }
    }
}

/*
 * Limpert, from memory: inlet speed (pi/60) n sqrt(D^2 - d^2); D 0.30, d 0.17 m, 1000 rpm give
 * 12.94 m/s. A constant of 0.0158 that circulates for metres belongs to feet: it would give 3.9.
 */
static void vanes_pump_at_the_published_inlet_speed(void **state)
{
    (void)state;
    mbl_vanes v = {.outer = 0.30, .inner = 0.17, .count = 40, .gap = 0.016, .solid = 0.25};
    double mean = mbl_vanes_speed(turning(1000), &v, 1);
    /* the mean of inlet and outlet, the channel being wider outside by 0.30 / 0.17 */
    double inlet = mean / (0.5 * (1 + 0.17 / 0.30));
    assert_close(inlet, 12.94, 5e-4);
    assert_close(mbl_vanes_speed(turning(1000), &v, 0.5), 0.5 * mean, 1e-14);
}

/* By hand: mean circumference 0.973894 m, three quarters of it open in 40 channels. */
static void the_channels_of_a_ring_have_the_size_of_its_drawing(void **state)
{
    (void)state;
    mbl_vanes v = {.outer = 0.36, .inner = 0.26, .count = 40, .gap = 0.016, .solid = 0.25};
    double width = 0.0182605;
    assert_close(mbl_vanes_hydraulic(&v), 2 * width * 0.016 / (width + 0.016), 1e-5);
    double walls;
    double sides;
    mbl_vanes_area(&v, &walls, &sides);
    assert_close(walls, 0.0730420, 1e-5); /* 2 x 0.75 x pi/4 (0.36^2 - 0.26^2) */
    assert_close(sides, 0.064, 1e-12);    /* 2 x 40 x 0.016 x 0.05 */
}

/* No wall can give more than what warms all of the air to the temperature of the wall. */
static void a_starved_channel_cools_by_what_its_air_can_carry(void **state)
{
    (void)state;
    mbl_vanes v = {.outer = 0.36, .inner = 0.26, .count = 40, .gap = 0.004, .solid = 0.25};
    mbl_air air = mbl_air_at(500, 101325);
    double walls;
    double sides;
    mbl_vanes_area(&v, &walls, &sides);
    for (double omega = 0.5; omega < 400; omega *= 1.2) {
        double V = mbl_vanes_speed(omega, &v, 0.5);
        double carried = air.density * V * 40 * 0.0182605 * 0.004 * air.specific_heat;
        double given = mbl_film_vanes(mbl_vanes_speed(omega, &v, 0.5), &v, &air) * (walls + sides);
        double free = mbl_film_channel(V, mbl_vanes_hydraulic(&v), 0.05, &air) * (walls + sides);
        assert_true(given < carried && given < free);
        assert_close(given, carried * (1 - exp(-free / carried)), 1e-5);
    }
}

/* Churchill and Bernstein as worked in Incropera and DeWitt: air at 350 K and 10 m/s across
 * 12.7 mm gives Nu 40.6 and 96 W/m2K; values from memory. */
static void a_cylinder_across_the_flow_meets_the_textbook_example(void **state)
{
    (void)state;
    mbl_air air = {.density = 0.995,
                   .viscosity = 208.2e-7,
                   .conductivity = 0.030,
                   .specific_heat = 1009,
                   .prandtl = 0.700};
    assert_close(mbl_film_across(10, 0.0127, &air), 96.0, 0.01);
    air = mbl_air_at(350, 101325);
    assert_close(mbl_film_across(10, 0.0127, &air), 96.0, 0.02);
}

/* Churchill and Chu as worked in Incropera and DeWitt: a pane of 0.71 m at 232 C in air at 23 C
 * gives Nu 147 and 7.0 W/m2K; values from memory. */
static void a_plate_in_still_air_meets_the_textbook_example(void **state)
{
    (void)state;
    assert_close(mbl_film_still(505, 296, 0.71, 101325), 7.0, 0.02);
}

static void two_mechanisms_add_by_their_cubes(void **state)
{
    (void)state;
    /* 3^3 + 4^3 + 5^3 = 6^3 */
    assert_close(mbl_film_mixed(mbl_film_mixed(3, 4), 5), 6.0, 1e-14);
    assert_near(mbl_film_mixed(7, 0), 7, 1e-14);
}

/* ---- continuity and order over the whole domain ---- */

/* Every law over speed, as the corner uses it. */
static const mbl_vanes scan_vanes = {
    .outer = 0.355, .inner = 0.245, .count = 48, .gap = 0.0144, .solid = 0.25};

static double disc_free(double V, const mbl_air *air)
{
    return mbl_film_disc_free(V / 0.318, 0.1775, air);
}
static double disc_flow(double V, const mbl_air *air)
{
    return mbl_film_disc_flow(V, 0.355, air);
}
static double channel(double V, const mbl_air *air)
{
    return mbl_film_channel(V, 0.0136, 0.065, air);
}
static double vanes(double V, const mbl_air *air)
{
    return mbl_film_vanes(mbl_vanes_speed(V / 0.318, &scan_vanes, 0.5), &scan_vanes, air);
}
static double across(double V, const mbl_air *air)
{
    return mbl_film_across(V, 0.09, air);
}

static const struct {
    const char *name;
    double (*law)(double V, const mbl_air *air);
} laws[] = {{"disc_free", disc_free},
            {"disc_flow", disc_flow},
            {"channel", channel},
            {"vanes", vanes},
            {"across", across}};
enum { LAWS = sizeof laws / sizeof laws[0] };

/* Largest relative rise from one of n places of a scan to the next; fails if the law falls. */
static double scan(int which, const mbl_air *air, double from, double to, int n)
{
    double worst = 0;
    double before = laws[which].law(from, air);
    assert_true(isfinite(before) && before >= 0);
    for (int i = 1; i <= n; i++) {
        double now = laws[which].law(from + (to - from) * i / n, air);
        if (!(now >= before))
            fail_msg("%s falls from %.9g to %.9g near %g m/s", laws[which].name, before, now,
                     from + (to - from) * i / n);
        worst = fmax(worst, (now - before) / before);
        before = now;
    }
    return worst;
}

static void every_film_rises_with_speed_and_never_jumps(void **state)
{
    (void)state;
    for (int which = 0; which < LAWS; which++) {
        for (double T = 250; T <= 1450; T += 150) {
            for (double p = 55e3; p <= 110e3; p += 25e3) {
                mbl_air air = mbl_air_at(0.5 * (T + 300), p);
                double coarse = scan(which, &air, 0.5, 130, 2000);
                double fine = scan(which, &air, 0.5, 130, 8000);
                /* steps a quarter as long: what does not jump rises about a quarter as much */
                if (!(fine < 0.3 * coarse))
                    fail_msg("%s jumps: %g in a step, %g in a quarter of it", laws[which].name,
                             coarse, fine);
            }
        }
    }
}

static void every_film_vanishes_with_the_speed(void **state)
{
    (void)state;
    mbl_air air = mbl_air_at(400, 101325);
    for (int which = 0; which < LAWS; which++) {
        double still = laws[which].law(0, &air);
        /* Churchill and Bernstein leave 0.3 k/D of conduction */
        double conduction = which == 4 ? 0.3 * air.conductivity / 0.09 : 0;
        assert_near(still, 0, 1e-12);
        assert_near(laws[which].law(1e-9, &air), conduction, 0.02);
    }
}

static void still_air_cools_more_the_hotter_the_surface_without_a_jump(void **state)
{
    (void)state;
    for (double L = 0.05; L <= 0.45; L += 0.1) {
        double before = mbl_film_still(300, 300, L, 101325);
        /* conduction remains: 0.825^2 k/L */
        assert_close(before, 0.680625 * mbl_air_at(300, 101325).conductivity / L, 1e-12);
        double flow = 0;
        for (double T = 300.5; T <= 1450; T += 0.5) {
            double h = mbl_film_still(T, 300, L, 101325);
            /* at first as the fourth root of the difference, and steeper than that */
            assert_true(T < 302 || fabs(h - before) < 0.1 * before);
            assert_true(h * (T - 300) > flow); /* h itself may fall: hot air is viscous */
            flow = h * (T - 300);
            before = h;
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_disc_in_still_air_has_its_tabulated_films),
        cmocka_unit_test(the_laminar_film_of_a_disc_does_not_depend_on_its_radius),
        cmocka_unit_test(a_fast_disc_nears_the_turbulent_law),
        cmocka_unit_test(a_disc_in_the_flow_has_its_tabulated_films),
        cmocka_unit_test(the_branches_of_the_flow_law_are_kept_and_joined_between),
        cmocka_unit_test(a_channel_has_the_nusselt_numbers_of_a_duct),
        cmocka_unit_test(the_channel_law_rises_without_a_jump_for_short_and_long_channels),
        cmocka_unit_test(vanes_pump_at_the_published_inlet_speed),
        cmocka_unit_test(the_channels_of_a_ring_have_the_size_of_its_drawing),
        cmocka_unit_test(a_starved_channel_cools_by_what_its_air_can_carry),
        cmocka_unit_test(a_cylinder_across_the_flow_meets_the_textbook_example),
        cmocka_unit_test(a_plate_in_still_air_meets_the_textbook_example),
        cmocka_unit_test(two_mechanisms_add_by_their_cubes),
        cmocka_unit_test(every_film_rises_with_speed_and_never_jumps),
        cmocka_unit_test(every_film_vanishes_with_the_speed),
        cmocka_unit_test(still_air_cools_more_the_hotter_the_surface_without_a_jump),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
