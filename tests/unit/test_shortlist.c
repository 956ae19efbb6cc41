/* SPDX-License-Identifier: MIT */
/* The cheapest packages that hold, against every combination driven by itself and sorted. */
#include "study/shortlist.h"
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

enum { OPTIONS = 8 };

/* A case with its slots and options, all in one place. */
typedef struct shelf {
    mbl_case setup;
    mbl_option option[MBL_SLOT_KINDS][OPTIONS];
    mbl_shortlist_ask ask;
} shelf;

static mbl_trace *trace;
static shelf *at;

static const mbl_fits unsaid = {.diameter = {NAN, NAN}, .thickness = {NAN, NAN}, .stack = NAN};

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

static mbl_slot *add_slot(mbl_slot_kind kind)
{
    mbl_slot *slot = &at->ask.slot[at->ask.nslots];
    mbl_option *there = at->option[at->ask.nslots++];
    *slot = (mbl_slot){.kind = kind, .keep = true, .n = 1, .option = there};
    mbl_part_of(kind, &at->setup.car, &there->part);
    there->name = "as it is";
    there->fits = unsaid;
    return slot;
}

/* One more option: what is there with these keys, in YAML, over it. */
static mbl_option *add(mbl_slot *slot, const char *yaml)
{
    mbl_option *o = &at->option[slot - at->ask.slot][slot->n++];
    assert_true(slot->n <= OPTIONS);
    *o = (mbl_option){.name = yaml, .part = {.kind = slot->kind}, .fits = unsaid};
    test_fill(mbl_slot_schema(slot->kind), yaml, &o->part.of);
    return o;
}

static void begin(const char *stint)
{
    memset(at, 0, sizeof *at);
    at->setup = test_case(trace, stint);
    at->setup.car = test_coupe_with(test_pedal_bar);
    at->setup.car.abs = true;
    at->setup.limits.rotor = 730 + 273.15;
    at->setup.event.labour_rate = 60;
    at->ask = (mbl_shortlist_ask){.alloc = &mbl_alloc_libc,
                                  .setup = &at->setup,
                                  .room = {.wheel = {NAN, NAN}, .ratio = {NAN, NAN}},
                                  .need = MBL_MARGINAL,
                                  .want = 5,
                                  .workers = 2};
    for (int k = 0; k < MBL_SLOT_KINDS; k++)
        at->ask.there[k] = unsaid;
}

#define FRICTION   "friction: [[20, 0.38], [300, 0.48], [650, 0.44], [800, 0.30]]"
#define PAD(keys)  "{ area: 62 cm2, height: 50 mm, thickness: 16 mm, " FRICTION ", " keys " }"
#define RING(keys) "{ hat_mass: 1.2 kg, construction: two-piece, hat: plain, " keys " }"

/* 4 rotors, 5 pads, 3 calipers, 3 ducts, 4 masters, 6 fluids with what is there: 4320, of which
 * half are ruled out by fit. Some are alike but for their price, and two cost the same. */
