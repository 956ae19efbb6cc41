/* SPDX-License-Identifier: MIT */
/* From the foot to the tyres, and where the stroke of the masters goes. */
#include "brake/brake.h"
#include "support/coupe.h"
#include "support/test.h"
#include "support/validation.h"

static const double sea = 101325;

static mbl_pedal pedal_of(const char *yaml)
{
    mbl_pedal pedal;
    test_fill(&mbl_pedal_schema, yaml, &pedal);
    return pedal;
}

/* Two masters of one bore (inches) and nothing lost on the way: what rules of thumb leave out. */
static mbl_pedal pair_of(double ratio, double bore)
{
    char yaml[192];
    snprintf(yaml, sizeof yaml,
             "{ ratio: %g, efficiency: 1, distribution: bar, master: { front: %.17g in, "
             "rear: %.17g in } }",
             ratio, bore, bore);
    return pedal_of(yaml);
}

/*
 * The rod's whole force goes into one master here, as into a tandem one. Four pistons of 38 mm, two
 * a side.
 */
static void the_worked_example_runs_from_foot_to_tyre(void **state)
{
    (void)state;
    static const char source[] = "hydraulic statics, worked example computed for this check";
    mbl_pedal pedal = pedal_of("{ ratio: 4.5, efficiency: 0.95, master: { bore: 19 mm } }");
    mbl_brake brake = {.effective_radius = 0.125};
    brake.caliper.pistons = (mbl_numbers){2, {0.038, 0.038}};
    const double mu = 0.42;
    const double tyre = 0.31;
    double p = mbl_pedal_pressure(&pedal, 400, sea);
    double area = mbl_caliper_area(&brake.caliper);
    double force = mbl_axle_gain(&brake, tyre) * mu * p;
    validate("400 N x 4.5 x 0.95 on a 19 mm bore, line pressure, MPa", source, 6.031, 1e-6 * p,
             5e-4);
    validate("two pistons of 38 mm on one side, cm2", source, 22.68, 1e4 * area, 5e-3);
    validate("one pad is pressed with, N", source, 1.368e4, p * area, 5);
    validate("torque of one rotor, friction 0.42 at 125 mm, N m", source, 1436, 0.5 * force * tyre,
             0.5);
    validate("both front tyres of 310 mm, N", source, 9267, force, 0.5);
    validate("effort that this pressure asks for, N", source, 400,
             mbl_pedal_effort(&pedal, 6.031e6, sea), 0.05);
}

static void two_masters_under_a_bar_share_the_force(void **state)
{
    (void)state;
    static const char source[] = "hydraulic statics without losses, computed to whole bars";
    static const struct {
        double effort, ratio, bore, bar;
        const char *name;
    } rows[] = {{450, 5.5, 0.75, 43, "450 N x 5.5, two 3/4 in masters"},
                {667, 6.2, 0.625, 104, "667 N x 6.2, two 5/8 in masters"}};
    for (int i = 0; i < 2; i++) {
        mbl_pedal pedal = pair_of(rows[i].ratio, rows[i].bore);
        mbl_distribution d = mbl_distribution_of(&pedal);
        double front = mbl_pedal_pressure(&pedal, rows[i].effort, sea);
        char what[96];
        snprintf(what, sizeof what, "%s, bar in the middle, front, bar", rows[i].name);
        validate(what, source, rows[i].bar, 1e-5 * front, 0.5);
        snprintf(what, sizeof what, "%s, bar in the middle, rear, bar", rows[i].name);
        validate(what, source, rows[i].bar, 1e-5 * mbl_rear_pressure(&d, front), 0.5);
    }
    mbl_pedal tandem = pedal_of("{ ratio: 5.5, efficiency: 1, master: { bore: 0.75 in } }");
    mbl_pedal pair = pair_of(5.5, 0.75);
    validate("pressure of two masters over that of a tandem one of their bore",
             "trade articles: a bar halves the force on each master", 0.5,
             mbl_pedal_pressure(&pair, 450, sea) / mbl_pedal_pressure(&tandem, 450, sea), 1e-12);
}

static double stroke_beyond_free(const mbl_car *car)
{
    mbl_travel t = mbl_pedal_travel(car, 5e6, &(mbl_travel_at){0});
    return t.stroke[0] - car->pedal.master.free;
}

