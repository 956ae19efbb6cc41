/* SPDX-License-Identifier: MIT */
/* Start lines, stops, and the laps that they make. What follows columns is in test_trace.c. */
#include "road/laps.h"
#include "support/test.h"
#include "support/test_alloc.h"

enum { ROOM = 6000 };
static int lines[ROOM];
static double times[ROOM], speeds[ROOM], laps[ROOM], norths[ROOM], easts[ROOM];

static mbl_log empty(void)
{
    return (mbl_log){.line = lines, .t = times, .v = speeds};
}

/* n rows at 1 Hz of one speed, with a lap number. */
static void drive(mbl_log *log, size_t n, double v, double lap)
{
    log->lap = laps;
    for (size_t i = 0; i < n; i++, log->rows++) {
        times[log->rows] = (double)log->rows;
        speeds[log->rows] = v;
        laps[log->rows] = lap;
        lines[log->rows] = (int)log->rows + 2;
    }
}

static void assert_laps(const mbl_log *log, size_t n, const mbl_lap *want)
{
    mbl_arena arena;
    mbl_arena_init(&arena, &mbl_alloc_libc);
    mbl_laps found = {0};
    mbl_error err = {0};
    assert_ok(mbl_laps_find(&arena, log, &found, &err), err);
    for (size_t i = 0; i < found.n && i < n; i++) {
        if (found.lap[i].kind != want[i].kind || found.lap[i].number != want[i].number)
            fail_msg("piece %zu is %s of lap %d, expected %s of lap %d", i,
                     mbl_lap_kind_word(found.lap[i].kind), found.lap[i].number,
                     mbl_lap_kind_word(want[i].kind), want[i].number);
        assert_near(found.lap[i].start, want[i].start, 1e-6);
        assert_near(found.lap[i].end, want[i].end, 1e-6);
    }
    assert_int_equal(found.n, n);
    mbl_arena_free(&arena);
}

/* ---- stops ---- */

static void a_stop_cuts_its_lap_in_three(void **state)
{
    (void)state;
    mbl_log log = empty();
    drive(&log, 100, 40, 1);
    drive(&log, 100, 40, 2);
    drive(&log, 60, 40, 3);
    drive(&log, 60, 1, 3); /* 260 to 319 */
    drive(&log, 40, 40, 3);
    drive(&log, 100, 40, 4);
    static const mbl_lap want[] = {
        {1, MBL_LAP_HOT, 0, 100, 0},   {2, MBL_LAP_HOT, 100, 200, 0}, {3, MBL_LAP_IN, 200, 260, 0},
        {3, MBL_LAP_PIT, 260, 319, 0}, {3, MBL_LAP_OUT, 319, 360, 0}, {4, MBL_LAP_HOT, 360, 459, 0},
    };
    assert_laps(&log, 6, want);
}

static void a_long_stop_is_parking_and_a_short_one_is_none(void **state)
{
    (void)state;
    mbl_log log = empty();
    drive(&log, 100, 40, 1);
    drive(&log, 50, 40, 2);
    drive(&log, 121, 0, 2); /* 120 s: parked */
    drive(&log, 50, 40, 2);
    drive(&log, 50, 40, 3);
    drive(&log, 21, 2, 3); /* 20 s: no stop */
    drive(&log, 50, 40, 3);
    drive(&log, 100, 40, 4);
    static const mbl_lap want[] = {
        {1, MBL_LAP_HOT, 0, 100, 0},       {2, MBL_LAP_IN, 100, 150, 0},
        {2, MBL_LAP_PARKED, 150, 270, 0},  {2, MBL_LAP_OUT, 270, 321, 0},
        {3, MBL_LAP_TRAFFIC, 321, 442, 0}, {4, MBL_LAP_HOT, 442, 541, 0},
    };
    assert_laps(&log, 6, want);
    /* one second less, and it is a pit stop */
    speeds[150] = 40;
    static const mbl_lap pit = {2, MBL_LAP_PIT, 151, 270, 0};
    static mbl_lap shorter[6];
    memcpy(shorter, want, sizeof want);
    shorter[1].end = 151;
    shorter[2] = pit;
    assert_laps(&log, 6, shorter);
    /* faster than 10 km/h is creeping no more */
    for (size_t i = 151; i <= 270; i++)
        speeds[i] = 2.78;
    for (size_t i = 110; i < 118; i++)
        speeds[i] = 0; /* so that the lap is no longer than the others */
    static const mbl_lap slow[] = {
        {1, MBL_LAP_HOT, 0, 100, 0},
        {2, MBL_LAP_TRAFFIC, 100, 321, 0},
        {3, MBL_LAP_TRAFFIC, 321, 442, 0},
        {4, MBL_LAP_HOT, 442, 541, 0},
    };
    assert_laps(&log, 4, slow);
}

