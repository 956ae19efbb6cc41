/* SPDX-License-Identifier: MIT */
/*
 * Round trips from paper to paper: a layout is driven, a logger with noise makes a log of the
 * drive, the log gives a layout, and both are held together: by their geometry, and by the lap
 * that the same car drives on both. The layout that the log came from is the truth.
 */
#include "drive/lap.h"
#include "road/layout_log.h"
#include "road/layout_read.h"
#include "road/road.h"
#include "road/trace_driven.h"
#include "support/coupe.h"
#include "support/drive.h"
#include "support/layout_logger.h"
#include "support/test.h"

#define PI 3.141592653589793

static mbl_layout *layout_of(const mbl_stretch *stretch, size_t n)
{
    mbl_layout_plan plan = {
        .name = "paper", .closed = true, .n = n, .stretch = stretch, .pit_entry = NAN};
    mbl_layout *out = NULL;
    mbl_error err = {0};
    assert_ok(mbl_layout_make(&mbl_alloc_libc, &plan, &out, &err), err);
    return out;
}

/* Drive, log, and layout of the log's second lap. */
static mbl_layout *logged(const layout_drive *drive, const layout_logger *logger)
{
    mbl_text text;
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    mbl_layout *out = NULL;
    mbl_error err = {0};
    mbl_text_init(&text, &mbl_alloc_libc);
    layout_log_write(drive, logger, &text);
    assert_ok(
        mbl_log_parse(&mbl_alloc_libc, "log", mbl_text_get(&text), text.length, NULL, &log, &err),
        err);
    assert_ok(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), err);
    assert_ok(mbl_layout_of_trace(&mbl_alloc_libc, trace, 1, &out, &err), err);
    mbl_trace_drop(trace);
    mbl_log_free(log);
    mbl_text_free(&text);
    return out;
}

static double curvature_at(const mbl_layout *l, double s)
{
    size_t i = 0;
    while (i + 1 < l->n && l->begin[i + 1] <= s)
        i++;
    return mbl_stretch_curvature(&l->stretch[i], s - l->begin[i]);
}

static const struct {
    const char *name;
    unsigned column;
} sources[] = {{"positions", LOG_POSITIONS}, {"yaw rate", LOG_YAW}, {"lateral", LOG_LATERAL}};

enum { SOURCES = sizeof sources / sizeof sources[0], SEEDS = 3 };

static layout_logger noisy(unsigned columns, double rate, uint64_t seed)
{
    return (layout_logger){.rate = rate,
                           .laps = 4,
                           .columns = columns,
                           .speed = 0.1,
                           .place = 0.5,
                           .yaw = 0.5,
                           .lateral = 0.02,
                           .seed = seed};
}

/* m on which the curvature is above half of that of the arc between a and b. */
static double turned_length(const mbl_layout *l, double a, double b, double half)
{
    double sum = 0;
    for (double s = a; s < b; s += 0.25)
        sum += curvature_at(l, s) > half ? 0.25 : 0;
    return sum;
}

static double mean_curvature(const mbl_layout *l, double a, double b)
{
    double sum = 0;
    double n = 0;
    for (double s = a; s < b; s += 0.5, n++)
        sum += curvature_at(l, s);
    return sum / n;
}

/*
 * Two straights of 300 m and two half circles of 40 m radius at 20 m/s: radius within 3 %, the
 * arc's length within 3 %, the straights straighter than a radius of 1 km.
 */
