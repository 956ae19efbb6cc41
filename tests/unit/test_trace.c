/* SPDX-License-Identifier: MIT */
#include "road/noise.h"
#include "road/select.h"
#include "road/trace.h"
#include "support/drive.h"
#include "support/test.h"
#include "support/test_alloc.h"

static mbl_log *log_of(const mbl_text *text)
{
    mbl_error err = {0};
    mbl_log *log = NULL;
    assert_false(text->failed);
    assert_ok(
        mbl_log_parse(&mbl_alloc_libc, "x.csv", mbl_text_get(text), text->length, NULL, &log, &err),
        err);
    return log;
}

static mbl_trace *trace_of(mbl_text *text)
{
    mbl_error err = {0};
    mbl_trace *trace = NULL;
    mbl_log *log = log_of(text);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    mbl_log_free(log);
    mbl_text_free(text);
    return trace;
}

/* A log at 1 Hz and 50 m/s whose laps take the given seconds; by = 'l' lap column, 'd' distance. */
static mbl_trace *laps_of(char by, int first, size_t n, const int *seconds)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,%s,Speed\ns,%s,m/s\n", by == 'l' ? "Lap" : "Distance",
                   by == 'l' ? "" : "m");
    int t = 0;
    for (size_t lap = 0; lap < n; lap++)
        for (int s = 0; s < seconds[lap]; s++)
            mbl_text_print(&text, "%d,%d,50\n", t++, by == 'l' ? first + (int)lap : s * 50);
    return trace_of(&text);
}

static void assert_kinds(const mbl_trace *trace, const char *want)
{
    assert_int_equal(trace->nlaps, strlen(want));
    for (size_t i = 0; i < trace->nlaps; i++)
        if (mbl_lap_kind_word(trace->laps[i].kind)[0] != want[i])
            fail_msg("lap %zu is %s, expected %c", i, mbl_lap_kind_word(trace->laps[i].kind),
                     want[i]);
}

static void laps_follow_the_lap_column(void **state)
{
    (void)state;
    static const int seconds[] = {130, 100, 98, 121, 101, 99, 150};
    mbl_trace *trace = laps_of('l', 0, 7, seconds);
    assert_kinds(trace, "ohhthhi");
    assert_int_equal(trace->laps[0].number, 0);
    assert_near(trace->laps[0].start, 0, 0);
    double start = 0;
    for (size_t i = 0; i < 7; i++) {
        assert_near(trace->laps[i].start, start, 0);
        start += seconds[i];
        assert_near(trace->laps[i].end, i < 6 ? start : start - 1, 0);
        assert_near(trace->laps[i].top_speed, 50, 1e-9);
    }
    assert_int_equal(trace->fastest, 2);
    assert_int_equal(trace->median, 1); /* of 100, 98, 101, 99: the upper middle */
    assert_int_equal(mbl_trace_lap(trace, 4), 4);
    assert_int_equal(mbl_trace_lap(trace, 9), trace->nlaps);
    mbl_trace_drop(trace);
}

static void laps_follow_a_distance_that_starts_again(void **state)
{
    (void)state;
    static const int seconds[] = {131, 100, 99, 40};
    mbl_trace *trace = laps_of('d', 1, 4, seconds);
    assert_kinds(trace, "ohhi");
    assert_int_equal(trace->laps[1].number, 2);
    assert_near(trace->laps[1].start, 131, 0);
    assert_near(trace->distance_ratio, 1, 1e-9);
    mbl_trace_drop(trace);
}

static void first_and_last_laps_count_when_they_are_like_the_others(void **state)
{
    (void)state;
    static const int alike[] = {101, 100, 99, 98};
    mbl_trace *trace = laps_of('l', 1, 4, alike);
    assert_kinds(trace, "hhhh");
    assert_int_equal(trace->fastest, 3);
    mbl_trace_drop(trace);
    /* lap 0 is the way out, however fast; a cut last lap is no record */
    static const int cut[] = {101, 100, 99, 60};
    trace = laps_of('l', 0, 4, cut);
    assert_kinds(trace, "ohhi");
    assert_int_equal(trace->fastest, 2);
    mbl_trace_drop(trace);
    static const int two[] = {100, 60};
    trace = laps_of('l', 1, 2, two);
    assert_kinds(trace, "hi");
    assert_int_equal(trace->median, 0);
    mbl_trace_drop(trace);
}

