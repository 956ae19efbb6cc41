/* SPDX-License-Identifier: MIT */
/* A stint driven and judged: energy, laps, passings, verdict, reach. */
#include "support/coupe.h"
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
        double sign = mbl_check_from_below(k->kind) ? -1 : 1;
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

/* ---- what else decides ---- */

static void whatever_an_inspection_found_fails(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1, pace: { hot: 0.4 } }");
    mbl_run *run = run_of(&c);
    assert_int_not_equal(run->verdict, MBL_FAILS);
    assert_null(mbl_run_check_of(run, MBL_CHECK_FOUND, MBL_WHOLE_CAR));
    mbl_run_free(run);
    for (int what = 0; what < 6; what++) {
        c.car.found.n = 1;
        c.car.found.v[0].what = what;
        run = run_of(&c);
        assert_int_equal(run->verdict, MBL_FAILS);
        assert_int_equal(run->checks[0].kind, MBL_CHECK_FOUND);
        assert_int_equal(run->checks[0].axle, MBL_WHOLE_CAR);
        assert_near(run->checks[0].peak.T, 1, 0);
        mbl_run_free(run);
    }
}

/* No number of a check may be none: a margin that is not a number would pass for one that holds. */
static void every_check_has_its_numbers(void **state)
{
    (void)state;
    static const char *const pedals[] = {NULL, test_pedal_bar, test_pedal_tandem, test_pedal_valve};
    for (size_t i = 0; i < sizeof pedals / sizeof pedals[0]; i++) {
        mbl_case c = test_case(trace, "{ out: 1, hot: 1, cool: 1, park: 5 min }");
        if (pedals[i] != NULL)
            c.car = test_coupe_with(pedals[i]);
        c.car.front.rotor.minimum = 0.03;
        test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1 m }", &c.car.rear.duct);
        mbl_run *run = run_of(&c);
        assert_true(run->nchecks >= 16);
        for (int k = 0; k < run->nchecks; k++) {
            const mbl_check *check = &run->checks[k];
            assert_true(isfinite(check->limit) && isfinite(check->margin));
            assert_true(isfinite(check->peak.T) && isfinite(check->band));
            bool fails = check->margin < 0;
            bool warns_only = check->kind == MBL_CHECK_COLD;
            if (!warns_only)
                assert_int_equal(check->verdict == MBL_FAILS, fails);
        }
        mbl_run_free(run);
    }
}

/* ---- before the change ---- */

static void same_peaks(const mbl_run *a, const mbl_run *b)
{
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        for (int i = 0; i < MBL_CORNER_NODES; i++)
            assert_near(a->axle[axle].peak[i].T, b->axle[axle].peak[i].T, 0);
        assert_near(a->axle[axle].worn, b->axle[axle].worn, 0);
    }
    assert_near(a->ledger.energy, b->ledger.energy, 0);
    assert_int_equal(a->nchecks, b->nchecks);
    for (int k = 0; k < a->nchecks; k++)
        assert_near(a->checks[k].margin, b->checks[k].margin, 0);
}

static void the_car_before_the_change_is_run_as_if_it_were_alone(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 2, cool: 1, park: 5 min }");
    mbl_case alone = c;
    c.base = test_coupe_with(test_pedal_valve);
    c.base.front.rotor.ring_mass = 7;
    mbl_run *run = run_of(&c);
    assert_non_null(run->base);
    assert_null(run->base->base);
    mbl_run *after = run_of(&alone);
    assert_null(after->base);
    alone.car = c.base;
    mbl_run *before = run_of(&alone);
    same_peaks(run, after);
    same_peaks(run->base, before);
    assert_int_equal(run->base->reach.holds, before->reach.holds);
    mbl_run_free(before);
    mbl_run_free(after);
    mbl_run_free(run);
}

static void a_case_whose_base_cannot_run_says_which_car(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1 }");
    c.base = c.car;
    c.base.front.links.n = 1;
    c.base.front.links.v[0] = (mbl_extra_link){.from = "pad.plate", .to = "nowhere"};
    c.base.front.links.v[0].conductance = 2;
    mbl_error err = {0};
    mbl_run *run = NULL;
    assert_int_equal(mbl_run_make(&mbl_alloc_libc, &c, NULL, 0.5, &run, &err), MBL_INPUT);
    assert_null(run);
    assert_has(err.path, "base");
    err = (mbl_error){0};
    assert_int_equal(mbl_run_check(&mbl_alloc_libc, &c, &err), MBL_INPUT);
    assert_has(err.path, "base");
}

static void films_from_a_store_change_no_bit_of_a_run(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 1, park: 5 min }");
    mbl_error err = {0};
    mbl_run *run[3] = {NULL, NULL, NULL};
    mbl_film_store films;
    mbl_film_store_init(&films, &mbl_alloc_libc);
    for (int i = 0; i < 3; i++)
        assert_ok(mbl_run_quick(&mbl_alloc_libc, &c, 0, i > 0 ? &films : NULL, &run[i], &err), err);
    same_peaks(run[0], run[1]);
    same_peaks(run[0], run[2]);
    for (int i = 0; i < 3; i++)
        mbl_run_free(run[i]);
    mbl_film_store_free(&films);
}

