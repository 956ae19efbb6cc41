/* SPDX-License-Identifier: MIT */
/*
 * The fast way through a lap for W lanes, by steps of a timeline instead of a fixed grid. Included
 * by files that define MBL_LANES and MBL_STRIDE_NAME.
 *
 * Multirate. The chain core - cheek - face - pad - friction material - plate of each axle is stiff
 * and quick; it is stepped by ROS34PW2 (Rang and Angermann 2005; four stages, order 3 as a
 * W-method, L-stable, stiffly accurate; coefficients from memory, their order conditions are a
 * test). Its matrix holds conduction, contact and the links to slow nodes, and nothing that leads
 * to the air, so each of its columns sums to what leads to slow nodes; that part of a stage is
 * counted with it. Everything else is slow: hat, hub, pistons, fluid, caliper and whatever a script
 * adds go by the explicit midpoint rule over a macro step, with the heat that crossed the links to
 * the chain taken exactly as the chain's stages saw it.
 *
 * With u the stages in kelvin, a T0-linear frame of the enthalpy,
 *
 *   (C/(gamma h) + L) u_i = q(T(H0 + C sum a_ij u_j), t_i) + C/h sum c_ij u_j + gamma_i h q_t
 *   H := H + C sum m_i u_i
 *
 * The b-weighted mean of the stages' losses is what a step loses, to rounding. Within a macro step
 * temperatures follow from the steps' rises and capacities from their bends, which are off by a
 * millikelvin; as the next one begins they are read off the enthalpies again.
 */
#include "heat/stride_kernel.h"

#include "heat/note_body.h"
#include "heat/stride_chain.h"
#include "heat/stride_press.h"
#include "heat/stride_macro.h"

/*
 * A link that leads out of a chain, during a step: start + g (T - T0) - drift t watts at t,
 * straight through what it is as the step begins.
 */
typedef struct way_out {
    vec start; /* W */
    vec g;     /* W/K */
    vec drift; /* W/s, as the other end warms */
} way_out;

/* What a run keeps at hand. */
typedef struct frame {
    mbl_block *b;
    const mbl_stride_map *map;
    vec ambient;
    chain ch[CORNERS];
    way_out radiation[MBL_STRIDE_LINKS], side[MBL_STRIDE_LINKS];
    vec gap[CORNERS], gap_to_rotor[CORNERS]; /* of the interface with the brakes released */
} frame;

static void load(frame *f)
{
    mbl_block *b = f->b;
    f->map = &b->model[0]->stride;
    f->ambient = AT(ambient, 0);
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &f->ch[c];
        for (int i = 0; i < CHAIN; i++) {
            int n = mbl_stride_node(c, i);
            x->T0[i] = AT(T, n);
            x->C[i] = AT(scale, n);
            if (i <= FACE)
                x->C[i] = AT(capacity, n);
            if (i <= FACE)
                x->bend[i] = AT(bend, n);
            if (i < CHAIN - 1 && i != FACE)
                x->g[i] = AT(value, f->map->along[c][i]);
        }
        interface(b, c, splat(0), &f->gap[c], &f->gap_to_rotor[c]);
    }
    for (int i = 0; i < f->map->nslow; i++) {
        int n = f->map->slow[i];
        vec T;
        settle(b, n, &T, &AT(capacity, n));
        AT(T, n) = T;
    }
    sum_films(b, f->ch);
}

static void store(const frame *f)
{
    mbl_block *b = f->b;
    for (int c = 0; c < CORNERS; c++) {
        for (int i = 0; i < CHAIN; i++) {
            int n = mbl_stride_node(c, i);
            AT(capacity, n) = f->ch[c].C[i];
            if (i <= FACE)
                AT(bend, n) = f->ch[c].bend[i];
        }
    }
}

/* Adds a way out at a place; what leads to the air is not in the matrix. */
STAGE_INLINE void lead_out(chain *c, int place, const way_out *w, vec *g)
{
    *g += w->g;
    c->other[place] += w->g * c->T0[place] - w->start;
    c->turns[place] += w->drift;
}

