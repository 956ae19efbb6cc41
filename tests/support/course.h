/* SPDX-License-Identifier: MIT */
/* Layouts for tests, made of stretches, and cars to drive them. */
#ifndef MBL_TESTS_COURSE_H
#define MBL_TESTS_COURSE_H

#include "drive/lap.h"
#include "support/random.h"
#include "support/test.h"

/* A layout of n stretches; the test fails where it is refused. */
static inline mbl_layout *course_of(const mbl_stretch *stretch, size_t n, bool closed)
{
    mbl_layout_plan plan = {
        .name = "test", .note = "", .closed = closed, .n = n, .stretch = stretch, .pit_entry = NAN};
    mbl_layout *layout = NULL;
    mbl_error err = {0};
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), err);
    return layout;
}

/* The lap; the caller frees it. */
static inline mbl_path *course_drive(const mbl_lap_ask *ask)
{
    mbl_path *path = NULL;
    mbl_error err = {0};
    assert_ok(mbl_lap_drive(&mbl_alloc_libc, ask, &path, &err), err);
    return path;
}

/* s of a lap. */
static inline double course_time(const mbl_lap_ask *ask)
{
    mbl_path *path = course_drive(ask);
    double time = path->time;
    mbl_path_free(path);
    return time;
}

/* m/s at s: v^2 is linear between nodes. */
static inline double course_speed(const mbl_path *path, double s)
{
    size_t i = 0;
    while (i + 2 < path->n && path->s[i + 1] <= s)
        i++;
    double part = (s - path->s[i]) / (path->s[i + 1] - path->s[i]);
    double from = path->v[i] * path->v[i];
    return sqrt(from + part * (path->v[i + 1] * path->v[i + 1] - from));
}

enum { COURSE_MOST = 64 };

/*
 * `turns` corners of radius 15 to 200 m, each left by straight and clothoid and right or left;
 * grade up to `grade` either way, bank up to `bank`. Returns how many stretches.
 */
static inline size_t course_random(random_source *r, int turns, double grade, double bank,
                                   mbl_stretch out[COURSE_MOST])
{
    size_t n = 0;
    for (int i = 0; i < turns; i++) {
        double side = random_below(r, 2) == 0 ? 1 : -1;
        double bend = side / random_between(r, 15, 200);
        double up = random_between(r, -grade, grade);
        double tilt = random_between(r, -bank, bank);
        double ease = random_between(r, 10, 60);
        out[n++] = (mbl_stretch){random_between(r, 20, 500), 0, 0, up, 0, 1};
        out[n++] = (mbl_stretch){ease, 0, bend, up, 0, 1};
        out[n++] = (mbl_stretch){random_between(r, 5, 100), bend, bend, up, tilt, 1};
        out[n++] = (mbl_stretch){ease, bend, 0, up, 0, random_between(r, 0.9, 1)};
    }
    return n;
}

/* Tyres of constant friction and nothing that resists; the rest as a test needs it. */
static inline mbl_car course_plain_car(double mass, double grip, double power)
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
static inline void course_share_brakes(mbl_car *car, double front)
{
    car->front.effective_radius = 0.2 * front;
    car->rear.effective_radius = 0.2 * (1 - front);
}

static inline mbl_lap_ask course_ask(const mbl_car *car, const mbl_layout *layout)
{
    return (mbl_lap_ask){.car = car,
                         .layout = layout,
                         .driver = {.corner = 1, .brake = 1, .power = 1},
                         .mass = car->mass,
                         .density = 1.2};
}

/* A car with everything that the closed forms leave out. */
static inline mbl_car course_full_car(void)
{
    mbl_car car = course_plain_car(1350, 1.35, 260e3);
    car.rotating = 0.04;
    car.rolling = 0.015;
    car.engine_braking = 0.4;
    car.aero.drag_area = 0.8;
    car.aero.downforce_area = 1.2;
    car.aero.front_share = 0.42;
    car.tyre.load_sensitivity = 0.12;
    car.front_weight = 0.54;
    car.gearing.driven = MBL_DRIVEN_REAR;
    course_share_brakes(&car, 0.7);
    return car;
}

/* A closed course of that kind, of number `seed`. */
static inline mbl_layout *course_round(uint64_t seed, int turns, double grade)
{
    random_source r = {seed};
    mbl_stretch stretch[COURSE_MOST];
    size_t n = course_random(&r, turns, grade, 0.06, stretch);
    return course_of(stretch, n, true);
}

#endif
