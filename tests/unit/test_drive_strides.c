/* SPDX-License-Identifier: MIT */
/* Drives that go by strides: legs on the route and off it, cars side by side, rows of history, and
 * who may not stride. */
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

enum { STATE = 1024, NODES = MBL_AXLES * MBL_CORNER_NODES, ROWS = 4000 };

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

static mbl_drive *drive_by(const mbl_case *c, double step)
{
    mbl_error err = {0};
    mbl_drive *d = NULL;
    assert_ok(mbl_drive_make(&mbl_alloc_libc, c, step, NULL, 0, NULL, &d, &err), err);
    return d;
}

static mbl_leg_report go(mbl_drive *d, size_t leg, mbl_history *history)
{
    mbl_error err = {0};
    mbl_leg_report r;
    assert_ok(mbl_drive_leg(d, &d->route->plan.leg[leg], history, &r, &err), err);
    return r;
}

static void state_of(const mbl_drive *d, double out[STATE])
{
    memset(out, 0, STATE * sizeof *out);
    assert_true(mbl_drive_state_size(d) <= STATE);
    mbl_drive_save(d, out);
}

/* ---- legs on the route and off it ---- */

static mbl_leg_report go_along(mbl_drive *d, const mbl_leg *leg)
{
    mbl_error err = {0};
    mbl_leg_report r;
    assert_ok(mbl_drive_leg(d, leg, NULL, &r, &err), err);
    return r;
}

/* By a drive whose route has them, twice, and by one whose route has other legs only. */
static void a_leg_has_the_same_bits_on_the_route_and_off_it(void **state)
{
    (void)state;
    double kept[STATE], want[STATE], got[STATE];
    mbl_case c = test_case(trace, "{ out: 1, hot: 3, cool: 1, park: 1 min }");
    mbl_case short_of_it = test_case(trace, "{ hot: 1 }");
    mbl_drive *d = drive_by(&c, 0);
    mbl_drive *other = drive_by(&short_of_it, 0);
    assert_true(mbl_road_strides(&d->route->road));
    state_of(d, kept);
    for (size_t leg = 0; leg < d->route->plan.n; leg++) {
        const mbl_leg *x = &d->route->plan.leg[leg];
        mbl_leg_report on = go(d, leg, NULL);
        state_of(d, want);
        mbl_drive_load(d, kept);
        mbl_leg_report again = go(d, leg, NULL);
        state_of(d, got);
        assert_memory_equal(got, want, sizeof want);
        assert_memory_equal(&again, &on, sizeof on);
        mbl_drive_load(other, kept);
        mbl_leg_report off = go_along(other, x);
        state_of(other, got);
        assert_memory_equal(got, want, sizeof want);
        assert_memory_equal(&off, &on, sizeof on);
        memcpy(kept, want, sizeof kept);
    }
    assert_null(d->survey);
    assert_non_null(other->survey);
    mbl_drive_free(other);
    mbl_drive_free(d);
}

static void fuel_that_is_burnt_plans_the_lap_anew(void **state)
{
    (void)state;
    double full[STATE], light[STATE];
    mbl_case c = test_case(trace, "{ hot: 3 }");
    c.car.fuel.start = 40;
    c.car.fuel.per_lap = 10;
    mbl_drive *d = drive_by(&c, 0);
    double energy[3];
    for (size_t leg = 0; leg < 3; leg++) {
        mbl_leg_report r = go(d, leg, NULL);
        energy[leg] = r.energy;
        assert_near(r.mass, 1420 + 40 - 10 * (double)leg, 1e-9);
        double planned = 0;
        const mbl_route_leg *cut = &d->route->leg[leg];
        for (size_t i = 0; i < cut->n; i++)
            planned += cut->stride[i].power * cut->stride[i].dt;
        assert_close(planned, r.energy, 1e-12);
        state_of(d, leg == 0 ? full : light);
    }
    /* 10 of some 1450 kg */
    assert_true(energy[1] < energy[0] * (1 - 0.005) && energy[2] < energy[1] * (1 - 0.005));
    mbl_drive *lighter = drive_by(&c, 0);
    lighter->fuel = 20;
    go(lighter, 0, NULL);
    state_of(lighter, light);
    assert_true(light[2 + MBL_FACE] < full[2 + MBL_FACE]); /* J in the face */
    mbl_drive_free(lighter);
    mbl_drive_free(d);
}

