/* SPDX-License-Identifier: MIT */
/* Pedal and life of a package, as read off a stint that was driven. */
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

static mbl_run *run_by(const mbl_case *c, double step)
{
    mbl_error err = {0};
    mbl_run *run = NULL;
    assert_ok(mbl_run_quick(&mbl_alloc_libc, c, step, NULL, &run, &err), err);
    return run;
}

static mbl_run *run_of(const mbl_case *c)
{
    return run_by(c, 0);
}

/* A car that nothing ails: friction 0.42 at any temperature, pads that bear all. */
static mbl_case calm(const char *pedal)
{
    mbl_case c = test_case(trace, "{ out: 1, hot: 2, cool: 1, park: 5 min }");
    if (pedal != NULL)
        c.car = test_coupe_with(pedal);
    mbl_pad *pads[] = {&c.car.front.pad, &c.car.rear.pad};
    for (int i = 0; i < 2; i++) {
        pads[i]->friction = (mbl_curve){.n = 1, .x = {300}, .y = {0.42}};
        pads[i]->window = (mbl_numbers){2, {250, 1470}};
        pads[i]->wear_effect = (mbl_curve){.n = 1, .x = {300}, .y = {1}};
    }
    return c;
}

static const mbl_check *check_of(const mbl_run *run, mbl_check_kind kind, int axle)
{
    const mbl_check *c = mbl_run_check_of(run, kind, axle);
    if (c == NULL)
        fail_msg("no check of %s", mbl_check_word(kind));
    return c;
}

/* ---- pressures and effort ---- */

/* Bar: 0.62 of effort x 5.2 x 0.95 on a bore of 19 mm (2.835287 cm2). */
static const double bar_gain = 0.62 * 5.2 * 0.95 / 2.835287369864788e-4; /* Pa/N */

static void the_foot_gives_what_the_hardest_application_asks(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_bar);
    mbl_run *run = run_of(&c);
    const mbl_pedal_result *p = &run->pedal;
    double most = 0;
    int lap = 0;
    for (size_t i = 0; i < run->nlegs; i++) {
        if (run->legs[i].report.hardest.pressure > most) {
            most = run->legs[i].report.hardest.pressure;
            lap = run->legs[i].leg.lap;
        }
    }
    assert_true(most > 3e6);
    assert_near(p->hardest.pressure, most, 0);
    assert_int_equal(p->lap, lap);
    assert_near(p->pressure[0], most, 0);
    assert_close(p->pressure[1], 0.6983274350338626 * most, 1e-12);
    assert_close(p->effort, most / bar_gain, 1e-12);
    assert_close(p->reaches, 700 * bar_gain, 1e-12);
    assert_true(isinf(p->run_out));
    const mbl_check *effort = check_of(run, MBL_CHECK_EFFORT, MBL_WHOLE_CAR);
    assert_near(effort->margin, 700 - p->effort, 1e-9);
    assert_near(effort->peak.at, p->hardest.at, 0);
    assert_int_equal(effort->peak.lap, lap);
    mbl_run_free(run);
}

/* 3500 N of assist at sea level: from an effort of 3500 / (3.5 x 3.2 x 0.95) N it is all there. */
static void a_booster_runs_out_and_at_altitude_sooner(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_tandem);
    mbl_run *run = run_of(&c);
    assert_close(run->pedal.run_out, 3500 / (3.5 * 3.2 * 0.95), 1e-9);
    double at_sea = run->pedal.effort;
    mbl_run_free(run);
    c.stint.altitude = 2000; /* 0.7846 of the air, standard atmosphere */
    run = run_of(&c);
    assert_close(run->pedal.run_out, 0.7846 * 3500 / (3.5 * 3.2 * 0.95), 1e-3);
    assert_true(run->pedal.effort >= at_sea);
    mbl_run_free(run);
}

