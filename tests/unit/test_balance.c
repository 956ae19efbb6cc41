/* SPDX-License-Identifier: MIT */
/*
 * Literals are worked by hand (statics, closed forms) unless another source is named. Standard
 * gravity is 9.80665 m/s2.
 */
#include "brake/balance.h"
#include "brake/friction.h"
#include "support/test.h"

static const double g = 9.80665;
static const double sea = 101325;

/*
 * 1200 kg, 2.5 m, centre of gravity 1.2 m behind the front axle and 0.5 m high; one piston of
 * 50 mm a side on radii that give the front 0.68 of the braking force at equal pressures. Nothing
 * but the brakes slows it. The front gains 3.5604717e-3 N/Pa per friction, the rear 1.6755161e-3.
 */
static mbl_car plain_car(void)
{
    mbl_car car = {.mass = 1200, .front_weight = 0.52, .cg_height = 0.5, .wheelbase = 2.5};
    car.tyre.radius = 0.3;
    car.tyre.grip = 0.7;
    car.front.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.rear.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.front.effective_radius = 0.136;
    car.rear.effective_radius = 0.064;
    return car;
}

static const mbl_instant at_rest = {.mass = 1200, .density = 1.2, .mu = {0.4, 0.4}};
static const mbl_instant at_50 = {.mass = 1200, .speed = 50, .density = 1.2, .mu = {0.4, 0.4}};

/* The same with air, rolling resistance, engine and rotating parts. */
static mbl_car whole_car(void)
{
    mbl_car car = plain_car();
    car.rotating = 0.04;
    car.rolling = 0.015;
    car.engine_braking = 0.4;
    car.aero.drag_area = 0.7;
    car.aero.downforce_area = 2;
    car.aero.front_share = 0.4;
    car.tyre.grip = 0.9;
    return car;
}

static void give_bar(mbl_car *car)
{
    car->pedal = (mbl_pedal){.present = true,
                             .ratio = 4.5,
                             .efficiency = 0.95,
                             .distribution = MBL_DISTRIBUTION_BAR,
                             .balance = 0.5,
                             .per_turn = 0.012,
                             .knee = NAN,
                             .slope = 0.3,
                             .master = {.bore = NAN, .front = 0.019, .rear = 0.019},
                             .booster = {.gain = 1},
                             .stab = 4000};
}

static void give_valve(mbl_car *car, double knee, double slope)
{
    car->pedal = (mbl_pedal){.present = true,
                             .ratio = 4.5,
                             .efficiency = 0.95,
                             .distribution = MBL_DISTRIBUTION_VALVE,
                             .balance = NAN,
                             .knee = knee,
                             .slope = slope,
                             .master = {.bore = 0.019, .front = NAN, .rear = NAN},
                             .booster = {.gain = 1},
                             .stab = 4000};
}

/* ---- loads and grip ---- */

static void deceleration_and_downforce_move_load(void **state)
{
    (void)state;
    mbl_car car = whole_car();
    double load[2];
    mbl_axle_loads(&car, &at_rest, 0, load);
    assert_near(load[0], 6119.350, 1e-3);
    assert_near(load[1], 5648.630, 1e-3);
    /* 1200 x 10 x 0.2 = 2400 N forward; downforce 1/2 1.2 2 50^2 = 3000 N, 0.4 of it in front */
    mbl_axle_loads(&car, &at_50, 10, load);
    assert_near(load[0], 6119.350 + 2400 + 1200, 1e-3);
    assert_near(load[1], 5648.630 - 2400 + 1800, 1e-3);
}

static void an_axle_off_the_ground_carries_nothing_and_the_other_all(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    car.tyre.load_sensitivity = 0.1;
    double load[2];
    /* the rear lifts at 0.48 g x 2.5 / 0.5 = 2.4 g */
    mbl_axle_loads(&car, &at_rest, 2.39 * g, load);
    assert_true(load[1] > 0);
    mbl_axle_loads(&car, &at_rest, 2.41 * g, load);
    assert_near(load[0], 11767.98, 1e-6);
    assert_near(load[1], 0, 0);
    assert_near(mbl_tyre_grip(&car, 1, load[1]) * load[1], 0, 0);
    assert_near(mbl_ideal_front(&car, &at_rest, 2.41 * g), 1, 0);
    mbl_axle_loads(&car, &at_rest, -30, load);
    assert_near(load[0], 0, 0);
    assert_near(load[1], 11767.98, 1e-6);
}

