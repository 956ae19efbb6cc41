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

#define FRICTION "friction: [[20, 0.38], [300, 0.48], [650, 0.44], [800, 0.30]]"
#define PAD(keys)                                                                                  \
    "{ area: 62 cm2, height: 50 mm, thickness: 16 mm, " FRICTION ", " keys " }"
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
        if (mbl_shortlist_misfit(ask, pick, &car) == MBL_FITS)
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
    static const char *const orders[] = {
        [MBL_BY_COST] = "$em", [MBL_BY_EVENT] = "e$m", [MBL_BY_MASS] = "m$e", [MBL_BY_LABOUR] = "l$em"};
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
    printf("%s, %s, %zu wanted: %zu listed; %zu fit, %zu judged from %zu drives, %zu later, %zu panic\n",
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
    int hist[2*3*16]={0};for(size_t i=0;i<all.n;i++){if(all.row[i].verdict==MBL_FAILS)hist[(int)all.row[i].tightest.kind*3+all.row[i].tightest.axle+1]++;}for(int i=0;i<48;i++)if(hist[i])printf("%s %d: %d\n",mbl_check_word((mbl_check_kind)(i/3)),i%3-1,hist[i]);
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_list_is_that_of_every_combination_driven_and_sorted),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