static void a_stadium_comes_back_with_its_radius_and_lengths(void **state)
{
    (void)state;
    double R = 40;
    double arc = PI * R;
    double k = 1 / R;
    mbl_stretch stretch[] = {{.length = 150, .surface = 1},
                             {.length = arc, .curvature = k, .bends_to = k, .surface = 1},
                             {.length = 300, .surface = 1},
                             {.length = arc, .curvature = k, .bends_to = k, .surface = 1},
                             {.length = 150, .surface = 1}};
    mbl_layout *truth = layout_of(stretch, 5);
    double s[] = {0, truth->length};
    double t[] = {0, truth->length / 20};
    double v[] = {20, 20};
    layout_drive drive = {truth, 2, s, t, v};
    for (size_t i = 0; i < SOURCES; i++)
        for (uint64_t seed = 0; seed < SEEDS; seed++) {
            layout_logger logger = noisy(sources[i].column, 10, seed);
            mbl_layout *got = logged(&drive, &logger);
            double first = 1 / mean_curvature(got, 160, 140 + arc);
            double second = 1 / mean_curvature(got, 460 + arc, 440 + 2 * arc);
            double long1 = turned_length(got, 50, 250 + arc, k / 2);
            double long2 = turned_length(got, 350 + arc, 550 + 2 * arc, k / 2);
            double straight = mean_curvature(got, 170 + arc, 430 + arc);
            printf("stadium, %-9s: length %+.2f %%, radii %.2f and %.2f m of 40, arcs %.1f and "
                   "%.1f m of %.1f, %zu stretches\n",
                   sources[i].name, 100 * (got->length / truth->length - 1), first, second, long1,
                   long2, arc, got->n);
            assert_close(got->length, truth->length, 0.01);
            assert_close(first, R, 0.03);
            assert_close(second, R, 0.03);
            assert_close(long1, arc, 0.03);
            assert_close(long2, arc, 0.03);
            assert_near(straight, 0, 1e-3);
            assert_near(got->turned, 2 * PI, 1e-3);
            assert_true(got->closed);
            mbl_layout_drop(got);
        }
    mbl_layout_drop(truth);
}

/* ---- the lap that both give ---- */

static mbl_path *lap_of(const mbl_car *car, const mbl_layout *layout)
{
    mbl_lap_ask ask = {.car = car,
                       .layout = layout,
                       .driver = {.corner = 0.95, .brake = 0.9, .power = 1},
                       .mass = car->mass,
                       .density = 1.2};
    mbl_path *path = NULL;
    mbl_error err = {0};
    assert_ok(mbl_lap_drive(&mbl_alloc_libc, &ask, &path, &err), err);
    return path;
}

/* J that the brakes take on a lap. */
static double energy_of(const mbl_car *car, const mbl_path *path)
{
    mbl_driven_lap lap = {.n = path->n, .t = path->t, .v = path->v, .grade = path->grade};
    mbl_vehicle body = {.mass = car->mass,
                        .rotating = car->rotating,
                        .drag_area = car->aero.drag_area,
                        .rolling = car->rolling,
                        .engine_braking = car->engine_braking,
                        .air_density = 1.2};
    mbl_trace *trace = NULL;
    mbl_error err = {0};
    assert_ok(mbl_trace_driven(&mbl_alloc_libc, 1, &lap, false, &trace, &err), err);
    size_t room = mbl_channels_count(path->time, 1, 0.01);
    double *memory = calloc(3 * (room + 1), sizeof *memory);
    assert_non_null(memory);
    mbl_channels c = {
        .room = room, .time = memory, .speed = memory + room + 1, .power = memory + 2 * (room + 1)};
    mbl_channels_lap(trace, trace->laps[0].start, trace->laps[0].end, 1, &body, 0, &body, 0.01, &c);
    free(memory);
    mbl_trace_drop(trace);
    return c.energy;
}

/* The course of a file without banks: no log tells them. */
static mbl_layout *flat_track(const char *name)
{
    char path[256];
    mbl_layout *track = NULL;
    mbl_error err = {0};
    snprintf(path, sizeof path, "%s/tracks/%s.yaml", MBL_SOURCE_DIR, name);
    assert_ok(mbl_layout_read(&mbl_alloc_libc, path, &track, &err), err);
    mbl_stretch *stretch = calloc(track->n, sizeof *stretch);
    assert_non_null(stretch);
    for (size_t i = 0; i < track->n; i++) {
        stretch[i] = track->stretch[i];
        stretch[i].bank = 0;
        stretch[i].surface = 1;
    }
    mbl_layout *flat = layout_of(stretch, track->n);
    free(stretch);
    mbl_layout_drop(track);
    return flat;
}

/* How near the lap must come, as shares. */
typedef struct nearness {
    double time, energy;
} nearness;

