/* SPDX-License-Identifier: MIT */
/* What the page says of a change against the base. */
#include "study/compare.h"
#include "support/page.h"
#include "support/told.h"

static mbl_trace *trace;

#define PEDAL                                                                                      \
    "pedal: { ratio: 5.2, distribution: bar, balance: 0.62, master: { front: 19 mm, rear: 17.8 "   \
    "mm } }"

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 3);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    return 0;
}

static mbl_run *compared(const char *base, const char *changes)
{
    return told_run_of(trace, &(told){.changes = changes, .stint = "{ hot: 2 }", .base = base});
}

/* The section alone; the caller frees it. */
static char *section(const mbl_run *run)
{
    char *page = page_of(run, MBL_UNITS_SI);
    char *begin = strstr(page, "AGAINST THE BASE");
    assert_non_null(begin);
    char *end = strstr(begin, "\n\n");
    assert_non_null(end);
    *end = '\0';
    char *copy = strdup(begin);
    assert_non_null(copy);
    free(page);
    return copy;
}

static void larger_pistons_on_the_same_master_are_said_to_cost_travel(void **state)
{
    (void)state;
    mbl_run *run = compared(
        "{ " PEDAL " }",
        "{ " PEDAL ", front: { caliper: { pistons: [44 mm, 40 mm, 36 mm], mass: 4.4 kg } } }");
    mbl_comparison c;
    mbl_compare(run->base, run, &c);
    assert_true(c.travel > 0.05 && c.pressure < -0.05 && c.front_share > 0.01);
    char *text = section(run);
    char words[64];
    snprintf(words, sizeof words, "travel +%.0f %% on the", 100 * c.travel);
    assert_has(text, words);
    snprintf(words, sizeof words, "  line pressure at 1 g ");
    assert_has(text, words);
    /* 2 (9.1 + 8.3) kg rotors, 2 (3.4 + 2.3) calipers; pads 2 x 62 cm2 of 11 mm at 2700 kg/m3 and
     * 5 mm steel at 7850, 2 x 42 cm2 of 14 mm: 3.0 kg; calipers heavier by 1 kg each */
    assert_has(text, "  mass of all brakes            49.2 kg        51.2 kg        +2.0 kg\n");
    assert_has(text, "more stay as they are.");
    assert_null(strstr(text, "fluid:")); /* the same fluid */
    assert_has(text, "Before the change: ");
    free(text);
    mbl_run_free(run);
}

static void another_fluid_is_compared_by_margin_bleed_and_price(void **state)
{
    (void)state;
    mbl_run *run = compared("{ fluid: { cost: 30 } }",
                            "{ fluid: { dry: 325 C, wet: 215 C, water: 1 %, cost: 61.5 } }");
    char *text = section(run);
    assert_has(text, "pedal and balance stay as they were.");
    assert_has(text, "Former fluid: ");
    assert_has(text, "30.00 a litre.");
    assert_has(text, "New fluid: ");
    assert_has(text, "61.50 a litre.");
    assert_has(text, "  fluid's wet point             200 C          215 C          +15 K\n");
    assert_has(text, "  fluid, a litre                30.00          61.50          +31.50\n");
    free(text);
    mbl_run_free(run);
}

static void sessions_are_rounded_down_as_on_the_rest_of_the_page(void **state)
{
    (void)state;
    mbl_run *run = compared("{}", "{}");
    run->base->axle[0].life.pad_sessions = 11.96;
    run->axle[0].life.pad_sessions = 9.68;
    char *text = section(run);
    assert_has(text, "  front pads, sessions left     11             9.6            -2.3\n");
    free(text);
    mbl_run_free(run);
}

static void a_run_without_a_base_compares_nothing(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 1 }", "{}");
    expect_no_page(run, "AGAINST THE BASE");
    mbl_run_free(run);
}

static void the_same_car_shows_no_rows(void **state)
{
    (void)state;
    mbl_run *run = compared("{ " PEDAL " }", "{ " PEDAL " }");
    mbl_comparison c;
    mbl_compare(run->base, run, &c);
    char *text = section(run);
    char words[64];
    snprintf(words, sizeof words, "after          change\n  %d figures more stay as they are.",
             c.n);
    assert_has(text, words);
    free(text);
    mbl_run_free(run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(larger_pistons_on_the_same_master_are_said_to_cost_travel),
        cmocka_unit_test(another_fluid_is_compared_by_margin_bleed_and_price),
        cmocka_unit_test(sessions_are_rounded_down_as_on_the_rest_of_the_page),
        cmocka_unit_test(a_run_without_a_base_compares_nothing),
        cmocka_unit_test(the_same_car_shows_no_rows),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
