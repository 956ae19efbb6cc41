/* SPDX-License-Identifier: MIT */
/* The cheapest packages that hold, against every combination driven by itself and sorted. */
#include "support/coupe.h"
#include "support/session.h"
#include "support/shelf.h"
#include "support/test.h"

static mbl_trace *trace;
static test_shelf *at;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_kestrel_rise, 2);
    at = calloc(1, sizeof *at);
    return at == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    free(at);
    return 0;
}

/* ---- brute force ---- */

typedef struct all_rows {
    const mbl_shortlist_ask *ask;
    size_t n;        /* combinations that fit */
    size_t *number;  /* (n) */
    mbl_choice *row; /* (n) as each came out of a drive of its own */
} all_rows;

static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    const all_rows *all = ctx;
    mbl_pick pick;
    (void)err;
    if (i >= all->n)
        return MBL_OK;
    mbl_shortlist_pick(all->ask, all->number[i], pick);
    *out = *all->ask->setup;
    for (size_t s = 0; s < all->ask->nslots; s++)
        mbl_part_put(&all->ask->slot[s].option[pick[s]].part, &out->car);
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    all_rows *all = ctx;
    mbl_choice *c = &all->row[i];
    if (run == NULL) {
        *err = *why;
        return why->status;
    }
    c->number = all->number[i];
    mbl_shortlist_pick(all->ask, c->number, c->pick);
    c->price = mbl_shortlist_price(all->ask, c->pick);
    c->event = run->bill.event;
    c->mass = run->weights.unsprung;
    c->verdict = run->verdict;
    c->tightest = run->checks[0];
    c->closest = mbl_check_rank(&run->checks[0]);
    return MBL_OK;
}

/* Every combination that fits, each driven by itself. */
static all_rows drive_all(void)
{
    const mbl_shortlist_ask *ask = &at->ask;
    size_t count = mbl_shortlist_count(ask);
    all_rows all = {.ask = ask,
                    .number = calloc(count, sizeof *all.number),
                    .row = calloc(count, sizeof *all.row)};
    for (size_t i = 0; i < count; i++) {
        mbl_pick pick;
        mbl_car car;
        mbl_shortlist_pick(ask, i, pick);
        mbl_shortlist_car(ask, pick, &car);
        bool fits = mbl_shortlist_misfit(ask, pick, &car) == MBL_FITS;
        if (fits && ask->fit != NULL) {
            char why[MBL_WHY];
            mbl_error err = {0};
            assert_ok(ask->fit(ask->ctx, pick, &fits, why, &err), err);
        }
        if (fits)
            all.number[all.n++] = i;
    }
    mbl_batch batch = {.source = give, .sink = take, .ctx = &all, .rows = all.n, .workers = 2};
    mbl_error err = {0};
    size_t done = 0;
    assert_ok(mbl_batch_run(&batch, &done, &err), err);
    assert_int_equal(done, all.n);
    return all;
}

static void free_rows(all_rows *all)
{
    free(all->number);
    free(all->row);
}

/* The order as shortlist.h says it, written once more. */
static double figure(const mbl_choice *c, char what)
{
    switch (what) {
    case '$':
        return (double)(c->price.parts + c->price.labour);
    case 'e':
        return c->event;
    case 'm':
        return c->mass;
    default:
        return (double)c->price.labour;
    }
}

static mbl_shortlist_by order_by;

static int in_order(const void *a, const void *b)
{
    static const char *const orders[] = {[MBL_BY_COST] = "$em",
                                         [MBL_BY_EVENT] = "e$m",
                                         [MBL_BY_MASS] = "m$e",
                                         [MBL_BY_LABOUR] = "l$em"};
    const mbl_choice *x = a;
    const mbl_choice *y = b;
    for (const char *what = orders[order_by]; *what != '\0'; what++) {
        double d = figure(x, *what) - figure(y, *what);
        if (d != 0)
            return d < 0 ? -1 : 1;
    }
    return x->number < y->number ? -1 : 1;
}

static void assert_same(const mbl_choice *got, const mbl_choice *want)
{
    assert_int_equal(got->number, want->number);
    assert_int_equal(got->price.parts, want->price.parts);
    assert_int_equal(got->price.labour, want->price.labour);
    assert_near(got->event, want->event, 0);
    assert_near(got->mass, want->mass, 0);
    assert_int_equal(got->verdict, want->verdict);
    assert_int_equal(got->tightest.kind, want->tightest.kind);
    assert_int_equal(got->tightest.axle, want->tightest.axle);
    assert_near(got->tightest.margin, want->tightest.margin, 0);
    assert_near(got->closest, want->closest, 0);
}

