/* SPDX-License-Identifier: MIT */
#include "bench/accuracy.h"

#include "bench/against_cvode.h"
#include "bench/engine.h"
#include "bench/page.h"
#include "support/coupe.h"
#include "support/random_car.h"

#include <stdlib.h>
#include <string.h>

enum { MODES = 2, LISTED = 20, FINER = 4 };

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

static mbl_status work(void *ctx, size_t i, int worker, mbl_error *err)
{
    (void)worker, (void)err;
    bench_cars *a = ctx;
    bench_one *x = &a->of[i];
    mbl_model *model = bench_model(&x->setup);
    rows reference[BENCH_AGAINSTS];
    bench_engine e;
    bench_stint s;
    bench_engine_make(&x->setup, &model, 1, MBL_TIMELINE_SAMPLE, &e);
    bench_stint_make(e.route, MBL_TIMELINE_SAMPLE, &s);
    bench_engine_split(&e, FINER);
    drive(&e, &s, &reference[BENCH_SAME_SAMPLES]);
    bench_engine_free(&e);
    bench_engine_make(&x->setup, &model, 1, MBL_TIMELINE_SAMPLE / FINER, &e);
    drive(&e, &s, &reference[BENCH_FINER_SAMPLES]);
    bench_engine_free(&e);
    for (int mode = 0; mode < MODES; mode++) {
        mbl_case setup = x->setup;
        rows run;
        setup.mode = mode;
        bench_engine_make(&setup, &model, 1, 0, &e);
        drive(&e, &s, &run);
        for (int k = 0; k < BENCH_AGAINSTS; k++)
            x->off[k][mode] = hold(&s, (size_t)model->nnodes, &run, &reference[k]);
        drop(&run);
        bench_engine_free(&e);
    }
    for (int k = 0; k < BENCH_AGAINSTS; k++)
        drop(&reference[k]);
    bench_stint_free(&s);
    mbl_model_drop(model);
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, mbl_error *err)
{
    (void)ctx, (void)i, (void)err;
    return MBL_OK;
}

static mbl_case case_of(mbl_trace *trace, size_t kind, const mbl_car *car, int hot)
{
    mbl_case c = {.car = *car, .limits = test_limits(), .event = test_event()};
    test_fill(&mbl_stint_schema, "{ out: 1, hot: 1, cool: 1, park: 300 s }", &c.stint);
    test_fill(&mbl_course_schema, "{ file: session }", &c.course);
    c.course.trace = trace;
    c.stint.hot = hot;
    c.stint.logged = kind == BENCH_TRAFFIC;
    bench_whole_samples(&c);
    return c;
}

static void say_head(const bench_options *o, mbl_text *page)
{
    bench_say(page,
              "\n## C. Accuracy\n\n"
              "%d random cars (everything drawn: rotors, pads, calipers, friction, pedal, pads "
              "worn down to a seventh, wear), each on one of four courses with five kinds of log: "
              "out-lap, %d hot laps, cool-down lap, 300 s parked; traffic as logged. Errors in K "
              "against the engine's own fixed grid, which is held against CVODE below and in the "
              "tests; in brackets the seed of the car that is worst. Seeds:",
              o->cars, o->laps);
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
    say_head(o, page);
    bench_cars_say(&a, BENCH_SAME_SAMPLES, same, page);
    bench_cars_say(&a, BENCH_FINER_SAMPLES, finer, page);
    bench_against_cvode(&a.of[1].setup, bench_trace_names[1], page);
    for (size_t c = 0; c < BENCH_COURSES; c++) {
        for (size_t k = 0; k < BENCH_TRACES; k++)
            mbl_trace_drop(trace[c][k]);
    }
    free(a.of);
}
