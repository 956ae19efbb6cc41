/* SPDX-License-Identifier: MIT */
/* What a shortlist counts, refuses and takes as the same, whatever is cheapest. */
#include "support/coupe.h"
#include "support/session.h"
#include "support/shelf.h"
#include "support/test.h"
#include "support/test_alloc.h"

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

/* What is compared here is one list with another, so the figures of a choice are enough. */
static void assert_same(const mbl_choice *got, const mbl_choice *want)
{
    assert_int_equal(got->number, want->number);
    assert_near(got->event, want->event, 0);
    assert_near(got->closest, want->closest, 0);
}

static void the_list_and_its_counts_are_the_same_with_any_number_of_workers(void **state)
{
    (void)state;
    test_shelf_begin(at, trace, "{ out: 1, hot: 2, cool: 1, park: 5 min, ambient: 30 C }");
    test_shelf_fill(at);
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

static void a_step_up_is_the_next_that_leaves_more(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
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
        test_shelf_begin(at, trace, "{ hot: 1 }");
        mbl_slot *s = test_shelf_slot(at, MBL_SLOT_FRONT_ROTOR);
        test_shelf_add(at, s, TEST_RING("diameter: 370 mm, thickness: 34 mm, ring_mass: 10 kg"));
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
    test_shelf_begin(at, trace, "{ hot: 1 }");
    mbl_slot *s = test_shelf_slot(at, MBL_SLOT_FRONT_PAD);
    /* taller than the ring of the rotor that is there is deep */
    test_shelf_add(at, s,
                   "{ area: 90 cm2, height: 80 mm, thickness: 16 mm, " TEST_FRICTION
                   ", window: [60 C, 800 C] }");
    mbl_shortlist list = run();
    assert_int_equal(list.misfit[MBL_MISFIT_RULES], 1);
    assert_false(list.alone[0].any);
    mbl_shortlist_free(&list);
}

/* ---- money, and what is refused ---- */

static void money_is_added_up_as_the_bill_of_a_run_does(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
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
    test_shelf_begin(at, trace, "{ hot: 1 }");
    test_shelf_fill(at);
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
    test_shelf_begin(at, trace, "{ hot: 1 }");
    test_shelf_fill(at);
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

static void memory_that_runs_out_is_told_and_nothing_is_kept(void **state)
{
    (void)state;
    test_shelf_small(at, trace);
    at->ask.slot[0].n = 2;
    at->ask.slot[1].n = 1;
    at->ask.slot[2].n = 2;
    at->ask.want = 1;
    size_t failures = 0;
    for (size_t fail_at = 1;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        at->ask.alloc = &t.alloc;
        mbl_shortlist list;
        mbl_error err = {0};
        mbl_status status = mbl_shortlist_run(&at->ask, &list, &err);
        if (status == MBL_OK)
            mbl_shortlist_free(&list);
        else
            assert_int_equal(status, MBL_MEMORY);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        failures += status != MBL_OK;
        if (status == MBL_OK)
            break;
    }
    printf("%zu failures\n", failures);
    assert_true(failures > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_list_and_its_counts_are_the_same_with_any_number_of_workers),
        cmocka_unit_test(a_step_up_is_the_next_that_leaves_more),
        cmocka_unit_test(each_rule_of_fit_refuses_what_is_beyond_it_and_nothing_else),
        cmocka_unit_test(parts_that_make_no_brake_do_not_fit),
        cmocka_unit_test(money_is_added_up_as_the_bill_of_a_run_does),
        cmocka_unit_test(more_than_a_million_combinations_are_refused),
        cmocka_unit_test(a_fluid_and_masters_that_divide_alike_drive_alike_and_nothing_else_does),
        cmocka_unit_test(memory_that_runs_out_is_told_and_nothing_is_kept),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
