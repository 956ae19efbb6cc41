/* SPDX-License-Identifier: MIT */
/* What all shapes share: what is refused and why, limits, memory, damaged text. */
#include "road/intake.h"
#include "support/import.h"
#include "support/test_alloc.h"

static void what_is_no_log_is_refused(void **state)
{
    (void)state;
    mbl_error err = import_refused("", NULL);
    assert_has(err.text, "is empty");
    err = import_refused("\n \r\n\t\n", NULL);
    assert_has(err.text, "is empty");
    err = import_refused("just some words\nand more of them\n", NULL);
    assert_has(err.text, "no header");
    err = import_refused("Time,Speed [m/s]\n", NULL);
    assert_has(err.text, "no rows of data below the header");
    assert_int_equal(err.line, 1);
    err = import_refused("1,2\n2,3\n3,4\n", NULL);
    assert_has(err.text, "no header");
    err = import_refused("Time,Speed [m/s]\n0,\"1\n1,2\n", NULL);
    assert_has(err.text, "quote is opened and not closed");
    assert_int_equal(err.line, 2);
    err = import_refused("Time,Speed [m/s]\n0,\n1,\n", NULL);
    assert_has(err.text, "\"Speed\" holds no numbers");
}

static mbl_error refused_bytes(const char *bytes, size_t size)
{
    mbl_import import = {0};
    mbl_error err = {0};
    assert_int_equal(mbl_import_parse(&mbl_alloc_libc, bytes, size, NULL, &import, &err),
                     MBL_INPUT);
    return err;
}

static void bytes_that_are_no_text_are_refused(void **state)
{
    (void)state;
    static const char binary[] = "Time,Speed\r\n0,1\n\0\0\0";
    mbl_error err = refused_bytes(binary, sizeof binary - 1);
    assert_has(err.text, "binary");
    assert_int_equal(err.line, 3);
    static const char wide[] = "\xFF\xFET\0i\0m\0e\0";
    err = refused_bytes(wide, sizeof wide - 1);
    assert_has(err.text, "UTF-16");
    err = refused_bytes("", MBL_LOG_LIMIT + 1);
    assert_has(err.text, "larger than 1024 MiB");
}

static void a_text_that_begins_with_a_tag_is_taken_for_gpx(void **state)
{
    (void)state;
    mbl_import import = import_text(
        "\xEF\xBB\xBF\n <gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\">"
        "<trk><trkseg><trkpt lat=\"1\" lon=\"2\"><time>2031-05-04T10:00:00Z</time></trkpt>"
        "<trkpt lat=\"1\" lon=\"2\"><time>2031-05-04T10:00:01Z</time></trkpt></trkseg></trk>"
        "</gpx>\n",
        NULL);
    assert_int_equal(import.shape, MBL_SHAPE_GPX);
    assert_int_equal(import.series[MBL_LOG_LATITUDE].n, 2);
    mbl_import_free(&import);
}

static void names_that_are_no_utf8_are_shown_with_marks(void **state)
{
    (void)state;
    mbl_error err = import_refused("Moment,V\xE9locit\xE9\n0,1\n", NULL);
    assert_has(err.text, "V?locit?");
    mbl_import import = import_text("Time,Speed [m/s],\x1B[2J\n0,1,2\n", NULL);
    assert_int_equal(import.columns, 3);
    mbl_import_free(&import);
}

