/* SPDX-License-Identifier: MIT */
/*
 * Braking energy from nothing but a logged speed, against a drive in which it is known: written
 * as a log, read, smoothed, and put on steps, as a user's log is. The tolerances are what the
 * product promises; MBL_TOL_PRINT=1 prints how far each is off.
 */
#include "road/road.h"
#include "support/drive.h"
#include "support/test.h"

typedef struct logger {
    const char *name;
    drive_format format;
    double tolerance; /* share of the energy of a session */
} logger;

#define COLUMNS .lap = true, .altitude = true

/* Rates, noise and steps that loggers have. */
static const logger loggers[] = {
    {"clean 20 Hz", {.rate = 20, COLUMNS}, 0.005},
    {"20 Hz, noise 0.1 m/s", {.rate = 20, .noise = 0.1, COLUMNS}, 0.03},
    {"clean 10 Hz", {.rate = 10, COLUMNS}, 0.03},
    {"20 Hz, 1 km/h steps", {.rate = 20, .step = 1, .unit = "km/h", COLUMNS}, 0.03},
    {"20 Hz, 1 mph steps", {.rate = 20, .step = 1, .unit = "mph", COLUMNS}, 0.03},
    {"10 Hz, noise 0.1, 0.01 m/s steps", {.rate = 10, .noise = 0.1, .step = 0.01, COLUMNS}, 0.03},
    {"20 Hz, noise 0.05, 1 km/h steps",
     {.rate = 20, .noise = 0.05, .step = 1, .unit = "km/h", COLUMNS},
     0.03},
    {"100 Hz, noise 0.1 m/s", {.rate = 100, .noise = 0.1, COLUMNS}, 0.03},
    {"clean 5 Hz", {.rate = 5, COLUMNS}, 0.03},
    {"clean 1 Hz", {.rate = 1, COLUMNS}, 0.08},
};
enum { LOGGERS = sizeof loggers / sizeof loggers[0] };

static mbl_trace *trace_of(const drive_session *session, const drive_format *format)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    drive_write(session, format, &text);
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    assert_ok(mbl_log_parse(&mbl_alloc_libc, "drive.csv", mbl_text_get(&text), text.length, NULL,
                            &log, &err),
              err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    mbl_log_free(log);
    mbl_text_free(&text);
    return trace;
}

/* J that `car` brakes on a stretch of the trace. */
static double braked(const mbl_trace *trace, double start, double end, const mbl_vehicle *car,
                     double *braking_time)
{
    size_t room = mbl_channels_count(end - start, 1, 0.05);
    mbl_channels c = {.room = room,
                      .time = calloc(room + 1, sizeof(double)),
                      .speed = calloc(room + 1, sizeof(double)),
                      .power = calloc(room, sizeof(double))};
    assert_true(c.time != NULL && c.speed != NULL && c.power != NULL);
    mbl_channels_lap(trace, start, end, 1, car, 0, car, 0.05, &c);
    free(c.time);
    free(c.speed);
    free(c.power);
    *braking_time = c.braking_time;
    return c.energy;
}

/* Share by which the energy of all laps is off; *worst: of one lap. */
static double off(const drive_session *session, const drive_car *car, const drive_format *format,
                  double *worst)
{
    mbl_trace *trace = trace_of(session, format);
    assert_int_equal(trace->nlaps, session->laps);
    double total = 0;
    *worst = 0;
    for (size_t i = 0; i < trace->nlaps; i++) {
        double on = 0;
        double energy = braked(trace, trace->laps[i].start, trace->laps[i].end, &car->body, &on);
        double lap = energy / session->energy[i] - 1;
        *worst = fabs(lap) > fabs(*worst) ? lap : *worst;
        total += energy;
    }
    mbl_trace_drop(trace);
    return total / session->total - 1;
}

/* Holds every logger to its tolerance on one course. */
static void hold(const drive_course *course, uint64_t seed)
{
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(12, seed);
    drive_session session;
    drive_run(course, &car, &plan, &session);
    const char *print = getenv("MBL_TOL_PRINT");
    for (size_t i = 0; i < LOGGERS; i++) {
        drive_format format = loggers[i].format;
        format.seed = seed * 31 + i;
        double worst = 0;
        double share = off(&session, &car, &format, &worst);
        if (print != NULL && print[0] == '1')
            printf("%-13s seed %2u  %-33s %+6.2f %%  worst lap %+6.2f %%\n", course->name,
                   (unsigned)seed, loggers[i].name, 100 * share, 100 * worst);
        if (!(fabs(share) <= loggers[i].tolerance))
            fail_msg("%s, seed %u, %s: braking energy off by %.2f %%", course->name, (unsigned)seed,
                     loggers[i].name, 100 * share);
    }
    drive_free(&session);
}

