/* SPDX-License-Identifier: MIT */
/* Samples that repeat, and speeds that cannot be: what is bridged, and what must be left alone. */
#include "support/drive.h"
#include "support/repair.h"

/* ---- samples that repeat ---- */

/* 50 Hz rows of a 10 Hz sensor, speeds in steps; stands for the last `still` rows. */
static mbl_log *slow_sensor(double step, bool position, int still)
{
    mbl_import import = repair_blank();
    for (int i = 0; i < 1000; i++) {
        int fix = i / 5 * 5;
        double v = i >= 1000 - still ? 0 : repair_speed(0.02 * fix);
        repair_add(&import, MBL_LOG_SPEED, 0.02 * i, step > 0 ? floor(v / step + 0.5) * step : v,
                   i + 2);
        if (!position)
            continue;
        repair_add(&import, MBL_LOG_LATITUDE, 0.02 * i,
                   10 + 1e-5 * (i >= 1000 - still ? 1000 - still : fix), i + 2);
        repair_add(&import, MBL_LOG_LONGITUDE, 0.02 * i, 20, i + 2);
    }
    return repair_assemble(&import);
}

static void samples_that_repeat_are_left_out(void **state)
{
    (void)state;
    for (int k = 0; k < 2; k++) {
        mbl_log *log = slow_sensor(k == 0 ? 0 : 1, k == 1, 0);
        assert_int_equal(log->repair[MBL_REPAIR_REPEATED].count, 800);
        assert_int_equal(log->repair[MBL_REPAIR_REPEATED].first_line, 3);
        assert_int_equal(log->rows, 200);
        for (size_t i = 0; i < 200; i++)
            assert_near(log->t[i], 0.1 * (double)i, 1e-9);
        mbl_log_free(log);
    }
}

static void a_stand_is_kept_at_the_rate_of_the_sensor(void **state)
{
    (void)state;
    mbl_log *log = slow_sensor(0, true, 300);
    assert_int_equal(log->rows, 200);
    assert_near(log->t[199], 19.9, 1e-9);
    assert_near(log->v[199], 0, 0);
    mbl_log_free(log);
}

static void rounded_speeds_repeat_by_right(void **state)
{
    (void)state;
    /* whole km/h at 100 Hz hardly ever change from row to row */
    mbl_import import = repair_blank();
    for (int i = 0; i < 4000; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.01 * i,
                   floor(repair_speed(0.01 * i) * 3.6 + 0.5) / 3.6, i + 2);
    mbl_log *log = repair_assemble(&import);
    assert_repairs(log, 0, NULL, NULL);
    mbl_log_free(log);
    /* and a distance in whole metres says no more */
    import = repair_blank();
    for (int i = 0; i < 4000; i++) {
        repair_add(&import, MBL_LOG_SPEED, 0.01 * i,
                   floor(repair_speed(0.01 * i) * 3.6 + 0.5) / 3.6, i + 2);
        repair_add(&import, MBL_LOG_DISTANCE, 0.01 * i, floor(40 * 0.01 * i), i + 2);
    }
    log = repair_assemble(&import);
    assert_int_equal(log->repair[MBL_REPAIR_REPEATED].count, 0);
    mbl_log_free(log);
}

/* ---- speeds that cannot be ---- */

/* 20 Hz; the speed stands still in rows [from, to); distance or positions as wished. */
static mbl_log *frozen(int from, int to, bool distance)
{
    mbl_import import = repair_blank();
    double s = 0;
    for (int i = 0; i < 400; i++) {
        double t = 0.05 * i;
        double v =
            i < 200 ? 30 + 2 * (t > 5 ? 5 : t) - (t > 5 ? 6 * (t - 5) : 0) : 10 + 2 * (t - 10);
        v += 1e-4 * (i % 7);
        double shown = i >= from && i < to ? 30 + 2 * 0.05 * from : v;
        repair_add(&import, MBL_LOG_SPEED, t, shown, i + 2);
        if (distance)
            repair_add(&import, MBL_LOG_DISTANCE, t, s, i + 2);
        s += v * 0.05;
    }
    return repair_assemble(&import);
}

