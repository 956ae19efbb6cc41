/* SPDX-License-Identifier: MIT */
/* A stint on a layout with the brakes in the loop: what a lap leaves to the next one. */
#include "drive/loop.h"
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"
#include "support/test_alloc.h"

static mbl_layout *layout;

/* Two straights of 500 m and two half circles of 40 m: two big stops a lap. */
static int set_up(void **state)
{
    (void)state;
    static const mbl_stretch stretch[] = {{500, 0, 0, 0, 0, 1},
                                          {125.66370614359172, 0.025, 0.025, 0, 0, 1},
                                          {500, 0, 0, 0, 0, 1},
                                          {125.66370614359172, 0.025, 0.025, 0, 0, 1}};
    mbl_error err = {0};
    mbl_layout_plan plan = {.name = "two stops",
                            .note = "",
                            .closed = true,
                            .n = 4,
                            .stretch = stretch,
                            .pit_entry = (double)NAN};
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), err);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_layout_drop(layout);
    return 0;
}

/* Pads as good as cold up to 450 C, and by 800 C nearly gone. */
static const mbl_curve fades = {.n = 3, .x = {293.15, 723.15, 1073.15}, .y = {0.42, 0.42, 0.12}};

static mbl_case on_layout(const char *stint)
{
    mbl_case c = test_case(NULL, stint);
    c.car = test_coupe_with(test_pedal_bar);
    c.car.power = 260e3;
    c.car.pedal.effort_limit = 330;
    c.car.front.pad.friction = fades;
    c.car.rear.pad.friction = fades;
    c.course.layout = layout;
    return c;
}

static mbl_trace *laps_of(const mbl_case *c)
{
    mbl_error err = {0};
    mbl_trace *t = NULL;
    assert_ok(mbl_loop_trace(&mbl_alloc_libc, c, NULL, &t, &err), err);
    return t;
}

static double time_of(const mbl_trace *t, size_t lap)
{
    return t->laps[lap].end - t->laps[lap].start;
}

static void brakes_that_fade_slow_the_laps_that_come_after(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 8 }");
    mbl_trace *t = laps_of(&c);
    assert_int_equal(t->nlaps, 8);
    assert_true(t->followed);
    for (size_t i = 0; i + 1 < t->nlaps; i++) {
        printf("lap %zu: %.4f s, brakes cost %.4f s\n", i + 1, time_of(t, i), t->lost[i]);
        assert_true(time_of(t, i + 1) > time_of(t, i) - 1e-9);
        assert_true(t->lost[i + 1] > t->lost[i] - 1e-9);
    }
    /* the first is driven with cold pads, which are as good as any: one good lap, then it is over
     */
    assert_true(time_of(t, 7) > time_of(t, 0) + 0.3);
    assert_true(t->lost[0] > 0);
    mbl_trace_drop(t);
}

/* Pads that do not care how hot they are. */
static void pads_that_do_not_fade_leave_every_lap_alike(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 8 }");
    c.car.front.pad.friction.n = 1; /* flat, however hot */
    c.car.rear.pad.friction = c.car.front.pad.friction;
    mbl_trace *hot = laps_of(&c);
    for (size_t i = 1; i < hot->nlaps; i++) {
        assert_near(time_of(hot, i), time_of(hot, 0), 1e-9);
        assert_near(hot->lost[i], hot->lost[0], 1e-9);
    }
    mbl_trace_drop(hot);
}

static void cooling_gives_back_some_of_what_fade_took(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 8 }");
    mbl_trace *as_it_is = laps_of(&c);
    c.car.front.airflow *= 2;
    c.car.rear.airflow *= 2;
    mbl_trace *cooled = laps_of(&c);
    printf("last lap %.4f s, with twice the air %.4f s\n", time_of(as_it_is, 7),
           time_of(cooled, 7));
    assert_true(time_of(cooled, 7) < time_of(as_it_is, 7));
    assert_near(time_of(cooled, 0), time_of(as_it_is, 0), 1e-9);
    mbl_trace_drop(as_it_is);
    mbl_trace_drop(cooled);
}

