/* SPDX-License-Identifier: MIT */
/* The first sentence of a run, for every kind of check and every verdict. */
#include "out/table.h"
#include "out/words.h"
#include "support/told.h"

static mbl_trace *trace;
static mbl_run *run;

/* A run of everything, whose checks the tests then put in place of those it had. */
static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 3);
    run = told_run_of(trace, &(told){.changes = "{ pedal: { ratio: 5.2, distribution: bar,"
                                                "  balance: 0.62, effort_limit: 700 N,"
                                                "  master: { front: 19 mm, rear: 17.8 mm } },"
                                                "  tyre: { grip: 1.3 }, found: [crack, leak] }",
                                     .stint = "{ out: 1, hot: 3 }",
                                     .event = "{ sessions: 6 }"});
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_run_free(run);
    mbl_trace_drop(trace);
    return 0;
}

static void expect(mbl_verdict verdict, mbl_check check, const char *sentence)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    check.verdict = verdict;
    run->checks[0] = check;
    run->nchecks = 1;
    run->verdict = verdict;
    mbl_words_verdict(run, MBL_UNITS_SI, &text);
    assert_string_equal(mbl_text_get(&text), sentence);
    mbl_text_free(&text);
}

static void pads_and_rotors_wear_out_by_sessions(void **state)
{
    (void)state;
    mbl_check c = {.kind = MBL_CHECK_WORN, .axle = 0, .limit = 0.005, .margin = -0.002};
    run->axle[0].life.pad_now = 0.004;
    expect(MBL_FAILS, c,
           "FAILS: front pads are worn out before the start: 4.0 mm now, changed at 5.0 mm");
    run->axle[0].life.pad_now = 0.011;
    run->axle[0].life.pad_sessions = 3.49;
    expect(MBL_FAILS, c,
           "FAILS: front pads wear out: a set lasts 3.4 of 6 sessions until they are changed at "
           "5.0 mm");
    run->axle[0].life.pad_sessions = 0.04;
    expect(MBL_FAILS, c,
           "FAILS: front pads wear out: a set lasts not a tenth of 6 sessions until they are "
           "changed at 5.0 mm");
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_out_tightest(run, MBL_UNITS_SI, &text);
    assert_string_equal(mbl_text_get(&text),
                        "front pad wear, a set lasts not a tenth of 6 sessions");
    mbl_text_free(&text);
    c.margin = 0.0006;
    expect(MBL_MARGINAL, c,
           "MARGINAL: front pads end the event 0.6 mm above the 5.0 mm they are changed at");
    c.margin = 0.0061;
    expect(MBL_HOLDS, c,
           "HOLDS: closest is the front pad wear: front pads end the event 6.1 mm above the 5.0 mm "
           "they are changed at");
    c = (mbl_check){.kind = MBL_CHECK_THIN, .axle = 1, .limit = 0.026, .margin = -1e-4};
    run->axle[1].life.rotor_sessions = 5.2;
    expect(MBL_FAILS, c,
           "FAILS: rear rotors wear out: they last 5.2 of 6 sessions until their minimum of 26.00 "
           "mm");
    c.margin = 1.5e-4;
    expect(MBL_MARGINAL, c,
           "MARGINAL: rear rotors end the event 0.15 mm above their minimum of 26.00 mm");
}

static void effort_is_a_shortfall_with_its_first_lap(void **state)
{
    (void)state;
    mbl_check c = {.kind = MBL_CHECK_EFFORT,
                   .axle = MBL_WHOLE_CAR,
                   .limit = 670,
                   .margin = -150,
                   .peak = {820, 0, 4, false}};
    run->pedal.lap = 4;
    run->pedal.shortfall = 1.254e6;
    run->pedal.shortfall_lap = 2;
    expect(MBL_FAILS, c,
           "FAILS: the pedal asks for 820 N on lap 4 (hot lap 3), and the driver gives 670 N; 1.25 "
           "MJ of braking is not done, first on lap 2 (hot lap 1). What is above the effort is "
           "braking not done; peaks on this page are for the full demand");
    c.peak.T = 640;
    c.margin = 30;
    expect(MBL_MARGINAL, c,
           "MARGINAL: the pedal asks for 640 N on lap 4 (hot lap 3), 30 N below the 670 N that the "
           "driver gives");
}

