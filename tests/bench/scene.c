/* SPDX-License-Identifier: MIT */
#include "bench/scene.h"

#include "bench/page.h"
#include "support/coupe.h"
#include "support/session.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { HOT = 18 };

mbl_case bench_sweep(const mbl_case *base, size_t i)
{
    static const double bores[BENCH_BORES] = {0.051, 0.063, 0.076, 0.089}; /* m */
    mbl_case c = *base;
    size_t row = i % BENCH_SWEEP;
    c.car.front.duct.bore = bores[row / BENCH_RINGS];
    c.car.front.rotor.ring_mass = 7.9 + 0.1 * (double)(row % BENCH_RINGS); /* kg */
    return c;
}

static double whole_pace(const mbl_lap *lap, double pace)
{
    double lasts = lap->end - lap->start;
    double samples = floor(lasts / pace / MBL_TIMELINE_SAMPLE + 0.5);
    return lasts / (samples * MBL_TIMELINE_SAMPLE);
}

void bench_whole_samples(mbl_case *setup)
{
    const mbl_trace *trace = setup->course.trace;
    const mbl_lap *lap = &trace->laps[trace->median];
    mbl_stint *stint = &setup->stint;
    stint->pace.out = whole_pace(lap, stint->pace.out);
    stint->pace.hot = whole_pace(lap, stint->pace.hot);
    stint->pace.cool = whole_pace(lap, stint->pace.cool);
    for (size_t i = 0; i < stint->phases.n; i++) {
        if (stint->phases.v[i].laps > 0)
            stint->phases.v[i].pace = whole_pace(lap, stint->phases.v[i].pace);
    }
    stint->pit_speed = 7.5; /* m/s: a stop of 2.5 s, from below what any slow lap ends at */
}

mbl_case bench_case(mbl_trace *trace, int hot)
{
    mbl_case c = test_case(trace, "{ out: 1, hot: 1, cool: 1, park: 600 s }");
    c.stint.hot = hot;
    bench_whole_samples(&c);
    test_fill(&mbl_duct_schema, "{ bore: 51 mm, length: 1.4 m, inlet: nose, aim: eye }",
              &c.car.front.duct);
    c.car.front.duct.present = true;
    c.car.front.pad.wear = 0;
    c.car.rear.pad.wear = 0;
    return c;
}

mbl_model *bench_model(const mbl_case *setup)
{
    mbl_error err = {0};
    mbl_model *model = NULL;
    bench_need(mbl_drive_compile(&mbl_alloc_libc, setup, NULL, &model, &err), &err, "a car");
    return model;
}

mbl_route *bench_route(const mbl_case *setup, const mbl_model *model, double step)
{
    mbl_error err = {0};
    mbl_road road;
    mbl_route *route = NULL;
    bench_need(mbl_road_of(&mbl_alloc_libc, setup, step, model, &road, &err), &err, "a road");
    bench_need(mbl_route_make(&mbl_alloc_libc, setup, &road, &route, &err), &err, "a route");
    return route;
}

#ifdef BENCH_HAVE_SUNDIALS
static void make_reference(bench_scene *x)
{
    static bench_result out;
    size_t nodes = (size_t)x->model[0]->nnodes;
    double *less = bench_room(x->stint.n * nodes, sizeof *less);
    bench_setting tight = {.rtol = 1e-9, .every = true};
    bench_setting loose = {.rtol = 1e-8, .every = true};
    x->reference = bench_room(x->stint.n * nodes, sizeof *x->reference);
    const char *wrong = bench_peer_cvode(x->model, 1, &x->stint, &tight, x->reference, &out);
    memcpy(x->peak, out.peak, sizeof x->peak);
    if (wrong == NULL)
        wrong = bench_peer_cvode(x->model, 1, &x->stint, &loose, less, &out);
    bench_need(wrong == NULL ? MBL_OK : MBL_INTERNAL, NULL, wrong);
    x->apart = bench_errors_of(&x->stint, x->stint.n, (int)nodes, less, x->reference, NULL,
                               out.peak, 1, x->peak);
    free(less);
}
#else
static void make_reference(bench_scene *x)
{
    x->reference = NULL;
}
#endif

void bench_scene_make(bench_scene *x)
{
    x->trace = test_session(&drive_harrow_vale, HOT);
    mbl_case base = bench_case(x->trace, HOT);
    for (int w = 0; w < MBL_LANES_MOST; w++) {
        x->lane[w] = bench_sweep(&base, (size_t)w);
        x->model[w] = bench_model(&x->lane[w]);
    }
    mbl_route *route = bench_route(&x->lane[0], x->model[0], MBL_TIMELINE_SAMPLE);
    bench_stint_make(route, MBL_TIMELINE_SAMPLE, &x->stint);
    mbl_route_drop(route);
    make_reference(x);
}

void bench_scene_free(bench_scene *x)
{
    for (int w = 0; w < MBL_LANES_MOST; w++)
        mbl_model_drop(x->model[w]);
    bench_stint_free(&x->stint);
    mbl_trace_drop(x->trace);
    free(x->reference);
}
