/* SPDX-License-Identifier: MIT */
#include "drive/history.h"

#include <math.h>

/* When the next row is due after one at t. */
static void next_row(mbl_history *h, double t)
{
    h->next = (floor(t / h->every + 1e-6) + 1.0) * h->every;
}

enum { HISTORY_NODES = MBL_AXLES * (MBL_CORNER_NODES + MBL_EXTRA_NODES) };

/* Temperatures and their slopes at one end of a stride. */
typedef struct knot {
    double T[HISTORY_NODES], slope[HISTORY_NODES];
    double tau[HISTORY_NODES]; /* s in which a node follows those that it is linked to */
} knot;

/*
 * Is a macro step under way? Its slow nodes then stand where they were when it began; how far they
 * have crept since is what their flows at the ends of its strides come to, until it ends and tells.
 */
static bool under_way(const mbl_block *b)
{
    return b->into[0] < b->macro[0] * (1 - 1e-9);
}

static void take_knot(mbl_drive *d, double speed, double power, knot *out)
{
    mbl_block *b = d->block;
    double flow[HISTORY_NODES];
    double pressure = b->pressure[0];
    mbl_block_flows(b, speed, fmax(power, 0.0), NULL, flow);
    b->pressure[0] = pressure;
    for (int i = 0; i < d->model->nnodes; i++) {
        out->T[i] = b->T[i * b->lanes];
        out->slope[i] = flow[i] / b->C[i * b->lanes];
    }
    double g[HISTORY_NODES] = {0};
    for (int k = d->model->inner.first; k < d->model->inner.end; k++) {
        g[d->model->link[k].from] += b->g[k * b->lanes];
        g[d->model->link[k].to] += b->g[k * b->lanes];
    }
    for (int i = 0; i < d->model->nnodes; i++)
        out->tau[i] = b->C[i * b->lanes] / g[i];
}

/*
 * Slope at an end of a piece that rises by `secant` a second, held to what keeps the cubic between
 * its ends (Fritsch and Carlson 1980): a pad's face that settles within the step would swing.
 */
static double held(double slope, double secant)
{
    if (slope * secant <= 0)
        return 0;
    double most = 3 * fabs(secant);
    return fabs(slope) < most ? slope : copysign(most, secant);
}

/* What goes from one value to another within a stride of dt, with slopes at both ends. */
typedef struct piece {
    double from, to, slope0, slope1;
} piece;

/* The cubic of a piece at share u. */
static double cubic(const piece *p, double dt, double u)
{
    double s = 1 - u;
    double secant = (p->to - p->from) / dt;
    return s * s * (1 + 2 * u) * p->from + u * u * (1 + 2 * s) * p->to +
           dt * u * s * (s * held(p->slope0, secant) - u * held(p->slope1, secant));
}

/*
 * A piece that settles within tau: the straight line between its ends, and what dies away from the
 * slope it begins with. What a stride leaves wrong at a quick node is a thousand times that in its
 * slope; here it counts as what it is.
 */
static double settling(const piece *p, double dt, double tau, double u)
{
    double x = dt / tau;
    double line = p->from + u * (p->to - p->from);
    double amplitude = ((p->to - p->from) / dt - p->slope0) * tau / (1 + expm1(-x) / x);
    return line + amplitude * (expm1(-u * x) - u * expm1(-x));
}

/*
 * Seconds in which a piece settles. A node behind which others settle too does so more slowly than
 * by itself: by the slopes at its ends, where they tell of an exponential, but no more than thrice
 * as slowly (found by trying), since the first of them is not to be relied on.
 */
static double settles_in(const piece *p, double dt, double tau)
{
    double falls = p->slope0 / p->slope1;
    double by_slopes = falls > 1 && isfinite(falls) ? dt / log(falls) : tau;
    return fmin(fmax(by_slopes, tau), 3 * tau);
}

/* The one for nodes that are slow against the stride, the other for quick ones; where they change
 * over was found by trying. */
static double within(const piece *p, double dt, double tau, double u)
{
    double in = settles_in(p, dt, tau);
    double x = dt / (2 * in);
    double slow = 1 / (1 + x * x * x * x);
    return slow * cubic(p, dt, u) + (1 - slow) * settling(p, dt, in, u);
}

/*
 * Between two knots `dt` apart, at share u of the way. Along the chains from their slow ends to the
 * faces, a node moves as the deeper one beside it, and what it stands above that is a piece by
 * itself; all other nodes are slow.
 */