static void travel_bottoms_and_names_vapour(void **state)
{
    (void)state;
    mbl_check c = {.kind = MBL_CHECK_TRAVEL,
                   .axle = MBL_WHOLE_CAR,
                   .limit = 1,
                   .margin = -0.18,
                   .peak = {1.18, 0, 3, false}};
    run->pedal.lap = 3;
    expect(MBL_FAILS, c,
           "FAILS: the pedal bottoms: the hardest stop needs 118 % of a master's stroke on lap 3 "
           "(hot lap 2)");
    run->pedal.travel.used = 1.18;
    run->pedal.with_vapour = 2.4; /* how far below the floor says nothing */
    expect(MBL_FAILS, c,
           "FAILS: the pedal bottoms: the hardest stop needs 118 % of a master's stroke on lap 3 "
           "(hot lap 2); with the vapour of boiled fluid it goes to the floor");
    run->pedal.travel.used = c.peak.T = 0.78;
    run->pedal.with_vapour = 0.91;
    c.margin = 0.22;
    expect(MBL_MARGINAL, c,
           "MARGINAL: the pedal has 22 % of a master's stroke left at the hardest stop on lap 3 "
           "(hot lap 2); with the vapour of boiled fluid it would need 91 %");
    run->pedal.with_vapour = 0.78;
    expect(MBL_MARGINAL, c,
           "MARGINAL: the pedal has 22 % of a master's stroke left at the hardest stop on lap 3 "
           "(hot lap 2)");
}

static void panic_pressure_is_held_against_what_bears_it(void **state)
{
    (void)state;
    mbl_check c = {.kind = MBL_CHECK_PANIC,
                   .axle = 0,
                   .limit = 1.5e7,
                   .margin = -3.2e6,
                   .peak = {.T = 1.82e7}};
    expect(MBL_FAILS, c,
           "FAILS: a panic stop (1330 N) puts 182 bar on the front lines, and their parts bear 150 "
           "bar");
    c.peak.T = 1.4e7;
    c.margin = 1e6;
    expect(MBL_MARGINAL, c,
           "MARGINAL: a panic stop (1330 N) puts 140 bar on the front lines, 10 bar below what "
           "their parts bear");
}

static void grip_names_the_axle_that_locks_or_the_tyres(void **state)
{
    (void)state;
    mbl_check c = {.kind = MBL_CHECK_GRIP,
                   .axle = MBL_WHOLE_CAR,
                   .limit = 1.1 * 9.80665,
                   .margin = -0.2 * 9.80665,
                   .peak = {.T = 1.3 * 9.80665}};
    run->balance.lap = 2;
    run->balance.lock.axle = 0;
    expect(MBL_FAILS, c,
           "FAILS: the stint asks for 1.30 g on lap 2 (hot lap 1), and the front axle locks at "
           "1.10 g");
    run->setup.car.abs = true;
    expect(MBL_FAILS, c,
           "FAILS: the stint asks for 1.30 g on lap 2 (hot lap 1), and the tyres give 1.10 g");
    run->setup.car.abs = false;
    c.peak.T = 1.08 * 9.80665;
    c.margin = 0.02 * 9.80665;
    expect(MBL_MARGINAL, c,
           "MARGINAL: the stint asks for 1.08 g on lap 2 (hot lap 1), 0.02 g below where the front "
           "axle locks");
}

static void balance_names_the_axle_and_the_state(void **state)
{
    (void)state;
    mbl_check c = {.kind = MBL_CHECK_BALANCE, .axle = MBL_WHOLE_CAR, .margin = -0.031};
    run->balance.ahead_lap = 0;
    run->balance.ahead_grip = 0.5;
    expect(MBL_FAILS, c,
           "FAILS: the rear axle locks before the front with cold pads in the wet (50 % of the "
           "grip): the front has 3.1 points less of the braking than ideal");
    run->balance.ahead_lap = 3;
    run->balance.ahead_grip = 1;
    run->setup.car.abs = true;
    expect(MBL_MARGINAL, c,
           "MARGINAL: the rear axle locks before the front with the pads as on lap 3 in the dry: "
           "the front has 3.1 points less of the braking than ideal, and ABS has to hold the car "
           "straight");
    run->setup.car.abs = false;
    c.margin = 0.012;
    expect(MBL_MARGINAL, c,
           "MARGINAL: the front axle locks only just before the rear with the pads as on lap 3 in "
           "the dry: the front has 1.2 points more of the braking than ideal");
}