/* Films of the open places: their conductance at mid-step, straight in temperature. */
STAGE_INLINE void films_out(frame *f, double dt)
{
    mbl_block *b = f->b;
    vec u = (AT(into, 0) + 0.5 * dt) / AT(macro, 0);
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &f->ch[c];
        for (int n = 0; n < CHAIN; n++) {
            if (!mbl_stride_open(n))
                continue;
            vec film = x->film[n] + u * x->turn[n];
            vec above = x->T0[n] - f->ambient;
            x->warm[n] = 1.0 + x->lean[n] * (x->T0[n] - x->film_T[n]);
            way_out w = {.start = film * x->warm[n] * above,
                         .g = film * (x->warm[n] + x->lean[n] * above),
                         .drift = splat(0)};
            x->air[n] = splat(0);
            x->aside[n] = splat(0);
            x->other[n] = splat(0);
            x->turns[n] = splat(0);
            lead_out(x, n, &w, &x->air[n]);
        }
    }
}

/* Radiation from T0 to another surface, straight in T. */
STAGE_INLINE way_out radiates(vec value, vec T0, vec other)
{
    return (way_out){.start = radiation(value, T0, other) * (T0 - other),
                     .g = 4.0 * value * T0 * T0 * T0};
}

/* What leads out of the chains in this step. */
STAGE_INLINE void set_ways_out(frame *f, double dt)
{
    mbl_block *b = f->b;
    const mbl_stride_map *map = f->map;
    films_out(f, dt);
    for (int i = 0; i < map->nradiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        chain *x = &f->ch[l->corner];
        way_out *w = &f->radiation[i];
        *w = radiates(AT(value, l->link), x->T0[l->place], f->ambient);
        w->drift = splat(0);
        lead_out(x, l->place, w, &x->air[l->place]);
    }
    for (int i = 0; i < map->nsides; i++) {
        const mbl_chain_link *l = &map->side[i];
        chain *x = &f->ch[l->corner];
        way_out *w = &f->side[i];
        vec g = AT(value, l->link);
        vec rate = splat(0);
        vec other = f->ambient;
        if (l->other != MBL_AMBIENT) {
            rate = AT(rate, l->other);
            other = AT(T, l->other) + AT(into, 0) * rate;
        }
        if (l->radiates) {
            *w = radiates(g, x->T0[l->place], other);
            w->drift = 4.0 * g * other * other * other * rate;
        } else {
            *w = (way_out){g * (x->T0[l->place] - other), g, g * rate};
        }
        lead_out(x, l->place, w, &x->aside[l->place]);
    }
}

/* What the step moved, into the block. */
STAGE_INLINE void keep(frame *f, double dt)
{
    mbl_block *b = f->b;
    const mbl_model *m = b->model[0];
    vec u = dt * ((AT(into, 0) + 0.5 * dt) / AT(macro, 0));
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &f->ch[c];
        for (int i = 0; i < CHAIN; i++) {
            if (!mbl_stride_open(i))
                continue;
            int n = mbl_stride_node(c, i);
            vec above = x->T0[i] - f->ambient;
            x->rose[i] = x->mean[i] - x->T0[i];
            vec film = x->warm[i] * (above + x->rose[i]) + x->lean[i] * above * x->rose[i];
            AT(aired, n) += dt * film;
            AT(aired_late, n) += u * film;
        }
    }
    for (int i = 0; i < f->map->nradiations; i++) {
        const mbl_chain_link *l = &f->map->radiation[i];
        const way_out *w = &f->radiation[i];
        vec rose = f->ch[l->corner].rose[l->place];
        AT(lost, m->link[l->link].path) += dt * (w->start + w->g * rose);
    }
    /* the b add up to 1, times the alpha to 1/2 */
    for (int i = 0; i < f->map->nsides; i++) {
        const mbl_chain_link *l = &f->map->side[i];
        const chain *x = &f->ch[l->corner];
        const way_out *w = &f->side[i];
        vec rose = x->rose[l->place] + x->extra[l->place];
        vec heat = dt * (w->start + w->g * rose - (0.5 * dt) * w->drift);
        if (l->other == MBL_AMBIENT)
            AT(lost, m->link[l->link].path) += heat;
        else
            AT(through, l->link) += heat;
    }
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &f->ch[c];
        for (int i = 0; i < CHAIN; i++) {
            int n = mbl_stride_node(c, i);
            finish(x, i, &AT(H, n));
            if (i <= FACE)
                set_bend(x, i, AT(scale, n));
            AT(T, n) = x->T0[i];
        }
    }
    AT(into, 0) += dt;
}

