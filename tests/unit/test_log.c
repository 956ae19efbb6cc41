/* SPDX-License-Identifier: MIT */
#include "road/log.h"
#include "support/drive.h"
#include "support/test.h"
#include "support/test_alloc.h"

/* Twelve rows at 10 Hz from 20 m/s up, as `format` writes time and speed. */
static void rows(mbl_text *text, const char *format, double per)
{
    for (int i = 0; i < 12; i++)
        mbl_text_print(text, format, i * 0.1, (20 + i * 0.5) * per);
}

static mbl_status parse(const char *text, const mbl_log_wish *wish, mbl_log **log, mbl_error *err)
{
    *err = (mbl_error){0};
    return mbl_log_parse(&mbl_alloc_libc, "x.csv", text, strlen(text), wish, log, err);
}

/* The log of a head and plain rows; fails the test when it cannot be read. */
static mbl_log *read_with(const char *head, const char *format, double per,
                          const mbl_log_wish *wish)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "%s", head);
    rows(&text, format, per);
    mbl_error err;
    mbl_log *log = NULL;
    assert_ok(parse(mbl_text_get(&text), wish, &log, &err), err);
    mbl_text_free(&text);
    return log;
}

/* The error of a whole text, which must fail. */
static mbl_error refuse(const char *text, const mbl_log_wish *wish)
{
    mbl_error err;
    mbl_log *log = NULL;
    assert_int_equal(parse(text, wish, &log, &err), MBL_INPUT);
    assert_null(log);
    assert_string_equal(err.file, "x.csv");
    return err;
}

static mbl_error refuse_with(const char *head, const char *format, double per,
                             const mbl_log_wish *wish)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "%s", head);
    rows(&text, format, per);
    mbl_error err = refuse(mbl_text_get(&text), wish);
    mbl_text_free(&text);
    return err;
}

static size_t repairs(const mbl_log *log)
{
    size_t n = 0;
    for (int k = 0; k < MBL_REPAIRS; k++)
        n += log->repair[k].count;
    return n;
}

static void assert_plain(mbl_log *log)
{
    assert_int_equal(log->rows, 12);
    for (size_t i = 0; i < 12; i++) {
        assert_near(log->t[i], 0.1 * (double)i, 1e-9);
        assert_near(log->v[i], 20 + 0.5 * (double)i, 1e-3);
    }
    assert_near(log->rate, 10, 1e-6);
    assert_int_equal(repairs(log), 0);
    mbl_log_free(log);
}

static void every_usual_shape_is_read_the_same(void **state)
{
    (void)state;
    static const struct {
        const char *head;
        const char *format;
        double per;
    } shape[] = {
        {"Time,Speed\ns,km/h\n", "%.3f,%.4f\n", 3.6},
        {"Time;Speed\ns;km/h\n", "%.3f;%.4f\n", 3.6},
        {"Time\tSpeed\ns\tkm/h\n", "%.3f\t%.4f\n", 3.6},
        {"Time [s],Speed [km/h]\n", "%.3f,%.4f\n", 3.6},
        {"Time (s),Speed (kph)\n", "%.3f,%.4f\n", 3.6},
        {"Time s,Speed km/h\n", "%.3f,%.4f\n", 3.6},
        {"time_s,gps_speed_kmh\n", "%.3f,%.4f\n", 3.6},
        {"TIME,SPEED\nSEC,MPH\n", "%.3f,%.4f\n", 1 / 0.44704},
        {"Time,Speed\n[s],[m/s]\n", "%.3f,%.4f\n", 1},
        {"\"Time\",\"Speed\"\r\n\"s\",\"m/s\"\r\n\r\n", "\"%.3f\",\"%.4f\"\r\n", 1},
        {"\xEF\xBB\xBFTime,Speed [m/s]\n", " %.3f , %.4f \n", 1},
        {"Time,Speed [m/s]\r", "%.3f,%.4f\r", 1},
        {"Format,plain\nSession;notes,9\n\nTime,12:30\nSpeed,GPS\n\nTime,Speed\ns,m/s\n\n",
         "%.3f,%.4f\n\n", 1},
        {"Elapsed Time (s),Vehicle-Speed (m/s),\n", "%.3f,%.4f,\n", 1},
    };
    for (size_t i = 0; i < sizeof shape / sizeof shape[0]; i++)
        assert_plain(read_with(shape[i].head, shape[i].format, shape[i].per, NULL));
}

