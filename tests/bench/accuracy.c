/* SPDX-License-Identifier: MIT */
#include "bench/accuracy.h"

#include "bench/against_cvode.h"
#include "bench/engine.h"
#include "bench/page.h"
#include "support/coupe.h"
#include "support/random_car.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MODES = BENCH_MODES, LISTED = 20, FINER = 4 };

/* Seeds of random cars where none is asked for. */
static const uint64_t listed[LISTED] = {11,  23,  42,  57,  68,  74,  91,  105, 118, 132,
                                        149, 151, 167, 178, 186, 193, 204, 219, 227, 240};

uint64_t bench_seed(const bench_options *o, size_t car)
{
    if (o->seed > 0)
        return o->seed + car;
    return car < LISTED ? listed[car] : listed[LISTED - 1] + (car - LISTED + 1);
}

/* A drive as rows of samples. */
typedef struct rows {
    double *dense;
    unsigned char *at;
    double peak[BENCH_NODES];
} rows;

static void drive(const bench_engine *e, const bench_stint *s, rows *out)
{
    out->dense = bench_room(s->n * (size_t)e->model[0]->nnodes, sizeof *out->dense);
    out->at = bench_room(s->n, 1);
    bench_engine_dense(e, s, out->dense, out->at, out->peak);
}

static void drop(rows *r)
{
    free(r->dense);
    free(r->at);
}

static bool in_pad(size_t node)
{
    size_t of = node % MBL_CORNER_NODES;
    return node < BENCH_OF_CORNERS && of >= MBL_PAD_FACE && of <= MBL_PAD_BODY2;
}

static bench_off hold(const bench_stint *s, size_t nodes, const rows *run, const rows *reference)
{
    bench_off off;
    off.all = bench_errors_of(s, s->n, (int)nodes, run->dense, reference->dense, run->at, run->peak,
                              1, reference->peak);
    double *same = bench_room(s->n * nodes, sizeof *same);
    for (size_t i = 0; i < s->n * nodes; i++)
        same[i] = in_pad(i % nodes) ? reference->dense[i] : run->dense[i];
    off.apart = bench_errors_of(s, s->n, (int)nodes, same, reference->dense, run->at, run->peak, 1,
                                reference->peak);
    free(same);
    return off;
}

static void put_phase(mbl_stint *s, mbl_phase_kind kind, double pace, double time)
{
    s->phases.v[s->phases.n++] =
        (mbl_phase){.kind = (int)kind, .laps = time > 0 ? 0 : 1, .time = time, .pace = pace};
}

/* Laps at changing pace. */
static void put_traffic(mbl_stint *s, int hot)
{
    static const double paces[] = {0.82, 1, 0.9, 0.97};
    put_phase(s, MBL_PHASE_OUT, 0.85, 0);
    for (int i = 0; i < hot; i++) {
        put_phase(s, MBL_PHASE_TRAFFIC, paces[i % 4], 0);
        put_phase(s, MBL_PHASE_HOT, paces[(i + 1) % 4], 0);
    }
    put_phase(s, MBL_PHASE_COOL, 0.75, 0);
    put_phase(s, MBL_PHASE_PARK, (double)NAN, s->park);
}

static mbl_case case_of(mbl_trace *trace, size_t kind, const mbl_car *car, int hot)
{
    mbl_case c = {.car = *car, .limits = test_limits(), .event = test_event()};
    test_fill(&mbl_stint_schema, "{ out: 1, hot: 1, cool: 1, park: 300 s }", &c.stint);
    test_fill(&mbl_course_schema, "{ file: session }", &c.course);
    c.course.trace = trace;
    c.stint.hot = hot;
    if (kind == BENCH_TRAFFIC)
        put_traffic(&c.stint, hot);
    return c;
}

static mbl_case slower(const mbl_case *setup, double pace)
{
    mbl_case c = *setup;
    c.stint.pace.out *= pace;
    c.stint.pace.hot *= pace;
    c.stint.pace.cool *= pace;
    for (size_t i = 0; i < c.stint.phases.n; i++)
        c.stint.phases.v[i].pace *= pace;
    bench_whole_samples(&c);
    return c;
}

static double hottest_rotor(const mbl_case *setup, mbl_model *model)
{
    bench_engine e;
    double peak[BENCH_NODES];
    double most = 0;
    bench_engine_make(setup, &model, 1, 0, &e);
    bench_engine_drive(&e, peak);
    bench_engine_free(&e);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        most = fmax(most, peak[mbl_corner_index(axle, MBL_FACE)]);
    return most;
}

/* Slows the drive down until the brakes bear it; false where they bear none. */
static bool find_pace(bench_one *x, mbl_model *model)
{
    static const double paces[] = {1, 0.9, 0.8, 0.7, 0.6, 0.5};
    for (size_t i = 0; i < sizeof paces / sizeof paces[0]; i++) {
        mbl_case c = slower(&x->setup, paces[i]);
        if (!(hottest_rotor(&c, model) <= BENCH_BEARS))
            continue;
        x->pace = paces[i];
        x->setup = c;
        return true;
    }
    return false;
}