static void waiting_at_either_end_is_parking(void **state)
{
    (void)state;
    mbl_log log = empty();
    drive(&log, 40, 0, 0);
    drive(&log, 90, 30, 0);
    drive(&log, 100, 40, 1);
    drive(&log, 100, 40, 2);
    drive(&log, 60, 30, 3);
    drive(&log, 30, 0, 3);
    static const mbl_lap want[] = {
        {0, MBL_LAP_PARKED, 0, 39, 0}, {0, MBL_LAP_OUT, 39, 130, 0},
        {1, MBL_LAP_HOT, 130, 230, 0}, {2, MBL_LAP_HOT, 230, 330, 0},
        {3, MBL_LAP_IN, 330, 390, 0},  {3, MBL_LAP_PARKED, 390, 419, 0},
    };
    assert_laps(&log, 6, want);
}

static void a_stop_across_the_line_is_one(void **state)
{
    (void)state;
    mbl_log log = empty();
    drive(&log, 100, 40, 1);
    drive(&log, 80, 40, 2);
    drive(&log, 40, 0, 2);
    drive(&log, 50, 0, 3);
    drive(&log, 80, 40, 3);
    drive(&log, 100, 40, 4);
    static const mbl_lap want[] = {
        {1, MBL_LAP_HOT, 0, 100, 0},   {2, MBL_LAP_IN, 100, 180, 0},  {2, MBL_LAP_PIT, 180, 269, 0},
        {3, MBL_LAP_OUT, 269, 350, 0}, {4, MBL_LAP_HOT, 350, 449, 0},
    };
    assert_laps(&log, 5, want);
}

static void a_car_pushed_up_in_a_queue_still_stands(void **state)
{
    (void)state;
    mbl_log log = empty();
    drive(&log, 60, 40, 1);
    drive(&log, 15, 0, 1);
    drive(&log, 8, 5, 1); /* 40 m */
    drive(&log, 15, 0, 1);
    drive(&log, 60, 40, 1);
    static const mbl_lap want[] = {
        {1, MBL_LAP_WHOLE, 0, 60, 0}, {1, MBL_LAP_PIT, 60, 97, 0}, {1, MBL_LAP_WHOLE, 97, 157, 0}};
    assert_laps(&log, 3, want);
    /* 64 m and it is two short waits */
    for (size_t i = 75; i < 83; i++)
        speeds[i] = 8;
    static const mbl_lap whole[] = {{1, MBL_LAP_WHOLE, 0, 157, 0}};
    assert_laps(&log, 1, whole);
}

static void splinters_of_a_lap_belong_to_the_stop(void **state)
{
    (void)state;
    mbl_log log = empty();
    drive(&log, 100, 40, 1);
    drive(&log, 30, 0, 2);
    drive(&log, 70, 40, 2);
    drive(&log, 100, 40, 3);
    times[100] = 99.5; /* half a second from the line to the stop */
    times[101] = 100;
    speeds[100] = 20;
    static const mbl_lap want[] = {{1, MBL_LAP_HOT, 0, 99.5, 0},
                                   {2, MBL_LAP_PIT, 99.5, 129, 0},
                                   {2, MBL_LAP_OUT, 129, 200, 0},
                                   {3, MBL_LAP_HOT, 200, 299, 0}};
    assert_laps(&log, 4, want);
}

