/* SPDX-License-Identifier: MIT */
#include "support/session.h"
#include "support/test.h"

static mbl_trace *trace;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 5);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    return 0;
}

static mbl_plan plan_of(const char *stint_yaml)
{
    mbl_case c = test_case(trace, stint_yaml);
    mbl_error err = {0};
    mbl_plan plan;
    assert_ok(mbl_plan_make(&mbl_alloc_libc, &c.stint, 0, trace, &plan, &err), err);
    return plan;
}

static void the_short_form_is_out_hot_cool_stop_park(void **state)
{
    (void)state;
    mbl_plan p = plan_of("{ out: 1, hot: 3, cool: 1, park: 10 min }");
    assert_int_equal(p.n, 7);
    assert_int_equal(p.leg[0].phase, MBL_PHASE_OUT);
    assert_int_equal(p.leg[3].phase, MBL_PHASE_HOT);
    assert_int_equal(p.leg[4].phase, MBL_PHASE_COOL);
    assert_int_equal(p.leg[5].kind, MBL_LEG_STOP);
    assert_near(p.leg[5].speed, 60 / 3.6, 1e-12);
    assert_int_equal(p.leg[6].kind, MBL_LEG_PARK);
    assert_near(p.leg[6].duration, 600, 0);
    assert_int_equal(p.laps, 5);
    assert_int_equal(p.hot_laps, 3);
    assert_int_equal(p.last_hot, 3);
    mbl_plan_free(&p);
}

static void the_list_keeps_its_order_and_its_paces(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1 }");
    c.stint.hot = 0;
    c.stint.phases = (mbl_phases){.n = 4,
                                  .v = {{MBL_PHASE_OUT, 1, NAN, NAN},
                                        {MBL_PHASE_PARK, 1, 300, NAN},
                                        {MBL_PHASE_HOT, 2, NAN, 0.9},
                                        {MBL_PHASE_IN, 1, NAN, NAN}}};
    mbl_error err = {0};
    mbl_plan p;
    assert_ok(mbl_plan_make(&mbl_alloc_libc, &c.stint, 0, trace, &p, &err), err);
    assert_int_equal(p.n, 6);
    assert_int_equal(p.leg[1].kind, MBL_LEG_STOP);
    assert_int_equal(p.leg[2].kind, MBL_LEG_PARK);
    assert_near(p.leg[3].pace, 0.9, 0);
    assert_int_equal(p.leg[4].lap, 3);
    assert_near(p.leg[5].pace, 0.6, 0);
    mbl_plan_free(&p);
}

static void a_logged_session_drives_every_lap_of_the_log(void **state)
{
    (void)state;
    mbl_plan p = plan_of("{ logged: true, park: 5 min }");
    assert_int_equal(p.laps, trace->nlaps);
    for (size_t i = 0; i < trace->nlaps; i++) {
        assert_near(p.leg[i].start, trace->laps[i].start, 0);
        assert_near(p.leg[i].end, trace->laps[i].end, 0);
        assert_near(p.leg[i].pace, 1, 0);
    }
    mbl_plan_free(&p);
}

static void pace_stretches_time_by_its_inverse(void **state)
{
    (void)state;
    mbl_plan p = plan_of("{ out: 1, hot: 1, pace: { out: 0.5 } }");
    assert_near(p.leg[0].duration, 2 * p.leg[1].duration, 1e-9);
    mbl_plan_free(&p);
}

static void a_lap_that_is_not_in_the_log_is_an_error(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1 }");
    mbl_error err = {0};
    mbl_plan plan;
    assert_int_equal(mbl_plan_make(&mbl_alloc_libc, &c.stint, 99, trace, &plan, &err), MBL_INPUT);
    assert_string_equal(err.path, "course.hot_lap");
    assert_has(err.text, "no lap 99");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_short_form_is_out_hot_cool_stop_park),
        cmocka_unit_test(the_list_keeps_its_order_and_its_paces),
        cmocka_unit_test(a_logged_session_drives_every_lap_of_the_log),
        cmocka_unit_test(pace_stretches_time_by_its_inverse),
        cmocka_unit_test(a_lap_that_is_not_in_the_log_is_an_error),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
