/* SPDX-License-Identifier: MIT */
/*
 * Laps against textbook mechanics, and against an integration of the same axles in time that is
 * written here. Textbook results are those of elementary mechanics, from memory, computed.
 */
#include "drive/lap_limits.h"
#include "support/course.h"
#include "support/test.h"
#include "support/validation.h"

static const double g = 9.80665;

static const char mechanics[] = "elementary mechanics, textbook, from memory; computed";

/* Tyres of constant friction and nothing that resists; the rest as a test needs it. */
static mbl_car plain_car(double mass, double grip, double power)
{
    mbl_car car = {.mass = mass,
                   .front_weight = 0.5,
                   .cg_height = 0.5,
                   .wheelbase = 2.5,
                   .power = power,
                   .present = true};
    car.tyre.radius = 0.3;
    car.tyre.grip = grip;
    car.aero.front_share = 0.5;
    car.gearing.driven = MBL_DRIVEN_ALL;
    car.gearing.final = NAN;
    car.front.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.rear.caliper.pistons = (mbl_numbers){1, {0.05}};
    car.front.effective_radius = 0.136;
    car.rear.effective_radius = 0.064;
    return car;
}

/* Front share of the braking force by the radii of the brakes. */
static void share_brakes(mbl_car *car, double front)
{
    car->front.effective_radius = 0.2 * front;
    car->rear.effective_radius = 0.2 * (1 - front);
}

static mbl_lap_ask ask_of(const mbl_car *car, const mbl_layout *layout)
{
    return (mbl_lap_ask){.car = car,
                         .layout = layout,
                         .driver = {.corner = 1, .brake = 1, .power = 1},
                         .mass = car->mass,
                         .density = 1.2};
}

/* m/s on a closed circle, which is the same all round. */
static double round_circle(const mbl_car *car, double radius, double bank, double grade)
{
    mbl_stretch circle = {2 * M_PI * radius, 1 / radius, 1 / radius, grade, bank, 1};
    mbl_layout *layout = course_of(&circle, 1, true);
    mbl_lap_ask ask = ask_of(car, layout);
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
    mbl_lap_ask ask = ask_of(car, layout);
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
    mbl_car car = plain_car(1000, 1.0, 1e5);
    /* v^2 = mu g R */
    validate("circle of 50 m, friction 1.0: speed, m/s", mechanics, 22.143,
             round_circle(&car, 50, 0, 0), 0.005);
    /* m v^2 / R = mu (m g + rho S v^2 / 2): v^2 = mu g R / (1 - mu rho S R / (2 m)) */
    car.tyre.grip = 1.2;
    car.aero.downforce_area = 3;
    validate("circle of 100 m, friction 1.2, 1000 kg, downforce area 3 m2: speed, m/s", mechanics,
             38.743, round_circle(&car, 100, 0, 0), 0.005);
    /* v^2 = R g (sin b + mu cos b) / (cos b - mu sin b) */
    car = plain_car(1000, 0.8, 1e5);
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
    mbl_car car = plain_car(1000, 1.0, 1e5);
    car.aero.downforce_area = 3;
    car.aero.front_share = 1;
    validate("circle of 50 m, friction 1.0, downforce on the front axle alone: speed, m/s",
             mechanics, 22.143, round_circle(&car, 50, 0, 0), 0.005);
    /* Rear wheels drive against a drag of 1/2 rho CdA v^2: (m v^2/(2R))^2 + (0.6 CdA v^2)^2 =
     * (mu m g / 2)^2, so v^2 = mu m g / (2 sqrt((m/(2R))^2 + (0.6 CdA)^2)); CdA 2 m2 */
    car = plain_car(1000, 1.0, 1e6);
    car.gearing.driven = MBL_DRIVEN_REAR;
    car.aero.drag_area = 2;
    validate("circle of 200 m, rear driven against a drag area of 2 m2: speed, m/s", mechanics,
             42.0498, round_circle(&car, 200, 0, 0), 0.005);
}

