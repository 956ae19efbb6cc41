/* SPDX-License-Identifier: MIT */
/* Routes: legs cut once and shared, and what tells one route from another. */
#include "drive/drive.h"
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"
#include "support/test_alloc.h"

static mbl_trace *trace;
static mbl_trace *twin;    /* the same contents elsewhere */
static mbl_trace *another; /* one lap more */

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_kestrel_rise, 2);
    twin = test_session(&drive_kestrel_rise, 2);
    another = test_session(&drive_kestrel_rise, 3);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    mbl_trace_drop(twin);
    mbl_trace_drop(another);
    return 0;
}

static mbl_road road_of(const mbl_case *c, double step)
{
    mbl_error err = {0};
    mbl_model *m = NULL;
    mbl_road road;
    assert_ok(mbl_drive_compile(&mbl_alloc_libc, c, NULL, &m, &err), err);
    assert_ok(mbl_road_of(&mbl_alloc_libc, c, step, m, &road, &err), err);
    mbl_model_drop(m);
    return road;
}

static mbl_route *route_of(const mbl_case *c, double step)
{
    mbl_error err = {0};
    mbl_route *r = NULL;
    mbl_road road = road_of(c, step);
    assert_ok(mbl_route_make(&mbl_alloc_libc, c, &road, &r, &err), err);
    return r;
}

static mbl_digest digest_of(const mbl_case *c, double step)
{
    mbl_road road = road_of(c, step);
    return mbl_route_digest(c, &road);
}

static mbl_case case_of(const char *stint)
{
    return test_case(trace, stint);
}

/* By strides, and on a fixed grid. */
static const double steps[] = {0, 0.1};
enum { STEPS = 2 };

static const void *arrays_of(const mbl_route_leg *leg)
{
    return leg->stride != NULL ? (const void *)leg->stride : (const void *)leg->time;
}

/* ---- legs ---- */

static void laps_that_are_alike_share_their_arrays(void **state)
{
    (void)state;
    for (int i = 0; i < STEPS; i++) {
        mbl_case c = case_of("{ out: 1, hot: 4, cool: 1, park: 1 min }");
        mbl_route *r = route_of(&c, steps[i]);
        size_t owned = 0;
        for (size_t k = 0; k < r->plan.n; k++) {
            const mbl_route_leg *leg = &r->leg[k];
            owned += r->owned[k] != NULL;
            assert_non_null(arrays_of(leg));
            assert_int_equal(leg->stride != NULL, steps[i] <= 0 && leg->leg.kind != MBL_LEG_PARK);
            assert_memory_equal(&leg->leg, &r->plan.leg[k], sizeof leg->leg); /* its own number */
        }
        /* out, hot, cool, the stop in the pits, the stand */
        assert_int_equal(r->plan.n, 8);
        assert_int_equal(owned, 5);
        for (size_t k = 2; k < 5; k++) {
            assert_ptr_equal(arrays_of(&r->leg[k]), arrays_of(&r->leg[1]));
            assert_int_equal(r->leg[k].leg.lap, k + 1);
            assert_near(r->leg[k].energy, r->leg[1].energy, 0);
            assert_null(r->owned[k]);
        }
        assert_ptr_not_equal(arrays_of(&r->leg[0]), arrays_of(&r->leg[1]));
        mbl_route_drop(r);
    }
}

static void what_a_leg_is_said_to_take_is_in_its_steps(void **state)
{
    (void)state;
    for (int i = 0; i < STEPS; i++) {
        mbl_case c = case_of("{ out: 1, hot: 2, park: 1 min }");
        mbl_route *r = route_of(&c, steps[i]);
        for (size_t k = 0; k < r->plan.n; k++) {
            const mbl_route_leg *leg = &r->leg[k];
            double energy = 0;
            double time = 0;
            double hard = 0; /* s, where the hard step begins */
            for (size_t j = 0; j < leg->n; j++) {
                bool strides = leg->stride != NULL;
                double dt = strides ? leg->stride[j].dt : leg->time[j + 1] - leg->time[j];
                hard = j == leg->hard ? time : hard;
                energy += dt * (strides ? leg->stride[j].power : leg->power[j]);
                time += dt;
            }
            assert_close(time, leg->duration, 1e-12);
            assert_near(energy, leg->energy, 1e-12 * leg->energy);
            if (leg->leg.phase == MBL_PHASE_HOT)
                assert_true(leg->hard < leg->n && hard > 0 && leg->top_speed > 30);
            if (leg->leg.kind != MBL_LEG_LAP)
                assert_int_equal(leg->hard, leg->n);
        }
        mbl_route_drop(r);
    }
}

