/* SPDX-License-Identifier: MIT */
/* Lateral acceleration and yaw rate: as columns of a log, and as curvature. */
#include "road/turning.h"
#include "support/import.h"
#include "support/test_alloc.h"

#define PI 3.141592653589793

/* Ten rows of one channel at 10 m/s; the value of the sixth, in SI. */
static double sixth(const char *head, const mbl_log_wish *wish, mbl_log_role role)
{
    char text[400];
    int n = snprintf(text, sizeof text, "Time [s],Speed [m/s],%s\n", head);
    for (int i = 0; i < 10; i++)
        n += snprintf(text + n, sizeof text - (size_t)n, "%d,10,%d\n", i, i - 3);
    mbl_import import = import_text(text, wish);
    assert_true(import.column[role].present);
    assert_int_equal(import.series[role].n, 10);
    double x = import.series[role].x[5];
    mbl_import_free(&import);
    return x;
}

static void lateral_acceleration_is_guessed_in_g_and_metres(void **state)
{
    (void)state;
    /* 2 g; standard gravity 9.80665 m/s2 (3rd CGPM 1901) */
    assert_near(sixth("Lateral acceleration [g]", NULL, MBL_LOG_LATERAL), 2 * 9.80665, 1e-12);
    assert_near(sixth("LatAcc (m/s^2)", NULL, MBL_LOG_LATERAL), 2, 1e-12);
    assert_near(sixth("G lat [G]", NULL, MBL_LOG_LATERAL), 2 * 9.80665, 1e-12);
}

static void yaw_rate_is_guessed_in_degrees_and_radians(void **state)
{
    (void)state;
    double degrees = 2 * PI / 180;
    assert_near(sixth("Yaw rate [deg/s]", NULL, MBL_LOG_YAW_RATE), degrees, 1e-15);
    assert_near(sixth("YawRate [\xC2\xB0/s]", NULL, MBL_LOG_YAW_RATE), degrees, 1e-15);
    assert_near(sixth("yaw_rate (rad/s)", NULL, MBL_LOG_YAW_RATE), 2, 1e-15);
    assert_near(sixth("Gyro Z [dps]", NULL, MBL_LOG_YAW_RATE), degrees, 1e-15);
}

static void both_can_be_named_with_their_units(void **state)
{
    (void)state;
    assert_near(sixth("psi dot",
                      &(mbl_log_wish){.column = {[MBL_LOG_YAW_RATE] = "psi dot"},
                                      .unit = {[MBL_LOG_YAW_RATE] = "rad/s"}},
                      MBL_LOG_YAW_RATE),
                2, 1e-15);
    assert_near(sixth("y",
                      &(mbl_log_wish){.column = {[MBL_LOG_LATERAL] = "y"},
                                      .unit = {[MBL_LOG_LATERAL] = "m/s2"}},
                      MBL_LOG_LATERAL),
                2, 1e-15);
}

static void the_key_of_a_missing_unit_is_that_of_a_course(void **state)
{
    (void)state;
    mbl_log_wish wish = {.column = {[MBL_LOG_LATERAL] = "y"}};
    mbl_error err = import_refused("Time [s],Speed [m/s],y\n0,1,2\n1,1,2\n", &wish);
    assert_has(err.text, "lateral_unit = \"g\"");
    wish = (mbl_log_wish){.column = {[MBL_LOG_YAW_RATE] = "y"}};
    err = import_refused("Time [s],Speed [m/s],y\n0,1,2\n1,1,2\n", &wish);
    assert_has(err.text, "yaw_rate_unit = \"deg/s\"");
}

/* Repeated or with another unit, they are left aside or the first is taken: no log fails by them.
 */
static void columns_of_no_use_do_no_harm(void **state)
{
    (void)state;
    mbl_import import = import_text("Time [s],Speed [m/s],Yaw rate,Gyro Z [V],Lat Acc [V]\n"
                                    "0,10,1,1,1\n1,10,1,1,1\n",
                                    NULL);
    assert_false(import.column[MBL_LOG_YAW_RATE].present);
    assert_false(import.column[MBL_LOG_LATERAL].present);
    mbl_import_free(&import);
    import = import_text("Time [s],Speed [m/s],Yaw rate [deg/s],Yaw rate [deg/s]\n"
                         "0,10,1,2\n1,10,1,2\n",
                         NULL);
    assert_true(import.column[MBL_LOG_YAW_RATE].present);
    assert_int_equal(import.column[MBL_LOG_YAW_RATE].repeats, 1);
    mbl_import_free(&import);
}

