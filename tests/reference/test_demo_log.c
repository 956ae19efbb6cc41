/* SPDX-License-Identifier: MIT */
/* The demo's log is what its generator writes, and its braking energy is known. */
#include "road/road.h"
#include "support/demo_log.h"
#include "support/test.h"

static void the_committed_log_is_what_the_generator_writes(void **state)
{
    (void)state;
    drive_session session;
    mbl_text text;
    demo_log(&session, &text);
    drive_free(&session);
    char *data = NULL;
    size_t size = 0;
    mbl_error err = {0};
    assert_ok(mbl_file_read(&mbl_alloc_libc, MBL_SOURCE_DIR "/tracks/harrow_vale_log.csv",
                            (size_t)1 << 24, &data, &size, &err),
              err);
    assert_int_equal(size, text.length);
    assert_memory_equal(data, mbl_text_get(&text), size);
    mbl_free(&mbl_alloc_libc, data, size + 1, 1);
    mbl_text_free(&text);
}

static void the_engine_finds_the_energy_of_the_drive_in_its_log(void **state)
{
    (void)state;
    drive_session session;
    mbl_text text;
    demo_log(&session, &text);
    mbl_text_free(&text);
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    assert_ok(mbl_log_read(&mbl_alloc_libc, MBL_SOURCE_DIR "/tracks/harrow_vale_log.csv", NULL,
                           &log, &err),
              err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    assert_int_equal(trace->nlaps, session.laps);
    mbl_vehicle car = drive_coupe().body;
    size_t room = 20000;
    double *memory = calloc(3 * (room + 1), sizeof *memory);
    assert_non_null(memory);
    double found = 0;
    for (size_t i = 0; i < trace->nlaps; i++) {
        mbl_channels c = {.room = room,
                          .time = memory,
                          .speed = memory + room + 1,
                          .power = memory + 2 * (room + 1)};
        mbl_channels_lap(trace, trace->laps[i].start, trace->laps[i].end, 1, &car, 0, &car, 0.025, &c);
        found += c.energy;
    }
    printf("braking energy of the demo: true %.4e J, from the log %.4e J, %+.2f %%\n",
           session.total, found, 100 * (found / session.total - 1));
    /* the log has 0.03 m/s of noise: between the 0.5 % of a clean log and the 3 % of a noisy one */
    assert_close(found, session.total, 0.015);
    free(memory);
    mbl_trace_drop(trace);
    mbl_log_free(log);
    drive_free(&session);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_committed_log_is_what_the_generator_writes),
        cmocka_unit_test(the_engine_finds_the_energy_of_the_drive_in_its_log),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
