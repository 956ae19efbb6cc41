/* SPDX-License-Identifier: MIT */
/* Networks with a closed form. Expected values are computed from it, to the digits given. */
#include "reference/bench.h"
#include "support/validation.h"

/* One lump: 8 kg at 500 J/kgK, 0.20 m2 at 60 W/m2K, air at 20 C: time constant 333.3 s. */
static void a_single_lump_cools_along_its_exponential(void **state)
{
    (void)state;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int lump = mbl_network_node(&net, "lump", 8 * 500.0);
    mbl_network_lose(&net, lump, 60 * 0.20, mbl_network_path(&net, "air"));
    mbl_block *b = bench_block(&net, kelvin(20));
    mbl_block_start(b, kelvin(400));
    for (int i = 1; i <= 100; i++) {
        bench_run(b, 0.1, 120, NULL);
        double want = 20 + 380 * exp(-12.0 * i / 333.33333333333333);
        assert_near(celsius(b->T[0]), want, 1e-4);
        if (i == 10)
            validate("8 kg at 500 J/kgK, 12 W/K, 400 C in air of 20 C, after 120 s, C",
                     "exponential, computed", 285.1, celsius(b->T[0]), 0.06);
    }
    mbl_block_free(b);
}

static double film_of_60(const void *ctx, double speed, double T)
{
    (void)ctx;
    (void)speed;
    (void)T;
    return 60;
}

static void a_film_of_constant_coefficient_is_a_fixed_loss(void **state)
{
    (void)state;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int lump = mbl_network_node(&net, "lump", 4000);
    mbl_network_film(&net, lump, 0.20, mbl_network_law(&net, film_of_60, NULL),
                     mbl_network_path(&net, "air"));
    mbl_block *b = bench_block(&net, kelvin(20));
    mbl_block_start(b, kelvin(400));
    bench_run(b, 0.1, 1200, NULL);
    assert_near(celsius(b->T[0]), 285.1, 0.06);
    mbl_block_free(b);
}

/* 3500 and 400 J/K joined by 2 W/K, from 400 and 100 C: tau 179.5 s, both end at 369.2 C. */
static void two_bodies_equalise_and_keep_their_heat(void **state)
{
    (void)state;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    mbl_network_node(&net, "hot", 3500);
    mbl_network_node(&net, "cold", 400);
    mbl_network_link(&net, 0, 1, 2);
    mbl_block *b = bench_block(&net, kelvin(20));
    mbl_block_set(b, 0, 0, kelvin(400));
    mbl_block_set(b, 0, 1, kelvin(100));
    double before = b->H[0] + b->H[1];
    bench_run(b, 0.05, 1200, NULL);
    static const char source[] = "two lumps joined, closed form, computed";
    validate("3500 and 400 J/K joined by 2 W/K, 400 and 100 C: the large after 60 s, C", source,
             391.3, celsius(b->T[0]), 0.06);
    validate("the small after 60 s, C", source, 176.5, celsius(b->T[1]), 0.06);
    double apart = 300 * exp(-60 / (1 / (2 * (1 / 3500.0 + 1 / 400.0))));
    assert_near(b->T[0] - b->T[1], apart, 1e-4);
    bench_run(b, 5, 1000, NULL);
    validate("both in the end, C", source, 369.2, celsius(b->T[0]), 0.06);
    assert_near(b->T[0] - b->T[1], 0, 1e-8);
    assert_close(b->H[0] + b->H[1], before, 1e-14);
    mbl_block_free(b);
}

/*
 * From a rotor held at 500 C: pad 12 mm of 0.9 W/mK on 60 cm2, steel plate 6 mm of 50 W/mK,
 * contact 2000 W/m2K on 30 % of it, caliper 15 W/m2K on 0.12 m2, air at 25 C.
 */
static void a_series_chain_settles_on_its_resistances(void **state)
{
    (void)state;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int rotor = mbl_network_node(&net, "rotor", 1e10); /* as good as held */
    int plate = mbl_network_node(&net, "plate, pad side", 100);
    int far = mbl_network_node(&net, "plate, piston side", 100);
    int caliper = mbl_network_node(&net, "caliper", 2000);
    double area = 60e-4;
    mbl_network_link(&net, rotor, plate, 0.9 * area / 0.012);
    mbl_network_link(&net, plate, far, 50 * area / 0.006);
    mbl_network_link(&net, far, caliper, 2000 * 0.30 * area);
    mbl_network_lose(&net, caliper, 15 * 0.12, mbl_network_path(&net, "air"));
    mbl_block *b = bench_block(&net, kelvin(25));
    mbl_block_set(b, 0, rotor, kelvin(500));
    bench_run(b, 10, 3000, NULL);
    double lost = b->lost[0];
    bench_run(b, 10, 1, NULL);
    static const char source[] = "resistances in series, computed";
    validate("rotor at 500 C through pad, plate, contact and caliper to air: heat, W", source,
             154.4, (b->lost[0] - lost) / 10, 0.06);
    validate("the same: plate, C", source, 156.8, celsius(b->T[plate]), 0.06);
    validate("the same: caliper, C", source, 110.8, celsius(b->T[caliper]), 0.06);
    mbl_block_free(b);
}

