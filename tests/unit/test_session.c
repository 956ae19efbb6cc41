/* SPDX-License-Identifier: MIT */
/* The plan of a day, held against runs of the stints it speaks of. */
#include "study/session.h"
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"
#include "support/test_alloc.h"

static mbl_trace *trace;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_kestrel_rise, 2);
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
    assert_ok(mbl_run_quick(&mbl_alloc_libc, c, 0, NULL, &run, &err), err);
    return run;
}

static mbl_session_plan plan_of(const mbl_case *c)
{
    mbl_error err = {0};
    mbl_run *run = run_of(c);
    assert_ok(mbl_run_plan(run, &err), err);
    mbl_session_plan plan = *run->plan;
    mbl_run_free(run);
    return plan;
}

/* Nothing limits this car but what a test says; pads that do not wear, friction that stays. */
static mbl_case calm(const char *stint)
{
    mbl_case c = test_case(trace, stint);
    mbl_pad *pads[] = {&c.car.front.pad, &c.car.rear.pad};
    for (int i = 0; i < 2; i++) {
        pads[i]->friction = (mbl_curve){.n = 1, .x = {300}, .y = {0.42}};
        pads[i]->window = (mbl_numbers){2, {250, 1470}};
        pads[i]->wear = 0;
    }
    c.limits.rotor = c.limits.caliper = 2000;
    c.limits.gradient = 800;
    c.car.fluid.water = 0; /* the wet point judges */
    return c;
}

static void a_stint_without_a_hot_lap_has_no_plan(void **state)
{
    (void)state;
    mbl_case c = calm("{ out: 2, cool: 1 }");
    assert_false(plan_of(&c).known);
}

static void parking_without_a_cool_down_lap_leaves_the_fluid_less(void **state)
{
    (void)state;
    mbl_case c = calm("{ out: 1, hot: 4, cool: 2, park: 10 min }");
    c.stint.pace.cool = 0.45; /* slow enough to cool it */
    mbl_session_plan plan = plan_of(&c);
    mbl_run *own = run_of(&c);
    c.stint.cool = 0;
    mbl_run *skipped = run_of(&c);
    assert_true(plan.known);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        assert_near(plan.skip_fluid[axle].T, skipped->axle[axle].parked[MBL_FLUID].T, 1e-9);
    assert_true(plan.skip_margin < own->axle[0].margin);
    assert_near(plan.skip_margin, fmin(skipped->axle[0].margin, skipped->axle[1].margin), 1e-9);
    mbl_run_free(own);
    mbl_run_free(skipped);
}

static void a_car_that_may_park_at_once_needs_no_cool_down_lap(void **state)
{
    (void)state;
    mbl_case c = calm("{ out: 1, hot: 2, cool: 2, park: 10 min }");
    mbl_session_plan plan = plan_of(&c);
    assert_true(plan.cool_known);
    assert_int_equal(plan.cool, 0);
}

/* The hottest the fluid gets parked after so many cool-down laps. */
static double parked_fluid(const mbl_case *c, int laps)
{
    mbl_case tried = *c;
    tried.stint.cool = laps;
    mbl_run *run = run_of(&tried);
    double T = fmax(run->axle[0].parked[MBL_FLUID].T, run->axle[1].parked[MBL_FLUID].T);
    mbl_run_free(run);
    return T;
}

/* Wet points between what is left after one lap fewer and after as many as are enough. */
static void cool_down_laps_are_the_fewest_that_hold(void **state)
{
    (void)state;
    mbl_case c = calm("{ out: 1, hot: 3, cool: 1, park: 10 min }");
    c.stint.pace.cool = 0.45;
    double before = parked_fluid(&c, 0);
    for (int laps = 1; laps <= 2; laps++) {
        double after = parked_fluid(&c, laps);
        assert_true(after < before - 0.5);
        c.car.fluid.wet = 0.5 * (before + after);
        mbl_session_plan plan = plan_of(&c);
        assert_true(plan.cool_known);
        assert_int_equal(plan.cool, laps);
        before = after;
    }
}