static void what_was_read_is_reported(void **state)
{
    (void)state;
    mbl_log *log =
        read_with("made,by hand\n\nTime;Gap;Speed\ns;;km/h\n", "%.2f;1;%.4f\n", 3.6, NULL);
    assert_int_equal(log->delimiter, ';');
    assert_int_equal(log->header_line, 3);
    assert_int_equal(log->units_line, 4);
    assert_int_equal(log->columns, 3);
    assert_int_equal(log->line[0], 5);
    assert_int_equal(log->line[11], 16);
    const mbl_log_column *speed = &log->column[MBL_LOG_SPEED];
    assert_true(speed->present && speed->guessed && !speed->unit_assumed);
    assert_int_equal(speed->index, 2);
    assert_string_equal(speed->name, "Speed");
    assert_string_equal(speed->unit, "km/h");
    assert_false(log->column[MBL_LOG_LAP].present);
    assert_null(log->lap);
    assert_near(log->longest_gap, 0.1, 1e-9);
    mbl_log_free(log);
}

static void milliseconds_and_a_late_start_become_seconds_from_zero(void **state)
{
    (void)state;
    const char *text = "Time,Speed\nms,m/s\n"
                       "86400000,20\n86400100,20.5\n86400200,21\n86400300,21.5\n86400400,22\n"
                       "86400500,22.5\n86400600,23\n86400700,23.5\n86400800,24\n86400900,24.5\n"
                       "86401000,25\n86401100,25.5\n";
    mbl_error err;
    mbl_log *log = NULL;
    assert_ok(parse(text, NULL, &log, &err), err);
    assert_plain(log);
}

static void rows_that_cannot_be_used_are_dropped_and_counted(void **state)
{
    (void)state;
    const char *text = "Time,Speed,Lap\ns,m/s,\n"
                       "0.0,20.0,1\n0.1,20.5,1\n0.1,99,1\n0.05,99,1\n,99,1\n0.2,,1\n0.2,nan,1\n"
                       "0.2,0x10,1\n0.2,inf,1\n0.2\n0.2,21,\n0.3,21.5,2\n0.4,22,2\n0.5,22.5,2\n"
                       "0.6,23,2\n0.7,23.5,2\n0.8,24,2\n0.9,24.5,2\n1.0,25,2\n1.1,25.5,2\n";
    mbl_error err;
    mbl_log *log = NULL;
    assert_ok(parse(text, NULL, &log, &err), err);
    assert_int_equal(log->rows, 12);
    assert_int_equal(log->repair[MBL_REPAIR_BACK].count, 2);
    assert_int_equal(log->repair[MBL_REPAIR_BACK].first_line, 5);
    assert_int_equal(log->repair[MBL_REPAIR_BACK].last_line, 6);
    assert_int_equal(log->repair[MBL_REPAIR_BLANK].count, 3);
    assert_int_equal(log->repair[MBL_REPAIR_UNREADABLE].count, 3);
    assert_near(log->lap[2], 1, 0); /* blank: as in the row before */
    assert_near(log->lap[3], 2, 0);
    assert_near(log->v[2], 21, 0);
    assert_int_equal(log->line[2], 13);
    mbl_log_free(log);
}

static void a_gap_is_found(void **state)
{
    (void)state;
    const char *text = "Time,Speed [m/s]\n0,1\n.1,1\n.2,1\n.3,1\n5.3,1\n5.4,1\n5.5,1\n5.6,1\n"
                       "5.7,1\n5.8,1\n5.9,1\n";
    mbl_error err;
    mbl_log *log = NULL;
    assert_ok(parse(text, NULL, &log, &err), err);
    assert_near(log->longest_gap, 5, 1e-9);
    assert_int_equal(log->longest_gap_line, 6);
    assert_near(log->rate, 10, 1e-6);
    mbl_log_free(log);
}

static void speeds_no_car_has_are_refused(void **state)
{
    (void)state;
    mbl_error err = refuse_with("Time,Speed\ns,m/s\n", "%.3f,%.4f\n", 10, NULL);
    assert_int_equal(err.line, 3);
    assert_has(err.text, "\"Speed\" is 200 m/s");
    assert_has(err.text, "speed_unit = \"km/h\"");
    err = refuse_with("Time,Speed\ns,m/s\n", "%.3f,-%.4f\n", 1, NULL);
    assert_has(err.text, "below zero");
    /* a little below zero is a sensor at rest */
    mbl_log *log = read_with("Time,Speed\ns,m/s\n", "%.3f,-%.4f\n", 0.01, NULL);
    assert_near(log->v[0], 0, 0);
    mbl_log_free(log);
}

