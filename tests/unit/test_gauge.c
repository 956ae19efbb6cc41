/* SPDX-License-Identifier: MIT */
/* Single numbers read off a run: every one of them is the number it says. */
#include "study/gauge.h"
#include "support/told.h"

static mbl_trace *trace;
static mbl_run *run; /* with a pedal, tyres, a duct, prices */

#define CAR                                                                                        \
    "{ pedal: { ratio: 5.2, distribution: bar, balance: 0.62, master: { front: 19 mm, rear: "      \
    "17.8 mm } }, tyre: { grip: 1.1 }, front: { duct: { bore: 76 mm, length: 1 m }, "              \
    "rotor: { cost: 210, labour: 1 h, minimum: 30 mm } } }"

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 3);
    run = told_run_of(trace, &(told){.changes = CAR,
                                     .stint = "{ out: 1, hot: 2, park: 5 min }",
                                     .event = "{ sessions: 3, labour_rate: 60 }"});
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_run_free(run);
    mbl_trace_drop(trace);
    return 0;
}

static void names_are_unique_and_found_in_a_fixed_order(void **state)
{
    (void)state;
    for (size_t i = 0; i < mbl_gauge_count(); i++) {
        mbl_gauge g = mbl_gauge_at(i);
        assert_int_equal(mbl_gauge_find(g.name), i); /* the first of that name */
        assert_true(strlen(g.name) > 0 && strlen(g.name) + 1 < sizeof g.name);
        assert_true(strlen(g.about) > 0 && strlen(g.about) < 60);
        assert_null(strchr(g.name, ','));
    }
    assert_string_equal(mbl_gauge_at(0).name, "closest");
    assert_int_equal(mbl_gauge_find("rear.rotor.nose.peak"), mbl_gauge_count());
    assert_int_equal(mbl_gauge_find(""), mbl_gauge_count());
}

static void a_handful_is_kept_when_nobody_says_which(void **state)
{
    (void)state;
    static const char *const usual[] = {"closest",
                                        "front.fluid.margin",
                                        "front.rotor.core.peak",
                                        "front.caliper.peak",
                                        "front.pad.peak",
                                        "rear.fluid.margin",
                                        "rear.rotor.core.peak",
                                        "rear.caliper.peak",
                                        "rear.pad.peak",
                                        "mass.unsprung",
                                        "cost",
                                        "cost.event"};
    size_t n = 0;
    for (size_t i = 0; i < mbl_gauge_count(); i++) {
        if (!mbl_gauge_at(i).usual)
            continue;
        assert_true(n < sizeof usual / sizeof usual[0]);
        assert_string_equal(mbl_gauge_at(i).name, usual[n++]);
    }
    assert_int_equal(n, sizeof usual / sizeof usual[0]);
}

static void margins_are_better_higher_and_temperatures_lower(void **state)
{
    (void)state;
    for (size_t i = 0; i < mbl_gauge_count(); i++) {
        mbl_gauge g = mbl_gauge_at(i);
        if (g.quantity == MBL_Q_LEVEL || g.quantity == MBL_Q_MASS || g.quantity == MBL_Q_MONEY)
            assert_int_equal(g.better, MBL_BETTER_LESS);
        if (strstr(g.name, ".margin") != NULL || strstr(g.name, ".left") != NULL)
            assert_int_equal(g.better, MBL_BETTER_MORE);
    }
}

typedef struct expected {
    const char *name;
    double value;
} expected;

static size_t expect(const mbl_run *of, const expected *list, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        size_t gauge = mbl_gauge_find(list[i].name);
        if (gauge == mbl_gauge_count())
            fail_msg("there is no %s", list[i].name);
        double got = mbl_gauge_read(gauge, of);
        if (memcmp(&got, &list[i].value, sizeof got) != 0)
            fail_msg("%s is %.17g, not %.17g", list[i].name, got, list[i].value);
    }
    return n;
}

static size_t expect_axle(const mbl_run *of, int axle)
{
    const mbl_axle_result *a = &of->axle[axle];
    const struct {
        const char *name;
        double value;
    } under[] = {
        {"rotor.face.peak", a->peak[MBL_FACE].T - 273.15},
        {"rotor.core.peak", a->peak[MBL_CORE].T - 273.15},
        {"rotor.hat.peak", a->peak[MBL_HAT].T - 273.15},
        {"pad.peak", a->peak[MBL_PAD_FACE].T - 273.15},
        {"caliper.peak", a->peak[MBL_CALIPER].T - 273.15},
        {"fluid.peak", a->peak[MBL_FLUID].T - 273.15},
        {"fluid.margin_wet", a->margin_wet},
        {"fluid.margin_now", a->margin_now},
        {"fluid.margin", a->margin},
        {"fluid.vapour", a->vapour},
        {"rotor.gradient", of->gradient[axle].T},
        {"rotor.left_event", a->life.rotor_event},
        {"rotor.sessions", a->life.rotor_sessions},
        {"rotor.cycles", a->life.cycles},
        {"rotor.crack", a->life.crack},
        {"rotor.stress", a->life.stress},
        {"pad.left", a->life.pad_end},
        {"pad.left_event", a->life.pad_event},
        {"pad.sessions", a->life.pad_sessions},
        {"pad.sets", a->life.pad_sets},
        {"duct_flow", a->duct_flow},
    };
    size_t n = sizeof under / sizeof under[0];
    for (size_t i = 0; i < n; i++) {
        char name[64];
        snprintf(name, sizeof name, "%s.%s", mbl_axle_word(axle), under[i].name);
        expect(of, &(expected){name, under[i].value}, 1);
    }
    return n;
}