/* ---- history ---- */

typedef struct rows {
    size_t n;
    double t[ROWS], speed[ROWS], power[ROWS], pressure[ROWS], T[ROWS][NODES];
} rows;

static void take(void *ctx, double t, const mbl_leg *leg, double speed, double power,
                 double pressure, const double *T)
{
    (void)leg;
    rows *r = ctx;
    if (r->n == ROWS)
        fail_msg("more rows than there is room for");
    r->t[r->n] = t;
    r->speed[r->n] = speed;
    r->power[r->n] = power;
    r->pressure[r->n] = pressure;
    memcpy(r->T[r->n++], T, sizeof r->T[0]);
}

static double drive_all(mbl_drive *d, double every, rows *out)
{
    mbl_history h = {.every = every, .ctx = out, .row = take};
    out->n = 0;
    for (size_t leg = 0; leg < d->route->plan.n; leg++)
        go(d, leg, &h);
    return d->now;
}

static void a_history_changes_no_bit_of_the_results(void **state)
{
    (void)state;
    static rows seen;
    mbl_case c = test_case(trace, "{ out: 1, hot: 2, park: 1 min }");
    c.car = test_coupe_with(test_pedal_valve);
    static const double every[] = {0.05, 0.7, 10};
    double want[STATE], got[STATE];
    mbl_drive *d = drive_by(&c, 0);
    mbl_leg_report plain[8], noted;
    assert_true(d->route->plan.n <= 8);
    for (size_t leg = 0; leg < d->route->plan.n; leg++)
        plain[leg] = go(d, leg, NULL);
    state_of(d, want);
    for (size_t i = 0; i < sizeof every / sizeof every[0]; i++) {
        mbl_drive *e = drive_by(&c, 0);
        mbl_history h = {.every = every[i], .ctx = &seen, .row = take};
        for (size_t leg = 0; leg < e->route->plan.n; leg++) {
            seen.n = 0;
            noted = go(e, leg, &h);
            assert_true(seen.n > 0);
            assert_memory_equal(&noted, &plain[leg], sizeof noted);
        }
        state_of(e, got);
        assert_memory_equal(got, want, sizeof want);
        assert_memory_equal(e->record.peak, d->record.peak, NODES * sizeof(double));
        assert_memory_equal(e->record.peak_at, d->record.peak_at, NODES * sizeof(double));
        assert_memory_equal(&e->gradient, &d->gradient, sizeof d->gradient);
        mbl_drive_free(e);
    }
    mbl_drive_free(d);
}

static void rows_lie_on_the_multiples_of_every(void **state)
{
    (void)state;
    static rows seen;
    mbl_case c = test_case(trace, "{ out: 1, hot: 2 }");
    static const double every[] = {0.1, 0.7, 3};
    for (size_t i = 0; i < sizeof every / sizeof every[0]; i++) {
        mbl_drive *d = drive_by(&c, 0);
        double end = drive_all(d, every[i], &seen);
        /* one at 0, and none is left out, across the ends of laps too */
        assert_int_equal(seen.n, (size_t)ceil(end / every[i] - 1e-6));
        for (size_t k = 0; k < seen.n; k++) {
            assert_near(seen.t[k], every[i] * (double)k, 1e-6);
            assert_true(seen.speed[k] > 0 && seen.power[k] >= 0 && seen.pressure[k] >= 0);
            for (int n = 0; n < NODES; n++)
                assert_true(isfinite(seen.T[k][n]));
        }
        for (int n = 0; n < NODES; n++)
            assert_near(seen.T[0][n], c.stint.ambient, 1e-9);
        mbl_drive_free(d);
    }
}

