/* SPDX-License-Identifier: MIT */
/* Table E: laps of a layout beside the heat of a stint. */
#include "bench/tables.h"

#include "bench/engine.h"
#include "bench/page.h"

#include "drive/loop.h"
#include "road/layout_read.h"
#include "study/study.h"
#include "support/coupe.h"
#include "support/random.h"
#include "support/session.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CARS = 1000, STINTS = 40 };

static const char *const courses[] = {"nettlewick_club", "cinderpan", "hobbin_climb",
                                      "ostrel_sweep"};

static mbl_layout *layout_of(const char *name)
{
    char path[600];
    mbl_layout *layout = NULL;
    mbl_error err = {0};
    snprintf(path, sizeof path, "%s/tracks/%s.yaml", MBL_SOURCE_DIR, name);
    bench_need(mbl_layout_read(&mbl_alloc_libc, path, &layout, &err), &err, "a layout");
    return layout;
}

/* The coupe with another mass, power, grip, wing and pedal. */
static mbl_car car_of(uint64_t seed)
{
    random_source r = {seed};
    mbl_car car = test_coupe_with(test_pedal_bar);
    car.mass = random_between(&r, 800, 1900);
    car.power = random_between(&r, 1e5, 5e5);
    car.tyre.grip = random_between(&r, 0.9, 1.6);
    car.aero.downforce_area = random_between(&r, 0, 2);
    car.pedal.effort_limit = random_between(&r, 300, 700);
    return car;
}

/* ms of processor time of one lap, the mean of all cars, those that do not get round included. */
static double laps_ms(mbl_case *c, double *nodes, size_t *round)
{
    double n = 0;
    double took = 0;
    *round = 0;
    for (uint64_t i = 0; i < CARS; i++) {
        mbl_path *path = NULL;
        mbl_error err = {0};
        c->car = car_of(i + 1);
        double begun = bench_clock();
        mbl_status status = mbl_lap_of(&mbl_alloc_libc, c, 0, MBL_LAP_PADS, true, &path, &err);
        took += bench_clock() - begun;
        if (status != MBL_OK)
            continue;
        ++*round;
        n += (double)path->n;
        mbl_path_free(path);
    }
    *nodes = n / fmax((double)*round, 1);
    return 1e3 * took / CARS;
}

/* ms of a stint: its laps with the brakes in the loop, and then the run that drives them. */
static void stint_ms(mbl_case *c, double *loop, double *run)
{
    *loop = 0;
    *run = 0;
    for (uint64_t i = 0; i < STINTS; i++) {
        mbl_trace *trace = NULL;
        mbl_run *made = NULL;
        mbl_error err = {0};
        mbl_film_store *films = NULL;
        c->car = car_of(7);
        c->car.mass += (double)i;
        c->course.trace = NULL;
        double begun = bench_clock();
        bench_need(mbl_loop_trace(&mbl_alloc_libc, c, NULL, &trace, &err), &err, "laps");
        *loop += bench_clock() - begun;
        c->course.trace = trace;
        begun = bench_clock();
        bench_need(mbl_run_quick(&mbl_alloc_libc, c, 0, films, &made, &err), &err, "a run");
        *run += bench_clock() - begun;
        mbl_run_free(made);
        mbl_trace_drop(trace);
    }
    *loop *= 1e3 / STINTS;
    *run *= 1e3 / STINTS;
}

void bench_laps(mbl_text *page)
{
    bench_say(
        page,
        "\n## E. Laps of a layout\n\n"
        "%d cars (mass, power, grip, wing and leg drawn) on each course, nodes at most 2 m "
        "apart, pads at 300 C. A stint is out-lap, 18 hot laps, cool-down lap and 600 s "
        "parked of one car: all its laps worked out with the brakes in the loop, which drives "
        "their heat once; and the run that follows. Processor time, ms.\n\n"
        "| course | length, m | nodes | cars that get round | one lap | 20 laps in the loop | "
        "the run of them | one lap over a lap's share of the run |\n"
        "|---|--:|--:|--:|--:|--:|--:|--:|\n",
        CARS);
    for (size_t i = 0; i < sizeof courses / sizeof courses[0]; i++) {
        mbl_case c = test_case(NULL, "{ out: 1, hot: 18, cool: 1, park: 600 s }");
        mbl_layout *layout = layout_of(courses[i]);
        double nodes;
        double loop;
        double run;
        size_t round;
        char one[24], all[24], driven[24], over[24];
        c.course.layout = layout;
        double lap = laps_ms(&c, &nodes, &round);
        stint_ms(&c, &loop, &run);
        bench_say(page, "| %s | %.0f | %.0f | %zu | %s | %s | %s | %s |\n", layout->name,
                  layout->length, nodes, round, bench_figure(lap, one), bench_figure(loop, all),
                  bench_figure(run, driven), bench_figure(lap / (run / 20), over));
        mbl_layout_drop(layout);
    }
}
