/* SPDX-License-Identifier: MIT */
/* Stamps that bunch or repeat: rebuilt from distance, or spread. */
#include "support/repair.h"

/* Rows at 20 Hz that are sent each 2 s; metres as a logger rounds them. */
static mbl_log *bursts(double step, bool tall, int standing)
{
    mbl_import import = repair_blank();
    double s = 0;
    for (int i = 0; i < 2000; i++) {
        double t = 0.05 * i;
        double v = standing > 0 && i >= 800 && i < 800 + standing ? 0 : repair_speed(t);
        double stamp = 500 + 2 * floor(t / 2 + 1) + 0.001 * (i % 40);
        int line = tall ? 3 * i : i;
        repair_add(&import, MBL_LOG_SPEED, stamp, v, line);
        repair_add(&import, MBL_LOG_DISTANCE, stamp, step > 0 ? floor(s / step + 0.5) * step : s,
                   tall ? line + 1 : line);
        repair_add(&import, MBL_LOG_ALTITUDE, stamp, i, tall ? line + 2 : line);
        double next =
            standing > 0 && i + 1 >= 800 && i + 1 < 800 + standing ? 0 : repair_speed(t + 0.05);
        s += 0.5 * (v + next) * 0.05;
    }
    return repair_assemble(&import);
}

static void bunched_stamps_are_rebuilt_from_distance(void **state)
{
    (void)state;
    mbl_log *log = bursts(0, false, 0);
    assert_int_equal(log->repair[MBL_REPAIR_REBUILT].count, 2000);
    assert_int_equal(log->repair[MBL_REPAIR_REBUILT].first_line, 0);
    assert_int_equal(log->repair[MBL_REPAIR_REBUILT].last_line, 1999);
    /* the last row of a burst was sent 0.05 s late, the first one 2 s: as the first stamp of the
       file is late by 2 s too, rows late in a burst move most, by 39 x 0.049 s */
    assert_near(log->repair[MBL_REPAIR_REBUILT].amount, 1.911, 0.01);
    assert_int_equal(log->rows, 2000);
    for (size_t i = 0; i < 2000; i++)
        assert_near(log->t[i], 0.05 * (double)i, 1e-6);
    mbl_log_free(log);
}

static void rounded_distance_rebuilds_time_too(void **state)
{
    (void)state;
    for (int tall = 0; tall < 2; tall++) {
        mbl_log *log = bursts(1, tall != 0, 0);
        assert_int_equal(log->repair[MBL_REPAIR_REBUILT].count, 2000);
        for (size_t i = 1; i < 2000; i++) {
            assert_near(log->t[i], 0.05 * (double)i, 0.1);
            /* a step of 1 m is 25 ms here; averaged, no interval is off by more than half */
            assert_near(log->t[i] - log->t[i - 1], 0.05, 0.025);
        }
        mbl_log_free(log);
    }
}

static void channels_go_with_rebuilt_stamps(void **state)
{
    (void)state;
    mbl_log *log = bursts(0, true, 0);
    /* altitude stands two lines below its speed, two thirds of the way to the next */
    for (size_t i = 2; i < 1999; i++)
        assert_near(log->altitude[i], (double)i - 2.0 / 3, 0.01);
    mbl_log_free(log);
}

static void a_stand_takes_the_time_that_distance_does_not_tell(void **state)
{
    (void)state;
    /* 200 rows at rest: 10 s in which no distance is driven */
    mbl_log *log = bursts(0, false, 200);
    assert_int_equal(log->repair[MBL_REPAIR_REBUILT].count, 2000);
    assert_near(log->t[799], 0.05 * 799, 0.05);
    assert_near(log->t[1999], 0.05 * 1999, 2.1);
    for (size_t i = 801; i < 998; i++)
        assert_near(log->t[i] - log->t[i - 1], 0.05, 0.012);
    mbl_log_free(log);
}

