/* SPDX-License-Identifier: MIT */
/* The page of a run: its width, its first line, its words. */
#include "support/page.h"
#include "support/test_alloc.h"
#include "support/told.h"

static mbl_trace *trace;

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

static void expect_first_line(const mbl_run *run, const char *line)
{
    char *page = page_of(run, MBL_UNITS_SI);
    char *end = strchr(page, '\n');
    assert_non_null(end);
    *end = '\0';
    assert_string_equal(page, line);
    free(page);
}

static void no_line_is_longer_than_79_columns_whatever_is_run(void **state)
{
    (void)state;
    static const struct {
        const char *stint, *limits;
    } cases[] = {
        {"{ out: 1, hot: 6, cool: 1, park: 10 min, ambient: 32 C }", "{}"},
        {"{ hot: 1, pace: { hot: 0.4 } }", "{}"},
        {"{ logged: true, altitude: 2400 m }", "{ rotor: 200 C, caliper: 100 C }"},
        {"[[out], [hot], [hot], [traffic], [hot], [in]]", "{}"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        mbl_run *run = told_run(trace, cases[i].stint, cases[i].limits);
        for (int units = 0; units < 2; units++) {
            char *page = page_of(run, (mbl_units_system)units);
            check_shape(page);
            free(page);
        }
        /* a file name longer than a line, and not ASCII */
        memset(run->setup.course.file, 'x', 200);
        memcpy(run->setup.course.file + 100, "\xC3\xA9", 2);
        char *page = page_of(run, MBL_UNITS_SI);
        check_shape(page);
        assert_has(page, "x?x");
        free(page);
        mbl_run_free(run);
    }
}

static void no_line_of_a_whole_package_is_longer_either(void **state)
{
    (void)state;
    static const told cases[] = {
        {.changes = "{ pedal: { ratio: 5.2, distribution: bar, balance: 0.62, master: { front: 19 "
                    "mm, rear: 17.8 mm, cost: 210.55, labour: 2 h } }, tyre: { grip: 1.3 }, found: "
                    "[soft pedal, worn pad, sticking piston], fluid: { cost: 95.5, labour: 1 h },"
                    " front: { rotor: { minimum: 30 mm, cost: 1234.5 }, pad: { cost: 412 } } }",
         .stint = "{ out: 1, hot: 1, cool: 1, park: 3 min }",
         .event = "{ sessions: 120, labour_rate: 85 }",
         .base = "{ fluid: { wet: 190 C } }"},
        {.changes = "{ pedal: { ratio: 9, effort_limit: 150 N, master: { bore: 11 mm }, booster: {"
                    " gain: 2 } }, tyre: { grip: 0.5 }, abs: true }",
         .stint = "{ hot: 1 }",
         .limits = "{ rotor: 150 C, caliper: 80 C, panic: 3000 N }"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        mbl_error err = {0};
        mbl_run *run = told_run_of(trace, &cases[i]);
        assert_ok(mbl_run_plan(run, &err), err);
        if (i == 0)
            assert_ok(mbl_run_doubt(run, &err), err);
        for (int units = 0; units < 2; units++) {
            char *page = page_of(run, (mbl_units_system)units);
            check_shape(page);
            free(page);
        }
        mbl_run_free(run);
    }
}

static void every_row_of_the_limits_has_its_own_unit(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 2 }", "{}");
    run->nchecks = 0;
#define ROW(...) run->checks[run->nchecks++] = (mbl_check){__VA_ARGS__}
    ROW(.kind = MBL_CHECK_ROTOR, .peak = {873.15, 0, 2, false}, .limit = 973.15, .margin = 100,
        .band = 75);
    ROW(.kind = MBL_CHECK_EFFORT, .axle = MBL_WHOLE_CAR, .peak = {600, 0, 1, false}, .limit = 670,
        .margin = 70, .band = 80, .verdict = MBL_MARGINAL);
    ROW(.kind = MBL_CHECK_PANIC, .axle = 1, .peak = {1.2e7, 0, 1, false}, .limit = 1.5e7,
        .margin = 3e6, .band = 1.5e6);
    ROW(.kind = MBL_CHECK_THIN, .peak = {0.03185, 0, 2, false}, .limit = 0.03, .margin = 0.00185,
        .band = 2e-4);
    ROW(.kind = MBL_CHECK_GRIP, .axle = MBL_WHOLE_CAR, .peak = {9.80665, 0, 2, false},
        .limit = 11.76798, .margin = 1.96133, .band = 0.3);
    ROW(.kind = MBL_CHECK_BALANCE, .axle = MBL_WHOLE_CAR, .peak = {0.031, 0, 0, false},
        .margin = 0.031, .band = 0.02);
    /* no less than nothing is left */
    ROW(.kind = MBL_CHECK_WORN, .peak = {-0.4581, 0, 2, false}, .limit = 0.005, .margin = -0.4631,
        .band = 1e-3, .verdict = MBL_FAILS);
    expect_no_page(run, "Never worse than marginal");
    ROW(.kind = MBL_CHECK_COLD, .axle = 1, .peak = {368.15, 0, 2, false}, .limit = 373.15,
        .margin = -5, .band = 30, .verdict = MBL_MARGINAL);
#undef ROW
    static const char *const si[] = {
        "  front rotor core       600   700    100    75 C    holds    lap 2\n",
        "  pedal effort           600   670     70    80 N    marginal lap 1\n",
        "  rear panic pressure    120   150     30    15 bar  holds    panic stop\n",
        "  front rotor wear     31.85 30.00   1.85  0.20 mm   holds    after the event\n",
        "  grip                  1.00  1.20   0.20  0.03 g    holds    lap 2\n",
        "  balance                3.1   0.0    3.1   2.0 %    holds    cold pads\n",
        "  front pad wear         0.0   5.0   -5.0   1.0 mm   fails    after the event\n",
        "  rear cold pad           95   100     -5    30 C    marginal lap 2\n",
        "Never worse than marginal: cold pads,"};
    for (size_t i = 0; i < sizeof si / sizeof si[0]; i++)
        expect_page(run, MBL_UNITS_SI, si[i]);
    expect_page(run, MBL_UNITS_SI, "Margins and bands of temperatures are in K.");
    /* 600 C = 1112 F, 100 K = 180 F, 670 N = 150.6 lbf, 15 MPa = 2176 psi, 30 mm = 1.181 in */
    expect_page(run, MBL_UNITS_US, " 1112  1292    180   135 F ");
    expect_page(run, MBL_UNITS_US, "  135   151     16    18 lbf  marginal");
    expect_page(run, MBL_UNITS_US, " 1740  2176    435   218 psi ");
    expect_page(run, MBL_UNITS_US, "1.254 1.181  0.073 0.008 in ");
    mbl_run_free(run);
}

static void the_first_line_names_axle_part_limit_and_lap(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ out: 1, hot: 4 }", "{ rotor: 400 C }");
    const mbl_check *c = &run->checks[0];
    assert_int_equal(run->verdict, MBL_FAILS);
    assert_int_equal(c->kind, MBL_CHECK_ROTOR);
    assert_true(c->passing.lap >= 2);
    char line[128];
    snprintf(line, sizeof line, "FAILS: front rotor core passes its limit on lap %d (hot lap %d)",
             c->passing.lap, c->passing.lap - 1);
    expect_first_line(run, line);
    mbl_run_free(run);
}

