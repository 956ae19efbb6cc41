/* SPDX-License-Identifier: MIT */
/* What holds of every lap: steps, sides and starts do not matter, better cars are never slower. */
#include "drive/lap_limits.h"
#include "support/course.h"
#include "support/test.h"

/* ---- steps, sides, starts ---- */

static void the_lap_time_converges_faster_than_the_step(void **state)
{
    (void)state;
    mbl_car car = course_full_car();
    double orders = 0;
    enum { COURSES = 6 };
    for (uint64_t seed = 1; seed <= COURSES; seed++) {
        mbl_layout *layout = course_round(seed, 8, 0.05);
        mbl_lap_ask ask = course_ask(&car, layout);
        ask.step = 0.05;
        double exact = course_time(&ask);
        double off[2];
        double steps[2] = {8, 1};
        for (int i = 0; i < 2; i++) {
            ask.step = steps[i];
            off[i] = fabs(course_time(&ask) - exact);
        }
        ask.step = 0;
        double usual = fabs(course_time(&ask) - exact);
        double order = log2(off[0] / off[1]) / 3;
        printf("  %.0f m, %.3f s: off by %.2e at 8 m, %.2e at 2 m, %.2e at 1 m: order %.2f\n",
               layout->length, exact, off[0], usual, off[1], order);
        orders += order / COURSES;
        assert_true(usual < 1e-3 * exact);
        mbl_layout_drop(layout);
    }
    printf("  order in the mean: %.2f\n", orders);
    assert_true(orders > 1.5);
}

static void the_mirrored_course_takes_the_same_time(void **state)
{
    (void)state;
    mbl_car car = course_full_car();
    for (uint64_t seed = 1; seed <= 5; seed++) {
        mbl_layout *layout = course_round(seed, 8, 0.05);
        mbl_layout *mirrored = NULL;
        mbl_error err = {0};
        assert_ok(mbl_layout_mirror(layout, &mirrored, &err), err);
        mbl_lap_ask ask = course_ask(&car, layout);
        double time = course_time(&ask);
        ask.layout = mirrored;
        assert_close(course_time(&ask), time, 1e-9);
        mbl_layout_drop(layout);
        mbl_layout_drop(mirrored);
    }
}

static void a_closed_course_takes_the_same_time_wherever_it_starts(void **state)
{
    (void)state;
    mbl_car car = course_full_car();
    for (uint64_t seed = 1; seed <= 5; seed++) {
        mbl_layout *layout = course_round(seed, 8, 0.05);
        mbl_lap_ask ask = course_ask(&car, layout);
        double time = course_time(&ask);
        for (int i = 1; i < 6; i++) {
            mbl_layout *shifted = NULL;
            mbl_error err = {0};
            assert_ok(mbl_layout_shift(layout, layout->length * i / 6.5, &shifted, &err), err);
            ask.layout = shifted;
            assert_close(course_time(&ask), time, 1e-3);
            mbl_layout_drop(shifted);
        }
        mbl_layout_drop(layout);
    }
}

/* ---- never slower ---- */

static mbl_car drawn_car(random_source *r)
{
    mbl_car car = course_full_car();
    car.mass = random_between(r, 600, 2000);
    car.power = random_between(r, 60e3, 500e3);
    car.tyre.grip = random_between(r, 0.8, 1.8);
    car.tyre.load_sensitivity = random_between(r, 0, 0.25);
    car.aero.drag_area = random_between(r, 0.4, 1.2);
    car.aero.downforce_area = random_between(r, 0, 4);
    car.front_weight = random_between(r, 0.4, 0.62);
    car.cg_height = random_between(r, 0.3, 0.6);
    car.gearing.driven = random_below(r, 3);
    car.abs = random_below(r, 2) == 0;
    return car;
}

/*
 * Less mass is an advantage only where nothing that does not go with mass holds the car: downhill
 * no steeper than it rolls, and enough downforce on whichever axle drives that its grip outgrows
 * the drag (at least 0.42 of it, on friction of 0.6 and more: 5 times the drag area).
 */
