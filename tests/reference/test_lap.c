/* SPDX-License-Identifier: MIT */
/*
 * Laps against textbook mechanics, and against an integration of the same axles in time that is
 * written here. Textbook results are those of elementary mechanics, from memory, computed.
 */
#include "support/course.h"
#include "support/test.h"
#include "support/validation.h"

static const double g = 9.80665; /* m/s2 */

static const char mechanics[] = "elementary mechanics, textbook, from memory; computed";

/* m/s on a closed circle, which is the same all round. */
static double round_circle(const mbl_car *car, double radius, double bank, double grade)
{
    mbl_stretch circle = {2 * M_PI * radius, 1 / radius, 1 / radius, grade, bank, 1};
    mbl_layout *layout = course_of(&circle, 1, true);
    mbl_lap_ask ask = course_ask(car, layout);
    mbl_path *path = course_drive(&ask);
    double v = path->v[path->n / 2];
    assert_close(path->time, layout->length / v, 1e-6);
    mbl_path_free(path);
    mbl_layout_drop(layout);
    return v;
}

/* m/s at s on a straight from rest to rest, and s there. */
static double along_straight(const mbl_car *car, double length, double grade, double s, double *t)
{
    mbl_stretch straight = {length, 0, 0, grade, 0, 1};
    mbl_layout *layout = course_of(&straight, 1, false);
    mbl_lap_ask ask = course_ask(car, layout);
    mbl_path *path = course_drive(&ask);
    double v = course_speed(path, s);
    size_t i = 0;
    while (path->s[i] < s)
        i++;
    if (t != NULL)
        *t = path->t[i];
    mbl_path_free(path);
    mbl_layout_drop(layout);
    return v;
}

/* ---- textbook mechanics ---- */

static void a_circle_is_driven_at_what_friction_holds(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1000, 1.0, 1e5);
    /* v^2 = mu g R */
    validate("circle of 50 m, friction 1.0: speed, m/s", mechanics, 22.143,
             round_circle(&car, 50, 0, 0), 0.005);
    /* m v^2 / R = mu (m g + rho S v^2 / 2): v^2 = mu g R / (1 - mu rho S R / (2 m)) */
    car.tyre.grip = 1.2;
    car.aero.downforce_area = 3;
    validate("circle of 100 m, friction 1.2, 1000 kg, downforce area 3 m2: speed, m/s", mechanics,
             38.743, round_circle(&car, 100, 0, 0), 0.005);
    /* v^2 = R g (sin b + mu cos b) / (cos b - mu sin b) */
    car = course_plain_car(1000, 0.8, 1e5);
    validate("circle of 100 m banked by 20 degrees, friction 0.8: speed, m/s", mechanics, 40.129,
             round_circle(&car, 100, 20 * M_PI / 180, 0), 0.005);
    validate("the same falling outwards by 10 degrees: speed, m/s", mechanics, 23.152,
             round_circle(&car, 100, -10 * M_PI / 180, 0), 0.005);
}

static void the_axle_that_is_short_of_grip_sets_the_speed(void **state)
{
    (void)state;
    /* All the downforce in front, half of the weight behind: the rear axle has its weight alone,
     * and with it the car is as fast as without: v^2 = mu g R. */
    mbl_car car = course_plain_car(1000, 1.0, 1e5);
    car.aero.downforce_area = 3;
    car.aero.front_share = 1;
    validate("circle of 50 m, friction 1.0, downforce on the front axle alone: speed, m/s",
             mechanics, 22.143, round_circle(&car, 50, 0, 0), 0.005);
    /* Rear wheels drive against a drag of 1/2 rho CdA v^2: (m v^2/(2R))^2 + (0.6 CdA v^2)^2 =
     * (mu m g / 2)^2, so v^2 = mu m g / (2 sqrt((m/(2R))^2 + (0.6 CdA)^2)); CdA 2 m2 */
    car = course_plain_car(1000, 1.0, 1e6);
    car.gearing.driven = MBL_DRIVEN_REAR;
    car.aero.drag_area = 2;
    validate("circle of 200 m, rear driven against a drag area of 2 m2: speed, m/s", mechanics,
             42.0498, round_circle(&car, 200, 0, 0), 0.005);
}