static void mostly_unreadable_columns_are_refused_with_line_and_value(void **state)
{
    (void)state;
    mbl_error err = import_refused("Time,Speed [m/s]\n0,1\n1,nan\n2,about 3\n3,inf\n", NULL);
    assert_has(err.text, "\"Speed\" has \"nan\", which is not a number");
    assert_int_equal(err.line, 3);
    err = import_refused("Time,Speed [m/s]\n0,1\nsoon,2\nlater,3\n", NULL);
    assert_has(err.text, "\"Time\" has \"soon\", which is not a number or a time");
    assert_int_equal(err.line, 3);
    err = import_refused("Time,Speed [m/s]\nfirst,2\nsecond,3\nthird,4\n", NULL);
    assert_has(err.text, "\"Time\" has \"first\"");
    assert_int_equal(err.line, 2);
    /* half is still a log */
    mbl_import import = import_text("Time,Speed [m/s]\n0,1\n1,nan\n2,3\n3,nan\n", NULL);
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 2);
    assert_int_equal(import.repair[MBL_REPAIR_UNREADABLE].count, 2);
    mbl_import_free(&import);
    /* a wished column must hold numbers, one that was guessed need not */
    const char *text = "Time,Speed [m/s],Lap\n0,1,out\n1,2,out\n2,3,1\n";
    import = import_text(text, NULL);
    assert_false(import.column[MBL_LOG_LAP].present);
    mbl_import_free(&import);
    mbl_log_wish wish = {.column = {[MBL_LOG_LAP] = "Lap"}};
    err = import_refused(text, &wish);
    assert_has(err.text, "\"Lap\" has \"out\"");
    assert_int_equal(err.line, 2);
}

static void the_other_decimal_mark_is_refused(void **state)
{
    (void)state;
    mbl_error err = import_refused("Time;Speed [m/s]\n0.1;20.5\n0.2;20.5\n0.3;1,234\n", NULL);
    assert_has(err.text, "\"Speed\" has \"1,234\"");
    assert_has(err.text, "taken to be the point");
    assert_int_equal(err.line, 4);
    err = import_refused("Time;Distance [m]\n0,1;999,9\n0,2;1.234\n", NULL);
    assert_has(err.text, "\"Distance\" has \"1.234\"");
    assert_has(err.text, "taken to be the comma");
    err = import_refused("Time;Speed [m/s]\n1,100;20\n1,200;20\n", NULL);
    assert_has(err.text, "\"Time\" has \"1,100\"");
    assert_int_equal(err.line, 2);
    mbl_import import = import_text("Time;Distance [m]\n0,1;999,9\n0,2;1.234,5\n", NULL);
    assert_near(import.series[MBL_LOG_DISTANCE].x[1], 1234.5, 0);
    mbl_import_free(&import);
    /* a comma that is both delimiter and decimal mark */
    err = import_refused("Time,Speed [m/s]\n0,1,20,5\n0,2,21,5\n", NULL);
    assert_has(err.text, "more cells than the header has names (2)");
    assert_int_equal(err.line, 2);
}

/* 200 rows at 20 m/s but for `odd` of them, the first on line 12. */
static char *with_odd_speeds(mbl_text *text, int odd, double speed)
{
    mbl_text_init(text, &mbl_alloc_libc);
    mbl_text_print(text, "Time,Speed [m/s]\n");
    for (int i = 0; i < 200; i++)
        mbl_text_print(text, "%d,%g\n", i, i >= 10 && i < 10 + odd ? speed : 20.0);
    return text->data;
}

static void speeds_no_car_has_are_refused_unless_they_are_few(void **state)
{
    (void)state;
    static const struct {
        double speed;
        const char *text;
    } odd[] = {{180, "\"Speed\" is 180 m/s, which is 648 km/h"}, {-3, "cannot be below zero"}};
    for (size_t i = 0; i < 2; i++) {
        mbl_text text;
        mbl_error err = import_refused(with_odd_speeds(&text, 3, odd[i].speed), NULL);
        assert_has(err.text, odd[i].text);
        assert_int_equal(err.line, 12);
        mbl_text_free(&text);
        mbl_import import = import_text(with_odd_speeds(&text, 2, odd[i].speed), NULL);
        assert_near(import.series[MBL_LOG_SPEED].x[10], odd[i].speed, 0);
        mbl_import_free(&import);
        mbl_text_free(&text);
    }
    /* a little below zero is a sensor at rest */
    mbl_text text;
    mbl_import import = import_text(with_odd_speeds(&text, 200, -0.5), NULL);
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 200);
    mbl_import_free(&import);
    mbl_text_free(&text);
}