static void a_tyre_loses_its_share_when_its_load_doubles(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    car.tyre.load_sensitivity = 0.1;
    const double rest[2] = {6119.3496, 5648.6304};
    for (int axle = 0; axle < 2; axle++) {
        assert_near(mbl_tyre_grip(&car, axle, rest[axle]), 0.7, 1e-12);
        assert_near(mbl_tyre_grip(&car, axle, 2 * rest[axle]), 0.63, 1e-12);
        assert_near(mbl_tyre_grip(&car, axle, 4 * rest[axle]), 0.567, 1e-12);
        assert_near(mbl_tyre_grip(&car, axle, 0.5 * rest[axle]), 0.7 / 0.9, 1e-12);
    }
    car.tyre.load_sensitivity = 0;
    assert_near(mbl_tyre_grip(&car, 0, 20000), 0.7, 1e-15);
    /* what rides along costs grip: the load at rest is that of the car on the scales */
    car.tyre.load_sensitivity = 0.1;
    mbl_instant loaded = at_rest;
    loaded.mass = 2400;
    double load[2];
    mbl_axle_loads(&car, &loaded, 0, load);
    assert_near(mbl_tyre_grip(&car, 1, load[1]), 0.63, 1e-12);
}

/* ---- shares ---- */

static void the_ideal_share_is_that_of_the_loads_less_what_a_loaded_tyre_loses(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    assert_near(mbl_ideal_front(&car, &at_rest, 0), 0.52, 1e-15);
    assert_near(mbl_ideal_front(&car, &at_rest, 9), 0.7035489, 1e-7);
    car.tyre.grip = NAN;
    car.tyre.load_sensitivity = 0.1;
    assert_near(mbl_ideal_front(&car, &at_rest, 9), 0.6780997, 1e-7);
}

static void downforce_at_the_rear_moves_the_ideal_back(void **state)
{
    (void)state;
    mbl_car car = whole_car();
    double still = mbl_ideal_front(&car, &at_rest, 9);
    /* (6119.350 + 2160 + 1200) / (11767.98 + 3000) */
    assert_near(mbl_ideal_front(&car, &at_50, 9), 0.641886, 1e-6);
    assert_true(mbl_ideal_front(&car, &at_50, 9) < still);
    car.aero.front_share = 1;
    assert_true(mbl_ideal_front(&car, &at_50, 9) > still);
}

static void the_force_of_an_axle_follows_valve_friction_and_pressure_effect(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    const double front = 3.5604717e-3;
    const double rear = 1.6755161e-3;
    assert_close(mbl_axle_force(&car, 0, &at_rest, 5e6), front * 0.4 * 5e6, 1e-7);
    assert_close(mbl_axle_force(&car, 1, &at_rest, 5e6), rear * 0.4 * 5e6, 1e-7);
    assert_near(mbl_actual_front(&car, &at_rest, 5e6), 0.68, 1e-12);
    /* 80 bar: behind the valve 30 + 0.3 x 50 = 45 bar; 1 - 0.2 p / 100 bar makes 0.84 and 0.91 */
    give_valve(&car, 3e6, 0.3);
    mbl_curve falls = {.n = 2, .x = {0, 1e7}, .y = {1, 0.8}};
    car.front.pad.pressure_effect = falls;
    car.rear.pad.pressure_effect = falls;
    assert_near(mbl_axle_force(&car, 0, &at_rest, 8e6), 9570.548, 1e-3);
    assert_near(mbl_axle_force(&car, 1, &at_rest, 8e6), 2744.495, 1e-3);
    assert_near(mbl_actual_front(&car, &at_rest, 8e6), 0.777142, 1e-6);
    mbl_instant grabby = at_rest;
    grabby.mu[1] = 0.5;
    assert_near(mbl_axle_force(&car, 0, &grabby, 8e6), 9570.548, 1e-3);
    assert_near(mbl_axle_force(&car, 1, &grabby, 8e6), 2744.495 * 1.25, 1e-3);
}

static void a_released_pedal_gives_no_force_and_still_has_a_share(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    assert_near(mbl_axle_force(&car, 0, &at_rest, 0), 0, 0);
    assert_near(mbl_axle_force(&car, 1, &at_rest, 0), 0, 0);
    assert_near(mbl_actual_front(&car, &at_rest, 0), 0.68, 1e-12);
}

/* ---- pressure for a deceleration ---- */

