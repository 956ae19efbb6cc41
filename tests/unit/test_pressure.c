/* SPDX-License-Identifier: MIT */
/* Line pressure in place of inferred braking: the fit of its scale, and what is driven with it. */
#include "road/pressure.h"
#include "road/figures.h"
#include "support/drive.h"
#include "support/test.h"
#include "support/test_alloc.h"

static const mbl_vehicle plain = {.mass = 1000,
                                  .rotating = 0.05,
                                  .drag_area = 0.5,
                                  .rolling = 0.01,
                                  .engine_braking = 0.5,
                                  .air_density = 1.2};
static const mbl_vehicle heavy = {.mass = 1500,
                                  .rotating = 0.1,
                                  .drag_area = 0.8,
                                  .rolling = 0.02,
                                  .engine_braking = 0.2,
                                  .air_density = 1.2};

enum { ROOM = 4000 };
static double t[ROOM], v[ROOM], p[ROOM], grade[ROOM];

/* A trace of n knots on the arrays above; brakes on above 1 bar. */
static mbl_trace trace_of(size_t n)
{
    return (mbl_trace){.n = n, .t = t, .v = v, .grade = grade, .pressure = p, .pressure_on = 1e5};
}

/*
 * 20 Hz: 6 s of pull, then a stop of 3 s at what the pressure gives: 1e-6 m/s2 per Pa beyond
 * coasting, each stop 2 bar harder than the one before. The friction of stop k is times mu[k].
 */
static mbl_trace stops(size_t n, const double *mu, size_t lag)
{
    size_t k = 0;
    double speed = 20;
    memset(grade, 0, sizeof grade);
    for (size_t stop = 0; stop < n; stop++)
        for (size_t i = 0; i < 180; i++, k++) {
            double push = i < 120 ? 0 : 60e5 + 2e5 * (double)stop;
            t[k] = 0.05 * (double)k;
            v[k] = speed;
            p[k] = 0;
            double slowing =
                i < 120 ? -4 : 1e-6 * mu[stop] * push + mbl_vehicle_coast(&plain, speed, 0);
            speed = fmax(5, speed - 0.05 * slowing);
        }
    for (size_t i = 0; i < k; i++) {
        size_t in = (i + lag) % 180;
        p[i] = in < 120 ? 0 : 60e5 + 2e5 * (double)((i + lag) / 180);
    }
    return trace_of(k);
}

static mbl_pressure_fit fit(const mbl_trace *trace)
{
    mbl_pressure_fit out = {0};
    mbl_error err = {0};
    assert_ok(mbl_pressure_fit_make(&mbl_alloc_libc, trace, &plain, &out, &err), err);
    return out;
}

static const double steady[] = {1, 1, 1, 1, 1, 1, 1, 1};

/* J of a stretch with and without pressure, in the given steps. */
static double driven(const mbl_trace *trace, double start, double end, double pace,
                     const mbl_vehicle *driver, double scale, const mbl_vehicle *car, double step,
                     double *on)
{
    static double time[ROOM + 1], speed[ROOM + 1], power[ROOM];
    mbl_channels c = {.room = ROOM, .time = time, .speed = speed, .power = power};
    mbl_channels_lap(trace, start, end, pace, driver, scale, car, step, &c);
    assert_near(c.inferred, scale > 0 ? 0 : c.energy, 0);
    *on = c.braking_time;
    return c.energy;
}

static void the_scale_is_that_of_the_brakes(void **state)
{
    (void)state;
    mbl_trace trace = stops(8, steady, 0);
    mbl_pressure_fit f = fit(&trace);
    assert_close(f.scale, 1e-6, 0.02); /* whole knots at both ends of each stop */
    assert_true(f.scatter < 0.01);
    assert_near(f.share, 1, 1e-6);
    assert_int_equal(f.stops, 8);
    assert_true(mbl_pressure_fit_holds(&f));
    /* the unit of the sensor drops out */
    for (size_t i = 0; i < trace.n; i++)
        p[i] /= 37;
    trace.pressure_on /= 37;
    assert_close(fit(&trace).scale, 37 * f.scale, 1e-9);
}