static void positions_off_the_earth_are_refused(void **state)
{
    (void)state;
    mbl_error err = import_refused("Time,Lat,Lon\n0,5123.4,3\n1,5123.4,3\n", NULL);
    assert_has(err.text, "\"Lat\" is 5123.4: a latitude is within 90 degrees");
    assert_int_equal(err.line, 2);
}

static void too_many_columns_are_refused(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed [m/s]");
    for (int i = 0; i < 512; i++)
        mbl_text_print(&text, ",c%d", i);
    mbl_text_print(&text, "\n0,1\n");
    mbl_error err = import_refused(mbl_text_get(&text), NULL);
    assert_has(err.text, "more than 512 columns");
    assert_int_equal(err.line, 1);
    mbl_text_free(&text);
}

static void more_rows_than_the_limit_are_refused(void **state)
{
    (void)state;
    /* as if all rows but one had been read */
    mbl_import import = {.alloc = &mbl_alloc_libc, .rows = MBL_LOG_ROWS - 1};
    mbl_intake in = {.import = &import, .clock = {.decimal = '.', .scale = 1}};
    mbl_csv csv = {.line = 9};
    mbl_csv_cell stamp = {"1", 1};
    mbl_error err = {0};
    bool got = false;
    assert_ok(mbl_intake_row(&in, &csv, stamp, &got, &err), err);
    assert_true(got);
    assert_int_equal(mbl_intake_row(&in, &csv, stamp, &got, &err), MBL_INPUT);
    assert_has(err.text, "more than 10000000 rows");
    assert_int_equal(err.line, 9);
}

static void an_import_is_untouched_by_a_failure_and_may_be_freed_empty(void **state)
{
    (void)state;
    mbl_import import;
    memset(&import, 0, sizeof import);
    import.rows = 77;
    mbl_error err = {0};
    assert_int_equal(mbl_import_parse(&mbl_alloc_libc, "x", 1, NULL, &import, &err), MBL_INPUT);
    assert_int_equal(import.rows, 77);
    mbl_import_free(&import);
}

static void a_repair_keeps_its_first_and_last_line(void **state)
{
    (void)state;
    mbl_repair repair = {0};
    mbl_repair_note(&repair, 7, 0.5);
    mbl_repair_note(&repair, 9, 0.25);
    assert_int_equal(repair.count, 2);
    assert_int_equal(repair.first_line, 7);
    assert_int_equal(repair.last_line, 9);
    assert_near(repair.amount, 0.75, 0);
}

/* A wide file with 700 rows, so that its series grow, a tall one and one in sections. */
static void write_shape(mbl_text *text, int shape)
{
    static const char *const head[] = {"Time,Speed [m/s],Lap\n", "time,name,value\n",
                                       "[column names]\ntime velocity\n[data]\n"};
    static const char *const row[] = {"%d,20,1\n", "%d,speed_kmh,20\n", "10%04d 20\n"};
    mbl_text_init(text, &mbl_alloc_libc);
    mbl_text_print(text, "%s", head[shape]);
    for (int i = 0; i < 700; i++)
        mbl_text_print(text, row[shape], shape == 2 ? i % 60 : i);
}

static void every_failed_allocation_is_reported_and_leaks_nothing(void **state)
{
    (void)state;
    for (int shape = 0; shape < 3; shape++) {
        mbl_text text;
        write_shape(&text, shape);
        test_alloc t;
        test_alloc_init(&t);
        size_t failed = 0;
        for (t.fail_at = 1;; t.fail_at++) {
            t.calls = 0;
            mbl_error err = {0};
            mbl_import import = {0};
            mbl_status status =
                mbl_import_parse(&t.alloc, mbl_text_get(&text), text.length, NULL, &import, &err);
            if (status == MBL_OK) {
                assert_int_equal(import.shape, shape);
                assert_int_equal(import.series[MBL_LOG_SPEED].n, 700);
                mbl_import_free(&import);
                break;
            }
            failed++;
            assert_int_equal(status, MBL_MEMORY);
            assert_true(err.text[0] != '\0');
            assert_int_equal(t.live_bytes, 0);
        }
        assert_true(failed >= 4);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        mbl_text_free(&text);
    }
}

