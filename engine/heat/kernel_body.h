/* SPDX-License-Identifier: MIT */
/*
 * One step of the network for W lanes. Included by kernel1.c and kernel4.c, which define
 * MBL_KERNEL_LANES and MBL_KERNEL_NAME; every lane does the same operations in the same order,
 * so the width changes no bit of a result.
 *
 * The state is enthalpy: dH/dt = q(T(H)). With L the conductance matrix, the method is the
 * two-stage W-method of Verwer and others with gamma = 1 - 1/sqrt(2):
 *
 *   (C + gamma dt L) x1 = q(t, T)                       k1 = C x1
 *   (C + gamma dt L) x2 = q(t + dt, T(H + dt k1)) - 2 k1  k2 = C x2
 *   H += dt (3/2 k1 + 1/2 k2)
 *
 * Order 2 whatever the matrix, so conductances of the first stage serve, and what is not linear
 * (friction, radiation, contact) may stay out of it. L-stable: slow steps on a parked car are
 * fine. Every column of L sums to the conductances to the air, so heat is only moved: what a
 * step loses is known to rounding, and that is what the ledger adds up.
 *
 * Power is the mean of each step, which keeps the energy of the trace exactly.
 */
#include "heat/kernel.h"

#include <math.h>

enum { W = MBL_KERNEL_LANES };

#define GAMMA 0.29289321881345254 /* 1 - 1/sqrt(2) */
#define LANES for (int w = 0; w < W; w++)

/* Conductances that depend on temperature and speed, into b->g. Fixed ones are set before. */
static void films_and_radiation(mbl_block *b, const double *T, double speed)
{
    const mbl_model *m = b->model[0];
    for (int k = m->outer_film.first; k < m->outer_film.end; k++) {
        const mbl_link_spec *l = &m->link[k];
        const mbl_table2 *grid = &m->law[l->law];
        mbl_spot s = mbl_spot_find(speed, grid->x0, grid->x_per_step, grid->nx);
        LANES
        {
            double h = mbl_table2_at(&b->law[w][l->law], s, T[l->from * W + w]);
            b->g[k * W + w] = b->value[k * W + w] * h;
        }
    }
    for (int k = m->outer_radiation.first; k < m->outer_radiation.end; k++) {
        const double *a = T + m->link[k].from * W;
        LANES
        {
            double air = b->ambient[w];
            b->g[k * W + w] = b->value[k * W + w] * (a[w] * a[w] + air * air) * (a[w] + air);
        }
    }
    for (int k = m->inner_radiation.first; k < m->inner_radiation.end; k++) {
        const double *a = T + m->link[k].from * W;
        const double *c = T + m->link[k].to * W;
        LANES
        {
            b->g[k * W + w] = b->value[k * W + w] * (a[w] * a[w] + c[w] * c[w]) * (a[w] + c[w]);
        }
    }
}

/*
 * Friction of every contact and the line pressure that makes the braking force. Friction by
 * temperature and speed is known; its factor by pressure is not until the pressure is, so the
 * pressure is found by a few turns of p = F / sum(gain mu(p)). The factor is bounded and moves
 * little with pressure: each turn shrinks what is off by as much as the factor changes.
 */
static void friction(mbl_block *b, const double *T, double speed, double force, double *sum)
{
    enum { TURNS = 4 };
    const mbl_model *m = b->model[0];
    /* a factor of 1 gives the same bits in every turn, so lanes without one may skip them */
    int turns = b->pressure_matters ? TURNS : 1;
    LANES b->pressure[w] = 0;
    for (int turn = 0; turn < turns; turn++) {
        LANES sum[w] = 0;
        for (int c = 0; c < m->ncontacts; c++) {
            LANES
            {
                const mbl_contact *law = &b->contact[w][c];
                double mu = mbl_table1_at(&law->friction, T[m->contact[c].pad * W + w]) *
                            mbl_table1_at(&law->speed_effect, speed) *
                            mbl_table1_at(&law->pressure_effect, b->pressure[w]);
                b->mu[c * W + w] = mu;
                sum[w] += b->gain[c * W + w] * mu;
            }
        }
        LANES b->pressure[w] = force / sum[w];
        if (force <= 0)
            return;
    }
}