static void a_distance_in_a_wrong_unit_rebuilds_nothing(void **state)
{
    (void)state;
    /* a third short, as of speed in another unit; a tenth short, as of a worn tyre */
    static const double units[] = {0.67, 0.9};
    for (size_t k = 0; k < 2; k++) {
        mbl_import import = repair_blank();
        double s = 0;
        for (int i = 0; i < 400; i++) {
            double t = 0.05 * i;
            repair_add(&import, MBL_LOG_SPEED, floor(t + 1e-9), repair_speed(t), i + 2);
            repair_add(&import, MBL_LOG_DISTANCE, floor(t + 1e-9), units[k] * s, i + 2);
            s += 0.05 * repair_speed(t + 0.025);
        }
        mbl_log *log = repair_assemble(&import);
        assert_int_equal(log->repair[MBL_REPAIR_SPREAD].count, k == 0 ? 400 : 0);
        assert_int_equal(log->repair[MBL_REPAIR_REBUILT].count, k == 0 ? 0 : 400);
        /* the stamps know the whole to within a second */
        assert_near(log->t[399], 19.95, 1.96);
        mbl_log_free(log);
    }
}

static void stamps_of_whole_seconds_are_spread(void **state)
{
    (void)state;
    /* 20 Hz on a clock of whole seconds, from 0.4 s on; 0.05 k rounds down as often as up */
    mbl_import import = repair_blank();
    for (int i = 0; i < 500; i++) {
        double t = 0.4 + 0.05 * i;
        repair_add(&import, MBL_LOG_SPEED, floor(t + 1e-9), repair_speed(t), i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_SPREAD, 500, 2, 501, 0);
    for (size_t i = 0; i < 500; i++)
        assert_near(log->t[i], 0.05 * (double)i, 1e-9);
    mbl_log_free(log);
}

static void bursts_that_vary_tell_which_way_they_spread(void **state)
{
    (void)state;
    /* 20 Hz, sent after 1, 3, 2, 5 s in turn: each burst holds the rows before it */
    static const int wait[] = {1, 3, 2, 5};
    mbl_import import = repair_blank();
    double sent = 0;
    int row = 0;
    for (int burst = 0; burst < 40; burst++) {
        sent += wait[burst % 4];
        for (int k = 0; k < 20 * wait[burst % 4]; k++, row++)
            repair_add(&import, MBL_LOG_SPEED, sent + 1e-5 * k, repair_speed(0.05 * row), row + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_int_equal(log->repair[MBL_REPAIR_SPREAD].count, row);
    for (size_t i = 1; i < log->rows; i++)
        assert_near(log->t[i] - log->t[i - 1], 0.05, 0.002);
    mbl_log_free(log);
}

static void a_gap_between_bursts_stays_a_gap(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 500; i++) {
        double t = 0.05 * i + (i >= 200 ? 30 : 0);
        repair_add(&import, MBL_LOG_SPEED, floor(t + 1e-9), repair_speed(0.05 * i), i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_int_equal(log->repair[MBL_REPAIR_SPREAD].count, 500);
    assert_int_equal(log->repair[MBL_REPAIR_GAP].count, 1);
    assert_near(log->repair[MBL_REPAIR_GAP].amount, 30, 0.6);
    assert_int_equal(log->longest_gap_line, 202);
    mbl_log_free(log);
}

static void one_stamp_for_all_rows_is_refused(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 50; i++)
        repair_add(&import, MBL_LOG_SPEED, 3, repair_speed(i), i + 2);
    mbl_error err = repair_refused(&import);
    assert_has(err.text, "same time in all rows");
    assert_int_equal(err.line, 2);
}

static void a_few_equal_stamps_are_no_bursts(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 200; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.05 * (i % 10 == 7 ? i - 1 : i), repair_speed(0.05 * i),
                   i + 2);
    mbl_log *log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_BACK, 20, 9, 199, 0);
    mbl_log_free(log);
    /* nor is a fast logger */
    import = repair_blank();
    for (int i = 0; i < 2000; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.001 * i, repair_speed(0.001 * i), i + 2);
    log = repair_assemble(&import);
    assert_repairs(log, 0, NULL, NULL);
    mbl_log_free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bunched_stamps_are_rebuilt_from_distance),
        cmocka_unit_test(rounded_distance_rebuilds_time_too),
        cmocka_unit_test(channels_go_with_rebuilt_stamps),
        cmocka_unit_test(a_stand_takes_the_time_that_distance_does_not_tell),
        cmocka_unit_test(a_distance_in_a_wrong_unit_rebuilds_nothing),
        cmocka_unit_test(stamps_of_whole_seconds_are_spread),
        cmocka_unit_test(bursts_that_vary_tell_which_way_they_spread),
        cmocka_unit_test(a_gap_between_bursts_stays_a_gap),
        cmocka_unit_test(one_stamp_for_all_rows_is_refused),
        cmocka_unit_test(a_few_equal_stamps_are_no_bursts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