static void a_log_without_laps_is_one(void **state)
{
    (void)state;
    static const int one[] = {100};
    mbl_trace *trace = laps_of('l', 5, 1, one);
    assert_kinds(trace, "w");
    assert_int_equal(trace->laps[0].number, 1);
    assert_near(trace->laps[0].end, 99, 0);
    assert_int_equal(trace->median + trace->fastest, 0);
    assert_true(isnan(trace->distance_ratio));
    mbl_trace_drop(trace);
}

static void lap_lines_lie_at_sample_times(void **state)
{
    (void)state;
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(3, 8);
    drive_session session;
    drive_run(&drive_harrow_vale, &car, &plan, &session);
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    drive_format format = {.noise = 0.1, .lap = true, .distance = true, .seed = 2};
    drive_write(&session, &format, &text);
    mbl_trace *trace = trace_of(&text);
    assert_kinds(trace, "ohhhi");
    assert_near(trace->noise, 0.1, 0.01);
    assert_near(trace->distance_ratio, 1, 0.001);
    assert_false(trace->has_grade);
    for (size_t i = 1; i < trace->nlaps; i++) {
        double start = trace->laps[i].start;
        assert_near(start * 20, floor(start * 20 + 0.5), 1e-6);
        size_t k = 0;
        while (k < trace->n && trace->t[k] != start)
            k++;
        assert_true(k < trace->n);
    }
    for (size_t i = 1; i < trace->n; i++)
        assert_true(trace->t[i] > trace->t[i - 1] && trace->v[i] >= 0);
    drive_free(&session);
    mbl_trace_drop(trace);
}

static void a_clean_log_is_kept_sample_by_sample(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed [m/s]\n");
    for (int i = 0; i < 200; i++)
        mbl_text_print(&text, "%.2f,%.6f\n", i * 0.05, 40 + 10 * sin(i * 0.02));
    mbl_trace *trace = trace_of(&text);
    assert_near(trace->noise, 0, 0);
    assert_int_equal(trace->n, 200);
    for (int i = 0; i < 200; i++)
        assert_near(trace->v[i], 40 + 10 * sin(i * 0.02), 1e-6);
    mbl_trace_drop(trace);
}

/* 40 m/s, from 12.4 s on down by 8 m/s2, from 15.7 s on steady. */
static double stop(double t)
{
    return t < 12.4 ? 40 : t < 15.7 ? 40 - 8 * (t - 12.4) : 40 - 8 * 3.3;
}

static double speed_at(const mbl_trace *trace, double t)
{
    size_t i = 0;
    while (i + 2 < trace->n && trace->t[i + 1] <= t)
        i++;
    double share = (t - trace->t[i]) / (trace->t[i + 1] - trace->t[i]);
    return trace->v[i] + share * (trace->v[i + 1] - trace->v[i]);
}

static void corners_between_samples_are_put_back(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed [m/s]\n");
    for (int i = 0; i < 30; i++)
        mbl_text_print(&text, "%d,%.6f\n", i, stop(i));
    mbl_trace *trace = trace_of(&text);
    assert_int_equal(trace->n, 32);
    assert_near(speed_at(trace, 12.4), 40, 1e-4);
    assert_near(speed_at(trace, 15.7), stop(15.7), 1e-4);
    mbl_trace_drop(trace);
}

static void corners_stay_when_noise_goes(void **state)
{
    (void)state;
    static const double noise[] = {0.05, 0.1, 0.2};
    for (size_t k = 0; k < 3; k++) {
        mbl_text text;
        mbl_text_init(&text, &mbl_alloc_libc);
        mbl_text_print(&text, "Time,Speed [m/s]\n");
        uint64_t random = 11;
        for (int i = 0; i < 600; i++)
            mbl_text_print(&text, "%.2f,%.6f\n", i * 0.05,
                           stop(i * 0.05) + noise[k] * drive_normal(&random));
        mbl_trace *trace = trace_of(&text);
        assert_near(trace->noise, noise[k], 0.15 * noise[k]);
        /* a centred fit over the half second that takes the noise out would be off by
           8 x 0.5 / 8 = 0.5 m/s at the corners */
        double square = 0;
        for (double t = 1; t < 29; t += 0.05) {
            double off = speed_at(trace, t) - stop(t);
            assert_near(off, 0, 3 * noise[k]);
            square += off * off;
        }
        assert_true(sqrt(square / 560) < 0.5 * noise[k]);
        mbl_trace_drop(trace);
    }
}