/* The ranges are in whole percents, so half of one is allowed at each end. */
static void a_step_of_the_bore_trades_pressure_for_volume(void **state)
{
    (void)state;
    static const char source[] = "common practice, no source: a range in whole percents";
    static const int sixteenths[] = {10, 12, 13, 14, 15};
    for (int i = 0; i < 5; i++) {
        mbl_car small = test_coupe();
        mbl_car large = small;
        small.pedal = pair_of(5.5, sixteenths[i] / 16.0);
        large.pedal = pair_of(5.5, (sixteenths[i] + 1) / 16.0);
        double pressure =
            mbl_pedal_pressure(&large.pedal, 450, sea) / mbl_pedal_pressure(&small.pedal, 450, sea);
        /* the same volume takes less stroke, so the same stroke moves more volume */
        double volume = stroke_beyond_free(&small) / stroke_beyond_free(&large);
        char what[96];
        snprintf(what, sizeof what, "bore from %d/16 to %d/16 in, change of pressure, %%",
                 sixteenths[i], sixteenths[i] + 1);
        /* geometry alone puts the smallest bores outside: (10/11)^2 is 17 % down */
        void (*check)(const char *, const char *, double, double, double) =
            i == 0 ? validate_not_met : validate_between;
        check(what, source, -15.5, -11.5, 100 * (pressure - 1));
        snprintf(what, sizeof what, "bore from %d/16 to %d/16 in, change of volume per stroke, %%",
                 sixteenths[i], sixteenths[i] + 1);
        check(what, source, 12.5, 17.5, 100 * (volume - 1));
    }
}

/* 25 cm2 on one side of every caliper, a master of 19 mm for each axle. */
static void knock_back_costs_stroke(void **state)
{
    (void)state;
    static const char source[] = "geometry, computed to whole figures";
    mbl_car car = test_coupe();
    car.pedal = pedal_of("{ ratio: 5.2, knock_back: 0.3 mm, distribution: bar, "
                         "master: { front: 19 mm, rear: 19 mm } }");
    const double piston = sqrt(4 * 25e-4 / M_PI);
    car.front.caliper.pistons = car.rear.caliper.pistons = (mbl_numbers){1, {piston}};
    mbl_travel before = mbl_pedal_travel(&car, 5e6, &(mbl_travel_at){0});
    mbl_travel after = mbl_pedal_travel(&car, 5e6, &(mbl_travel_at){.knocked_back = true});
    validate("0.3 mm of knock-back on 25 cm2, two sides, two calipers, mL", source, 3,
             1e6 * (after.volume[0] - before.volume[0]), 1e-6);
    validate("that volume as stroke of a 19 mm master, rounded down, mm", source, 10,
             1e3 * (after.stroke[0] - before.stroke[0]), 0.6);
    validate("3 mL on 19 mm, stroke, mm", "geometry, computed", 10.581,
             1e3 * (after.stroke[0] - before.stroke[0]), 5e-4);
    validate("that stroke in both masters at the pad of a pedal of ratio 5.2 (the ratio is a "
             "choice), mm",
             source, 55, 1e3 * (after.pad - before.pad), 1);
}

/* Both axles have the same pressure; each has half of the fluid. */
static void liquid_gives_under_pressure(void **state)
{
    (void)state;
    static const struct {
        double modulus, ml, tolerance;
    } rows[] = {{1.6e9, 0.6562, 6e-5}, {1.0e9, 1.050, 5e-4}};
    mbl_car car = test_coupe();
    car.pedal = pedal_of("{ ratio: 5, fluid_volume: 150 ml, master: { bore: 25 mm } }");
    for (int i = 0; i < 2; i++) {
        car.fluid.bulk_modulus = rows[i].modulus;
        char what[96];
        snprintf(what, sizeof what, "150 mL of fluid of %.1f GPa give at 7 MPa, mL",
                 1e-9 * rows[i].modulus);
        validate(what, "V p / K, computed; moduli of glycol fluid from memory", rows[i].ml,
                 1e6 * mbl_pedal_travel(&car, 7e6, &(mbl_travel_at){0}).fluid, rows[i].tolerance);
    }
}

/* 79.5 kPa is the standard atmosphere at 2000 m. */
static void a_vacuum_booster_fades_with_the_air(void **state)
{
    (void)state;
    mbl_pedal pedal = pedal_of("{ ratio: 4, efficiency: 1, master: { bore: 25 mm }, booster: { "
                               "gain: 4, assist: 3500 N } }");
    mbl_pedal bare = pedal;
    bare.booster.gain = 1;
    const double area = M_PI / 4 * 0.025 * 0.025;
    double added =
        area * (mbl_pedal_pressure(&pedal, 800, 79.5e3) - mbl_pedal_pressure(&bare, 800, 79.5e3));
    validate("a booster of 3500 N run out at 2000 m adds, N",
             "ISO 2533 standard atmosphere (79.5 kPa, from memory), computed", 2746, added, 1);
    validate("it runs out at 2000 m at an effort of, N",
             "ISO 2533 standard atmosphere (79.5 kPa, from memory), computed", 228.8,
             mbl_pedal_run_out(&pedal, 79.5e3), 0.1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worked_example_runs_from_foot_to_tyre),
        cmocka_unit_test(two_masters_under_a_bar_share_the_force),
        cmocka_unit_test(a_step_of_the_bore_trades_pressure_for_volume),
        cmocka_unit_test(knock_back_costs_stroke),
        cmocka_unit_test(liquid_gives_under_pressure),
        cmocka_unit_test(a_vacuum_booster_fades_with_the_air),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