/* ---- start lines ---- */

/*
 * 4 Hz round a circle of 400 m radius at 50 m/s, from a quarter before the line. The start point
 * is `off` m outside the circle at its east, 60 degrees north, where a degree of longitude is half
 * of what it is at the equator. With a way back, the car comes by the other way, 20 m
 * inside, at 20 m/s, before every lap.
 */
static mbl_log circle(double off, bool way_back)
{
    static const double degree = 111194.9;
    mbl_log log = empty();
    log.latitude = norths;
    log.longitude = easts;
    log.has_start_line = true;
    log.start_latitude = 60;
    log.start_longitude = 179.9999 + 2 * (400 + off) / degree;
    if (log.start_longitude > 180)
        log.start_longitude -= 360;
    double angle = -1.5707963267948966;
    double t = 0;
    while (log.rows < 900) {
        double radius = 400;
        double v = 50;
        double shown = angle;
        /* two seconds before the line: past it, the other way */
        bool back = way_back && fmod(t, 50) < 3;
        if (back) {
            radius = 380;
            v = 20;
            shown = (1.5 - fmod(t, 50)) * v / radius;
        } else
            angle += v * 0.25 / radius;
        double east = 179.9999 + 2 * radius * cos(shown) / degree;
        norths[log.rows] = 60 + radius * sin(shown) / degree;
        easts[log.rows] = east > 180 ? east - 360 : east;
        times[log.rows] = t;
        speeds[log.rows] = v;
        lines[log.rows] = (int)log.rows + 2;
        log.rows++;
        t += 0.25;
    }
    return log;
}

static void laps_begin_where_the_start_line_is_crossed(void **state)
{
    (void)state;
    static const double offs[] = {0, 25, -25};
    double at[8];
    for (size_t k = 0; k < 3; k++) {
        mbl_log log = circle(offs[k], false);
        /* a lap takes 2 pi 400 / 50 = 50.27 s; the line is a quarter away */
        assert_int_equal(mbl_start_line_crossings(&log, at, 8), 5);
        for (size_t i = 0; i < 5; i++)
            assert_near(at[i], 50.26548 * (0.25 + (double)i), 0.01);
    }
    mbl_log log = circle(0, false);
    mbl_lap want[6];
    for (int i = 0; i < 6; i++)
        want[i] = (mbl_lap){i,
                            i == 0   ? MBL_LAP_OUT
                            : i == 5 ? MBL_LAP_IN
                                     : MBL_LAP_HOT,
                            i == 0 ? 0 : 50.26548 * (i - 0.75),
                            i == 5 ? 224.75 : 50.26548 * (i + 0.25), 0};
    mbl_arena arena;
    mbl_arena_init(&arena, &mbl_alloc_libc);
    mbl_laps found = {0};
    mbl_error err = {0};
    assert_ok(mbl_laps_find(&arena, &log, &found, &err), err);
    assert_int_equal(found.n, 6);
    for (size_t i = 0; i < 6; i++) {
        assert_int_equal(found.lap[i].number, want[i].number);
        assert_int_equal(found.lap[i].kind, want[i].kind);
        assert_near(found.lap[i].start, want[i].start, 0.01);
        assert_near(found.lap[i].end, want[i].end, 0.01);
    }
    mbl_arena_free(&arena);
}

static void a_line_out_of_reach_is_not_crossed(void **state)
{
    (void)state;
    mbl_log log = circle(35, false);
    assert_int_equal(mbl_start_line_crossings(&log, NULL, 0), 0);
    log = circle(0, false);
    log.has_start_line = false;
    assert_int_equal(mbl_start_line_crossings(&log, NULL, 0), 0);
    log.has_start_line = true;
    log.longitude = NULL;
    assert_int_equal(mbl_start_line_crossings(&log, NULL, 0), 0);
    /* then the laps are those of the column */
    for (size_t i = 0; i < log.rows; i++)
        laps[i] = i < 450 ? 3 : 4;
    log.lap = laps;
    static const mbl_lap want[] = {{3, MBL_LAP_HOT, 0, 112.5, 0},
                                   {4, MBL_LAP_HOT, 112.5, 224.75, 0}};
    assert_laps(&log, 2, want);
}

