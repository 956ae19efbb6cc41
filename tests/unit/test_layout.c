/* SPDX-License-Identifier: MIT */
#include "road/layout.h"
#include "road/layout_shape.h"
#include "support/test.h"
#include "support/test_alloc.h"

#define PI 3.141592653589793

static mbl_layout *make(const mbl_stretch *stretch, size_t n, bool closed)
{
    mbl_error err = {0};
    mbl_layout *layout = NULL;
    mbl_layout_plan plan = {
        .name = "a course", .closed = closed, .n = n, .stretch = stretch, .pit_entry = NAN};
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), err);
    return layout;
}

static mbl_stretch straight(double length)
{
    return (mbl_stretch){.length = length, .surface = 1};
}

static mbl_stretch arc(double radius, double turns)
{
    return (mbl_stretch){.length = fabs(radius * turns),
                         .curvature = copysign(1 / radius, turns),
                         .bends_to = copysign(1 / radius, turns),
                         .surface = 1};
}

/* Two straights of 200 m, two half circles of 50 m, with everything a stretch has. */
static mbl_layout *stadium(void)
{
    mbl_stretch s[] = {straight(200), arc(50, PI), straight(200), arc(50, PI)};
    s[0].grade = 0.02;
    s[1].bank = 0.05;
    s[2].grade = -0.02;
    s[3].surface = 0.9;
    static const double splits[] = {150, 420};
    mbl_error err = {0};
    mbl_layout *layout = NULL;
    mbl_layout_plan plan = {.name = "stadium",
                            .note = "invented",
                            .closed = true,
                            .n = 4,
                            .stretch = s,
                            .pit_entry = 600,
                            .nsplits = 2,
                            .split = splits};
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), err);
    return layout;
}

/* Circumference of a circle: elementary geometry. */
static void a_circle_closes_and_turns_once(void **state)
{
    (void)state;
    mbl_stretch s[] = {arc(100, 2 * PI)};
    mbl_layout *layout = make(s, 1, true);
    assert_near(layout->length, 628.3185307179587, 1e-9);
    assert_near(layout->gap, 0, 1e-9);
    assert_near(layout->turned, 2 * PI, 1e-12);
    mbl_layout_drop(layout);
}

static void a_stadium_is_its_straights_and_its_circle_long(void **state)
{
    (void)state;
    mbl_layout *layout = stadium();
    assert_near(layout->length, 400 + 2 * PI * 50, 1e-9);
    assert_near(layout->gap, 0, 1e-9);
    assert_near(layout->turned, 2 * PI, 1e-12);
    assert_near(layout->begin[2], 200 + PI * 50, 1e-9);
    assert_true(layout->begin[4] <= layout->length && layout->begin[4] >= layout->length);
    mbl_layout_drop(layout);
}

/* An eighth of a circle: chord 2 r sin(a / 2), from elementary geometry. */
static void an_open_arc_misses_its_start_by_its_chord(void **state)
{
    (void)state;
    mbl_stretch s[] = {arc(80, -PI / 4)};
    mbl_layout *layout = make(s, 1, false);
    assert_near(layout->gap, 2 * 80 * sin(PI / 8), 1e-9);
    assert_near(layout->turned, -PI / 4, 1e-12);
    mbl_layout_drop(layout);
}

/*
 * A clothoid whose curvature rises from 0 to 1 / A over its length A has the heading s^2 / 2 A^2.
 * Its end is the power series of cos and sin of that, integrated term by term:
 * x = A sum (-1)^k / (4^k (2k)! (4k + 1)), y = A sum (-1)^k / (2^(2k + 1) (2k + 1)! (4k + 3)).
 */
static void a_clothoid_ends_where_its_series_says(void **state)
{
    (void)state;
    double a = 60;
    double x = 0;
    double y = 0;
    double term = 1; /* (1/2)^m / m! */
    for (int m = 0; m < 16; m++) {
        double part = term / (2 * m + 1) * ((m / 2) % 2 == 0 ? 1 : -1);
        if (m % 2 == 0)
            x += a * part;
        else
            y += a * part;
        term *= 0.5 / (m + 1);
    }
    mbl_stretch s = {.length = a, .bends_to = 1 / a, .surface = 1};
    mbl_pose end = mbl_stretch_walk(&s, (mbl_pose){0}, a);
    /* Simpson's rule in 60 steps: error of some h^4 / 2880 of the fourth derivative, 1e-9 here */
    assert_near(end.east, x, 1e-7);
    assert_near(end.north, y, 1e-7);
    assert_near(end.heading, 0.5, 1e-12);
}

