/* SPDX-License-Identifier: MIT */
/* A log scaled to another car, against the laps that both cars drive of a layout. */
#include "drive/loop.h"
#include "drive/scale.h"
#include "road/layout_read.h"
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

static const char *const courses[] = {"nettlewick_club", "ostrel_sweep", "cinderpan",
                                      "hobbin_climb"};
enum { COURSES = sizeof courses / sizeof courses[0] };

static mbl_layout *layout_of(size_t i)
{
    char path[512];
    mbl_layout *layout = NULL;
    mbl_error err = {0};
    snprintf(path, sizeof path, "%s/tracks/%s.yaml", MBL_SOURCE_DIR, courses[i]);
    assert_ok(mbl_layout_read(&mbl_alloc_libc, path, &layout, &err), err);
    return layout;
}

static mbl_car first_car(void)
{
    mbl_car car = test_coupe_with(test_pedal_bar);
    car.power = 220e3;
    car.pedal.present = false; /* tyres brake it, in the ideal way */
    return car;
}

static mbl_trace *lap_of(mbl_layout *layout, const mbl_car *car)
{
    mbl_case c = test_case(NULL, "{ hot: 1 }");
    mbl_path *path = NULL;
    mbl_trace *trace = NULL;
    mbl_error err = {0};
    c.car = *car;
    c.course.layout = layout;
    /* all that the car can do: the share of a driver is the same for both anyway */
    c.course.driver.corner = 1;
    c.course.driver.brake = 1;
    assert_ok(mbl_lap_of(&mbl_alloc_libc, &c, 0, 573.15, true, &path, &err), err);
    assert_ok(mbl_lap_trace(&mbl_alloc_libc, path, &trace, &err), err);
    mbl_path_free(path);
    return trace;
}

static mbl_trace *scaled(const mbl_trace *trace, const mbl_car *from, const mbl_car *to)
{
    mbl_trace *out = NULL;
    mbl_error err = {0};
    mbl_scale_ask ask = {.from = from,
                         .to = to,
                         .mass_from = mbl_car_mass(from, 0),
                         .mass_to = mbl_car_mass(to, 0),
                         .density = 1.2};
    assert_ok(mbl_scale_lap(&mbl_alloc_libc, trace, trace->median, &ask, &out, &err), err);
    return out;
}

static double time_of(const mbl_trace *t)
{
    return t->laps[t->median].end - t->laps[t->median].start;
}

static void the_same_car_drives_the_same_lap(void **state)
{
    (void)state;
    mbl_car car = first_car();
    for (size_t i = 0; i < COURSES; i++) {
        mbl_layout *layout = layout_of(i);
        mbl_trace *log = lap_of(layout, &car);
        mbl_trace *again = scaled(log, &car, &car);
        assert_near(time_of(again), time_of(log), 2e-5 * time_of(log));
        assert_int_equal(again->n, log->n);
        for (size_t k = 0; k < log->n; k++)
            assert_near(again->v[k], log->v[k], 1e-3 * log->v[k]);
        mbl_trace_drop(log);
        mbl_trace_drop(again);
        mbl_layout_drop(layout);
    }
}

/* The laps of a logged session are noisy, lie between knots, and come back all the same. */
static void a_logged_lap_comes_back_as_it_was(void **state)
{
    (void)state;
    mbl_car car = first_car();
    mbl_trace *log = test_session(&drive_harrow_vale, 3);
    mbl_trace *again = scaled(log, &car, &car);
    assert_near(time_of(again), time_of(log), 1e-4 * time_of(log));
    mbl_trace_drop(again);
    mbl_trace_drop(log);
}

/* How far a scaled lap is from the lap that the other car drives of the layout. */
static void hold(const char *what, void change(mbl_car *car), double most)
{
    for (size_t i = 0; i < COURSES; i++) {
        mbl_car from = first_car();
        mbl_car to = from;
        change(&to);
        mbl_layout *layout = layout_of(i);
        mbl_trace *log = lap_of(layout, &from);
        mbl_trace *own = lap_of(layout, &to);
        mbl_trace *scale = scaled(log, &from, &to);
        double moved = time_of(own) - time_of(log);
        double off = time_of(scale) - time_of(own);
        printf("%-14s %-16s own lap %+.2f s of %.2f s, scaled is off by %+.3f s (%.2f %%)\n", what,
               courses[i], moved, time_of(log), off, 100 * off / time_of(own));
        assert_true(fabs(off) < most * time_of(own));
        assert_true(moved * (time_of(scale) - time_of(log)) > 0); /* the same way */
        mbl_trace_drop(log);
        mbl_trace_drop(own);
        mbl_trace_drop(scale);
        mbl_layout_drop(layout);
    }
}

static void heavier(mbl_car *car)
{
    car->mass *= 1.15;
}

static void stronger(mbl_car *car)
{
    car->power *= 1.3;
}

static void grippier(mbl_car *car)
{
    car->tyre.grip *= 1.15;
}

static void draggier(mbl_car *car)
{
    car->aero.drag_area *= 1.3;
}

static void a_scaled_lap_is_near_the_lap_of_the_layout(void **state)
{
    (void)state;
    hold("15 % mass", heavier, 0.001);
    hold("30 % power", stronger, 0.0032);
    hold("15 % grip", grippier, 0.0012);
    hold("30 % drag", draggier, 0.0018);
}

static void a_car_without_grip_or_power_is_refused(void **state)
{
    (void)state;
    mbl_car car = first_car();
    mbl_car lacks = car;
    mbl_trace *log = test_session(&drive_harrow_vale, 2);
    mbl_trace *out = NULL;
    mbl_error err = {0};
    mbl_scale_ask ask = {
        .from = &car, .to = &lacks, .mass_from = 1400, .mass_to = 1400, .density = 1.2};
    lacks.power = (double)NAN;
    assert_int_equal(mbl_scale_lap(&mbl_alloc_libc, log, 0, &ask, &out, &err), MBL_INPUT);
    assert_non_null(strstr(err.text, "the new car needs power"));
    lacks = car;
    lacks.tyre.grip = (double)NAN;
    ask.from = &lacks;
    ask.to = &car;
    err = (mbl_error){0};
    assert_int_equal(mbl_scale_lap(&mbl_alloc_libc, log, 0, &ask, &out, &err), MBL_INPUT);
    assert_non_null(strstr(err.text, "(of) needs tyre.grip"));
    assert_null(out);
    mbl_trace_drop(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_car_drives_the_same_lap),
        cmocka_unit_test(a_logged_lap_comes_back_as_it_was),
        cmocka_unit_test(a_scaled_lap_is_near_the_lap_of_the_layout),
        cmocka_unit_test(a_car_without_grip_or_power_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