static void only_the_fast_way_past_the_line_counts(void **state)
{
    (void)state;
    mbl_log log = circle(0, true);
    double at[8];
    size_t n = mbl_start_line_crossings(&log, at, 8);
    assert_int_equal(n, 4);
    for (size_t i = 0; i < n; i++)
        assert_true(fmod(at[i], 50) > 3);
    for (size_t i = 1; i < n; i++)
        assert_true(at[i] - at[i - 1] > 50);
}

static void a_line_crossed_again_at_once_is_crossed_once(void **state)
{
    (void)state;
    /* a hairpin that comes back over the line, the same way, after 150 m; then after 250 m */
    static const size_t way[] = {150, 250};
    for (size_t k = 0; k < 2; k++) {
        mbl_log log = empty();
        log.latitude = norths;
        log.longitude = easts;
        log.has_start_line = true;
        log.start_latitude = log.start_longitude = 0;
        for (size_t i = 0; i < 60; i++, log.rows++) {
            double east = 10.0 * (double)(i < 30 ? i : i - way[k] / 10) - 105;
            bool away = i > 20 && i < 30;
            norths[i] = away ? 0.01 : 0;
            easts[i] = east / 111194.9;
            times[i] = (double)i;
            speeds[i] = i < 30 ? 10 : 10.1;
        }
        assert_int_equal(mbl_start_line_crossings(&log, NULL, 0), k == 0 ? 1 : 2);
    }
}

static void standing_on_the_line_is_one_crossing(void **state)
{
    (void)state;
    mbl_log log = circle(0, false);
    /* for 25 s the car shuffles about the line */
    for (size_t i = 50; i < 150; i++) {
        norths[i] = norths[50] + (i % 2 ? 1e-5 : 0);
        easts[i] = easts[50];
        speeds[i] = 0.1;
    }
    size_t n = mbl_start_line_crossings(&log, NULL, 0);
    for (size_t i = 150; i < 900; i++) {
        norths[i] = norths[50];
        easts[i] = easts[50] + 0.01;
    }
    assert_int_equal(mbl_start_line_crossings(&log, NULL, 0), 1);
    assert_true(n >= 4);
}

static void every_failed_allocation_is_reported(void **state)
{
    (void)state;
    mbl_log log = empty();
    drive(&log, 100, 40, 1);
    drive(&log, 100, 40, 2);
    test_alloc t;
    test_alloc_init(&t);
    t.fail_at = 1;
    mbl_arena arena;
    mbl_arena_init(&arena, &t.alloc);
    mbl_laps found = {.n = 77};
    mbl_error err = {0};
    assert_int_equal(mbl_laps_find(&arena, &log, &found, &err), MBL_MEMORY);
    assert_int_equal(found.n, 77);
    mbl_arena_free(&arena);
    assert_int_equal(t.live_bytes, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stop_cuts_its_lap_in_three),
        cmocka_unit_test(a_long_stop_is_parking_and_a_short_one_is_none),
        cmocka_unit_test(waiting_at_either_end_is_parking),
        cmocka_unit_test(a_stop_across_the_line_is_one),
        cmocka_unit_test(a_car_pushed_up_in_a_queue_still_stands),
        cmocka_unit_test(splinters_of_a_lap_belong_to_the_stop),
        cmocka_unit_test(laps_begin_where_the_start_line_is_crossed),
        cmocka_unit_test(a_line_out_of_reach_is_not_crossed),
        cmocka_unit_test(only_the_fast_way_past_the_line_counts),
        cmocka_unit_test(a_line_crossed_again_at_once_is_crossed_once),
        cmocka_unit_test(standing_on_the_line_is_one_crossing),
        cmocka_unit_test(every_failed_allocation_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