static void fuel_that_is_burnt_makes_every_lap_one_of_its_own(void **state)
{
    (void)state;
    for (int i = 0; i < STEPS; i++) {
        mbl_case c = case_of("{ hot: 4, park: 1 min }");
        c.car.fuel.start = 25;
        c.car.fuel.per_lap = 10;
        mbl_route *r = route_of(&c, steps[i]);
        static const double fuel[] = {25, 15, 5, 0};
        for (size_t k = 0; k < 4; k++) {
            assert_near(r->leg[k].mass, 1420 + fuel[k], 1e-9);
            assert_non_null(r->owned[k]);
            if (k > 0)
                assert_true(r->leg[k].energy < r->leg[k - 1].energy);
        }
        for (size_t k = 4; k < r->plan.n; k++) /* none is used at a stand */
            assert_near(r->leg[k].mass, 1420, 1e-9);
        mbl_route_drop(r);
    }
}

/* The brakes go on and off where they did: the lighter car is cut where the heavy one was. */
static void laps_on_less_fuel_are_cut_where_the_first_one_was(void **state)
{
    (void)state;
    mbl_case c = case_of("{ hot: 3 }");
    c.car.fuel.start = 20;
    c.car.fuel.per_lap = 2;
    mbl_route *r = route_of(&c, 0);
    for (size_t k = 1; k < 3; k++) {
        assert_int_equal(r->leg[k].n, r->leg[0].n);
        for (size_t j = 0; j < r->leg[k].n; j++)
            assert_near(r->leg[k].stride[j].dt, r->leg[0].stride[j].dt, 0);
    }
    mbl_route_drop(r);
}

static void same_leg(const mbl_route_leg *a, const mbl_route_leg *b)
{
    assert_int_equal(a->n, b->n);
    assert_int_equal(a->hard, b->hard);
    const double got[] = {a->mass,
                          a->duration,
                          a->energy,
                          a->inferred,
                          a->braking_time,
                          a->top_speed,
                          a->hardest_deceleration};
    const double want[] = {b->mass,
                           b->duration,
                           b->energy,
                           b->inferred,
                           b->braking_time,
                           b->top_speed,
                           b->hardest_deceleration};
    assert_memory_equal(got, want, sizeof got);
    assert_int_equal(a->stride != NULL, b->stride != NULL);
    if (a->stride == NULL) {
        assert_memory_equal(a->time, b->time, (a->n + 1) * sizeof *a->time);
        assert_memory_equal(a->speed, b->speed, (a->n + 1) * sizeof *a->speed);
        assert_memory_equal(a->power, b->power, a->n * sizeof *a->power);
        return;
    }
    for (size_t i = 0; i < a->n; i++) {
        const mbl_stride *x = &a->stride[i];
        const mbl_stride *y = &b->stride[i];
        const double one[] = {x->dt, x->v0, x->v1, x->power, x->slope, x->macro_dt, x->macro_v1};
        const double two[] = {y->dt, y->v0, y->v1, y->power, y->slope, y->macro_dt, y->macro_v1};
        assert_memory_equal(one, two, sizeof one);
        assert_int_equal(x->afresh, y->afresh);
    }
}

/* One survey for all legs in their order, with fuel; and in any order, by a survey of its own each,
 * without. */
static void a_surveyed_leg_is_that_of_the_route(void **state)
{
    (void)state;
    mbl_error err = {0};
    for (int i = 0; i < 2 * STEPS; i++) {
        bool fuel = i >= STEPS;
        mbl_case c = case_of("{ out: 1, hot: 3, cool: 1, park: 1 min }");
        c.car.fuel.start = fuel ? 20 : 0;
        c.car.fuel.per_lap = fuel ? 2 : 0;
        mbl_route *r = route_of(&c, steps[i % STEPS]);
        mbl_survey *s = NULL;
        mbl_route_leg leg;
        for (size_t k = 0; k < r->plan.n; k++) {
            size_t at = fuel ? k : r->plan.n - 1 - k;
            if (!fuel || k == 0)
                assert_ok(mbl_survey_make(&mbl_alloc_libc, &r->road, &s, &err), err);
            assert_ok(mbl_survey_leg(s, &r->plan.leg[at], r->leg[at].mass, &leg, &err), err);
            same_leg(&leg, &r->leg[at]);
            if (!fuel || k + 1 == r->plan.n)
                mbl_survey_free(s);
        }
        mbl_route_drop(r);
    }
}