static mbl_status work(void *ctx, size_t i, int worker, mbl_error *err)
{
    (void)worker, (void)err;
    bench_cars *a = ctx;
    bench_one *x = &a->of[i];
    mbl_model *model = bench_model(&x->setup);
    if (!find_pace(x, model)) {
        mbl_model_drop(model);
        return MBL_OK;
    }
    rows finer;
    bench_engine e;
    bench_stint s;
    bench_engine_make(&x->setup, &model, 1, MBL_TIMELINE_SAMPLE / FINER, &e);
    bench_stint_make(e.route, MBL_TIMELINE_SAMPLE, &s);
    drive(&e, &s, &finer);
    bench_engine_free(&e);
    for (int mode = 0; mode < MODES; mode++) {
        mbl_case setup = x->setup;
        rows run;
        rows same;
        setup.mode = mode;
        bench_engine_make(&setup, &model, 1, 0, &e);
        double own = e.route->road.step; /* samples of this car in this mode */
        drive(&e, &s, &run);
        bench_engine_free(&e);
        bench_engine_make(&setup, &model, 1, own, &e);
        bench_engine_split(&e, FINER);
        drive(&e, &s, &same);
        bench_engine_free(&e);
        size_t nodes = (size_t)model->nnodes;
        x->off[BENCH_SAME_SAMPLES][mode] = hold(&s, nodes, &run, &same);
        x->off[BENCH_FINER_SAMPLES][mode] = hold(&s, nodes, &run, &finer);
        drop(&run);
        drop(&same);
    }
    drop(&finer);
    bench_stint_free(&s);
    mbl_model_drop(model);
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, mbl_error *err)
{
    (void)ctx, (void)i, (void)err;
    return MBL_OK;
}

static void say_head(const bench_options *o, const bench_cars *a, mbl_text *page)
{
    size_t slow = 0;
    size_t left = 0;
    for (size_t i = 0; i < a->n * BENCH_TRACES; i++) {
        slow += a->of[i].pace > 0 && a->of[i].pace < 1;
        left += a->of[i].pace <= 0;
    }
    bench_say(page,
              "\n## C. Accuracy\n\n"
              "%d random cars (everything drawn: rotors, pads, calipers, friction, pedal, pads "
              "worn down to a seventh, wear), each on one of four courses with five kinds of log: "
              "out-lap, %d hot laps, cool-down lap, 300 s parked; in traffic twice as many laps at "
              "changing pace. Each goes at the first of 1, 0.9 ... 0.5 of the pace at which no "
              "rotor passes %.0f K; %zu drives of %zu went slower than full pace, %zu were left "
              "out since none would do. Errors in K "
              "against the engine's own fixed grid, which is held against CVODE below and in the "
              "tests; in brackets the seed of the car that is worst. Seeds:",
              o->cars, o->laps, BENCH_BEARS, slow, a->n * BENCH_TRACES, left);
    for (size_t i = 0; i < (size_t)o->cars && i < 60; i++)
        bench_say(page, " %llu", (unsigned long long)bench_seed(o, i));
    bench_say(page, ".\n");
}

void bench_accuracy(const bench_options *o, bench_errors same[MODES], bench_errors finer[MODES],
                    mbl_text *page)
{
    mbl_trace *trace[BENCH_COURSES][BENCH_TRACES];
    mbl_error err = {0};
    size_t done = 0;
    bench_cars a = {.options = o, .n = (size_t)o->cars};
    a.of = bench_room(a.n * BENCH_TRACES, sizeof *a.of);
    for (size_t c = 0; c < BENCH_COURSES; c++) {
        for (size_t k = 0; k < BENCH_TRACES; k++)
            trace[c][k] = bench_drive(c, k, o->laps, bench_seed(o, 0) + 10 * c + k);
    }
    for (size_t i = 0; i < a.n; i++) {
        mbl_car car = random_car(bench_seed(o, i));
        for (size_t k = 0; k < BENCH_TRACES; k++)
            a.of[i * BENCH_TRACES + k].setup =
                case_of(trace[i % BENCH_COURSES][k], k, &car, o->laps);
    }
    mbl_pool_job job = {.items = a.n * BENCH_TRACES,
                        .window = a.n * BENCH_TRACES,
                        .work = work,
                        .take = take,
                        .ctx = &a};
    bench_need(mbl_pool_run(&mbl_alloc_libc, mbl_cpu_count(), &job, &done, &err), &err, "cars");
    say_head(o, &a, page);
    bench_cars_say(&a, BENCH_SAME_SAMPLES, same, page);
    bench_cars_say(&a, BENCH_FINER_SAMPLES, finer, page);
    const bench_one *first = &a.of[1];
    while (first->pace <= 0 && first + BENCH_TRACES < a.of + a.n * BENCH_TRACES)
        first += BENCH_TRACES;
    if (first->pace > 0)
        bench_against_cvode(&first->setup, bench_trace_names[1], page);
    for (size_t c = 0; c < BENCH_COURSES; c++) {
        for (size_t k = 0; k < BENCH_TRACES; k++)
            mbl_trace_drop(trace[c][k]);
    }
    free(a.of);
}
