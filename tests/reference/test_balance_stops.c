/* SPDX-License-Identifier: MIT */
/*
 * Distribution of the braking force by the statics that textbooks and UN R13-H use, and stops by
 * the figures of brake regulations. Of what slows a car only the brakes are left on, as there.
 */
#include "brake/brake.h"
#include "support/test.h"
#include "support/validation.h"

static const double g = 9.80665;

static const char statics[] = "statics of a braked car, textbook, from memory; computed";

/*
 * 1200 kg, 2.5 m, centre of gravity 1.2 m behind the front axle and 0.5 m high. Equal calipers and
 * pressures; the radii part the force.
 */
static mbl_car textbook_car(double front_share)
{
    mbl_car car = {.mass = 1200, .front_weight = 1.3 / 2.5, .cg_height = 0.5, .wheelbase = 2.5};
    car.tyre.radius = 0.3;
    car.front.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.rear.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.front.effective_radius = 0.2 * front_share;
    car.rear.effective_radius = 0.2 * (1 - front_share);
    return car;
}

static const mbl_instant still = {.mass = 1200, .density = 1.2, .mu = {0.4, 0.4}};

/* ---- distribution ---- */

static void the_ideal_distribution_is_that_of_the_statics(void **state)
{
    (void)state;
    static const struct {
        double z, share, front, rear, off;
    } rows[] = {{0.3, 0.58, 2048, 1483, 0.6},
                {0.6, 0.64, 4519, 2542, 0.6},
                {0.9, 0.70, 7414, 3177, 0.6},
                {1.2, 0.76, 10730, 3389, 5}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char what[96];
        double z = rows[i].z;
        /* a car that has the ideal share, pressed until it slows by z: no more than the loads */
        mbl_car car = textbook_car(rows[i].share);
        double p = mbl_pressure_for(&car, &still, z * g);
        snprintf(what, sizeof what, "1200 kg at %.1f g: ideal front share", z);
        validate(what, statics, rows[i].share, mbl_ideal_front(&car, &still, z * g), 1e-9);
        snprintf(what, sizeof what, "1200 kg at %.1f g: braking force of the front axle, N", z);
        validate(what, statics, rows[i].front, mbl_axle_force(&car, 0, &still, p), rows[i].off);
        snprintf(what, sizeof what, "1200 kg at %.1f g: braking force of the rear axle, N", z);
        validate(what, statics, rows[i].rear, mbl_axle_force(&car, 1, &still, p), rows[i].off);
    }
}

static void ideal_shares_of_three_layouts(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double weight, height, share;
    } rows[] = {{"53/47, h/L 0.18", 0.53, 0.18, 0.73},
                {"60/40, h/L 0.19", 0.60, 0.19, 0.81},
                {"45/55, h/L 0.17", 0.45, 0.17, 0.64}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_car car = textbook_car(0.7);
        car.front_weight = rows[i].weight;
        car.wheelbase = 2.6;
        car.cg_height = 2.6 * rows[i].height;
        char what[96];
        snprintf(what, sizeof what, "ideal front share at 1.1 g, %s", rows[i].name);
        validate(what, statics, rows[i].share, mbl_ideal_front(&car, &still, 1.1 * g), 0.005);
    }
}

/*
 * A fixed share of 0.68 is ideal at one deceleration, (0.68 - 0.52) L / h = 0.8 g. On less grip the
 * front locks first, at z = 0.52 k / (0.68 - 0.2 k); on more the rear, at 0.48 k / (0.32 + 0.2 k).
 */