static void what_is_no_log_is_refused(void **state)
{
    (void)state;
    mbl_error err = refuse("", NULL);
    assert_has(err.text, "no header");
    err = refuse("just some words\nand more of them\n", NULL);
    assert_has(err.text, "no header");
    err = refuse("Time,Speed [m/s]\n0,1\n1,2\n2,3\n", NULL);
    assert_has(err.text, "only 3 rows");
    err = refuse("Time,Speed [m/s]\n9,1\n8,1\n7,1\n6,1\n5,1\n4,1\n3,1\n2,1\n1,1\n0,1\n", NULL);
    assert_has(err.text, "\"Time\" does not increase");
    assert_int_equal(err.line, 3);
    err = refuse_with("Time,Speed [m/s]\n", "%.3f,about %.0f\n", 1, NULL);
    assert_has(err.text, "\"about 20\"");
    assert_int_equal(err.line, 2);
    err = refuse("Time,Speed [m/s]\n0,\"1\n1,2\n", NULL);
    assert_has(err.text, "quote");
    assert_int_equal(err.line, 2);
    static const char binary[] = "Time,Speed\n0,1\n\0\0\0";
    mbl_log *log = NULL;
    err = (mbl_error){0};
    assert_int_equal(
        mbl_log_parse(&mbl_alloc_libc, "b", binary, sizeof binary - 1, NULL, &log, &err),
        MBL_INPUT);
    assert_has(err.text, "binary");
    assert_int_equal(err.line, 3);
    err = (mbl_error){0};
    assert_int_equal(mbl_log_read(&mbl_alloc_libc, "/no/such/file.csv", NULL, &log, &err),
                     MBL_FILE);
}

static void every_failed_allocation_is_reported_and_leaks_nothing(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed [m/s]\n");
    rows(&text, "%.3f,%.4f\n", 1);
    test_alloc t;
    test_alloc_init(&t);
    size_t failed = 0;
    for (t.fail_at = 1;; t.fail_at++) {
        t.calls = 0;
        mbl_error err = {0};
        mbl_log *log = NULL;
        mbl_status status =
            mbl_log_parse(&t.alloc, "x.csv", mbl_text_get(&text), text.length, NULL, &log, &err);
        if (status == MBL_OK) {
            mbl_log_free(log);
            break;
        }
        failed++;
        assert_int_equal(status, MBL_MEMORY);
        assert_null(log);
        assert_int_equal(t.live_bytes, 0);
    }
    assert_true(failed >= 2);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
    mbl_text_free(&text);
}

static void damaged_text_never_breaks_the_reader(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "note,\"a\"\"b\"\nTime,Lap,Speed (km/h)\ns,,km/h\n");
    rows(&text, "%.3f,1,%.4f\r\n", 3.6);
    static const char odd[] = ",;\t\"\r\n[](). -+e0x\xEF\xC3n";
    uint64_t random = 5;
    size_t read = 0;
    for (int round = 0; round < 4000; round++) {
        /* the exact size, so that the address sanitizer sees a read past the end */
        size_t n = text.length - drive_random(&random) % 40;
        char *copy = malloc(n);
        assert_non_null(copy);
        memcpy(copy, mbl_text_get(&text), n);
        for (size_t k = drive_random(&random) % 4 + 1; k > 0; k--)
            copy[drive_random(&random) % (round % 2 == 0 ? 60 : n)] =
                odd[drive_random(&random) % (sizeof odd - 1)];
        mbl_log *log = NULL;
        mbl_error err = {0};
        if (mbl_log_parse(&mbl_alloc_libc, "x", copy, n, NULL, &log, &err) == MBL_OK) {
            read++;
            for (size_t i = 1; i < log->rows; i++)
                assert_true(log->t[i] > log->t[i - 1] && log->v[i] >= 0 && log->v[i] <= 150);
        } else
            assert_true(log == NULL && err.text[0] != '\0');
        mbl_log_free(log);
        free(copy);
    }
    assert_true(read > 400 && read < 4000);
    mbl_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_usual_shape_is_read_the_same),
        cmocka_unit_test(what_was_read_is_reported),
        cmocka_unit_test(milliseconds_and_a_late_start_become_seconds_from_zero),
        cmocka_unit_test(rows_that_cannot_be_used_are_dropped_and_counted),
        cmocka_unit_test(a_gap_is_found),
        cmocka_unit_test(speeds_no_car_has_are_refused),
        cmocka_unit_test(what_is_no_log_is_refused),
        cmocka_unit_test(every_failed_allocation_is_reported_and_leaks_nothing),
        cmocka_unit_test(damaged_text_never_breaks_the_reader),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
