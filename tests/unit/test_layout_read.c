/* SPDX-License-Identifier: MIT */
/* Courses from their text and back to it. What is refused is in test_layout_refused.c. */
#include "out/layout_yaml.h"
#include "road/layout_read.h"
#include "road/layout_tables.h"
#include "support/test.h"
#include "support/test_alloc.h"

#include <dirent.h>

#define PI 3.141592653589793

static mbl_layout *parse(const char *text)
{
    mbl_error err = {0};
    mbl_layout *layout = NULL;
    assert_ok(mbl_layout_parse(&mbl_alloc_libc, "a.yaml", text, strlen(text), &layout, &err), err);
    return layout;
}

static const char STADIUM[] =
    "name: Stadium\n"
    "note: >\n"
    "  two straights,\n"
    "  two bends\n"
    "surface: 0.95\n"
    "pit_entry: 0.6 km\n"
    "splits: [ 100 m, 0.4 km, 500 ]\n"
    "pieces:\n"
    "  - straight: { length: 200 m, grade: 2 %, bank: 1 deg }\n"
    "  - arc: { radius: 50 m, angle: 180 deg, turn: right, bank: 4 deg }\n"
    "  - straight: { length: 200 m, grade: -2 %, surface: 1.05 }\n"
    "  - arc: { radius: 50 m, angle: 3.141592653589793 rad, turn: right }\n";

static void pieces_become_stretches_in_their_order(void **state)
{
    (void)state;
    mbl_layout *layout = parse(STADIUM);
    assert_string_equal(layout->name, "Stadium");
    assert_string_equal(layout->note, "two straights, two bends");
    assert_true(layout->closed);
    assert_int_equal(layout->n, 4);
    assert_near(layout->length, 400 + 100 * PI, 1e-9);
    assert_near(layout->turned, -2 * PI, 1e-12);
    assert_near(layout->stretch[0].grade, 0.02, 0);
    assert_near(layout->stretch[0].bank, PI / 180, 1e-15);
    assert_near(layout->stretch[0].surface, 0.95, 0);
    assert_near(layout->stretch[1].curvature, -0.02, 0);
    /* it leans into a turn to the right: the left-hand side is higher */
    assert_near(layout->stretch[1].bank, -4 * PI / 180, 1e-15);
    assert_near(layout->stretch[2].surface, 1.05, 0);
    assert_near(layout->pit_entry, 600, 0);
    assert_int_equal(layout->nsplits, 3);
    assert_near(layout->split[1], 400, 0);
    assert_near(layout->split[2], 500, 0);
    mbl_layout_drop(layout);
}

static void the_start_line_stands_where_it_is_put(void **state)
{
    (void)state;
    mbl_layout *layout = parse("name: a\nstart: 50 m\nsplits: [ 30 m ]\npieces:\n"
                               "  - straight: { length: 200 m }\n"
                               "  - arc: { radius: 50 m, angle: 180, turn: left }\n"
                               "  - straight: { length: 200 m }\n"
                               "  - arc: { radius: 50 m, angle: 180, turn: left }\n");
    assert_int_equal(layout->n, 5);
    assert_near(layout->stretch[0].length, 150, 0);
    assert_near(layout->stretch[4].length, 50, 0);
    assert_near(layout->split[0], 30, 0); /* from the line, not from the first piece */
    mbl_layout_drop(layout);
}

static void an_open_course_need_not_close_and_an_eight_turns_nothing(void **state)
{
    (void)state;
    mbl_layout *hill = parse("name: a\nclosed: false\npieces:\n"
                             "  - straight: { length: 900 m, grade: 8 % }\n"
                             "  - curve: { length: 60 m, from: 0, to: 0.02 }\n");
    assert_false(hill->closed);
    assert_near(hill->turned, 0.6, 1e-12);
    mbl_layout_drop(hill);
    mbl_layout *eight = parse("name: a\npieces:\n"
                              "  - arc: { radius: 60 m, angle: 360 deg, turn: left }\n"
                              "  - arc: { radius: 60 m, angle: 360 deg, turn: right }\n");
    assert_near(eight->turned, 0, 1e-12);
    mbl_layout_drop(eight);
}