static void the_work_of_the_brakes_stays_what_the_speed_shows(void **state)
{
    (void)state;
    mbl_trace trace = stops(8, steady, 0);
    double scale = 0;
    double scatter = 0;
    mbl_error err = {0};
    assert_ok(mbl_trace_pressure_scale(&mbl_alloc_libc, &trace, &plain, &scale, &scatter, &err),
              err);
    double on = 0;
    double end = t[trace.n - 1];
    double inferred = driven(&trace, 0, end, 1, &plain, 0, &plain, 0.05, &on);
    assert_close(driven(&trace, 0, end, 1, &plain, scale, &plain, 0.05, &on), inferred, 1e-9);
    /* and so it does in any unit, with a speed that lags by 0.2 s */
    trace = stops(8, steady, 4);
    assert_ok(mbl_trace_pressure_scale(&mbl_alloc_libc, &trace, &plain, &scale, &scatter, &err),
              err);
    inferred = driven(&trace, 0, end, 1, &plain, 0, &plain, 0.05, &on);
    assert_close(driven(&trace, 0, end, 1, &plain, scale, &plain, 0.05, &on), inferred, 0.005);
    assert_near(scatter, 0, 0.03);
}

static void one_stop_that_disagrees_does_not_count(void **state)
{
    (void)state;
    static const double odd[] = {1, 1, 1, 0.3, 1, 1, 1, 1};
    mbl_trace trace = stops(8, odd, 0);
    mbl_pressure_fit f = fit(&trace);
    assert_close(f.scale, 1e-6, 0.02);
    assert_true(mbl_pressure_fit_holds(&f));
}

static void brakes_that_fade_are_in_the_scatter(void **state)
{
    (void)state;
    static const double fading[] = {1.15, 1.1, 1.05, 1, 1, 0.95, 0.9, 0.85};
    mbl_trace trace = stops(8, fading, 0);
    mbl_pressure_fit f = fit(&trace);
    assert_close(f.scale, 1e-6, 0.05);
    assert_near(f.scatter, 0.06, 0.03);
    assert_true(mbl_pressure_fit_holds(&f));
}

static void pressure_that_explains_nothing_is_not_used(void **state)
{
    (void)state;
    mbl_trace trace = stops(8, steady, 0);
    double scale = 1;
    double scatter = 1;
    mbl_error err = {0};
    /* on while the car pulls */
    for (size_t i = 0; i < trace.n; i++)
        p[i] = i % 180 < 120 ? 5e5 : 0;
    assert_ok(mbl_trace_pressure_scale(&mbl_alloc_libc, &trace, &plain, &scale, &scatter, &err),
              err);
    assert_near(scale, 0, 0);
    /* on in three stops of eight only: most braking is not in it */
    trace = stops(8, steady, 0);
    for (size_t i = 3 * 180; i < trace.n; i++)
        p[i] = 0;
    assert_near(fit(&trace).share, 3.0 / 8, 0.06);
    assert_ok(mbl_trace_pressure_scale(&mbl_alloc_libc, &trace, &plain, &scale, &scatter, &err),
              err);
    assert_near(scale, 0, 0);
    /* all over the place */
    static const double wild[] = {0.3, 1.7, 0.5, 2.5, 0.4, 1.4, 0.2, 2};
    trace = stops(8, wild, 0);
    mbl_pressure_fit f = fit(&trace);
    assert_true(f.scatter > 0.25);
    assert_false(mbl_pressure_fit_holds(&f));
    /* not there */
    trace.pressure = NULL;
    f = fit(&trace);
    assert_true(isnan(f.scale) && isnan(f.scatter));
    assert_near(f.share, 0, 0);
    assert_false(mbl_pressure_fit_holds(&f));
    /* at one stop nothing can disagree */
    trace = stops(1, steady, 0);
    f = fit(&trace);
    assert_int_equal(f.stops, 1);
    assert_false(mbl_pressure_fit_holds(&f));
}

static void a_dab_is_no_stop_and_a_pause_is_in_one(void **state)
{
    (void)state;
    mbl_trace trace = stops(4, steady, 0);
    /* 0.2 s on the straight; 0.2 s off in the middle of the first stop */
    for (size_t i = 40; i < 44; i++)
        p[i] = 60e5;
    for (size_t i = 150; i < 154; i++)
        p[i] = 0;
    mbl_pressure_fit f = fit(&trace);
    assert_int_equal(f.stops, 4);
    /* half a second off is two stops */
    for (size_t i = 150; i < 160; i++)
        p[i] = 0;
    assert_int_equal(fit(&trace).stops, 5);
}

/* ---- driven by pressure ---- */

/* 40 to 20 m/s in 2 s; 30 bar all through, then rolling. */
static mbl_trace one_stop(void)
{
    static const double at[] = {0, 1, 3, 5};
    static const double speed[] = {40, 40, 20, 20};
    memset(grade, 0, sizeof grade);
    for (size_t i = 0; i < 4; i++) {
        t[i] = at[i];
        v[i] = speed[i];
        p[i] = i == 1 || i == 2 ? 30e5 : 0;
    }
    return trace_of(4);
}

