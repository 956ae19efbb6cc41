/* SPDX-License-Identifier: MIT */
/*
 * What must be true of any car that is run and judged: MBL_CASES cars (200 when not set, of which a
 * quarter are driven), a failing one named by its seed.
 */
#include "support/coupe.h"
#include "support/random_car.h"
#include "support/session.h"
#include "support/test.h"

static mbl_trace *trace;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_kestrel_rise, 1);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    return 0;
}

static mbl_run *run_of(int seed)
{
    random_source r = {(uint64_t)seed + 21000};
    mbl_case c = test_case(trace, "{ out: 1, hot: 1, park: 2 min }");
    c.car = random_car((uint64_t)seed);
    if (random_below(&r, 3) == 0) { /* masters that bottom */
        c.car.pedal.master.bore *= 0.5;
        c.car.pedal.master.front *= 0.5;
        c.car.pedal.master.rear *= 0.5;
    }
    c.stint.altitude = random_between(&r, 0, 2500);
    c.event.sessions = 1 + random_below(&r, 20);
    if (random_below(&r, 4) == 0)
        c.car.found.n = 1;
    mbl_error err = {0};
    mbl_run *run = NULL;
    if (mbl_run_quick(&mbl_alloc_libc, &c, 0.1, NULL, &run, &err) != MBL_OK)
        fail_msg("car %d: %s", seed, err.text);
    return run;
}

#define MUST(seed, what)                                                                           \
    do {                                                                                           \
        if (!(what))                                                                               \
            fail_msg("car %d: not so: %s", (seed), #what);                                         \
    } while (0)

static void the_books_close(int seed, const mbl_run *run)
{
    MUST(seed, fabs(run->ledger.residual) <= 1e-10);
    MUST(seed, fabs(run->ledger.heat / (0.5 * run->ledger.energy) - 1) <= 1e-9);
    MUST(seed, fabs((run->axle[0].work + run->axle[1].work) / run->ledger.heat - 1) <= 1e-12);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_axle_result *a = &run->axle[axle];
        const mbl_pad *pad = axle == 0 ? &run->setup.car.front.pad : &run->setup.car.rear.pad;
        MUST(seed, a->work > 0 && a->worn > 0);
        MUST(seed, a->life.pad_end < a->life.pad_now);
        double worn = a->worn / (2 * pad->area); /* m, of two pads; may be more than there is */
        double left = fmax(a->life.pad_now - worn, 0);
        MUST(seed, fabs(left - a->life.pad_end) <= 1e-14 * (0.01 + worn));
        MUST(seed, a->life.pad_event <= a->life.pad_end && a->life.pad_sets >= 1);
        MUST(seed, a->life.crack >= 0 && (a->life.crack > 0) == (a->life.cycles > 0));
    }
}

/* No reserve is negative without a check that fails, nor the other way round. */
static void what_is_short_fails(int seed, const mbl_run *run)
{
    const mbl_pedal_result *p = &run->pedal;
    const mbl_check *travel = mbl_run_check_of(run, MBL_CHECK_TRAVEL, MBL_WHOLE_CAR);
    const mbl_check *effort = mbl_run_check_of(run, MBL_CHECK_EFFORT, MBL_WHOLE_CAR);
    MUST(seed, p->hardest.pressure > 0 && p->lap > 0);
    MUST(seed, (travel != NULL) == run->setup.car.pedal.present);
    MUST(seed, (effort != NULL) == run->setup.car.pedal.present);
    if (travel == NULL)
        return;
    MUST(seed, p->travel.used > 0);
    MUST(seed, (p->travel.used > 1) == (travel->verdict == MBL_FAILS));
    MUST(seed, (p->effort > run->setup.car.pedal.effort_limit) == (effort->verdict == MBL_FAILS));
    bool out_of_effort = p->hardest.pressure > p->reaches;
    MUST(seed, out_of_effort == (p->shortfall > 0));
    MUST(seed, out_of_effort == (p->shortfall_lap > 0));
    /* all of it where a circuit bottoms before there is pressure */
    MUST(seed, p->shortfall <= run->ledger.energy * (1 + 1e-9));
    MUST(seed, p->knock_back > 0);
}

static void the_verdict_is_that_of_the_worst_check(int seed, const mbl_run *run)
{
    mbl_verdict worst = MBL_HOLDS;
    for (int i = 0; i < run->nchecks; i++) {
        const mbl_check *c = &run->checks[i];
        MUST(seed, !isnan(c->margin) && !isnan(c->limit) && !isnan(c->peak.T));
        MUST(seed, c->margin >= 0 || c->verdict >= MBL_MARGINAL);
        MUST(seed, i == 0 || c->verdict <= run->checks[i - 1].verdict);
        worst = c->verdict > worst ? c->verdict : worst;
    }
    MUST(seed, run->verdict == worst);
    MUST(seed, run->setup.car.found.n == 0 || run->verdict == MBL_FAILS);
}

static void shares_are_shares(int seed, const mbl_run *run)
{
    const mbl_balance_result *b = &run->balance;
    MUST(seed, b->known == !isnan(run->setup.car.tyre.grip));
    MUST(seed, b->front > 0 && b->front < 1 && b->ideal > 0 && b->ideal < 1);
    MUST(seed, b->asked > 0);
    if (b->known)
        MUST(seed, b->grip > 0 && fabs(b->ahead) < 1 && b->bite > 0 && b->bite <= 1);
    const mbl_weights *w = &run->weights;
    MUST(seed, w->unsprung > 0 && w->inertia > 0 && w->equivalent > 0);
    MUST(seed, w->equivalent < w->unsprung); /* all of it turns within the tyre */
}

static void any_car_that_is_run_keeps_its_books_and_says_what_fails(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    int fails = 0;
    int bottoms = 0;
    int weak = 0;
    for (int seed = 1; seed <= cases; seed++) {
        mbl_run *run = run_of(seed);
        the_books_close(seed, run);
        what_is_short_fails(seed, run);
        the_verdict_is_that_of_the_worst_check(seed, run);
        shares_are_shares(seed, run);
        fails += run->verdict == MBL_FAILS;
        bottoms += run->pedal.travel.used > 1;
        weak += run->pedal.shortfall > 0;
        mbl_run_free(run);
    }
    printf("%d cars: %d fail, %d bottom, %d lack effort\n", cases, fails, bottoms, weak);
    assert_true(bottoms > 0 && bottoms < cases && weak > 0 && weak < cases);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_car_that_is_run_keeps_its_books_and_says_what_fails),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