static void without_a_pedal_only_pressures_are_known(void **state)
{
    (void)state;
    mbl_case c = calm(NULL);
    c.car.tyre.grip = 1.4;
    mbl_run *run = run_of(&c);
    const mbl_pedal_result *p = &run->pedal;
    assert_true(p->hardest.pressure > 3e6);
    assert_near(p->pressure[1], p->pressure[0], 0);
    assert_true(isnan(p->effort) && isnan(p->run_out) && isnan(p->travel.used));
    assert_true(isnan(p->knock_back) && isnan(p->panic[0]));
    assert_near(p->shortfall, 0, 0);
    static const mbl_check_kind none[] = {MBL_CHECK_EFFORT, MBL_CHECK_TRAVEL, MBL_CHECK_BITE};
    for (int i = 0; i < 3; i++)
        assert_null(mbl_run_check_of(run, none[i], MBL_WHOLE_CAR));
    assert_null(mbl_run_check_of(run, MBL_CHECK_PANIC, 0));
    assert_non_null(mbl_run_check_of(run, MBL_CHECK_GRIP, MBL_WHOLE_CAR));
    mbl_run_free(run);
}

static void a_weak_leg_leaves_braking_undone_and_says_from_which_lap(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_bar);
    mbl_run *strong = run_of(&c);
    assert_near(strong->pedal.shortfall, 0, 0);
    assert_int_equal(strong->pedal.shortfall_lap, 0);
    assert_int_equal(check_of(strong, MBL_CHECK_EFFORT, MBL_WHOLE_CAR)->verdict, MBL_HOLDS);
    c.car.pedal.effort_limit = 0.8 * strong->pedal.effort;
    mbl_run *weak = run_of(&c);
    const mbl_check *effort = check_of(weak, MBL_CHECK_EFFORT, MBL_WHOLE_CAR);
    assert_int_equal(effort->verdict, MBL_FAILS);
    assert_int_equal(weak->verdict, MBL_FAILS);
    double reaches = c.car.pedal.effort_limit * bar_gain;
    int first = 0;
    for (size_t i = 0; i < weak->nlegs && first == 0; i++) {
        if (weak->legs[i].report.hardest.pressure > reaches)
            first = weak->legs[i].leg.lap;
    }
    assert_true(first == 2); /* the out-lap is slow */
    assert_int_equal(weak->pedal.shortfall_lap, first);
    assert_int_equal(effort->passing.lap, first);
    assert_true(weak->pedal.shortfall > 0 && weak->pedal.shortfall < 0.2 * weak->ledger.energy);
    /* what is judged is the full demand: fade never makes a brake look cool */
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        for (int i = 0; i < MBL_CORNER_NODES; i++)
            assert_near(weak->axle[axle].peak[i].T, strong->axle[axle].peak[i].T, 0);
    }
    assert_near(weak->ledger.heat, strong->ledger.heat, 0);
    double small = weak->pedal.shortfall;
    mbl_run_free(weak);
    c.car.pedal.effort_limit *= 0.7;
    weak = run_of(&c);
    assert_true(weak->pedal.shortfall > 1.5 * small);
    mbl_run_free(weak);
    mbl_run_free(strong);
}

static void the_shortfall_is_what_a_capped_drive_is_short_of(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_valve);
    c.car.front.pad.friction = (mbl_curve){.n = 2, .x = {400, 900}, .y = {0.45, 0.3}};
    c.car.pedal.effort_limit = 100;
    mbl_run *run = run_by(&c, 0.1);
    assert_true(run->pedal.shortfall > 0);
    mbl_error err = {0};
    mbl_drive *d = NULL;
    assert_ok(mbl_drive_make(&mbl_alloc_libc, &c, 0.1, NULL, 0, NULL, &d, &err), err);
    mbl_drive_cap(d, 0, run->pedal.reaches);
    double energy = 0;
    for (size_t i = 0; i < d->route->plan.n; i++) {
        mbl_leg_report r;
        assert_ok(mbl_drive_leg(d, &d->route->plan.leg[i], NULL, &r, &err), err);
        energy += r.energy;
    }
    assert_near(run->pedal.shortfall, energy - 2 * d->block->heat[0], 1e-9 * energy);
    mbl_run *strides = run_of(&c); /* the same by longer steps */
    assert_close(strides->pedal.shortfall, run->pedal.shortfall, 0.02);
    assert_int_equal(strides->pedal.shortfall_lap, run->pedal.shortfall_lap);
    mbl_run_free(strides);
    mbl_drive_free(d);
    mbl_run_free(run);
}

/* ---- travel ---- */

