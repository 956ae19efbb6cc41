/* SPDX-License-Identifier: MIT */
/*
 * Batches that cut time for one kin whatever a row's own: a sweep of duct bores and ring masses by
 * the kin of each of its corners, against a fixed grid, which is itself held against CVODE in
 * test_cvode.c.
 */
#include "support/batch_rows.h"
#include "support/coupe.h"
#include "support/session.h"

enum { BORES = 4, MASSES = 9, ROWS = BORES * MASSES, NODES = MBL_AXLES * MBL_CORNER_NODES };

static const double grid_step = 0.00625; /* s */
static const double promised = 1.0;      /* K, of the default mode, within 15 % of ring mass */
/* What a kin farther off is known to miss: rear pads of the heaviest car by that of the lightest,
 * 1.19 K at a peak. */
static const double known = 1.3;

static mbl_trace *trace;
static mbl_case sweep[ROWS];

typedef struct peaks {
    double stint[NODES];
    size_t nlegs;
    double leg[8][NODES];
} peaks;

static peaks fixed[ROWS];

static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    (void)ctx;
    (void)err;
    *out = sweep[i];
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    (void)err;
    if (run == NULL)
        fail_msg("row %zu: %s", i, why->text);
    peaks *p = (peaks *)ctx + i;
    p->nlegs = run->nlegs;
    assert_true(run->nlegs <= 8);
    for (int n = 0; n < NODES; n++)
        p->stint[n] = run->axle[n / MBL_CORNER_NODES].peak[n % MBL_CORNER_NODES].T;
    for (size_t k = 0; k < run->nlegs; k++)
        memcpy(p->leg[k], run->legs[k].peak, sizeof p->leg[k]);
    return MBL_OK;
}

static void run(double step, const mbl_kin *kin, peaks *out)
{
    mbl_error err = {0};
    size_t done = 0;
    mbl_batch b = {
        .source = give, .sink = take, .ctx = out, .rows = ROWS, .step = step, .kin = kin};
    assert_ok(mbl_batch_run(&b, &done, &err), err);
    assert_int_equal(done, ROWS);
}

static void make_sweep(void)
{
    for (int i = 0; i < ROWS; i++) {
        mbl_case *c = &sweep[i];
        double ring = 1 + 0.15 * ((double)(i % MASSES) / (MASSES - 1) * 2 - 1);
        *c = test_case(trace, "{ out: 1, hot: 3, cool: 1, park: 5 min }");
        test_fill(&mbl_duct_schema, "{ bore: 63 mm, length: 1.2 m }", &c->car.front.duct);
        c->car.front.duct.present = true;
        c->car.front.duct.bore = 0.05 + 0.013 * (double)(i / MASSES);
        c->car.front.rotor.ring_mass *= ring;
        c->car.rear.rotor.ring_mass *= ring;
    }
}

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 2);
    make_sweep();
    run(grid_step, NULL, fixed);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    return 0;
}

static mbl_model *model_of(const mbl_case *c)
{
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(mbl_drive_compile(&mbl_alloc_libc, c, NULL, &m, &err), err);
    return m;
}

static mbl_kin kin_of(const mbl_case *c, double *macro)
{
    mbl_kin kin;
    mbl_model *m = model_of(c);
    mbl_kin_of(m, &kin);
    *macro = mbl_model_macro(m);
    mbl_model_drop(m);
    return kin;
}

/* The worst of all rows and nodes, K off the grid. */
typedef struct worst {
    double off;
    int row, node;
} worst;

static void note_worst(worst *w, double off, int row, int node)
{
    if (!(off <= w->off)) /* NaN too */
        *w = (worst){off, row, node};
}

/* By peaks of the stint, and by those of every leg. */
static void compare(const peaks *got, worst *stint, worst *leg)
{
    *stint = *leg = (worst){0};
    for (int i = 0; i < ROWS; i++) {
        assert_int_equal(got[i].nlegs, fixed[i].nlegs);
        for (int n = 0; n < NODES; n++) {
            note_worst(stint, fabs(got[i].stint[n] - fixed[i].stint[n]), i, n);
            for (size_t k = 0; k < got[i].nlegs; k++)
                note_worst(leg, fabs(got[i].leg[k][n] - fixed[i].leg[k][n]), i, n);
        }
    }
}

