/* SPDX-License-Identifier: MIT */
/* Drives that go by strides: plans kept from leg to leg, rows of history, and who may not stride.
 */
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
    assert_ok(mbl_drive_leg(d, &d->plan.leg[leg], history, &r, &err), err);
    return r;
}

static void state_of(const mbl_drive *d, double out[STATE])
{
    memset(out, 0, STATE * sizeof *out);
    assert_true(mbl_drive_state_size(d) <= STATE);
    mbl_drive_save(d, out);
}

/* ---- plans ---- */

/* A drive that meets a leg for the first time, and one that has just driven the same. */
static void a_lap_planned_before_has_the_bits_of_one_planned_anew(void **state)
{
    (void)state;
    double kept[STATE], anew[STATE], again[STATE];
    mbl_case c = test_case(trace, "{ out: 1, hot: 3, park: 1 min }");
    mbl_drive *d = drive_by(&c, 0);
    assert_true(d->strides);
    go(d, 0, NULL);
    go(d, 1, NULL);
    state_of(d, kept);
    go(d, 2, NULL); /* the same stretch: its plan is there already */
    assert_true(d->nstrides > 100);
    state_of(d, again);
    mbl_drive_load(d, kept);
    go(d, d->plan.n - 1, NULL); /* another leg, so that the plan is gone */
    mbl_drive_load(d, kept);
    go(d, 2, NULL);
    state_of(d, anew);
    assert_memory_equal(again, anew, sizeof anew);
    mbl_drive *fresh = drive_by(&c, 0);
    mbl_drive_load(fresh, kept);
    go(fresh, 2, NULL);
    state_of(fresh, anew);
    assert_memory_equal(again, anew, sizeof anew);
    mbl_drive_free(fresh);
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
        for (size_t i = 0; i < d->nstrides; i++)
            planned += d->stride[i].power * d->stride[i].dt;
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
    for (size_t leg = 0; leg < d->plan.n; leg++)
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
    assert_true(d->plan.n <= 8);
    for (size_t leg = 0; leg < d->plan.n; leg++)
        plain[leg] = go(d, leg, NULL);
    state_of(d, want);
    for (size_t i = 0; i < sizeof every / sizeof every[0]; i++) {
        mbl_drive *e = drive_by(&c, 0);
        mbl_history h = {.every = every[i], .ctx = &seen, .row = take};
        for (size_t leg = 0; leg < e->plan.n; leg++) {
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
    for (int mode = MBL_MODE_DEFAULT; mode <= MBL_MODE_FINE; mode++) {
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
        assert_true(worst < 1.0);
        assert_true(fast < 0.5); /* it is linear within a step */
        mbl_drive_free(d);
    }
    mbl_drive_free(f);
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
    assert_false(a->strides);
    for (size_t leg = 0; leg < a->plan.n; leg++) {
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_lap_planned_before_has_the_bits_of_one_planned_anew),
        cmocka_unit_test(fuel_that_is_burnt_plans_the_lap_anew),
        cmocka_unit_test(a_history_changes_no_bit_of_the_results),
        cmocka_unit_test(rows_lie_on_the_multiples_of_every),
        cmocka_unit_test(rows_agree_with_those_of_a_fixed_grid),
        cmocka_unit_test(with_too_quick_a_node_a_drive_is_that_of_the_fixed_grid_to_the_bit),
        cmocka_unit_test(with_a_link_within_a_chain_a_drive_is_that_of_the_fixed_grid_to_the_bit),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