static void a_mirrored_course_turns_and_banks_the_other_way(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_layout *layout = stadium();
    mbl_layout *mirrored = NULL;
    mbl_layout *again = NULL;
    assert_ok(mbl_layout_mirror(layout, &mirrored, &err), err);
    assert_near(mirrored->turned, -2 * PI, 1e-12);
    assert_near(mirrored->stretch[1].curvature, -0.02, 0);
    assert_near(mirrored->stretch[1].bank, -0.05, 0);
    assert_near(mirrored->stretch[2].grade, -0.02, 0);
    assert_near(mirrored->pit_entry, 600, 0);
    assert_string_equal(mirrored->name, "stadium");
    assert_false(mbl_digest_same(&layout->digest, &mirrored->digest));
    assert_ok(mbl_layout_mirror(mirrored, &again, &err), err);
    assert_true(mbl_digest_same(&layout->digest, &again->digest));
    mbl_layout_drop(layout);
    mbl_layout_drop(mirrored);
    mbl_layout_drop(again);
}

static double curvature_at(const mbl_layout *layout, double s)
{
    size_t i = 0;
    while (i + 1 < layout->n && layout->begin[i + 1] <= s)
        i++;
    return mbl_stretch_curvature(&layout->stretch[i], s - layout->begin[i]);
}

static void a_shifted_course_is_the_same_from_another_line(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_stretch s[] = {straight(120), {.length = 100, .bends_to = 0.04, .surface = 1}, arc(25, PI)};
    mbl_layout *layout = make(s, 3, true);
    static const double shifts[] = {50, 120, 163.7, -30, 400};
    for (size_t k = 0; k < sizeof shifts / sizeof shifts[0]; k++) {
        mbl_layout *shifted = NULL;
        assert_ok(mbl_layout_shift(layout, shifts[k], &shifted, &err), err);
        assert_near(shifted->length, layout->length, 1e-9);
        assert_near(shifted->turned, layout->turned, 1e-12);
        for (double at = 0.5; at < layout->length; at += 7) {
            double from = fmod(at + shifts[k] + 2 * layout->length, layout->length);
            assert_near(curvature_at(shifted, at), curvature_at(layout, from), 1e-12);
        }
        mbl_layout_drop(shifted);
    }
    mbl_layout_drop(layout);
}

static void splits_and_pit_entry_stay_where_they_are_on_the_road(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_layout *layout = stadium();
    mbl_layout *shifted = NULL;
    assert_ok(mbl_layout_shift(layout, 200, &shifted, &err), err);
    assert_int_equal(shifted->n, 4);
    assert_int_equal(shifted->nsplits, 2);
    assert_near(shifted->split[0], 220, 1e-9);
    assert_near(shifted->split[1], layout->length - 50, 1e-9);
    assert_near(shifted->pit_entry, 400, 1e-9);
    mbl_layout_drop(shifted);
    /* a split on the new line is the line; a cut 0.5 mm into a stretch is made at its end */
    assert_ok(mbl_layout_shift(layout, 150, &shifted, &err), err);
    assert_int_equal(shifted->nsplits, 1);
    assert_int_equal(shifted->n, 5);
    mbl_layout_drop(shifted);
    assert_ok(mbl_layout_shift(layout, 200.0005, &shifted, &err), err);
    assert_int_equal(shifted->n, 4);
    mbl_layout_drop(shifted);
    mbl_layout_drop(layout);
}

static void an_open_course_has_no_line_to_move(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_stretch s[] = {straight(100)};
    mbl_layout *layout = make(s, 1, false);
    mbl_layout *shifted = NULL;
    assert_int_equal(mbl_layout_shift(layout, 10, &shifted, &err), MBL_INPUT);
    assert_null(shifted);
    mbl_layout_drop(layout);
}

static void every_number_that_is_driven_changes_the_digest(void **state)
{
    (void)state;
    mbl_stretch base[] = {straight(200), arc(50, PI)};
    mbl_layout *first = make(base, 2, false);
    for (size_t k = 0; k < 6; k++) {
        mbl_stretch s[] = {base[0], base[1]};
        double *members[] = {&s[1].length, &s[1].curvature, &s[1].bends_to,
                             &s[1].grade,  &s[1].bank,      &s[1].surface};
        *members[k] += 1e-6;
        mbl_layout *other = make(s, 2, false);
        assert_false(mbl_digest_same(&first->digest, &other->digest));
        mbl_layout_drop(other);
    }
    mbl_layout *closed = make(base, 2, true);
    assert_false(mbl_digest_same(&first->digest, &closed->digest));
    mbl_layout_drop(closed);
    mbl_layout_drop(first);
}