static mbl_shortlist run(void)
{
    mbl_shortlist list;
    mbl_error err = {0};
    assert_ok(mbl_shortlist_run(&at->ask, &list, &err), err);
    size_t seen = list.panic + list.failed + list.judged + list.later;
    for (int i = 0; i < MBL_MISFITS; i++)
        seen += list.misfit[i];
    assert_int_equal(seen, list.all);
    assert_int_equal(list.all, mbl_shortlist_count(&at->ask));
    assert_true(list.drives <= list.judged + list.failed);
    return list;
}

/* The list by each order is the head of all rows in that order. */
static void compare_with(all_rows *all, mbl_shortlist_by by, mbl_verdict need, size_t want)
{
    at->ask.by = order_by = by;
    at->ask.need = need;
    at->ask.want = want;
    mbl_shortlist list = run();
    qsort(all->row, all->n, sizeof *all->row, in_order);
    size_t n = 0;
    for (size_t i = 0; i < all->n && n < want; i++) {
        if (all->row[i].verdict > need)
            continue;
        assert_true(n < list.n);
        assert_same(&list.row[n++], &all->row[i]);
    }
    assert_int_equal(list.n, n);
    /* the step up: the first of all rows that leaves more than any listed */
    double leaves = -INFINITY;
    const mbl_choice *step = NULL;
    for (size_t i = 0; i < n; i++)
        leaves = fmax(leaves, list.row[i].closest);
    for (size_t i = 0; i < all->n && step == NULL && n == want; i++)
        if (all->row[i].verdict <= need && all->row[i].closest > leaves)
            step = &all->row[i];
    assert_int_equal(list.stepped, step != NULL);
    if (step != NULL)
        assert_same(&list.step, step);
    printf("step up: %s after %zu drives; ", step != NULL ? "found" : "none", list.step_drives);
    printf("%s, %s, %zu wanted: %zu listed; %zu fit, %zu judged from %zu drives, %zu later, %zu "
           "panic\n",
           mbl_shortlist_by_word(by), mbl_verdict_word(need), want, list.n, all->n, list.judged,
           list.drives, list.later, list.panic);
    mbl_shortlist_free(&list);
}

static void the_list_is_that_of_every_combination_driven_and_sorted(void **state)
{
    (void)state;
    test_shelf_begin(at, trace, "{ out: 1, hot: 2, cool: 1, park: 5 min, ambient: 30 C }");
    test_shelf_fill(at);
    all_rows all = drive_all();
    size_t verdicts[MBL_FAILS + 1] = {0};
    for (size_t i = 0; i < all.n; i++)
        verdicts[all.row[i].verdict]++;
    printf("%zu of %zu fit: %zu hold, %zu marginal, %zu fail\n", all.n,
           mbl_shortlist_count(&at->ask), verdicts[MBL_HOLDS], verdicts[MBL_MARGINAL],
           verdicts[MBL_FAILS]);
    assert_true(all.n >= 2000);
    assert_true(verdicts[MBL_MARGINAL] > 50 && verdicts[MBL_FAILS] > 50);
    compare_with(&all, MBL_BY_COST, MBL_MARGINAL, 5);
    compare_with(&all, MBL_BY_COST, MBL_MARGINAL, 100);
    compare_with(&all, MBL_BY_MASS, MBL_MARGINAL, 20);
    compare_with(&all, MBL_BY_LABOUR, MBL_MARGINAL, 20);
    compare_with(&all, MBL_BY_EVENT, MBL_MARGINAL, 20);
    compare_with(&all, MBL_BY_COST, MBL_HOLDS, 5);
    free_rows(&all);
}

static void what_is_needed_may_be_a_verdict_of_holds(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
    all_rows all = drive_all();
    size_t verdicts[MBL_FAILS + 1] = {0};
    for (size_t i = 0; i < all.n; i++)
        verdicts[all.row[i].verdict]++;
    printf("%zu hold, %zu marginal, %zu fail\n", verdicts[MBL_HOLDS], verdicts[MBL_MARGINAL],
           verdicts[MBL_FAILS]);
    assert_true(verdicts[MBL_HOLDS] > 2 && verdicts[MBL_FAILS] > 2);
    for (int by = MBL_BY_COST; by <= MBL_BY_LABOUR; by++)
        compare_with(&all, (mbl_shortlist_by)by, MBL_HOLDS, 3);
    free_rows(&all);
}

#define TANDEM(keys)                                                                               \
    "{ ratio: 3.2, effort_limit: 230 N, distribution: valve, knee: 2.5 MPa, slope: 0.35, "         \
    "  booster: { gain: 4.5 }, master: { " keys " } }"

