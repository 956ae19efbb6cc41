/* SPDX-License-Identifier: MIT */
/* Reading GPX track points, and what is refused. */
#include "road/import.h"
#include "support/test.h"
#include "support/test_alloc.h"

static const mbl_log_wish no_wish;

static mbl_status read_gpx(const mbl_alloc *alloc, const char *xml, mbl_import *out, mbl_error *err)
{
    *out = (mbl_import){.alloc = alloc};
    return mbl_import_gpx(xml, strlen(xml), &no_wish, out, err);
}

static void assert_refused(const char *xml, const char *what, int line)
{
    mbl_import import;
    mbl_error err = {0};
    assert_int_equal(read_gpx(&mbl_alloc_libc, xml, &import, &err), MBL_INPUT);
    assert_has(err.text, what);
    assert_int_equal(err.line, line);
    mbl_import_free(&import);
}

static const char two_tracks[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
    "<gpx version=\"1.1\" creator=\"x\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"
    "<wpt lat=\"1\" lon=\"1\"><time>2031-05-04T00:00:00Z</time></wpt>\n"
    "<trk><trkseg>\n"
    "<trkpt lat=\"10.5\" lon=\"-20.25\"><ele>101.5</ele><time>2031-05-04T23:59:59.75Z</time>"
    "<extensions><x><speed>999</speed></x></extensions></trkpt>\n"
    "<trkpt lat=\"10.6\" lon=\"-20.26\"><time>2031-05-05T00:00:00Z</time></trkpt>\n"
    "<trkpt lat=\"10.6\" lon=\"-20.26\"><ele>5</ele></trkpt>\n"
    "</trkseg><trkseg>\n"
    "<trkpt lat=\"10.7\" lon=\"-20.27\"><ele>103</ele><time>2031-05-05T02:00:00.5+02:00</time>"
    "</trkpt>\n"
    "</trkseg></trk><trk><trkseg>\n"
    "<trkpt lat=\"91\" lon=\"0\"><time>2031-05-05T00:00:01Z</time></trkpt>\n"
    "<trkpt lat=\"10.8\" lon=\"-20.28\"><time>yesterday</time></trkpt>\n"
    "<trkpt lat=\"10.8\" lon=\"-20.28\"><time> 2031-05-04T23:30:01-0030\n</time></trkpt>\n"
    "</trkseg></trk>\n"
    "</gpx>\n";

static void segments_and_tracks_are_joined_in_order(void **state)
{
    (void)state;
    mbl_import import;
    mbl_error err = {0};
    assert_ok(read_gpx(&mbl_alloc_libc, two_tracks, &import, &err), err);
    const mbl_series *lat = &import.series[MBL_LOG_LATITUDE];
    const mbl_series *lon = &import.series[MBL_LOG_LONGITUDE];
    const mbl_series *ele = &import.series[MBL_LOG_ALTITUDE];
    assert_int_equal(lat->n, 4);
    assert_int_equal(lon->n, 4);
    assert_int_equal(ele->n, 2);
    /* across midnight, a zone east and a zone west: 23:59:59.75, +0.25, +0.75, +1.25 s */
    const double t[] = {0, 0.25, 0.75, 1.25};
    const double x[] = {10.5, 10.6, 10.7, 10.8};
    const int line[] = {5, 6, 9, 13};
    for (int i = 0; i < 4; i++) {
        assert_near(lat->t[i] - lat->t[0], t[i], 0);
        assert_near(lat->x[i], x[i], 0);
        assert_near(lon->x[i], -20.25 - 0.01 * i, 1e-12);
        assert_int_equal(lat->line[i], line[i]);
    }
    assert_near(ele->x[1], 103, 0);
    assert_near(ele->t[1], lat->t[2], 0);
    assert_int_equal(import.shape, MBL_SHAPE_GPX);
    assert_int_equal(import.clock, MBL_CLOCK_DATE);
    assert_int_equal(import.rows, 7);
    mbl_import_free(&import);
}

static void points_without_time_or_place_are_counted(void **state)
{
    (void)state;
    mbl_import import;
    mbl_error err = {0};
    assert_ok(read_gpx(&mbl_alloc_libc, two_tracks, &import, &err), err);
    const mbl_repair *blank = &import.repair[MBL_REPAIR_BLANK];
    const mbl_repair *unreadable = &import.repair[MBL_REPAIR_UNREADABLE];
    assert_int_equal(blank->count, 1);
    assert_int_equal(blank->first_line, 7);
    assert_int_equal(unreadable->count, 2);
    assert_int_equal(unreadable->first_line, 11);
    assert_int_equal(unreadable->last_line, 12);
    mbl_import_free(&import);
}

static void a_speed_counts_only_right_below_the_point(void **state)
{
    (void)state;
    mbl_import import;
    mbl_error err = {0};
    assert_ok(read_gpx(&mbl_alloc_libc, two_tracks, &import, &err), err);
    assert_false(import.column[MBL_LOG_SPEED].present);
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 0);
    mbl_import_free(&import);
    static const char with_speed[] =
        "<g:gpx xmlns:g=\"http://www.topografix.com/GPX/1/0\" version=\"1.0\"><g:trk><g:trkseg>"
        "<g:trkpt lat=\"0\" lon=\"0\"><g:time>2031-05-04T10:00:00Z</g:time>"
        "<g:speed>12.5</g:speed></g:trkpt>"
        "</g:trkseg></g:trk></g:gpx>";
    assert_ok(read_gpx(&mbl_alloc_libc, with_speed, &import, &err), err);
    assert_true(import.column[MBL_LOG_SPEED].present);
    assert_string_equal(import.column[MBL_LOG_SPEED].unit, "m/s");
    assert_int_equal(import.series[MBL_LOG_SPEED].n, 1);
    assert_near(import.series[MBL_LOG_SPEED].x[0], 12.5, 0);
    mbl_import_free(&import);
}