static void more_grip_more_power_and_less_mass_are_never_slower(void **state)
{
    (void)state;
    random_source r = {20};
    for (int i = 0; i < 60; i++) {
        mbl_car car = drawn_car(&r);
        car.aero.downforce_area = fmax(car.aero.downforce_area, 5 * car.aero.drag_area);
        mbl_layout *layout = course_round(random_bits(&r), 6, 0.012);
        mbl_lap_ask ask = course_ask(&car, layout);
        double time = course_time(&ask);
        for (int what = 0; what < 3; what++) {
            mbl_car better = car;
            better.tyre.grip *= what == 0 ? 1.03 : 1;
            better.power *= what == 1 ? 1.05 : 1;
            better.mass *= what == 2 ? 0.97 : 1;
            ask.car = &better;
            ask.mass = better.mass;
            double then = course_time(&ask);
            if (!(then < time * (1 + 1e-6)))
                fail_msg("car %d with %s: %.6f s, before %.6f s", i,
                         what == 0   ? "more grip"
                         : what == 1 ? "more power"
                                     : "less mass",
                         then, time);
        }
        mbl_layout_drop(layout);
    }
}

static void weak_brakes_are_slower_and_never_faster(void **state)
{
    (void)state;
    static const double s[2] = {100, 900};
    random_source r = {21};
    for (int i = 0; i < 30; i++) {
        mbl_car car = drawn_car(&r);
        mbl_layout *layout = course_round(random_bits(&r), 6, 0.012);
        mbl_lap_ask ask = course_ask(&car, layout);
        double before = course_time(&ask);
        static const double levels[] = {1e8, 1.2e7, 6e6, 3e6};
        for (size_t k = 0; k < sizeof levels / sizeof levels[0]; k++) {
            const double mu[2][2] = {{0.4, 0.38}, {0.34, 0.36}};
            ask.brakes = (mbl_lap_brakes){2, s, mu, levels[k]};
            mbl_path *path = course_drive(&ask);
            assert_true(path->time >= before * (1 - 1e-9));
            before = path->time;
            if (k == 3)
                assert_true(path->held[MBL_HOLDS_BRAKES] > 0);
            mbl_path_free(path);
        }
        const double faded[2][2] = {{0.2, 0.2}, {0.15, 0.15}};
        ask.brakes.mu = faded;
        assert_true(course_time(&ask) > before);
        mbl_layout_drop(layout);
    }
}

static void what_holds_the_car_adds_up_to_the_time(void **state)
{
    (void)state;
    mbl_car car = course_full_car();
    random_source r = {5};
    mbl_stretch stretch[COURSE_MOST];
    size_t n = course_random(&r, 8, 0.05, 0.06, stretch);
    double splits[2] = {300, 1111.1};
    mbl_layout_plan plan = {.name = "",
                            .note = "",
                            .closed = true,
                            .n = n,
                            .stretch = stretch,
                            .pit_entry = NAN,
                            .nsplits = 2,
                            .split = splits};
    mbl_layout *layout = NULL;
    mbl_error err = {0};
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), err);
    mbl_lap_ask ask = course_ask(&car, layout);
    mbl_path *path = course_drive(&ask);
    double sum = 0;
    for (int i = 0; i < MBL_HOLDS_COUNT; i++)
        sum += path->held[i];
    assert_close(sum, path->time, 1e-12);
    for (int i = 0; i < 4; i++)
        assert_true(path->held[i] > 0.01 * path->time);
    /* the time to a split, with v^2 linear between nodes */
    for (int k = 0; k < 2; k++) {
        double t = 0;
        double step = 0.01;
        for (double x = 0; x + 0.5 * step < splits[k]; x += step)
            t += step / course_speed(path, x + 0.5 * step);
        assert_close(path->split[k], t, 1e-3);
    }
    mbl_path_free(path);
    mbl_layout_drop(layout);
}

/* ---- what cannot be driven ---- */

static void assert_refuses(const mbl_car *car, const mbl_stretch *stretch, size_t n, bool closed,
                           const char *part)
{
    mbl_layout *layout = course_of(stretch, n, closed);
    mbl_lap_ask ask = course_ask(car, layout);
    mbl_path *path = NULL;
    mbl_error err = {0};
    assert_int_equal(mbl_lap_drive(&mbl_alloc_libc, &ask, &path, &err), MBL_INPUT);
    assert_null(path);
    assert_has(err.text, part);
    mbl_layout_drop(layout);
}

