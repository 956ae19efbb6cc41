/* SPDX-License-Identifier: MIT */
/* How many hot laps hold, held against runs of as many. */
#include "support/session.h"
#include "support/coupe.h"
#include "support/test.h"

static mbl_trace *trace;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 3);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    return 0;
}

static mbl_run *run_of(const mbl_case *c)
{
    mbl_error err = {0};
    mbl_run *run = NULL;
    assert_ok(mbl_run_make(&mbl_alloc_libc, c, NULL, 0, &run, &err), err);
    return run;
}

/* Runs with the hot laps that are said to hold, and with one more: the second must fail. */
static void the_reach_is_what_running_it_shows(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 6, cool: 1, park: 10 min }");
    c.car.front.pad.window.v[1] = 2000;
    c.car.rear.pad.window.v[1] = 2000;
    c.limits.rotor = 2000;
    c.limits.caliper = 2000;
    c.car.fluid.wet = 273.15 + 121; /* passed only while parked */
    mbl_run *run = run_of(&c);
    mbl_reach reach = run->reach;
    mbl_run_free(run);
    assert_true(reach.known);
    assert_false(reach.capped);
    assert_true(reach.parked);
    assert_int_equal(reach.limit, MBL_CHECK_FLUID);
    assert_true(reach.holds > 0);
    for (int more = 0; more < 2; more++) {
        mbl_case again = c;
        again.stint.hot = reach.holds + more;
        run = run_of(&again);
        assert_int_equal(run->verdict == MBL_FAILS, more == 1);
        mbl_run_free(run);
    }
}

static void a_car_that_never_gets_hot_has_no_end_in_sight(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 2, pace: { hot: 0.4 } }");
    mbl_run *run = run_of(&c);
    assert_int_equal(run->verdict, MBL_HOLDS);
    assert_true(run->reach.capped);
    assert_int_equal(run->reach.holds, 2 + MBL_MORE_LAPS_CAP);
    mbl_run_free(run);
}

/*
 * Pads with so many laps left in them: that many hold, and what gives out is their wear, fast or
 * slow.
 */
static void laps_end_where_the_pads_do(void **state)
{
    (void)state;
    static const int left[] = {1, 5, 40};
    static const double wear[] = {1e-13, 2e-15};
    mbl_case c = test_case(trace, "{ hot: 2 }");
    c.car.front.pad.window.v[1] = c.car.rear.pad.window.v[1] = 2000;
    c.limits.rotor = c.limits.caliper = 2000;
    test_fill(&mbl_fluid_schema, "{ dry: 380 C, wet: 340 C, water: 0 }", &c.car.fluid);
    c.car.front.pad.wear_effect = (mbl_curve){.n = 1, .x = {300}, .y = {1}};
    c.car.front.pad.worn_at = 0.005;
    for (size_t i = 0; i < 6; i++) {
        c.car.front.pad.wear = wear[i / 3];
        c.car.front.pad.thickness_now = 0.011;
        mbl_run *run = run_of(&c);
        /* wear goes by work alone, and laps are alike: the second stands for the rest */
        double lap = run->legs[0].report.pad_left[0] - run->legs[1].report.pad_left[0];
        mbl_run_free(run);
        c.car.front.pad.thickness_now = 0.005 + (left[i % 3] + 0.5) * lap;
        run = run_of(&c);
        assert_false(run->reach.capped);
        assert_int_equal(run->reach.limit, MBL_CHECK_WORN);
        assert_near(run->reach.holds, left[i % 3], 0.05 * left[i % 3]);
        mbl_run_free(run);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_reach_is_what_running_it_shows),
        cmocka_unit_test(a_car_that_never_gets_hot_has_no_end_in_sight),
        cmocka_unit_test(laps_end_where_the_pads_do),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
