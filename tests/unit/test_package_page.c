/* SPDX-License-Identifier: MIT */
/* The sections of the page that are not heat: pedal, balance, life, plan, weight, money. */
#include "study/session.h"
#include "support/page.h"
#include "support/told.h"

static mbl_trace *trace;
static mbl_run *run;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_harrow_vale, 3);
    run = told_run_of(trace, &(told){.changes = "{ pedal: { ratio: 5.2, distribution: bar,"
                                                "  balance: 0.62, effort_limit: 700 N,"
                                                "  master: { front: 19 mm, rear: 17.8 mm } },"
                                                "  tyre: { grip: 1.3 } }",
                                     .stint = "{ out: 1, hot: 3, cool: 1, park: 5 min }",
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

/* The page with its line breaks and runs of blanks made one blank; the caller frees it. */
static char *flat_page(const mbl_run *of, mbl_units_system units)
{
    char *page = page_of(of, units);
    size_t n = 0;
    for (const char *at = page; *at != '\0'; at++) {
        char c = *at == '\n' ? ' ' : *at;
        if (c == ' ' && n > 0 && page[n - 1] == ' ')
            continue;
        page[n++] = c;
    }
    page[n] = '\0';
    return page;
}

static void expect_flat(const mbl_run *of, const char *part)
{
    char *page = flat_page(of, MBL_UNITS_SI);
    assert_has(page, part);
    free(page);
}

static void pressures_of_both_axles_and_what_bears_them_are_rows(void **state)
{
    (void)state;
    run->pedal.pressure[0] = 6.2e6;
    run->pedal.pressure[1] = 4.3e6;
    run->pedal.panic[0] = 1.18e7;
    run->pedal.panic[1] = 8.2e6;
    run->pedal.rating[0] = 1.5e7;
    run->pedal.rating[1] = 1.4e7;
    expect_page(run, MBL_UNITS_SI,
                "  line pressure, hardest stop 62 bar                  43 bar\n");
    expect_page(run, MBL_UNITS_SI,
                "  in a panic stop (1330 N)    118 bar                 82 bar\n");
    expect_page(run, MBL_UNITS_SI,
                "  parts bear (not rated)      150 bar                 140 bar\n");
    run->setup.car.front.caliper.rating = run->setup.car.rear.caliper.rating = 1.5e7;
    expect_page(run, MBL_UNITS_SI,
                "  parts bear                  150 bar                 140 bar\n");
    /* 6.2 MPa / 6894.757 Pa, 1330 N / 4.448222 N: NIST SP 811, appendix B */
    expect_page(run, MBL_UNITS_US, "899 psi");
    expect_page(run, MBL_UNITS_US, "in a panic stop (299 lbf)");
}

static void effort_travel_and_knock_back_are_told_apart(void **state)
{
    (void)state;
    mbl_pedal_result *p = &run->pedal;
    p->lap = 3;
    p->effort = 412;
    p->run_out = INFINITY;
    p->shortfall = 0;
    p->with_vapour = 0.61;
    p->travel = (mbl_travel){.volume = {6e-6, 4e-6},
                             .gap = 5e-6,
                             .pads = 2e-6,
                             .calipers = 1.99e-6,
                             .hoses = 1e-6,
                             .fluid = 1e-8,
                             .pad = 0.0381,
                             .used = 0.61};
    p->knock_back = 0.0425;
    expect_flat(run, "Effort 412 N at the hardest stop, lap 3; the driver gives 700 N. ");
    expect_flat(run,
                "Travel 38.1 mm at the pad, 61 % of a master's stroke, at the hardest stop. The "
                "fluid it moves goes to: gaps 50 %, pads 20 %, calipers 20 %, hoses 10 %. ");
    expect_flat(run,
                "not in this figure: pads knocked back by 0.3 mm would add 42.5 mm at the pedal "
                "once, after kerbs, whatever the temperature.");
    p->run_out = 350;
    p->shortfall = 2e6;
    p->shortfall_lap = 2;
    expect_flat(run,
                "gives 700 N; the booster runs out at 350 N. Braking not done: 2.00 MJ, first on "
                "lap 2.");
    p->with_vapour = 0.84;
    expect_flat(run,
                "at the hardest stop; with the vapour of the fluid that boiled, 84 %. The fluid");
    p->with_vapour = 9416;
    expect_flat(run, "with the vapour of the fluid that boiled it goes to the floor. The fluid");
    /* 0.3 mm / 25.4 mm */
    expect_page(run, MBL_UNITS_US, "pads knocked back by 0.012 in");
    p->travel.vapour = 5e-6;
    expect_flat(run, ", vapour 50 %.");
    run->setup.car.pedal.knock_back = 5e-4;
    expect_flat(run, " in this figure: pads knocked back by 0.5 mm add 42.5 mm at the pedal once,");
}

static void balance_lock_and_bite_are_sentences(void **state)
{
    (void)state;
    mbl_balance_result *b = &run->balance;
    *b = (mbl_balance_result){.known = true,
                              .asked = 9.80665,
                              .front = 0.682,
                              .ideal = 0.661,
                              .grip = 11,
                              .lock = {.axle = 0, .deceleration = 10.787315},
                              .ahead = 0.012,
                              .ahead_grip = 0.5,
                              .bite = 0.72,
                              .turns = 1.54};
    expect_flat(run,
                "68.2 % of the braking is in front at the hardest stop; ideal at 1.00 g: 66.1 %. "
                "1.5 turns of the bar towards the front put the front 3 points ahead of ideal in "
                "every state looked at.");
    expect_flat(run,
                "Locks front axle first, at 1.10 g; the stint asks for 1.00 g. In the worst state "
                "looked at, with cold pads in the wet (50 % of the grip), the front has 1.2 points "
                "more than ideal at the first lock.");
    expect_no_page(run, "points more of the braking");
    expect_flat(run, "a stab of the pedal (4000 N/s) gets 72 % of what the car can do before");
    b->turns = NAN;
    b->ahead = -0.02;
    char *page = page_of(run, MBL_UNITS_SI);
    assert_null(strstr(page, "turns of the bar"));
    free(page);
    expect_flat(run, "the front has 2.0 points less than ideal");
    b->ahead = 0.158;
    expect_flat(run, "The front has at least 16 points more of the braking than ideal, where 2 to "
                     "5 are usual:");
    /* 4000 N/s / 4.448222 N */
    expect_page(run, MBL_UNITS_US, "(899 lbf/s)");
}

static void without_a_pedal_one_line_says_so(void **state)
{
    (void)state;
    mbl_run *plain = told_run(trace, "{ hot: 2 }", "{}");
    expect_flat(plain,
                "No pedal was given: both axles have the same line pressure, and effort, travel "
                "and bite are not judged.");
    expect_flat(plain, "Locks not judged: tyre.grip was not given.");
    static const char *const absent[] = {"parts bear", "Effort", "Travel", "Knock-back", "Bite"};
    for (size_t i = 0; i < sizeof absent / sizeof absent[0]; i++)
        expect_no_page(plain, absent[i]);
    mbl_run_free(plain);
}

static void what_is_used_up_is_counted_in_sessions(void **state)
{
    (void)state;
    run->axle[0].life = (mbl_life_result){.pad_now = 0.011,
                                          .pad_end = 0.01035,
                                          .pad_event = 0.0071,
                                          .pad_sessions = 9.29,
                                          .pad_sets = 1,
                                          .rotor_session = 2.5e-5,
                                          .rotor_sessions = INFINITY,
                                          .rotor_sets = 1,
                                          .cycles = 41,
                                          .crack = 3.14};
    run->axle[1].life = (mbl_life_result){.pad_now = 0.006,
                                          .pad_end = 0.0058,
                                          .pad_event = -0.001,
                                          .pad_sessions = 5000,
                                          .pad_sets = 2,
                                          .rotor_session = 1e-7,
                                          .rotor_sessions = INFINITY,
                                          .rotor_sets = 1};
    static const char *const rows[] = {
        "WHAT IT USES UP (one stint is a session; the event has 6)\n",
        "  pad in this stint           11.00 to 10.35 mm       6.00 to 5.80 mm\n",
        "  a set after the event       7.1 mm                  nothing left\n",
        "  from now a set lasts        9.2 sessions            over 1000 sessions\n",
        "  sets for the event          1                       2\n",
        "  rotor worn in a session     0.025 mm                under 0.001 mm\n",
        "  stops that strain the skin  41                      0\n",
        "  crack indicator             3.1                     0.0\n"};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        expect_page(run, MBL_UNITS_SI, rows[i]);
    expect_flat(run, "a ranking of rotors and duties, no life");
    expect_no_page(run, "rotors last"); /* no minimum was given */
    expect_no_page(run, "No budget");
    /* figures beyond what a law of wear knows: 11 mm over 5 mm are all that a new set has */
    run->axle[0].life.pad_sessions = 0.04;
    run->axle[0].life.pad_session = 0.012;
    run->axle[0].life.pad_sets = 68;
    run->axle[1].life.pad_sessions = 586.2;
    run->bill = (mbl_bill){.event = 4037.95};
    expect_page(run, MBL_UNITS_SI,
                "  from now a set lasts        under 0.1 sessions      some 580 sessions\n");
    expect_page(run, MBL_UNITS_SI, "  sets for the event          none lasts a session    2\n");
    expect_flat(run, "No budget: a set of pads does not last one session.");
}

static void the_plan_is_there_once_it_is_found(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_run *r = told_run(trace, "{ out: 1, hot: 3, cool: 1, park: 5 min }", "{}");
    expect_no_page(r, "SESSION PLAN");
    assert_ok(mbl_run_plan(r, &err), err);
    *r->plan = (mbl_session_plan){
        .known = true,
        .cool = 2,
        .cool_known = true,
        .gap = 35 * 60,
        .skip_fluid = {{.T = 454.15}, {.T = 393.15}},
        .skip_margin = -6,
        .worst = MBL_FAILS,
        .worst_check = {.kind = MBL_CHECK_FLUID, .axle = 0, .margin = -18, .verdict = MBL_FAILS}};
    r->reach = (mbl_reach){.known = true, .hot_laps = 3, .holds = 9};
    expect_flat(r,
                "SESSION PLAN Hot laps 9 in a row hold by temperature. Cool-down 2 laps before "
                "parking, or a limit is passed on the stand. Skipped the fluid reaches 181 C front "
                "and 120 C rear when parked, 6 K above the boiling point that judges. Gap 35 min "
                "parked, and the same stint again passes no limit of temperature. Worst");
    expect_flat(r, "Worst line a day 10 K hotter, pads worn to their end, no cool-down lap: fails; "
                   "tightest is the front fluid, 18 K past its limit.");
    r->plan->cool = 0;
    r->plan->gap = NAN;
    r->plan->skip_margin = 12;
    r->plan->worst = MBL_HOLDS;
    r->plan->worst_check.margin = 40;
    expect_flat(r, "Cool-down none needed:");
    expect_flat(r, "12 K below the boiling point");
    expect_flat(r, "Gap no stand up to 2 h 00 min is enough: the same stint again passes a limit");
    expect_flat(r, "holds; tightest is the front fluid, 40 K left.");
    r->plan->cool_known = false;
    expect_flat(r, "Cool-down no number of laps up to 5 is enough:");
    r->plan->known = false;
    expect_no_page(r, "SESSION PLAN");
    mbl_run_free(r);
}

static void weight_is_there_and_money_only_with_a_price(void **state)
{
    (void)state;
    run->weights = (mbl_weights){.rotor = {9.1, 8.3},
                                 .pads = {1.2, 0.8},
                                 .caliper = {3.4, 2.3},
                                 .duct = {0.5, 0},
                                 .unsprung = 51.2,
                                 .equivalent = 6.42};
    run->bill = (mbl_bill){0};
    expect_page(run, MBL_UNITS_SI, "\nWEIGHT\n");
    expect_page(run, MBL_UNITS_SI,
                "  all of it                   14.2 kg                 11.4 kg\n");
    expect_page(run, MBL_UNITS_US, "31.3 lb"); /* 14.2 kg / 0.45359237 kg */
    expect_flat(run, "51.2 kg of brakes on four wheels; the rotors' turning weighs as 6.4 kg more");
    expect_no_page(run, "Parts ");
    run->bill = (mbl_bill){.parts = 1240,
                           .labour = 300,
                           .event = 410.5,
                           .pads_event = 200,
                           .rotors_event = 80.5,
                           .fluid_event = 130,
                           .unpriced = 2};
    expect_page(run, MBL_UNITS_SI, "\nWEIGHT AND MONEY\n");
    expect_flat(run,
                "Parts 1240.00, and 300.00 of labour to fit all of it; 2 parts without a price, "
                "not in it. Event 410.50 used up by the event: pads 200.00, rotors 80.50, "
                "bleeding 130.00.");
}

static void a_ring_that_does_not_go_with_its_size_is_worth_knowing(void **state)
{
    (void)state;
    run->weights.ring_off[0] = 0.19;
    run->weights.ring_off[1] = -0.19;
    expect_no_page(run, "a ring of its size does");
    run->weights.ring_off[0] = 0.25; /* 7.9 kg over 6.32 kg */
    expect_flat(run,
                "The front ring weighs 25 % more than a ring of its size does (7.9 kg, where 6.3 "
                "kg is usual)");
    run->weights.ring_off[1] = -0.3;
    expect_flat(run, "The rear ring weighs 30 % less");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pressures_of_both_axles_and_what_bears_them_are_rows),
        cmocka_unit_test(effort_travel_and_knock_back_are_told_apart),
        cmocka_unit_test(balance_lock_and_bite_are_sentences),
        cmocka_unit_test(without_a_pedal_one_line_says_so),
        cmocka_unit_test(what_is_used_up_is_counted_in_sessions),
        cmocka_unit_test(the_plan_is_there_once_it_is_found),
        cmocka_unit_test(weight_is_there_and_money_only_with_a_price),
        cmocka_unit_test(a_ring_that_does_not_go_with_its_size_is_worth_knowing),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
