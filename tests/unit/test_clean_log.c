/* SPDX-License-Identifier: MIT */
/* A log that was saved means what the log it was made of means. */
#include "out/clean_log.h"
#include "road/figures.h"
#include "support/session.h"
#include "support/test.h"
#include "support/test_alloc.h"

#include <sys/stat.h>
#include <unistd.h>

static const mbl_vehicle car = {.mass = 1420,
                                .rotating = 0.04,
                                .drag_area = 0.72,
                                .rolling = 0.015,
                                .engine_braking = 0.4,
                                .air_density = 1.2};

typedef struct twice {
    mbl_log *log[2];
    mbl_trace *trace[2];
    mbl_text text; /* the clean copy */
} twice;

static void read_log(twice *w, int i, const char *bytes, size_t size, const mbl_log_wish *wish)
{
    mbl_error err = {0};
    assert_ok(mbl_log_parse(&mbl_alloc_libc, "a.csv", bytes, size, wish, &w->log[i], &err), err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, w->log[i], &w->trace[i], &err), err);
}

/* Reads a log, saves it clean, and reads that. */
static twice there_and_back(const char *bytes, size_t size, const mbl_log_wish *wish)
{
    twice w = {0};
    read_log(&w, 0, bytes, size, wish);
    mbl_text_init(&w.text, &mbl_alloc_libc);
    mbl_out_clean_text(w.log[0], w.trace[0], &w.text);
    assert_false(w.text.failed);
    read_log(&w, 1, mbl_text_get(&w.text), w.text.length, &(mbl_log_wish){0});
    for (int kind = 0; kind < MBL_REPAIRS; kind++)
        if (w.log[1]->repair[kind].count != 0)
            fail_msg("the copy needs repair: %s", mbl_repair_text((mbl_repair_kind)kind));
    return w;
}

static void forget(twice *w)
{
    for (int i = 0; i < 2; i++) {
        mbl_trace_drop(w->trace[i]);
        mbl_log_free(w->log[i]);
    }
    mbl_text_free(&w->text);
}

static double energy(const mbl_trace *trace)
{
    double sum = 0;
    for (size_t i = 0; i < trace->nlaps; i++) {
        mbl_lap_figures f;
        mbl_lap_measure(trace, i, &car, trace->measured ? trace->pressure_scale : 0, &f);
        sum += f.energy;
    }
    return sum;
}

static void assert_same_laps(const twice *w, double slack)
{
    assert_int_equal(w->trace[0]->nlaps, w->trace[1]->nlaps);
    for (size_t i = 0; i < w->trace[0]->nlaps; i++) {
        const mbl_lap *a = &w->trace[0]->laps[i];
        const mbl_lap *b = &w->trace[1]->laps[i];
        assert_int_equal(a->number, b->number);
        assert_int_equal(a->kind, b->kind);
        assert_near(b->start, a->start, slack);
        assert_near(b->end, a->end, slack);
    }
    assert_int_equal(w->trace[0]->median, w->trace[1]->median);
    assert_int_equal(w->trace[0]->fastest, w->trace[1]->fastest);
}

static void a_whole_session_comes_back_to_the_last_bit(void **state)
{
    (void)state;
    drive_car coupe = drive_coupe();
    drive_plan plan = drive_stint(3, 11);
    drive_session session;
    drive_run(&drive_harrow_vale, &coupe, &plan, &session);
    drive_format format = {.rate = 20,
                           .noise = 0.05,
                           .unit = "mph",
                           .lap = true,
                           .distance = true,
                           .altitude = true,
                           .seed = 5};
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    drive_write(&session, &format, &csv);
    drive_free(&session);
    twice w = there_and_back(mbl_text_get(&csv), csv.length, &(mbl_log_wish){0});
    assert_int_equal(w.log[0]->rows, w.log[1]->rows);
    for (size_t i = 0; i < w.log[0]->rows; i++) {
        assert_near(w.log[1]->t[i], w.log[0]->t[i], 0);
        assert_near(w.log[1]->v[i], w.log[0]->v[i], 0);
        assert_near(w.log[1]->altitude[i], w.log[0]->altitude[i], 0);
        assert_near(w.log[1]->distance[i], w.log[0]->distance[i], 0);
    }
    assert_same_laps(&w, 0);
    assert_near(energy(w.trace[1]), energy(w.trace[0]), 0);
    assert_true(energy(w.trace[0]) > 1000); /* three hot laps: several kJ/kg */
    forget(&w);
    mbl_text_free(&csv);
}

/* Round and round a circle of 160 m at 10 Hz: up to 40 m/s, down to 15, in 13.4 s. */
static double speed_at(double t)
{
    double phase = fmod(t, 13.4);
    return phase < 10 ? 15 + 2.5 * phase : fmax(15, 40 - 7.35 * (phase - 10));
}

