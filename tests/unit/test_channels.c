/* SPDX-License-Identifier: MIT */
#include "road/channels.h"
#include "support/test.h"

/* Round figures, so that expected values can be worked out on paper. */
static const mbl_vehicle plain = {.mass = 1000,
                                  .rotating = 0.05,
                                  .drag_area = 0.5,
                                  .rolling = 0.01,
                                  .engine_braking = 0.5,
                                  .air_density = 1.2};

/* Nothing but mass slows it. */
static const mbl_vehicle bare = {.mass = 1000};

enum { ROOM = 20000 };
static double times[ROOM + 1];
static double speeds[ROOM + 1];
static double powers[ROOM];

static mbl_channels room(void)
{
    return (mbl_channels){.room = ROOM, .time = times, .speed = speeds, .power = powers};
}

/* 5 s at 50 m/s, 4 s down to 10 m/s, 5 s at 10 m/s. */
static const double knot_t[] = {0, 5, 9, 14};
static const double knot_v[] = {50, 50, 10, 10};
static const double level[] = {0, 0, 0};
static const mbl_trace one_stop = {.n = 4, .t = knot_t, .v = knot_v, .grade = level};

static void coasting_is_drag_rolling_engine_and_grade(void **state)
{
    (void)state;
    /* (0.5 x 1.2 x 0.5 x 40^2 + 1000 x (9.80665 x (0.01 + 0.02) + 0.5)) / 1050, by hand:
       (480 + 294.1995 + 500) / 1050 */
    assert_close(mbl_vehicle_coast(&plain, 40, 0.02), 1274.1995 / 1050, 1e-12);
}

static void a_stop_of_a_bare_car_is_its_kinetic_energy(void **state)
{
    (void)state;
    mbl_channels c = room();
    mbl_channels_lap(&one_stop, 0, 14, 1, &bare, 0, &bare, 0.05, &c);
    assert_close(c.energy, 0.5 * 1000 * (50.0 * 50 - 10 * 10), 1e-12);
    assert_near(c.braking_time, 4, 1e-9);
    assert_int_equal(c.n, 280);
    assert_near(c.time[c.n], 14, 1e-9);
    assert_near(c.speed[0], 50, 0);
    assert_near(c.speed[c.n], 10, 0);
}

static void what_else_slows_the_car_is_not_the_brakes(void **state)
{
    (void)state;
    mbl_channels c = room();
    mbl_channels_lap(&one_stop, 0, 14, 1, &plain, 0, &plain, 0.05, &c);
    /* a = -10, v from 50 to 10: kinetic 0.5 x 1050 x 2400; drag 0.3 x integral of v^3 dt, which
       is 0.3 x (50^4 - 10^4) / (4 x 10); the rest (98.0665 + 500) N over 120 m */
    double want = 0.5 * 1050 * 2400 - 0.3 * (6250000.0 - 10000) / 40 - 598.0665 * 120;
    assert_close(c.energy, want, 1e-12);
}

static void energy_does_not_depend_on_the_step(void **state)
{
    (void)state;
    mbl_channels c = room();
    mbl_channels_lap(&one_stop, 0, 14, 1, &plain, 0, &plain, 0.001, &c);
    double fine = c.energy;
    static const double steps[] = {0.0137, 0.05, 0.3, 1, 20};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        mbl_channels_lap(&one_stop, 0, 14, 1, &plain, 0, &plain, steps[i], &c);
        assert_close(c.energy, fine, 1e-12);
        double sum = 0;
        for (size_t k = 0; k < c.n; k++)
            sum += c.power[k] * (c.time[k + 1] - c.time[k]);
        assert_close(sum, fine, 1e-12);
    }
}

static void two_halves_make_the_whole(void **state)
{
    (void)state;
    mbl_channels c = room();
    mbl_channels_lap(&one_stop, 0, 14, 1, &plain, 0, &plain, 0.05, &c);
    double whole = c.energy;
    mbl_channels_lap(&one_stop, 0, 7.123, 1, &plain, 0, &plain, 0.05, &c);
    double halves = c.energy;
    assert_near(c.speed[c.n], 50 - 10 * 2.123, 1e-12);
    mbl_channels_lap(&one_stop, 7.123, 14, 1, &plain, 0, &plain, 0.05, &c);
    assert_near(c.speed[0], 50 - 10 * 2.123, 1e-12);
    assert_int_equal(c.n, 138); /* 6.877 s in steps of 0.05 s */
    assert_near(c.time[c.n], 6.877, 1e-9);
    assert_close(halves + c.energy, whole, 1e-12);
}

static void pace_scales_speed_and_stretches_time(void **state)
{
    (void)state;
    mbl_channels c = room();
    mbl_channels_lap(&one_stop, 0, 14, 0.8, &bare, 0, &bare, 0.05, &c);
    assert_close(c.energy, 0.64 * 1200000, 1e-12);
    assert_near(c.time[c.n], 17.5, 1e-9);
    assert_near(c.speed[0], 40, 1e-12);
    assert_near(c.speed[c.n], 8, 1e-12);
    assert_near(c.braking_time, 5, 1e-9);
    /* with drag: v from 40 to 8 at 6.4 m/s2 over the same 120 m */
    mbl_channels_lap(&one_stop, 0, 14, 0.8, &plain, 0, &plain, 0.05, &c);
    double want = 0.5 * 1050 * (1600.0 - 64) - 0.3 * (2560000.0 - 4096) / 25.6 - 598.0665 * 120;
    assert_close(c.energy, want, 1e-12);
}