static void a_speed_that_stands_still_in_a_moving_car_is_bridged(void **state)
{
    (void)state;
    /* through the top of the speed: 2 s at 39 m/s, from where it falls to 30.6 */
    mbl_log *log = frozen(90, 130, true);
    assert_repair(log, MBL_REPAIR_FROZEN, 40, 92, 131, 1.95);
    assert_near(log->v[90], 39, 1e-9);
    assert_near(log->v[130], 40 - 6 * 1.5, 1e-2);
    for (size_t i = 90; i < 130; i++)
        assert_near(log->v[i], 39 + (31 - 39) * (double)(i - 90) / 40, 1e-2);
    mbl_log_free(log);
    /* without a distance the jump at its end tells: 8 m/s in 0.05 s */
    log = frozen(90, 130, false);
    assert_repair(log, MBL_REPAIR_FROZEN, 40, 92, 131, 1.95);
    mbl_log_free(log);
}

static void a_speed_that_is_steady_is_not_frozen(void **state)
{
    (void)state;
    /* 3 s at a limiter, in steps and not, with the distance to go with it, 4 % off */
    for (int k = 0; k < 2; k++) {
        mbl_import import = repair_blank();
        double s = 0;
        for (int i = 0; i < 400; i++) {
            double v = i < 100 ? 30 - 0.1 * i : i < 160 ? 20 : 20 + 0.1 * (i - 159);
            repair_add(&import, MBL_LOG_SPEED, 0.05 * i, v, i + 2);
            if (k == 1)
                repair_add(&import, MBL_LOG_DISTANCE, 0.05 * i, 1.04 * s, i + 2);
            s += 0.05 * v;
        }
        mbl_log *log = repair_assemble(&import);
        assert_int_equal(log->repair[MBL_REPAIR_FROZEN].count, 0);
        mbl_log_free(log);
    }
}

static void a_frozen_beginning_and_end_are_cut_off(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 600; i++) {
        int shown = i < 26 ? 0 : i >= 572 ? 572 : i;
        repair_add(&import, MBL_LOG_SPEED, 0.05 * i, repair_speed(0.05 * shown), i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_FROZEN, 54, 2, 601, 1.25 + 1.35);
    assert_int_equal(log->rows, 546);
    assert_int_equal(log->line[0], 28);
    assert_near(log->t[0], 0, 0);
    assert_near(log->t[545], 27.25, 1e-9);
    mbl_log_free(log);
    /* more than a tenth of the time is too much to cut */
    import = repair_blank();
    for (int i = 0; i < 600; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.01 * i, repair_speed(0.01 * (i < 70 ? 0 : i)), i + 2);
    log = repair_assemble(&import);
    assert_int_equal(log->rows, 600);
    mbl_log_free(log);
    /* half a second, or four rows, is the least; a log of one speed stays */
    import = repair_blank();
    for (int i = 0; i < 600; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.05 * i, repair_speed(0.05 * (i < 9 ? 0 : i)), i + 2);
    log = repair_assemble(&import);
    assert_int_equal(log->rows, 600);
    mbl_log_free(log);
    import = repair_blank();
    for (int i = 0; i < 600; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.05 * i, 33, i + 2);
    log = repair_assemble(&import);
    assert_repairs(log, 0, NULL, NULL);
    mbl_log_free(log);
}

static void a_spike_is_bridged_and_a_step_is_not(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 400; i++) {
        double v = repair_speed(0.05 * i);
        if (i == 50)
            v = 0; /* down and up */
        if (i == 100 || i == 101)
            v += 30; /* two rows */
        if (i == 150)
            v += 1; /* 20 m/s2: a car can */
        if (i >= 200)
            v -= 5; /* never comes back */
        if (i == 300)
            v = 250; /* no car has it, nor is it the unit's fault */
        repair_add(&import, MBL_LOG_SPEED, 0.05 * i, v, i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_SPIKE, 4, 52, 302, 0);
    assert_near(log->v[50], 0.5 * (repair_speed(2.45) + repair_speed(2.55)), 1e-9);
    assert_near(log->v[100], (2 * repair_speed(4.95) + repair_speed(5.1)) / 3, 1e-9);
    assert_near(log->v[150], repair_speed(7.5) + 1, 0);
    assert_near(log->v[200], repair_speed(10) - 5, 0);
    assert_near(log->v[300], repair_speed(15) - 5, 0.01);
    mbl_log_free(log);
}