static size_t expect_car(const mbl_run *of)
{
    const mbl_weights *w = &of->weights;
    const mbl_pedal_result *p = &of->pedal;
    const mbl_balance_result *b = &of->balance;
    const mbl_check *c = &of->checks[0];
    const expected list[] = {
        {"closest", mbl_check_rank(c)},
        {"mass.unsprung", w->unsprung},
        {"mass.equivalent", w->equivalent},
        {"mass.front", w->rotor[0] + w->pads[0] + w->caliper[0] + w->duct[0]},
        {"mass.rear", w->rotor[1] + w->pads[1] + w->caliper[1] + w->duct[1]},
        {"cost", of->bill.parts + of->bill.labour},
        {"cost.parts", of->bill.parts},
        {"cost.labour", of->bill.labour},
        {"cost.event", of->bill.event},
        {"cost.unpriced", of->bill.unpriced},
        {"pedal.pressure", p->pressure[0]},
        {"pedal.rear_pressure", p->pressure[1]},
        {"pedal.effort", p->effort},
        {"pedal.travel", p->travel.pad},
        {"pedal.used", p->travel.used},
        {"pedal.reserve", 1 - p->travel.used},
        {"pedal.with_vapour", p->with_vapour},
        {"pedal.shortfall", p->shortfall},
        {"balance.front", b->front},
        {"balance.ideal", b->ideal},
        {"balance.ahead", b->ahead},
        {"balance.bite", b->bite},
        {"balance.asked", b->asked},
        {"balance.grip", b->grip},
        {"balance.lock_deceleration", b->lock.deceleration},
        {"energy", of->ledger.energy},
        {"hot_energy", of->hot_energy},
        {"duration", of->duration},
        {"residual", of->ledger.residual},
    };
    return expect(of, list, sizeof list / sizeof list[0]);
}

static void every_gauge_is_the_number_of_the_run_that_it_says(void **state)
{
    (void)state;
    size_t n = expect_axle(run, 0) + expect_axle(run, 1) + expect_car(run);
    assert_int_equal(n, mbl_gauge_count());
    for (size_t i = 0; i < n; i++) /* nothing is unknown of a car that is told in full */
        if (isnan(mbl_gauge_read(i, run)))
            fail_msg("%s is not known", mbl_gauge_at(i).name);
}

/* Two numbers that are equal would not show which of them was read. */
static void the_numbers_of_the_run_that_is_read_differ(void **state)
{
    (void)state;
    for (size_t i = 0; i < mbl_gauge_count(); i++) {
        for (size_t k = 0; k < i; k++) {
            double a = mbl_gauge_read(i, run);
            mbl_gauge gauge = mbl_gauge_at(i);
            if (gauge.quantity == MBL_Q_LEVEL && a == mbl_gauge_read(k, run))
                fail_msg("%s is %s", gauge.name, mbl_gauge_at(k).name);
        }
    }
    assert_true(run->bill.parts > 0 && run->bill.labour > 0 && run->bill.event > 0);
    assert_true(run->axle[0].duct_flow > 0);
}

static void what_needs_a_pedal_or_grip_is_unknown_without(void **state)
{
    (void)state;
    mbl_run *bare = told_run(trace, "{ hot: 1 }", "{}");
    static const char *const unknown[] = {
        "pedal.effort",  "pedal.travel", "pedal.used",   "pedal.reserve",
        "balance.ahead", "balance.bite", "balance.grip", "balance.lock_deceleration"};
    for (size_t i = 0; i < sizeof unknown / sizeof unknown[0]; i++)
        if (!isnan(mbl_gauge_read(mbl_gauge_find(unknown[i]), bare)))
            fail_msg("%s is known", unknown[i]);
    assert_true(isfinite(mbl_gauge_read(mbl_gauge_find("balance.front"), bare)));
    assert_near(mbl_gauge_read(mbl_gauge_find("front.duct_flow"), bare), 0, 0);
    mbl_run_free(bare);
}

/* 273.15 K is 0 C by definition (SI Brochure, 9th edition, 2.3.1). */
static void levels_are_in_degrees_and_differences_in_kelvin(void **state)
{
    (void)state;
    double now = mbl_gauge_read(mbl_gauge_find("front.fluid.margin_now"), run);
    double peak = mbl_gauge_read(mbl_gauge_find("front.fluid.peak"), run);
    assert_near(peak + now, run->axle[0].now - 273.15, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_unique_and_found_in_a_fixed_order),
        cmocka_unit_test(a_handful_is_kept_when_nobody_says_which),
        cmocka_unit_test(margins_are_better_higher_and_temperatures_lower),
        cmocka_unit_test(every_gauge_is_the_number_of_the_run_that_it_says),
        cmocka_unit_test(the_numbers_of_the_run_that_is_read_differ),
        cmocka_unit_test(what_needs_a_pedal_or_grip_is_unknown_without),
        cmocka_unit_test(levels_are_in_degrees_and_differences_in_kelvin),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