static void fill_shelf(void)
{
    mbl_slot *s = add_slot(MBL_SLOT_FRONT_ROTOR);
    add(s, RING("diameter: 355 mm, thickness: 32 mm, ring_mass: 9 kg, cost: 150, labour: 1 h"));
    add(s, RING("diameter: 370 mm, thickness: 34 mm, ring_mass: 10 kg, cost: 210, labour: 1 h"));
    add(s, RING("diameter: 370 mm, thickness: 34 mm, ring_mass: 10 kg, cost: 190, labour: 1.5 h"));
    s = add_slot(MBL_SLOT_FRONT_PAD);
    add(s, PAD("window: [100 C, 720 C], cost: 140, labour: 0.5 h"))->fits.pad[0] = 'A';
    add(s, PAD("window: [120 C, 850 C], cost: 320, labour: 0.5 h"))->fits.pad[0] = 'A';
    add(s, PAD("window: [120 C, 850 C], cost: 300, labour: 0.5 h"))->fits.pad[0] = 'B';
    add(s, "{ area: 50 cm2, height: 46 mm, thickness: 16 mm, friction: [[20, 0.5]], "
           "window: [60 C, 780 C], cost: 170, labour: 0.5 h }");
    s = add_slot(MBL_SLOT_FRONT_CALIPER);
    at->option[2][0].fits.pad[0] = 'A';
    at->option[2][0].fits.diameter[0] = 0.34;
    at->option[2][0].fits.diameter[1] = 0.36;
    mbl_option *o = add(s, "{ type: fixed, pistons: [40 mm, 36 mm, 32 mm], mass: 3.9 kg, "
                           "piston: titanium, cost: 600, labour: 3 h }");
    o->fits.pad[0] = 'B';
    add(s, "{ type: fixed, pistons: [38 mm, 34 mm], mass: 2.9 kg, rating: 125 bar, cost: 300, "
           "labour: 3 h }");
    s = add_slot(MBL_SLOT_FRONT_DUCT);
    add(s, "{ bore: 63 mm, length: 1.4 m, mass: 0.9 kg, cost: 150, labour: 3 h }");
    add(s, "{ bore: 76 mm, length: 1.4 m, mass: 1.1 kg, cost: 150, labour: 3 h }");
    s = add_slot(MBL_SLOT_MASTER);
    add(s, "{ ratio: 5.2, effort_limit: 700 N, distribution: bar, balance: 0.62,"
           "  master: { front: 20.6 mm, rear: 19.05 mm, cost: 190, labour: 2 h } }");
    add(s, "{ ratio: 5.2, effort_limit: 700 N, distribution: bar, balance: 0.62,"
           "  master: { front: 19 mm, rear: 17.8 mm, stroke: 40 mm, cost: 120, labour: 2 h } }");
    add(s, "{ ratio: 5.2, effort_limit: 700 N, distribution: bar, balance: 0.62,"
           "  master: { front: 22.2 mm, rear: 17.8 mm, cost: 190, labour: 2 h } }");
    s = add_slot(MBL_SLOT_FLUID);
    add(s, "{ dry: 268 C, wet: 160 C, water: 0.5 %, cost: 20, labour: 0.8 h }");
    add(s, "{ dry: 312 C, wet: 205 C, water: 0.5 %, cost: 70, labour: 0.8 h }");
    add(s, "{ dry: 325 C, wet: 195 C, water: 0.5 %, cost: 95, labour: 0.8 h }");
    add(s, "{ grade: DOT 4, cost: 12, labour: 0.8 h, bulk_modulus: 700 MPa }");
    add(s, "{ dry: 330 C, wet: 212 C, water: 3 %, cost: 70, labour: 0.8 h, "
           "boiling: [[0, 330], [0.02, 240], [0.04, 205]] }");
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
    begin("{ out: 1, hot: 2, cool: 1, park: 5 min, ambient: 30 C }");
    fill_shelf();
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

/* A few options of pads, ducts and fluids, on a car whose lock is not looked at: some hold. */
static void fill_small_shelf(void)
{
    begin("{ out: 2, hot: 2, cool: 1, park: 5 min, ambient: 30 C }");
    at->setup.car.tyre.grip = NAN;
    at->setup.limits.pressure = 4e7;
    at->setup.limits.rotor = 860 + 273.15;
    at->setup.limits.rotor_band = 30;
    at->setup.limits.hose_band = 20;
    at->setup.limits.gradient = 450;
    at->setup.car.rear.pad.window = (mbl_numbers){2, {293.15, 1173.15}};
    mbl_slot *s = add_slot(MBL_SLOT_FRONT_PAD);
    add(s, PAD("window: [60 C, 1000 C], cost: 320, labour: 0.5 h"));
    add(s, PAD("window: [60 C, 920 C], cost: 300, labour: 0.5 h"));
    add(s, PAD("window: [20 C, 400 C], cost: 60, labour: 0.5 h"));
    s = add_slot(MBL_SLOT_FRONT_DUCT);
    add(s, "{ bore: 63 mm, length: 1.4 m, mass: 0.9 kg, cost: 150, labour: 3 h }");
    add(s, "{ bore: 102 mm, length: 1.4 m, inlet: nose, aim: eye, mass: 1.1 kg, cost: 400, "
           "labour: 3 h }");
    s = add_slot(MBL_SLOT_FLUID);
    add(s, "{ dry: 160 C, wet: 112 C, water: 0.5 %, cost: 10, labour: 0.8 h }");
    add(s, "{ dry: 312 C, wet: 205 C, water: 0.5 %, cost: 70, labour: 0.8 h }");
}

static void what_is_needed_may_be_a_verdict_of_holds(void **state)
{
    (void)state;
    fill_small_shelf();
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

static void more_wanted_than_there_are_lists_them_all(void **state)
{
    (void)state;
    fill_small_shelf();
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
    fill_small_shelf();
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

static void the_list_and_its_counts_are_the_same_with_any_number_of_workers(void **state)
{
    (void)state;
    begin("{ out: 1, hot: 2, cool: 1, park: 5 min, ambient: 30 C }");
    fill_shelf();
    at->ask.workers = 1;
    mbl_shortlist one = run();
    for (int workers = 2; workers <= 3; workers++) {
        at->ask.workers = workers;
        mbl_shortlist other = run();
        assert_int_equal(other.n, one.n);
        assert_int_equal(other.drives, one.drives);
        assert_int_equal(other.judged, one.judged);
        assert_int_equal(other.held, one.held);
        assert_int_equal(other.later, one.later);
        for (size_t i = 0; i < one.n; i++)
            assert_same(&other.row[i], &one.row[i]);
        mbl_shortlist_free(&other);
    }
    mbl_shortlist_free(&one);
}

/* Single changes: each option on the car as it is, by hand from all rows of one slot. */
static void each_change_alone_is_the_first_that_holds_or_the_nearest(void **state)
{
    (void)state;
    fill_small_shelf();
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

static void a_step_up_is_the_next_that_leaves_more(void **state)
{
    (void)state;
    fill_small_shelf();
    at->ask.want = MBL_SHORTLIST_WANT;
    mbl_shortlist list = run();
    size_t steps = 0;
    for (size_t i = 0; i < list.n; i++) {
        size_t up = list.row[i].up;
        size_t end = up < SIZE_MAX ? up : list.n;
        for (size_t k = i + 1; k < end; k++)
            assert_true(list.row[k].closest <= list.row[i].closest);
        assert_true(up == SIZE_MAX || list.row[up].closest > list.row[i].closest);
        steps += up < SIZE_MAX;
    }
    assert_true(steps > 0);
    mbl_shortlist_free(&list);
}

/* ---- rules of fit ---- */

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
    fill_small_shelf();
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
    fill_small_shelf();
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

/* One rotor of 370 x 34 mm against what a caliper says of it, and pad, wheel and master. */
static void each_rule_of_fit_refuses_what_is_beyond_it_and_nothing_else(void **state)
{
    (void)state;
    static const struct {
        mbl_fits caliper;
        const char *pad;
        double wheel, most; /* m; ratio */
        mbl_misfit want;
    } cases[] = {
        {{{NAN, NAN}, {NAN, NAN}, NAN, ""}, "", NAN, 30, MBL_FITS},
        {{{0.36, 0.37}, {0.032, 0.034}, 0.03, "A"}, "A", 0.43, 30, MBL_FITS},
        {{{0.36, 0.369}, {NAN, NAN}, NAN, ""}, "", NAN, 30, MBL_MISFIT_DIAMETER},
        {{{0.371, 0.38}, {NAN, NAN}, NAN, ""}, "", NAN, 30, MBL_MISFIT_DIAMETER},
        {{{NAN, NAN}, {0.028, 0.033}, NAN, ""}, "", NAN, 30, MBL_MISFIT_THICKNESS},
        {{{NAN, NAN}, {0.035, 0.036}, NAN, ""}, "", NAN, 30, MBL_MISFIT_THICKNESS},
        /* 370 + 2 x 30 = 430 mm */
        {{{NAN, NAN}, {NAN, NAN}, 0.03, ""}, "", 0.429, 30, MBL_MISFIT_WHEEL},
        {{{NAN, NAN}, {NAN, NAN}, 0.03, "B"}, "A", NAN, 30, MBL_MISFIT_SHAPE},
        {{{NAN, NAN}, {NAN, NAN}, 0.03, "B"}, "", NAN, 30, MBL_FITS},
        /* (38^2 + 34^2 + 30^2) / 19^2 = 9.695 */
        {{{NAN, NAN}, {NAN, NAN}, NAN, ""}, "", NAN, 9.69, MBL_MISFIT_RATIO},
        {{{NAN, NAN}, {NAN, NAN}, NAN, ""}, "", NAN, 9.70, MBL_FITS},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin("{ hot: 1 }");
        mbl_slot *s = add_slot(MBL_SLOT_FRONT_ROTOR);
        add(s, RING("diameter: 370 mm, thickness: 34 mm, ring_mass: 10 kg"));
        at->ask.there[MBL_SLOT_FRONT_CALIPER] = cases[i].caliper;
        snprintf(at->ask.there[MBL_SLOT_FRONT_PAD].pad, MBL_SHAPE, "%s", cases[i].pad);
        at->ask.room = (mbl_room){.wheel = {cases[i].wheel, NAN}, .ratio = {0.1, cases[i].most}};
        mbl_car car;
        mbl_pick pick = {1};
        mbl_shortlist_car(&at->ask, pick, &car);
        assert_int_equal(mbl_shortlist_misfit(&at->ask, pick, &car), cases[i].want);
    }
}

static void parts_that_make_no_brake_do_not_fit(void **state)
{
    (void)state;
    begin("{ hot: 1 }");
    mbl_slot *s = add_slot(MBL_SLOT_FRONT_PAD);
    /* taller than the ring of the rotor that is there is deep */
    add(s,
        "{ area: 90 cm2, height: 80 mm, thickness: 16 mm, " FRICTION ", window: [60 C, 800 C] }");
    mbl_shortlist list = run();
    assert_int_equal(list.misfit[MBL_MISFIT_RULES], 1);
    assert_false(list.alone[0].any);
    mbl_shortlist_free(&list);
}

/* ---- money, and what is refused ---- */

static void money_is_added_up_as_the_bill_of_a_run_does(void **state)
{
    (void)state;
    fill_small_shelf();
    mbl_pick pick = {1, 2, 2};
    mbl_price price = mbl_shortlist_price(&at->ask, pick);
    /* pads 320, duct 400, half a litre at 70; 0.5 + 3 + 0.8 h at 60 */
    assert_near(1e-6 * (double)price.parts, 320 + 400 + 35, 1e-9);
    assert_near(1e-6 * (double)price.labour, 4.3 * 60, 1e-9);
    mbl_car car;
    mbl_life_result life[MBL_AXLES] = {0};
    mbl_shortlist_car(&at->ask, pick, &car);
    mbl_bill bill = mbl_bill_of(&car, &at->setup.event, life); /* nothing else has a price */
    assert_near(bill.parts, 755, 1e-9);
    assert_near(bill.labour, 258, 1e-9);
}

static void more_than_a_million_combinations_are_refused(void **state)
{
    (void)state;
    begin("{ hot: 1 }");
    fill_shelf();
    for (size_t i = 0; i < at->ask.nslots; i++)
        at->ask.slot[i].n = at->ask.slot[i].n > 1 ? 30 : 1; /* refused before any is looked at */
    mbl_shortlist list;
    mbl_error err = {0};
    assert_int_equal(mbl_shortlist_run(&at->ask, &list, &err), MBL_INPUT);
    assert_has(err.text, "1000000 combinations");
}

static void a_fluid_and_masters_that_divide_alike_drive_alike_and_nothing_else_does(void **state)
{
    (void)state;
    begin("{ hot: 1 }");
    fill_shelf();
    const mbl_slot *slot = at->ask.slot;
    assert_true(mbl_part_drives_alike(&slot[5].option[0].part, &slot[5].option[4].part));
    assert_true(mbl_part_drives_alike(&slot[4].option[0].part, &slot[4].option[2].part));
    assert_false(mbl_part_drives_alike(&slot[4].option[0].part, &slot[4].option[3].part));
    /* price and hours tell in nothing */
    assert_true(mbl_part_drives_alike(&slot[0].option[2].part, &slot[0].option[3].part));
    assert_true(mbl_part_drives_alike(&slot[1].option[2].part, &slot[1].option[3].part));
    for (size_t s = 0; s < 4; s++)
        assert_false(mbl_part_drives_alike(&slot[s].option[0].part, &slot[s].option[2].part));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_list_is_that_of_every_combination_driven_and_sorted),
        cmocka_unit_test(what_is_needed_may_be_a_verdict_of_holds),
        cmocka_unit_test(more_wanted_than_there_are_lists_them_all),
        cmocka_unit_test(where_none_holds_the_nearest_miss_is_told),
        cmocka_unit_test(the_list_and_its_counts_are_the_same_with_any_number_of_workers),
        cmocka_unit_test(each_change_alone_is_the_first_that_holds_or_the_nearest),
        cmocka_unit_test(a_step_up_is_the_next_that_leaves_more),
        cmocka_unit_test(the_users_own_rule_leaves_the_answer_of_those_that_it_lets_through),
        cmocka_unit_test(what_must_change_is_not_kept),
        cmocka_unit_test(each_rule_of_fit_refuses_what_is_beyond_it_and_nothing_else),
        cmocka_unit_test(parts_that_make_no_brake_do_not_fit),
        cmocka_unit_test(money_is_added_up_as_the_bill_of_a_run_does),
        cmocka_unit_test(more_than_a_million_combinations_are_refused),
        cmocka_unit_test(a_fluid_and_masters_that_divide_alike_drive_alike_and_nothing_else_does),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
