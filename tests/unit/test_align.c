/* SPDX-License-Identifier: MIT */
/* Channels of other rates, on the stamps of the speed. */
#include "support/repair.h"

static void slow_channels_are_put_on_the_stamps_of_the_speed(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 40; i++) {
        repair_add(&import, MBL_LOG_SPEED, 0.1 * i, repair_speed(i), i + 2);
        if (i % 10 == 5) {
            repair_add(&import, MBL_LOG_ALTITUDE, 0.1 * i, 10 * i, i + 2);
            repair_add(&import, MBL_LOG_LAP, 0.1 * i, i / 20, i + 2);
            repair_add(&import, MBL_LOG_DISTANCE, 0.1 * i, i == 25 ? 0 : 100 + 10 * i, i + 2);
        }
    }
    mbl_log *log = repair_assemble(&import);
    assert_near(log->altitude[0], 50, 0); /* before the first: the first */
    assert_near(log->altitude[5], 50, 0);
    assert_near(log->altitude[9], 90, 1e-9);
    assert_near(log->altitude[39], 350, 0); /* after the last: the last */
    assert_near(log->lap[24], 0, 0);        /* a lap holds until the next */
    assert_near(log->lap[25], 1, 0);
    assert_near(log->distance[9], 190, 1e-9);
    assert_near(log->distance[20], 250, 0); /* nor does distance slope down to a new lap */
    assert_near(log->distance[30], 225, 1e-9);
    mbl_log_free(log);
}

static void a_stamp_that_lies_elsewhere_is_placed_by_its_line(void **state)
{
    (void)state;
    /* each altitude stands half way between two speeds, but its clock is 40 s ahead */
    mbl_import import = repair_blank();
    for (int i = 0; i < 40; i++) {
        repair_add(&import, MBL_LOG_SPEED, 0.1 * i, repair_speed(i), 2 * i);
        repair_add(&import, MBL_LOG_ALTITUDE, 40 + 0.1 * i, 10 * i, 2 * i + 1);
    }
    mbl_log *log = repair_assemble(&import);
    for (size_t i = 1; i < 39; i++)
        assert_near(log->altitude[i], 10 * (double)i - 5, 1e-9);
    mbl_log_free(log);
    /* one that is right, though not half way, is placed by its clock */
    import = repair_blank();
    for (int i = 0; i < 40; i++) {
        repair_add(&import, MBL_LOG_SPEED, 0.1 * i, repair_speed(i), 2 * i);
        repair_add(&import, MBL_LOG_ALTITUDE, 0.1 * i + 0.02, 10 * i, 2 * i + 1);
    }
    log = repair_assemble(&import);
    for (size_t i = 1; i < 39; i++)
        assert_near(log->altitude[i], 10 * (double)i - 2, 1e-9);
    mbl_log_free(log);
}

static void one_channel_after_the_other_goes_by_the_clock(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 40; i++)
        repair_add(&import, MBL_LOG_SPEED, 5 + 0.1 * i, repair_speed(i), i + 2);
    for (int i = 0; i < 20; i++)
        repair_add(&import, MBL_LOG_ALTITUDE, 5 + 0.2 * i, 20 * i, i + 42);
    mbl_log *log = repair_assemble(&import);
    for (size_t i = 0; i < 38; i++)
        assert_near(log->altitude[i], 10 * (double)i, 1e-9);
    mbl_log_free(log);
}

static void longitude_does_not_slope_across_the_date_line(void **state)
{
    (void)state;
    mbl_import import = repair_blank();
    for (int i = 0; i < 20; i++) {
        repair_add(&import, MBL_LOG_SPEED, 0.1 * i, repair_speed(i), i + 2);
        if (i % 2 == 0) {
            repair_add(&import, MBL_LOG_LONGITUDE, 0.1 * i, i < 10 ? 179.99 : -179.99, i + 2);
            repair_add(&import, MBL_LOG_LATITUDE, 0.1 * i, i, i + 2);
        }
    }
    mbl_log *log = repair_assemble(&import);
    assert_near(log->longitude[9], 179.99, 1e-9);
    assert_near(log->latitude[9], 9, 1e-9);
    mbl_log_free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slow_channels_are_put_on_the_stamps_of_the_speed),
        cmocka_unit_test(a_stamp_that_lies_elsewhere_is_placed_by_its_line),
        cmocka_unit_test(one_channel_after_the_other_goes_by_the_clock),
        cmocka_unit_test(longitude_does_not_slope_across_the_date_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