/* What is tried is the car that was run: its base only costs a second run of its own. */
static void assumptions_of_the_car_before_are_not_tried(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1 }");
    char yaml[4096];
    size_t calls[2];
    for (int i = 0; i < 2; i++) {
        test_alloc t;
        test_alloc_init(&t);
        mbl_error err = {0};
        mbl_run *run = NULL;
        mbl_node *tree = NULL;
        snprintf(yaml, sizeof yaml, "car: { mass: 1420 kg }\nstint: { hot: 1 }\n%s",
                 i == 1 ? "base: { mass: 1400 kg, front: { pad: { area: 62 cm2 } } }\n" : "");
        c.base = c.car;
        c.base.present = i == 1;
        assert_ok(mbl_document_parse(&mbl_alloc_libc, "test", yaml, strlen(yaml), &tree, &err),
                  err);
        assert_ok(mbl_run_make(&t.alloc, &c, tree, 0.5, &run, &err), err);
        calls[i] = t.calls;
        assert_ok(mbl_run_doubt(run, &err), err);
        calls[i] = t.calls - calls[i];
        assert_true(run->ndoubtful > 0);
        mbl_run_free(run);
        mbl_node_drop(tree);
        assert_int_equal(t.live_bytes, 0);
    }
    assert_int_equal(calls[0], calls[1]);
}

/* Worst difference of any peak between a run by steps of `step` and another. */
static double furthest_peak(const mbl_case *c, double step, const mbl_run *from)
{
    mbl_error err = {0};
    mbl_run *run = NULL;
    double worst = 0;
    assert_ok(mbl_run_quick(&mbl_alloc_libc, c, step, NULL, &run, &err), err);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        for (int i = 0; i < MBL_CORNER_NODES; i++)
            worst = fmax(worst, fabs(run->axle[axle].peak[i].T - from->axle[axle].peak[i].T));
    }
    mbl_run_free(run);
    return worst;
}

static void halving_the_step_moves_no_peak_by_half_a_kelvin(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ out: 1, hot: 3, cool: 1, park: 10 min }");
    mbl_error err = {0};
    mbl_run *fine = NULL;
    assert_ok(mbl_run_quick(&mbl_alloc_libc, &c, 0.5 * MBL_REFERENCE_STEP, NULL, &fine, &err), err);
    double halved = furthest_peak(&c, MBL_REFERENCE_STEP, fine);
    double strides = furthest_peak(&c, 0, fine);
    printf("halving the step moves a peak by at most %.4f K; strides are off by %.4f K\n", halved,
           strides);
    assert_near(halved, 0, 0.05);
    assert_near(strides, 0, 0.5); /* what its mode promises */
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

/* One short lap is enough: allocations do not depend on what is driven. */
static size_t fail_in_turn(const mbl_case *c)
{
    for (size_t fail_at = 1;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_error err = {0};
        mbl_run *run = NULL;
        mbl_status status = mbl_run_make(&t.alloc, c, NULL, 1, &run, &err);
        if (status == MBL_OK)
            mbl_run_free(run);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (t.calls < fail_at)
            return t.calls;
        if (status == MBL_OK)
            continue; /* a film that could not be kept only costs time */
        assert_int_equal(status, MBL_MEMORY);
        assert_null(run);
    }
}

static void every_failed_allocation_ends_cleanly(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1 }");
    size_t alone = fail_in_turn(&c);
    c.car = test_coupe_with(test_pedal_bar);
    c.car.pedal.effort_limit = 120; /* drives once more, for the shortfall */
    size_t weak = fail_in_turn(&c);
    c.base = test_coupe();
    size_t both = fail_in_turn(&c);
    printf("%zu, %zu and %zu allocations failed in turn\n", alone, weak, both);
    assert_true(alone > 10 && weak > alone && both > weak);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_ledger_closes_and_both_wheels_take_half_the_energy),
        cmocka_unit_test(repeating_a_lap_costs_the_same_energy_every_time),
        cmocka_unit_test(fuel_burns_off_lap_by_lap_and_lightens_the_work),
        cmocka_unit_test(the_verdict_is_the_worst_check_and_checks_are_ranked),
        cmocka_unit_test(the_lap_a_limit_is_passed_on_is_the_first_whose_peak_is_above),
        cmocka_unit_test(the_fluid_is_judged_by_the_lower_point_unless_told_otherwise),
        cmocka_unit_test(whatever_an_inspection_found_fails),
        cmocka_unit_test(every_check_has_its_numbers),
        cmocka_unit_test(the_car_before_the_change_is_run_as_if_it_were_alone),
        cmocka_unit_test(a_case_whose_base_cannot_run_says_which_car),
        cmocka_unit_test(films_from_a_store_change_no_bit_of_a_run),
        cmocka_unit_test(assumptions_of_the_car_before_are_not_tried),
        cmocka_unit_test(halving_the_step_moves_no_peak_by_half_a_kelvin),
        cmocka_unit_test(a_replay_hands_out_rising_times_at_the_chosen_rate),
        cmocka_unit_test(every_failed_allocation_ends_cleanly),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