static void what_cannot_be_driven_is_refused(void **state)
{
    (void)state;
    mbl_car car = course_plain_car(1200, NAN, 1e5);
    mbl_stretch circle = {300, 0.02, 0.02, 0, 0, 1};
    assert_refuses(&car, &circle, 1, true, "car.tyre.grip is missing");
    car = course_plain_car(1200, 1, NAN);
    assert_refuses(&car, &circle, 1, true, "car.power is missing");
    car = course_plain_car(1200, 0.2, 1e5);
    mbl_stretch climb[2] = {{100, 0, 0, 0, 0, 1}, {500, 0, 0, 0.3, 0, 1}};
    assert_refuses(&car, climb, 2, false, "do not take the climb");
    mbl_stretch slide[3] = {{100, 0, 0, 0, 0, 1}, {500, 0, 0, -0.34, 0, 1}, {50, 0, 0, 0, 0, 1}};
    assert_refuses(&car, slide, 3, false, "cannot slow down in time");
    mbl_stretch wall = {300, 0, 0, 0, 0.7, 1};
    assert_refuses(&car, &wall, 1, false, "do not hold the car on the bank");
}

/* ---- robust ---- */

static double pull_or_stop(const mbl_lap_ask *ask, const mbl_stretch *at, double bend, int what,
                           double v)
{
    return what == 0 ? mbl_lap_pull(ask, at, bend, v) : mbl_lap_stop(ask, at, bend, 0, v);
}

/* Where it moves by more than 0.5 m/s2 from v to v + dv, a grid 4096 times as fine says whether it
 * jumps: a circle used up falls off as a root, by 1/64 of that. */
static void assert_continuous(const mbl_lap_ask *ask, const mbl_stretch *at, double bend, int what,
                              double v, double dv)
{
    double before = pull_or_stop(ask, at, bend, what, v);
    assert_true(isfinite(before));
    if (fabs(pull_or_stop(ask, at, bend, what, v + dv) - before) < 0.5)
        return;
    for (int k = 1; k <= 4096; k++) {
        double now = pull_or_stop(ask, at, bend, what, v + k * dv / 4096);
        if (!(fabs(now - before) < 0.3))
            fail_msg("driven %d, brakes %zu, abs %d, at %.6f m/s: %s from %g to %g",
                     ask->car->gearing.driven, ask->brakes.n, ask->car->abs, v + k * dv / 4096,
                     what == 0 ? "pull" : "stop", before, now);
        before = now;
    }
}

/* Light axles, tall cars, much power: pull and stop stay numbers, and do not jump where the turn
 * can be held. */
static void pull_and_stop_are_continuous_where_axles_leave_the_road(void **state)
{
    (void)state;
    random_source r = {31};
    static const double s[1] = {0};
    static const double mu[1][2] = {{0.45, 0.4}};
    mbl_stretch flat = {1000, 0, 0, 0, 0, 1};
    mbl_layout *layout = course_of(&flat, 1, false);
    for (int i = 0; i < 200; i++) {
        mbl_car car = drawn_car(&r);
        car.tyre.grip = random_between(&r, 0.3, 3);
        car.cg_height = random_between(&r, 0.2, 1.2);
        car.wheelbase = random_between(&r, 1.4, 3);
        car.power = 1.5e6;
        mbl_lap_ask ask = course_ask(&car, layout);
        if (random_below(&r, 2) == 0)
            ask.brakes = (mbl_lap_brakes){1, s, mu, 3e7};
        mbl_stretch at = {1000,
                          0,
                          0,
                          random_between(&r, -0.3, 0.3),
                          random_between(&r, -0.5, 0.5),
                          random_between(&r, 0.2, 1.5)};
        double bend = random_between(&r, -0.05, 0.05);
        mbl_lap_car prepared = mbl_lap_car_of(&ask);
        mbl_lap_ground ground = mbl_lap_ground_of(&at);
        mbl_lap_place place = {.ground = &ground, .curvature = bend};
        double fastest = fmin(sqrt(2 * mbl_lap_corner(&prepared, &place)), 100);
        for (int k = 0; 0.2 * (k + 1) < fastest; k++) {
            assert_continuous(&ask, &at, bend, 0, 0.2 * k, 0.2);
            assert_continuous(&ask, &at, bend, 1, 0.2 * k, 0.2);
        }
    }
    mbl_layout_drop(layout);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_lap_time_converges_faster_than_the_step),
        cmocka_unit_test(the_mirrored_course_takes_the_same_time),
        cmocka_unit_test(a_closed_course_takes_the_same_time_wherever_it_starts),
        cmocka_unit_test(more_grip_more_power_and_less_mass_are_never_slower),
        cmocka_unit_test(weak_brakes_are_slower_and_never_faster),
        cmocka_unit_test(what_holds_the_car_adds_up_to_the_time),
        cmocka_unit_test(what_cannot_be_driven_is_refused),
        cmocka_unit_test(pull_and_stop_are_continuous_where_axles_leave_the_road),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