static void a_limit_passed_only_while_parked_says_how_long_after_the_stop(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 2, park: 10 min }", "{}");
    run->verdict = MBL_FAILS;
    mbl_check *c = &run->checks[0];
    *c = (mbl_check){.kind = MBL_CHECK_FLUID,
                     .axle = 0,
                     .verdict = MBL_FAILS,
                     .passing = {.parked = 372},
                     .margin = -5};
    expect_first_line(
        run, "FAILS: front fluid passes its wet boiling point, parked, 6 min after the stop");
    run->setup.stint.judge = MBL_JUDGE_PRESENT;
    c->axle = 1;
    c->passing.parked = 0;
    char *page = page_of(run, MBL_UNITS_SI);
    assert_has(page, "FAILS: rear fluid passes its boiling point as it is now, as soon as it is");
    free(page);
    c->passing = (mbl_passing){.lap = 2, .parked = 0};
    run->setup.stint.judge = MBL_JUDGE_LESSER;
    expect_first_line(run,
                      "FAILS: rear fluid passes its wet boiling point on lap 2 and while parked");
    mbl_run_free(run);
}

static void everything_else_that_fails_is_named_beside_it(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 3 }", "{ rotor: 150 C }");
    char *page = page_of(run, MBL_UNITS_SI);
    assert_has(page, "FAILS: front rotor core");
    assert_has(page, "Also passed:");
    assert_has(page, "rear rotor core");
    free(page);
    mbl_run_free(run);
}

