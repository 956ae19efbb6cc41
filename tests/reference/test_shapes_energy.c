/* SPDX-License-Identifier: MIT */
/*
 * One drive whose braking energy is known, written in every shape a logger has and with every
 * fault: the energy found in the file must be that of the drive. The tolerances are what the
 * product promises; MBL_TOL_PRINT=1 prints how far each is off.
 */
#include "road/road.h"
#include "support/drive_logger.h"
#include "support/session.h"
#include "support/test.h"

typedef struct one {
    const char *name;
    drive_logger logger;
    double tolerance;       /* share of the energy of a session */
    mbl_repair_kind repair; /* that the fault must be counted as; MBL_REPAIRS for none */
    bool laps;              /* every lap is found */
} one;

#define NONE  MBL_REPAIRS
#define USUAL .lap = true, .altitude = true

static const one shapes[] = {
    {"wide, row of units", {USUAL}, 0.03, NONE, true},
    {"units in names", {.shape = DRIVE_NAMES, USUAL}, 0.03, NONE, true},
    {"semicolons, decimal comma", {.decimal_comma = true, USUAL}, 0.03, NONE, true},
    {"tall", {.shape = DRIVE_TALL, USUAL}, 0.03, NONE, true},
    {"sections", {.shape = DRIVE_SECTIONS}, 0.03, NONE, true},
    {"sparse, four rates", {.shape = DRIVE_SPARSE}, 0.03, NONE, true},
    {"GPX, 20 Hz", {.shape = DRIVE_GPX}, 0.03, NONE, true},
    {"GPX, 10 Hz", {.shape = DRIVE_GPX, .rate = 10}, 0.03, NONE, true},
    {"GPX, 1 Hz", {.shape = DRIVE_GPX, .rate = 1}, 0.08, NONE, true},
    {"ms", {.clock = DRIVE_MS, USUAL}, 0.03, NONE, true},
    {"h:m:s", {.clock = DRIVE_HMS, USUAL}, 0.03, NONE, true},
    {"Unix ms", {.clock = DRIVE_UNIX_MS, USUAL}, 0.03, NONE, true},
    {"1 Hz", {.rate = 1, USUAL}, 0.08, NONE, true},
    {"distance alone", {.no_speed = true, .distance = true, .altitude = true}, 0.03, NONE, true},
    {"distance alone, 1 m steps, 10 Hz",
     {.no_speed = true, .distance = true, .distance_step = 1, .rate = 10, USUAL},
     0.05,
     NONE,
     true},
    {"positions alone", {.no_speed = true, .position = true, .altitude = true}, 0.03, NONE, true},
    {"positions alone, 5 Hz",
     {.no_speed = true, .position = true, .altitude = true, .rate = 5},
     0.03,
     NONE,
     true},
};

