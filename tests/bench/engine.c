/* SPDX-License-Identifier: MIT */
#include "bench/engine.h"

#include "bench/page.h"

#include <math.h>
#include <stdlib.h>
#include <stdlib.h>
#include <string.h>

static void count(bench_engine *e)
{
    for (size_t i = 0; i < e->route->plan.n; i++) {
        const mbl_route_leg *leg = &e->route->leg[i];
        if (leg->leg.kind == MBL_LEG_PARK)
            continue;
        e->steps += leg->n;
        for (size_t k = 0; leg->stride != NULL && k < leg->n; k++) {
            e->flops += leg->stride[k].power > 0 ? BENCH_FLOPS_BRAKE : BENCH_FLOPS_COAST;
            e->flops += leg->stride[k].macro_dt > 0 ? BENCH_FLOPS_MACRO : 0;
        }
    }
}

void bench_engine_make(const mbl_case setups[], mbl_model *const models[], int lanes, double step,
                       bench_engine *out)
{
    *out = (bench_engine){.lanes = lanes, .model = models, .planned = INFINITY};
    for (int w = 0; w < lanes; w++)
        out->setup[w] = &setups[w];
    for (int i = 0; i < 3; i++) {
        mbl_route_drop(out->route);
        double begun = bench_clock();
        out->route = bench_route(&setups[0], models[0], step);
        out->planned = fmin(out->planned, bench_clock() - begun);
    }
    count(out);
}

void bench_engine_free(bench_engine *e)
{
    mbl_route_drop(e->route);
    free(e->split);
    *e = (bench_engine){0};
}

static void split_leg(mbl_route_leg *leg, size_t parts, double *time)
{
    size_t n = leg->n;
    double *speed = time + parts * n + 1;
    double *power = speed + parts * n + 1;
    for (size_t k = 0; k <= n * parts; k++) {
        size_t i = k / parts;
        size_t next = i < n ? i + 1 : n;
        double u = (double)(k % parts) / (double)parts;
        time[k] = leg->time[i] + u * (leg->time[next] - leg->time[i]);
        speed[k] = leg->speed[i] + u * (leg->speed[next] - leg->speed[i]);
        if (i < n)
            power[k] = leg->power[i];
    }
    leg->n = n * parts;
    leg->hard *= parts;
    leg->time = time;
    leg->speed = speed;
    leg->power = power;
}

void bench_engine_split(bench_engine *e, size_t parts)
{
    size_t values = 0;
    for (size_t i = 0; i < e->route->plan.n; i++)
        values += 3 * parts * e->route->leg[i].n + 2;
    e->split = bench_room(values, sizeof *e->split);
    double *at = e->split;
    for (size_t i = 0; i < e->route->plan.n; i++) {
        size_t room = 3 * parts * e->route->leg[i].n + 2;
        split_leg(&e->route->leg[i], parts, at);
        at += room;
    }
}

static mbl_drive *start(const bench_engine *e, mbl_watch watch[MBL_WATCHES])
{
    mbl_error err = {0};
    mbl_drive *d = NULL;
    memset(watch, 0, MBL_WATCHES * sizeof *watch);
    for (int w = 0; w < e->lanes; w++)
        mbl_checks_watch(e->setup[w], w, watch);
    bench_need(mbl_drive_lanes(&mbl_alloc_libc, e->lanes, e->setup, e->model, e->route, watch,
                               MBL_WATCHES, &d, &err),
               &err, "a drive");
    return d;
}

/* Drives leg i; raises the peaks of all lanes. */
static void go(mbl_drive *d, size_t i, mbl_history *history, double *peak)
{
    mbl_error err = {0};
    mbl_leg_report report[MBL_LANES_MOST];
    bench_need(mbl_drive_leg(d, &d->route->plan.leg[i], history, report, &err), &err, "a leg");
    if (peak == NULL)
        return;
    int lanes = d->block->lanes;
    for (int n = 0; n < d->model->nnodes; n++) {
        for (int w = 0; w < d->used; w++) {
            double *at = &peak[n * d->used + w];
            *at = fmax(*at, d->record.peak[n * lanes + w]);
        }
    }
}

static void clear(const bench_engine *e, double *peak)
{
    int cells = e->model[0]->nnodes * e->lanes;
    for (int i = 0; peak != NULL && i < cells; i++)
        peak[i] = 0;
}

double bench_engine_drive(const bench_engine *e, double *peak)
{
    mbl_watch watch[MBL_WATCHES];
    clear(e, peak);
    double begun = bench_clock();
    mbl_drive *d = start(e, watch);
    for (size_t i = 0; i < e->route->plan.n; i++)
        go(d, i, NULL, peak);
    double took = bench_clock() - begun;
    mbl_drive_free(d);
    return took;
}