static void the_brakes_are_on_where_the_driver_had_them_on(void **state)
{
    (void)state;
    mbl_channels c = room();
    /* a driver in a car that coasts at over 10 m/s2 never braked on this trace */
    mbl_vehicle parachute = plain;
    parachute.engine_braking = 12;
    mbl_channels_lap(&one_stop, 0, 14, 1, &parachute, 0, &plain, 0.05, &c);
    assert_near(c.energy, 0, 0);
    assert_near(c.braking_time, 0, 0);
    /* and a car that needs no brakes where the driver did makes no heat, nor takes any away */
    mbl_channels_lap(&one_stop, 0, 14, 1, &plain, 0, &parachute, 0.05, &c);
    assert_near(c.energy, 0, 0);
    for (size_t k = 0; k < c.n; k++)
        assert_near(c.power[k], 0, 0);
}

static void slowing_like_coasting_is_not_braking(void **state)
{
    (void)state;
    double coast = mbl_vehicle_coast(&plain, 30, 0);
    mbl_channels c = room();
    static const double beyond[] = {0.9 * MBL_BRAKES_ON, 1.1 * MBL_BRAKES_ON};
    for (size_t i = 0; i < 2; i++) {
        double drop = (coast + beyond[i]) * 0.1;
        double t[] = {0, 0.1};
        double v[] = {30 + drop / 2, 30 - drop / 2};
        mbl_trace trace = {.n = 2, .t = t, .v = v, .grade = level};
        mbl_channels_lap(&trace, 0, 0.1, 1, &plain, 0, &plain, 0.05, &c);
        if (i == 0)
            assert_near(c.energy, 0, 0);
        else
            assert_close(c.energy, 1050 * beyond[1] * 30 * 0.1, 1e-3);
    }
}

static void uphill_the_road_brakes_too(void **state)
{
    (void)state;
    static const double up[] = {0.05, 0.05, 0.05};
    mbl_trace hill = one_stop;
    hill.grade = up;
    mbl_channels c = room();
    mbl_channels_lap(&one_stop, 0, 14, 1, &plain, 0, &plain, 0.05, &c);
    double flat = c.energy;
    mbl_channels_lap(&hill, 0, 14, 1, &plain, 0, &plain, 0.05, &c);
    assert_close(flat - c.energy, 1000 * 9.80665 * 0.05 * 120, 1e-9);
}

static void a_stop_ends_at_rest_with_the_energy_of_the_speed(void **state)
{
    (void)state;
    mbl_channels c = room();
    mbl_channels_stop(50, 10, &bare, 0.05, &c);
    assert_int_equal(c.n, 100);
    assert_near(c.speed[c.n], 0, 0);
    assert_near(c.time[c.n], 5, 1e-9);
    assert_close(c.energy, 0.5 * 1000 * 2500, 1e-12);
    mbl_channels_stop(50, 10, &plain, 0.37, &c);
    double want = 0.5 * 1050 * 2500 - 0.3 * 6250000.0 / 40 - 598.0665 * 125;
    assert_close(c.energy, want, 1e-12);
    assert_near(c.braking_time, 5, 1e-9);
    /* weaker than coasting: nothing for the brakes */
    mbl_channels_stop(50, 0.2, &plain, 0.5, &c);
    assert_near(c.energy, 0, 0);
}

static void parking_steps_grow_to_a_second_and_end_on_time(void **state)
{
    (void)state;
    mbl_channels c = room();
    static const double durations[] = {0.01, 0.05, 1, 60, 600};
    for (size_t i = 0; i < sizeof durations / sizeof durations[0]; i++) {
        size_t n = mbl_channels_park_count(durations[i], 0.05, mbl_parking_close);
        mbl_channels_park(durations[i], 0.05, mbl_parking_close, &c);
        assert_int_equal(c.n, n);
        assert_near(c.time[0], 0, 0);
        assert_near(c.time[n], durations[i], 0);
        for (size_t k = 0; k < n; k++) {
            double width = c.time[k + 1] - c.time[k];
            assert_true(width > 0 && width <= 1.5 * mbl_parking_close.most);
            assert_near(c.power[k], 0, 0);
        }
    }
    assert_near(c.time[1], 0.05, 1e-12);
    assert_close((c.time[2] - c.time[1]) / c.time[1], 1.10, 1e-9);
    assert_close(c.time[500] - c.time[499], 1.0, 1e-9);
    assert_near(c.energy, 0, 0);
}

static void steps_never_exceed_what_was_asked(void **state)
{
    (void)state;
    assert_int_equal(mbl_channels_count(90, 1, 0.05), 1800);
    assert_int_equal(mbl_channels_count(90.001, 1, 0.05), 1801);
    assert_int_equal(mbl_channels_count(90, 0.9, 0.05), 2000);
    assert_int_equal(mbl_channels_count(0.01, 1, 0.05), 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(coasting_is_drag_rolling_engine_and_grade),
        cmocka_unit_test(a_stop_of_a_bare_car_is_its_kinetic_energy),
        cmocka_unit_test(what_else_slows_the_car_is_not_the_brakes),
        cmocka_unit_test(energy_does_not_depend_on_the_step),
        cmocka_unit_test(two_halves_make_the_whole),
        cmocka_unit_test(pace_scales_speed_and_stretches_time),
        cmocka_unit_test(the_brakes_are_on_where_the_driver_had_them_on),
        cmocka_unit_test(slowing_like_coasting_is_not_braking),
        cmocka_unit_test(uphill_the_road_brakes_too),
        cmocka_unit_test(a_stop_ends_at_rest_with_the_energy_of_the_speed),
        cmocka_unit_test(parking_steps_grow_to_a_second_and_end_on_time),
        cmocka_unit_test(steps_never_exceed_what_was_asked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