/* A leg that is longer than those before it makes room, and loses no cut that was made. */
static void a_survey_takes_legs_in_any_order(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_case c = case_of("{ out: 1, hot: 2, cool: 1, park: 5 min }");
    mbl_route *r = route_of(&c, 0);
    mbl_survey *s = NULL;
    assert_ok(mbl_survey_make(&mbl_alloc_libc, &r->road, &s, &err), err);
    for (size_t k = 0; k < 5 * r->plan.n; k++) {
        size_t at = 3 * k % r->plan.n;
        mbl_route_leg leg;
        assert_ok(mbl_survey_leg(s, &r->plan.leg[at], r->leg[at].mass, &leg, &err), err);
        same_leg(&leg, &r->leg[at]);
    }
    mbl_survey_free(s);
    mbl_survey_free(NULL);
    mbl_route_drop(r);
}

static void fuel_goes_by_the_lap_and_not_below_none(void **state)
{
    (void)state;
    static const struct {
        mbl_leg leg;
        double before, after;
    } rows[] = {
        {{.kind = MBL_LEG_LAP, .phase = MBL_PHASE_HOT}, 10, 7.5},
        {{.kind = MBL_LEG_LAP, .phase = MBL_PHASE_OUT}, 2, 0},
        {{.kind = MBL_LEG_LAP, .phase = MBL_PHASE_PARK}, 10, 10}, /* a stand in a log */
        {{.kind = MBL_LEG_STOP, .phase = MBL_PHASE_PARK}, 10, 10},
        {{.kind = MBL_LEG_PARK, .phase = MBL_PHASE_PARK}, 10, 10},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_near(mbl_route_burn(rows[i].before, 2.5, &rows[i].leg), rows[i].after, 0);
}

/* ---- digest ---- */

static mbl_case usual(void)
{
    mbl_case c = case_of("{ out: 1, hot: 3, cool: 1, park: 10 min }");
    c.car.fuel.start = 20;
    c.car.fuel.per_lap = 2;
    return c;
}

static bool shares(const mbl_case *c, double step)
{
    mbl_case first = usual();
    mbl_digest a = digest_of(&first, step);
    mbl_digest b = digest_of(c, step);
    return mbl_digest_same(&a, &b);
}

static void cars_whose_brakes_are_kin_share_a_route(void **state)
{
    (void)state;
    for (int i = 0; i < STEPS; i++) {
        mbl_case c = usual();
        assert_true(shares(&c, steps[i]));
        c.car.fluid.dry += 20;
        c.car.front.airflow = 0.9;
        c.car.front.caliper.mass = 5;
        c.car.rear.pad.wear *= 2;
        c.car.rear.pad.window.v[1] += 50;
        c.course.trace = twin; /* read twice */
        c.stint.start = 360;   /* K, of the brakes: not of the road */
        assert_true(shares(&c, steps[i]));
        mbl_case own = usual();
        mbl_route *a = route_of(&own, steps[i]);
        mbl_route *b = route_of(&c, steps[i]);
        for (size_t k = 0; k < a->plan.n; k++)
            same_leg(&a->leg[k], &b->leg[k]);
        mbl_route_drop(a);
        mbl_route_drop(b);
        /* other brakes are no kin, which matters where steps are cut to them */
        c.car.front.rotor.ring_mass *= 1.3;
        assert_int_equal(shares(&c, steps[i]), steps[i] > 0);
    }
}

/* What a row changes in the case that all are held against. */
static void other_mass(mbl_case *c)
{
    c->car.mass += 1;
}
static void other_load(mbl_case *c)
{
    c->car.load.passenger = 70;
}
static void other_drag(mbl_case *c)
{
    c->car.aero.drag_area *= 1.01;
}
static void other_rolling(mbl_case *c)
{
    c->car.rolling *= 1.01;
}
static void other_rotating(mbl_case *c)
{
    c->car.rotating += 0.01;
}
static void other_engine(mbl_case *c)
{
    c->car.engine_braking += 0.01;
}
static void more_fuel(mbl_case *c)
{
    c->car.fuel.start += 1;
}
static void thirstier(mbl_case *c)
{
    c->car.fuel.per_lap += 0.1;
}
static void warmer_air(mbl_case *c)
{
    c->stint.ambient += 5;
}
static void higher_up(mbl_case *c)
{
    c->stint.altitude += 300;
}
static void other_trace(mbl_case *c)
{
    c->course.trace = another;
}
static void other_driver(mbl_case *c)
{
    c->course.of = c->car;
    c->course.of.present = true;
    c->course.of.mass += 100;
}
static void other_hot_lap(mbl_case *c)
{
    c->course.hot_lap = 2;
}
static void finer(mbl_case *c)
{
    c->mode = MBL_MODE_FINE;
}
static void slower_out(mbl_case *c)
{
    c->stint.pace.out *= 0.9;
}
static void slower_hot(mbl_case *c)
{
    c->stint.pace.hot *= 0.99;
}
static void slower_traffic(mbl_case *c)
{
    c->stint.pace.traffic *= 0.9;
}
static void slower_cool(mbl_case *c)
{
    c->stint.pace.cool *= 0.9;
}
static void one_lap_more(mbl_case *c)
{
    c->stint.hot += 1;
}
static void no_out_lap(mbl_case *c)
{
    c->stint.out = 0;
}
static void more_cool_laps(mbl_case *c)
{
    c->stint.cool = 2;
}
static void parks_longer(mbl_case *c)
{
    c->stint.park += 60;
}
static void as_logged(mbl_case *c)
{
    c->stint.logged = true;
}
static void faster_in_the_pits(mbl_case *c)
{
    c->stint.pit_speed += 1;
}
static void a_list(mbl_case *c)
{
    c->stint.phases.n = 1;
    c->stint.phases.v[0] = (mbl_phase){.kind = MBL_PHASE_HOT, .laps = 2};
}

typedef void change(mbl_case *c);

static void what_moves_a_step_makes_another_route(void **state)
{
    (void)state;
    static change *const changes[] = {
        other_mass,     other_load,     other_drag,         other_rolling, other_rotating,
        other_engine,   more_fuel,      thirstier,          warmer_air,    higher_up,
        other_trace,    other_driver,   other_hot_lap,      finer,         slower_out,
        slower_hot,     slower_traffic, slower_cool,        one_lap_more,  no_out_lap,
        more_cool_laps, parks_longer,   faster_in_the_pits, as_logged,     a_list,
    };
    enum { CHANGES = sizeof changes / sizeof changes[0] };
    mbl_digest seen[CHANGES];
    for (size_t i = 0; i < CHANGES; i++) {
        mbl_case c = usual();
        changes[i](&c);
        if (shares(&c, 0))
            fail_msg("change %zu is not in the digest", i);
        seen[i] = digest_of(&c, 0);
        for (size_t k = 0; k < i; k++)
            assert_false(mbl_digest_same(&seen[i], &seen[k]));
    }
    mbl_case c = usual();
    mbl_digest strides = digest_of(&c, 0);
    mbl_digest grid = digest_of(&c, 0.1);
    mbl_digest wide = digest_of(&c, 0.2);
    assert_false(mbl_digest_same(&strides, &grid));
    assert_false(mbl_digest_same(&grid, &wide));
}

static void each_part_of_a_list_of_phases_counts(void **state)
{
    (void)state;
    mbl_digest seen[6];
    for (int i = 0; i < 6; i++) {
        mbl_case c = usual();
        c.stint.phases.n = 2;
        mbl_phase *p = c.stint.phases.v;
        p[0] = (mbl_phase){.kind = MBL_PHASE_HOT, .laps = i == 1 ? 3 : 2, .pace = i == 2 ? 0.9 : 1};
        p[1] = (mbl_phase){.kind = MBL_PHASE_PARK, .time = i == 3 ? 90 : 60, .pace = 1};
        if (i == 4)
            p[0].kind = MBL_PHASE_OUT;
        if (i == 5) {
            mbl_phase first = p[0];
            p[0] = p[1];
            p[1] = first;
        }
        seen[i] = digest_of(&c, 0);
        for (int k = 0; k < i; k++)
            assert_false(mbl_digest_same(&seen[i], &seen[k]));
    }
}

/* ---- memory ---- */

static mbl_status make_with(const mbl_alloc *alloc, const mbl_case *c, const mbl_road *road)
{
    mbl_error err = {0};
    mbl_route *r = NULL;
    mbl_status status = mbl_route_make(alloc, c, road, &r, &err);
    if (status == MBL_OK) {
        mbl_route *again = mbl_route_keep(r);
        mbl_route_drop(r);
        assert_near(again->leg[0].duration, again->leg[0].duration, 0); /* it is still there */
        mbl_route_drop(again);
    } else {
        assert_null(r);
        assert_int_equal(status, MBL_MEMORY);
        assert_has(err.text, "memory");
    }
    return status;
}

static void every_allocation_of_a_route_may_fail(void **state)
{
    (void)state;
    for (int i = 0; i < STEPS; i++) {
        mbl_case c = case_of("{ out: 1, hot: 2, park: 1 min }");
        c.car.fuel.start = 20;
        c.car.fuel.per_lap = 2;
        mbl_road road = road_of(&c, steps[i]);
        size_t failed = 0;
        for (size_t at = 1;; at++) {
            test_alloc t;
            test_alloc_init(&t);
            t.fail_at = at;
            mbl_status status = make_with(&t.alloc, &c, &road);
            assert_int_equal(t.live_bytes, 0);
            assert_int_equal(t.wrong_size, 0);
            if (status == MBL_OK)
                break;
            failed++;
        }
        printf("%zu allocations\n", failed);
        assert_true(failed > 8);
    }
}

/* Two cars on one route, the second of them driven off it once. */
static mbl_status drive_with(const mbl_alloc *alloc, const mbl_case *c)
{
    mbl_error err = {0};
    mbl_drive *d = NULL;
    mbl_model *m[2] = {NULL, NULL};
    mbl_route *r = NULL;
    mbl_road road;
    mbl_leg_report report[2];
    const mbl_case *both[2] = {c, c};
    mbl_status status = mbl_drive_compile(alloc, c, NULL, &m[0], &err);
    if (status == MBL_OK)
        status = mbl_drive_compile(alloc, c, NULL, &m[1], &err);
    if (status == MBL_OK)
        status = mbl_road_of(alloc, c, 0, m[0], &road, &err);
    if (status == MBL_OK)
        status = mbl_route_make(alloc, c, &road, &r, &err);
    if (status == MBL_OK)
        status = mbl_drive_lanes(alloc, 2, both, m, r, NULL, 0, &d, &err);
    if (status == MBL_OK)
        status = mbl_drive_leg(d, &r->plan.leg[0], NULL, report, &err);
    if (status == MBL_OK) {
        mbl_leg leg = r->plan.leg[0];
        leg.pace *= 0.9;
        status = mbl_drive_leg(d, &leg, NULL, report, &err);
    }
    mbl_route_drop(r);
    mbl_model_drop(m[0]);
    mbl_model_drop(m[1]);
    mbl_drive_free(d);
    return status;
}

static void every_allocation_of_a_drive_may_fail(void **state)
{
    (void)state;
    mbl_case c = case_of("{ hot: 1, park: 1 min }");
    size_t failed = 0;
    for (size_t at = 1;; at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = at;
        mbl_status status = drive_with(&t.alloc, &c);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (status == MBL_OK)
            break;
        assert_int_equal(status, MBL_MEMORY);
        failed++;
    }
    printf("%zu allocations\n", failed);
    assert_true(failed > 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(laps_that_are_alike_share_their_arrays),
        cmocka_unit_test(what_a_leg_is_said_to_take_is_in_its_steps),
        cmocka_unit_test(fuel_that_is_burnt_makes_every_lap_one_of_its_own),
        cmocka_unit_test(laps_on_less_fuel_are_cut_where_the_first_one_was),
        cmocka_unit_test(a_surveyed_leg_is_that_of_the_route),
        cmocka_unit_test(a_survey_takes_legs_in_any_order),
        cmocka_unit_test(fuel_goes_by_the_lap_and_not_below_none),
        cmocka_unit_test(cars_whose_brakes_are_kin_share_a_route),
        cmocka_unit_test(what_moves_a_step_makes_another_route),
        cmocka_unit_test(each_part_of_a_list_of_phases_counts),
        cmocka_unit_test(every_allocation_of_a_route_may_fail),
        cmocka_unit_test(every_allocation_of_a_drive_may_fail),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