static void noise_is_measured_and_driving_is_not(void **state)
{
    (void)state;
    enum { N = 4000 };
    static double t[N], v[N], work[N];
    uint64_t random = 3;
    for (int i = 0; i < N; i++) {
        t[i] = i * 0.05 + 0.01 * drive_uniform(&random);
        double phase = fmod(t[i], 10);
        v[i] = phase < 7 ? 20 + 5 * phase - 0.1 * phase * phase : 50.1 - 10 * (phase - 7);
    }
    assert_near(mbl_noise_level(t, v, N, work), 0, 1e-9);
    for (int i = 0; i < N; i++)
        v[i] += 0.2 * drive_normal(&random);
    assert_near(mbl_noise_level(t, v, N, work), 0.2, 0.02);
    assert_near(mbl_noise_level(t, v, 7, work), 0, 0);
}

static void rounding_is_found_and_undone(void **state)
{
    (void)state;
    enum { N = 2000 };
    static double t[N], v[N], out[N], work[N];
    double worst = 0;
    for (int i = 0; i < N; i++) {
        t[i] = i * 0.05;
        v[i] = floor((30 + 10 * sin(0.1 * t[i])) / (1 / 3.6) + 0.5) / 3.6;
    }
    assert_near(mbl_noise_step(v, N, work), 1 / 3.6, 1e-9);
    mbl_noise_unround(t, v, N, 1 / 3.6, out);
    double square = 0;
    for (int i = 0; i < N; i++) {
        double off = out[i] - (30 + 10 * sin(0.1 * t[i]));
        worst = fmax(worst, fabs(off));
        square += off * off;
    }
    assert_true(worst <= 0.5 / 3.6 + 1e-9);
    /* rounded values are off by the step over root twelve; these by a third of it at most */
    assert_true(sqrt(square / N) < (1 / 3.6) / sqrt(12.0) / 3);
    uint64_t random = 3;
    for (int i = 0; i < N; i++)
        v[i] += 0.001 * drive_normal(&random);
    assert_near(mbl_noise_step(v, N, work), 0, 0);
}

static void grades_come_from_altitude_over_distance(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed,Altitude\ns,m/s,m\n");
    /* 40 m/s for 30 s: level for 10 s, up 5 % for 10 s, then far too steep; rounded to 0.1 m */
    for (int i = 0; i <= 600; i++) {
        double s = i * 2.0;
        double height = s < 400 ? 0 : s < 800 ? 0.05 * (s - 400) : 20 + 0.9 * (s - 800);
        mbl_text_print(&text, "%.2f,40,%.1f\n", i * 0.05, 100 + height);
    }
    mbl_trace *trace = trace_of(&text);
    assert_true(trace->has_grade);
    assert_int_equal(trace->n, 601);
    assert_near(trace->grade[0], 0, 1e-9);
    assert_near(trace->grade[100], 0, 1e-9);
    assert_near(trace->grade[300], 0.05, 0.003);
    assert_near(trace->grade[500], 0.3, 0);
    assert_near(trace->grade[599], 0.3, 0);
    mbl_trace_drop(trace);
}

/* 200 s at 20 Hz: 8 s of pull and 2 s of 50 bar in turn, front and half of it rear. */
static mbl_trace *pressed(double front_noise, bool front, bool rear)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed,Brake Pressure Front,Brake Pressure Rear\ns,m/s,%s,%s\n",
                   front ? "Pa" : "V", rear ? "Pa" : "V");
    uint64_t random = 6;
    for (int i = 0; i < 4000; i++) {
        double in = fmod(0.05 * i, 10);
        double p = in < 8 ? 0 : 50e5;
        mbl_text_print(&text, "%.2f,%.4f,%.0f,%.0f\n", 0.05 * i,
                       in < 8 ? 20 + 2.5 * in : 40 - 10 * (in - 8),
                       p + front_noise * drive_normal(&random), 0.5 * p);
    }
    return trace_of(&text);
}