static void pressure_gives_what_drag_rolling_and_engine_leave(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    assert_near(mbl_pressure_for(&car, &at_rest, 0), 0, 0);
    assert_near(mbl_pressure_for(&car, &at_rest, -2), 0, 0);
    /* 1200 x 8 / (0.4 x 5.2359878e-3) */
    assert_close(mbl_pressure_for(&car, &at_rest, 8), 4583662.4, 1e-7);
    /* 50 m/s: 1050 N of drag, 176.5197 of rolling, 480 of the engine: coasting is 1.367403 m/s2 */
    car = whole_car();
    assert_near(mbl_pressure_for(&car, &at_50, 1.367402), 0, 0);
    assert_true(mbl_pressure_for(&car, &at_50, 1.367404) > 0);
    /* (1248 x 8 - 1706.5197) / (0.4 x 5.2359878e-3) */
    assert_close(mbl_pressure_for(&car, &at_50, 8), 3952205.7, 1e-7);
}

static void pressure_is_found_through_valve_and_pressure_effect(void **state)
{
    (void)state;
    mbl_car car = whole_car();
    give_valve(&car, 3e6, 0.3);
    car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1, 0.8}};
    car.rear.pad.pressure_effect = car.front.pad.pressure_effect;
    /* the 12315.043 N of 80 bar and the 1706.5197 N that are there without brakes, on 1248 kg */
    assert_close(mbl_pressure_for(&car, &at_50, 14021.563 / 1248), 8e6, 1e-6);
}

/* ---- who locks first ---- */

static void little_grip_locks_the_front_first_and_much_the_rear(void **state)
{
    (void)state;
    /* a fixed share of 0.68 is ideal at 0.8 g: below it the front is first, above it the rear */
    mbl_car car = plain_car();
    mbl_lock lock = mbl_first_lock(&car, &at_rest);
    assert_int_equal(lock.axle, 0);
    /* z = 0.7 x 0.52 / (0.68 - 0.7 x 0.2) */
    assert_close(lock.deceleration, 0.674074 * g, 1e-6);
    assert_close(lock.pressure, 0.674074 * g * 1200 / (0.4 * 5.2359878e-3), 1e-6);
    assert_near(lock.front, 0.68, 1e-12);
    assert_near(lock.ideal, 0.654815, 1e-6);
    car.tyre.grip = 0.9;
    lock = mbl_first_lock(&car, &at_rest);
    assert_int_equal(lock.axle, 1);
    /* z = 0.9 x 0.48 / (0.32 + 0.9 x 0.2) */
    assert_close(lock.deceleration, 0.864 * g, 1e-9);
    assert_near(lock.ideal, 0.52 + 0.2 * 0.864, 1e-9);
}

static void the_axle_with_the_grabbier_pads_locks_first(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    car.tyre.grip = 0.8;
    mbl_instant hot = at_rest;
    double both = mbl_first_lock(&car, &at_rest).deceleration;
    assert_close(both, 0.8 * g, 1e-9);
    hot.mu[0] = 0.44;
    mbl_lock front = mbl_first_lock(&car, &hot);
    assert_int_equal(front.axle, 0);
    assert_true(front.front > front.ideal && front.deceleration < both);
    hot.mu[0] = 0.36;
    mbl_lock rear = mbl_first_lock(&car, &hot);
    assert_int_equal(rear.axle, 1);
    assert_true(rear.front < rear.ideal && rear.deceleration < both);
}

static void what_slows_the_car_besides_the_brakes_moves_load_too(void **state)
{
    (void)state;
    /* solved by hand for 50 m/s: 12996.772 N lock the rear, 13577.551 N would lock the front */
    mbl_car car = whole_car();
    mbl_lock lock = mbl_first_lock(&car, &at_50);
    assert_int_equal(lock.axle, 1);
    assert_close(lock.pressure, 12996.772 / (0.4 * 5.2359878e-3), 1e-7);
    assert_close(lock.deceleration, 11.7814835, 1e-8);
    car.rear.effective_radius = 1e-6;
    lock = mbl_first_lock(&car, &at_50);
    assert_int_equal(lock.axle, 0);
}

static void a_valve_keeps_a_rear_from_locking(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    car.tyre.grip = 0.9;
    double without = mbl_first_lock(&car, &at_rest).deceleration;
    /* from 45 bar on the rear rises by 0.2: 0.82 x 1.4241887e-3 p = 0.9 (0.52 m g)
     * + 0.18 x 6.702064e-4 (3.6e6 + 0.2 p) */
    give_valve(&car, 4.5e6, 0.2);
    mbl_lock lock = mbl_first_lock(&car, &at_rest);
    assert_int_equal(lock.axle, 0);
    assert_close(lock.pressure, 5.19513e6, 1e-6);
    assert_true(lock.deceleration > without);
}

