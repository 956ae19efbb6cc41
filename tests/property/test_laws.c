/* SPDX-License-Identifier: MIT */
/*
 * The laws over their whole domain: continuous, and never the wrong way. MBL_CASES cases (200 when
 * not set; a quarter of them for the films, which are dear), a failing one named by its seed.
 */
#include "support/random_car.h"
#include "support/test.h"

static const double sea = 101325;

static mbl_duct random_duct(random_source *r)
{
    mbl_duct d = {.bore = random_between(r, 0.03, 0.15),
                  .length = random_between(r, 0.05, 4),
                  .bends = random_below(r, 7),
                  .inlet = random_below(r, 3),
                  .recovery = random_below(r, 2) ? NAN : random_between(r, 0.2, 1),
                  .hose = random_below(r, 3),
                  .hoses = 1 + random_below(r, 3),
                  .taped = random_below(r, 2) ? 0 : random_between(r, 0, 0.9),
                  .back_pressure = random_between(r, 0, 0.15),
                  .aim = random_below(r, 4),
                  .present = true};
    d.split = 1 + random_below(r, d.hoses);
    return d;
}

static mbl_air random_air(random_source *r)
{
    return mbl_air_at(random_between(r, 250, 330), random_between(r, 55e3, 105e3));
}

/* ---- along a line ---- */

typedef struct line {
    double (*law)(const void *ctx, double x);
    const void *ctx;
    double from, to;
    bool falls;
} line;

/* Largest step of the law over n places relative to its range; fails where it turns back. */
static double widest_step(const line *l, int n, int seed, const char *what)
{
    double sign = l->falls ? -1 : 1;
    double first = l->law(l->ctx, l->from);
    double before = first;
    double widest = 0;
    for (int i = 1; i <= n; i++) {
        double x = l->from + (l->to - l->from) * i / n;
        double now = l->law(l->ctx, x);
        if (!(sign * (now - before) >= -1e-12 * fabs(before)))
            fail_msg("case %d: %s goes from %.12g to %.12g at %g", seed, what, before, now, x);
        widest = fmax(widest, fabs(now - before));
        before = now;
    }
    double range = fabs(before - first);
    return range > 0 ? widest / range : 0;
}

/*
 * Goes one way, and without a jump: with steps an eighth as long the widest of them shrinks. At a
 * jump it would not; where the law leaves zero as a root, it does by a power of a third.
 */
static void goes_one_way(const line *l, int seed, const char *what)
{
    double coarse = widest_step(l, 100, seed, what);
    double fine = widest_step(l, 800, seed, what);
    if (!(fine <= 0.7 * coarse || coarse == 0))
        fail_msg("case %d: %s jumps by %g of its range, by %g in steps an eighth as long", seed,
                 what, coarse, fine);
}

/* ---- ducts ---- */

typedef struct duct_case {
    mbl_duct duct;
    mbl_air air;
    double speed;
} duct_case;

static double flow_at_speed(const void *ctx, double V)
{
    const duct_case *c = ctx;
    return mbl_duct_flow(&c->duct, V, &c->air);
}

static double flow_with_bore(const void *ctx, double bore)
{
    duct_case c = *(const duct_case *)ctx;
    c.duct.bore = bore;
    return mbl_duct_flow(&c.duct, c.speed, &c.air);
}

static double flow_with_length(const void *ctx, double length)
{
    duct_case c = *(const duct_case *)ctx;
    c.duct.length = length;
    return mbl_duct_flow(&c.duct, c.speed, &c.air);
}

static double flow_when_taped(const void *ctx, double taped)
{
    duct_case c = *(const duct_case *)ctx;
    c.duct.taped = taped;
    return mbl_duct_flow(&c.duct, c.speed, &c.air);
}

static void a_duct_gives_more_air_for_more_speed_and_bore_and_less_for_tape(void **state)
{
    (void)state;
    int cases = random_cases(200);
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 5000};
        duct_case c = {random_duct(&r), random_air(&r), 0};
        c.speed = random_between(&r, 1, 100);
        goes_one_way(&(line){flow_at_speed, &c, 0, 110, false}, seed, "flow over speed");
        goes_one_way(&(line){flow_with_bore, &c, 0.02, 0.2, false}, seed, "flow over bore");
        goes_one_way(&(line){flow_with_length, &c, 0.05, 6, true}, seed, "flow over length");
        goes_one_way(&(line){flow_when_taped, &c, 0, 1, true}, seed, "flow over tape");
        double straight = mbl_duct_flow(&c.duct, c.speed, &c.air);
        c.duct.bends++;
        assert_true(mbl_duct_flow(&c.duct, c.speed, &c.air) < straight);
        /* no duct makes air: the hose never flows faster than the car, nor with a back pressure */
        assert_true(mbl_duct_speed(&c.duct, c.speed, &c.air) < c.speed);
        c.duct.back_pressure = 1;
        assert_near(mbl_duct_flow(&c.duct, c.speed, &c.air), 0, 0);
    }
}