/*
 * Rubbing contacts: divides the braking power between the contacts by gain x friction, sets the
 * conductance between the faces, and puts each contact's heat into q.
 */
static void contacts(mbl_block *b, const double *T, double speed, double power, double *q)
{
    const mbl_model *m = b->model[0];
    double sum[W];
    /* the last instant of a stop: power fades with speed, and the pressure stays finite */
    double force = power / (speed > 0.5 ? speed : 0.5);
    friction(b, T, speed, force, sum);
    for (int c = 0; c < m->ncontacts; c++) {
        const mbl_contact *spec = &m->contact[c];
        LANES
        {
            int at = c * W + w;
            double film = b->gap_film[at] + b->film_per_pascal[at] * b->pressure[w];
            double to_rotor = 1.0 / (1.0 / (film * b->rotor_layer[at]) + b->rotor_half[at]);
            double to_pad = 1.0 / (1.0 / (film * b->pad_layer[at]) + b->pad_half[at]);
            double both = to_rotor + to_pad;
            /* half of an axle's share: one wheel */
            double heat = 0.5 * power * (b->gain[at] * b->mu[at] / sum[w]);
            double in_rotor = heat * (to_rotor / both);
            b->rubbed[at] = heat;
            b->g[spec->link * W + w] = to_rotor * to_pad / both;
            q[spec->rotor * W + w] += in_rotor;
            q[spec->pad * W + w] += heat - in_rotor;
        }
    }
}

/* Net heat flow into every node at temperatures T. Leaves conductances in g, leaks in leak. */
static void flows(mbl_block *b, const double *T, double *q, double speed, double mean_speed,
                  double power, const double *source, size_t stride)
{
    const mbl_model *m = b->model[0];
    for (int i = 0; i < m->nnodes * W; i++)
        q[i] = 0;
    films_and_radiation(b, T, speed);
    if (m->ncontacts > 0)
        contacts(b, T, mean_speed, power, q);
    for (int s = 0; s < m->nsources && source != NULL; s++) {
        double *node = q + m->source[s] * W;
        LANES node[w] += source[(size_t)s * stride];
    }
    for (int k = m->inner.first; k < m->inner.end; k++) {
        int from = m->link[k].from * W;
        int to = m->link[k].to * W;
        LANES
        {
            double flow = b->g[k * W + w] * (T[from + w] - T[to + w]);
            q[from + w] -= flow;
            q[to + w] += flow;
        }
    }
    for (int k = m->outer.first; k < m->outer.end; k++) {
        int from = m->link[k].from * W;
        LANES
        {
            double flow = b->g[k * W + w] * (T[from + w] - b->ambient[w]);
            b->leak[k * W + w] = flow;
            q[from + w] -= flow;
        }
    }
}

/* T(H), and with C not NULL also dH/dT. */
static void temperatures(const mbl_block *b, const double *H, double *T, double *C)
{
    const mbl_model *m = b->model[0];
    for (int i = 0; i < m->nnodes; i++) {
        const double *scale = b->scale + i * W;
        if (m->node[i].iron) {
            LANES
            {
                double h = H[i * W + w] / scale[w];
                mbl_spot s = mbl_spot_find(h, m->iron.x0, m->iron.per_step, m->iron.n);
                double low = m->iron.y[s.i];
                double rise = m->iron.y[s.i + 1] - low;
                /* beyond its ends the table goes on straight: heat is never swallowed */
                double u = (h - m->iron.x0) * m->iron.per_step - (double)s.i;
                T[i * W + w] = low + u * rise;
                if (C != NULL)
                    C[i * W + w] = scale[w] / (rise * m->iron.per_step);
            }
        } else {
            LANES
            {
                T[i * W + w] = H[i * W + w] / scale[w];
                if (C != NULL)
                    C[i * W + w] = scale[w];
            }
        }
    }
}