/* 6 kW into a rotor, 60 W/m2K on 0.20 m2, emissivity 0.7 on 0.12 m2, air at 25 C. */
static void a_steady_drag_settles_between_convection_and_radiation(void **state)
{
    (void)state;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int rotor = mbl_network_iron(&net, "rotor", 7);
    int air = mbl_network_path(&net, "air");
    int radiation = mbl_network_path(&net, "radiation");
    mbl_network_source(&net, rotor);
    mbl_network_film(&net, rotor, 0.20, mbl_network_law(&net, film_of_60, NULL), air);
    mbl_network_radiate(&net, rotor, MBL_AMBIENT, 0.7 * 0.12, radiation);
    mbl_block *b = bench_block(&net, kelvin(25));
    double power = 6000;
    bench_run(b, 1, 5000, &power);
    double radiated = b->lost[radiation];
    double carried = b->lost[air];
    bench_run(b, 1, 1, &power);
    static const char source[] = "balance of convection and radiation, computed";
    validate("steady drag of 6 kW, 12 W/K, 0.084 m2 radiating: rotor, C", source, 430.7,
             celsius(b->T[rotor]), 0.06);
    validate("the same: radiated, W", source, 1131, b->lost[radiation] - radiated, 0.6);
    validate("the same: to the air, W", source, 6000 - 1131, b->lost[air] - carried, 0.6);
    assert_true(fabs(mbl_block_residual(b, 0)) < 1e-12);
    mbl_block_free(b);
}

/* Emissivity x area 0.084 m2, air at 25 C; W/m2K linearised and W, computed from the law. */
static void radiation_has_its_tabulated_coefficients(void **state)
{
    (void)state;
    static const struct {
        double emissivity, celsius, film;
    } rows[] = {{0.21, 200, 2.873},
                {0.64, 200, 8.755},
                {0.30, 600, 16.96},
                {0.70, 600, 39.58},
                {0.78, 600, 44.10}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_network net;
        mbl_network_init(&net, &mbl_alloc_libc);
        int node = mbl_network_node(&net, "plate", 1000);
        mbl_network_radiate(&net, node, MBL_AMBIENT, rows[i].emissivity,
                            mbl_network_path(&net, "radiation"));
        mbl_block *b = bench_block(&net, kelvin(25));
        mbl_block_start(b, kelvin(rows[i].celsius));
        double flow;
        mbl_block_flows(b, 0, 0, NULL, &flow);
        char what[96];
        snprintf(what, sizeof what, "emissivity %.2f at %g C in air of 25 C, as a film, W/m2K",
                 rows[i].emissivity, rows[i].celsius);
        validate(what, "Stefan-Boltzmann, computed", rows[i].film, -flow / (rows[i].celsius - 25),
                 3e-4 * rows[i].film);
        if (i == 3)
            validate("the same from 0.12 m2, W", "Stefan-Boltzmann, computed", 2731, -flow * 0.12,
                     0.6);
        mbl_block_free(b);
    }
}

typedef struct series {
    double rise, tau, cycle;
    int stops;
} series;

/* Stops of no length every `cycle`, from 60 C in air at 20 C; temperatures before and after. */
static void repeat_stops(const series *s, double *before, double *after)
{
    const double C = 4000;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int rotor = mbl_network_node(&net, "rotor", C);
    mbl_network_source(&net, rotor);
    mbl_network_lose(&net, rotor, C / s->tau, mbl_network_path(&net, "air"));
    mbl_block *b = bench_block(&net, kelvin(20));
    mbl_block_start(b, kelvin(60));
    const double instant = 1e-6;
    double power = C * s->rise / instant;
    for (int i = 0; i < s->stops; i++) {
        before[i] = celsius(b->T[rotor]);
        bench_run(b, instant, 1, &power);
        after[i] = celsius(b->T[rotor]);
        bench_run(b, s->cycle / 1000, 1000, NULL);
    }
    mbl_block_free(b);
}