static void a_small_master_bottoms(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_bar);
    mbl_run *run = run_of(&c);
    const mbl_check *travel = check_of(run, MBL_CHECK_TRAVEL, MBL_WHOLE_CAR);
    assert_int_equal(travel->verdict, MBL_HOLDS);
    assert_near(travel->margin, 1 - run->pedal.travel.used, 1e-12);
    mbl_run_free(run);
    c.car.pedal.master.front = 0.0095;
    c.car.pedal.master.rear = 0.0089; /* a quarter of the area: the same shares */
    run = run_of(&c);
    travel = check_of(run, MBL_CHECK_TRAVEL, MBL_WHOLE_CAR);
    assert_true(run->pedal.travel.used > 1);
    assert_int_equal(travel->verdict, MBL_FAILS);
    assert_int_equal(travel->passing.lap, run->pedal.lap);
    mbl_run_free(run);
}

/*
 * Starting at 150 C, fluid that boils below that. Vapour must be closed up first: stroke of a
 * circuit by 2 x vapour / bore.
 */
static void boiled_fluid_takes_the_travel(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_bar);
    c.stint.start = 273.15 + 150;
    c.car.fluid = (mbl_fluid){0};
    test_fill(&mbl_fluid_schema, "{ dry: 180 C, wet: 120 C, water: 4 % }", &c.car.fluid);
    mbl_run *run = run_of(&c);
    assert_true(run->axle[0].vapour > 0);
    /* each circuit by itself; the fluid's own check judges it, not that of the travel */
    double front = run->pedal.travel.stroke[0] + 2 * run->axle[0].vapour / 2.835287369864788e-4;
    double rear =
        run->pedal.travel.stroke[1] + 2 * run->axle[1].vapour / (M_PI / 4 * 0.0178 * 0.0178);
    assert_close(run->pedal.with_vapour, fmax(front, rear) / 0.036, 1e-9);
    assert_true(run->pedal.with_vapour > 1 && run->pedal.travel.used < 0.5);
    assert_int_equal(check_of(run, MBL_CHECK_FLUID, 0)->verdict, MBL_FAILS);
    mbl_run_free(run);
    c.car.fluid.dry = 273.15 + 330;
    c.car.fluid.wet = 273.15 + 260;
    c.car.fluid.water = 0;
    run = run_of(&c);
    assert_near(run->axle[0].vapour, 0, 0);
    assert_near(run->pedal.with_vapour, run->pedal.travel.used, 0);
    assert_int_equal(check_of(run, MBL_CHECK_TRAVEL, MBL_WHOLE_CAR)->verdict, MBL_HOLDS);
    mbl_run_free(run);
}

/*
 * Pads pushed back by 0.3 mm: four pads an axle, each with the area of one side, and the bar
 * travels the mean of both masters by the shares of its force.
 */
static void kerbs_cost_travel_at_any_temperature(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_bar);
    mbl_run *run = run_of(&c);
    double front = 4 * 2748.893571891069e-6 / 2.835287369864788e-4;
    double rear = 4 * 1231.504320207199e-6 / (M_PI / 4 * 0.0178 * 0.0178);
    double per_back = 5.2 * (0.62 * front + 0.38 * rear);
    double used = run->pedal.travel.used;
    double travel = run->pedal.travel.pad;
    assert_close(run->pedal.knock_back, per_back * 3e-4, 1e-9);
    mbl_run_free(run);
    /* asked for, it is in the travel that is judged */
    c.car.pedal.knock_back = 2e-4;
    run = run_of(&c);
    assert_close(run->pedal.travel.pad, travel + per_back * 2e-4, 1e-9);
    assert_close(run->pedal.travel.used, used + front * 2e-4 / 0.036, 1e-9);
    assert_close(run->pedal.knock_back, per_back * 2e-4, 1e-9);
    mbl_run_free(run);
}

/* ---- panic ---- */