/* `n` points on an ellipse of half axes a and b around (1000, 2000), as a course. */
static mbl_layout *ellipse(size_t n, double a, double b, bool maps, bool repeat)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "name: e\npoints:\n");
    for (size_t i = 0; i < n + (repeat ? 1 : 0); i++) {
        double at = 2 * PI * (double)(i % n) / (double)n;
        double x = 1000 + a * cos(at);
        double y = 2000 + b * sin(at);
        if (maps)
            mbl_text_print(&text, "  - { x: %.6f m, y: %.6f m, height: %.6f m }\n", x, y,
                           100 + 5 * sin(at));
        else
            mbl_text_print(&text, "  - [ %.6f, %.6f m ]\n", x, y);
    }
    mbl_layout *layout = parse(mbl_text_get(&text));
    mbl_text_free(&text);
    return layout;
}

/*
 * The second derivative of a cubic spline at its knots is off by h^2 / 12 of the fourth: from
 * points at every 15 degrees 0.6 %, at every 22.5 degrees 1.3 %. By the series of the spline on
 * equal spacing, worked out by hand.
 */
static void points_on_a_circle_have_its_curvature(void **state)
{
    (void)state;
    for (size_t n = 24; n <= 1536; n *= 4) {
        mbl_layout *layout = ellipse(n, 100, 100, false, n == 96);
        for (size_t i = 0; i < layout->n; i++)
            assert_near(layout->stretch[i].curvature, 0.01, 1e-4);
        assert_near(layout->length, 2 * PI * 100, 0.1);
        assert_near(layout->turned, 2 * PI, 1e-9);
        assert_true(layout->gap < 0.1);
        mbl_layout_drop(layout);
    }
}

/* Of an ellipse: a / b2 at the end of the long axis, b / a2 at that of the short one. Any textbook
 * on curves. */
static void points_on_an_ellipse_have_its_curvature(void **state)
{
    (void)state;
    mbl_layout *layout = ellipse(180, 200, 100, false, false);
    assert_near(layout->stretch[0].curvature, 200 / 1e4, 2e-4);
    size_t quarter = layout->n / 4;
    assert_near(layout->stretch[quarter].curvature, 100 / 4e4, 5e-5);
    assert_true(layout->gap < 0.2);
    for (size_t i = 0; i + 1 < layout->n; i++)
        assert_near(layout->stretch[i].bends_to, layout->stretch[i + 1].curvature, 1e-15);
    mbl_layout_drop(layout);
}

/* Height 5 sin(s / r) over distance s: the grade is 5 / r cos(s / r). */
static void heights_of_points_give_the_grade(void **state)
{
    (void)state;
    mbl_layout *layout = ellipse(72, 100, 100, true, false);
    double rise = 0;
    for (size_t i = 0; i < layout->n; i++) {
        double middle = 0.5 * (layout->begin[i] + layout->begin[i + 1]);
        assert_near(layout->stretch[i].grade, 0.05 * cos(middle / 100), 5e-4);
        rise += layout->stretch[i].grade * layout->stretch[i].length;
    }
    assert_near(rise, 0, 1e-9);
    mbl_layout_drop(layout);
}

static void an_open_line_of_points_ends_straight(void **state)
{
    (void)state;
    mbl_layout *layout = parse("name: a\nclosed: false\npoints: [ [0,0], [50,0], [100,2], [150,8], "
                               "[200,20], [250,36], [300,52], [350,66] ]\n");
    assert_near(layout->stretch[0].curvature, 0, 2e-5);
    assert_near(layout->stretch[layout->n - 1].bends_to, 0, 2e-5);
    assert_near(layout->gap, hypot(350, 66), 0.5);
    mbl_layout_drop(layout);
}

static void assert_same(const mbl_layout *a, const mbl_layout *b)
{
    assert_string_equal(a->name, b->name);
    assert_string_equal(a->note, b->note);
    assert_int_equal(a->closed, b->closed);
    assert_int_equal(a->n, b->n);
    for (size_t i = 0; i < a->n; i++) {
        const mbl_stretch *s = &a->stretch[i];
        const mbl_stretch *t = &b->stretch[i];
        /* a radius and an angle are divided and multiplied: a few roundings */
        assert_close(t->length, s->length, 4e-15);
        assert_close(t->curvature, s->curvature, 4e-15);
        assert_close(t->bends_to, s->bends_to, 4e-15);
        assert_close(t->grade, s->grade, 4e-15);
        assert_close(t->bank, s->bank, 4e-15);
        assert_near(t->surface, s->surface, 0);
    }
    assert_int_equal(a->nsplits, b->nsplits);
    for (size_t i = 0; i < a->nsplits; i++)
        assert_near(b->split[i], a->split[i], 0);
    assert_int_equal(isnan(a->pit_entry), isnan(b->pit_entry));
}