static const one faults[] = {
    {"5 % of rows missing", {.drop = 0.05, USUAL}, 0.03, NONE, true},
    {"28 rows of one stamp",
     {.rate = 28, .block = 1, .clock = DRIVE_UNIX_MS, USUAL},
     0.03,
     MBL_REPAIR_SPREAD,
     true},
    {"28 rows of one stamp, distance",
     {.rate = 28, .block = 1, .clock = DRIVE_UNIX_MS, .distance = true, USUAL},
     0.03,
     MBL_REPAIR_REBUILT,
     true},
    {"bursts each 3 s, distance",
     {.burst = 3, .distance = true, USUAL},
     0.03,
     MBL_REPAIR_REBUILT,
     true},
    {"bursts each 3 s, tall",
     {.shape = DRIVE_TALL, .burst = 3, .distance = true, USUAL},
     0.03,
     MBL_REPAIR_REBUILT,
     true},
    {"bursts each 3 s, 1 m steps",
     {.burst = 3, .distance = true, .distance_step = 1, USUAL},
     0.03,
     MBL_REPAIR_REBUILT,
     true},
    {"bursts each 3 s, no distance", {.burst = 3, USUAL}, 0.03, MBL_REPAIR_SPREAD, true},
    {"frozen at both ends", {.frozen = 1.35, USUAL}, 0.03, MBL_REPAIR_FROZEN, true},
    {"frozen 2 s each lap",
     {.frozen_lap = 2, .distance = true, USUAL},
     0.03,
     MBL_REPAIR_FROZEN,
     true},
    {"a spike each lap", {.spike = true, USUAL}, 0.03, MBL_REPAIR_SPIKE, true},
    {"a spike each lap, noise 0.1",
     {.spike = true, .noise = 0.1, USUAL},
     0.03,
     MBL_REPAIR_SPIKE,
     true},
    {"3 s missing each lap", {.gap = 3, USUAL}, 0.03, MBL_REPAIR_GAP, true},
    {"time starts again, lap column", {.lap_clock = true, USUAL}, 0.03, MBL_REPAIR_RESET, true},
    {"time starts again, no lap column",
     {.lap_clock = true, .altitude = true},
     0.03,
     MBL_REPAIR_RESET,
     true},
    {"2 % of rows out of order", {.swap = 0.02, USUAL}, 0.03, MBL_REPAIR_BACK, true},
    {"2 % out of order, time starts again",
     {.swap = 0.02, .lap_clock = true, USUAL},
     0.03,
     MBL_REPAIR_BACK,
     true},
    {"5 Hz sensor at 50 Hz", {.sensor = 5, .rate = 50, USUAL}, 0.03, MBL_REPAIR_REPEATED, true},
    {"10 Hz sensor at 25 Hz, 1 km/h steps, positions",
     {.sensor = 10, .rate = 25, .step = 1, .position = true, USUAL},
     0.03,
     MBL_REPAIR_REPEATED,
     true},
    {"1 km/h steps, noise, 5 % missing",
     {.step = 1, .noise = 0.05, .drop = 0.05, USUAL},
     0.03,
     NONE,
     true},
    {"pressure with an offset",
     {.pressure = true, .offset = 0.6, .sensor_noise = 0.05, USUAL},
     0.03,
     MBL_REPAIR_OFFSET,
     true},
    {"pressure with an offset below zero",
     {.pressure = true, .offset = -0.4, .sensor_noise = 0.1, .noise = 0.1, USUAL},
     0.03,
     MBL_REPAIR_OFFSET,
     true},
    {"sparse pressure with an offset",
     {.shape = DRIVE_SPARSE, .offset = 0.6},
     0.03,
     MBL_REPAIR_OFFSET,
     true},
    {"pressure at 1 Hz", {.pressure = true, .rate = 1, USUAL}, 0.08, NONE, true},
};

static mbl_log *log_of(const drive_session *session, const drive_logger *logger, const char *name)
{
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    drive_log(session, logger, &text);
    assert_false(text.failed);
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_log_wish wish = {.start_line = true,
                         .start_latitude = drive_latitude(session, 0),
                         .start_longitude = drive_longitude(session, 0)};
    mbl_status status =
        mbl_log_parse(&mbl_alloc_libc, name, mbl_text_get(&text), text.length, &wish, &log, &err);
    if (status != MBL_OK)
        fail_msg("%s: line %d: %s", name, err.line, err.text);
    mbl_text_free(&text);
    return log;
}

/* J that the car of the drive brakes on a whole trace. */
static double braked(const mbl_trace *trace, const mbl_vehicle *car, double *scale)
{
    double scatter = 0;
    mbl_error err = {0};
    assert_ok(mbl_trace_pressure_scale(&mbl_alloc_libc, trace, car, scale, &scatter, &err), err);
    double energy = 0;
    for (size_t i = 0; i < trace->nlaps; i++) {
        mbl_lap_figures figures;
        mbl_lap_measure(trace, i, car, *scale, &figures);
        energy += figures.energy * car->mass;
    }
    return energy;
}

/* Share by which the energy in the file is off; checks laps and repairs. */
static double off(const drive_session *session, const drive_car *car, const one *o,
                  const drive_logger *logger)
{
    mbl_log *log = log_of(session, logger, o->name);
    mbl_error err = {0};
    mbl_trace *trace = NULL;
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    if (o->laps && trace->nlaps != session->laps)
        fail_msg("%s: %zu laps found, %zu driven", o->name, trace->nlaps, session->laps);
    if (o->repair != NONE && log->repair[o->repair].count == 0)
        fail_msg("%s: nothing counted as: %s", o->name, mbl_repair_text(o->repair));
    double scale = 0;
    double energy = braked(trace, &car->body, &scale);
    bool pressure = logger->pressure || logger->shape == DRIVE_SPARSE;
    if (pressure != (scale > 0))
        fail_msg("%s: pressure %s used", o->name, pressure ? "is not" : "is");
    mbl_trace_drop(trace);
    mbl_log_free(log);
    return energy / session->total - 1;
}