/* A grid so fine that its first step at or after a row's time is as good as at it. */
static void rows_agree_with_those_of_a_fixed_grid(void **state)
{
    (void)state;
    static rows fixed, strides;
    mbl_case c = test_case(trace, "{ out: 1, hot: 1 }");
    mbl_drive *f = drive_by(&c, 0.002);
    drive_all(f, 0.25, &fixed);
    for (int mode = MBL_MODE_DEFAULT; mode < MBL_MODE_REFERENCE; mode++) {
        c.mode = mode;
        mbl_drive *d = drive_by(&c, 0);
        drive_all(d, 0.25, &strides);
        assert_int_equal(strides.n, fixed.n);
        double worst = 0;
        double fast = 0;
        size_t row = 0;
        int node = 0;
        for (size_t k = 0; k < fixed.n; k++) {
            assert_near(strides.t[k], fixed.t[k], 0.002 + 1e-6);
            fast = fmax(fast, fabs(strides.speed[k] - fixed.speed[k]));
            for (int n = 0; n < NODES; n++) {
                double off = fabs(strides.T[k][n] - fixed.T[k][n]);
                if (off > worst) {
                    worst = off;
                    row = k;
                    node = n;
                }
            }
        }
        printf("%s: worst row off by %.3f K (%s at %.2f s), %.3f m/s\n",
               mbl_mode_word((mbl_mode)mode), worst, d->model->node[node].name, fixed.t[row], fast);
        /* between the ends of steps: more than at them, which is test_strides.c */
        static const double most[] = {1.5, 0.6, 15};
        assert_true(worst < most[mode]);
        assert_true(fast <
                    (mode == MBL_MODE_SCREENING ? 5 : 1.5)); /* m/s: straight within a step */
        mbl_drive_free(d);
    }
    mbl_drive_free(f);
}

/* ---- side by side ---- */

/* Kin, so that they share a route; no two of them alike. */
static mbl_case kin_case(int which)
{
    mbl_case c = test_case(trace, "{ out: 1, hot: 1, park: 1 min }");
    c.car.front.airflow = 0.4 + 0.07 * which;
    c.car.rear.caliper.mass += 0.2 * which;
    c.car.front.pad.wear = 1e-12 * (1 + which);
    if (which % 3 == 1) {
        test_fill(&mbl_pedal_schema, test_pedal_tandem, &c.car.pedal);
        c.car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.93}};
    }
    if (which % 3 == 2)
        c.car.rear.pad.speed_effect = (mbl_curve){.n = 2, .x = {0, 60}, .y = {1.04, 0.9}};
    return c;
}

enum { KIN = MBL_LANES_EIGHT, LEGS = 4 };

/* Everything that is told of a lane. */
typedef struct told {
    mbl_leg_report report[LEGS];
    double T[NODES], peak[NODES], peak_at[NODES], state[STATE];
    double gradient[MBL_AXLES], above, first;
} told;

static void tell(const mbl_drive *d, int w, const mbl_watch *watch, told *out)
{
    int lanes = d->block->lanes;
    for (int n = 0; n < NODES; n++) {
        out->T[n] = d->block->T[n * lanes + w];
        out->peak[n] = d->record.peak[n * lanes + w];
        out->peak_at[n] = d->record.peak_at[n * lanes + w];
    }
    for (int axle = 0; axle < MBL_AXLES; axle++)
        out->gradient[axle] = d->gradient[axle].peak[w];
    out->above = watch->above[w];
    out->first = watch->first[w];
    assert_true(mbl_block_state_size(d->block) <= STATE);
    mbl_block_save(d->block, w, out->state);
}