static void power_meets_drag_at_the_top_speed(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1400, 1.2, 200e3);
    car.aero.drag_area = 0.7;
    /* v^3 = 2 P / (rho CdA) */
    validate("200 kW against a drag area of 0.7 m2: top speed, m/s", mechanics, 78.09,
             round_circle(&car, 1e4, 0, 0), 0.01);
    /* with 0.015 of its weight: 0.42 v^3 + 205.94 v = 200e3, solved by hand: v = 75.997 */
    car.rolling = 0.015;
    validate("the same with rolling resistance of 0.015: top speed, m/s", mechanics, 75.997,
             round_circle(&car, 1e4, 0, 0), 0.01);
}

static void constant_power_gains_speed_as_the_cube_root_of_the_way(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1200, 3.0, 200e3);
    /* v^3 = 3 P s / m, t = m v^2 / (2 P), but for what grip of 3 holds back until
     * v1 = P / (3 m g) = 5.665 m/s, s1 = v1^2 / (6 g) = 0.545 m, t1 = v1 / (3 g) = 0.193 s:
     * v^3 = v1^3 + 3 P (s - s1) / m, t = t1 + m (v^2 - v1^2) / (2 P) */
    double t = 0;
    double v = along_straight(&car, 3000, 0, 1500, &t);
    validate("1200 kg, 200 kW from rest, 1500 m on: speed, m/s", mechanics, 90.852, v, 0.005);
    validate("the same: time, s", mechanics, 24.859, t, 0.02);
}

static void friction_stops_the_car(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1200, 1.0, 400e3);
    /* v^2 = 2 mu g s */
    validate("friction 1.0, 100 m in front of a standstill: speed, m/s", mechanics, 44.287,
             along_straight(&car, 2000, 0, 1900, NULL), 0.005);
    /* the textbook's fixed share, tests/reference/test_balance_stops.c: z = 0.48 k / (0.32 + 0.2 k)
     * on k = 1.1, weight 0.52 in front, h/L = 0.2 */
    car.front_weight = 0.52;
    car.tyre.grip = 1.1;
    course_share_brakes(&car, 0.68);
    static const double s[1] = {0};
    static const double mu[1][2] = {{0.4, 0.4}};
    mbl_stretch flat = {1000, 0, 0, 0, 0, 1};
    mbl_layout *layout = course_of(&flat, 1, false);
    mbl_lap_ask ask = course_ask(&car, layout);
    ask.brakes = (mbl_lap_brakes){1, s, mu, 2e7};
    validate("front share fixed at 0.68, grip 1.1: most deceleration, g", mechanics, 0.9778,
             mbl_lap_stop(&ask, &flat, 0, 500, 40) / g, 6e-5);
    mbl_layout_drop(layout);
}

static void a_climb_is_driven_at_what_power_lifts(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1200, 1.0, 30e3);
    /* v = P / (m g sin a), tan a = 0.1 */
    validate("30 kW lift 1200 kg up 10 %: speed, m/s", mechanics, 25.62,
             along_straight(&car, 8000, 0.1, 7000, NULL), 0.01);
}