static void energy_holds_on_a_mixed_course(void **state)
{
    (void)state;
    hold(&drive_harrow_vale, 3);
    hold(&drive_harrow_vale, 4);
}

static void energy_holds_on_a_fast_course(void **state)
{
    (void)state;
    hold(&drive_long_mead, 5);
    hold(&drive_long_mead, 6);
}

static void energy_holds_on_a_stop_and_go_course(void **state)
{
    (void)state;
    hold(&drive_cold_quay, 7);
    hold(&drive_cold_quay, 8);
}

static void energy_holds_on_a_hilly_course(void **state)
{
    (void)state;
    hold(&drive_kestrel_rise, 9);
    hold(&drive_kestrel_rise, 10);
}

static void energy_holds_on_courses_nobody_chose(void **state)
{
    (void)state;
    for (uint64_t seed = 901; seed < 905; seed++) {
        drive_course course = drive_any_course(seed);
        hold(&course, seed);
    }
}

static void a_hilly_course_needs_its_altitude(void **state)
{
    (void)state;
    drive_course steep = drive_kestrel_rise;
    /* one great hill, brakes mostly on the way down */
    steep.hill[0] = (drive_hill){30, 1, 0.1};
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(4, 1);
    drive_session session;
    drive_run(&steep, &car, &plan, &session);
    double worst = 0;
    drive_format with = {.lap = true, .altitude = true};
    drive_format without = {.lap = true};
    double good = fabs(off(&session, &car, &with, &worst));
    double poor = fabs(off(&session, &car, &without, &worst));
    assert_true(good < 0.006);
    assert_true(poor > 2 * good);
    drive_free(&session);
}

static void noise_on_a_steady_speed_is_not_braking(void **state)
{
    (void)state;
    drive_car car = drive_coupe();
    static const double speeds[] = {15, 40, 65};
    static const drive_format formats[] = {
        {.rate = 20, .noise = 0.1},  {.rate = 10, .noise = 0.1, .step = 0.01},
        {.rate = 20, .noise = 0.3},  {.rate = 20, .noise = 0.05, .step = 1, .unit = "km/h"},
        {.rate = 100, .noise = 0.1},
    };
    enum { N = 120000 };
    drive_session session = {.course = &drive_harrow_vale, .lap_length = 1e9, .laps = 1, .n = N};
    session.v = calloc(N, sizeof(double));
    session.s = calloc(N, sizeof(double));
    session.lap = calloc(N, 1);
    assert_true(session.v != NULL && session.s != NULL && session.lap != NULL);
    for (size_t k = 0; k < 3; k++)
        for (size_t f = 0; f < sizeof formats / sizeof formats[0]; f++) {
            for (size_t i = 0; i < N; i++)
                session.v[i] = speeds[k];
            drive_format format = formats[f];
            format.seed = 77 + k;
            mbl_trace *trace = trace_of(&session, &format);
            double on = 0;
            double duration = trace->t[trace->n - 1];
            double watts = braked(trace, 0, duration, &car.body, &on) / duration / car.body.mass;
            /* a hot lap has 24 to 29 W/kg (common practice, no source): a thousandth of it */
            assert_near(watts, 0, 0.03);
            mbl_trace_drop(trace);
        }
    drive_free(&session);
}

static void the_demo_log_has_the_energy_it_was_made_with(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    assert_ok(mbl_log_read(&mbl_alloc_libc, MBL_SOURCE_DIR "/tracks/harrow_vale_log.csv", NULL,
                           &log, &err),
              err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    assert_int_equal(trace->nlaps, 15);
    drive_car car = drive_coupe();
    double total = 0;
    for (size_t i = 0; i < trace->nlaps; i++) {
        double on = 0;
        const mbl_lap *lap = &trace->laps[i];
        assert_int_equal(lap->kind, i == 0 ? MBL_LAP_OUT : i == 14 ? MBL_LAP_IN : MBL_LAP_HOT);
        double energy = braked(trace, lap->start, lap->end, &car.body, &on);
        total += energy;
        if (lap->kind == MBL_LAP_HOT)
            assert_true(on > 0.11 * (lap->end - lap->start) && on < 0.18 * (lap->end - lap->start));
    }
    /* printed by make_log, which wrote the file */
    assert_close(total, 5.833292e7, 0.01);
    mbl_trace_drop(trace);
    mbl_log_free(log);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(energy_holds_on_a_mixed_course),
        cmocka_unit_test(energy_holds_on_a_fast_course),
        cmocka_unit_test(energy_holds_on_a_stop_and_go_course),
        cmocka_unit_test(energy_holds_on_a_hilly_course),
        cmocka_unit_test(energy_holds_on_courses_nobody_chose),
        cmocka_unit_test(a_hilly_course_needs_its_altitude),
        cmocka_unit_test(noise_on_a_steady_speed_is_not_braking),
        cmocka_unit_test(the_demo_log_has_the_energy_it_was_made_with),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
