/* SPDX-License-Identifier: MIT */
/* A stint driven and judged: energy, laps, passings, verdict, reach. */
#include "support/session.h"
#include "support/test.h"
#include "support/test_alloc.h"

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

static void the_ledger_closes_and_both_wheels_take_half_the_energy(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 3, cool: 1, park: 10 min }");
    mbl_run *run = run_of(&c);
    assert_near(run->ledger.heat, 0.5 * run->ledger.energy, 1e-9 * run->ledger.energy);
    assert_near(run->ledger.residual, 0, 1e-10);
    assert_near(run->axle[0].work + run->axle[1].work, run->ledger.heat, 1e-3);
    mbl_run_free(run);
}

static void repeating_a_lap_costs_the_same_energy_every_time(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 4 }");
    mbl_run *run = run_of(&c);
    for (size_t i = 1; i < run->nlegs; i++)
        assert_near(run->legs[i].report.energy, run->legs[0].report.energy, 0);
    assert_near(run->ledger.energy, 4 * run->legs[0].report.energy, 1);
    mbl_run_free(run);
}

static void fuel_burns_off_lap_by_lap_and_lightens_the_work(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 4 }");
    c.car.fuel.start = 60;
    c.car.fuel.per_lap = 3;
    mbl_run *run = run_of(&c);
    for (size_t i = 1; i < run->nlegs; i++)
        assert_true(run->legs[i].report.energy < run->legs[i - 1].report.energy);
    mbl_run_free(run);
}

static void the_verdict_is_the_worst_check_and_checks_are_ranked(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 8, cool: 1, park: 10 min }");
    mbl_run *run = run_of(&c);
    int n = run->nchecks;
    mbl_verdict worst = MBL_HOLDS;
    for (int i = 0; i < n; i++) {
        const mbl_check *k = &run->checks[i];
        double sign = k->kind == MBL_CHECK_COLD ? -1 : 1;
        assert_near(k->margin, sign * (k->limit - k->peak.T), 1e-12);
        if (i > 0 && k->verdict == run->checks[i - 1].verdict)
            assert_true(k->margin / k->band >= run->checks[i - 1].margin / run->checks[i - 1].band);
        if (i > 0)
            assert_true(k->verdict <= run->checks[i - 1].verdict);
        if (k->verdict > worst)
            worst = k->verdict;
    }
    assert_int_equal(run->verdict, worst);
    mbl_run_free(run);
}

static void the_lap_a_limit_is_passed_on_is_the_first_whose_peak_is_above(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 8 }");
    c.limits.rotor = 273.15 + 500;
    mbl_run *run = run_of(&c);
    int lap = 0;
    for (size_t i = 0; i < run->nlegs && lap == 0; i++) {
        if (run->legs[i].peak[MBL_CORE] > c.limits.rotor)
            lap = run->legs[i].leg.lap;
    }
    assert_true(lap > 1);
    const mbl_check *rotor = NULL;
    for (int i = 0; i < run->nchecks; i++) {
        if (run->checks[i].kind == MBL_CHECK_ROTOR && run->checks[i].axle == 0)
            rotor = &run->checks[i];
    }
    assert_non_null(rotor);
    assert_int_equal(rotor->passing.lap, lap);
    assert_int_equal(rotor->verdict, MBL_FAILS);
    mbl_run_free(run);
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

static void the_fluid_is_judged_by_the_lower_point_unless_told_otherwise(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 2 }");
    mbl_run *run = run_of(&c);
    assert_true(run->axle[0].wet < run->axle[0].now);
    assert_near(run->axle[0].margin, run->axle[0].margin_wet, 0);
    mbl_run_free(run);
    c.stint.judge = MBL_JUDGE_PRESENT;
    run = run_of(&c);
    assert_near(run->axle[0].margin, run->axle[0].margin_now, 0);
    mbl_run_free(run);
    c.stint.judge = MBL_JUDGE_LESSER;
    c.car.fluid.water = 0.06; /* wetter than the wet test */
    run = run_of(&c);
    assert_true(run->axle[0].now < run->axle[0].wet);
    assert_near(run->axle[0].margin, run->axle[0].margin_now, 0);
    mbl_run_free(run);
}