static void line_pressure_is_put_on_the_knots(void **state)
{
    (void)state;
    static const double hard[] = {50e5, 25e5, 75e5};
    for (int k = 0; k < 3; k++) {
        mbl_trace *trace = pressed(0, k != 1, k != 0);
        assert_non_null(trace->pressure);
        for (size_t i = 0; i < trace->n; i++) {
            double in = fmod(trace->t[i], 10);
            if (in > 0.1 && in < 7.9)
                assert_near(trace->pressure[i], 0, 0);
            if (in > 8.01 && in < 9.94)
                assert_near(trace->pressure[i], hard[k], 1e-6);
        }
        assert_close(trace->pressure_on, 0.02 * hard[k], 1e-9);
        assert_true(trace->measured);
        assert_false(trace->doubt[MBL_DOUBT_PRESSURE].found);
        /* 10 m/s2 less what a common car coasts with at 30 m/s, 0.96 m/s2 */
        assert_close(trace->pressure_scale, 9.04 / hard[k], 0.03);
        assert_true(trace->pressure_scatter < 0.01);
        assert_near(trace->measured_share, 1, 0.02);
        mbl_trace_drop(trace);
    }
}

static void noise_of_the_sensor_is_no_braking(void **state)
{
    (void)state;
    mbl_trace *trace = pressed(1e5, true, false);
    assert_close(trace->pressure_on, 4e5, 0.1);
    assert_true(trace->measured);
    mbl_trace_drop(trace);
}

static void a_log_without_pressure_has_none(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed [km/h]\n");
    for (int i = 0; i < 200; i++)
        mbl_text_print(&text, "%.2f,%.0f\n", i * 0.05, 140 + 40 * sin(i * 0.02));
    mbl_trace *trace = trace_of(&text);
    assert_null(trace->pressure);
    assert_false(trace->measured);
    assert_true(isnan(trace->pressure_on) && isnan(trace->pressure_scale));
    assert_near(trace->measured_share, 0, 0);
    assert_near(trace->step, 1 / 3.6, 1e-9);
    assert_true(trace->doubt[MBL_DOUBT_COARSE].found);
    assert_true(trace->doubt[MBL_DOUBT_NO_ALTITUDE].found);
    assert_true(trace->doubt[MBL_DOUBT_ENDS_AT_SPEED].found);
    assert_false(trace->doubt[MBL_DOUBT_PRESSURE].found);
    mbl_trace_drop(trace);
}

static void a_lap_number_finds_its_longest_driven_piece(void **state)
{
    (void)state;
    static const mbl_lap laps[] = {{3, MBL_LAP_IN, 0, 20, 0},
                                   {3, MBL_LAP_PARKED, 20, 900, 0},
                                   {3, MBL_LAP_OUT, 900, 960, 0},
                                   {4, MBL_LAP_PIT, 960, 990, 0}};
    mbl_trace trace = {.nlaps = 4, .laps = laps};
    assert_int_equal(mbl_trace_lap(&trace, 3), 2);
    assert_int_equal(mbl_trace_lap(&trace, 4), 4);
    assert_string_equal(mbl_lap_kind_word(MBL_LAP_PIT), "pit");
    assert_string_equal(mbl_lap_kind_word(MBL_LAP_PARKED), "parked");
}

static void distance_is_no_check_on_a_speed_that_came_from_it(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Distance\ns,m\n");
    for (int i = 0; i < 200; i++)
        mbl_text_print(&text, "%.2f,%.3f\n", i * 0.1, 3.0 * i + 0.005 * i * i);
    mbl_trace *trace = trace_of(&text);
    assert_true(isnan(trace->distance_ratio));
    assert_near(trace->v[0], 30.05, 0.02);
    mbl_trace_drop(trace);
}