/* Drops the course. Each source alone. */
static void round_trip(const char *name, mbl_layout *truth, double rate, nearness places,
                       nearness sensors)
{
    mbl_car car = test_coupe_with(test_pedal_tandem);
    car.power = 260e3;
    mbl_path *path = lap_of(&car, truth);
    double energy = energy_of(&car, path);
    layout_drive drive = {truth, path->n, path->s, path->t, path->v};
    printf("%s, %.0f m, lap %.2f s, %.2f MJ, logged at %g Hz\n", name, truth->length, path->time,
           energy / 1e6, rate);
    for (size_t i = 0; i < SOURCES; i++)
        for (uint64_t seed = 0; seed < SEEDS; seed++) {
            layout_logger logger = noisy(sources[i].column | LOG_ALTITUDE, rate, seed);
            mbl_layout *got = logged(&drive, &logger);
            mbl_path *again = lap_of(&car, got);
            double found = energy_of(&car, again);
            printf("  %-9s: time %+.2f %%, energy %+.2f %%, length %+.2f %%, %zu stretches\n",
                   sources[i].name, 100 * (again->time / path->time - 1),
                   100 * (found / energy - 1), 100 * (got->length / truth->length - 1), got->n);
            nearness near = sources[i].column == LOG_POSITIONS ? places : sensors;
            assert_close(again->time, path->time, near.time);
            assert_close(found, energy, near.energy);
            mbl_path_free(again);
            mbl_layout_drop(got);
        }
    mbl_path_free(path);
    mbl_layout_drop(truth);
}

static const nearness aim = {0.01, 0.03};

static void a_short_course_comes_back_by_lap_time_and_braking_energy(void **state)
{
    (void)state;
    round_trip("nettlewick_club", flat_track("nettlewick_club"), 10, aim, aim);
}

static void a_course_with_fast_bends_comes_back_by_lap_time_and_braking_energy(void **state)
{
    (void)state;
    round_trip("ostrel_sweep", flat_track("ostrel_sweep"), 10, aim, aim);
}

static void a_course_with_chicanes_comes_back_by_lap_time_and_braking_energy(void **state)
{
    (void)state;
    round_trip("cinderpan", flat_track("cinderpan"), 10, aim, aim);
}

static void more_samples_a_second_do_no_harm(void **state)
{
    (void)state;
    round_trip("nettlewick_club", flat_track("nettlewick_club"), 25, aim, aim);
}

/* The curvature of an arc of radius R between two ramps, all of which turn `angle` rad. */
static void add_corner(mbl_stretch *out, double R, double ramp, double angle)
{
    double k = 1 / R;
    out[0] = (mbl_stretch){.length = ramp, .bends_to = k, .surface = 1};
    out[1] = (mbl_stretch){
        .length = fabs(R) * angle - ramp, .curvature = k, .bends_to = k, .surface = 1};
    out[2] = (mbl_stretch){.length = ramp, .curvature = k, .surface = 1};
}

/*
 * Corners that tighten along ramps of 15 to 60 m. Fixes with half a metre of noise, each on its
 * own, do not tell a ramp from a few steps: lap time is up to 2.5 % off, braking energy 6 %, which
 * is a limit that docs/layout_from_log.md states. The sensors of turning come as near as else.
 */
static void a_course_with_ramps_comes_back_less_near_from_positions(void **state)
{
    (void)state;
    static const struct {
        double straight, R, ramp, degrees;
    } of[] = {{400, 28, 30, 150}, {180, -45, 20, 70}, {120, 90, 25, 90},
              {350, 16, 15, 130}, {150, -60, 40, 60}, {250, 160, 60, 120}};
    enum { N = sizeof of / sizeof of[0] };
    mbl_stretch stretch[4 * N];
    for (size_t i = 0; i < N; i++) {
        stretch[4 * i] = (mbl_stretch){.length = of[i].straight, .surface = 1};
        add_corner(&stretch[4 * i + 1], of[i].R, of[i].ramp, of[i].degrees * PI / 180);
    }
    round_trip("a course with ramps", layout_of(stretch, 4 * N), 10, (nearness){0.025, 0.06}, aim);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stadium_comes_back_with_its_radius_and_lengths),
        cmocka_unit_test(a_short_course_comes_back_by_lap_time_and_braking_energy),
        cmocka_unit_test(a_course_with_fast_bends_comes_back_by_lap_time_and_braking_energy),
        cmocka_unit_test(a_course_with_chicanes_comes_back_by_lap_time_and_braking_energy),
        cmocka_unit_test(a_course_with_ramps_comes_back_less_near_from_positions),
        cmocka_unit_test(more_samples_a_second_do_no_harm),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