/* Where no part has a rating the limit stands in for one, and warns at worst. */
static void a_frightened_leg_is_held_against_what_bears_least(void **state)
{
    (void)state;
    mbl_case c = calm(test_pedal_bar);
    c.limits.pressure = 1.5e7;
    c.limits.pressure_band = 1e6;
    double panic = 1330 * bar_gain;
    mbl_run *run = run_of(&c);
    assert_close(run->pedal.panic[0], panic, 1e-12);
    assert_close(run->pedal.panic[1], 0.6983274350338626 * panic, 1e-12);
    for (int axle = 0; axle < 2; axle++) {
        const mbl_check *k = check_of(run, MBL_CHECK_PANIC, axle);
        assert_near(k->limit, 1.5e7, 0);
        assert_near(k->margin, 1.5e7 - run->pedal.panic[axle], 1e-6);
    }
    assert_int_equal(check_of(run, MBL_CHECK_PANIC, 0)->verdict, MBL_MARGINAL);
    assert_int_equal(check_of(run, MBL_CHECK_PANIC, 1)->verdict, MBL_HOLDS);
    mbl_run_free(run);
    c.limits.pressure = 9e6;
    run = run_of(&c);
    assert_true(check_of(run, MBL_CHECK_PANIC, 0)->margin < 0);
    assert_int_equal(check_of(run, MBL_CHECK_PANIC, 0)->verdict, MBL_MARGINAL);
    mbl_run_free(run);
    c.limits.pressure = 1.5e7;
    c.car.rear.caliper.rating = 9e6;
    c.car.front.caliper.rating = 3e7; /* hose and master bear no more for it */
    run = run_of(&c);
    assert_near(check_of(run, MBL_CHECK_PANIC, 0)->limit, 1.5e7, 0);
    assert_near(check_of(run, MBL_CHECK_PANIC, 1)->limit, 9e6, 0);
    assert_int_equal(check_of(run, MBL_CHECK_PANIC, 1)->verdict, MBL_FAILS);
    assert_int_equal(run->verdict, MBL_FAILS);
    mbl_run_free(run);
    c.limits.panic = 600;
    run = run_of(&c);
    assert_int_equal(check_of(run, MBL_CHECK_PANIC, 1)->verdict, MBL_HOLDS);
    mbl_run_free(run);
}

/* ---- life ---- */

static void pads_last_by_what_a_session_takes(void **state)
{
    (void)state;
    mbl_case c = calm(NULL);
    c.car.front.pad.wear = 5e-13;
    c.car.rear.pad.wear = 0;
    c.event.sessions = 3;
    mbl_run *run = run_of(&c);
    const mbl_life_result *l = &run->axle[0].life;
    assert_close(run->axle[0].worn, 5e-13 * run->axle[0].work, 1e-12);
    double worn = 5e-13 * run->axle[0].work / (2 * 62e-4);
    assert_true(worn > 1e-4);
    assert_near(l->pad_now, 0.011, 0);
    assert_close(l->pad_end, 0.011 - worn, 1e-12);
    assert_close(l->pad_event, 0.011 - 3 * worn, 1e-12);
    assert_close(l->pad_sessions, (0.011 - 0.005) / worn, 1e-12); /* worn at its plate of 5 mm */
    assert_int_equal(l->pad_sets, 1);
    const mbl_life_result *rear = &run->axle[1].life;
    assert_near(rear->pad_event, 0.014, 0);
    assert_true(isinf(rear->pad_sessions));
    assert_near(run->legs[run->nlegs - 1].report.pad_left[0], l->pad_end, 1e-12);
    mbl_run_free(run);
}

/* 6 mm to wear from now, 11 mm of every set after it. */
static void a_long_event_wears_out_pads_and_counts_its_sets(void **state)
{
    (void)state;
    mbl_case c = calm(NULL);
    c.car.front.pad.wear = 5e-13;
    mbl_run *run = run_of(&c);
    double worn = run->axle[0].life.pad_now - run->axle[0].life.pad_end;
    assert_int_equal(check_of(run, MBL_CHECK_WORN, 0)->verdict, MBL_HOLDS);
    mbl_run_free(run);
    static const struct {
        double need; /* m */
        int sets;
        mbl_verdict verdict;
    } rows[] = {{0.0045, 1, MBL_HOLDS}, {0.0055, 1, MBL_MARGINAL}, {0.0065, 2, MBL_FAILS},
                {0.0165, 2, MBL_FAILS}, {0.0175, 3, MBL_FAILS},    {0.0285, 4, MBL_FAILS}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        c.event.sessions = (int)(rows[i].need / worn);
        run = run_of(&c);
        const mbl_check *k = check_of(run, MBL_CHECK_WORN, 0);
        assert_int_equal(run->axle[0].life.pad_sets, rows[i].sets);
        assert_int_equal(k->verdict, rows[i].verdict);
        assert_near(k->limit, 0.005, 0);
        /* more than all of it is no more than all: 5 mm of limit and 1 mm */
        assert_near(k->margin, fmax(0.006 - c.event.sessions * worn, -0.006), 1e-9);
        if (k->verdict == MBL_FAILS)
            assert_int_equal(run->verdict, MBL_FAILS);
        mbl_run_free(run);
    }
}