/* ---- films ---- */

static const struct {
    mbl_surface surface;
    const char *name;
} surfaces[] = {{MBL_SURFACE_FACE, "face"},
                {MBL_SURFACE_RIM, "rim"},
                {MBL_SURFACE_VANES, "vanes"},
                {MBL_SURFACE_CALIPER, "caliper"},
                {MBL_SURFACE_HUB, "hub"}};
enum { SURFACES = sizeof surfaces / sizeof surfaces[0] };

typedef struct film_case {
    mbl_surroundings at;
    mbl_surface surface;
    double T;
} film_case;

static double film_at_speed(const void *ctx, double V)
{
    const film_case *c = ctx;
    return mbl_surface_film(&c->at, c->surface, V, c->T);
}

/* Heat given off, W/m2: the film itself may fall as the air at the wall gets hot. */
static double loss_at_temperature(const void *ctx, double T)
{
    const film_case *c = ctx;
    return mbl_surface_film(&c->at, c->surface, 0, T) * (T - c->at.ambient);
}

static mbl_surroundings random_surroundings(random_source *r, const mbl_brake *b, double radius)
{
    return (mbl_surroundings){.brake = b,
                              .tyre_radius = radius,
                              .ambient = random_between(r, 263, 318),
                              .p = random_between(r, 55e3, 105e3),
                              .vanes = mbl_ring_of(&b->rotor).channels};
}

static void every_surface_cools_better_at_more_speed(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 6000};
        mbl_car car = random_car((uint64_t)seed);
        if (random_below(&r, 2))
            car.front.duct = random_duct(&r);
        car.front.rotor.hat = random_below(&r, 2);
        car.front.rotor.vane = random_below(&r, 3);
        film_case c = {.at = random_surroundings(&r, &car.front, car.tyre.radius)};
        for (int i = 0; i < SURFACES; i++) {
            c.surface = surfaces[i].surface;
            if (c.surface == MBL_SURFACE_VANES && c.at.vanes.count == 0)
                continue;
            c.T = random_between(&r, c.at.ambient, 1300);
            goes_one_way(&(line){film_at_speed, &c, 0, 110, false}, seed, surfaces[i].name);
            goes_one_way(&(line){loss_at_temperature, &c, c.at.ambient, 1300, false}, seed,
                         surfaces[i].name);
        }
    }
}

/*
 * A sealed plate shuts the rotor's own pumping, so with little air from the hose it may cool worse
 * than none; what the other aims bring comes on top.
 */
static void a_duct_that_seals_nothing_never_cools_worse_than_none(void **state)
{
    (void)state;
    int cases = random_cases(200);
    int worse_sealed = 0;
    int sealed = 0;
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 7000};
        mbl_car car = random_car((uint64_t)seed);
        mbl_brake with = car.front;
        with.duct = random_duct(&r);
        mbl_surroundings bare = random_surroundings(&r, &car.front, car.tyre.radius);
        mbl_surroundings ducted = bare;
        ducted.brake = &with;
        for (int i = 0; i < SURFACES; i++) {
            if (surfaces[i].surface == MBL_SURFACE_VANES && bare.vanes.count == 0)
                continue;
            double V = random_between(&r, 0, 100);
            double T = random_between(&r, bare.ambient, 1300);
            double less = mbl_surface_film(&bare, surfaces[i].surface, V, T);
            double more = mbl_surface_film(&ducted, surfaces[i].surface, V, T);
            if (with.duct.aim == MBL_AIM_EYE && surfaces[i].surface == MBL_SURFACE_VANES) {
                sealed++;
                worse_sealed += more < less;
            } else if (!(more >= less * (1 - 1e-12))) {
                fail_msg("case %d: %s %.9g W/m2K with a duct, %.9g without, at %g m/s", seed,
                         surfaces[i].name, more, less, V);
            }
        }
    }
    printf("%d cases: vanes behind a sealed plate cool worse than without in %d of %d\n", cases,
           worse_sealed, sealed);
}

/* ---- fluid ---- */

typedef struct fluid_case {
    mbl_fluid fluid;
    double water, p;
} fluid_case;

static double boils_with(const void *ctx, double water)
{
    const fluid_case *c = ctx;
    return mbl_boiling_point(&c->fluid, water, c->p);
}