static void a_fixed_distribution_locks_both_axles_at_one_deceleration(void **state)
{
    (void)state;
    static const struct {
        double grip, z;
        int axle;
    } rows[] = {{0.5, 0.4483, 0}, {0.7, 0.6741, 0}, {0.9, 0.8640, 1}, {1.1, 0.9778, 1}};
    mbl_car car = textbook_car(0.68);
    car.tyre.grip = 0.8;
    mbl_lock both = mbl_first_lock(&car, &still);
    validate("front share fixed at 0.68: both axles lock at, g", statics, 0.8,
             both.deceleration / g, 1e-6);
    validate("the same: ideal front share there", statics, 0.68, both.ideal, 1e-6);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        car.tyre.grip = rows[i].grip;
        mbl_lock lock = mbl_first_lock(&car, &still);
        char what[96];
        snprintf(what, sizeof what, "the same on grip %.1f: %s locks first at, g", rows[i].grip,
                 rows[i].axle == 0 ? "front" : "rear");
        validate(what, statics, rows[i].z, lock.deceleration / g, 6e-5);
        assert_int_equal(lock.axle, rows[i].axle);
    }
}

/* Adhesion used by an axle at z g: braking force over load. */
static double adhesion(const mbl_car *car, int axle, double z)
{
    double load[2];
    mbl_axle_loads(car, &still, z * g, load);
    return mbl_axle_force(car, axle, &still, mbl_pressure_for(car, &still, z * g)) / load[axle];
}

/*
 * UN R13-H annex 5 asks of a car without ABS that from 0.15 to 0.8 g the rear axle uses no more
 * adhesion than the front. The textbook car's share of 0.68 just meets that: its curves cross at
 * 0.8 g. With 0.65 they cross at 0.65 g, and it does not.
 */
static void adhesion_utilisation_is_that_of_the_regulation(void **state)
{
    (void)state;
    static const char source[] =
        "adhesion utilisation as in UN R13-H annex 5 (from memory); computed";
    static const struct {
        double z, front, rear;
    } rows[] = {
        {0.15, 0.1855, 0.1067}, {0.6, 0.6375, 0.5333}, {0.8, 0.8, 0.8}, {0.9, 0.8743, 0.96}};
    mbl_car car = textbook_car(0.68);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        char what[96];
        snprintf(what, sizeof what, "share 0.68 at %g g: adhesion used by the front", rows[i].z);
        validate(what, source, rows[i].front, adhesion(&car, 0, rows[i].z), 6e-5);
        snprintf(what, sizeof what, "share 0.68 at %g g: adhesion used by the rear", rows[i].z);
        validate(what, source, rows[i].rear, adhesion(&car, 1, rows[i].z), 6e-5);
    }
    mbl_car rearward = textbook_car(0.65);
    for (int hundredths = 15; hundredths <= 79; hundredths++) {
        double z = hundredths / 100.0;
        assert_true(adhesion(&car, 1, z) < adhesion(&car, 0, z));
        if (hundredths != 65)
            assert_int_equal(adhesion(&rearward, 1, z) < adhesion(&rearward, 0, z),
                             hundredths < 65);
    }
}

/* The lock by bisection on pressure is where the curve of the axle meets the grip. */
static void the_first_lock_is_where_a_curve_meets_the_grip(void **state)
{
    (void)state;
    mbl_car car = textbook_car(0.68);
    for (int tenths = 2; tenths <= 14; tenths++) {
        car.tyre.grip = tenths / 10.0;
        mbl_lock lock = mbl_first_lock(&car, &still);
        double z = lock.deceleration / g;
        assert_near(adhesion(&car, lock.axle, z), car.tyre.grip, 1e-9);
        assert_true(adhesion(&car, 1 - lock.axle, z) <= car.tyre.grip + 1e-9);
    }
}

/* ---- stops ---- */

static double kmh(double v)
{
    return v / 3.6;
}

/*
 * A regulation allows s = 0.1 v + k v^2 (v in km/h, s in m): the first part while the brakes come
 * on, the second a stop at the constant deceleration 1 / (2 x 3.6^2 k).
 */