static void a_limit_passed_before_leaves_no_number_of_laps_that_holds(void **state)
{
    (void)state;
    mbl_case c = calm("{ out: 1, hot: 2, cool: 1, park: 10 min }");
    c.limits.rotor = 273.15 + 250;
    mbl_session_plan plan = plan_of(&c);
    assert_true(plan.known);
    assert_false(plan.cool_known);
    assert_true(isnan(plan.gap));
}

/* ---- gap ---- */

/* Two such stints with a stand of `gap` between them: does any limit of heat pass? */
static bool pair_holds(const mbl_case *c, double gap)
{
    mbl_case two = *c;
    two.stint.out = two.stint.hot = 0;
    two.stint.park = 0;
    two.stint.phases = (mbl_phases){.n = 6,
                                    .v = {{MBL_PHASE_OUT, 1, NAN, NAN},
                                          {MBL_PHASE_HOT, 2, NAN, NAN},
                                          {MBL_PHASE_PARK, 1, gap, NAN},
                                          {MBL_PHASE_OUT, 1, NAN, NAN},
                                          {MBL_PHASE_HOT, 2, NAN, NAN},
                                          {MBL_PHASE_PARK, 1, c->stint.park, NAN}}};
    mbl_run *run = run_of(&two);
    const mbl_check *caliper = mbl_run_check_of(run, MBL_CHECK_CALIPER, 0);
    bool holds = caliper->margin >= 0;
    mbl_run_free(run);
    return holds;
}

static double caliper_peak(const mbl_case *c)
{
    mbl_run *run = run_of(c);
    double T = run->axle[0].peak[MBL_CALIPER].T;
    mbl_run_free(run);
    return T;
}

/* A second stint that starts warm peaks higher: by so much that the gap is found in between. */
static void the_gap_is_the_shortest_after_which_the_stint_can_be_driven_again(void **state)
{
    (void)state;
    mbl_case c = calm("{ out: 1, hot: 2, park: 10 min }");
    double cold = caliper_peak(&c);
    static const double rise[] = {12, 25};
    double before = INFINITY;
    for (int i = 0; i < 2; i++) {
        c.limits.caliper = cold + rise[i];
        mbl_session_plan plan = plan_of(&c);
        assert_true(plan.gap >= MBL_GAP_STEP && plan.gap <= MBL_GAP_CAP);
        assert_true(plan.gap <= before);
        assert_near(fmod(plan.gap, MBL_GAP_STEP), 0, 1e-9);
        assert_true(pair_holds(&c, plan.gap));
        assert_false(pair_holds(&c, plan.gap - MBL_GAP_STEP + 1e-3));
        before = plan.gap;
    }
    c.limits.caliper = cold + 300; /* no need to wait */
    assert_near(plan_of(&c).gap, 0, 0);
    c.limits.caliper = cold + 0.01; /* it never comes back so far */
    assert_true(isnan(plan_of(&c).gap));
}

/* ---- worst ---- */

static void the_worst_day_is_hot_with_worn_pads_and_no_cool_down(void **state)
{
    (void)state;
    for (int list = 0; list < 2; list++) {
        mbl_case c = calm("{ out: 1, hot: 2, cool: 1, park: 10 min }");
        if (list == 1) {
            c.stint.out = c.stint.hot = c.stint.cool = 0;
            c.stint.park = 0;
            c.stint.phases = (mbl_phases){.n = 4,
                                          .v = {{MBL_PHASE_OUT, 1, NAN, NAN},
                                                {MBL_PHASE_HOT, 2, NAN, NAN},
                                                {MBL_PHASE_COOL, 1, NAN, NAN},
                                                {MBL_PHASE_PARK, 1, 600, NAN}}};
        }
        mbl_session_plan plan = plan_of(&c);
        mbl_case day = calm("{ out: 1, hot: 2, park: 10 min }");
        day.stint.ambient += 10;
        day.car.front.pad.thickness_now = 0.005;
        day.car.rear.pad.thickness_now = 0.005;
        mbl_run *run = run_of(&day);
        const mbl_check *tightest = NULL;
        for (int i = run->nchecks - 1; i >= 0; i--) {
            if (run->checks[i].kind != MBL_CHECK_WORN)
                tightest = &run->checks[i];
        }
        assert_int_equal(plan.worst_check.kind, tightest->kind);
        assert_int_equal(plan.worst_check.axle, tightest->axle);
        assert_near(plan.worst_check.margin, tightest->margin, 1e-9);
        assert_int_equal(plan.worst, tightest->verdict);
        mbl_run_free(run);
    }
}

