/* SPDX-License-Identifier: MIT */
/* Speed from distance and from positions. */
#include "support/repair.h"

static void speed_comes_from_distance(void **state)
{
    (void)state;
    /* s = 20 t + t^2: v = 20 + 2 t, which differences give exactly in the middles; two laps */
    mbl_import import = repair_blank();
    for (int i = 0; i < 200; i++) {
        double t = 0.1 * i;
        double s = 20 * t + t * t;
        repair_add(&import, MBL_LOG_DISTANCE, t, i < 120 ? s : s - 371.28, i + 2);
        repair_add(&import, MBL_LOG_ALTITUDE, t, 7 * t, i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_true(log->column[MBL_LOG_SPEED].derived);
    assert_false(log->column[MBL_LOG_SPEED].present);
    assert_int_equal(log->column[MBL_LOG_SPEED].derived_from, MBL_LOG_DISTANCE);
    assert_int_equal(log->rows, 199);
    for (size_t i = 0; i < 199; i++) {
        double t = 0.05 + 0.1 * (double)i;
        assert_near(log->t[i], t - 0.05, 1e-9);
        /* over the line the car went on as before */
        assert_near(log->v[i], 20 + 2 * (i == 119 ? t - 0.1 : t), 1e-6);
        assert_near(log->altitude[i], 7 * t, 1e-9);
    }
    assert_int_equal(log->line[0], 2);
    mbl_log_free(log);
}

static void rounded_distance_is_taken_over_longer_ways(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 600; i++) {
        double t = 0.05 * i;
        double s = 25 * t + 0.5 * t * t;
        repair_add(&import, MBL_LOG_DISTANCE, t, floor(s / 0.1 + 0.5) * 0.1, i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    /* steps of 0.1 m are 0.029 m of noise: 0.1 m/s over 0.41 s, eight intervals or nine */
    size_t width = 600 - log->rows;
    assert_true(width == 8 || width == 9);
    for (size_t i = 0; i < log->rows; i++)
        assert_near(log->v[i], 25 + log->t[i] + 0.025 * (double)width, 0.26);
    mbl_log_free(log);
}

static void speed_comes_from_positions(void **state)
{
    (void)state;
    /* a degree at 45 degrees north: 111 131.8 m of latitude, 78 846.8 m of longitude (WGS 84,
       values from memory); a thousandth of one each 2 s, then of the other */
    mbl_import import = repair_blank();
    for (int i = 0; i < 40; i++) {
        repair_add(&import, MBL_LOG_LATITUDE, 2 * i, 45 + 1e-3 * (i < 20 ? i - 10 : 10), i + 2);
        repair_add(&import, MBL_LOG_LONGITUDE, 2 * i, 179.99 + 1e-3 * (i < 20 ? 0 : i - 20), i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    assert_int_equal(log->column[MBL_LOG_SPEED].derived_from, MBL_LOG_LATITUDE);
    assert_near(log->v[5], 111.1318 / 2, 1e-3);
    assert_near(log->v[30], 78.8468 / 2, 0.01);
    mbl_log_free(log);
}

static void positions_go_round_the_date_line(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 40; i++) {
        double east = 179.99 + 5e-4 * i;
        repair_add(&import, MBL_LOG_LATITUDE, 2 * i, 0, i + 2);
        repair_add(&import, MBL_LOG_LONGITUDE, 2 * i, east > 180 ? east - 360 : east, i + 2);
    }
    mbl_log *log = repair_assemble(&import);
    /* a degree of the equator is 111 319.5 m (WGS 84, 6 378 137 m of radius) */
    for (size_t i = 0; i < log->rows; i++)
        assert_near(log->v[i], 111319.5 * 5e-4 / 2, 1e-3);
    mbl_log_free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(speed_comes_from_distance),
        cmocka_unit_test(rounded_distance_is_taken_over_longer_ways),
        cmocka_unit_test(speed_comes_from_positions),
        cmocka_unit_test(positions_go_round_the_date_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