static void a_name_and_a_note_do_not(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_layout *first = stadium();
    mbl_layout_plan plan = mbl_layout_planned(first);
    plan.name = "another";
    plan.note = "";
    mbl_layout *other = NULL;
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &other, &err), err);
    assert_true(mbl_digest_same(&first->digest, &other->digest));
    mbl_layout_drop(first);
    mbl_layout_drop(other);
}

typedef struct refusal {
    mbl_stretch stretch;
    double pit_entry, split[2]; /* 0: none */
    const char *says;
} refusal;

static void what_is_out_of_range_is_refused_by_its_place(void **state)
{
    (void)state;
    static const refusal refusals[] = {
        {{.length = 0, .surface = 1}, 0, {0}, "stretch 2 is 0 m long"},
        {{.length = NAN, .surface = 1}, 0, {0}, "stretch 2 is nan m long"},
        {{.length = 2e6, .surface = 1}, 0, {0}, "stretch 2 is 2e+06 m long; a length is 0.001 m"},
        {{.length = 9, .curvature = 0.5, .surface = 1},
         0,
         {0},
         "stretch 2 bends to a radius of 2 m; make it at least 3 m"},
        {{.length = 9, .grade = 0.4, .surface = 1}, 0, {0}, "stretch 2 has a grade of 0.4"},
        {{.length = 9, .bank = -0.8, .surface = 1}, 0, {0}, "stretch 2 has a bank of -0.8 rad"},
        {{.length = 9, .surface = 0.1}, 0, {0}, "stretch 2 has a surface of 0.1"},
        {{.length = 9, .surface = 1}, 200, {0}, "the pit entry at 200 m is off the course"},
        {{.length = 9, .surface = 1}, 0, {109}, "split 1 at 109 m is off the course"},
        {{.length = 9, .surface = 1}, 0, {50, 50}, "split 2 at 50 m does not come after the one"},
    };
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        const refusal *r = &refusals[i];
        mbl_stretch s[] = {straight(100), r->stretch};
        mbl_layout_plan plan = {.closed = false,
                                .n = 2,
                                .stretch = s,
                                .pit_entry = r->pit_entry > 0 ? r->pit_entry : NAN,
                                .nsplits = r->split[1] > 0   ? 2
                                           : r->split[0] > 0 ? 1
                                                             : 0,
                                .split = r->split};
        mbl_error err = {0};
        mbl_layout *layout = NULL;
        assert_int_equal(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), MBL_INPUT);
        assert_null(layout);
        assert_has(err.text, r->says);
    }
    mbl_error err = {0};
    mbl_layout *layout = NULL;
    mbl_layout_plan empty = {.pit_entry = NAN};
    assert_int_equal(mbl_layout_make(&mbl_alloc_libc, &empty, &layout, &err), MBL_INPUT);
}

static void a_kept_layout_lives_until_it_is_dropped_as_often(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    mbl_error err = {0};
    mbl_stretch s[] = {straight(100)};
    mbl_layout_plan plan = {.name = "a", .n = 1, .stretch = s, .pit_entry = NAN};
    mbl_layout *layout = NULL;
    assert_ok(mbl_layout_make(&t.alloc, &plan, &layout, &err), err);
    assert_int_equal(t.calls, 1);
    assert_ptr_equal(mbl_layout_keep(layout), layout);
    mbl_layout_drop(layout);
    assert_true(t.live_bytes > 0);
    mbl_layout_drop(layout);
    mbl_layout_drop(NULL);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_circle_closes_and_turns_once),
        cmocka_unit_test(a_stadium_is_its_straights_and_its_circle_long),
        cmocka_unit_test(an_open_arc_misses_its_start_by_its_chord),
        cmocka_unit_test(a_clothoid_ends_where_its_series_says),
        cmocka_unit_test(a_mirrored_course_turns_and_banks_the_other_way),
        cmocka_unit_test(a_shifted_course_is_the_same_from_another_line),
        cmocka_unit_test(splits_and_pit_entry_stay_where_they_are_on_the_road),
        cmocka_unit_test(an_open_course_has_no_line_to_move),
        cmocka_unit_test(every_number_that_is_driven_changes_the_digest),
        cmocka_unit_test(a_name_and_a_note_do_not),
        cmocka_unit_test(what_is_out_of_range_is_refused_by_its_place),
        cmocka_unit_test(a_kept_layout_lives_until_it_is_dropped_as_often),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