/* K, hottest pad face of a stint whose laps do not depend on it. */
static double hottest_pad(const mbl_case *on)
{
    mbl_case c = *on;
    mbl_error err = {0};
    mbl_run *run = NULL;
    c.car.front.pad.friction.n = 1;
    c.car.rear.pad.friction.n = 1;
    mbl_trace *t = laps_of(&c);
    c.course.trace = t;
    assert_ok(mbl_run_make(&mbl_alloc_libc, &c, NULL, 0, &run, &err), err);
    double hottest = fmax(run->axle[0].peak[MBL_PAD_FACE].T, run->axle[1].peak[MBL_PAD_FACE].T);
    mbl_run_free(run);
    mbl_trace_drop(t);
    return hottest;
}

/* Pads that fade above a temperature which they pass, and do not pass with twice the air. */
static void with_twice_the_cooling_laps_are_equal_that_were_not(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 6 }");
    mbl_case cool = c;
    cool.car.front.airflow *= 2;
    cool.car.rear.airflow *= 2;
    double passed = hottest_pad(&c);
    double kept = hottest_pad(&cool);
    double from = kept + 0.2 * (passed - kept);
    const mbl_curve pads = {.n = 3, .x = {293.15, from, from + 60}, .y = {0.42, 0.42, 0.12}};
    printf("pads reach %.0f K, with twice the air %.0f K; they fade from %.0f K\n", passed, kept,
           from);
    c.car.front.pad.friction = c.car.rear.pad.friction = pads;
    cool.car.front.pad.friction = cool.car.rear.pad.friction = pads;
    mbl_trace *hot = laps_of(&c);
    mbl_trace *cold = laps_of(&cool);
    for (size_t i = 1; i < cold->nlaps; i++)
        assert_near(time_of(cold, i), time_of(cold, 0), 1e-9);
    assert_true(time_of(hot, 5) > time_of(hot, 1) + 0.05);
    mbl_trace_drop(hot);
    mbl_trace_drop(cold);
}

static void without_a_pedal_brakes_hold_nobody_back(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 3 }");
    c.car.pedal.present = false;
    mbl_trace *t = laps_of(&c);
    for (size_t i = 0; i < t->nlaps; i++) {
        assert_near(t->lost[i], 0, 0);
        assert_near(time_of(t, i), time_of(t, 0), 1e-9);
    }
    mbl_trace_drop(t);
}

static void fuel_that_burns_makes_laps_faster(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 4 }");
    c.car.pedal.present = false;
    c.car.fuel.start = 40;
    c.car.fuel.per_lap = 8;
    mbl_trace *t = laps_of(&c);
    for (size_t i = 0; i + 1 < t->nlaps; i++)
        assert_true(time_of(t, i + 1) < time_of(t, i));
    mbl_trace_drop(t);
}

/* What was worked out is driven as it is: every lap once, in order, each at the pace of its kind.
 */
static void a_run_drives_these_laps_each_once(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ out: 1, hot: 3, cool: 1, park: 5 min }");
    mbl_error err = {0};
    mbl_run *run = NULL;
    mbl_trace *t = laps_of(&c);
    assert_int_equal(t->nlaps, 5);
    c.course.trace = t;
    assert_ok(mbl_run_make(&mbl_alloc_libc, &c, NULL, 0, &run, &err), err);
    size_t lap = 0;
    for (size_t i = 0; i < run->nlegs; i++) {
        const mbl_leg *leg = &run->legs[i].leg;
        if (leg->kind != MBL_LEG_LAP)
            continue;
        assert_near(leg->start, t->laps[lap].start, 0);
        assert_near(run->legs[i].report.duration, time_of(t, lap) / leg->pace, 1e-9);
        lap++;
    }
    assert_int_equal(lap, 5);
    assert_true(run->ledger.residual < 1e-12);
    mbl_run_free(run);
    mbl_trace_drop(t);
}