static void between(const mbl_drive *d, const knot *a, const knot *b, double dt, double u,
                    double *T)
{
    static const mbl_corner_node beside[][2] = {
        {MBL_LAYER3, MBL_CORE},       {MBL_LAYER2, MBL_LAYER3},   {MBL_LAYER1, MBL_LAYER2},
        {MBL_FACE, MBL_LAYER1},       {MBL_PAD_BODY2, MBL_PLATE}, {MBL_PAD_BODY1, MBL_PAD_BODY2},
        {MBL_PAD_FACE, MBL_PAD_BODY1}};
    for (int i = 0; i < d->model->nnodes; i++) {
        piece p = {a->T[i], b->T[i], a->slope[i], b->slope[i]};
        T[i] = cubic(&p, dt, u);
    }
    for (int axle = 0; mbl_road_strides(&d->route->road) && axle < MBL_AXLES; axle++) {
        for (size_t i = 0; i < sizeof beside / sizeof beside[0]; i++) {
            int n = mbl_corner_index(axle, beside[i][0]);
            int m = mbl_corner_index(axle, beside[i][1]);
            piece p = {a->T[n] - a->T[m], b->T[n] - b->T[m], a->slope[n] - a->slope[m],
                       b->slope[n] - b->slope[m]};
            T[n] = T[m] + within(&p, dt, a->tau[n], u);
        }
    }
}

/* One stride with the rows of history that fall into it. */
static void run_stride(mbl_drive *d, const mbl_route_leg *leg, size_t k, double time,
                       mbl_history *h)
{
    const mbl_stride_map *map = &d->model->stride;
    const mbl_stride *s = &leg->stride[k];
    double start = d->now + time;
    double half = 0.5 * s->dt * s->slope;
    double T[HISTORY_NODES];
    knot a;
    knot b;
    take_knot(d, s->v0, s->power - half, &a);
    mbl_block_stride(d->block, leg->stride, k, k + 1, time, &d->record);
    take_knot(d, s->v1, s->power + half, &b);
    for (int i = 0; i < map->nslow; i++) {
        int n = map->slow[i];
        double before = s->macro_dt > 0 ? 0 : d->crept[n];
        a.T[n] += before;
        d->crept[n] = before + 0.5 * s->dt * (a.slope[n] + b.slope[n]);
        b.T[n] += under_way(d->block) ? d->crept[n] : 0;
    }
    while (h->next < start + s->dt - 1e-9) {
        double u = fmax((h->next - start) / s->dt, 0.0);
        between(d, &a, &b, s->dt, u, T);
        h->row(h->ctx, start + u * s->dt, &leg->leg, s->v0 + u * (s->v1 - s->v0),
               s->power > 0 ? fmax(s->power + half * (2 * u - 1), 0.0) : 0.0, d->block->pressure[0],
               T);
        next_row(h, start + u * s->dt);
    }
}

/* Steps of a fixed grid. */
static void run_grid(mbl_drive *d, const mbl_route_leg *leg, size_t first, size_t last,
                     mbl_history *h)
{
    mbl_inputs in = {.time = leg->time, .speed = leg->speed, .power = leg->power};
    double T[HISTORY_NODES];
    knot a;
    knot b;
    size_t done = first;
    for (size_t k = first; k < last; k++) {
        double start = d->now + leg->time[k];
        double dt = leg->time[k + 1] - leg->time[k];
        if (h->next >= start + dt - 1e-9)
            continue;
        mbl_block_run(d->block, &in, done, k, &d->record);
        take_knot(d, leg->speed[k], leg->power[k], &a);
        mbl_block_run(d->block, &in, k, k + 1, &d->record);
        take_knot(d, leg->speed[k + 1], leg->power[k], &b);
        done = k + 1;
        while (h->next < start + dt - 1e-9) {
            double u = fmax((h->next - start) / dt, 0.0);
            between(d, &a, &b, dt, u, T);
            h->row(h->ctx, start + u * dt, &leg->leg,
                   leg->speed[k] + u * (leg->speed[k + 1] - leg->speed[k]), leg->power[k],
                   d->block->pressure[0], T);
            next_row(h, start + u * dt);
        }
    }
    mbl_block_run(d->block, &in, done, last, &d->record);
}

double mbl_history_run(mbl_drive *d, const mbl_route_leg *leg, size_t first, size_t last,
                       double time, mbl_history *h)
{
    if (leg->stride == NULL) {
        run_grid(d, leg, first, last, h);
        return leg->time[last];
    }
    for (size_t k = first; k < last; k++) {
        run_stride(d, leg, k, time, h);
        time += leg->stride[k].dt;
    }
    return time;
}