static void a_trace_lives_until_its_last_owner(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_text_print(&text, "Time,Speed [m/s]\n");
    for (int i = 0; i < 50; i++)
        mbl_text_print(&text, "%d,%d\n", i, 20 + i % 3);
    mbl_log *log = log_of(&text);
    mbl_error err = {0};
    mbl_trace *trace = NULL;
    assert_ok(mbl_trace_make(&t.alloc, log, &trace, &err), err);
    assert_int_equal(t.live_bytes, trace->bytes);
    assert_ptr_equal(mbl_trace_keep(trace), trace);
    mbl_trace_drop(trace);
    assert_int_equal(t.live_bytes, trace->bytes);
    mbl_trace_drop(trace);
    assert_int_equal(t.live_bytes, 0);
    mbl_trace_drop(NULL);
    mbl_log_free(log);
    mbl_text_free(&text);
}

static void every_failed_allocation_is_reported_and_leaks_nothing(void **state)
{
    (void)state;
    /* a clean log, a noisy one and a rounded one go three ways */
    static const drive_format formats[] = {
        {.lap = true, .altitude = true},
        {.noise = 0.1, .lap = true, .altitude = true},
        {.step = 1, .unit = "km/h", .lap = true},
    };
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(1, 8);
    drive_session session;
    drive_run(&drive_harrow_vale, &car, &plan, &session);
    for (size_t f = 0; f < 3; f++) {
        mbl_text text;
        mbl_text_init(&text, &mbl_alloc_libc);
        drive_write(&session, &formats[f], &text);
        mbl_log *log = log_of(&text);
        test_alloc t;
        test_alloc_init(&t);
        size_t failed = 0;
        for (t.fail_at = 1;; t.fail_at++) {
            t.calls = 0;
            mbl_error err = {0};
            mbl_trace *trace = NULL;
            mbl_status status = mbl_trace_make(&t.alloc, log, &trace, &err);
            if (status == MBL_OK) {
                mbl_trace_drop(trace);
                break;
            }
            failed++;
            assert_int_equal(status, MBL_MEMORY);
            assert_null(trace);
            assert_int_equal(t.live_bytes, 0);
        }
        assert_true(failed >= 3);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        mbl_log_free(log);
        mbl_text_free(&text);
    }
    drive_free(&session);
}

static void order_statistics_agree_with_sorting(void **state)
{
    (void)state;
    uint64_t random = 9;
    for (size_t n = 1; n < 60; n++) {
        double x[60], y[60];
        for (size_t i = 0; i < n; i++)
            x[i] = floor(drive_uniform(&random) * 12);
        for (size_t k = 0; k < n; k++) {
            memcpy(y, x, sizeof x);
            double got = mbl_select(y, n, k);
            size_t below = 0;
            size_t at_most = 0;
            for (size_t i = 0; i < n; i++) {
                below += x[i] < got;
                at_most += x[i] <= got;
            }
            assert_true(below <= k && k < at_most);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(laps_follow_the_lap_column),
        cmocka_unit_test(laps_follow_a_distance_that_starts_again),
        cmocka_unit_test(first_and_last_laps_count_when_they_are_like_the_others),
        cmocka_unit_test(a_log_without_laps_is_one),
        cmocka_unit_test(lap_lines_lie_at_sample_times),
        cmocka_unit_test(a_clean_log_is_kept_sample_by_sample),
        cmocka_unit_test(corners_between_samples_are_put_back),
        cmocka_unit_test(corners_stay_when_noise_goes),
        cmocka_unit_test(noise_is_measured_and_driving_is_not),
        cmocka_unit_test(rounding_is_found_and_undone),
        cmocka_unit_test(grades_come_from_altitude_over_distance),
        cmocka_unit_test(line_pressure_is_put_on_the_knots),
        cmocka_unit_test(noise_of_the_sensor_is_no_braking),
        cmocka_unit_test(a_log_without_pressure_has_none),
        cmocka_unit_test(a_lap_number_finds_its_longest_driven_piece),
        cmocka_unit_test(distance_is_no_check_on_a_speed_that_came_from_it),
        cmocka_unit_test(a_trace_lives_until_its_last_owner),
        cmocka_unit_test(every_failed_allocation_is_reported_and_leaks_nothing),
        cmocka_unit_test(order_statistics_agree_with_sorting),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