/* Tandem masters divide alike whatever their bore, so one drive serves all of them; effort, travel,
 * bite and panic pressure, which only the pedal tells apart, decide which of them holds. */
static void masters_are_told_apart_by_the_pedal_alone(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
    at->ask.nslots = 0;
    memset(at->option, 0, sizeof at->option);
    test_fill(&mbl_pedal_schema, TANDEM("bore: 25.4 mm, stroke: 30 mm"), &at->setup.car.pedal);
    at->setup.car.tyre.grip = 1.4;
    at->setup.car.front.pad.window = (mbl_numbers){2, {293.15, 1273.15}};
    at->setup.car.front.caliper.rating = 2.1e7;
    at->setup.limits.bite = 0.775;
    mbl_slot *s = test_shelf_slot(at, MBL_SLOT_FRONT_DUCT);
    test_shelf_add(
        at, s, "{ bore: 102 mm, length: 1.4 m, inlet: nose, aim: eye, mass: 1.1 kg, cost: 400 }");
    s = test_shelf_slot(at, MBL_SLOT_MASTER);
    test_shelf_add(at, s, TANDEM("bore: 20.6 mm, stroke: 30 mm, cost: 90"));
    test_shelf_add(at, s, TANDEM("bore: 22.2 mm, stroke: 36 mm, cost: 140"));
    test_shelf_add(at, s, TANDEM("bore: 23.8 mm, stroke: 36 mm, cost: 120"));
    test_shelf_add(at, s, TANDEM("bore: 27 mm, stroke: 20 mm, cost: 80"));
    s = test_shelf_slot(at, MBL_SLOT_FLUID);
    test_shelf_add(at, s,
                   "{ dry: 312 C, wet: 205 C, water: 0.5 %, cost: 70, bulk_modulus: 300 MPa }");
    test_shelf_add(at, s, "{ dry: 312 C, wet: 205 C, water: 0.5 %, cost: 70 }");
    all_rows all = drive_all();
    size_t kinds[MBL_CHECK_KINDS] = {0};
    for (size_t i = 0; i < all.n; i++)
        kinds[all.row[i].tightest.kind]++;
    assert_true(kinds[MBL_CHECK_EFFORT] > 2 && kinds[MBL_CHECK_PANIC] > 2 &&
                kinds[MBL_CHECK_BITE] > 2 && kinds[MBL_CHECK_BALANCE] > 2);
    for (int by = MBL_BY_COST; by <= MBL_BY_LABOUR; by++) {
        compare_with(&all, (mbl_shortlist_by)by, MBL_MARGINAL, 4);
        compare_with(&all, (mbl_shortlist_by)by, MBL_MARGINAL, 100);
        compare_with(&all, (mbl_shortlist_by)by, MBL_HOLDS, 2);
    }
    mbl_shortlist list = run();
    assert_int_equal(list.judged + list.panic + list.later, 30);
    assert_int_equal(list.panic, kinds[MBL_CHECK_PANIC]);
    assert_true(list.drives <= 2); /* with and without the duct */
    mbl_shortlist_free(&list);
    free_rows(&all);
}

static void more_wanted_than_there_are_lists_them_all(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
    all_rows all = drive_all();
    size_t held = 0;
    for (size_t i = 0; i < all.n; i++)
        held += all.row[i].verdict != MBL_FAILS;
    at->ask.want = MBL_SHORTLIST_WANT;
    mbl_shortlist list = run();
    assert_true(held > 0 && held < MBL_SHORTLIST_WANT);
    assert_int_equal(list.n, held);
    assert_int_equal(list.held, held);
    assert_int_equal(list.judged, all.n);
    assert_int_equal(list.later, 0);
    assert_false(list.missed);
    mbl_shortlist_free(&list);
    free_rows(&all);
}

/* Nearest: the better verdict, then more of the tightest band left, then in rank. */
static bool is_nearer(const mbl_choice *a, const mbl_choice *b)
{
    if (a->verdict != b->verdict)
        return a->verdict < b->verdict;
    if (a->closest != b->closest)
        return a->closest > b->closest;
    return in_order(a, b) < 0;
}

static void where_none_holds_the_nearest_miss_is_told(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
    at->setup.limits.rotor = 500 + 273.15; /* none can */
    all_rows all = drive_all();
    order_by = MBL_BY_COST;
    const mbl_choice *nearest = &all.row[0];
    for (size_t i = 1; i < all.n; i++)
        if (is_nearer(&all.row[i], nearest))
            nearest = &all.row[i];
    assert_int_equal(nearest->verdict, MBL_FAILS);
    mbl_shortlist list = run();
    assert_int_equal(list.n, 0);
    assert_int_equal(list.held, 0);
    assert_true(list.missed);
    assert_same(&list.nearest, nearest);
    mbl_shortlist_free(&list);
    free_rows(&all);
}