static void the_force_of_the_driver_is_scale_times_pressure(void **state)
{
    (void)state;
    mbl_trace trace = one_stop();
    double on = 0;
    /* 30 bar at 2e-6 m/s2 per Pa on 1050 kg over 60 m; ramps of 30 bar a second before and over
       two seconds after: 40 m x 1/2, 20 m/s x 2 s x 1/2 */
    double want = 1050 * 2e-6 * 30e5 * (60 + 40 * 0.5 + 20 * 2 * 0.5);
    assert_close(driven(&trace, 0, 5, 1, &plain, 2e-6, &plain, 0.05, &on), want, 1e-9);
    assert_near(on, 5, 1e-9);
    /* half the pressure, half the work, whatever the speed did */
    assert_close(driven(&trace, 0, 5, 1, &plain, 1e-6, &plain, 0.05, &on), want / 2, 1e-9);
    /* only while it is on: its mean over an interval counts */
    trace.pressure_on = 16e5;
    assert_close(driven(&trace, 0, 5, 1, &plain, 2e-6, &plain, 0.05, &on), 1050 * 2e-6 * 30e5 * 60,
                 1e-9);
    assert_near(on, 2, 1e-9);
}

static void energy_by_pressure_does_not_depend_on_the_step(void **state)
{
    (void)state;
    mbl_trace trace = one_stop();
    grade[1] = 0.03;
    double on = 0;
    double whole = driven(&trace, 0, 5, 0.9, &plain, 2e-6, &heavy, 5, &on);
    static const double steps[] = {0.002, 0.0137, 0.3, 1};
    for (size_t i = 0; i < 4; i++)
        assert_close(driven(&trace, 0, 5, 0.9, &plain, 2e-6, &heavy, steps[i], &on), whole, 1e-9);
    double halves = driven(&trace, 0, 2.2, 0.9, &plain, 2e-6, &heavy, 0.05, &on) +
                    driven(&trace, 2.2, 5, 0.9, &plain, 2e-6, &heavy, 0.05, &on);
    assert_close(halves, whole, 1e-9);
}

static void another_car_takes_the_difference(void **state)
{
    (void)state;
    mbl_trace trace = one_stop();
    trace.pressure_on = 16e5;
    double on = 0;
    /*
     * In the stop the driver's car slows by 6 m/s2 and what it coasts with, the other by as much:
     * 1650 (6 + (0.3 v2 + 98.0665 + 500) / 1050) - (0.48 v2 + 294.1995 + 300) newtons, over 60 m,
     * and with v2 = 1600 - 20 s the integral of v2 is 1600 x 60 - 10 x 3600.
     */
    double square = 1600.0 * 60 - 10 * 3600;
    double want =
        1650 * (6 * 60 + (0.3 * square + 598.0665 * 60) / 1050) - (0.48 * square + 594.1995 * 60);
    assert_close(driven(&trace, 0, 5, 1, &plain, 2e-6, &heavy, 0.05, &on), want, 1e-9);
    /* and where its own drag does all of it, nothing */
    mbl_vehicle parachute = plain;
    parachute.drag_area = 60;
    assert_near(driven(&trace, 0, 5, 1, &plain, 2e-6, &parachute, 0.05, &on), 0, 0);
    /* at 0.8 of the pace: forces by the square, over the same way */
    mbl_vehicle bare = {.mass = 1000};
    assert_close(driven(&trace, 0, 5, 0.8, &bare, 2e-6, &bare, 0.05, &on), 0.64 * 1000 * 6 * 60,
                 1e-9);
    assert_near(on, 2.5, 1e-9);
}

/* ---- figures of a lap ---- */