static void drive_circle(mbl_text *csv, int rows, int skip_from, int skip_to)
{
    double s = 0;
    mbl_text_print(csv, "Time,Speed,Lat,Lon,Front Pressure\ns,m/s,deg,deg,psi\n");
    for (int i = 0; i < rows; i++) {
        double t = 0.1 * i;
        double v = speed_at(t);
        bool braking = fmod(t, 13.4) > 10;
        if (i < skip_from || i >= skip_to)
            mbl_text_print(
                csv, "%.1f,%.3f,%.8f,%.8f,%.1f\n", t, v, 12.5 + 160 * sin(s / 160) / 111194.9,
                -34.25 + 160 * (1 - cos(s / 160)) / (111194.9 * cos(12.5 * 3.14159265 / 180)),
                braking ? 500.0 : 20.0);
        s += 0.1 * v;
    }
}

static void laps_of_a_start_line_come_back_as_numbers(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    drive_circle(&csv, 1600, 0, 0);
    /* a quarter of the circle on: the line is crossed between rows */
    const mbl_log_wish wish = {.start_line = true,
                               .start_latitude = 12.5 + 160 / 111194.9,
                               .start_longitude =
                                   -34.25 + 160 / (111194.9 * cos(12.5 * 3.14159265 / 180))};
    twice w = there_and_back(mbl_text_get(&csv), csv.length, &wish);
    /* 160 s at a mean of 27.4 m/s are 4.4 km, over 1005 m a lap */
    assert_true(w.trace[0]->nlaps >= 4);
    assert_true(w.log[1]->rows > w.log[0]->rows);
    assert_same_laps(&w, 1e-9);
    assert_close(energy(w.trace[1]), energy(w.trace[0]), 1e-3);
    assert_has(mbl_text_get(&w.text), "time,speed,lap,");
    assert_has(mbl_text_get(&w.text), ",pressure_front,latitude,longitude\ns,m/s,,");
    forget(&w);
    mbl_text_free(&csv);
}

static void a_gap_is_filled_at_the_rate_of_the_log(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    drive_circle(&csv, 400, 200, 215);
    twice w = there_and_back(mbl_text_get(&csv), csv.length, &(mbl_log_wish){0});
    assert_int_equal(w.log[0]->repair[MBL_REPAIR_GAP].count, 1);
    assert_near(w.log[0]->repair[MBL_REPAIR_GAP].amount, 1.6, 1e-9);
    assert_int_equal(w.log[1]->rows, 400);
    assert_true(w.log[1]->longest_gap < 0.11);
    assert_close(energy(w.trace[1]), energy(w.trace[0]), 0.01);
    forget(&w);
    mbl_text_free(&csv);
}

static void a_file_is_written_whole_or_not_at_all(void **state)
{
    (void)state;
    mbl_text csv;
    mbl_text_init(&csv, &mbl_alloc_libc);
    drive_circle(&csv, 200, 0, 0);
    twice w = there_and_back(mbl_text_get(&csv), csv.length, &(mbl_log_wish){0});
    mbl_error err = {0};
    char path[256];
    struct stat info;
    snprintf(path, sizeof path, "%s/test_clean_log_%ld.csv", MBL_BINARY_DIR, (long)getpid());
    assert_ok(mbl_out_clean_log(w.log[0], w.trace[0], path, &err), err);
    char *bytes = NULL;
    size_t size = 0;
    assert_ok(mbl_file_read(&mbl_alloc_libc, path, 1 << 20, &bytes, &size, &err), err);
    assert_int_equal(size, w.text.length);
    assert_memory_equal(bytes, mbl_text_get(&w.text), size);
    mbl_free(&mbl_alloc_libc, bytes, size + 1, 1);
    unlink(path);
    assert_int_equal(mbl_out_clean_log(w.log[0], w.trace[0], "/no/such/folder/a.csv", &err),
                     MBL_FILE);

    /* memory that fails leaves nothing behind */
    test_alloc t;
    test_alloc_init(&t);
    t.fail_at = 1;
    const mbl_alloc *own = w.log[0]->alloc;
    w.log[0]->alloc = &t.alloc;
    err = (mbl_error){0};
    assert_int_equal(mbl_out_clean_log(w.log[0], w.trace[0], path, &err), MBL_MEMORY);
    w.log[0]->alloc = own;
    assert_int_not_equal(stat(path, &info), 0);
    assert_int_equal(t.live_bytes, 0);
    forget(&w);
    mbl_text_free(&csv);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_whole_session_comes_back_to_the_last_bit),
        cmocka_unit_test(laps_of_a_start_line_come_back_as_numbers),
        cmocka_unit_test(a_gap_is_filled_at_the_rate_of_the_log),
        cmocka_unit_test(a_file_is_written_whole_or_not_at_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