static void a_car_so_tall_that_its_rear_lifts_locks_the_rear_first(void **state)
{
    (void)state;
    /* h / L = 0.8 lifts the rear at 0.6 g; its front, by 0.68 and grip 3, could take 1.8 g */
    mbl_car car = plain_car();
    car.cg_height = 2;
    car.tyre.grip = 3;
    mbl_lock lock = mbl_first_lock(&car, &at_rest);
    assert_int_equal(lock.axle, 1);
    /* z = 3 x 0.48 / (0.32 + 3 x 0.8) */
    assert_close(lock.deceleration, 0.5294118 * g, 1e-6);
    /* shut by a valve the rear brakes a little, and still locks before it lifts */
    give_valve(&car, 1e5, 0);
    lock = mbl_first_lock(&car, &at_rest);
    assert_int_equal(lock.axle, 1);
    assert_true(lock.deceleration > 0.5294118 * g && lock.deceleration < 0.6 * g);
}

static void abs_takes_both_axles_to_their_grip(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    double without = mbl_grip_limit(&car, &at_rest);
    assert_near(without, mbl_first_lock(&car, &at_rest).deceleration, 0);
    car.abs = true;
    assert_close(mbl_grip_limit(&car, &at_rest), 0.7 * g, 1e-12);
    assert_true(mbl_grip_limit(&car, &at_rest) > without);
    /* at the ideal share both are the same */
    car.tyre.grip = 0.8;
    double with = mbl_grip_limit(&car, &at_rest);
    car.abs = false;
    assert_close(mbl_grip_limit(&car, &at_rest), with, 1e-9);
    /* loaded unevenly, sensitive tyres give less: solved by hand, 9.7026649 of 9.80665 */
    car.abs = true;
    car.tyre.grip = 1;
    car.tyre.load_sensitivity = 0.1;
    assert_close(mbl_grip_limit(&car, &at_rest), 9.7026649, 1e-8);
    /* (0.9 (m g + 3000) + 1706.5197) / 1248 */
    mbl_car fast = whole_car();
    fast.abs = true;
    assert_close(mbl_grip_limit(&fast, &at_50), 12.0173892, 1e-8);
}

/* ---- the bar ---- */

static void turns_of_the_bar_bring_the_share_to_the_ideal(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    give_bar(&car);
    /* equal bores and 0.5: 0.68, which is ideal at 0.8 g */
    assert_near(mbl_turns_to(&car, &at_rest, 0.8 * g, 0), 0, 1e-9);
    /* 0.70 at 0.9 g: p_r / p_f = 2.125 x 0.3 / 0.7, the bar 1 / 1.910714 = 0.523364 */
    assert_near(mbl_turns_to(&car, &at_rest, 0.9 * g, 0), 1.947040, 1e-5);
    /* 0.72: 1 / 1.826389 = 0.547529 */
    assert_near(mbl_turns_to(&car, &at_rest, 0.9 * g, 0.02), 3.960710, 1e-5);
    assert_true(mbl_turns_to(&car, &at_rest, 0.5 * g, 0) < 0);
}

static void turns_there_and_the_share_agree_whatever_the_pads_do(void **state)
{
    (void)state;
    mbl_car car = whole_car();
    give_bar(&car);
    car.pedal.balance = 0.6;
    car.pedal.master.rear = 0.0159;
    car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1, 0.8}};
    car.rear.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {0.9, 1.1}};
    const double ahead[] = {-0.05, 0, 0.03};
    for (size_t i = 0; i < sizeof ahead / sizeof ahead[0]; i++) {
        mbl_car turned = car;
        turned.pedal.balance += car.pedal.per_turn * mbl_turns_to(&car, &at_50, 9, ahead[i]);
        double p = mbl_pressure_for(&turned, &at_50, 9);
        double share = mbl_actual_front(&turned, &at_50, p);
        assert_near(share, mbl_ideal_front(&car, &at_50, 9) + ahead[i], 1e-12);
    }
}

static void there_are_no_turns_without_a_bar(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    assert_true(isnan(mbl_turns_to(&car, &at_rest, 8, 0)));
    give_valve(&car, 3e6, 0.3);
    assert_true(isnan(mbl_turns_to(&car, &at_rest, 8, 0)));
    /* a share beyond 1 is the end of the bar: 0.5 / 0.012 turns from its middle */
    give_bar(&car);
    assert_near(mbl_turns_to(&car, &at_rest, 8, 2), 41.6666667, 1e-6);
    assert_near(mbl_turns_to(&car, &at_rest, 8, -2), -41.6666667, 1e-6);
    assert_near(mbl_turns_to(&car, &at_rest, 0, 0.16), 0, 1e-9);
}