/* Friction work, what it wears off, and what was left undone. */
STAGE_INLINE void count_work(frame *f, double dt, const vec T_pad[CORNERS], const press *p,
                             vec undone)
{
    mbl_block *b = f->b;
    for (int c = 0; c < CORNERS; c++) {
        vec heat = dt * f->ch[c].work;
        AT(work, c) += heat;
        AT(heat, 0) += heat;
        AT(worn, c) += heat * wear_at(b, c, 0.5 * (T_pad[c] + f->ch[c].T0[PAD]));
        AT(mu, c) = p->mu[c];
    }
    AT(shortfall, 0) += dt * undone;
}

/* Friction, and with it how the heat is shared, is taken at the first two stages and goes straight
 * through both in time. */
typedef struct brakes {
    double v, force; /* m/s, N */
    press start, second;
    vec undone; /* W, b-weighted */
    vec touch[2][CORNERS], to_rotor[2][CORNERS];
} brakes;

STAGE_INLINE void take_second(frame *f, brakes *p)
{
    mbl_block *b = f->b;
    press_at(b, f->ch[0].T[PAD], f->ch[1].T[PAD], p->v, p->force, &p->second);
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &f->ch[c];
        vec g;
        vec r;
        vec was;
        vec share;
        interface(b, c, p->start.pressure * p->start.held[c], &was, &share);
        interface(b, c, p->second.pressure * p->second.held[c], &g, &r);
        p->touch[0][c] = x->touch;
        p->to_rotor[0][c] = x->to_rotor;
        p->touch[1][c] = g - was;
        p->to_rotor[1][c] = r - share;
        x->touch += p->touch[1][c];
        x->to_rotor = r;
    }
}

STAGE_INLINE void touch_at(frame *f, brakes *p, double u)
{
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &f->ch[c];
        x->touch = p->touch[0][c] + u * p->touch[1][c];
        x->to_rotor = p->to_rotor[0][c] + u * p->to_rotor[1][c];
    }
}

STAGE_INLINE void stage(frame *f, int i, const mbl_stride *k, brakes *p)
{
    vec q[CORNERS][CHAIN];
    for (int c = 0; c < CORNERS; c++)
        stage_temperatures(&f->ch[c], i);
    if (p != NULL && i == 1)
        take_second(f, p);
    if (p != NULL && i > 1)
        touch_at(f, p, mbl_ros_alpha[i] / mbl_ros_alpha[1]);
    for (int c = 0; c < CORNERS; c++)
        stage_flows(&f->ch[c], i, mbl_ros_alpha[i] * k->dt, q[c]);
    if (p != NULL) {
        (void)0;
        double P = k->power + k->slope * ((mbl_ros_alpha[i] - 0.5) * k->dt);
        double u = mbl_ros_alpha[i] / mbl_ros_alpha[1];
        vec share = p->start.share;
        vec left = p->start.undone;
        if (i > 0) {
            share += u * (p->second.share - p->start.share);
            left += u * (p->second.undone - p->start.undone);
        }
        vec done = (0.5 * P) * (1.0 - left);
        p->undone += (mbl_ros_b[i] * P) * left;
        vec front = done * share;
        stage_heat(&f->ch[0], i, k->dt, front, q[0]);
        stage_heat(&f->ch[1], i, k->dt, done - front, q[1]);
    }
    double per = 1 / k->dt;
    for (int c = 0; c < CORNERS; c++)
        stage_solve(&f->ch[c], i, per, q[c]);
}

