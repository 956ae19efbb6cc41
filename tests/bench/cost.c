/* SPDX-License-Identifier: MIT */
/* Table B: what a stint costs as it grows. */
#include "bench/tables.h"

#include "bench/batch.h"
#include "bench/drives.h"
#include "bench/engine.h"
#include "bench/page.h"
#include "support/session.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double quickest(const bench_engine *e, int runs)
{
    double best = INFINITY;
    for (int i = 0; i < runs; i++)
        best = fmin(best, bench_engine_drive(e, NULL));
    return best;
}

/* Lanes of one shape; every one of them a row of the sweep. */
static void lanes_of(const mbl_case *base, int lanes, mbl_case setup[], mbl_model *model[])
{
    for (int w = 0; w < lanes; w++) {
        setup[w] = bench_sweep(base, (size_t)w);
        model[w] = bench_model(&setup[w]);
    }
}

static void say_stint(const char *label, const mbl_case *base, int lanes, int laps, mbl_text *page)
{
    static mbl_case setup[MBL_LANES_MOST];
    mbl_model *model[MBL_LANES_MOST];
    bench_engine e;
    char f[5][24];
    lanes_of(base, lanes, setup, model);
    bench_engine_make(setup, model, lanes, 0, &e);
    double ms = 1e3 * quickest(&e, laps > 50 ? 3 : 8) / lanes;
    double whole = ms + 1e3 * e.planned / lanes;
    bench_say(page, "| %s | %s | %s | %s | %s | %s |\n", label, bench_figure(1e3 * e.planned, f[0]),
              bench_figure(ms, f[1]), bench_figure(whole, f[2]), bench_figure(whole / laps, f[3]),
              bench_figure((double)e.steps, f[4]));
    bench_engine_free(&e);
    for (int w = 0; w < lanes; w++)
        mbl_model_drop(model[w]);
}

static const char table_head[] = " | plan, ms | drive, ms | with plan, ms | a lap, ms | steps |\n"
                                 "|--:|--:|--:|--:|--:|--:|\n";

static void say_laps(const mbl_case *base, int lanes, mbl_text *page)
{
    static const int laps[] = {1, 2, 5, 10, 20, 50, 100, 200};
    bench_say(page,
              "\nLaps, all of them hot, then ten minutes parked; default mode, %d lanes. One plan "
              "serves laps that are alike.\n\n| laps%s",
              lanes, table_head);
    for (size_t i = 0; i < sizeof laps / sizeof laps[0]; i++) {
        char label[16];
        mbl_case c = *base;
        c.stint.out = 0;
        c.stint.cool = 0;
        c.stint.hot = laps[i];
        snprintf(label, sizeof label, "%d", laps[i]);
        say_stint(label, &c, lanes, laps[i], page);
    }
}

static void add_link(mbl_brake *b, const char *from, const char *to, double conductance)
{
    mbl_extra_link *l = &b->links.v[b->links.n++];
    *l = (mbl_extra_link){.conductance = conductance};
    snprintf(l->from, sizeof l->from, "%s", from);
    snprintf(l->to, sizeof l->to, "%s", to);
}

/* Shields behind the pad, each with a link to its plate and to the air. */
static void add_nodes(mbl_brake *b, int n)
{
    for (int i = 0; i < n; i++) {
        mbl_extra_node *node = &b->nodes.v[b->nodes.n++];
        *node = (mbl_extra_node){.capacity = 120 + 10 * i};
        char name[16];
        snprintf(name, sizeof name, "shield%d", i);
        snprintf(node->name, sizeof node->name, "%s", name);
        add_link(b, "pad.plate", name, 1);
        add_link(b, name, "ambient", 0.5);
    }
}

static void say_nodes(const mbl_case *base, int lanes, mbl_text *page)
{
    static const int nodes[] = {0, 2, 4, 8};
    bench_say(page,
              "\nNodes of the user's own on each axle, each with two links; 20 laps, default mode, "
              "%d lanes.\n\n| nodes%s",
              lanes, table_head);
    for (size_t i = 0; i < sizeof nodes / sizeof nodes[0]; i++) {
        char label[16];
        mbl_case c = *base;
        add_nodes(&c.car.front, nodes[i]);
        add_nodes(&c.car.rear, nodes[i]);
        snprintf(label, sizeof label, "%d", nodes[i]);
        say_stint(label, &c, lanes, 20, page);
    }
}

/* In a process of its own, so that its memory is its own. */
static bool apart(const char *self, const char *log, size_t rows, bench_batch_result *r)
{
    char command[1200];
    snprintf(command, sizeof command, "\"%s\" --log %s --one-batch %zu", self, log, rows);
    FILE *in = popen(command, "r");
    if (in == NULL)
        return false;
    int got = fscanf(in, "%lf %lf %lf %lf", &r->seconds, &r->wall, &r->resident, &r->residual);
    return pclose(in) == 0 && got == 4;
}