/* C + gamma dt L, eliminated in place: multipliers to factor, reciprocals of pivots to inverse. */
static void factorise(mbl_block *b, double gamma_dt)
{
    const mbl_model *m = b->model[0];
    const mbl_elim *e = m->elim;
    double *a = b->matrix;
    for (int i = 0; i < e->n * W; i++)
        a[i] = b->C[i];
    for (int i = e->n * W; i < e->nslots * W; i++)
        a[i] = 0;
    for (int k = m->inner.first; k < m->inner.end; k++) {
        int from = m->link[k].from * W;
        int to = m->link[k].to * W;
        int slot = m->slot[k] * W;
        LANES
        {
            double g = gamma_dt * b->g1[k * W + w];
            a[from + w] += g;
            a[to + w] += g;
            a[slot + w] -= g;
        }
    }
    for (int k = m->outer.first; k < m->outer.end; k++) {
        int from = m->link[k].from * W;
        LANES a[from + w] += gamma_dt * b->g1[k * W + w];
    }
    for (int p = 0; p < e->n; p++) {
        const mbl_elim_pivot *v = &e->pivot[p];
        double *inverse = b->inverse + v->node * W;
        LANES inverse[w] = 1.0 / a[v->node * W + w];
        for (int k = v->first; k < v->first + v->count; k++) {
            LANES b->factor[k * W + w] = a[e->entry[k].slot * W + w] * inverse[w];
        }
        for (int k = v->first_update; k < v->first_update + v->updates; k++) {
            const mbl_elim_update *u = &e->update[k];
            LANES a[u->target * W + w] -= b->factor[u->entry * W + w] * a[u->slot * W + w];
        }
    }
}

static void solve(const mbl_block *b, double *x)
{
    const mbl_elim *e = b->model[0]->elim;
    for (int p = 0; p < e->n; p++) {
        const mbl_elim_pivot *v = &e->pivot[p];
        double *xv = x + v->node * W;
        for (int k = v->first; k < v->first + v->count; k++) {
            LANES x[e->entry[k].node * W + w] -= b->factor[k * W + w] * xv[w];
        }
        LANES xv[w] *= b->inverse[v->node * W + w];
    }
    for (int p = e->n - 1; p >= 0; p--) {
        const mbl_elim_pivot *v = &e->pivot[p];
        double *xv = x + v->node * W;
        for (int k = v->first; k < v->first + v->count; k++) {
            LANES xv[w] -= b->factor[k * W + w] * x[e->entry[k].node * W + w];
        }
    }
}

/* Adds `share` of the leaks of this stage and the implicit part of both to the ledger. */
static void count_losses(mbl_block *b, double share)
{
    const mbl_model *m = b->model[0];
    for (int k = m->outer.first; k < m->outer.end; k++) {
        double *lost = b->lost + m->link[k].path * W;
        LANES lost[w] += share * b->leak[k * W + w];
    }
}

static void count_implicit_losses(mbl_block *b, double share)
{
    const mbl_model *m = b->model[0];
    for (int k = m->outer.first; k < m->outer.end; k++) {
        const double *x1 = b->x1 + m->link[k].from * W;
        const double *x2 = b->x2 + m->link[k].from * W;
        double *lost = b->lost + m->link[k].path * W;
        LANES lost[w] += share * b->g1[k * W + w] * (x1[w] + x2[w]);
    }
}

static void count_heat(mbl_block *b, double dt, const double *source, size_t stride)
{
    const mbl_model *m = b->model[0];
    for (int c = 0; c < m->ncontacts; c++) {
        LANES
        {
            b->work[c * W + w] += dt * b->rubbed[c * W + w];
            b->heat[w] += dt * b->rubbed[c * W + w];
        }
    }
    for (int s = 0; s < m->nsources && source != NULL; s++) {
        LANES b->heat[w] += dt * source[(size_t)s * stride];
    }
}