/* Rows of history on their way into samples. */
typedef struct rows {
    const bench_stint *s;
    size_t nodes;
    double *dense;
    size_t due; /* sample that is filled next while parked */
    size_t n;   /* of the last rows, in order of time */
    double t[4], T[4][BENCH_NODES];
} rows;

static void keep(rows *r, double t, const double *T)
{
    if (r->n == 4) {
        memmove(r->t, r->t + 1, 3 * sizeof r->t[0]);
        memmove(r->T, r->T + 1, 3 * sizeof r->T[0]);
        r->n--;
    }
    r->t[r->n] = t;
    memcpy(r->T[r->n++], T, r->nodes * sizeof *T);
}

/* T at t by the cubic through the last four rows. */
static void between(const rows *r, double t, double *T)
{
    double weight[4];
    for (size_t i = 0; i < r->n; i++) {
        weight[i] = 1;
        for (size_t j = 0; j < r->n; j++) {
            if (j != i)
                weight[i] *= (t - r->t[j]) / (r->t[i] - r->t[j]);
        }
    }
    for (size_t n = 0; n < r->nodes; n++) {
        T[n] = 0;
        for (size_t i = 0; i < r->n; i++)
            T[n] += weight[i] * r->T[i][n];
    }
}

static void take_row(void *ctx, double t, const mbl_leg *leg, double speed, double power,
                     double pressure, const double *T)
{
    (void)leg, (void)speed, (void)power, (void)pressure;
    const double hair = 1e-6;
    rows *r = ctx;
    double parks = r->s->time[r->s->parked];
    if (r->n == 0 || t > r->t[r->n - 1] + hair)
        keep(r, t, T);
    while (r->due < r->s->n && r->s->time[r->due + 1] < t + hair) {
        between(r, r->s->time[r->due + 1], r->dense + r->due * r->nodes);
        r->due++;
    }
    if (t > parks + hair || t < 0.5 * MBL_TIMELINE_SAMPLE)
        return;
    size_t k = (size_t)(t / MBL_TIMELINE_SAMPLE + 0.5) - 1;
    if (k >= r->s->parked || fabs(r->s->time[k + 1] - t) > hair)
        bench_need(MBL_INTERNAL, NULL, "a row of history that no sample ends at");
    memcpy(r->dense + k * r->nodes, T, r->nodes * sizeof *T);
}

/* Samples at which a stride ends: all nodes are up to date where a macro step does. */
static void mark(const bench_engine *e, const bench_stint *s, unsigned char *at)
{
    double start = 0;
    memset(at, 0, s->n);
    memset(at + s->parked, 1, s->n - s->parked);
    for (size_t i = 0; i < e->route->plan.n; i++) {
        const mbl_route_leg *leg = &e->route->leg[i];
        double t = start;
        for (size_t k = 0; leg->stride != NULL && k < leg->n; k++) {
            t += leg->stride[k].dt;
            bool whole = k + 1 == leg->n || leg->stride[k + 1].macro_dt > 0;
            size_t at_sample = (size_t)(t / MBL_TIMELINE_SAMPLE + 0.5);
            if (at_sample > 0 && fabs(s->time[at_sample] - t) < 1e-6)
                at[at_sample - 1] = whole ? 1 : 2;
        }
        start += leg->duration;
    }
    if (e->route->leg[0].stride == NULL)
        memset(at, 1, s->n);
}

void bench_engine_dense(const bench_engine *e, const bench_stint *s, double *dense,
                        unsigned char *at, double *peak)
{
    mbl_watch watch[MBL_WATCHES];
    rows r = {.s = s, .nodes = (size_t)e->model[0]->nnodes, .dense = dense, .due = s->parked};
    mbl_history history = {.every = MBL_TIMELINE_SAMPLE, .ctx = &r, .row = take_row};
    clear(e, peak);
    mbl_drive *d = start(e, watch);
    for (size_t i = 0; i < e->route->plan.n; i++)
        go(d, i, &history, peak);
    double last[BENCH_NODES];
    for (size_t n = 0; n < r.nodes; n++)
        last[n] = d->block->T[n * (size_t)d->block->lanes];
    take_row(&r, d->now, NULL, 0, 0, 0, last);
    if (r.due < s->n)
        bench_need(MBL_INTERNAL, NULL, "history ends before the stint does");
    if (at != NULL)
        mark(e, s, at);
    mbl_drive_free(d);
}
