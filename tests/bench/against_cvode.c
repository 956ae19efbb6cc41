/* SPDX-License-Identifier: MIT */
#include "bench/against_cvode.h"

#include "bench/engine.h"
#include "bench/page.h"
#include "support/coupe.h"

#include <stdlib.h>
#include <string.h>

#ifdef BENCH_HAVE_SUNDIALS

enum { FINER = 4 };

static void say_row(const char *what, const mbl_case *setup, mbl_model *model, double step,
                    const bench_stint *s, const double *reference, const double *reference_peak,
                    mbl_text *page)
{
    char f[4][24];
    bench_engine e;
    double peak[BENCH_NODES];
    double *dense = bench_room(s->n * (size_t)model->nnodes, sizeof *dense);
    unsigned char *at = bench_room(s->n, 1);
    bench_engine_make(setup, &model, 1, step, &e);
    bench_engine_dense(&e, s, dense, at, peak);
    bench_errors off =
        bench_errors_of(s, s->parked, model->nnodes, dense, reference, at, peak, 1, reference_peak);
    bench_say(page, "| %s | %s | %s | %s | %s |\n", what, bench_figure(off.at_steps, f[0]),
              bench_figure(off.dense, f[1]), bench_figure(off.peak, f[2]),
              bench_figure(off.zone, f[3]));
    bench_engine_free(&e);
    free(dense);
    free(at);
}

void bench_against_cvode(const mbl_case *given, const char *trace, mbl_text *page)
{
    static bench_result out;
    mbl_case c = *given;
    bench_stint finer, s;
    bench_setting tight = {.rtol = 1e-8, .every = true};
    c.car.front.pad.pressure_effect.n = 0;
    c.car.rear.pad.pressure_effect.n = 0;
    c.car.front.pad.wear = 0;
    c.car.rear.pad.wear = 0;
    c.car.pedal = test_coupe().pedal;
    mbl_model *model = bench_model(&c);
    mbl_route *route = bench_route(&c, model, MBL_TIMELINE_SAMPLE);
    size_t nodes = (size_t)model->nnodes;
    bench_stint_make(route, MBL_TIMELINE_SAMPLE, &s);
    bench_stint_make(route, MBL_TIMELINE_SAMPLE / FINER, &finer);
    mbl_route_drop(route);
    double *all = bench_room(finer.n * nodes, sizeof *all);
    double *reference = bench_room(s.n * nodes, sizeof *reference);
    const char *wrong = bench_peer_cvode(&model, 1, &finer, &tight, all, &out);
    bench_need(wrong == NULL ? MBL_OK : MBL_INTERNAL, NULL, wrong);
    for (size_t k = 0; k < s.parked; k++)
        memcpy(reference + k * nodes, all + (FINER * k + FINER - 1) * nodes, nodes * sizeof *all);
    bench_say(page,
              "\nThe first of these cars on the log of %s, without wear and without effects of "
              "pressure, against CVODE at 1e-8 on samples of 6.25 ms: on track, and peaks of all "
              "of the stint.\n\n"
              "| | at steps | every 25 ms | stint peak | zone peak |\n|---|--:|--:|--:|--:|\n",
              trace);
    say_row("fixed grid, 6.25 ms", &c, model, MBL_TIMELINE_SAMPLE / FINER, &s, reference, out.peak,
            page);
    say_row("fixed grid, 25 ms", &c, model, MBL_TIMELINE_SAMPLE, &s, reference, out.peak, page);
    c.mode = MBL_MODE_DEFAULT;
    say_row("default", &c, model, 0, &s, reference, out.peak, page);
    c.mode = MBL_MODE_FINE;
    say_row("fine", &c, model, 0, &s, reference, out.peak, page);
    free(all);
    free(reference);
    bench_stint_free(&s);
    bench_stint_free(&finer);
    mbl_model_drop(model);
}

#else

void bench_against_cvode(const mbl_case *given, const char *trace, mbl_text *page)
{
    (void)given, (void)trace;
    bench_say(page, "\nNot held against CVODE: SUNDIALS was not found.\n");
}

#endif