/* The interface of both corners, and the matrices. */
STAGE_INLINE void set_contacts(frame *f, const mbl_stride *k, const brakes *p)
{
    mbl_block *b = f->b;
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &f->ch[c];
        if (p != NULL) {
            vec share = p->start.share;
            if (c == 1)
                share = 1.0 - share;
            interface(b, c, p->start.pressure * p->start.held[c], &x->g[FACE], &x->to_rotor);
            x->slope = (0.5 * k->slope) * (1.0 - p->start.undone) * share;
        } else {
            x->g[FACE] = f->gap[c];
        }
        x->g[FACE] += radiation(AT(value, f->map->faces[c]), x->T0[FACE], x->T0[PAD]);
        x->touch = x->g[FACE];
        factorise(x, 1 / (MBL_ROS_GAMMA * k->dt));
    }
}

static void coast(frame *f, const mbl_stride *k)
{
    mbl_block *b = f->b;
    set_ways_out(f, k->dt);
    set_contacts(f, k, NULL);
    stage(f, 0, k, NULL);
    stage(f, 1, k, NULL);
    stage(f, 2, k, NULL);
    stage(f, 3, k, NULL);
    keep(f, k->dt);
    AT(pressure, 0) = splat(0);
}

static void brake(frame *f, const mbl_stride *k)
{
    mbl_block *b = f->b;
    brakes p = {.v = 0.5 * (k->v0 + k->v1), .undone = splat(0)};
    vec T_pad[CORNERS] = {f->ch[0].T0[PAD], f->ch[1].T0[PAD]};
    p.force = k->power / (p.v > 0.5 ? p.v : 0.5);
    press_at(b, T_pad[0], T_pad[1], p.v, p.force, &p.start);
    set_ways_out(f, k->dt);
    set_contacts(f, k, &p);
    stage(f, 0, k, &p);
    stage(f, 1, k, &p);
    stage(f, 2, k, &p);
    stage(f, 3, k, &p);
    keep(f, k->dt);
    AT(pressure, 0) = p.start.pressure;
    count_work(f, k->dt, T_pad, &p.start, p.undone);
}

/*
 * Highest temperatures, at the ends of steps. A parabola by the slope at the start has no place
 * here: a pad face that settles within the step would be given a peak far above all it reaches.
 */
static void note_peaks(const frame *f, mbl_record *r, double t, bool slow)
{
    for (int c = 0; c < CORNERS; c++) {
        for (int i = 0; i < CHAIN; i++)
            note_peak(f->b, r, mbl_stride_node(c, i), t);
    }
    for (int i = 0; slow && i < f->map->nslow; i++)
        note_peak(f->b, r, f->map->slow[i], t);
}

void MBL_STRIDE_NAME(mbl_stride_run)(mbl_block *b, const mbl_stride *k, size_t first, size_t last,
                                     double time, mbl_record *record)
{
    frame f = {.b = b};
    double t = time;
    load(&f);
    for (size_t i = first; i < last; i++) {
        if (k[i].macro_dt > 0)
            begin_macro(b, f.ch, &k[i]);
        if (k[i].power > 0)
            brake(&f, &k[i]);
        else
            coast(&f, &k[i]);
        t += k[i].dt;
        bool ends = b->into[0] > b->macro[0] * (1 - 1e-9);
        if (ends)
            end_macro(b);
        strain(b, k[i].power);
        if (record != NULL) {
            double now = t + record->offset;
            note_peaks(&f, record, now, ends);
            note(b, record, k[i].dt, now, 0.5 * (k[i].v0 + k[i].v1), k[i].power,
                 k[i].peak > 1 ? k[i].peak : 1);
        }
    }
    store(&f);
}