static void print_worst(const char *what, const worst *w)
{
    printf(" %s %.3f K (row %d, %s.%s)", what, w->off, w->row,
           mbl_axle_word(w->node / MBL_CORNER_NODES),
           mbl_corner_key((mbl_corner_node)(w->node % MBL_CORNER_NODES)));
}

static void a_sweep_by_the_kin_of_its_middle_car_keeps_the_promise(void **state)
{
    (void)state;
    static peaks got[ROWS];
    mbl_kin tried[ROWS];
    int n = 0;
    bool good = true;
    bool middle = false;
    for (int by = -1; by < ROWS; by++) {
        worst stint, leg;
        double macro = 0;
        mbl_kin kin = kin_of(&sweep[by < 0 ? 0 : by], &macro);
        int k = 0;
        while (by >= 0 && k < n && memcmp(&tried[k], &kin, sizeof kin) != 0)
            k++;
        if (by >= 0 && k < n)
            continue; /* that of an earlier row */
        if (by >= 0)
            tried[n++] = kin;
        run(0, by < 0 ? NULL : &kin, got);
        compare(got, &stint, &leg);
        printf(by < 0 ? "by its own kin:" : "by that of row %d:", by);
        print_worst("peaks of the stint", &stint);
        print_worst("of a leg", &leg);
        printf("\n");
        bool near = by < 0 || by % MASSES == MASSES / 2;
        double most = near ? promised : known;
        middle = middle || (near && by >= 0);
        good = good && stint.off > 0 && stint.off <= most && leg.off <= most;
    }
    assert_true(n > 1 && middle); /* else one kin only was tried */
    assert_true(good);
}

/* ---- macro steps ---- */

/* A node of one's own that macro steps have to be short for. */
static mbl_case quick_case(void)
{
    mbl_case c = sweep[0];
    mbl_brake *b = &c.car.front;
    b->nodes.n = 1;
    b->nodes.v[0] = (mbl_extra_node){.name = "sensor", .capacity = 20};
    b->links.n = 1;
    b->links.v[0] = (mbl_extra_link){.from = "sensor", .to = "caliper", .conductance = 15};
    return c;
}

static mbl_digest by_kin(const mbl_case *c, const mbl_kin *kin)
{
    mbl_digest digest;
    batch_rows rows = {.cases = c, .n = 1, .digest = &digest};
    batch_rows_run(&rows, (mbl_batch){.kin = kin});
    return digest;
}

static void a_kin_of_longer_macro_steps_than_a_row_bears_is_not_used_for_it(void **state)
{
    (void)state;
    double long_macro = 0;
    double short_macro = 0;
    mbl_case quick = quick_case();
    mbl_kin usual = kin_of(&sweep[0], &long_macro);
    mbl_kin brief = kin_of(&quick, &short_macro);
    printf("macro steps of %.2f and %.2f s\n", long_macro, short_macro);
    assert_true(short_macro > 0 && short_macro < 0.7 * long_macro);
    mbl_digest own = batch_rows_alone(&quick, 0);
    mbl_digest got = by_kin(&quick, &usual);
    assert_true(mbl_digest_same(&got, &own));
    /* the other way round it is used */
    own = batch_rows_alone(&sweep[0], 0);
    got = by_kin(&sweep[0], &brief);
    assert_false(mbl_digest_same(&got, &own));
    got = by_kin(&sweep[0], &usual);
    assert_true(mbl_digest_same(&got, &own));
}

/* A row that cannot go by strides at all goes its own way whatever the kin. */
static void a_row_on_the_fixed_grid_does_not_look_at_the_kin(void **state)
{
    (void)state;
    double macro = 0;
    mbl_kin kin = kin_of(&sweep[0], &macro);
    mbl_case c = sweep[ROWS - 1];
    c.mode = MBL_MODE_REFERENCE;
    mbl_digest own = batch_rows_alone(&c, 0);
    mbl_digest got = by_kin(&c, &kin);
    assert_true(mbl_digest_same(&got, &own));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sweep_by_the_kin_of_its_middle_car_keeps_the_promise),
        cmocka_unit_test(a_kin_of_longer_macro_steps_than_a_row_bears_is_not_used_for_it),
        cmocka_unit_test(a_row_on_the_fixed_grid_does_not_look_at_the_kin),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
