/* SPDX-License-Identifier: MIT */
/* A car driven leg by leg: what each leg reports, and what changes between them. */
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

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

/* A fixed grid of 0.1 s, and 0: by strides, as users drive. */
static const double grids[] = {0.1, 0};

static mbl_drive *drive_by(const mbl_case *c, double step, mbl_film_store *films)
{
    mbl_error err = {0};
    mbl_drive *d = NULL;
    assert_ok(mbl_drive_make(&mbl_alloc_libc, c, step, NULL, 0, films, &d, &err), err);
    return d;
}

static mbl_drive *drive_of(const mbl_case *c)
{
    return drive_by(c, grids[0], NULL);
}

static mbl_leg_report go(mbl_drive *d, size_t leg, mbl_history *history)
{
    mbl_error err = {0};
    mbl_leg_report r;
    assert_ok(mbl_drive_leg(d, &d->route->plan.leg[leg], history, &r, &err), err);
    return r;
}

static mbl_case valve_case(const char *stint)
{
    mbl_case c = test_case(trace, stint);
    c.car = test_coupe_with(test_pedal_valve);
    return c;
}

/* ---- reports ---- */

/* A step seen by its rows: the one of the highest pressure. */
typedef struct seen {
    double pressure; /* Pa */
    double t[2], speed[2];
} seen;

static void look(void *ctx, double t, const mbl_leg *leg, double speed, double power,
                 double pressure, const double *T)
{
    (void)leg;
    (void)power;
    (void)T;
    seen *s = ctx;
    if (pressure > s->pressure)
        *s = (seen){pressure, {t, t}, {speed, speed}};
    if (pressure == s->pressure) {
        s->t[1] = t;
        s->speed[1] = speed;
    }
}

static void the_hardest_application_of_a_leg_is_that_of_its_history(void **state)
{
    (void)state;
    mbl_case c = valve_case("{ out: 1, hot: 2, park: 2 min }");
    mbl_drive *d = drive_of(&c);
    for (size_t i = 0; i < d->route->plan.n; i++) {
        seen s = {0};
        mbl_history history = {.every = 1e-3, .ctx = &s, .row = look};
        mbl_leg_report r = go(d, i, &history);
        if (d->route->plan.leg[i].kind == MBL_LEG_PARK) {
            assert_near(r.hardest.pressure, 0, 0);
            assert_near(r.hardest.force, 0, 0);
            continue;
        }
        assert_true(r.hardest.pressure > 1e6);
        if (d->route->plan.leg[i].kind != MBL_LEG_LAP)
            continue;
        assert_near(r.hardest.pressure, s.pressure, 0);
        /* at the end of the step and by its mean speed, of which rows see all but a millisecond */
        assert_near(r.hardest.at, s.t[1], 1.1e-3);
        assert_true(r.hardest.at - s.t[0] > 0.09);
        assert_near(r.hardest.speed, 0.5 * (s.speed[0] + s.speed[1]), 0.02);
        assert_true(r.hardest.at > r.start && r.hardest.at <= r.start + r.duration + 1e-9);
        /* N from pressure, by hand: see the gains in test_block_pressure.c */
        double rear = fmin(r.hardest.pressure, 2.5e6) + 0.35 * fmax(r.hardest.pressure - 2.5e6, 0);
        double force =
            4 * 2748.893571891069e-6 * 0.1525 / 0.318 * r.hardest.mu[0] * r.hardest.pressure +
            4 * 1231.504320207199e-6 * 0.142 / 0.318 * r.hardest.mu[1] * rear;
        assert_close(r.hardest.force, force, 1e-12);
    }
    mbl_drive_free(d);
}