/* splitmix64 (Steele, Lea, Flood 2014) */
static uint64_t draw(uint64_t *state)
{
    uint64_t z = *state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

static void check_sane(const mbl_import *import)
{
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        const mbl_series *s = &import->series[role];
        assert_true(s->n == 0 || import->column[role].present);
        for (size_t i = 0; i < s->n; i++)
            assert_true(isfinite(s->t[i]) && isfinite(s->x[i]) && s->line[i] > 0 &&
                        (i == 0 || s->line[i] >= s->line[i - 1]));
    }
}

static void damaged_text_never_breaks_the_reader(void **state)
{
    (void)state;
    static const char *const whole[] = {
        "note,\"a\"\"b\"\n# c\nTime,Lap,Speed (km/h)\ns,,km/h\n0:01.5,1,70\r\n0:01.6,1,71\r\n"
        "0:01.7,2,72\r\n0:01.8,2,73.5\r\n",
        "time;name;value\n0,1;Speed [km/h];72,5\n0,2;Lap;3\n0,3;Speed [km/h];1.073,5\n"
        "0,4;Speed [km/h];75\n",
        "[header]\ntime\nvelocity kmh\nlat\nlong\n[column names]\nt v lat long\n[data]\n"
        "235959.5 70 750 2055\n000000.0 71 750 2055\n",
        "\"Interval\"|\"ms\"|0|0|1,\"Speed\"|\"mph\"|0|9|1\n2031-05-04T10:00:00+02:00,5\n"
        "2031-05-04T10:00:01Z,6\n2031-05-04T10:00:02-0030,7\n",
    };
    static const char odd[] = ",;\t\"\r\n[](). -+e0x\xEF\xC3n:TZ#/|9";
    uint64_t random = 5;
    size_t read = 0;
    for (int round = 0; round < 4000; round++) {
        const char *from = whole[round % 4];
        /* the exact size, so that the address sanitizer sees a read past the end */
        size_t n = strlen(from) - (size_t)(draw(&random) % 20);
        char *copy = malloc(n);
        assert_non_null(copy);
        memcpy(copy, from, n);
        for (uint64_t k = draw(&random) % 5; k > 0; k--)
            copy[draw(&random) % n] = odd[draw(&random) % (sizeof odd - 1)];
        mbl_import import = {0};
        mbl_error err = {0};
        if (mbl_import_parse(&mbl_alloc_libc, copy, n, NULL, &import, &err) == MBL_OK) {
            read++;
            check_sane(&import);
        } else
            assert_true(err.text[0] != '\0');
        mbl_import_free(&import);
        free(copy);
    }
    assert_true(read > 400 && read < 3600);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_no_log_is_refused),
        cmocka_unit_test(bytes_that_are_no_text_are_refused),
        cmocka_unit_test(a_text_that_begins_with_a_tag_is_taken_for_gpx),
        cmocka_unit_test(names_that_are_no_utf8_are_shown_with_marks),
        cmocka_unit_test(mostly_unreadable_columns_are_refused_with_line_and_value),
        cmocka_unit_test(the_other_decimal_mark_is_refused),
        cmocka_unit_test(speeds_no_car_has_are_refused_unless_they_are_few),
        cmocka_unit_test(positions_off_the_earth_are_refused),
        cmocka_unit_test(too_many_columns_are_refused),
        cmocka_unit_test(more_rows_than_the_limit_are_refused),
        cmocka_unit_test(an_import_is_untouched_by_a_failure_and_may_be_freed_empty),
        cmocka_unit_test(a_repair_keeps_its_first_and_last_line),
        cmocka_unit_test(every_failed_allocation_is_reported_and_leaks_nothing),
        cmocka_unit_test(damaged_text_never_breaks_the_reader),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