/*
 * Limpert; Newcomb and Spurr 1967: T_a(n) = T_air + (T_0 - T_air) x^(n-1) + dT (1 - x^n)/(1 - x),
 * x = exp(-t_c/tau); form from memory, values computed: 60 K, 400 s, 39.44 s.
 */
static void repeated_stops_follow_the_geometric_series(void **state)
{
    (void)state;
    static const struct {
        int n;
        double before, after;
    } rows[] = {
        {1, 60, 120}, {2, 110.6, 170.6}, {5, 235.7, 295.7}, {10, 377.1, 437.1}, {15, 463.5, 523.5}};
    const series s = {60, 400, 39.44, 15};
    double before[15];
    double after[15];
    repeat_stops(&s, before, after);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        static const char source[] =
            "Limpert; Newcomb and Spurr 1967; series from memory, computed";
        char what[96];
        snprintf(what, sizeof what, "stops of 60 K each 39.44 s, tau 400 s: before stop %d, C",
                 rows[i].n);
        validate(what, source, rows[i].before, before[rows[i].n - 1], 0.06);
        snprintf(what, sizeof what, "stops of 60 K each 39.44 s, tau 400 s: after stop %d, C",
                 rows[i].n);
        validate(what, source, rows[i].after, after[rows[i].n - 1], 0.06);
    }
    enum { MANY = 80 };
    double last_before[MANY];
    double last_after[MANY];
    repeat_stops(&(series){60, 400, 39.44, MANY}, last_before, last_after);
    validate("stops of 60 K each 39.44 s, tau 400 s: after very many, C",
             "limit of the same series, computed", 659.0, last_after[MANY - 1], 0.5);
    double x = exp(-39.44 / 400);
    for (int n = 1; n <= 15; n++) {
        double want = 20 + 40 * pow(x, n - 1) + 60 * (1 - pow(x, n)) / (1 - x);
        assert_near(after[n - 1], want, 1e-3);
    }
}

/* A fade test of fifteen snubs, 51.58 K each 45 s: after the last, for three time constants. */
static void fifteen_snubs_end_where_the_series_says(void **state)
{
    (void)state;
    static const double tau[] = {250, 400, 600};
    static const double last[] = {315.3, 423.4, 516.1};
    for (int i = 0; i < 3; i++) {
        const series s = {51.58, tau[i], 45, 15};
        double before[15];
        double after[15];
        repeat_stops(&s, before, after);
        char what[96];
        snprintf(what, sizeof what, "fade test, 15 snubs of 51.58 K each 45 s, tau %g s: last, C",
                 tau[i]);
        validate(what, "the same series, computed", last[i], after[14], 0.1);
    }
}

/* Adiabatic: 2.052e5 J into 7 kg at 500 J/kgK is 58.64 K; into iron from 20 C by its enthalpy. */
static void a_stop_without_losses_heats_by_energy_over_capacity(void **state)
{
    (void)state;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    int rotor = mbl_network_node(&net, "rotor", 7 * 500.0);
    mbl_network_source(&net, rotor);
    mbl_block *b = bench_block(&net, kelvin(20));
    double power = 2.052e5 / 4;
    bench_run(b, 0.1, 40, &power);
    validate("2.052e5 J into 7 kg at 500 J/kgK: rise, K", "energy over capacity, computed", 58.64,
             b->T[rotor] - kelvin(20), 0.02);
    mbl_block_free(b);

    /* 20 to 600 C takes 3.143e5 J/kg: handbook specific heat from memory, trapezium rule */
    mbl_network_init(&net, &mbl_alloc_libc);
    rotor = mbl_network_iron(&net, "rotor", 7);
    mbl_network_source(&net, rotor);
    b = bench_block(&net, kelvin(20));
    power = 7 * 3.143e5 / 10;
    bench_run(b, 0.1, 100, &power);
    validate("3.143e5 J/kg into grey iron of 20 C: ends at, C",
             "handbook table, from memory; trapezium rule, computed", 600, celsius(b->T[rotor]),
             0.2);
    mbl_block_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_single_lump_cools_along_its_exponential),
        cmocka_unit_test(a_film_of_constant_coefficient_is_a_fixed_loss),
        cmocka_unit_test(two_bodies_equalise_and_keep_their_heat),
        cmocka_unit_test(a_series_chain_settles_on_its_resistances),
        cmocka_unit_test(a_steady_drag_settles_between_convection_and_radiation),
        cmocka_unit_test(radiation_has_its_tabulated_coefficients),
        cmocka_unit_test(repeated_stops_follow_the_geometric_series),
        cmocka_unit_test(fifteen_snubs_end_where_the_series_says),
        cmocka_unit_test(a_stop_without_losses_heats_by_energy_over_capacity),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