/* A log of n rows at 20 m/s with two slow ones. */
enum { ROWS = 20 };
static double t[ROWS], v[ROWS], x[ROWS], y[ROWS];

static mbl_log rows(void)
{
    for (int i = 0; i < ROWS; i++) {
        t[i] = 0.1 * i;
        v[i] = i == 10 || i == 11 ? 1 : 20;
        x[i] = 0.1 + 0.01 * i;
        y[i] = -x[i];
    }
    return (mbl_log){.rows = ROWS, .t = t, .v = v};
}

static void curvature_is_turning_over_speed_and_slow_rows_carry_it_over(void **state)
{
    (void)state;
    mbl_arena arena;
    mbl_turning out;
    mbl_error err = {0};
    mbl_arena_init(&arena, &mbl_alloc_libc);
    mbl_log log = rows();
    log.yaw_rate = x;
    log.accel_lat = y;
    assert_ok(mbl_turning_find(&arena, &log, &out, &err), err);
    assert_int_equal(out.told, MBL_TOLD_YAW_RATE);
    assert_near(out.curvature[3], 0.13 / 20, 1e-15);
    /* a third and two thirds of the way from 0.19 / 20 to 0.22 / 20 */
    assert_near(out.curvature[10], 0.20 / 20, 1e-15);
    assert_near(out.curvature[11], 0.21 / 20, 1e-15);
    log.yaw_rate = NULL;
    assert_ok(mbl_turning_find(&arena, &log, &out, &err), err);
    assert_int_equal(out.told, MBL_TOLD_LATERAL);
    assert_near(out.curvature[3], -0.13 / 400, 1e-15);
    mbl_arena_free(&arena);
}

/* Metres in a degree at the equator, WGS 84: 110 574 m north, 111 320 m east (from memory). */
static void positions_are_in_metres_from_the_first_also_across_the_date_line(void **state)
{
    (void)state;
    mbl_arena arena;
    mbl_turning out;
    mbl_error err = {0};
    mbl_arena_init(&arena, &mbl_alloc_libc);
    mbl_log log = rows();
    for (int i = 0; i < ROWS; i++) {
        x[i] = 0.0001 * i;
        y[i] = 179.9995 + 0.0001 * i - (i > 4 ? 360 : 0);
    }
    log.latitude = x;
    log.longitude = y;
    assert_ok(mbl_turning_find(&arena, &log, &out, &err), err);
    assert_int_equal(out.told, MBL_TOLD_POSITIONS);
    assert_near(out.north[10], 110.574, 0.001);
    assert_near(out.east[10], 111.320, 0.001);
    mbl_arena_free(&arena);
}

static void memory_may_run_out_anywhere(void **state)
{
    (void)state;
    mbl_log log = rows();
    log.yaw_rate = x;
    for (int places = 0; places < 2; places++) {
        log.latitude = places ? x : NULL;
        log.longitude = places ? y : NULL;
        test_alloc a;
        test_alloc_init(&a);
        a.fail_at = 1;
        mbl_arena arena;
        mbl_turning out = {.told = MBL_TOLD_LATERAL};
        mbl_error err = {0};
        mbl_arena_init(&arena, &a.alloc);
        assert_int_equal(mbl_turning_find(&arena, &log, &out, &err), MBL_MEMORY);
        assert_int_equal(out.told, MBL_TOLD_LATERAL);
        mbl_arena_free(&arena);
        assert_int_equal(a.live_bytes, 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lateral_acceleration_is_guessed_in_g_and_metres),
        cmocka_unit_test(yaw_rate_is_guessed_in_degrees_and_radians),
        cmocka_unit_test(both_can_be_named_with_their_units),
        cmocka_unit_test(the_key_of_a_missing_unit_is_that_of_a_course),
        cmocka_unit_test(columns_of_no_use_do_no_harm),
        cmocka_unit_test(curvature_is_turning_over_speed_and_slow_rows_carry_it_over),
        cmocka_unit_test(positions_are_in_metres_from_the_first_also_across_the_date_line),
        cmocka_unit_test(memory_may_run_out_anywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