static void the_best_gear_pulls(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1200, 3.0, NAN);
    car.gearing.torque = (mbl_curve){.n = 2, .x = {1000, 7000}, .y = {300, 300}};
    car.gearing.ratios = (mbl_numbers){3, {3, 2, 1}};
    car.gearing.final = 4;
    car.gearing.efficiency = 0.9;
    mbl_stretch flat = {1000, 0, 0, 0, 0, 1};
    mbl_layout *layout = course_of(&flat, 1, false);
    mbl_lap_ask ask = course_ask(&car, layout);
    /* F = 300 N m x ratio x 4 x 0.9 / 0.3 m; a gear ends at 7000 / 60 x 2 pi x 0.3 / (ratio x 4):
     * 18.33, 27.49 and 54.98 m/s */
    validate("300 N m, gears 3 2 1, final 4, at 10 m/s: pull, m/s2", mechanics, 9.0,
             mbl_lap_pull(&ask, &flat, 0, 10), 1e-9);
    validate("the same at 20 m/s", mechanics, 6.0, mbl_lap_pull(&ask, &flat, 0, 20), 1e-9);
    validate("the same at 30 m/s", mechanics, 3.0, mbl_lap_pull(&ask, &flat, 0, 30), 1e-9);
    assert_near(mbl_lap_pull(&ask, &flat, 0, 56), 0, 1e-12);
    /* on either side of where a gear ends */
    assert_near(mbl_lap_pull(&ask, &flat, 0, 18.3), 9, 1e-9);
    assert_near(mbl_lap_pull(&ask, &flat, 0, 18.4), 6, 1e-9);
    assert_near(mbl_lap_pull(&ask, &flat, 0, 27.4), 6, 1e-9);
    assert_near(mbl_lap_pull(&ask, &flat, 0, 27.6), 3, 1e-9);
    /* falling from 300 N m at 1000 / min to 180 at 7000: 240 at 4000, 10.472 m/s in the first gear
     */
    car.gearing.torque.y[1] = 180;
    assert_near(mbl_lap_pull(&ask, &flat, 0, 4000 / 60.0 * 2 * M_PI * 0.3 / 12), 7.2, 1e-9);
    car.gearing.torque.y[1] = 300;
    car.power = 90e3; /* the lesser of both: 90 kW / 30 m/s is 3000 N */
    validate("the same with 90 kW at 30 m/s", mechanics, 2.5, mbl_lap_pull(&ask, &flat, 0, 30),
             1e-9);
    mbl_layout_drop(layout);
    /* the last rev of the last gear is not passed */
    car.power = NAN;
    car.gearing.driven = MBL_DRIVEN_ALL;
    validate("the same: speed at the last rev, m/s", mechanics, 54.978,
             round_circle(&car, 2000, 0, 0), 0.001);
}

/* ---- an integration in time ---- */

/* The turn of the integration: a clothoid of 60 m to 40 m radius, banked, and downhill so
 * that brakes hold the speed in it. */
static const double EASE = 60;
static const double TIGHT = 1.0 / 40;
static const double BANK = 0.05;
static const double GRADE = -0.06;

/* Own writing of the axles: what each bears, and has to bring sideways, at v slowing down by a. */
static void axles(const mbl_car *c, double bend, double v, double a, double all[2], double side[2])
{
    double slope = atan(GRADE);
    double press = g * cos(slope) * cos(BANK) + v * v * bend * sin(BANK);
    double across = v * v * bend * cos(BANK) - g * cos(slope) * sin(BANK);
    double down = 0.5 * 1.2 * c->aero.downforce_area * v * v;
    double shift = c->mass * (a - g * sin(slope)) * c->cg_height / c->wheelbase;
    double weight[2] = {c->front_weight, 1 - c->front_weight};
    double load[2] = {c->mass * press * weight[0] + shift + down * c->aero.front_share,
                      c->mass * press * weight[1] - shift + down * (1 - c->aero.front_share)};
    for (int i = 0; i < 2; i++) {
        double doubled = load[i] / (c->mass * g * weight[i]);
        double mu = c->tyre.grip * pow(1 - c->tyre.load_sensitivity, log2(doubled));
        all[i] = mu * load[i];
        side[i] = c->mass * weight[i] * fabs(across);
    }
}

static double resists(const mbl_car *c, double v)
{
    return 0.5 * 1.2 * c->aero.drag_area * v * v + c->mass * g * c->rolling +
           c->mass * g * sin(atan(GRADE));
}