/* By the checks of heat, which is what a hot day moves. */
static void the_worst_day_is_never_better_than_the_one_that_was_run(void **state)
{
    (void)state;
    static const double wet[] = {80, 105, 120, 180};
    for (size_t i = 0; i < sizeof wet / sizeof wet[0]; i++) {
        mbl_case c = calm("{ out: 1, hot: 2, cool: 1, park: 10 min }");
        c.car.fluid.wet = 273.15 + wet[i];
        mbl_error err = {0};
        mbl_run *run = run_of(&c);
        assert_ok(mbl_run_plan(run, &err), err);
        assert_true(run->plan->worst >= run->verdict);
        const mbl_check *same =
            mbl_run_check_of(run, run->plan->worst_check.kind, run->plan->worst_check.axle);
        assert_true(run->plan->worst_check.margin < same->margin);
        mbl_run_free(run);
    }
}

static void pads_that_are_worn_are_no_news_on_the_worst_day(void **state)
{
    (void)state;
    mbl_case c = calm("{ out: 1, hot: 2, cool: 1, park: 10 min }");
    c.car.front.pad.thickness_now = 0.003; /* past its end at 5 mm: it gets no thicker */
    mbl_session_plan plan = plan_of(&c);
    assert_int_not_equal(plan.worst_check.kind, MBL_CHECK_WORN);
    c.car.front.pad.thickness_now = 0.005;
    assert_true(plan_of(&c).worst_check.margin >= plan.worst_check.margin);
}

/* ---- once ---- */

static void a_plan_is_found_once(void **state)
{
    (void)state;
    mbl_case c = calm("{ hot: 1 }");
    mbl_error err = {0};
    mbl_run *run = run_of(&c);
    assert_null(run->plan);
    assert_ok(mbl_run_plan(run, &err), err);
    const struct mbl_session_plan *plan = run->plan;
    assert_non_null(plan);
    assert_ok(mbl_run_plan(run, &err), err);
    assert_ptr_equal(run->plan, plan);
    mbl_run_free(run);
}

static void every_failed_allocation_of_a_plan_ends_cleanly(void **state)
{
    (void)state;
    mbl_case c = calm("{ hot: 1 }");
    size_t failed = 0;
    test_alloc t;
    test_alloc_init(&t);
    mbl_error err = {0};
    mbl_run *run = NULL;
    assert_ok(mbl_run_quick(&t.alloc, &c, 1, NULL, &run, &err), err);
    size_t live = t.live_bytes;
    for (size_t fail_at = 1;; fail_at++) {
        t.fail_at = t.calls + fail_at;
        mbl_status status = mbl_run_plan(run, &err);
        if (status == MBL_OK)
            break;
        assert_int_equal(status, MBL_MEMORY);
        assert_null(run->plan);
        assert_int_equal(t.live_bytes, live);
        failed++;
    }
    printf("%zu allocations failed in turn\n", failed);
    assert_true(failed > 20);
    mbl_run_free(run);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stint_without_a_hot_lap_has_no_plan),
        cmocka_unit_test(parking_without_a_cool_down_lap_leaves_the_fluid_less),
        cmocka_unit_test(a_car_that_may_park_at_once_needs_no_cool_down_lap),
        cmocka_unit_test(cool_down_laps_are_the_fewest_that_hold),
        cmocka_unit_test(a_limit_passed_before_leaves_no_number_of_laps_that_holds),
        cmocka_unit_test(the_gap_is_the_shortest_after_which_the_stint_can_be_driven_again),
        cmocka_unit_test(the_worst_day_is_hot_with_worn_pads_and_no_cool_down),
        cmocka_unit_test(the_worst_day_is_never_better_than_the_one_that_was_run),
        cmocka_unit_test(pads_that_are_worn_are_no_news_on_the_worst_day),
        cmocka_unit_test(a_plan_is_found_once),
        cmocka_unit_test(every_failed_allocation_of_a_plan_ends_cleanly),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