static void the_hardest_deceleration_is_that_of_the_speeds_while_braking(void **state)
{
    (void)state;
    mbl_case c = valve_case("{ hot: 1, park: 1 min }");
    mbl_drive *d = drive_of(&c);
    for (size_t i = 0; i < d->route->plan.n; i++) {
        mbl_leg_report r = go(d, i, NULL);
        const mbl_route_leg *ch = &d->route->leg[i];
        double hardest = 0;
        double top = 0;
        for (size_t k = 0; k < ch->n; k++) {
            double a = (ch->speed[k] - ch->speed[k + 1]) / (ch->time[k + 1] - ch->time[k]);
            hardest = ch->power[k] > 0 && a > hardest ? a : hardest;
            top = fmax(top, ch->speed[k]);
        }
        assert_near(r.hardest_deceleration, hardest, 0);
        assert_near(r.top_speed, top, 0);
        if (d->route->plan.leg[i].kind == MBL_LEG_STOP) /* 3 m/s2 in the pits */
            assert_near(r.hardest_deceleration, MBL_PIT_DECELERATION, 1e-9);
    }
    mbl_drive_free(d);
}

static void the_car_of_a_leg_weighs_what_is_in_its_tank(void **state)
{
    (void)state;
    mbl_case c = valve_case("{ out: 1, hot: 3 }");
    c.car.fuel.start = 6;
    c.car.fuel.per_lap = 2.5;
    c.car.load.passenger = 70;
    mbl_drive *d = drive_of(&c);
    static const double fuel[] = {6, 3.5, 1, 0};
    for (size_t i = 0; i < 4; i++)
        assert_near(go(d, i, NULL).mass, 1420 + 70 + fuel[i], 1e-9);
    mbl_drive_free(d);
}

/* ---- wear ---- */

static void wear_pads_by(double step)
{
    mbl_case c = valve_case("{ hot: 3 }");
    c.car.front.pad.wear_effect = c.car.rear.pad.wear_effect =
        (mbl_curve){.n = 1, .x = {300}, .y = {1}};
    c.car.front.pad.wear = 4e-12;
    c.car.rear.pad.wear = 9e-13;
    mbl_drive *d = drive_by(&c, step, NULL);
    double before[2] = {0.011, 0.014};
    for (size_t i = 0; i < 3; i++) {
        mbl_leg_report r = go(d, i, NULL);
        double left[2] = {0.011 - 4e-12 * d->block->work[0] / (2 * 62e-4),
                          0.014 - 9e-13 * d->block->work[1] / (2 * 42e-4)};
        for (int axle = 0; axle < MBL_AXLES; axle++) {
            assert_close(r.pad_left[axle], left[axle], 1e-12);
            assert_true(r.pad_left[axle] < before[axle] - 1e-5);
            /* in the leg the pads stored as much as they had been thick before it */
            double area = axle == 0 ? 2 * 62e-4 : 2 * 42e-4;
            assert_close(d->block->scale[mbl_corner_index(axle, MBL_PAD_BODY2)],
                         area * 0.7 * before[axle] * 2700 * 900, 1e-9);
            before[axle] = r.pad_left[axle];
        }
    }
    assert_near(mbl_block_residual(d->block, 0), 0, 1e-12);
    mbl_drive_free(d);
}

static void pads_end_a_leg_as_thick_as_their_work_leaves_them(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++)
        wear_pads_by(grids[i]);
}

static void wear_laps_apart_by(double step)
{
    mbl_case c = valve_case("{ hot: 3 }");
    c.car.front.pad.wear = 3e-12;
    mbl_case lasts = c;
    lasts.car.front.pad.wear = 0;
    mbl_drive *a = drive_by(&c, step, NULL);
    mbl_drive *b = drive_by(&lasts, step, NULL);
    for (size_t i = 0; i < 3; i++) {
        mbl_leg_report worn = go(a, i, NULL);
        mbl_leg_report whole = go(b, i, NULL);
        assert_near(worn.energy, whole.energy, 0);
        assert_near(whole.pad_left[0], 0.011, 0);
        /* the first lap is driven on the same pads */
        bool same = a->block->T[MBL_FLUID] == b->block->T[MBL_FLUID];
        assert_int_equal(same, i == 0);
    }
    assert_true(a->block->T[MBL_FLUID] > b->block->T[MBL_FLUID]);
    mbl_drive_free(a);
    mbl_drive_free(b);
}

static void wear_makes_laps_that_are_alike_differ(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++)
        wear_laps_apart_by(grids[i]);
}

/* ---- cap ---- */

