/* SPDX-License-Identifier: MIT */
/* A clock that only goes forward: what is carried on, what is left out, what is refused. */
#include "support/repair.h"

/* Three laps of 10 s at 10 Hz on a clock that begins again; a lap column, or none. */
static mbl_log *three_laps(bool laps, bool distance, double first)
{
    mbl_import import = repair_blank();
    for (int i = 0; i < 300; i++) {
        double t = 0.1 * (i % 100) + (i < 100 ? first : 0);
        repair_add(&import, MBL_LOG_SPEED, t, repair_speed(0.1 * i), i + 2);
        if (laps)
            repair_add(&import, MBL_LOG_LAP, t, 4 + i / 100, i + 2);
        if (distance)
            repair_add(&import, MBL_LOG_DISTANCE, t, 4.0 * (i % 100), i + 2);
    }
    return repair_assemble(&import);
}

static void a_clock_that_begins_again_is_carried_on(void **state)
{
    (void)state;
    for (int k = 0; k < 4; k++) {
        mbl_log *log = three_laps(k == 1 || k == 3, k >= 2, k == 0 ? 3 : 0);
        assert_repair(log, MBL_REPAIR_RESET, 2, 102, 202, 0);
        assert_int_equal(log->rows, 300);
        for (size_t i = 0; i < 300; i++)
            assert_near(log->t[i], 0.1 * (double)i, 1e-9);
        mbl_log_free(log);
    }
}

static void a_reset_makes_laps_where_there_are_none(void **state)
{
    (void)state;
    mbl_log *log = three_laps(false, false, 0);
    assert_true(log->column[MBL_LOG_LAP].derived);
    assert_false(log->column[MBL_LOG_LAP].present);
    assert_int_equal(log->column[MBL_LOG_LAP].derived_from, MBL_LOG_TIME);
    assert_near(log->lap[99], 1, 0);
    assert_near(log->lap[100], 2, 0);
    assert_near(log->lap[299], 3, 0);
    mbl_log_free(log);
    log = three_laps(true, false, 0);
    assert_false(log->column[MBL_LOG_LAP].derived);
    assert_near(log->lap[100], 5, 0);
    mbl_log_free(log);
}

static void channels_follow_a_clock_that_begins_again(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 300; i++) {
        double t = 0.1 * (i % 100);
        repair_add(&import, MBL_LOG_SPEED, t, repair_speed(0.1 * i), 2 * i);
        /* a line of its own, half an interval later */
        repair_add(&import, MBL_LOG_ALTITUDE, t + 0.05, 100 + i, 2 * i + 1);
    }
    mbl_log *log = repair_assemble(&import);
    assert_near(log->altitude[0], 100, 0);
    for (size_t i = 1; i < 300; i++)
        assert_near(log->altitude[i], 99.5 + (double)i, 1e-9);
    mbl_log_free(log);
}

static void a_fall_that_is_no_lap_costs_its_rows(void **state)
{
    (void)state;
    /* the clock is put back by 3 s after 20 s, not to its beginning */
    mbl_import import = repair_blank();
    for (int i = 0; i < 400; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.1 * i - (i >= 200 ? 3 : 0), repair_speed(0.1 * i),
                   i + 2);
    mbl_log *log = repair_assemble(&import);
    assert_int_equal(log->repair[MBL_REPAIR_RESET].count, 0);
    assert_near((double)log->repair[MBL_REPAIR_BACK].count, 30, 1);
    for (size_t i = 1; i < log->rows; i++)
        assert_true(log->t[i] > log->t[i - 1]);
    mbl_log_free(log);
    /* a single stamp of near the first is a slip, whatever the lap says */
    import = repair_blank();
    for (int i = 0; i < 100; i++) {
        repair_add(&import, MBL_LOG_SPEED, i == 60 ? 0.1 : 0.1 * i, repair_speed(0.1 * i), i + 2);
        repair_add(&import, MBL_LOG_LAP, 0.1 * i, i >= 60, i + 2);
    }
    log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_BACK, 1, 62, 62, 0);
    mbl_log_free(log);
}