static void bite_says_that_lock_up_comes_early(void **state)
{
    (void)state;
    mbl_check c = {.kind = MBL_CHECK_BITE,
                   .axle = MBL_WHOLE_CAR,
                   .limit = 0.5,
                   .margin = -0.08,
                   .peak = {.T = 0.42}};
    expect(MBL_FAILS, c,
           "FAILS: a stab of the pedal locks the front at 42 % of what the car can do: ABS or "
           "lock-up comes early");
    c.peak.T = 0.9;
    c.margin = 0.4;
    expect(MBL_HOLDS, c,
           "HOLDS: closest is the bite: a stab of the pedal locks the front at 90 % of "
           "what the car can do");
}

static void what_was_found_comes_before_every_figure(void **state)
{
    (void)state;
    run->checks[1] = (mbl_check){
        .kind = MBL_CHECK_FOUND, .axle = MBL_WHOLE_CAR, .verdict = MBL_FAILS, .margin = -2};
    run->checks[0] = (mbl_check){.kind = MBL_CHECK_ROTOR,
                                 .axle = 0,
                                 .verdict = MBL_FAILS,
                                 .margin = -300,
                                 .passing = {.lap = 2, .parked = NAN}};
    run->checks[2] =
        (mbl_check){.kind = MBL_CHECK_WORN, .axle = 1, .verdict = MBL_FAILS, .margin = -0.001};
    run->nchecks = 3;
    run->verdict = MBL_FAILS;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_words_verdict(run, MBL_UNITS_SI, &text);
    assert_string_equal(mbl_text_get(&text),
                        "FAILS: crack and leak found: stop; no figure replaces an inspection. Also "
                        "passed: front rotor core on lap 2 (hot lap 1); rear pad wear");
    mbl_text_free(&text);
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_out_tightest(run, MBL_UNITS_SI, &text);
    assert_string_equal(mbl_text_get(&text), "inspection, crack and leak found");
    mbl_text_free(&text);
    assert_ptr_equal(mbl_words_limiting(run), &run->checks[0]);
}

static void expect_tightest(mbl_check check, const char *words)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    run->checks[0] = check;
    run->nchecks = 1;
    mbl_out_tightest(run, MBL_UNITS_SI, &text);
    assert_string_equal(mbl_text_get(&text), words);
    mbl_text_free(&text);
}

static void a_note_names_the_check_its_margin_and_its_side(void **state)
{
    (void)state;
    expect_tightest((mbl_check){.kind = MBL_CHECK_ROTOR, .axle = 0, .margin = -14},
                    "front rotor, 14 K above its limit");
    expect_tightest((mbl_check){.kind = MBL_CHECK_COLD, .axle = 1, .margin = -14},
                    "rear cold pad, 14 K below its limit");
    expect_tightest((mbl_check){.kind = MBL_CHECK_WORN, .axle = 1, .margin = 0.0004},
                    "rear pad wear, 0.4 mm above its limit");
    expect_tightest((mbl_check){.kind = MBL_CHECK_EFFORT, .axle = MBL_WHOLE_CAR, .margin = -150.4},
                    "pedal effort, 150 N above its limit");
    expect_tightest((mbl_check){.kind = MBL_CHECK_BITE, .axle = MBL_WHOLE_CAR, .margin = 0.1},
                    "bite, 10 % above its limit");
}

static void laps_are_said_to_be_of_temperature_alone_when_something_else_fails(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    run->checks[0] = (mbl_check){
        .kind = MBL_CHECK_EFFORT, .axle = MBL_WHOLE_CAR, .verdict = MBL_FAILS, .margin = -1};
    run->nchecks = 1;
    run->reach = (mbl_reach){true, 3, 63, true, MBL_CHECK_ROTOR, 0, false};
    mbl_words_reach(run, &text);
    assert_has(mbl_text_get(&text), "Hot laps that hold by temperature alone: all 3 asked");
    mbl_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pads_and_rotors_wear_out_by_sessions),
        cmocka_unit_test(effort_is_a_shortfall_with_its_first_lap),
        cmocka_unit_test(travel_bottoms_and_names_vapour),
        cmocka_unit_test(panic_pressure_is_held_against_what_bears_it),
        cmocka_unit_test(grip_names_the_axle_that_locks_or_the_tyres),
        cmocka_unit_test(balance_names_the_axle_and_the_state),
        cmocka_unit_test(bite_says_that_lock_up_comes_early),
        cmocka_unit_test(what_was_found_comes_before_every_figure),
        cmocka_unit_test(a_note_names_the_check_its_margin_and_its_side),
        cmocka_unit_test(laps_are_said_to_be_of_temperature_alone_when_something_else_fails),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
