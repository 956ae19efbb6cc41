/* SPDX-License-Identifier: MIT */
/* A layout from a log: what it needs, what it says without, and what logs do to their channels. */
#include "road/road.h"
#include "support/layout_logger.h"
#include "support/test.h"
#include "support/test_alloc.h"

#define PI 3.141592653589793

/* Three straights and three arcs of 60 m radius, turned to the left, at 25 m/s. */
static mbl_layout *triangle(void)
{
    double k = 1.0 / 60;
    double arc = 2 * PI / 3 * 60;
    mbl_stretch stretch[] = {{.length = 100, .surface = 1, .grade = 0.03},
                             {.length = arc, .curvature = k, .bends_to = k, .surface = 1},
                             {.length = 200, .surface = 1, .grade = -0.03},
                             {.length = arc, .curvature = k, .bends_to = k, .surface = 1},
                             {.length = 200, .surface = 1},
                             {.length = arc, .curvature = k, .bends_to = k, .surface = 1},
                             {.length = 100, .surface = 1, .grade = 0.03}};
    mbl_layout_plan plan = {
        .name = "triangle", .closed = true, .n = 7, .stretch = stretch, .pit_entry = NAN};
    mbl_layout *out = NULL;
    mbl_error err = {0};
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &out, &err), err);
    return out;
}

static mbl_trace *trace_of_text(const char *text)
{
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    mbl_error err = {0};
    assert_ok(mbl_log_parse(&mbl_alloc_libc, "log", text, strlen(text), NULL, &log, &err), err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    mbl_log_free(log);
    return trace;
}

static mbl_trace *drive_triangle(const layout_logger *logger)
{
    mbl_layout *layout = triangle();
    double s[] = {0, layout->length};
    double t[] = {0, layout->length / 25};
    double v[] = {25, 25};
    layout_drive drive = {layout, 2, s, t, v};
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    layout_log_write(&drive, logger, &text);
    mbl_trace *trace = trace_of_text(mbl_text_get(&text));
    mbl_text_free(&text);
    mbl_layout_drop(layout);
    return trace;
}

static mbl_layout *layout_of(const mbl_trace *trace, size_t lap)
{
    mbl_layout *out = NULL;
    mbl_error err = {0};
    assert_ok(mbl_layout_of_trace(&mbl_alloc_libc, trace, lap, &out, &err), err);
    return out;
}

static double curvature_at(const mbl_layout *l, double s)
{
    size_t i = 0;
    while (i + 1 < l->n && l->begin[i + 1] <= s)
        i++;
    return mbl_stretch_curvature(&l->stretch[i], s - l->begin[i]);
}

/* The triangle, within a share of the curvature of its arcs. Drops the trace. */
static void assert_triangle(mbl_trace *trace, double share)
{
    mbl_layout *truth = triangle();
    mbl_layout *got = layout_of(trace, 1);
    double arc = 2 * PI / 3 * 60;
    double k = 1.0 / 60;
    double middle[] = {100 + arc / 2, 300 + 1.5 * arc, 500 + 2.5 * arc};
    double straight[] = {50, 200 + arc, 400 + 2 * arc, 550 + 3 * arc};
    assert_close(got->length, truth->length, 0.01);
    assert_near(got->turned, 2 * PI, 1e-3);
    for (size_t i = 0; i < 3; i++)
        assert_close(curvature_at(got, middle[i]), k, share);
    for (size_t i = 0; i < 4; i++)
        assert_near(curvature_at(got, straight[i]), 0, share * k);
    for (size_t i = 0; i < got->n; i++) {
        assert_near(got->stretch[i].bank, 0, 0);
        assert_near(got->stretch[i].surface, 1, 0);
    }
    mbl_layout_drop(got);
    mbl_layout_drop(truth);
    mbl_trace_drop(trace);
}

static layout_logger clean(unsigned columns)
{
    return (layout_logger){.rate = 10, .laps = 4, .columns = columns, .seed = 5};
}

static void positions_are_trusted_before_yaw_rate_and_that_before_lateral(void **state)
{
    (void)state;
    static const struct {
        unsigned columns;
        mbl_told told;
    } of[] = {{LOG_POSITIONS | LOG_YAW | LOG_LATERAL, MBL_TOLD_POSITIONS},
              {LOG_YAW | LOG_LATERAL, MBL_TOLD_YAW_RATE},
              {LOG_LATERAL, MBL_TOLD_LATERAL},
              {LOG_ALTITUDE, MBL_TOLD_NOTHING}};
    for (size_t i = 0; i < sizeof of / sizeof of[0]; i++) {
        layout_logger logger = clean(of[i].columns);
        mbl_trace *trace = drive_triangle(&logger);
        assert_int_equal(trace->told, of[i].told);
        bool places = of[i].told == MBL_TOLD_POSITIONS;
        bool any = of[i].told != MBL_TOLD_NOTHING;
        assert_int_equal(trace->east != NULL, places);
        assert_int_equal(trace->north != NULL, places);
        assert_int_equal(trace->curvature != NULL, any && !places);
        mbl_trace_drop(trace);
    }
}

static void what_turns_is_not_in_the_digest_of_a_trace(void **state)
{
    (void)state;
    layout_logger with = clean(LOG_YAW);
    layout_logger without = clean(LOG_ALTITUDE);
    without.columns = 0;
    mbl_trace *a = drive_triangle(&with);
    mbl_trace *b = drive_triangle(&without);
    assert_memory_equal(&a->digest, &b->digest, sizeof a->digest);
    mbl_trace_drop(a);
    mbl_trace_drop(b);
}

static void a_clean_log_gives_the_course_by_each_source(void **state)
{
    (void)state;
    static const unsigned of[] = {LOG_POSITIONS, LOG_YAW, LOG_LATERAL};
    for (size_t i = 0; i < 3; i++) {
        layout_logger logger = clean(of[i]);
        assert_triangle(drive_triangle(&logger), 0.01);
    }
}

static void fixes_that_are_held_between_rows_count_once(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_POSITIONS);
    logger.rate = 20;
    logger.every = 20;
    logger.held = true;
    assert_triangle(drive_triangle(&logger), 0.05);
}