static void hold(const drive_course *course, uint64_t seed, const one *list, size_t n)
{
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(6, seed);
    drive_session session;
    drive_run(course, &car, &plan, &session);
    const char *print = getenv("MBL_TOL_PRINT");
    for (size_t i = 0; i < n; i++) {
        drive_logger logger = list[i].logger;
        logger.seed = seed * 31 + i;
        double share = off(&session, &car, &list[i], &logger);
        if (print != NULL && print[0] == '1')
            printf("%-13s seed %2u  %-48s %+6.2f %%\n", course->name, (unsigned)seed, list[i].name,
                   100 * share);
        if (!(fabs(share) <= list[i].tolerance))
            fail_msg("%s, seed %u, %s: braking energy off by %.2f %%", course->name, (unsigned)seed,
                     list[i].name, 100 * share);
    }
    drive_free(&session);
}

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

static void energy_holds_in_every_shape(void **state)
{
    (void)state;
    hold(&drive_harrow_vale, 3, shapes, COUNT(shapes));
    hold(&drive_kestrel_rise, 9, shapes, COUNT(shapes));
}

static void energy_holds_with_every_fault(void **state)
{
    (void)state;
    hold(&drive_harrow_vale, 4, faults, COUNT(faults));
    hold(&drive_kestrel_rise, 10, faults, COUNT(faults));
}

static void energy_holds_on_courses_nobody_chose(void **state)
{
    (void)state;
    drive_course course = drive_any_course(911);
    hold(&course, 911, shapes, COUNT(shapes));
    hold(&course, 911, faults, COUNT(faults));
}

/* Drives a logged session that ends parked: by pressure, and with the stand as it was logged. */
static void drive_logged(mbl_trace *trace)
{
    mbl_case setup = test_case(trace, "{ logged: true }");
    setup.car.fuel.start = 40;
    setup.car.fuel.per_lap = 2;
    mbl_error err = {0};
    mbl_drive *drive = NULL;
    assert_ok(
        mbl_drive_make(&mbl_alloc_libc, &setup, MBL_REFERENCE_STEP, NULL, 0, NULL, &drive, &err),
        err);
    assert_true(drive->route->road.pressure_scale > 0);
    assert_int_equal(drive->route->plan.n, trace->nlaps);
    assert_int_equal(drive->route->plan.hot_laps, 3);
    mbl_leg_report report;
    for (size_t i = 0; i < drive->route->plan.n; i++) {
        assert_ok(mbl_drive_leg(drive, &drive->route->plan.leg[i], NULL, &report, &err), err);
        assert_near(report.inferred, 0, 0);
        if (i == 1)
            assert_true(report.energy > 1e6);
    }
    const mbl_leg *last = &drive->route->plan.leg[drive->route->plan.n - 1];
    assert_int_equal(last->phase, MBL_PHASE_PARK);
    assert_near(report.duration, 150, 2);
    assert_near(drive->fuel, 40 - 2 * 5, 1e-9); /* none is used at a stand */
    mbl_drive_free(drive);
}

static void a_pedal_held_while_parked_makes_no_heat(void **state)
{
    (void)state;
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint(3, 12);
    drive_session session;
    drive_run(&drive_harrow_vale, &car, &plan, &session);
    drive_stop(&session, &car, 150);
    drive_logger logger = {
        .pressure = true, .offset = 0.3, .sensor_noise = 0.05, .distance = true, USUAL};
    mbl_log *log = log_of(&session, &logger, "parked");
    assert_int_equal(log->repair[MBL_REPAIR_HELD].count, 1);
    assert_near(log->repair[MBL_REPAIR_HELD].amount, 150, 1);
    mbl_error err = {0};
    mbl_trace *trace = NULL;
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    assert_int_equal(trace->nlaps, session.laps + 1);
    const mbl_lap *last = &trace->laps[session.laps];
    assert_int_equal(last->kind, MBL_LAP_PARKED);
    assert_int_equal(last->number, session.laps - 1);
    assert_int_equal(trace->laps[session.laps - 1].kind, MBL_LAP_IN);
    assert_near(last->end - last->start, 150, 2);
    assert_false(trace->doubt[MBL_DOUBT_ENDS_AT_SPEED].found);
    double scale = 0;
    assert_close(braked(trace, &car.body, &scale), session.total, 0.03);
    assert_true(scale > 0);
    mbl_lap_figures figures;
    mbl_lap_measure(trace, session.laps, &car.body, scale, &figures);
    /* the last 10 km/h */
    assert_true(figures.energy <= 0.5 * 1.04 * 2.78 * 2.78);
    assert_int_equal(figures.stops, 0);
    drive_logged(trace);
    mbl_trace_drop(trace);
    mbl_log_free(log);
    drive_free(&session);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(energy_holds_in_every_shape),
        cmocka_unit_test(energy_holds_with_every_fault),
        cmocka_unit_test(energy_holds_on_courses_nobody_chose),
        cmocka_unit_test(a_pedal_held_while_parked_makes_no_heat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