/* m/s at which the turn is held, rear wheels driving against drag or both braking downhill. */
static double held_speed(const mbl_car *c, double bend)
{
    double low = 1;
    double high = 100;
    for (int k = 0; k < 100; k++) {
        double v = 0.5 * (low + high);
        double all[2];
        double side[2];
        axles(c, bend, v, 0, all, side);
        double hold = resists(c, v);
        double front = hold < 0 ? c->front_weight * hold : 0;
        double rear = hold < 0 ? (1 - c->front_weight) * hold : hold;
        bool holds = hypot(side[0], front) <= all[0] && hypot(side[1], rear) <= all[1];
        *(holds ? &low : &high) = v;
    }
    return low;
}

/* m/s2 by both axles at their circles (front < 0), or until the first, at a fixed front share. */
static double slows(const mbl_car *c, double bend, double v, double front)
{
    double rest = resists(c, v) + c->mass * c->engine_braking;
    double inertia = c->mass * (1 + c->rotating);
    double low = 0;
    double high = 4 * c->mass * g;
    for (int k = 0; k < 60; k++) {
        double force = 0.5 * (low + high);
        double all[2];
        double side[2];
        double give[2];
        axles(c, bend, v, (force + rest) / inertia, all, side);
        for (int i = 0; i < 2; i++)
            give[i] = side[i] < all[i] ? sqrt(all[i] * all[i] - side[i] * side[i]) : 0;
        bool holds = front < 0 ? force <= give[0] + give[1]
                               : front * force <= give[0] && (1 - front) * force <= give[1];
        *(holds ? &low : &high) = force;
    }
    return (low + rest) / inertia;
}

static double bend_at(double s)
{
    return s <= 0 ? 0 : TIGHT * fmin(s / EASE, 1);
}

/* Backward in time from the end of the clothoid, in steps of 0.2 ms (second order), to s < 0
 * before its start; v at each of `at`, falling. */
static void back_in_time(const mbl_car *c, double front, const double *at, size_t n, double *v_at)
{
    const double dt = 2e-4;
    double s = EASE;
    double v = held_speed(c, TIGHT);
    size_t k = 0;
    while (k < n) {
        double a = slows(c, bend_at(s), v, front);
        double mid_s = s - 0.5 * dt * v;
        double mid_v = v + 0.5 * dt * a;
        double next_v = v + dt * slows(c, bend_at(mid_s), mid_v, front);
        double next_s = s - dt * mid_v;
        if (next_s <= at[k]) {
            v_at[k] = v + (next_v - v) * (s - at[k]) / (s - next_s);
            k++;
        }
        s = next_s;
        v = next_v;
    }
}

static void compare_with_time(bool fixed)
{
    static const double at[] = {58, 50, 40, 25, 10, 0, -30, -60};
    enum { N = sizeof at / sizeof at[0] };
    const double lead = 600;
    mbl_stretch turn[] = {{lead, 0, 0, GRADE, BANK, 1},
                          {EASE, 0, TIGHT, GRADE, BANK, 1},
                          {60, TIGHT, TIGHT, GRADE, BANK, 1},
                          {400, 0, 0, GRADE, BANK, 1}};
    static const double s[1] = {0};
    static const double mu[1][2] = {{0.4, 0.4}};
    mbl_car car = course_full_car();
    mbl_layout *layout = course_of(turn, 4, false);
    mbl_lap_ask ask = course_ask(&car, layout);
    if (fixed)
        ask.brakes = (mbl_lap_brakes){1, s, mu, 1e8};
    mbl_path *path = course_drive(&ask);
    double want[N];
    back_in_time(&car, fixed ? 0.7 : -1, at, N, want);
    assert_close(course_speed(path, lead + EASE), held_speed(&car, TIGHT), 1e-6);
    for (size_t i = 0; i < N; i++) {
        double got = course_speed(path, lead + at[i]);
        printf("  %5.0f m: %.4f, in time %.4f m/s\n", at[i], got, want[i]);
        assert_close(got, want[i], 0.002);
    }
    mbl_path_free(path);
    mbl_layout_drop(layout);
}