/* ---- bite ---- */

/*
 * The load that a ramp of deceleration k t has moved lags by tau: k (t - tau + tau exp(-t/tau)).
 * The front locks where 0.68 k t = 0.7 (0.52 g + 0.2 felt), with
 * k = 0.4 x 5.2359878e-3 x 4.5 x 0.95 x stab / (2 x 2.8352874e-4 m2) / 1200 kg; solved by hand.
 */
static double bite_at(double stab)
{
    mbl_car car = plain_car();
    give_bar(&car);
    car.pedal.stab = stab;
    return mbl_bite(&car, &at_rest, sea);
}

static void a_stab_faster_than_the_load_locks_early(void **state)
{
    (void)state;
    /* half of the rod's force on each master: as much as half the stab on a tandem master */
    assert_near(bite_at(2 * 400), 0.9392874, 1e-7);
    assert_near(bite_at(2 * 1000), 0.8806136, 1e-7);
    assert_near(bite_at(2 * 4000), 0.8200492, 1e-7);
    assert_near(bite_at(2 * 1e5), 0.7952029, 1e-7);
    /* at once: the load at rest is all there is, (0.68 - 0.7 x 0.2) / 0.68 */
    assert_near(bite_at(1e9), 0.7941176, 1e-6);
    /* pressed as slowly as the tables allow it loses a hundredth */
    assert_true(bite_at(100) > 0.985 && bite_at(100) < 1);
}

static void grabby_pads_bite_less(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    give_bar(&car);
    double plain = mbl_bite(&car, &at_rest, sea);
    mbl_instant grabby = at_rest;
    grabby.mu[0] = grabby.mu[1] = 0.6;
    assert_true(mbl_bite(&car, &grabby, sea) < plain);
    car.pedal.booster.gain = 4;
    car.pedal.booster.assist = 3500;
    assert_true(mbl_bite(&car, &at_rest, sea) < plain);
}

static void a_rear_that_locks_first_is_helped_by_the_lag(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    give_bar(&car);
    car.tyre.grip = 0.9;
    car.pedal.balance = 0.3;
    assert_int_equal(mbl_first_lock(&car, &at_rest).axle, 1);
    assert_near(mbl_bite(&car, &at_rest, sea), 1, 0);
}

static void bite_is_whole_where_it_cannot_be_judged(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    assert_near(mbl_bite(&car, &at_rest, sea), 1, 0);
    give_bar(&car);
    assert_true(mbl_bite(&car, &at_rest, sea) < 1);
    car.tyre.grip = NAN;
    assert_near(mbl_bite(&car, &at_rest, sea), 1, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(deceleration_and_downforce_move_load),
        cmocka_unit_test(an_axle_off_the_ground_carries_nothing_and_the_other_all),
        cmocka_unit_test(a_tyre_loses_its_share_when_its_load_doubles),
        cmocka_unit_test(the_ideal_share_is_that_of_the_loads_less_what_a_loaded_tyre_loses),
        cmocka_unit_test(downforce_at_the_rear_moves_the_ideal_back),
        cmocka_unit_test(the_force_of_an_axle_follows_valve_friction_and_pressure_effect),
        cmocka_unit_test(a_released_pedal_gives_no_force_and_still_has_a_share),
        cmocka_unit_test(pressure_gives_what_drag_rolling_and_engine_leave),
        cmocka_unit_test(pressure_is_found_through_valve_and_pressure_effect),
        cmocka_unit_test(little_grip_locks_the_front_first_and_much_the_rear),
        cmocka_unit_test(the_axle_with_the_grabbier_pads_locks_first),
        cmocka_unit_test(what_slows_the_car_besides_the_brakes_moves_load_too),
        cmocka_unit_test(a_valve_keeps_a_rear_from_locking),
        cmocka_unit_test(a_car_so_tall_that_its_rear_lifts_locks_the_rear_first),
        cmocka_unit_test(abs_takes_both_axles_to_their_grip),
        cmocka_unit_test(turns_of_the_bar_bring_the_share_to_the_ideal),
        cmocka_unit_test(turns_there_and_the_share_agree_whatever_the_pads_do),
        cmocka_unit_test(there_are_no_turns_without_a_bar),
        cmocka_unit_test(a_stab_faster_than_the_load_locks_early),
        cmocka_unit_test(grabby_pads_bite_less),
        cmocka_unit_test(a_rear_that_locks_first_is_helped_by_the_lag),
        cmocka_unit_test(bite_is_whole_where_it_cannot_be_judged),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