/* Single changes: each option on the car as it is, by hand from all rows of one slot. */
static void each_change_alone_is_the_first_that_holds_or_the_nearest(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
    at->ask.need = MBL_HOLDS;
    at->ask.by = order_by = MBL_BY_COST;
    all_rows all = drive_all();
    mbl_shortlist list = run();
    for (size_t s = 0; s < at->ask.nslots; s++) {
        const mbl_choice *best = NULL;
        for (size_t i = 0; i < all.n; i++) {
            const mbl_choice *c = &all.row[i];
            bool alone = c->pick[s] > 0;
            for (size_t k = 0; k < at->ask.nslots; k++)
                alone = alone && (k == s || c->pick[k] == 0);
            if (!alone)
                continue;
            bool holds = c->verdict == MBL_HOLDS;
            bool held = best != NULL && best->verdict == MBL_HOLDS;
            if (best == NULL || (holds && !held) || (holds && held && in_order(c, best) < 0) ||
                (!holds && !held && is_nearer(c, best)))
                best = c;
        }
        assert_non_null(best);
        assert_true(list.alone[s].any);
        assert_int_equal(list.alone[s].holds, best->verdict == MBL_HOLDS);
        assert_int_equal(list.alone[s].best.pick[s], best->pick[s]);
        assert_near(list.alone[s].best.closest, best->closest, 0);
    }
    /* and the car as it is */
    mbl_pick nothing = {0};
    assert_memory_equal(list.as_is.pick, nothing, sizeof nothing);
    assert_near(list.as_is.closest, all.row[0].closest, 0);
    mbl_shortlist_free(&list);
    free_rows(&all);
}

static mbl_status no_bare_pads(void *ctx, const mbl_pick pick, bool *fits, char why[MBL_WHY],
                               mbl_error *err)
{
    size_t *calls = ctx;
    (void)err;
    ++*calls;
    *fits = !(pick[0] == 1 && pick[1] == 0) && pick[2] != 1;
    snprintf(why, MBL_WHY, "%s", pick[2] == 1 ? "no cheap fluid" : "hard pads want a duct");
    return MBL_OK;
}

static void the_users_own_rule_leaves_the_answer_of_those_that_it_lets_through(void **state)
{
    (void)state;
    size_t calls = 0;
    test_shelf_small(at, trace);
    at->ask.fit = no_bare_pads;
    at->ask.ctx = &calls;
    all_rows all = drive_all();
    for (int by = MBL_BY_COST; by <= MBL_BY_LABOUR; by++)
        compare_with(&all, (mbl_shortlist_by)by, MBL_MARGINAL, 3);
    at->ask.by = MBL_BY_COST;
    at->ask.want = MBL_SHORTLIST_WANT;
    mbl_shortlist list = run();
    /* of 4 x 3 x 3: a third by its fluid; of the rest one pad without a duct, on two fluids */
    assert_int_equal(list.all, 36);
    assert_int_equal(list.misfit[MBL_MISFIT_ASKED], 12 + 2);
    assert_int_equal(list.nwhys, 2);
    for (size_t i = 0; i < 2; i++)
        assert_int_equal(list.why[i].n, strcmp(list.why[i].text, "no cheap fluid") == 0 ? 12 : 2);
    assert_int_equal(list.judged, 36 - 14);
    mbl_shortlist_free(&list);
    free_rows(&all);
}

static void what_must_change_is_not_kept(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
    at->ask.slot[2].keep = false;
    at->ask.want = MBL_SHORTLIST_WANT;
    all_rows all = drive_all();
    assert_int_equal(all.n, 24);
    compare_with(&all, MBL_BY_COST, MBL_MARGINAL, MBL_SHORTLIST_WANT);
    mbl_shortlist list = run();
    for (size_t i = 0; i < list.n; i++)
        assert_true(list.row[i].pick[2] > 0);
    mbl_shortlist_free(&list);
    free_rows(&all);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_list_is_that_of_every_combination_driven_and_sorted),
        cmocka_unit_test(what_is_needed_may_be_a_verdict_of_holds),
        cmocka_unit_test(masters_are_told_apart_by_the_pedal_alone),
        cmocka_unit_test(more_wanted_than_there_are_lists_them_all),
        cmocka_unit_test(where_none_holds_the_nearest_miss_is_told),
        cmocka_unit_test(each_change_alone_is_the_first_that_holds_or_the_nearest),
        cmocka_unit_test(the_users_own_rule_leaves_the_answer_of_those_that_it_lets_through),
        cmocka_unit_test(what_must_change_is_not_kept),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