static void power_meets_drag_at_the_top_speed(void **state)
{
    (void)state;
    mbl_car car = plain_car(1400, 1.2, 200e3);
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
    mbl_car car = plain_car(1200, 3.0, 200e3);
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
    mbl_car car = plain_car(1200, 1.0, 400e3);
    /* v^2 = 2 mu g s */
    validate("friction 1.0, 100 m in front of a standstill: speed, m/s", mechanics, 44.287,
             along_straight(&car, 2000, 0, 1900, NULL), 0.005);
    /* the textbook's fixed share, tests/reference/test_balance_stops.c: z = 0.48 k / (0.32 + 0.2 k)
     * on k = 1.1, weight 0.52 in front, h/L = 0.2 */
    car.front_weight = 0.52;
    car.tyre.grip = 1.1;
    share_brakes(&car, 0.68);
    static const double s[1] = {0};
    static const double mu[1][2] = {{0.4, 0.4}};
    mbl_stretch flat = {1000, 0, 0, 0, 0, 1};
    mbl_layout *layout = course_of(&flat, 1, false);
    mbl_lap_ask ask = ask_of(&car, layout);
    ask.brakes = (mbl_lap_brakes){1, s, mu, 2e7};
    validate("front share fixed at 0.68, grip 1.1: most deceleration, g", mechanics, 0.9778,
             mbl_lap_stop(&ask, &flat, 0, 500, 40) / g, 6e-5);
    mbl_layout_drop(layout);
}

static void a_climb_is_driven_at_what_power_lifts(void **state)
{
    (void)state;
    mbl_car car = plain_car(1200, 1.0, 30e3);
    /* v = P / (m g sin a), tan a = 0.1 */
    validate("30 kW lift 1200 kg up 10 %: speed, m/s", mechanics, 25.62,
             along_straight(&car, 8000, 0.1, 7000, NULL), 0.01);
}