static void figures_count_stops_and_find_the_greatest(void **state)
{
    (void)state;
    static const double at[] = {0, 5, 9, 14, 16, 20, 20.1, 20.2, 20.4, 24, 30};
    static const double speed[] = {50, 50, 10, 40, 20, 20, 19.2, 19.2, 17.4, 40, 40};
    memset(grade, 0, sizeof grade);
    for (size_t i = 0; i < 11; i++) {
        t[i] = at[i];
        v[i] = speed[i];
        p[i] = 0;
    }
    mbl_lap laps[2] = {{1, MBL_LAP_HOT, 0, 10, 50}, {2, MBL_LAP_HOT, 10, 30, 40}};
    mbl_trace trace = trace_of(11);
    trace.laps = laps;
    trace.nlaps = 2;
    mbl_vehicle bare = {.mass = 800};
    mbl_lap_figures f;
    mbl_lap_measure(&trace, 0, &bare, 0, &f);
    assert_near(f.time, 10, 0);
    assert_near(f.top_speed, 50, 0);
    assert_close(f.energy, 0.5 * (2500 - 100), 1e-9);
    assert_near(f.braking_share, 0.4, 1e-9);
    assert_int_equal(f.stops, 1);
    assert_near(f.from, 50, 1e-9);
    assert_near(f.to, 10, 1e-9);
    /* 40 to 20; 20 to 17.4 with a tenth of a second off the brakes is 9.4 km/h and no stop */
    mbl_lap_measure(&trace, 1, &bare, 0, &f);
    assert_int_equal(f.stops, 1);
    assert_near(f.from, 40, 1e-9);
    assert_near(f.to, 20, 1e-9);
    assert_close(f.energy, 0.5 * (1600 - 400 + 400 - 19.2 * 19.2 + 19.2 * 19.2 - 17.4 * 17.4),
                 1e-9);
    /* 17.2 makes it 10.1 km/h */
    v[8] = 17.2;
    mbl_lap_measure(&trace, 1, &bare, 0, &f);
    assert_int_equal(f.stops, 2);
    assert_near(f.from, 40, 1e-9);
    /* off for longer, they are two brakings, and neither is a stop */
    t[7] = 20.45;
    t[8] = 20.6;
    mbl_lap_measure(&trace, 1, &bare, 0, &f);
    assert_int_equal(f.stops, 1);
    /* a lap that begins or ends on the brakes has what lies within */
    laps[0].end = 7;
    mbl_lap_measure(&trace, 0, &bare, 0, &f);
    assert_near(f.to, 30, 1e-9);
    laps[1].start = 15;
    mbl_lap_measure(&trace, 1, &bare, 0, &f);
    assert_near(f.from, 30, 1e-9);
    /* without braking there is no stop */
    laps[1].start = 25;
    mbl_lap_measure(&trace, 1, &bare, 0, &f);
    assert_int_equal(f.stops, 0);
    assert_near(f.from + f.to + f.energy + f.braking_share, 0, 0);
    /* with pressure, its stops are where the pressure is */
    p[3] = p[4] = 60e5;
    trace.pressure_on = 31e5;
    laps[1].start = 10;
    mbl_lap_measure(&trace, 1, &bare, 1e-6, &f);
    assert_int_equal(f.stops, 1);
    assert_near(f.from, 40, 1e-9);
    assert_near(f.braking_share, 0.1, 1e-9);
}

static void every_failed_allocation_is_reported(void **state)
{
    (void)state;
    mbl_trace trace = stops(4, steady, 0);
    test_alloc a;
    test_alloc_init(&a);
    a.fail_at = 1;
    mbl_pressure_fit f = {.stops = 77};
    double scale = 7;
    double scatter = 7;
    mbl_error err = {0};
    assert_int_equal(mbl_pressure_fit_make(&a.alloc, &trace, &plain, &f, &err), MBL_MEMORY);
    assert_int_equal(f.stops, 77);
    a.calls = 0;
    assert_int_equal(mbl_trace_pressure_scale(&a.alloc, &trace, &plain, &scale, &scatter, &err),
                     MBL_MEMORY);
    assert_near(scale + scatter, 14, 0);
    a.fail_at = 0;
    assert_int_equal(mbl_pressure_fit_make(&a.alloc, &trace, &plain, &f, &err), MBL_OK);
    assert_int_equal(a.live_bytes, 0);
    assert_int_equal(a.wrong_size, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_scale_is_that_of_the_brakes),
        cmocka_unit_test(the_work_of_the_brakes_stays_what_the_speed_shows),
        cmocka_unit_test(one_stop_that_disagrees_does_not_count),
        cmocka_unit_test(brakes_that_fade_are_in_the_scatter),
        cmocka_unit_test(pressure_that_explains_nothing_is_not_used),
        cmocka_unit_test(a_dab_is_no_stop_and_a_pause_is_in_one),
        cmocka_unit_test(the_force_of_the_driver_is_scale_times_pressure),
        cmocka_unit_test(energy_by_pressure_does_not_depend_on_the_step),
        cmocka_unit_test(another_car_takes_the_difference),
        cmocka_unit_test(figures_count_stops_and_find_the_greatest),
        cmocka_unit_test(every_failed_allocation_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