static double boils_under(const void *ctx, double p)
{
    const fluid_case *c = ctx;
    return mbl_boiling_point(&c->fluid, c->water, p);
}

static void fluid_boils_sooner_with_water_and_later_under_pressure(void **state)
{
    (void)state;
    int cases = random_cases(200);
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 8000};
        double dry = random_between(&r, 450, 620);
        fluid_case c = {.fluid = {.grade = random_below(&r, 10) - 1,
                                  .dry = dry,
                                  .wet = dry - random_between(&r, 20, 100)},
                        .water = random_between(&r, 0, 0.08),
                        .p = random_between(&r, 50e3, 12e6)};
        if (c.fluid.grade >= 0 && random_below(&r, 2))
            c.fluid.dry = c.fluid.wet = NAN;
        bool apart = mbl_fluid_keeps_water_apart(&c.fluid);
        if (!apart)
            goes_one_way(&(line){boils_with, &c, 0, 0.10, true}, seed, "boiling over water");
        goes_one_way(&(line){boils_under, &c, 50e3, 20e6, false}, seed, "boiling over pressure");
        double of_water = mbl_water_boiling(c.p);
        double boils = boils_with(&c, c.water);
        /* dissolved, water lowers the point but never below its own; apart, it boils by itself */
        assert_true(apart ? boils <= of_water : boils >= of_water);
        assert_true(boils <= boils_with(&c, 0));
    }
}

/* ---- what heat divides by ---- */

typedef struct split_case {
    mbl_interface face;
    double film, skin, depth, swept;
} split_case;

static double share_with(const void *ctx, double k_pad)
{
    split_case c = *(const split_case *)ctx;
    c.face.k_pad = k_pad;
    c.face.pad_half = c.depth / (k_pad * c.face.area);
    double to_rotor;
    double to_pad;
    mbl_interface_sides(&c.face, c.film, &to_rotor, &to_pad);
    double share = to_rotor / (to_rotor + to_pad);
    if (!(share > 0 && share < 1))
        fail_msg("a share of %g", share);
    return share;
}

static void a_pad_that_conducts_better_takes_more_of_the_heat(void **state)
{
    (void)state;
    int cases = random_cases(200);
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 9000};
        split_case c = {.film = exp(random_between(&r, log(100), log(1e6))),
                        .skin = random_between(&r, 1e-4, 1e-3),
                        .depth = random_between(&r, 1e-4, 1e-3),
                        .swept = random_between(&r, 3, 12)};
        c.face.area = random_between(&r, 2e-3, 3e-2);
        c.face.k_rotor = random_between(&r, 30, 60);
        c.face.rotor_half = c.skin / (c.face.k_rotor * c.face.area * c.swept);
        goes_one_way(&(line){share_with, &c, 0.3, 40, true}, seed, "share of the rotor");
    }
}

/* ---- air and metals ---- */

static double water_at(const void *ctx, double p)
{
    (void)ctx;
    return mbl_water_boiling(p);
}

static double enthalpy_at(const void *ctx, double T)
{
    (void)ctx;
    return mbl_iron_enthalpy(T);
}

static double pressure_at(const void *ctx, double altitude)
{
    (void)ctx;
    return mbl_air_pressure(altitude);
}

static double viscosity_at(const void *ctx, double T)
{
    (void)ctx;
    return mbl_air_at(T, sea).viscosity;
}

static double density_at(const void *ctx, double T)
{
    (void)ctx;
    return mbl_air_at(T, sea).density;
}

static void properties_go_one_way(void **state)
{
    (void)state;
    goes_one_way(&(line){water_at, NULL, 1000, 22e6, false}, 0, "boiling of water");
    goes_one_way(&(line){enthalpy_at, NULL, 200, 1800, false}, 0, "enthalpy of iron");
    goes_one_way(&(line){pressure_at, NULL, -500, 5000, true}, 0, "pressure of the air");
    goes_one_way(&(line){viscosity_at, NULL, 150, 1900, false}, 0, "viscosity of air");
    goes_one_way(&(line){density_at, NULL, 150, 1900, true}, 0, "density of air");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_duct_gives_more_air_for_more_speed_and_bore_and_less_for_tape),
        cmocka_unit_test(every_surface_cools_better_at_more_speed),
        cmocka_unit_test(a_duct_that_seals_nothing_never_cools_worse_than_none),
        cmocka_unit_test(fluid_boils_sooner_with_water_and_later_under_pressure),
        cmocka_unit_test(a_pad_that_conducts_better_takes_more_of_the_heat),
        cmocka_unit_test(properties_go_one_way),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