/* `used` cars from `from` on, round about. */
static void drive_side_by_side(int from, int used, mbl_history *h, told out[KIN])
{
    mbl_error err = {0};
    static mbl_case c[KIN];
    const mbl_case *cases[KIN];
    mbl_model *models[KIN];
    mbl_route *route = NULL;
    mbl_drive *d = NULL;
    mbl_digest first = {0, 0};
    mbl_watch watch = {.node = MBL_FACE};
    memset(out, 0, KIN * sizeof *out);
    for (int w = 0; w < used; w++) {
        mbl_road road;
        c[w] = kin_case((from + w) % KIN);
        cases[w] = &c[w];
        watch.level[w] = 420 + 5 * ((from + w) % KIN);
        assert_ok(mbl_drive_compile(&mbl_alloc_libc, &c[w], NULL, &models[w], &err), err);
        assert_ok(mbl_road_of(&mbl_alloc_libc, &c[w], 0, models[w], &road, &err), err);
        mbl_digest digest = mbl_route_digest(&c[w], &road);
        if (w == 0) {
            first = digest;
            assert_ok(mbl_route_make(&mbl_alloc_libc, &c[w], &road, &route, &err), err);
        }
        assert_true(mbl_digest_same(&digest, &first));
    }
    assert_ok(mbl_drive_lanes(&mbl_alloc_libc, used, cases, models, route, &watch, 1, &d, &err),
              err);
    assert_int_equal(d->block->lanes, used == 1 ? 1 : used <= 4 ? 4 : 8);
    for (size_t leg = 0; leg < route->plan.n; leg++) {
        mbl_leg_report report[KIN];
        assert_true(leg < LEGS);
        assert_ok(mbl_drive_leg(d, &route->plan.leg[leg], h, report, &err), err);
        for (int w = 0; w < used; w++)
            out[w].report[leg] = report[w];
    }
    for (int w = 0; w < used; w++) {
        tell(d, w, &watch, &out[w]);
        assert_true(mbl_drive_finite(d, w));
        mbl_model_drop(models[w]);
    }
    mbl_route_drop(route);
    mbl_drive_free(d);
}

static void cars_side_by_side_have_the_bits_of_each_alone(void **state)
{
    (void)state;
    static told alone[KIN][KIN], got[KIN];
    static rows seen;
    for (int i = 0; i < KIN; i++) {
        drive_side_by_side(i, 1, NULL, alone[i]);
        for (int k = 0; k < i; k++)
            assert_memory_not_equal(alone[i][0].T, alone[k][0].T, sizeof alone[i][0].T);
    }
    for (int used = 1; used <= KIN; used++) {
        for (int noted = 0; noted < 2; noted++) {
            int from = 3 * used % KIN;
            mbl_history h = {.every = 0.25, .ctx = &seen, .row = take};
            seen.n = 0;
            drive_side_by_side(from, used, noted ? &h : NULL, got);
            for (int w = 0; w < used; w++)
                assert_memory_equal(&got[w], &alone[(from + w) % KIN][0], sizeof got[w]);
            assert_int_equal(seen.n > 100, noted);
        }
    }
}

/* Rows are those of the first lane, to the bit, whatever is beside it. */
static void a_history_beside_others_is_that_of_the_first_car_alone(void **state)
{
    (void)state;
    static told out[KIN];
    static rows alone, beside;
    for (int used = 1; used <= KIN; used += used < 4 ? 1 : 2) {
        rows *to = used == 1 ? &alone : &beside;
        mbl_history h = {.every = 0.5, .ctx = to, .row = take};
        to->n = 0;
        drive_side_by_side(2, used, &h, out);
        if (used > 1) {
            assert_int_equal(beside.n, alone.n);
            assert_memory_equal(beside.T, alone.T, alone.n * sizeof alone.T[0]);
            assert_memory_equal(beside.t, alone.t, alone.n * sizeof alone.t[0]);
            assert_memory_equal(beside.pressure, alone.pressure, alone.n * sizeof(double));
        }
    }
}

/* ---- who may not stride ---- */

static void put_node(mbl_brake *b, const char *name, double capacity)
{
    mbl_extra_node *n = &b->nodes.v[b->nodes.n++];
    *n = (mbl_extra_node){.capacity = capacity};
    snprintf(n->name, sizeof n->name, "%s", name);
}

static void put_link(mbl_brake *b, const char *from, const char *to, double conductance)
{
    mbl_extra_link *l = &b->links.v[b->links.n++];
    *l = (mbl_extra_link){.conductance = conductance};
    snprintf(l->from, sizeof l->from, "%s", from);
    snprintf(l->to, sizeof l->to, "%s", to);
}