static void fixes_of_a_slower_rate_are_not_taken_for_chords(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_POSITIONS);
    logger.rate = 20;
    logger.every = 20;
    assert_triangle(drive_triangle(&logger), 0.05);
}

static void a_fix_that_strays_is_left_out(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_POSITIONS);
    logger.stray = 45;
    assert_triangle(drive_triangle(&logger), 0.02);
}

/* 1 deg/s of a gyro at rest adds up to 35 degrees in a lap of 35 s. */
static void an_offset_of_the_sensor_is_taken_off_by_whole_turns(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_YAW);
    logger.yaw_offset = 1;
    assert_triangle(drive_triangle(&logger), 0.02);
}

static void grade_comes_from_altitude(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_YAW | LOG_ALTITUDE);
    mbl_trace *trace = drive_triangle(&logger);
    mbl_layout *got = layout_of(trace, 1);
    double arc = 2 * PI / 3 * 60;
    size_t i = 0;
    while (got->begin[i + 1] <= 200 + arc)
        i++;
    assert_near(got->stretch[i].grade, -0.03, 0.002);
    mbl_layout_drop(got);
    mbl_trace_drop(trace);
}

static void a_layout_has_a_handful_of_stretches_a_corner(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_POSITIONS);
    logger.place = 0.5;
    mbl_trace *trace = drive_triangle(&logger);
    mbl_layout *got = layout_of(trace, 1);
    assert_true(got->n >= 10 && got->n <= 100);
    mbl_layout_drop(got);
    mbl_trace_drop(trace);
}

/* ---- refusals ---- */

static void assert_refused(mbl_trace *trace, size_t lap, const char *words)
{
    mbl_layout *out = NULL;
    mbl_error err = {0};
    assert_int_equal(mbl_layout_of_trace(&mbl_alloc_libc, trace, lap, &out, &err), MBL_INPUT);
    assert_null(out);
    assert_has(err.text, words);
    mbl_trace_drop(trace);
}

static void a_log_without_anything_that_turns_says_which_columns_would_help(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_ALTITUDE);
    assert_refused(drive_triangle(&logger), 1,
                   "latitude and longitude, or a yaw rate, or a lateral acceleration");
}

static void a_column_in_which_nothing_changes_tells_nothing(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time [s],Speed [m/s],Yaw rate [deg/s]\n");
    for (int i = 0; i < 100; i++)
        mbl_text_print(&text, "%g,20,0.5\n", i * 0.1);
    assert_refused(trace_of_text(mbl_text_get(&text)), 0, "yaw rate");
    mbl_text_free(&text);
}

static void a_log_without_a_complete_lap_is_refused(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_YAW);
    logger.laps = 1;
    logger.yaw = 0.1;
    assert_refused(drive_triangle(&logger), 0, "no complete lap");
}

static void a_lap_that_is_not_there_is_refused(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_YAW);
    assert_refused(drive_triangle(&logger), 99, "no lap of index 99");
}

static void a_lap_of_a_few_fixes_is_refused(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_POSITIONS);
    logger.laps = 9;
    logger.every = 150;
    logger.held = true;
    assert_refused(drive_triangle(&logger), 1, "samples in this lap tell how the course turns");
}

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    layout_logger logger = clean(LOG_YAW);
    mbl_trace *trace = drive_triangle(&logger);
    size_t n = 1;
    for (;; n++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = n;
        mbl_layout *out = NULL;
        mbl_error err = {0};
        mbl_status status = mbl_layout_of_trace(&t.alloc, trace, 1, &out, &err);
        if (status == MBL_OK) {
            mbl_layout_drop(out);
            assert_int_equal(t.live_bytes, 0);
            break;
        }
        assert_int_equal(status, MBL_MEMORY);
        assert_null(out);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
    }
    assert_true(n > 4);
    mbl_trace_drop(trace);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(positions_are_trusted_before_yaw_rate_and_that_before_lateral),
        cmocka_unit_test(what_turns_is_not_in_the_digest_of_a_trace),
        cmocka_unit_test(a_clean_log_gives_the_course_by_each_source),
        cmocka_unit_test(fixes_that_are_held_between_rows_count_once),
        cmocka_unit_test(fixes_of_a_slower_rate_are_not_taken_for_chords),
        cmocka_unit_test(a_fix_that_strays_is_left_out),
        cmocka_unit_test(an_offset_of_the_sensor_is_taken_off_by_whole_turns),
        cmocka_unit_test(grade_comes_from_altitude),
        cmocka_unit_test(a_layout_has_a_handful_of_stretches_a_corner),
        cmocka_unit_test(a_log_without_anything_that_turns_says_which_columns_would_help),
        cmocka_unit_test(a_column_in_which_nothing_changes_tells_nothing),
        cmocka_unit_test(a_log_without_a_complete_lap_is_refused),
        cmocka_unit_test(a_lap_that_is_not_there_is_refused),
        cmocka_unit_test(a_lap_of_a_few_fixes_is_refused),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
