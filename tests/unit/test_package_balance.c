/* SPDX-License-Identifier: MIT */
/* Grip, balance and bite of a package, as read off a stint that was driven. */
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

static mbl_trace *trace;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 2);
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

static const mbl_check *check_of(const mbl_run *run, mbl_check_kind kind)
{
    const mbl_check *c = mbl_run_check_of(run, kind, MBL_WHOLE_CAR);
    if (c == NULL)
        fail_msg("no check of %s", mbl_check_word(kind));
    return c;
}

/*
 * One friction at any temperature and speed, tyres that feel no load, no downforce: then the front
 * share of the braking is the same at any pressure and all of it can be done by hand.
 */
static mbl_case plain(const char *pedal, double balance)
{
    mbl_case c = test_case(trace, "{ out: 1, hot: 2, cool: 1 }");
    c.car = test_coupe_with(pedal);
    if (!isnan(balance))
        c.car.pedal.balance = balance;
    c.car.tyre.load_sensitivity = 0;
    mbl_pad *pads[] = {&c.car.front.pad, &c.car.rear.pad};
    for (int i = 0; i < 2; i++) {
        pads[i]->friction = (mbl_curve){.n = 1, .x = {300}, .y = {0.42}};
        pads[i]->window = (mbl_numbers){2, {250, 1470}};
    }
    return c;
}

static const double front_gain = 4 * 2748.893571891069e-6 * 0.1525 / 0.318;
static const double rear_gain = 4 * 1231.504320207199e-6 * 0.142 / 0.318;

/* Front share of the braking force with masters of 19 and 17.8 mm, by hand. */
static double front_share(double balance)
{
    double rear = (1 - balance) / balance * (19 / 17.8) * (19 / 17.8);
    return front_gain / (front_gain + rear_gain * rear);
}

/* 53 % of the weight in front, 0.5 m high, 2.55 m long: what of the load is in front at a. */
static double load_share(double a)
{
    return 0.53 + a / 9.80665 * 0.5 / 2.55;
}

/*
 * Deceleration at which an axle with `share` of the braking force comes to a grip of `mu` at v. Of
 * m (1 + r) a the brakes give F and drag, rolling resistance and engine the rest; its load moves
 * with a.
 */
static double locks_at(const mbl_run *run, int axle, double share, double mu, double v)
{
    const mbl_car *car = &run->setup.car;
    double p = 101325;
    double density = p / (287.05 * run->setup.stint.ambient);
    double m = car->mass;
    double rest = 0.5 * density * car->aero.drag_area * v * v + m * 9.80665 * car->rolling +
                  m * car->engine_braking;
    double arm = (axle == 0 ? 1 : -1) * 0.5 / 2.55;
    double weight = axle == 0 ? 0.53 : 0.47;
    /* share (m (1 + r) a - rest) = mu m (g weight + a arm) */
    return (mu * m * 9.80665 * weight + share * rest) /
           (share * m * (1 + car->rotating) - mu * m * arm);
}

static void the_deceleration_asked_is_the_highest_of_the_stint(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, NAN);
    mbl_run *run = run_of(&c);
    double most = 0;
    int lap = 0;
    for (size_t i = 0; i < run->nlegs; i++) {
        if (run->legs[i].report.hardest_deceleration > most) {
            most = run->legs[i].report.hardest_deceleration;
            lap = run->legs[i].leg.lap;
        }
    }
    assert_true(most > 8 && most < 14);
    assert_near(run->balance.asked, most, 0);
    assert_int_equal(run->balance.lap, lap);
    assert_close(run->balance.front, front_share(0.62), 1e-9);
    assert_close(run->balance.ideal, load_share(most), 1e-9);
    mbl_run_free(run);
}

static void grip_is_what_the_axle_that_locks_first_leaves(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, 0.68);
    mbl_run *run = run_of(&c);
    /* drag helps least at the slowest of the hardest applications: that is the least grip */
    double least = INFINITY;
    for (size_t i = 0; i < run->nlegs; i++) {
        if (run->legs[i].leg.phase != MBL_PHASE_HOT)
            continue; /* a slow lap asks for little, and its drag helps less */
        double v = run->legs[i].report.hardest.speed;
        least = fmin(least, locks_at(run, 0, front_share(0.68), 1.4, v));
    }
    assert_int_equal(run->balance.lock.axle, 0);
    assert_close(run->balance.grip, least, 1e-4);
    assert_near(run->balance.lock.deceleration, run->balance.grip, 1e-9);
    const mbl_check *k = check_of(run, MBL_CHECK_GRIP);
    assert_near(k->margin, run->balance.grip - run->balance.asked, 1e-12);
    assert_int_equal(k->verdict, MBL_HOLDS);
    mbl_run_free(run);

    c.car.tyre.grip = 0.8;
    run = run_of(&c);
    k = check_of(run, MBL_CHECK_GRIP);
    assert_int_equal(k->verdict, MBL_FAILS);
    assert_int_equal(k->passing.lap, run->balance.lap);
    assert_int_equal(run->verdict, MBL_FAILS);
    double alone = run->balance.grip;
    mbl_run_free(run);
    /* with ABS both axles come to their grip: not less than the first lock */
    c.car.abs = true;
    run = run_of(&c);
    assert_true(run->balance.grip > alone);
    mbl_run_free(run);
}

