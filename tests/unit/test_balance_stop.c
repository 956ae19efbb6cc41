/* SPDX-License-Identifier: MIT */
/* Stops of mbl_stop_of and mbl_stop_at_pressure; literals are closed forms worked by hand. */
#include "brake/balance.h"
#include "support/test.h"

/* One piston of 50 mm a side on radii that give 0.68 in front: 5.2359878e-3 N/Pa per friction in
 * all. Nothing but the brakes slows it. */
static mbl_car plain_car(void)
{
    mbl_car car = {.mass = 1200, .front_weight = 0.52, .cg_height = 0.5, .wheelbase = 2.5};
    car.tyre.radius = 0.3;
    car.front.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.rear.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.front.effective_radius = 0.136;
    car.rear.effective_radius = 0.064;
    return car;
}

/* The same with air, rolling resistance, engine and rotating parts. */
static mbl_car whole_car(void)
{
    mbl_car car = plain_car();
    car.rotating = 0.04;
    car.rolling = 0.015;
    car.engine_braking = 0.4;
    car.aero.drag_area = 0.7;
    return car;
}

static const mbl_instant light = {.mass = 1200, .density = 1.2, .mu = {0.4, 0.4}};
static const mbl_instant heavy = {.mass = 1600, .speed = 50, .density = 1.2, .mu = {0.4, 0.4}};

static void a_stop_shares_its_energy_with_drag_rolling_and_engine(void **state)
{
    (void)state;
    mbl_car car = whole_car();
    mbl_stop stop = mbl_stop_of(&car, &heavy, 60, 20, 8);
    assert_close(stop.kinetic_energy, 2662400.0, 1e-12);
    assert_close(stop.distance, 200.0, 1e-12);
    assert_close(stop.time, 5.0, 1e-12);
    /* 0.42 (60^4 - 20^4) / 32 of drag, (235.3596 + 640) x 200 of rolling and engine */
    assert_close(stop.brake_energy, 2319328.08, 1e-9);
    /* at 20 m/s: (1664 x 8 - 168 - 875.3596) / (0.4 x 5.2359878e-3) */
    assert_close(stop.pressure[0], 5857844.3, 1e-7);
    assert_near(stop.pressure[1], stop.pressure[0], 0);
}

static void brakes_take_nothing_while_drag_alone_is_too_much(void **state)
{
    (void)state;
    /* 1.5 m/s2 from 90 m/s: brakes come on at 62.118 m/s; added up in 2e5 steps by hand */
    mbl_car car = whole_car();
    mbl_stop stop = mbl_stop_of(&car, &heavy, 90, 30, 1.5);
    assert_close(stop.brake_energy, 612759.99, 1e-6);
    assert_true(stop.pressure[0] > 0);
    stop = mbl_stop_of(&car, &heavy, 90, 70, 1.5);
    assert_near(stop.brake_energy, 0, 0);
    assert_near(stop.pressure[0], 0, 0);
    assert_close(stop.distance, 3200 / 3.0, 1e-12);
}

static void at_constant_pressure_the_stop_is_that_of_constant_force_and_drag(void **state)
{
    (void)state;
    /* M / 2d ln((F + d v1^2) / (F + d v2^2)) and M / sqrt(F d) (atan ...), 40 bar, M = 1664 kg,
     * d = 0.42 kg/m, F = 8377.580 + 875.360 N */
    mbl_car car = whole_car();
    mbl_stop stop = mbl_stop_at_pressure(&car, &heavy, 60, 20, 4e6);
    assert_close(stop.kinetic_energy, 2662400.0, 1e-12);
    assert_close(stop.distance, 264.179187, 1e-6);
    assert_close(stop.time, 6.67884793, 1e-6);
    assert_close(stop.brake_energy, 2213182.4, 1e-6);
    assert_near(stop.pressure[0], 4e6, 0);
    assert_near(stop.pressure[1], 4e6, 0);
}

static void the_two_stops_agree_where_nothing_but_the_brakes_slows(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    car.pedal = (mbl_pedal){.present = true,
                            .distribution = MBL_DISTRIBUTION_VALVE,
                            .balance = NAN,
                            .knee = 3e6,
                            .slope = 0.3,
                            .master = {.bore = 0.019, .front = NAN, .rear = NAN}};
    mbl_stop given = mbl_stop_of(&car, &light, 40, 3, 7);
    mbl_stop found = mbl_stop_at_pressure(&car, &light, 40, 3, given.pressure[0]);
    assert_close(found.distance, given.distance, 1e-12);
    assert_close(found.time, given.time, 1e-12);
    assert_close(found.brake_energy, given.brake_energy, 1e-12);
    assert_close(given.brake_energy, given.kinetic_energy, 1e-12);
    assert_near(found.pressure[1], given.pressure[1], 0);
    assert_true(given.pressure[1] < given.pressure[0]);
}

static void a_car_that_does_not_slow_never_arrives(void **state)
{
    (void)state;
    mbl_car car = plain_car();
    mbl_stop stop = mbl_stop_of(&car, &light, 30, 10, 0);
    assert_true(isinf(stop.distance) && isinf(stop.time));
    assert_near(stop.brake_energy, 0, 0);
    stop = mbl_stop_at_pressure(&car, &light, 30, 10, 0);
    assert_true(isinf(stop.distance) && isinf(stop.time));
    assert_near(stop.brake_energy, 0, 0);
    /* with drag alone it slows, but never to rest */
    car.aero.drag_area = 0.7;
    assert_true(isfinite(mbl_stop_at_pressure(&car, &light, 30, 10, 0).distance));
    assert_true(isinf(mbl_stop_at_pressure(&car, &light, 30, 0, 0).time));
}

static void a_stop_from_a_speed_to_itself_is_none(void **state)
{
    (void)state;
    mbl_car car = whole_car();
    const mbl_stop none[] = {mbl_stop_of(&car, &heavy, 30, 30, 5),
                             mbl_stop_of(&car, &heavy, 30, 30, 0),
                             mbl_stop_at_pressure(&car, &heavy, 30, 30, 4e6),
                             mbl_stop_at_pressure(&car, &heavy, 30, 30, 0)};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        assert_near(none[i].kinetic_energy, 0, 0);
        assert_near(none[i].brake_energy, 0, 0);
        assert_near(none[i].distance, 0, 0);
        assert_near(none[i].time, 0, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stop_shares_its_energy_with_drag_rolling_and_engine),
        cmocka_unit_test(brakes_take_nothing_while_drag_alone_is_too_much),
        cmocka_unit_test(at_constant_pressure_the_stop_is_that_of_constant_force_and_drag),
        cmocka_unit_test(the_two_stops_agree_where_nothing_but_the_brakes_slows),
        cmocka_unit_test(a_car_that_does_not_slow_never_arrives),
        cmocka_unit_test(a_stop_from_a_speed_to_itself_is_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