static void there_and_back(mbl_layout *layout)
{
    mbl_error err = {0};
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    assert_ok(mbl_out_layout_text(layout, &text, &err), err);
    mbl_layout *again = parse(mbl_text_get(&text));
    assert_same(layout, again);
    mbl_layout_drop(again);
    mbl_layout_drop(layout);
    mbl_text_free(&text);
}

static void what_is_written_reads_back_the_same(void **state)
{
    (void)state;
    there_and_back(parse(STADIUM));
    there_and_back(parse("name: \"a: \\\"b\\\" \\\\ #c\"\nclosed: false\npieces:\n"
                         "  - straight: { length: 1e-3 km, grade: 33.3 %, bank: -7.77 deg }\n"
                         "  - arc: { radius: 3 m, angle: 360 deg, turn: left, bank: 1.1 deg }\n"
                         "  - curve: { length: 0.1 m, from: -0.0123456789012345, to: 0.3 }\n"
                         "  - curve: { length: 7 m, from: 1e-7, to: 1e-7, surface: 0.7 }\n"));
    there_and_back(ellipse(180, 200, 100, true, false));
}

static void round_values_are_written_round(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_layout *layout = parse(STADIUM);
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    assert_ok(mbl_out_layout_text(layout, &text, &err), err);
    assert_string_equal(
        mbl_text_get(&text),
        "name: \"Stadium\"\n"
        "note: \"two straights, two bends\"\n"
        "closed: true\n"
        "pit_entry: 600 m\n"
        "splits: [ 100 m, 400 m, 500 m ]\n"
        "pieces:\n"
        "  - straight: { length: 200 m, grade: 2 %, bank: 1 deg, surface: 0.95 }\n"
        "  - arc: { radius: 50 m, angle: 180 deg, turn: right, bank: 4 deg, surface: 0.95 }\n"
        "  - straight: { length: 200 m, grade: -2 %, surface: 1.05 }\n"
        "  - arc: { radius: 50 m, angle: 180 deg, turn: right, surface: 0.95 }\n");
    mbl_text_free(&text);
    mbl_layout_drop(layout);
}

static void every_course_that_comes_along_reads_and_closes(void **state)
{
    (void)state;
    DIR *folder = opendir(MBL_SOURCE_DIR "/tracks");
    assert_non_null(folder);
    int found = 0;
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        size_t n = strlen(entry->d_name);
        if (n < 5 || strcmp(entry->d_name + n - 5, ".yaml") != 0)
            continue;
        char path[1024];
        snprintf(path, sizeof path, "%s/tracks/%s", MBL_SOURCE_DIR, entry->d_name);
        mbl_error err = {0};
        mbl_layout *layout = NULL;
        assert_ok(mbl_layout_read(&mbl_alloc_libc, path, &layout, &err), err);
        assert_true(layout->closed);
        assert_true(layout->note[0] != '\0');
        assert_near(layout->gap, 0, 0.5);
        assert_near(fabs(layout->turned), 2 * PI, 1e-9);
        double rise = 0;
        for (size_t i = 0; i < layout->n; i++)
            rise += layout->stretch[i].grade * layout->stretch[i].length;
        assert_near(rise, 0, 0.05);
        there_and_back(layout);
        found++;
    }
    closedir(folder);
    assert_true(found >= 4);
}

static size_t fail_in_turn(const char *text)
{
    for (size_t fail_at = 1;; fail_at++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = fail_at;
        mbl_error err = {0};
        mbl_layout *layout = NULL;
        mbl_status status = mbl_layout_parse(&t.alloc, "a.yaml", text, strlen(text), &layout, &err);
        if (status == MBL_OK) {
            mbl_layout *other = NULL;
            status = mbl_layout_mirror(layout, &other, &err);
            mbl_layout_drop(other);
            if (status == MBL_OK) {
                mbl_text out;
                mbl_text_init(&out, &t.alloc);
                status = mbl_out_layout_text(layout, &out, &err);
                status = out.failed ? MBL_MEMORY : status;
                mbl_text_free(&out);
            }
        }
        mbl_layout_drop(layout);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (t.calls < fail_at) {
            assert_int_equal(status, MBL_OK);
            return t.calls;
        }
        assert_int_equal(status, MBL_MEMORY);
    }
}