static void step(mbl_block *b, double dt, double v0, double v1, double power, const double *source,
                 size_t stride)
{
    const mbl_model *m = b->model[0];
    double mean_speed = 0.5 * (v0 + v1);
    int n = m->nnodes * W;

    flows(b, b->T, b->q1, v0, mean_speed, power, source, stride);
    for (int k = 0; k < m->nlinks * W; k++)
        b->g1[k] = b->g[k];
    count_losses(b, 0.5 * dt);
    count_heat(b, 0.5 * dt, source, stride);
    factorise(b, GAMMA * dt);
    for (int i = 0; i < n; i++)
        b->x1[i] = b->q1[i];
    solve(b, b->x1);

    /* x2 holds the enthalpy of the second stage until its own right-hand side is known */
    for (int i = 0; i < n; i++)
        b->x2[i] = b->H[i] + dt * (b->C[i] * b->x1[i]);
    temperatures(b, b->x2, b->T2, NULL);
    flows(b, b->T2, b->q2, v1, mean_speed, power, source, stride);
    count_losses(b, 0.5 * dt);
    count_heat(b, 0.5 * dt, source, stride);
    for (int i = 0; i < n; i++)
        b->x2[i] = b->q2[i] - 2.0 * (b->C[i] * b->x1[i]);
    solve(b, b->x2);
    count_implicit_losses(b, 0.5 * GAMMA * dt * dt);
    for (int i = 0; i < n; i++)
        b->H[i] += dt * b->C[i] * (1.5 * b->x1[i] + 0.5 * b->x2[i]);
}

static void watch(const mbl_block *b, mbl_record *r, double t0, double t1)
{
    int n = b->model[0]->nnodes * W;
    for (int i = 0; i < n; i++) {
        if (b->T[i] > r->peak[i]) {
            r->peak[i] = b->T[i];
            r->peak_at[i] = t1 + r->offset;
        }
    }
    for (int k = 0; k < r->nspans; k++) {
        mbl_span *span = &r->span[k];
        LANES
        {
            double apart = b->T[span->hot * W + w] - b->T[span->cold * W + w];
            if (apart > span->peak[w]) {
                span->peak[w] = apart;
                span->at[w] = t1 + r->offset;
            }
        }
    }
    for (int k = 0; k < r->nwatches; k++) {
        mbl_watch *watched = &r->watch[k];
        LANES
        {
            if (b->T[watched->node * W + w] > watched->level[w]) {
                watched->above[w] += t1 - t0;
                if (isnan(watched->first[w]))
                    watched->first[w] = t1 + r->offset;
            }
        }
    }
}

static void set_fixed(mbl_block *b)
{
    const mbl_model *m = b->model[0];
    for (int k = m->inner_fixed.first * W; k < m->inner_fixed.end * W; k++)
        b->g[k] = b->value[k];
    for (int k = m->outer_fixed.first * W; k < m->outer_fixed.end * W; k++)
        b->g[k] = b->value[k];
}

void MBL_KERNEL_NAME(mbl_kernel_run)(mbl_block *b, const mbl_inputs *in, size_t first, size_t last,
                                     mbl_record *record)
{
    set_fixed(b);
    temperatures(b, b->H, b->T, b->C);
    for (size_t k = first; k < last; k++) {
        double v0 = in->speed != NULL ? in->speed[k] : 0.0;
        double v1 = in->speed != NULL ? in->speed[k + 1] : 0.0;
        double power = in->power != NULL ? in->power[k] : 0.0;
        const double *source = in->source != NULL ? in->source + k : NULL;
        step(b, in->time[k + 1] - in->time[k], v0, v1, power, source, in->stride);
        temperatures(b, b->H, b->T, b->C);
        if (record != NULL)
            watch(b, record, in->time[k], in->time[k + 1]);
    }
}

void MBL_KERNEL_NAME(mbl_kernel_flows)(mbl_block *b, double speed, double power,
                                       const double *source)
{
    set_fixed(b);
    flows(b, b->T, b->q1, speed, speed, power, source, 1);
}