static void halving_the_step_moves_no_peak_by_half_a_kelvin(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 3, cool: 1, park: 10 min }");
    mbl_error err = {0};
    mbl_run *run = run_of(&c);
    mbl_run *fine = NULL;
    assert_ok(mbl_run_make(&mbl_alloc_libc, &c, NULL, 0.5 * MBL_REFERENCE_STEP, &fine, &err), err);
    double worst = 0;
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        for (int i = 0; i < MBL_CORNER_NODES; i++)
            worst = fmax(worst, fabs(run->axle[axle].peak[i].T - fine->axle[axle].peak[i].T));
    }
    printf("halving the step moves a peak by at most %.4f K\n", worst);
    assert_near(worst, 0, 0.5);
    mbl_run_free(run);
    mbl_run_free(fine);
}

typedef struct last_row {
    size_t rows;
    double t;
    double T[MBL_AXLES * MBL_CORNER_NODES];
} last_row;

static void keep_row(void *ctx, double t, const mbl_leg *leg, double speed, double power,
                     double pressure, const double *T)
{
    (void)leg;
    last_row *last = ctx;
    assert_true(last->rows == 0 || t > last->t);
    assert_true(speed >= 0 && power >= 0 && pressure >= 0);
    last->rows++;
    last->t = t;
    memcpy(last->T, T, sizeof last->T);
}

static void a_replay_hands_out_rising_times_at_the_chosen_rate(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 2, cool: 1, park: 10 min }");
    mbl_run *run = run_of(&c);
    mbl_error err = {0};
    last_row last = {0};
    mbl_history history = {.every = 0.5, .ctx = &last, .row = keep_row};
    assert_ok(mbl_run_replay(run, &history, &err), err);
    assert_true(last.t <= run->duration + 1e-9);
    assert_true(last.t > run->duration - 1.5);
    /* parked steps are up to 1 s long, so there are fewer rows than duration over rate */
    assert_true((double)last.rows > 0.5 * run->duration / history.every);
    assert_true((double)last.rows <= run->duration / history.every + 1);
    mbl_run_free(run);
}

static void every_failed_allocation_ends_cleanly(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1 }");
    /* one short lap is enough: allocations do not depend on what is driven */
    size_t n = 0;
    for (size_t fail_at = 1;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_error err = {0};
        mbl_run *run = NULL;
        mbl_status status = mbl_run_make(&t.alloc, &c, NULL, 0.25, &run, &err);
        if (status == MBL_OK) {
            mbl_run_free(run);
            n = t.calls;
            assert_int_equal(t.live_bytes, 0);
            break;
        }
        assert_int_equal(status, MBL_MEMORY);
        assert_null(run);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
    }
    assert_true(n > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_ledger_closes_and_both_wheels_take_half_the_energy),
        cmocka_unit_test(repeating_a_lap_costs_the_same_energy_every_time),
        cmocka_unit_test(fuel_burns_off_lap_by_lap_and_lightens_the_work),
        cmocka_unit_test(the_verdict_is_the_worst_check_and_checks_are_ranked),
        cmocka_unit_test(the_lap_a_limit_is_passed_on_is_the_first_whose_peak_is_above),
        cmocka_unit_test(the_reach_is_what_running_it_shows),
        cmocka_unit_test(a_car_that_never_gets_hot_has_no_end_in_sight),
        cmocka_unit_test(the_fluid_is_judged_by_the_lower_point_unless_told_otherwise),
        cmocka_unit_test(halving_the_step_moves_no_peak_by_half_a_kelvin),
        cmocka_unit_test(a_replay_hands_out_rising_times_at_the_chosen_rate),
        cmocka_unit_test(every_failed_allocation_ends_cleanly),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