static void pads_past_their_end_hold_for_no_event(void **state)
{
    (void)state;
    mbl_case c = calm(NULL);
    c.car.front.pad.thickness_now = 0.004;
    mbl_run *run = run_of(&c);
    assert_int_equal(check_of(run, MBL_CHECK_WORN, 0)->verdict, MBL_FAILS);
    assert_near(run->axle[0].life.pad_sessions, 0, 0);
    assert_int_equal(run->axle[0].life.pad_sets, 2);
    mbl_run_free(run);
}

/* The pads sweep pi x (355 - 50) x 50 mm2; 1e-13 m3/J off both faces together. */
static void a_rotor_is_held_against_its_minimum_where_it_has_one(void **state)
{
    (void)state;
    mbl_case c = calm(NULL);
    c.car.front.rotor.wear = 1e-13;
    mbl_run *run = run_of(&c);
    assert_null(mbl_run_check_of(run, MBL_CHECK_THIN, 0));
    double thin = 1e-13 * run->axle[0].work / (M_PI * 0.305 * 0.050);
    const mbl_life_result *l = &run->axle[0].life;
    assert_close(l->rotor_session, thin, 1e-12);
    assert_true(isinf(l->rotor_sessions));
    assert_int_equal(l->rotor_sets, 1);
    mbl_run_free(run);
    c.car.front.rotor.minimum = 0.030;
    c.event.sessions = (int)(0.0025 / thin);
    run = run_of(&c);
    l = &run->axle[0].life;
    assert_close(l->rotor_sessions, 0.002 / thin, 1e-9);
    assert_close(l->rotor_event, 0.032 - c.event.sessions * thin, 1e-12);
    assert_int_equal(l->rotor_sets, 2);
    const mbl_check *k = check_of(run, MBL_CHECK_THIN, 0);
    assert_int_equal(k->verdict, MBL_FAILS);
    assert_near(k->margin, 0.002 - c.event.sessions * thin, 1e-12);
    mbl_run_free(run);
    c.event.sessions = 1;
    run = run_of(&c);
    assert_int_equal(check_of(run, MBL_CHECK_THIN, 0)->verdict, MBL_HOLDS);
    mbl_run_free(run);
}

/* 110 GPa x 11e-6 / (1 - 0.26) = 1.635135 MPa for every kelvin the skin stands above the core. */
static void a_skin_that_is_held_is_stressed_by_its_gradient(void **state)
{
    (void)state;
    mbl_case c = calm(NULL);
    mbl_run *run = run_of(&c);
    assert_close(run->axle[0].life.stress, 1.635135e6 * run->gradient[0].T, 1e-6);
    assert_true(run->gradient[0].T > 152.9 && run->axle[0].life.cycles >= 1);
    assert_true(run->axle[0].life.crack > 0);
    assert_true(run->gradient[1].T < 152.9);
    assert_near(run->axle[1].life.cycles, 0, 0);
    assert_near(run->axle[1].life.crack, 0, 0);
    mbl_run_free(run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_foot_gives_what_the_hardest_application_asks),
        cmocka_unit_test(a_booster_runs_out_and_at_altitude_sooner),
        cmocka_unit_test(without_a_pedal_only_pressures_are_known),
        cmocka_unit_test(a_weak_leg_leaves_braking_undone_and_says_from_which_lap),
        cmocka_unit_test(the_shortfall_is_what_a_capped_drive_is_short_of),
        cmocka_unit_test(a_small_master_bottoms),
        cmocka_unit_test(boiled_fluid_takes_the_travel),
        cmocka_unit_test(kerbs_cost_travel_at_any_temperature),
        cmocka_unit_test(a_frightened_leg_is_held_against_what_bears_least),
        cmocka_unit_test(pads_last_by_what_a_session_takes),
        cmocka_unit_test(a_long_event_wears_out_pads_and_counts_its_sets),
        cmocka_unit_test(pads_past_their_end_hold_for_no_event),
        cmocka_unit_test(a_rotor_is_held_against_its_minimum_where_it_has_one),
        cmocka_unit_test(a_skin_that_is_held_is_stressed_by_its_gradient),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