static void a_margin_inside_its_band_is_said_in_the_unit_of_the_page(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 2 }", "{}");
    run->verdict = MBL_MARGINAL;
    run->checks[0] = (mbl_check){.kind = MBL_CHECK_PAD,
                                 .axle = 1,
                                 .verdict = MBL_MARGINAL,
                                 .margin = 20,
                                 .peak = {.T = 900, .lap = 2},
                                 .passing = {.parked = NAN}};
    expect_first_line(
        run, "MARGINAL: rear pad face comes within 20 K of the top of its window on lap 2");
    char *page = page_of(run, MBL_UNITS_US);
    assert_has(page, "within 36 F of"); /* 20 K x 9/5 */
    free(page);
    run->verdict = MBL_HOLDS;
    expect_page(run, MBL_UNITS_SI,
                "HOLDS: closest is the rear pad face, at its hottest 20 K below");
    mbl_run_free(run);
}

static void the_reach_is_a_sentence_for_every_way_it_can_end(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 2 }", "{}");
    run->drive->route->plan.hot_laps = 12;
    static const struct {
        mbl_reach reach;
        const char *words;
    } cases[] = {
        {{.known = false}, "No hot laps in this stint"},
        {{true, 12, 9, false, MBL_CHECK_FLUID, 0, true},
         "Hot laps that hold: 9 of 12 asked; with the 10th the front fluid passes its wet\n"
         "  boiling point while parked."},
        {{true, 12, 12, false, MBL_CHECK_PAD, 1, false},
         "all 12 asked, and no more; with the 13th the rear pad face\n"
         "  passes the top of its window."},
        {{true, 12, 21, false, MBL_CHECK_CALIPER, 0, true},
         "all 12 asked, and 9 more; with the 22nd the front caliper\n"
         "  passes its limit while parked."},
        {{true, 12, 0, false, MBL_CHECK_ROTOR, 0, false},
         "none of 12 asked; the front rotor core passes its limit."},
        {{true, 12, 72, true, MBL_CHECK_ROTOR, 0, false},
         "all 12 asked. None of the limits is passed in 60 more."},
        {{true, 4, 64, true, MBL_CHECK_ROTOR, 0, false}, "all 4 asked in the last run of them"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        run->reach = cases[i].reach;
        expect_page(run, MBL_UNITS_SI, cases[i].words);
    }
    mbl_run_free(run);
}

static void pads_are_below_inside_or_above_their_window_in_words(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 2 }", "{}");
    /* window of both pads: 150 to 700 C */
    run->axle[0].peak[MBL_PAD_FACE].T = 273.15 + 149;
    run->axle[1].peak[MBL_PAD_FACE].T = 273.15 + 701;
    char *page = page_of(run, MBL_UNITS_SI);
    assert_has(page, "below, never warm       above, too hot");
    assert_has(page, "150 to 700              150 to 700");
    free(page);
    run->axle[0].peak[MBL_PAD_FACE].T = 273.15 + 151;
    expect_page(run, MBL_UNITS_SI, "inside                  above, too hot");
    expect_page(run, MBL_UNITS_US, "302 to 1292"); /* 150 C, 700 C */
    mbl_run_free(run);
}

static void fluid_shows_when_it_peaked_parked_and_which_point_counts(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 3, park: 12 min }", "{}");
    const mbl_leg_result *park = &run->legs[run->nlegs - 1];
    assert_int_equal(park->leg.kind, MBL_LEG_PARK);
    mbl_peak *p = &run->axle[0].parked[MBL_FLUID];
    p->T = 273.15 + 178;
    p->at = park->report.start + 300;
    run->axle[1].parked[MBL_FLUID].T = 0;
    expect_page(run, MBL_UNITS_SI, "178  after 5 min        never parked");
    expect_page(run, MBL_UNITS_SI, "boils with 1 % water at");
    char *page = page_of(run, MBL_UNITS_SI);
    const char *wet = strstr(page, "margin to wet point");
    assert_non_null(wet);
    const char *now = strstr(page, "margin to point as it is");
    assert_non_null(now);
    const char *counts = strstr(page, "this one counts");
    assert_true(counts > wet && counts < now);
    free(page);
    mbl_run_free(run);
}