static void check_falls_back(const mbl_case *c)
{
    double want[STATE], got[STATE];
    mbl_drive *a = drive_by(c, 0);
    mbl_drive *b = drive_by(c, MBL_REFERENCE_STEP);
    assert_near(mbl_model_macro(a->model), 0, 0);
    assert_false(mbl_road_strides(&a->route->road));
    for (size_t leg = 0; leg < a->route->plan.n; leg++) {
        mbl_leg_report one = go(a, leg, NULL);
        mbl_leg_report other = go(b, leg, NULL);
        assert_memory_equal(&one, &other, sizeof one);
    }
    state_of(a, got);
    state_of(b, want);
    assert_memory_equal(got, want, sizeof want);
    mbl_drive_free(a);
    mbl_drive_free(b);
}

/* 100 J/K at 300 W/K: it follows the hub within a third of a second. */
static void with_too_quick_a_node_a_drive_is_that_of_the_fixed_grid_to_the_bit(void **state)
{
    (void)state;
    mbl_case c = test_case(trace, "{ hot: 1, park: 1 min }");
    put_node(&c.car.front, "sensor", 100);
    put_link(&c.car.front, "sensor", "hub", 300);
    check_falls_back(&c);
}

static void with_a_link_within_a_chain_a_drive_is_that_of_the_fixed_grid_to_the_bit(void **state)
{
    (void)state;
    static const char *const ends[][2] = {
        {"rotor.core", "rotor.layer3"}, /* beside one of the corner's own */
        {"rotor.core", "rotor.face"},   /* past its neighbour */
        {"pad.body2", "rotor.core"},    /* from end to end */
        {"rotor.face", "pad.face"},     /* past the contact */
        {"pad.face", "rotor.face"},
    };
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        mbl_case c = test_case(trace, "{ hot: 1, park: 1 min }");
        put_link(&c.car.rear, ends[i][0], ends[i][1], 5);
        check_falls_back(&c);
    }
}

/* Layers that no link of a corner leads out of: the strides know none. */
static void with_a_link_out_of_a_closed_place_a_drive_is_that_of_the_fixed_grid(void **state)
{
    (void)state;
    static const char *const closed[] = {"rotor.layer1", "rotor.layer2", "pad.face", "pad.body1"};
    for (size_t i = 0; i < sizeof closed / sizeof closed[0]; i++) {
        mbl_case c = test_case(trace, "{ hot: 1 }");
        put_link(&c.car.front, closed[i], i % 2 == 0 ? "ambient" : "hub", 3);
        check_falls_back(&c);
    }
    static const char *const open[] = {"rotor.core", "rotor.layer3", "rotor.face", "pad.body2",
                                       "pad.plate"};
    for (size_t i = 0; i < sizeof open / sizeof open[0]; i++) {
        mbl_case c = test_case(trace, "{ hot: 1 }");
        put_link(&c.car.front, open[i], i % 2 == 0 ? "ambient" : "hub", 3);
        mbl_drive *d = drive_by(&c, 0);
        assert_true(mbl_model_macro(d->model) > 0 && mbl_road_strides(&d->route->road));
        mbl_drive_free(d);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_leg_has_the_same_bits_on_the_route_and_off_it),
        cmocka_unit_test(fuel_that_is_burnt_plans_the_lap_anew),
        cmocka_unit_test(a_history_changes_no_bit_of_the_results),
        cmocka_unit_test(rows_lie_on_the_multiples_of_every),
        cmocka_unit_test(rows_agree_with_those_of_a_fixed_grid),
        cmocka_unit_test(cars_side_by_side_have_the_bits_of_each_alone),
        cmocka_unit_test(a_history_beside_others_is_that_of_the_first_car_alone),
        cmocka_unit_test(with_too_quick_a_node_a_drive_is_that_of_the_fixed_grid_to_the_bit),
        cmocka_unit_test(with_a_link_within_a_chain_a_drive_is_that_of_the_fixed_grid_to_the_bit),
        cmocka_unit_test(with_a_link_out_of_a_closed_place_a_drive_is_that_of_the_fixed_grid),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