static void without_grip_no_lock_is_judged(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, 0.4);
    c.car.tyre.grip = NAN;
    mbl_run *run = run_of(&c);
    assert_false(run->balance.known);
    static const mbl_check_kind none[] = {MBL_CHECK_GRIP, MBL_CHECK_BALANCE, MBL_CHECK_BITE};
    for (int i = 0; i < 3; i++)
        assert_null(mbl_run_check_of(run, none[i], MBL_WHOLE_CAR));
    assert_close(run->balance.front, front_share(0.4), 1e-9);
    assert_true(run->balance.ideal > 0.6 && run->balance.asked > 8);
    mbl_run_free(run);
}

/* At its first lock the rear has more than its share of the load: it goes first. */
static void a_car_biased_to_the_rear_fails_and_says_where(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, 0.45);
    mbl_run *run = run_of(&c);
    const mbl_check *k = check_of(run, MBL_CHECK_BALANCE);
    assert_int_equal(run->balance.lock.axle, 1);
    assert_true(run->balance.ahead < -0.02);
    assert_near(k->margin, run->balance.ahead, 0);
    assert_int_equal(k->verdict, MBL_FAILS);
    assert_int_equal(run->verdict, MBL_FAILS);
    /* the same front share at any deceleration: furthest behind where most is asked, in the dry */
    assert_near(run->balance.ahead_grip, 1, 0);
    assert_true(run->balance.ahead_lap >= 1 && run->balance.ahead_lap <= run->laps);
    assert_int_equal(k->peak.lap, run->balance.ahead_lap);
    assert_int_equal(k->passing.lap, run->balance.ahead_lap);
    assert_near(run->balance.ahead_mu[0], 0.42, 1e-12);
    double furthest = INFINITY;
    for (size_t i = 0; i < run->nlegs; i++) {
        double v = run->legs[i].report.hardest.speed;
        double a = locks_at(run, 1, 1 - front_share(0.45), 1.4, v);
        furthest = fmin(furthest, front_share(0.45) - load_share(a));
    }
    assert_near(run->balance.ahead, furthest, 1e-4);
    mbl_run_free(run);

    c.car.abs = true; /* it stops the rear from locking: a warning is left */
    run = run_of(&c);
    k = check_of(run, MBL_CHECK_BALANCE);
    assert_true(k->margin < 0);
    assert_int_equal(k->verdict, MBL_MARGINAL);
    mbl_run_free(run);
}

static void a_car_biased_to_the_front_holds(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, 0.70);
    mbl_run *run = run_of(&c);
    const mbl_check *k = check_of(run, MBL_CHECK_BALANCE);
    assert_int_equal(run->balance.lock.axle, 0);
    assert_int_equal(k->verdict, MBL_HOLDS);
    assert_true(k->margin > 0.02);
    mbl_run_free(run);
}

/*
 * A valve lets the rear have its way below the knee: at half the grip, before it is met, the rear
 * is ahead of its load although in the dry the front is.
 */
static void with_a_valve_the_rear_may_lock_first_in_the_wet_alone(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_valve, NAN);
    c.car.pedal.knee = 2.2e6;
    c.car.pedal.slope = 0.05;
    c.car.tyre.grip = 1.0;
    c.car.rear.pad.friction.y[0] = 0.64;
    mbl_run *run = run_of(&c);
    assert_int_equal(run->balance.lock.axle, 0); /* dry */
    assert_true(run->balance.lock.front > run->balance.lock.ideal);
    assert_near(run->balance.ahead_grip, 0.5, 0);
    assert_int_equal(check_of(run, MBL_CHECK_BALANCE)->verdict, MBL_FAILS);
    mbl_run_free(run);
}

/* Front pads that do not bite until they are warm: the first stop of the day is the worst. */
static void with_cold_pads_the_worst_is_before_the_first_lap(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, NAN);
    c.car.front.pad.friction = (mbl_curve){.n = 3, .x = {273.15, 300, 310}, .y = {0.2, 0.2, 0.45}};
    mbl_run *run = run_of(&c);
    assert_int_equal(run->balance.ahead_lap, 0);
    assert_near(run->balance.ahead_mu[0], 0.2, 1e-12);
    assert_near(run->balance.ahead_mu[1], 0.42, 1e-12);
    mbl_run_free(run);
}