static void the_assumptions_that_move_the_limiting_margin_are_shown(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ out: 1, hot: 3 }", "{}");
    mbl_error err = {0};
    assert_ok(mbl_run_doubt(run, &err), err);
    assert_int_equal(run->ndoubtful, MBL_DOUBTFUL_SHOWN);
    for (int i = 0; i < run->ndoubtful; i++) {
        const mbl_doubtful *d = &run->doubtful[i];
        double weight = fmax(fabs(d->at_low), fabs(d->at_high));
        assert_true(d->low < d->high && weight > 0);
        /* of the coupe these are given, so they are in no doubt */
        assert_string_not_equal(d->path, "car.fluid.water");
        assert_string_not_equal(d->path, "car.aero.drag_area");
        if (i > 0) {
            const mbl_doubtful *before = d - 1;
            assert_true(weight <= fmax(fabs(before->at_low), fabs(before->at_high)));
        }
    }
    char *page = page_of(run, MBL_UNITS_SI);
    const char *path = run->doubtful[0].path + strlen("car.");
    assert_has(page, path);
    assert_has(page, "inputs were not given; all are in the .json");
    free(page);
    /* 0.4 m/s2 / 9.80665 m/s2; a range has one unit, and three figures are enough for a guess */
    mbl_doubtful *d = &run->doubtful[0];
    static const mbl_field braking = {.quantity = MBL_Q_ACCELERATION};
    snprintf(d->path, sizeof d->path, "car.engine_braking");
    d->field = &braking;
    d->value = 0.4;
    d->low = 0.2;
    d->high = 0.8;
    d->at_low = -23.4;
    d->at_high = 31.6;
    expect_page(run, MBL_UNITS_US,
                "  engine_braking                   0.0408 g   0.0204 to 0.0816 -42 to +57\n");
    snprintf(d->path, sizeof d->path, "car.front/rear.rotor.face_emissivity");
    expect_page(run, MBL_UNITS_SI,
                "  front/rear.rotor.face_emissivity 0.4 m/s2   0.2 to 0.8       -23 to +32\n");
    mbl_node *tree = run->tree;
    run->tree = NULL;
    expect_page(run, MBL_UNITS_SI, "Not listed: this run was made without a script.");
    run->tree = tree;
    mbl_run_free(run);
}

static void the_energy_of_a_hot_lap_is_shared_over_the_mass_of_that_lap(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 3 }", "{}");
    run->hot_energy = 4.2e6;
    run->setup.car.mass = 1300;
    run->setup.car.fuel.start = 102;
    run->setup.car.fuel.per_lap = 1;
    /* third lap: 1300 + 102 - 2 = 1400 kg; 4.2 MJ over it is 3 kJ/kg */
    expect_page(run, MBL_UNITS_SI, "4.20 MJ in a hot lap (3.00 kJ/kg of car)");
    expect_page(run, MBL_UNITS_SI, "1402 kg at the start, of it 102 kg fuel");
    mbl_run_free(run);
}

static void the_page_ends_with_what_it_cannot_know(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 1 }", "{}");
    char *page = page_of(run, MBL_UNITS_SI);
    assert_has(page, "Left and right brakes are the same.");
    assert_null(strstr(page, "not yet modelled"));
    assert_has(page, "an estimate, not a certificate");
    assert_has(page, "cracks, leaks");
    assert_has(page, "test the pedal before every session");
    assert_has(page, "do not hold the pedal at rest, and do not set the");
    assert_has(page, "qualified people");
    free(page);
    mbl_run_free(run);
}

static void running_out_of_memory_is_remembered_by_the_page(void **state)
{
    (void)state;
    mbl_run *run = told_run(trace, "{ hot: 1 }", "{}");
    bool whole = false;
    for (size_t fail_at = 1; !whole && fail_at < 1000; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_text text;
        mbl_text_init(&text, &t.alloc);
        mbl_out_run(run, MBL_UNITS_SI, &text);
        whole = t.calls < fail_at;
        assert_int_equal(text.failed, !whole);
        mbl_text_free(&text);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
    }
    assert_true(whole);
    mbl_run_free(run);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_line_is_longer_than_79_columns_whatever_is_run),
        cmocka_unit_test(no_line_of_a_whole_package_is_longer_either),
        cmocka_unit_test(every_row_of_the_limits_has_its_own_unit),
        cmocka_unit_test(the_first_line_names_axle_part_limit_and_lap),
        cmocka_unit_test(a_limit_passed_only_while_parked_says_how_long_after_the_stop),
        cmocka_unit_test(everything_else_that_fails_is_named_beside_it),
        cmocka_unit_test(a_margin_inside_its_band_is_said_in_the_unit_of_the_page),
        cmocka_unit_test(the_reach_is_a_sentence_for_every_way_it_can_end),
        cmocka_unit_test(pads_are_below_inside_or_above_their_window_in_words),
        cmocka_unit_test(fluid_shows_when_it_peaked_parked_and_which_point_counts),
        cmocka_unit_test(the_assumptions_that_move_the_limiting_margin_are_shown),
        cmocka_unit_test(the_energy_of_a_hot_lap_is_shared_over_the_mass_of_that_lap),
        cmocka_unit_test(the_page_ends_with_what_it_cannot_know),
        cmocka_unit_test(running_out_of_memory_is_remembered_by_the_page),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