static void braking_into_a_tightening_turn_is_that_of_an_integration_in_time(void **state)
{
    (void)state;
    compare_with_time(false);
    compare_with_time(true);
}

/* ---- the driver ---- */

static void a_driver_who_leaves_something_is_slower(void **state)
{
    (void)state;
    mbl_car car = course_full_car();
    mbl_layout *layout = course_round(3, 8, 0.05);
    mbl_lap_ask ask = course_ask(&car, layout);
    double time = course_time(&ask);
    static const mbl_driver drivers[] = {
        {0.9, 1, 1, 0}, {1, 0.9, 1, 0}, {1, 1, 0.9, 0}, {1, 1, 1, 10}};
    for (size_t i = 0; i < sizeof drivers / sizeof drivers[0]; i++) {
        ask.driver = drivers[i];
        double then = course_time(&ask);
        printf("  corner %.1f brake %.1f power %.1f early %.0f m: %+.3f s of %.2f\n",
               drivers[i].corner, drivers[i].brake, drivers[i].power, drivers[i].early, then - time,
               time);
        assert_true(then > time * 1.001);
    }
    mbl_layout_drop(layout);
    /* sideways grip of 0.81 is 0.9 of the speed in a circle */
    car = course_plain_car(1000, 1.0, 1e5);
    mbl_stretch circle = {300, 0.02, 0.02, 0, 0, 1};
    layout = course_of(&circle, 1, true);
    ask = course_ask(&car, layout);
    ask.driver.corner = 0.81;
    mbl_path *path = course_drive(&ask);
    validate("circle of 50 m, friction 1.0, 0.81 of it used: speed, m/s", mechanics, 19.929,
             path->v[3], 0.005);
    mbl_path_free(path);
    mbl_layout_drop(layout);
}

/* A stop of constant deceleration, begun earlier: 100 m become 120, from the same speed. */
static void braking_early_is_gentler_by_as_much(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1200, 1.0, 100e3);
    mbl_stretch straight = {2000, 0, 0, 0, 0, 1};
    mbl_layout *layout = course_of(&straight, 1, false);
    mbl_lap_ask ask = course_ask(&car, layout);
    ask.step = 0.25;
    mbl_path *path = course_drive(&ask);
    double start = 2000;
    for (size_t i = 0; i + 1 < path->n; i++) {
        if (path->by[i] == MBL_HOLDS_TYRES)
            start = fmin(start, path->s[i]);
    }
    mbl_path_free(path);
    double length = 2000 - start;
    ask.driver.early = 20;
    path = course_drive(&ask);
    validate("braking begun 20 m early: deceleration, m/s2 over the most", mechanics,
             length / (length + 20), pow(course_speed(path, 1950), 2) / (2 * 50) / g, 1e-6);
    mbl_path_free(path);
    mbl_layout_drop(layout);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_circle_is_driven_at_what_friction_holds),
        cmocka_unit_test(the_axle_that_is_short_of_grip_sets_the_speed),
        cmocka_unit_test(power_meets_drag_at_the_top_speed),
        cmocka_unit_test(constant_power_gains_speed_as_the_cube_root_of_the_way),
        cmocka_unit_test(friction_stops_the_car),
        cmocka_unit_test(a_climb_is_driven_at_what_power_lifts),
        cmocka_unit_test(the_best_gear_pulls),
        cmocka_unit_test(braking_into_a_tightening_turn_is_that_of_an_integration_in_time),
        cmocka_unit_test(a_driver_who_leaves_something_is_slower),
        cmocka_unit_test(braking_early_is_gentler_by_as_much),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