/*
 * A pad whose friction is 0.8 of another's, and one whose factor over pressure is 0.8 at any
 * pressure, are one and the same.
 */
static void a_factor_over_pressure_that_is_even_is_a_lower_friction(void **state)
{
    (void)state;
    mbl_case a = plain(test_pedal_bar, 0.5);
    a.mode = MBL_MODE_REFERENCE; /* steps that do not go by the brakes */
    mbl_case b = a;
    a.car.front.pad.friction.y[0] = 0.8 * 0.42;
    b.car.front.pad.pressure_effect = (mbl_curve){.n = 1, .x = {0}, .y = {0.8}};
    mbl_run *lower = run_of(&a);
    mbl_run *factor = run_of(&b);
    assert_close(factor->balance.grip, lower->balance.grip, 1e-9);
    assert_near(factor->balance.front, lower->balance.front, 1e-9);
    assert_near(factor->balance.ahead, lower->balance.ahead, 1e-9);
    assert_near(factor->balance.turns, lower->balance.turns, 1e-6);
    assert_near(factor->balance.bite, lower->balance.bite, 1e-9);
    mbl_run_free(lower);
    mbl_run_free(factor);
}

/*
 * In every state looked at: the most is asked in the dry at speed, where both axles at their grip
 * give m (1 + r) a = mu m g + drag, rolling resistance and engine.
 */
static void the_turns_it_advises_put_the_front_three_points_ahead(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, 0.5);
    c.mode = MBL_MODE_REFERENCE; /* steps that do not go by the brakes */
    mbl_run *run = run_of(&c);
    assert_true(run->balance.turns > 0);
    c.car.pedal.balance += run->balance.turns * c.car.pedal.per_turn;
    mbl_run_free(run);
    run = run_of(&c);
    assert_near(run->balance.turns, 0, 1e-6);
    double most = 0;
    for (size_t i = 0; i < run->nlegs; i++) {
        double v = run->legs[i].report.hardest.speed;
        double drag = 0.5 * 101325 / (287.05 * c.stint.ambient) * 0.72 * v * v / 1420;
        double a = (1.4 * 9.80665 + drag + 9.80665 * 0.015 + 0.4) / 1.04;
        most = fmax(most, load_share(a));
    }
    assert_near(run->balance.front, most + 0.03, 1e-4);
    assert_true(run->balance.ahead > 0);
    mbl_run_free(run);
    c = plain(test_pedal_tandem, NAN);
    run = run_of(&c);
    assert_true(isnan(run->balance.turns));
    mbl_run_free(run);
}

/* Pads that grab and a foot that stabs lock the front before its load has come. */
static void a_pedal_that_is_stabbed_too_hard_loses_its_bite(void **state)
{
    (void)state;
    mbl_case c = plain(test_pedal_bar, 0.72);
    c.limits.bite = 0.5;
    c.limits.bite_band = 0.05;
    mbl_run *run = run_of(&c);
    const mbl_check *k = check_of(run, MBL_CHECK_BITE);
    double gentle = run->balance.bite;
    assert_near(k->margin, gentle - 0.5, 1e-12);
    assert_int_equal(k->verdict, MBL_HOLDS);
    mbl_run_free(run);
    c.car.pedal.stab = 50000;
    run = run_of(&c);
    assert_true(run->balance.bite < gentle - 0.05);
    double least = run->balance.bite;
    mbl_run_free(run);
    c.limits.bite = least + 0.01;
    run = run_of(&c);
    k = check_of(run, MBL_CHECK_BITE);
    assert_int_equal(k->verdict, MBL_FAILS);
    assert_near(k->margin, -0.01, 1e-9);
    mbl_run_free(run);
    c.car.pedal.stab = 100; /* N/s: the load comes along */
    run = run_of(&c);
    assert_true(run->balance.bite > 0.95);
    mbl_run_free(run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_deceleration_asked_is_the_highest_of_the_stint),
        cmocka_unit_test(grip_is_what_the_axle_that_locks_first_leaves),
        cmocka_unit_test(without_grip_no_lock_is_judged),
        cmocka_unit_test(a_car_biased_to_the_rear_fails_and_says_where),
        cmocka_unit_test(a_car_biased_to_the_front_holds),
        cmocka_unit_test(with_a_valve_the_rear_may_lock_first_in_the_wet_alone),
        cmocka_unit_test(with_cold_pads_the_worst_is_before_the_first_lap),
        cmocka_unit_test(a_factor_over_pressure_that_is_even_is_a_lower_friction),
        cmocka_unit_test(the_turns_it_advises_put_the_front_three_points_ahead),
        cmocka_unit_test(a_pedal_that_is_stabbed_too_hard_loses_its_bite),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