static void stops_are_those_that_regulations_allow(void **state)
{
    (void)state;
    static const struct {
        const char *name, *source;
        double speed, a, distance, off;
    } rows[] = {
        {"cold stop from 100 km/h at 6.43 m/s2", "UN R13-H type 0, 0.1 v + 0.0060 v^2, from memory",
         100, 6.43, 70.0, 0.05},
        {"cold stop from 160 km/h, engine connected, 5.76 m/s2",
         "UN R13-H type 0, 0.1 v + 0.0067 v^2, from memory", 160, 5.76, 187.52, 0.1},
        {"cold stop from 80 km/h at 5.8 m/s2 (rounded up from 5.787)",
         "UN R13 for M1 before R13-H, 0.1 v + v^2/150, from memory", 80, 5.8, 50.67, 0.12},
        {"hot stop from 100 km/h at 4.884 m/s2", "FMVSS 135, 0.1 v + 0.0079 v^2, from memory", 100,
         4.884, 89.0, 0.05},
    };
    mbl_car car = textbook_car(0.7);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_stop stop = mbl_stop_of(&car, &still, kmh(rows[i].speed), 0, rows[i].a);
        char what[128];
        snprintf(what, sizeof what, "%s, with 0.1 v: m", rows[i].name);
        validate(what, rows[i].source, rows[i].distance, 0.1 * rows[i].speed + stop.distance,
                 rows[i].off);
    }
}

/* The other way: pressure held, and the deceleration that the distance comes to. */
static void the_distances_come_to_the_decelerations_that_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *name, *source;
        double speed, a, distance, off;
    } rows[] = {
        {"60 m from 100 km/h", "UN R13-H type 0, from memory; computed", 100, 6.430, 60.0, 6e-4},
        {"171.52 m from 160 km/h", "UN R13-H type 0, from memory; computed", 160, 5.758, 171.52,
         6e-4},
        {"79 m from 100 km/h", "FMVSS 135 hot stop, from memory; computed", 100, 4.884, 79.0, 6e-4},
    };
    mbl_car car = textbook_car(0.7);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        /* the pressure whose stop has that length */
        double low = 0;
        double high = 2e7;
        for (int turn = 0; turn < 60; turn++) {
            double p = 0.5 * (low + high);
            double s = mbl_stop_at_pressure(&car, &still, kmh(rows[i].speed), 0, p).distance;
            *(s > rows[i].distance ? &low : &high) = p;
        }
        double force =
            mbl_axle_force(&car, 0, &still, high) + mbl_axle_force(&car, 1, &still, high);
        char what[128];
        snprintf(what, sizeof what, "stop of %s at constant pressure: deceleration, m/s2",
                 rows[i].name);
        validate(what, rows[i].source, rows[i].a, force / still.mass, rows[i].off);
    }
}

static void a_snub_has_its_energy_time_and_distance(void **state)
{
    (void)state;
    static const char source[] = "Type-I test, directive 71/320/EEC II 1.3.1; m v^2/2, computed";
    mbl_car car = textbook_car(0.7);
    mbl_instant at = still;
    at.mass = 1600;
    mbl_stop snub = mbl_stop_of(&car, &at, kmh(120), kmh(60), 3);
    validate("1600 kg, 120 to 60 km/h at 3 m/s2: energy in the brakes, J", source, 6.667e5,
             snub.brake_energy, 60);
    validate("the same: time, s", source, 5.556, snub.time, 6e-4);
    validate("the same: distance, m", source, 138.9, snub.distance, 0.06);
    mbl_stop held = mbl_stop_at_pressure(&car, &at, kmh(120), kmh(60), snub.pressure[0]);
    validate("the same by its pressure, held: energy in the brakes, J", source, 6.667e5,
             held.brake_energy, 60);
    validate("the same by its pressure, held: distance, m", source, 138.9, held.distance, 0.06);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_ideal_distribution_is_that_of_the_statics),
        cmocka_unit_test(ideal_shares_of_three_layouts),
        cmocka_unit_test(a_fixed_distribution_locks_both_axles_at_one_deceleration),
        cmocka_unit_test(adhesion_utilisation_is_that_of_the_regulation),
        cmocka_unit_test(the_first_lock_is_where_a_curve_meets_the_grip),
        cmocka_unit_test(stops_are_those_that_regulations_allow),
        cmocka_unit_test(the_distances_come_to_the_decelerations_that_are_named),
        cmocka_unit_test(a_snub_has_its_energy_time_and_distance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
