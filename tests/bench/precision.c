/* SPDX-License-Identifier: MIT */
#include "bench/precision.h"

#include "bench/batch.h"
#include "bench/machine.h"
#include "bench/page.h"
#include "bench/settings.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MODES = BENCH_MODES, ROUNDS_MOST = 9, WIDTHS = 3, WIDTHS_SINGLE };

static const int widths[WIDTHS_SINGLE] = {MBL_LANES_ONE, MBL_LANES_FOUR, MBL_LANES_EIGHT,
                                          MBL_LANES_SIXTEEN};

/* Widths that a mode has. */
static int widths_of(int mode)
{
    return mode == MBL_MODE_SCREENING ? WIDTHS_SINGLE : WIDTHS;
}

/* Peers that take longer than this are run once, s. */
static const double slow = 0.4;

typedef struct table {
    const bench_scene *x;
    bench_precision *out;
    int rounds;
    mbl_case setup[MODES][MBL_LANES_MOST];
    bench_engine engine[MODES][WIDTHS_SINGLE];
    const bench_engine *best; /* default, at the fastest width */
    double *dense;
    unsigned char *at;
} table;

static bench_row *add(table *t, bench_row row)
{
    bench_precision *p = t->out;
    if (p->n == BENCH_ROWS)
        bench_need(MBL_INTERNAL, NULL, "more rows than there is room for");
    p->row[p->n] = row;
    return &p->row[p->n++];
}

static double median(double *v, int n)
{
    for (int i = 1; i < n; i++) {
        for (int j = i; j > 0 && v[j] < v[j - 1]; j--) {
            double swap = v[j];
            v[j] = v[j - 1];
            v[j - 1] = swap;
        }
    }
    return n % 2 == 1 ? v[n / 2] : 0.5 * (v[n / 2 - 1] + v[n / 2]);
}

/* ms a stint of the engine's default, now. */
static double engine_now(const table *t)
{
    double best = INFINITY;
    for (int i = 0; i < 2; i++)
        best = fmin(best, bench_engine_drive(t->best, NULL));
    return 1e3 * best / t->best->lanes;
}

static void hold(const table *t, bench_row *row, size_t samples, const double *peak)
{
    const bench_scene *x = t->x;
    bool whole = samples == x->stint.n;
    if (x->reference != NULL)
        row->e = bench_errors_of(&x->stint, samples, x->model[0]->nnodes, t->dense, x->reference,
                                 t->at, whole ? peak : NULL, row->lanes, whole ? x->peak : NULL);
}

static void forget(const table *t)
{
    size_t values = t->x->stint.n * (size_t)t->x->model[0]->nnodes;
    for (size_t i = 0; i < values; i++)
        t->dense[i] = (double)NAN;
}

/* ---- engine ---- */

static void make_engines(table *t)
{
    t->out->lanes = 0;
    double best = INFINITY;
    for (int m = 0; m < MODES; m++) {
        for (int w = 0; w < MBL_LANES_MOST; w++) {
            t->setup[m][w] = t->x->lane[w];
            t->setup[m][w].mode = m;
        }
        double planned = INFINITY; /* the same route for all widths: the least counts */
        for (int i = 0; i < widths_of(m); i++) {
            bench_engine_make(t->setup[m], t->x->model, widths[i], 0, &t->engine[m][i]);
            planned = fmin(planned, t->engine[m][i].planned);
        }
        for (int i = 0; i < widths_of(m); i++)
            t->engine[m][i].planned = planned;
        t->out->planned[m] = 1e3 * planned;
    }
    for (int i = 0; i < WIDTHS; i++) {
        double took = INFINITY;
        for (int k = 0; k < 5; k++)
            took = fmin(took, bench_engine_drive(&t->engine[MBL_MODE_DEFAULT][i], NULL));
        if (took / widths[i] < best) {
            best = took / widths[i];
            t->best = &t->engine[MBL_MODE_DEFAULT][i];
            t->out->lanes = widths[i];
        }
    }
}

static void run_engine(table *t, int mode, int width)
{
    const bench_engine *e = &t->engine[mode][width];
    double peak[BENCH_NODES * MBL_LANES_MOST];
    double best = INFINITY;
    for (int i = 0; i < 3 * t->rounds; i++)
        best = fmin(best, bench_engine_drive(e, peak));
    double ms = 1e3 * best / e->lanes;
    bench_row *row = add(t, (bench_row){.who = "engine",
                                        .setting = mbl_mode_word((mbl_mode)mode),
                                        .lanes = e->lanes,
                                        .workers = 1,
                                        .engine = true,
                                        .mode = (mbl_mode)mode,
                                        .ms = ms,
                                        .whole = ms + 1e3 * e->planned / e->lanes,
                                        .wall = (double)NAN,
                                        .flops = e->flops,
                                        .steps = (double)e->steps,
                                        .over = (double)NAN});
    forget(t);
    bench_engine_dense(e, &t->x->stint, t->dense, t->at, NULL);
    hold(t, row, t->x->stint.n, peak);
}