/* Braking energy of a lap against what the speeds say: half m v^2 down, less drag and rolling. */
static void the_heat_of_a_lap_is_that_of_its_speeds(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 2 }");
    c.car.pedal.present = false;
    mbl_error err = {0};
    mbl_run *run = NULL;
    mbl_trace *t = laps_of(&c);
    c.course.trace = t;
    assert_ok(mbl_run_make(&mbl_alloc_libc, &c, NULL, 0, &run, &err), err);
    double air = mbl_air_at(c.stint.ambient, mbl_air_pressure(c.stint.altitude)).density;
    const double g = 9.80665; /* standard gravity, CGPM 1901 */
    double energy = 0;
    for (size_t i = 0; i + 1 < t->n && t->t[i + 1] <= t->laps[0].end; i++) {
        double v = 0.5 * (t->v[i] + t->v[i + 1]);
        double dt = t->t[i + 1] - t->t[i];
        double a = (t->v[i] - t->v[i + 1]) / dt;
        double force =
            c.car.mass * ((1 + c.car.rotating) * a - c.car.rolling * g - c.car.engine_braking) -
            0.5 * air * c.car.aero.drag_area * v * v;
        if (force > 0.3 * c.car.mass)
            energy += force * v * dt;
    }
    printf("braking energy of a lap %.1f kJ, by its speeds %.1f kJ\n",
           run->legs[0].report.energy / 1e3, energy / 1e3);
    assert_near(run->legs[0].report.energy, energy, 0.01 * energy);
    mbl_run_free(run);
    mbl_trace_drop(t);
}

static void a_lap_after_which_the_car_stands_ends_at_the_pit_entry(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 2, park: 1 min }");
    mbl_error err = {0};
    mbl_layout *pits = NULL;
    mbl_layout_plan plan = mbl_layout_planned(layout);
    plan.pit_entry = 1000;
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &pits, &err), err);
    c.car.pedal.present = false;
    c.course.layout = pits;
    mbl_trace *t = laps_of(&c);
    double s = 0;
    for (size_t i = 0; i + 1 < t->n; i++) {
        if (t->t[i] >= t->laps[1].start && t->t[i + 1] <= t->laps[1].end)
            s += 0.5 * (t->v[i] + t->v[i + 1]) * (t->t[i + 1] - t->t[i]);
    }
    assert_true(s <= 1000 + 1e-6 && s > 1000 - MBL_LAP_STEP);
    assert_true(time_of(t, 1) < time_of(t, 0) - 3);
    mbl_trace_drop(t);
    mbl_layout_drop(pits);
}

/* Textbook hydraulics: p = F ratio efficiency / area of the bore; 400 N, 4.5, 0.95 and 19 mm give
 * 6.031 MPa, worked by hand. */
static void the_leg_limits_the_pressure_of_a_lap(void **state)
{
    (void)state;
    mbl_car car = test_coupe_with("{ ratio: 4.5, effort_limit: 400 N, efficiency: 95 %, master: { "
                                  "bore: 19 mm, stroke: 80 mm } }");
    assert_near(mbl_lap_pressure(&car, 0), 6.031e6, 1e3);
    car.pedal.master.stroke = 0.001; /* bottoms before there is any */
    assert_near(mbl_lap_pressure(&car, 0), 0, 0);
    car.pedal.present = false;
    assert_true(isnan(mbl_lap_pressure(&car, 0)));
}

static void a_stint_may_begin_with_a_wait(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 2 }");
    c.stint.hot = 0;
    c.stint.phases = (mbl_phases){
        .n = 2,
        .v = {{.kind = MBL_PHASE_PARK, .laps = 1, .time = 120, .pace = (double)NAN},
              {.kind = MBL_PHASE_HOT, .laps = 2, .time = (double)NAN, .pace = (double)NAN}}};
    mbl_trace *t = laps_of(&c);
    assert_int_equal(t->nlaps, 2);
    mbl_trace_drop(t);
}

