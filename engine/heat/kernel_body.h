/* SPDX-License-Identifier: MIT */
/*
 * One step of the network for W lanes. Included by kernel1.c to kernel16.c, which define
 * MBL_LANES and MBL_KERNEL_NAME; every lane does the same operations in the same order,
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

#include "heat/iron_lanes.h"
#include "heat/note_body.h"

#include <math.h>

#define GAMMA 0.29289321881345254 /* 1 - 1/sqrt(2) */

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

/* Pressure of a contact over that of the system at system pressure p. */
static double held(const mbl_block *b, int at, int w, double p)
{
    double above = p - b->knee[w];
    if (above <= 0)
        return b->share[at];
    return b->share[at] * ((b->knee[w] + b->slope[at] * above) / p);
}

/*
 * Friction of every contact and the line pressure that makes the braking force. Friction by
 * temperature and speed is known; its factor by pressure is not until the pressure is, so the
 * pressure is found by a few turns of p = F / sum(gain mu(p)). The factor is bounded and moves
 * little with pressure: each turn shrinks what is off by as much as the factor changes.
 *
 * Below the knee of a valve the force is low x p, above it low x knee + high x (p - knee). `sum`
 * is force over pressure there. Where the pressure is capped, what is left undone goes to
 * `undone`.
 */
static void friction(mbl_block *b, const double *T, double speed, double force, double *sum)
{
    enum { TURNS = 4 };
    const mbl_model *m = b->model[0];
    /* a factor of 1 gives the same bits in every turn, so lanes without one may skip them */
    int turns = b->pressure_matters ? TURNS : 1;
    LANES
    {
        b->pressure[w] = 0;
        b->undone[w] = 0;
    }
    for (int turn = 0; turn < turns; turn++) {
        double low[W];
        double high[W];
        LANES
        {
            low[w] = 0;
            high[w] = 0;
        }
        for (int c = 0; c < m->ncontacts; c++) {
            LANES
            {
                const mbl_contact *law = &b->contact[w][c];
                int at = c * W + w;
                double own = held(b, at, w, b->pressure[w]) * b->pressure[w];
                double mu = mbl_table1_at(&law->friction, T[m->contact[c].pad * W + w]) *
                            mbl_table1_at(&law->speed_effect, speed) *
                            mbl_table1_at(&law->pressure_effect, own);
                b->mu[at] = mu;
                low[w] += b->gain[at] * b->share[at] * mu;
                high[w] += b->gain[at] * b->share[at] * b->slope[at] * mu;
            }
        }
        LANES
        {
            double knee_force = low[w] * b->knee[w];
            double p =
                force <= knee_force ? force / low[w] : b->knee[w] + (force - knee_force) / high[w];
            b->pressure[w] = p < b->cap[w] ? p : b->cap[w];
            sum[w] = low[w];
        }
        if (force <= 0)
            break;
    }
    for (int c = 0; c < m->ncontacts; c++)
        LANES b->held[c * W + w] = held(b, c * W + w, w, b->pressure[w]);
    LANES
    {
        if (b->pressure[w] <= b->knee[w] && b->pressure[w] < b->cap[w])
            continue;
        sum[w] = 0;
        for (int c = 0; c < m->ncontacts; c++)
            sum[w] += b->gain[c * W + w] * b->mu[c * W + w] * b->held[c * W + w];
        if (b->pressure[w] >= b->cap[w] && force > 0) {
            double got = sum[w] * b->pressure[w] / force;
            b->undone[w] = got < 1 ? 1 - got : 0;
        }
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
            double film = b->gap_film[at] + b->film_per_pascal[at] * (b->held[at] * b->pressure[w]);
            double to_rotor = 1.0 / (1.0 / (film * b->rotor_layer[at]) + b->rotor_half[at]);
            double to_pad = 1.0 / (1.0 / (film * b->pad_layer[at]) + b->pad_half[at]);
            double both = to_rotor + to_pad;
            /* half of an axle's share: one wheel */
            double share = b->gain[at] * b->held[at] * b->mu[at] / sum[w];
            double heat = 0.5 * power * (1.0 - b->undone[w]) * share;
            double in_rotor = heat * (to_rotor / both);
            b->rubbed[at] = heat;
            b->g[spec->link * W + w] = to_rotor * to_pad / both;
            q[spec->rotor * W + w] += in_rotor;
            q[spec->pad * W + w] += heat - in_rotor;
        }
    }
    LANES b->undone[w] *= power;
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
        vec scale = AT(scale, i);
        vec t = OF(H, i) / scale;
        vec c = splat(1);
        vec slope;
        if (m->node[i].iron)
            iron_at(t, &t, &c, &slope);
        OF(T, i) = t;
        if (C != NULL)
            OF(C, i) = c * scale;
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

/* Adds `dt` of the heat of this stage, at temperatures T, and what it wears off. */
static void count_heat(mbl_block *b, const double *T, double dt, double power, const double *source,
                       size_t stride)
{
    const mbl_model *m = b->model[0];
    for (int c = 0; c < m->ncontacts && power > 0; c++) {
        LANES
        {
            double heat = dt * b->rubbed[c * W + w];
            const mbl_table1 *wear = &b->contact[w][c].wear;
            b->work[c * W + w] += heat;
            b->heat[w] += heat;
            b->worn[c * W + w] += heat * mbl_table1_at(wear, T[m->contact[c].pad * W + w]);
        }
    }
    if (m->ncontacts > 0 && power > 0)
        LANES b->shortfall[w] += dt * b->undone[w];
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
    count_heat(b, b->T, 0.5 * dt, power, source, stride);
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
    count_heat(b, b->T2, 0.5 * dt, power, source, stride);
    for (int i = 0; i < n; i++)
        b->x2[i] = b->q2[i] - 2.0 * (b->C[i] * b->x1[i]);
    solve(b, b->x2);
    count_implicit_losses(b, 0.5 * GAMMA * dt * dt);
    for (int i = 0; i < n; i++)
        b->H[i] += dt * b->C[i] * (1.5 * b->x1[i] + 0.5 * b->x2[i]);
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
        strain(b, power);
        if (record == NULL)
            continue;
        double now = in->time[k + 1] + record->offset;
        for (int i = 0; i < b->model[0]->nnodes; i++)
            note_peak(b, record, i, now);
        note(b, record, now, 0.5 * (v0 + v1), power, 1);
        for (int i = 0; i < record->nwatches; i++)
            note_watch(b, &record->watch[i], in->time[k + 1] - in->time[k], now);
    }
}

void MBL_KERNEL_NAME(mbl_kernel_flows)(mbl_block *b, double speed, double power,
                                       const double *source)
{
    /* not into T: strides that are under way have it to the last bit */
    set_fixed(b);
    temperatures(b, b->H, b->T2, b->C);
    flows(b, b->T2, b->q1, speed, speed, power, source, 1);
}