static void leap_days_and_century_years_are_counted(void **state)
{
    (void)state;
    static const struct {
        const char *from, *to;
        double days;
    } spans[] = {
        {"2032-02-28", "2032-03-01", 2},                                  /* leap year */
        {"2031-02-28", "2031-03-01", 1}, {"2100-02-28", "2100-03-01", 1}, /* century: none */
        {"2000-02-28", "2000-03-01", 2}, /* every fourth century: one */
        {"2031-12-31", "2032-01-01", 1}, {"1970-01-01", "2031-01-01", 22280}, /* 61 x 365 + 15 */
    };
    for (size_t i = 0; i < sizeof spans / sizeof spans[0]; i++) {
        char xml[400];
        snprintf(xml, sizeof xml,
                 "<gpx><trk><trkseg><trkpt lat='0' lon='0'><time>%sT12:00:00Z</time></trkpt>"
                 "<trkpt lat='0' lon='0'><time>%sT12:00:00Z</time></trkpt></trkseg></trk></gpx>",
                 spans[i].from, spans[i].to);
        mbl_import import;
        mbl_error err = {0};
        assert_ok(read_gpx(&mbl_alloc_libc, xml, &import, &err), err);
        const mbl_series *lat = &import.series[MBL_LOG_LATITUDE];
        assert_near(lat->t[1] - lat->t[0], 86400 * spans[i].days, 0);
        mbl_import_free(&import);
    }
}

static void document_types_and_entities_are_refused(void **state)
{
    (void)state;
    assert_refused("<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [\n<!ENTITY a \"aaaa\">\n"
                   "<!ENTITY b \"&a;&a;\">\n]>\n<gpx>&b;</gpx>",
                   "a document type is declared", 2);
    assert_refused("<gpx>\n<trk>&unknown;</trk></gpx>", "undefined entity", 2);
}

static void wrong_xml_is_refused_with_its_line(void **state)
{
    (void)state;
    assert_refused("<gpx>\n<trk>\n</gpx>", "the XML is broken: mismatched tag", 3);
    assert_refused("<gpx>\n<trk>\n", "the XML is broken: no element found", 3);
    assert_refused("", "the XML is broken: no element found", 1);
    assert_refused("<kml></kml>", "no GPX: its outermost element is not gpx", 1);
    assert_refused("<gpx>\n<trk/></gpx>", "no track point has a time and a place (0 points", 0);
    char deep[70 * 5 + 8] = "<gpx>";
    for (int i = 0; i < 70; i++)
        strcat(deep, "\n<a>");
    assert_refused(deep, "more than 64 deep", 65);
}

static void wishes_can_only_repeat_what_the_format_says(void **state)
{
    (void)state;
    static const char xml[] =
        "<gpx><trk><trkseg><trkpt lat='0' lon='0'><time>2031-05-04T10:00:00Z</time></trkpt>"
        "</trkseg></trk></gpx>";
    mbl_error err = {0};
    mbl_import import = {.alloc = &mbl_alloc_libc};
    mbl_log_wish wish = {.column = {[MBL_LOG_LATITUDE] = "lat"}};
    assert_ok(mbl_import_gpx(xml, strlen(xml), &wish, &import, &err), err);
    mbl_import_free(&import);
    wish.column[MBL_LOG_SPEED] = "Speed";
    import = (mbl_import){.alloc = &mbl_alloc_libc};
    assert_int_equal(mbl_import_gpx(xml, strlen(xml), &wish, &import, &err), MBL_INPUT);
    assert_has(err.text, "no \"Speed\" for speed: a GPX file has lat, lon");
    mbl_import_free(&import);
    wish = (mbl_log_wish){.unit = {[MBL_LOG_TIME] = "ms"}};
    err = (mbl_error){0};
    import = (mbl_import){.alloc = &mbl_alloc_libc};
    assert_int_equal(mbl_import_gpx(xml, strlen(xml), &wish, &import, &err), MBL_INPUT);
    assert_has(err.text, "the units of a GPX file are fixed");
    mbl_import_free(&import);
}

static void every_failed_allocation_is_an_error_and_nothing_leaks(void **state)
{
    (void)state;
    test_alloc t;
    size_t failures = 0;
    for (size_t n = 1;; n++) {
        test_alloc_init(&t);
        t.fail_at = n;
        mbl_import import;
        mbl_error err = {0};
        mbl_status status = read_gpx(&t.alloc, two_tracks, &import, &err);
        mbl_import_free(&import);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (status == MBL_OK)
            break;
        assert_int_equal(status, MBL_MEMORY);
        failures++;
    }
    assert_true(failures > 10);
    printf("%zu allocations failed in turn\n", failures);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(segments_and_tracks_are_joined_in_order),
        cmocka_unit_test(points_without_time_or_place_are_counted),
        cmocka_unit_test(a_speed_counts_only_right_below_the_point),
        cmocka_unit_test(leap_days_and_century_years_are_counted),
        cmocka_unit_test(document_types_and_entities_are_refused),
        cmocka_unit_test(wrong_xml_is_refused_with_its_line),
        cmocka_unit_test(wishes_can_only_repeat_what_the_format_says),
        cmocka_unit_test(every_failed_allocation_is_an_error_and_nothing_leaks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