static void noise_and_rounding_are_no_spikes(void **state)
{
    (void)state;
    uint64_t random = 4;
    for (int k = 0; k < 2; k++) {
        mbl_import import = repair_blank();
        /* at 200 Hz 0.3 m/s of noise is 85 m/s2 from row to row, two mph are 179 */
        for (int i = 0; i < 4000; i++) {
            double v = repair_speed(0.005 * i) + (k == 0 ? 0.3 * drive_normal(&random) : 0);
            if (k == 1)
                v = (floor(v / 0.44704 + 0.5) + 2 * (i % 40 == 7)) * 0.44704;
            repair_add(&import, MBL_LOG_SPEED, 0.005 * i, v, i + 2);
        }
        mbl_log *log = repair_assemble(&import);
        assert_int_equal(log->repair[MBL_REPAIR_SPIKE].count, 0);
        mbl_log_free(log);
    }
}

static void gaps_are_counted_with_their_seconds(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    double t = 0;
    for (int i = 0; i < 100; i++) {
        /* 0.9 s is none at 10 Hz, 1.1 s is */
        t += i == 20 ? 0.9 : i == 40 ? 1.1 : i == 60 ? 4 : 0.1;
        repair_add(&import, MBL_LOG_SPEED, t, repair_speed(t), i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_GAP, 2, 42, 62, 5.1);
    assert_near(log->longest_gap, 4, 1e-9);
    assert_int_equal(log->longest_gap_line, 62);
    mbl_log_free(log);
    /* at 1 Hz, five intervals are the limit */
    import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_SPEED, i + (i >= 20 ? 4.5 : 0), repair_speed(i), i + 2);
    log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_GAP, 1, 22, 22, 5.5);
    mbl_log_free(log);
    import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_SPEED, i + (i >= 20 ? 3.5 : 0), repair_speed(i), i + 2);
    log = repair_assemble(&import);
    assert_int_equal(log->repair[MBL_REPAIR_GAP].count, 0);
    mbl_log_free(log);
}

static void speeds_no_car_has_are_refused(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_SPEED, i, 4 * repair_speed(i), i + 2);
    mbl_error err = repair_refused(&import);
    assert_has(err.text, "\"Speed\", read in m/s, is 576 km/h here");
    assert_has(err.text, "speed_unit = \"km/h\"");
    assert_int_equal(err.line, 2);
    import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_SPEED, i, -1.01, i + 2);
    err = repair_refused(&import);
    assert_has(err.text, "cannot be below zero");
    import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_DISTANCE, i, 160 * i, i + 2);
    err = repair_refused(&import);
    assert_has(err.text, "worked out from distance is 576 km/h");
    /* a little below zero is a sensor at rest */
    import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_SPEED, i, i < 20 ? -0.9 : i - 20, i + 2);
    mbl_log *log = repair_assemble(&import);
    assert_near(log->v[3], 0, 0);
    assert_near(log->v[25], 5, 0);
    mbl_log_free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(samples_that_repeat_are_left_out),
        cmocka_unit_test(a_stand_is_kept_at_the_rate_of_the_sensor),
        cmocka_unit_test(rounded_speeds_repeat_by_right),
        cmocka_unit_test(a_speed_that_stands_still_in_a_moving_car_is_bridged),
        cmocka_unit_test(a_speed_that_is_steady_is_not_frozen),
        cmocka_unit_test(a_frozen_beginning_and_end_are_cut_off),
        cmocka_unit_test(a_spike_is_bridged_and_a_step_is_not),
        cmocka_unit_test(noise_and_rounding_are_no_spikes),
        cmocka_unit_test(gaps_are_counted_with_their_seconds),
        cmocka_unit_test(speeds_no_car_has_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