/* The sweep through the pool: with everything that a row costs. */
static void run_batch(table *t, int mode, size_t rows, int workers, bool one_plan)
{
    static const char *const names[2][2] = {{"batch of 36", "batch of 36, one plan"},
                                            {"batch of 288", "batch of 288, one plan"}};
    mbl_case base = t->setup[mode][0];
    mbl_kin kin;
    mbl_kin_of(t->x->model[0], &kin);
    bench_batch b = {.rows = rows,
                     .workers = workers,
                     .lanes = mode == MBL_MODE_SCREENING ? mbl_lanes_best_single() : t->out->lanes,
                     .kin = one_plan ? &kin : NULL};
    double best = INFINITY;
    double wall = INFINITY;
    bench_batch_result r = {0};
    for (int i = 0; i < t->rounds; i++) {
        r = bench_batch_run(&base, &b);
        best = fmin(best, r.seconds);
        wall = fmin(wall, r.wall);
        double *residual =
            mode == MBL_MODE_SCREENING ? &t->out->residual_single : &t->out->residual;
        *residual = fmax(*residual, r.residual);
    }
    const bench_row *drive = bench_precision_best(t->out, (mbl_mode)mode);
    double peak[BENCH_NODES * MBL_LANES_MOST];
    bench_engine_drive(&t->engine[mode][0], peak);
    t->out->same = t->out->same && peak[MBL_FACE] == r.face;
    add(t, (bench_row){.who = names[rows > BENCH_SWEEP][one_plan],
                       .setting = mbl_mode_word((mbl_mode)mode),
                       .lanes = b.lanes,
                       .workers = workers,
                       .engine = true,
                       .mode = (mbl_mode)mode,
                       .ms = (double)NAN,
                       .whole = 1e3 * best / (double)rows,
                       .wall = workers > 1 ? 1e3 * wall / (double)rows : (double)NAN,
                       .flops = drive->flops,
                       .steps = drive->steps,
                       .over = (double)NAN,
                       .e = drive->e});
}

/* ---- peers ---- */

static double share_of(const bench_stint *s, size_t samples)
{
    return samples < s->parked ? s->time[samples] / s->time[s->parked] : 1;
}

static void run_peer(table *t, const bench_group *g, const bench_setting *setting, int lanes)
{
    static bench_result timed, full;
    const bench_scene *x = t->x;
    bench_row *row = add(t, (bench_row){.who = g->name,
                                        .setting = setting->name,
                                        .lanes = lanes,
                                        .workers = 1,
                                        .ms = INFINITY,
                                        .wall = (double)NAN});
    double over[ROUNDS_MOST];
    int n = 0;
    timed.at_step = NULL;
    double before = engine_now(t);
    while (n < t->rounds) {
        row->left = g->run(x->model, lanes, &x->stint, setting, NULL, &timed);
        if (row->left != NULL)
            return;
        double after = engine_now(t);
        double ms = 1e3 * timed.seconds / share_of(&x->stint, timed.samples) / lanes;
        row->ms = fmin(row->ms, ms);
        over[n++] = ms / (0.5 * (before + after));
        before = after;
        if (timed.seconds > slow)
            break;
    }
    row->over = median(over, n);
    row->whole = row->ms;
    row->flops = timed.flops;
    row->steps = (double)timed.steps;
    row->scaled = timed.samples < x->stint.n;
    full.at_step = t->at;
    forget(t);
    g->run(x->model, lanes, &x->stint, setting, t->dense, &full);
    hold(t, row, timed.samples, timed.peak);
}

void bench_precision_run(const bench_scene *x, int rounds, bench_precision *out)
{
    static table t;
    size_t values = x->stint.n * (size_t)x->model[0]->nnodes;
    t = (table){.x = x, .out = out, .rounds = rounds < ROUNDS_MOST ? rounds : ROUNDS_MOST};
    *out = (bench_precision){.same = true, .peak = bench_peak()};
    t.dense = bench_room(values, sizeof *t.dense);
    t.at = bench_room(x->stint.n, 1);
    make_engines(&t);
    for (int m = 0; m < MODES; m++) {
        for (int w = 0; w < widths_of(m); w++)
            run_engine(&t, m, w);
        run_batch(&t, m, BENCH_SWEEP, 1, false);
        run_batch(&t, m, BENCH_SWEEP, 1, true);
        run_batch(&t, m, 8 * BENCH_SWEEP, 1, true);
        run_batch(&t, m, 8 * BENCH_SWEEP, mbl_cpu_count(), true);
    }
    for (size_t i = 0; i < bench_ngroups; i++) {
        const bench_group *g = &bench_groups[i];
        for (int w = 0; w < WIDTHS && g->lanes[w] > 0; w++) {
            for (size_t k = 0; k < g->n; k++)
                run_peer(&t, g, &g->setting[k], g->lanes[w]);
        }
    }
    for (int m = 0; m < MODES; m++) {
        for (int w = 0; w < widths_of(m); w++)
            bench_engine_free(&t.engine[m][w]);
    }
    free(t.dense);
    free(t.at);
}

const bench_row *bench_precision_best(const bench_precision *p, mbl_mode mode)
{
    const bench_row *best = &p->row[0];
    for (size_t i = 0; i < p->n; i++) {
        const bench_row *r = &p->row[i];
        if (r->engine && r->mode == mode && r->ms == r->ms &&
            (best->mode != mode || r->ms < best->ms))
            best = r;
    }
    return best;
}

const bench_row *bench_precision_find(const bench_precision *p, const char *who, mbl_mode mode)
{
    for (size_t i = 0; i < p->n; i++) {
        if (p->row[i].engine && p->row[i].mode == mode && strcmp(p->row[i].who, who) == 0)
            return &p->row[i];
    }
    return NULL;
}