static void a_logged_session_is_refused(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ logged: true }");
    mbl_error err = {0};
    mbl_trace *t = NULL;
    assert_int_equal(mbl_loop_trace(&mbl_alloc_libc, &c, NULL, &t, &err), MBL_INPUT);
    assert_string_equal(err.path, "stint.logged");
    assert_null(t);
}

static bool alike(const mbl_case *a, const mbl_case *b)
{
    mbl_digest x = mbl_lap_digest(a, &a->car);
    mbl_digest y = mbl_lap_digest(b, &b->car);
    return mbl_digest_same(&x, &y);
}

/* Laps are shared by cars whose digest is the same, so it has to know what moves a lap. */
static void the_digest_of_a_lap_moves_with_what_moves_the_lap(void **state)
{
    (void)state;
    const mbl_case base = on_layout("{ hot: 1 }");
    mbl_case c = base;
    assert_true(alike(&base, &c));
    double *const moves[] = {&c.car.mass,
                             &c.car.fuel.start,
                             &c.car.rotating,
                             &c.car.rolling,
                             &c.car.engine_braking,
                             &c.car.aero.drag_area,
                             &c.car.aero.downforce_area,
                             &c.car.tyre.grip,
                             &c.car.tyre.load_sensitivity,
                             &c.car.front_weight,
                             &c.car.cg_height,
                             &c.car.wheelbase,
                             &c.car.power,
                             &c.car.pedal.effort_limit,
                             &c.car.pedal.ratio,
                             &c.car.pedal.balance,
                             &c.car.front.pad.friction.y[1],
                             &c.stint.ambient,
                             &c.stint.altitude,
                             &c.course.driver.corner};
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++) {
        double was = *moves[i];
        *moves[i] = isnan(was) ? 0.5 : 1.1 * was + 0.01;
        assert_false(alike(&base, &c));
        *moves[i] = was;
    }
    c.car.front.rotor.ring_mass += 1;
    c.car.front.airflow *= 1.5;
    c.car.fluid.wet += 20;
    assert_true(alike(&base, &c)); /* these warm a lap, they do not move it */
}

static void each_allocation_may_fail(void **state)
{
    (void)state;
    mbl_case c = on_layout("{ hot: 2, park: 1 min }");
    size_t failed = 0;
    for (size_t at = 1;; at++) {
        test_alloc a;
        mbl_error err = {0};
        mbl_trace *t = NULL;
        test_alloc_init(&a);
        a.fail_at = at;
        mbl_status status = mbl_loop_trace(&a.alloc, &c, NULL, &t, &err);
        if (status == MBL_OK) {
            mbl_trace_drop(t);
            assert_int_equal(a.live_bytes, 0);
            break;
        }
        failed++;
        assert_int_equal(status, MBL_MEMORY);
        assert_null(t);
        assert_int_equal(a.live_bytes, 0);
        assert_int_equal(a.wrong_size, 0);
    }
    printf("%zu allocations failed in turn\n", failed);
    assert_true(failed > 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(brakes_that_fade_slow_the_laps_that_come_after),
        cmocka_unit_test(pads_that_do_not_fade_leave_every_lap_alike),
        cmocka_unit_test(cooling_gives_back_some_of_what_fade_took),
        cmocka_unit_test(with_twice_the_cooling_laps_are_equal_that_were_not),
        cmocka_unit_test(without_a_pedal_brakes_hold_nobody_back),
        cmocka_unit_test(fuel_that_burns_makes_laps_faster),
        cmocka_unit_test(a_run_drives_these_laps_each_once),
        cmocka_unit_test(the_heat_of_a_lap_is_that_of_its_speeds),
        cmocka_unit_test(a_lap_after_which_the_car_stands_ends_at_the_pit_entry),
        cmocka_unit_test(the_leg_limits_the_pressure_of_a_lap),
        cmocka_unit_test(a_stint_may_begin_with_a_wait),
        cmocka_unit_test(a_logged_session_is_refused),
        cmocka_unit_test(the_digest_of_a_lap_moves_with_what_moves_the_lap),
        cmocka_unit_test(each_allocation_may_fail),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