static void write_log(char path[])
{
    mbl_text log;
    int file = mkstemp(path);
    bench_need(file < 0 ? MBL_FILE : MBL_OK, NULL, "no temporary file");
    FILE *out = fdopen(file, "w");
    bench_drive_log(0, 0, 18, 7, &log);
    bool ok = out != NULL && fwrite(mbl_text_get(&log), 1, log.length, out) == log.length;
    ok = out != NULL && fclose(out) == 0 && ok;
    bench_need(ok ? MBL_OK : MBL_FILE, NULL, "a log cannot be written");
    mbl_text_free(&log);
}

static double say_rows(const bench_options *o, const char *self, mbl_text *page)
{
    double resident = (double)NAN;
    char log[] = "/tmp/mbl-bench-XXXXXX";
    write_log(log);
    bench_say(
        page,
        "\nRows of a sweep of 20 laps through the pool by %d workers, each a line of a file; "
        "default mode, each with its own plan where it needs one; after 36 rows cars come again, "
        "and their film laws are "
        "known. Each size is a process of "
        "its own.\n\n"
        "| rows | ms a row, processor | wall, s | rows/s | rows/s/core | peak resident, MB |\n"
        "|--:|--:|--:|--:|--:|--:|\n",
        mbl_cpu_count());
    for (size_t rows = 1; rows <= (o->all_rows ? 100000u : 10000u); rows *= 10) {
        bench_batch_result r;
        char f[5][24];
        if (!apart(self, log, rows, &r)) {
            bench_say(page, "| %zu | failed | | | | |\n", rows);
            continue;
        }
        resident = 1e-6 * r.resident;
        double n = (double)rows;
        bench_say(page, "| %zu | %s | %s | %s | %s | %s |\n", rows,
                  bench_figure(1e3 * r.seconds / n, f[0]), bench_figure(r.wall, f[1]),
                  bench_figure(n / r.wall, f[2]), bench_figure(n / r.seconds, f[3]),
                  bench_figure(resident, f[4]));
    }
    remove(log);
    return resident;
}

static void say_workers(const mbl_case *base, mbl_text *page)
{
    double one = 0;
    bench_say(page, "\nWorkers, 360 rows of 20 laps. 1 works on the caller's thread; with 2 and "
                    "more the caller's thread gives and takes rows and does not work.\n\n"
                    "| workers | ms a row, processor | ms a row, wall | times faster |\n"
                    "|--:|--:|--:|--:|\n");
    for (int w = 1; w <= mbl_cpu_count(); w = w < 4 ? w + 1 : 2 * w) {
        char f[3][24];
        double wall = INFINITY;
        double cpu = INFINITY;
        for (int i = 0; i < 3; i++) {
            bench_batch b = {.rows = 360, .workers = w};
            bench_batch_result r = bench_batch_run(base, &b);
            wall = fmin(wall, r.wall / 360);
            cpu = fmin(cpu, r.seconds / 360);
        }
        one = w == 1 ? wall : one;
        bench_say(page, "| %d | %s | %s | %s |\n", w, bench_figure(1e3 * cpu, f[0]),
                  bench_figure(1e3 * wall, f[1]), bench_figure(one / wall, f[2]));
    }
}

void bench_one_batch(const bench_options *o)
{
    mbl_error err = {0};
    char *text = NULL;
    size_t n = 0;
    bench_need(o->log == NULL ? MBL_INPUT : MBL_OK, NULL, "no log for the batch");
    bench_need(mbl_file_read(&mbl_alloc_libc, o->log, SIZE_MAX / 2, &text, &n, &err), &err,
               "a log");
    mbl_trace *trace = bench_trace(text, n);
    mbl_free(&mbl_alloc_libc, text, n + 1, 1);
    mbl_case base = bench_case(trace, 18);
    bench_batch b = {.rows = o->one_batch, .workers = mbl_cpu_count()};
    bench_batch_result r = bench_batch_run(&base, &b);
    printf("%.9g %.9g %.9g %.9g\n", r.seconds, r.wall, r.resident, r.residual);
    mbl_trace_drop(trace);
}

double bench_cost(const bench_options *o, const char *self, mbl_text *page)
{
    mbl_trace *trace = test_session(&drive_harrow_vale, 18);
    mbl_case base = bench_case(trace, 18);
    int lanes = mbl_lanes_best();
    bench_say(page, "\n## B. Cost against size\n\nProcessor time of one core, the least of several "
                    "runs. The coupe of table A.\n");
    say_laps(&base, lanes, page);
    say_nodes(&base, lanes, page);
    double resident = say_rows(o, self, page);
    say_workers(&base, page);
    mbl_trace_drop(trace);
    return resident;
}