static void the_best_gear_pulls(void **state)
{
    (void)state;
    mbl_car car = plain_car(1200, 3.0, NAN);
    car.gearing.torque = (mbl_curve){.n = 2, .x = {1000, 7000}, .y = {300, 300}};
    car.gearing.ratios = (mbl_numbers){3, {3, 2, 1}};
    car.gearing.final = 4;
    car.gearing.efficiency = 0.9;
    mbl_stretch flat = {1000, 0, 0, 0, 0, 1};
    mbl_layout *layout = course_of(&flat, 1, false);
    mbl_lap_ask ask = ask_of(&car, layout);
    /* F = 300 N m x ratio x 4 x 0.9 / 0.3 m; a gear ends at 7000 / 60 x 2 pi x 0.3 / (ratio x 4):
     * 18.33, 27.49 and 54.98 m/s */
    validate("300 N m, gears 3 2 1, final 4, at 10 m/s: pull, m/s2", mechanics, 9.0,
             mbl_lap_pull(&ask, &flat, 0, 10), 1e-9);
    validate("the same at 20 m/s", mechanics, 6.0, mbl_lap_pull(&ask, &flat, 0, 20), 1e-9);
    validate("the same at 30 m/s", mechanics, 3.0, mbl_lap_pull(&ask, &flat, 0, 30), 1e-9);
    assert_near(mbl_lap_pull(&ask, &flat, 0, 56), 0, 1e-12);
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

/* A car with everything that the closed forms leave out. */
static mbl_car full_car(void)
{
    mbl_car car = plain_car(1350, 1.35, 260e3);
    car.rotating = 0.04;
    car.rolling = 0.015;
    car.engine_braking = 0.4;
    car.aero.drag_area = 0.8;
    car.aero.downforce_area = 1.2;
    car.aero.front_share = 0.42;
    car.tyre.load_sensitivity = 0.12;
    car.front_weight = 0.54;
    car.gearing.driven = MBL_DRIVEN_REAR;
    share_brakes(&car, 0.7);
    return car;
}

/* The turn of the integration: a clothoid of 60 m to 40 m radius, banked, downhill. */
static const double EASE = 60;
static const double TIGHT = 1.0 / 40;
static const double BANK = 0.05;
static const double GRADE = -0.03;

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
    mbl_car car = full_car();
    mbl_layout *layout = course_of(turn, 4, false);
    mbl_lap_ask ask = ask_of(&car, layout);
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

/* ---- steps, sides, starts ---- */

static mbl_layout *round_course(uint64_t seed, int turns, double grade)
{
    random_source r = {seed};
    mbl_stretch stretch[COURSE_MOST];
    size_t n = course_random(&r, turns, grade, 0.06, stretch);
    return course_of(stretch, n, true);
}

static void the_lap_time_converges_faster_than_the_step(void **state)
{
    (void)state;
    mbl_car car = full_car();
    double orders = 0;
    enum { COURSES = 6 };
    for (uint64_t seed = 1; seed <= COURSES; seed++) {
        mbl_layout *layout = round_course(seed, 8, 0.05);
        mbl_lap_ask ask = ask_of(&car, layout);
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
    mbl_car car = full_car();
    for (uint64_t seed = 1; seed <= 5; seed++) {
        mbl_layout *layout = round_course(seed, 8, 0.05);
        mbl_layout *mirrored = NULL;
        mbl_error err = {0};
        assert_ok(mbl_layout_mirror(layout, &mirrored, &err), err);
        mbl_lap_ask ask = ask_of(&car, layout);
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
    mbl_car car = full_car();
    for (uint64_t seed = 1; seed <= 5; seed++) {
        mbl_layout *layout = round_course(seed, 8, 0.05);
        mbl_lap_ask ask = ask_of(&car, layout);
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
    mbl_car car = full_car();
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
        mbl_layout *layout = round_course(random_bits(&r), 6, 0.012);
        mbl_lap_ask ask = ask_of(&car, layout);
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
        mbl_layout *layout = round_course(random_bits(&r), 6, 0.012);
        mbl_lap_ask ask = ask_of(&car, layout);
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
    mbl_car car = full_car();
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
    mbl_lap_ask ask = ask_of(&car, layout);
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

/* ---- the driver ---- */

static void a_driver_who_leaves_something_is_slower(void **state)
{
    (void)state;
    mbl_car car = full_car();
    mbl_layout *layout = round_course(3, 8, 0.05);
    mbl_lap_ask ask = ask_of(&car, layout);
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
    car = plain_car(1000, 1.0, 1e5);
    mbl_stretch circle = {300, 0.02, 0.02, 0, 0, 1};
    layout = course_of(&circle, 1, true);
    ask = ask_of(&car, layout);
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
    mbl_car car = plain_car(1200, 1.0, 100e3);
    mbl_stretch straight = {2000, 0, 0, 0, 0, 1};
    mbl_layout *layout = course_of(&straight, 1, false);
    mbl_lap_ask ask = ask_of(&car, layout);
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

/* ---- what cannot be driven ---- */

static void assert_refuses(const mbl_car *car, const mbl_stretch *stretch, size_t n, bool closed,
                           const char *part)
{
    mbl_layout *layout = course_of(stretch, n, closed);
    mbl_lap_ask ask = ask_of(car, layout);
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
    mbl_car car = plain_car(1200, NAN, 1e5);
    mbl_stretch circle = {300, 0.02, 0.02, 0, 0, 1};
    assert_refuses(&car, &circle, 1, true, "car.tyre.grip is missing");
    car = plain_car(1200, 1, NAN);
    assert_refuses(&car, &circle, 1, true, "car.power is missing");
    car = plain_car(1200, 0.2, 1e5);
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
        mbl_lap_ask ask = ask_of(&car, layout);
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
        cmocka_unit_test(a_circle_is_driven_at_what_friction_holds),
        cmocka_unit_test(the_axle_that_is_short_of_grip_sets_the_speed),
        cmocka_unit_test(power_meets_drag_at_the_top_speed),
        cmocka_unit_test(constant_power_gains_speed_as_the_cube_root_of_the_way),
        cmocka_unit_test(friction_stops_the_car),
        cmocka_unit_test(a_climb_is_driven_at_what_power_lifts),
        cmocka_unit_test(the_best_gear_pulls),
        cmocka_unit_test(braking_into_a_tightening_turn_is_that_of_an_integration_in_time),
        cmocka_unit_test(the_lap_time_converges_faster_than_the_step),
        cmocka_unit_test(the_mirrored_course_takes_the_same_time),
        cmocka_unit_test(a_closed_course_takes_the_same_time_wherever_it_starts),
        cmocka_unit_test(more_grip_more_power_and_less_mass_are_never_slower),
        cmocka_unit_test(weak_brakes_are_slower_and_never_faster),
        cmocka_unit_test(what_holds_the_car_adds_up_to_the_time),
        cmocka_unit_test(a_driver_who_leaves_something_is_slower),
        cmocka_unit_test(braking_early_is_gentler_by_as_much),
        cmocka_unit_test(what_cannot_be_driven_is_refused),
        cmocka_unit_test(pull_and_stop_are_continuous_where_axles_leave_the_road),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