static void without_a_lap_that_changes_a_reset_must_last(void **state)
{
    (void)state;
    /* 20 rows of an old time, then on as before: with laps that do not change, no reset */
    mbl_import import = repair_blank();
    for (int i = 0; i < 200; i++) {
        bool old = i >= 100 && i < 120;
        repair_add(&import, MBL_LOG_SPEED, 0.1 * (old ? i - 100 : i), repair_speed(0.1 * i), i + 2);
        repair_add(&import, MBL_LOG_LAP, 0.1 * i, 1, i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    static const mbl_repair_kind kinds[] = {MBL_REPAIR_BACK, MBL_REPAIR_GAP};
    static const size_t counts[] = {20, 1};
    assert_repairs(log, 2, kinds, counts);
    assert_int_equal(log->repair[MBL_REPAIR_BACK].first_line, 102);
    assert_int_equal(log->repair[MBL_REPAIR_BACK].last_line, 121);
    assert_near(log->t[log->rows - 1], 19.9, 1e-9);
    mbl_log_free(log);
}

static void rows_out_of_order_cost_no_more_than_themselves(void **state)
{
    (void)state;
    /* 30 and 31 changed places; 60 is far ahead; 80 has the time of 79 but another speed */
    mbl_import import = repair_blank();
    for (int i = 0; i < 100; i++) {
        int j = i == 30 ? 31 : i == 31 ? 30 : i;
        double t = i == 60 ? 1000 : i == 80 ? 7.9 : 0.1 * j;
        repair_add(&import, MBL_LOG_SPEED, t, repair_speed(0.1 * j), i + 2);
        repair_add(&import, MBL_LOG_ALTITUDE, t, 10 * j, i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_BACK, 3, 33, 82, 0);
    assert_int_equal(log->rows, 97);
    for (size_t i = 0; i < log->rows; i++) {
        assert_near(log->v[i], repair_speed(log->t[i]), 1e-9);
        assert_near(log->altitude[i], 100 * log->t[i], 1e-9);
    }
    mbl_log_free(log);
}

static void rows_written_twice_are_repeats(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 100; i++)
        repair_add(&import, MBL_LOG_SPEED, 0.1 * (i / 2), repair_speed(0.1 * (i / 2)), i + 2);
    mbl_log *log = repair_assemble(&import);
    assert_repair(log, MBL_REPAIR_REPEATED, 50, 3, 101, 0);
    assert_int_equal(log->rows, 50);
    assert_near(log->t[49], 4.9, 1e-9);
    mbl_log_free(log);
}

static void a_clock_that_runs_backwards_is_refused(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_SPEED, 10 - 0.1 * i, repair_speed(i), i + 5);
    mbl_error err = repair_refused(&import);
    assert_has(err.text, "\"Time\" does not increase: 39 of 40 rows");
    assert_int_equal(err.line, 6);
}

static void too_few_rows_are_refused(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 9; i++)
        repair_add(&import, MBL_LOG_SPEED, i, repair_speed(i), i + 5);
    import.rows = 12;
    mbl_repair_note(&import.repair[MBL_REPAIR_UNREADABLE], 8, 0);
    mbl_repair_note(&import.repair[MBL_REPAIR_BLANK], 7, 0);
    mbl_error err = repair_refused(&import);
    assert_has(err.text, "only 9 rows with time and speed (3 left out); a log needs 10");
    assert_int_equal(err.line, 7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clock_that_begins_again_is_carried_on),
        cmocka_unit_test(a_reset_makes_laps_where_there_are_none),
        cmocka_unit_test(channels_follow_a_clock_that_begins_again),
        cmocka_unit_test(a_fall_that_is_no_lap_costs_its_rows),
        cmocka_unit_test(without_a_lap_that_changes_a_reset_must_last),
        cmocka_unit_test(rows_out_of_order_cost_no_more_than_themselves),
        cmocka_unit_test(rows_written_twice_are_repeats),
        cmocka_unit_test(a_clock_that_runs_backwards_is_refused),
        cmocka_unit_test(too_few_rows_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
