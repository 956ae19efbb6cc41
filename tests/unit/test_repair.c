/* SPDX-License-Identifier: MIT */
/* From samples to a clean table: what needs no repair, what is refused, pressures, memory. */
#include "support/drive.h"
#include "support/repair.h"
#include "support/test_alloc.h"

/* ---- clean ---- */

static void a_clean_log_is_left_alone(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    import.header_line = 3;
    import.comments = 2;
    import.columns = 9;
    import.shape = MBL_SHAPE_TALL;
    import.clock = MBL_CLOCK_UNIX;
    for (int i = 0; i < 200; i++)
        repair_add(&import, MBL_LOG_SPEED, 7 + 0.05 * i, repair_speed(0.05 * i), i + 4);
    mbl_log *log = repair_assemble(&import);
    assert_repairs(log, 0, NULL, NULL);
    assert_int_equal(log->rows, 200);
    for (size_t i = 0; i < 200; i++) {
        assert_near(log->t[i], 0.05 * (double)i, 1e-12);
        assert_near(log->v[i], repair_speed(0.05 * (double)i), 0);
        assert_int_equal(log->line[i], i + 4);
    }
    assert_near(log->rate, 20, 1e-6);
    assert_string_equal(log->file, "x");
    assert_int_equal(log->shape, MBL_SHAPE_TALL);
    assert_int_equal(log->clock, MBL_CLOCK_UNIX);
    assert_int_equal(log->header_line, 3);
    assert_int_equal(log->comments, 2);
    assert_int_equal(log->columns, 9);
    assert_null(log->lap);
    assert_null(log->distance);
    assert_null(log->pressure_front);
    assert_false(log->has_start_line);
    mbl_log_free(log);
}

static void a_start_line_in_the_wish_is_kept(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 20; i++)
        repair_add(&import, MBL_LOG_SPEED, i, repair_speed(i), i);
    mbl_log_wish wish = {.start_line = true, .start_latitude = 12, .start_longitude = -34};
    mbl_error err = {0};
    mbl_log *log = NULL;
    assert_ok(mbl_log_assemble(&import, "x", &wish, &log, &err), err);
    assert_true(log->has_start_line);
    assert_near(log->start_latitude, 12, 0);
    assert_near(log->start_longitude, -34, 0);
    mbl_import_free(&import);
    mbl_log_free(log);
}

/* ---- pressure ---- */

/* 20 Hz, 4 s of pull and 2 s of 40 bar in turn; then standing with a foot on the pedal. */
static mbl_log *pushes(double rest, double noise, int held, bool rear)
{
    mbl_import import = repair_blank();
    uint64_t random = 9;
    for (int i = 0; i < 600 + held; i++) {
        double in = fmod(0.05 * i, 6);
        double v = i >= 600 ? 0 : in < 4 ? 20 + 5 * in : 40 - 10 * (in - 4);
        double p = i >= 600 ? 20e5 : in < 4 ? 0 : 40e5;
        p += rest + noise * drive_normal(&random);
        repair_add(&import, MBL_LOG_SPEED, 0.05 * i, v, i + 2);
        repair_add(&import, MBL_LOG_PRESSURE_FRONT, 0.05 * i, p, i + 2);
        if (rear)
            repair_add(&import, MBL_LOG_PRESSURE_REAR, 0.05 * i, 0.5 * p - 2 * rest, i + 2);
    }
    return repair_assemble(&import);
}

static void the_resting_offset_is_taken_off(void **state)
{
    (void)state;
    static const double rests[] = {0.6e5, -0.3e5};
    for (size_t k = 0; k < 2; k++) {
        mbl_log *log = pushes(rests[k], 0, 0, false);
        assert_repair(log, MBL_REPAIR_OFFSET, 1, 2, 601, rests[k]);
        assert_near(log->pressure_front[10], 0, 1e-6);
        assert_near(log->pressure_front[100], 40e5, 1e-6);
        mbl_log_free(log);
        log = pushes(rests[k], 5e3, 0, false);
        assert_near(log->repair[MBL_REPAIR_OFFSET].amount, rests[k], 1e3);
        for (size_t i = 0; i < log->rows; i++)
            assert_true(log->pressure_front[i] >= 0);
        mbl_log_free(log);
    }
    /* both circuits, each with its own; the larger is told */
    mbl_log *log = pushes(0.6e5, 0, 0, true);
    assert_repair(log, MBL_REPAIR_OFFSET, 2, 2, 601, -0.9e5);
    assert_near(log->pressure_rear[10], 0, 1e-6);
    assert_near(log->pressure_rear[100], 20e5, 1e-6);
    mbl_log_free(log);
    /* a hundredth of a bar is nobody's offset */
    log = pushes(900, 0, 0, false);
    assert_repairs(log, 0, NULL, NULL);
    mbl_log_free(log);
}

static void a_foot_on_the_pedal_at_rest_is_no_braking(void **state)
{
    (void)state;
    mbl_log *log = pushes(0, 0, 100, true);
    assert_repair(log, MBL_REPAIR_HELD, 1, 602, 701, 99 * 0.05);
    assert_near(log->pressure_front[599], 40e5, 0);
    for (size_t i = 600; i < 700; i++)
        assert_near(log->pressure_front[i] + log->pressure_rear[i], 0, 0);
    mbl_log_free(log);
}

/* ---- memory ---- */

/* Everything that can go wrong at once. */
static mbl_import wreck(const mbl_alloc *alloc, int shape)
{
    mbl_import import = repair_blank();
    import.alloc = alloc;
    uint64_t random = 3;
    for (int i = 0; i < 400; i++) {
        double t = shape == 1 ? floor(0.05 * i) : 0.05 * (i % 200);
        t = i == 77 ? 1 : t;
        bool added = true;
        if (shape != 2)
            added = mbl_import_add(&import, MBL_LOG_SPEED, t,
                                   repair_speed(t) + 0.1 * drive_normal(&random), i);
        added = added && mbl_import_add(&import, MBL_LOG_DISTANCE, t, 2.0 * (i % 200), i);
        added = added && mbl_import_add(&import, MBL_LOG_PRESSURE_FRONT, t, 1e5 * i, i);
        added = added && mbl_import_add(&import, MBL_LOG_ALTITUDE, t, i, i + 1000);
        assert_true(added);
    }
    return import;
}

static void every_failed_allocation_is_reported_and_leaks_nothing(void **state)
{
    (void)state;
    for (int shape = 0; shape < 3; shape++) {
        test_alloc t;
        test_alloc_init(&t);
        mbl_import import = wreck(&t.alloc, shape);
        size_t before = t.live_bytes;
        size_t failed = 0;
        for (t.fail_at = 1;; t.fail_at++) {
            t.calls = 0;
            mbl_error err = {0};
            mbl_log *log = NULL;
            mbl_status status = mbl_log_assemble(&import, "x", NULL, &log, &err);
            if (status == MBL_OK) {
                assert_int_equal(t.live_bytes, before + log->bytes);
                mbl_log_free(log);
                break;
            }
            failed++;
            assert_int_equal(status, MBL_MEMORY);
            assert_null(log);
            assert_int_equal(t.live_bytes, before);
        }
        assert_true(failed >= 2);
        mbl_import_free(&import);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clean_log_is_left_alone),
        cmocka_unit_test(a_start_line_in_the_wish_is_kept),
        cmocka_unit_test(the_resting_offset_is_taken_off),
        cmocka_unit_test(a_foot_on_the_pedal_at_rest_is_no_braking),
        cmocka_unit_test(every_failed_allocation_is_reported_and_leaks_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