static void every_failed_allocation_ends_cleanly(void **state)
{
    (void)state;
    size_t pieces = fail_in_turn("name: a\nnote: b\nstart: 10 m\nsplits: [ 1 m ]\npieces:\n"
                                 "  - straight: { length: 100 m }\n"
                                 "  - arc: { radius: 20 m, angle: 180 deg, turn: left }\n"
                                 "  - straight: { length: 100 m }\n"
                                 "  - arc: { radius: 20 m, angle: 180 deg, turn: left }\n");
    size_t points = fail_in_turn("name: a\npoints: [ [0,0], [30,-9], [60,0], [69,30], [60,60], "
                                 "{ x: 30, y: 69 }, [0,60], [-9,30] ]\n");
    printf("%zu and %zu allocations failed in turn\n", pieces, points);
    assert_true(pieces > 50 && points > 50);
}

/* The most pieces there may be, each with all it can have: still a document that is read. */
static void the_longest_course_reads_back(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_stretch *s = calloc(MBL_LAYOUT_PIECES, sizeof *s);
    assert_non_null(s);
    for (size_t i = 0; i < MBL_LAYOUT_PIECES; i++)
        s[i] = (mbl_stretch){1.5, 1e-3, 0.001234567890123, 0.0123456789, -0.0123456789, 0.987};
    mbl_layout_plan plan = {.name = "long", .n = MBL_LAYOUT_PIECES, .stretch = s, .pit_entry = NAN};
    mbl_layout *layout = NULL;
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), err);
    there_and_back(layout);
    free(s);
}

static void a_course_of_too_many_stretches_is_not_written(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_stretch *s = calloc(MBL_LAYOUT_PIECES + 1, sizeof *s);
    assert_non_null(s);
    for (size_t i = 0; i <= MBL_LAYOUT_PIECES; i++)
        s[i] = (mbl_stretch){.length = 1, .surface = 1};
    mbl_layout_plan plan = {.n = MBL_LAYOUT_PIECES + 1, .stretch = s, .pit_entry = NAN};
    mbl_layout *layout = NULL;
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &layout, &err), err);
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    assert_int_equal(mbl_out_layout_text(layout, &text, &err), MBL_INPUT);
    assert_int_equal(text.length, 0);
    mbl_text_free(&text);
    mbl_layout_drop(layout);
    free(s);
}

/* The table of keys in docs/tracks.md is what the field tables say. */
static void the_page_has_the_keys_as_they_are(void **state)
{
    (void)state;
    mbl_error err = {0};
    char *page = NULL;
    size_t size = 0;
    assert_ok(mbl_file_read(&mbl_alloc_libc, MBL_SOURCE_DIR "/docs/tracks.md", 1 << 20, &page,
                            &size, &err),
              err);
    mbl_text table;
    mbl_text_init(&table, &mbl_alloc_libc);
    mbl_schema_table(&mbl_layout_schema, &table);
    assert_has(page, mbl_text_get(&table));
    mbl_text_free(&table);
    mbl_free(&mbl_alloc_libc, page, size + 1, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_become_stretches_in_their_order),
        cmocka_unit_test(the_start_line_stands_where_it_is_put),
        cmocka_unit_test(an_open_course_need_not_close_and_an_eight_turns_nothing),
        cmocka_unit_test(points_on_a_circle_have_its_curvature),
        cmocka_unit_test(points_on_an_ellipse_have_its_curvature),
        cmocka_unit_test(heights_of_points_give_the_grade),
        cmocka_unit_test(an_open_line_of_points_ends_straight),
        cmocka_unit_test(what_is_written_reads_back_the_same),
        cmocka_unit_test(round_values_are_written_round),
        cmocka_unit_test(the_longest_course_reads_back),
        cmocka_unit_test(a_course_of_too_many_stretches_is_not_written),
        cmocka_unit_test(every_course_that_comes_along_reads_and_closes),
        cmocka_unit_test(every_failed_allocation_ends_cleanly),
        cmocka_unit_test(the_page_has_the_keys_as_they_are),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