static void cap_by(double step)
{
    mbl_case c = valve_case("{ out: 1, hot: 2, park: 1 min }");
    mbl_drive *d = drive_by(&c, step, NULL);
    mbl_drive_cap(d, 0, 3.5e6);
    double energy = 0;
    double shortfall = 0;
    for (size_t i = 0; i < d->route->plan.n; i++) {
        mbl_leg_report r = go(d, i, NULL);
        energy += r.energy;
        shortfall += r.shortfall;
        assert_true(r.hardest.pressure <= 3.5e6);
        assert_int_equal(r.shortfall > 0, r.hardest.pressure == 3.5e6);
        assert_true(r.shortfall < r.energy || r.energy == 0);
    }
    assert_true(shortfall > 0);
    assert_close(shortfall, d->block->shortfall[0], 1e-12);
    assert_close(2 * d->block->heat[0] + shortfall, energy, 1e-12);
    mbl_drive_free(d);
}

static void a_cap_leaves_undone_what_the_heat_is_short_of(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++)
        cap_by(grids[i]);
}

/* ---- there and back ---- */

static void take_back_by(double step)
{
    enum { MOST = 1024 };
    static double kept[MOST], once[MOST], twice[MOST];
    mbl_case c = valve_case("{ out: 1, hot: 2, cool: 1 }");
    c.car.front.pad.wear = 3e-12;
    c.car.fuel.start = 30;
    c.car.fuel.per_lap = 2;
    mbl_drive *d = drive_by(&c, step, NULL);
    assert_true(mbl_drive_state_size(d) <= MOST);
    go(d, 0, NULL);
    go(d, 1, NULL);
    mbl_drive_save(d, kept);
    mbl_leg_report first = go(d, 2, NULL);
    mbl_drive_save(d, once);
    go(d, 3, NULL);
    go(d, 1, NULL);
    mbl_drive_load(d, kept);
    mbl_leg_report again = go(d, 2, NULL);
    mbl_drive_save(d, twice);
    assert_memory_equal(once, twice, sizeof once);
    assert_near(again.pad_left[0], first.pad_left[0], 0);
    assert_near(again.hardest.pressure, first.hardest.pressure, 0);
    assert_near(again.start, first.start, 0);
    assert_near(again.mass, first.mass, 0);
    mbl_drive_free(d);
}

static void a_drive_taken_back_goes_on_with_the_same_bits(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++)
        take_back_by(grids[i]);
}

static void share_films_by(double step)
{
    enum { MOST = 1024 };
    static double want[MOST], got[MOST];
    mbl_film_store films;
    mbl_film_store_init(&films, &mbl_alloc_libc);
    mbl_case c = valve_case("{ hot: 1, park: 1 min }");
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.4 m, aim: eye }", &c.car.front.duct);
    for (int i = 0; i < 3; i++) {
        /* without a store, filling one, from a full one */
        mbl_drive *d = drive_by(&c, step, i == 0 ? NULL : &films);
        assert_int_equal(films.n > 0, i > 0);
        for (size_t leg = 0; leg < d->route->plan.n; leg++)
            go(d, leg, NULL);
        assert_true(mbl_drive_state_size(d) <= MOST);
        mbl_drive_save(d, i == 0 ? want : got);
        if (i > 0)
            assert_memory_equal(want, got, sizeof want);
        mbl_drive_free(d);
    }
    mbl_film_store_free(&films);
}

static void films_from_a_store_change_no_bit(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++)
        share_films_by(grids[i]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_hardest_application_of_a_leg_is_that_of_its_history),
        cmocka_unit_test(the_hardest_deceleration_is_that_of_the_speeds_while_braking),
        cmocka_unit_test(the_car_of_a_leg_weighs_what_is_in_its_tank),
        cmocka_unit_test(pads_end_a_leg_as_thick_as_their_work_leaves_them),
        cmocka_unit_test(wear_makes_laps_that_are_alike_differ),
        cmocka_unit_test(a_cap_leaves_undone_what_the_heat_is_short_of),
        cmocka_unit_test(a_drive_taken_back_goes_on_with_the_same_bits),
        cmocka_unit_test(films_from_a_store_change_no_bit),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
