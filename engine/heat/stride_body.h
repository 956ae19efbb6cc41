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
 * adds go by macro steps, by their flows at the middle of one, with the heat that crossed the links
 * to the chain taken exactly as the chain's stages saw it.
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
#include "heat/stride_ways.h"
#include "heat/stride_macro.h"

/* Of a macro step: from here on it has ended, whatever its steps add up to by rounding. */
#ifdef MBL_SINGLE
#define NEARLY ((real)(1 - 1e-4))
#else
#define NEARLY (1 - 1e-9)
#endif

/* What a run keeps at hand. */
typedef struct frame {
    chains x;
    ways w;
    both gap;      /* W/K of the interface with the brakes released */
    uint64_t slow; /* a bit for each slow node */
} frame;

static void load(fields *b, frame *f)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    BOTH
    {
        vec to_rotor;
        for (int n = 0; n < CHAIN; n++) {
            if (n > FACE)
                AT(capacity, NODE(n, c)) = AT(scale, NODE(n, c));
            if (n < CHAIN - 1 && n != FACE)
                f->x.g[n].of[c] = AT(value, map->along[c][n]);
        }
        interface(b, c, splat(0), &f->gap.of[c], &to_rotor);
    }
    f->slow = 0;
    for (int i = 0; i < map->nslow; i++) {
        int n = map->slow[i];
        vec T;
        settle(b, n, &T, &AT(capacity, n));
        AT(T, n) = T;
        f->slow |= (uint64_t)1 << n;
    }
    f->w.laws = laws_of(b);
    set_macro_ways(b, &f->x, &f->w);
}

/* What the step moved, into the block. */
SHARED void keep(fields *b, const frame *f, real dt)
{
    keep_ways(b, &f->x, &f->w, dt);
    for (int n = 0; n < CHAIN; n++)
        BOTH finish(b, &f->x, n, c);
    AT(into, 0) += dt;
}

/*
 * Friction, and with it how the heat is shared, is taken at the first two stages and goes straight
 * through both in time.
 */
typedef struct brakes {
    double v;   /* m/s */
    real force; /* N */
    press press[2];
    both touch[2];    /* W/K */
    both to_rotor[2]; /* share of the interface's heat */
    vec undone;       /* W, b-weighted */
    both work;        /* W, b-weighted */
    both slope;       /* W/s of that heat */
} brakes;

/* Friction at the pads' temperatures of stage i, 0 or 1. */
STAGE_INLINE void press_on(const fields *b, brakes *p, int i, vec front, vec rear)
{
    press *now = &p->press[i];
    press_at(b, front, rear, p->v, p->force, now);
    BOTH interface(b, c, now->pressure * now->held[c], &p->touch[i].of[c], &p->to_rotor[i].of[c]);
}

/* Friction work, what it wears off, and what was left undone. */
STAGE_INLINE void count_work(fields *b, real dt, const brakes *p, const both *T_pad)
{
    BOTH
    {
        vec heat = dt * p->work.of[c];
        ADD(b->work, c, heat);
        ADD(b->heat, 0, heat);
        ADD(b->worn, c, heat * wear_at(b, c, HALF * (T_pad->of[c] + AT(T, NODE(PAD, c)))));
        AT(mu, c) = p->press[0].mu[c];
    }
    ADD(b->shortfall, 0, dt * p->undone);
    AT(pressure, 0) = p->press[0].pressure;
}

/* The contacts as the step begins, and the matrices; returns what radiates between the faces. */
STAGE_INLINE both set_contacts(const fields *b, chains *x, real dt, const both *touch)
{
    both rays;
    BOTH
    {
        rays.of[c] = radiation(AT(value, b->model[0]->stride.faces[c]), AT(T, NODE(FACE, c)),
                               AT(T, NODE(PAD, c)));
        x->g[FACE].of[c] = touch->of[c] + rays.of[c];
    }
    factorise(b, x, dt);
    return rays;
}

static void coast(fields *b, frame *f, const mbl_stride *k)
{
    chains *x = &f->x;
    set_ways(b, x, &f->w, k);
    set_contacts(b, x, (real)k->dt, &f->gap);
    rub none = {.touch = x->g[FACE], .face = {{splat(0), splat(0)}}, .pad = {{splat(0), splat(0)}}};
    for (int i = 0; i < MBL_ROS_STAGES; i++)
        stage[i](b, x, (real)k->dt, &none);
    keep(b, f, (real)k->dt);
    AT(pressure, 0) = splat(0);
}

/* Stage i of a step with the brakes on. */
STAGE_INLINE void rub_stage(const fields *b, chains *x, int i, const mbl_stride *k, brakes *p,
                            const both *rays)
{
    rub r;
    real P = (real)(k->power + k->slope * ((mbl_ros_alpha[i] - 0.5) * k->dt));
    real u = (real)(mbl_ros_alpha[i] / mbl_ros_alpha[1]);
    vec share = p->press[0].share;
    vec left = p->press[0].undone;
    if (i > 0) {
        share += u * (p->press[1].share - p->press[0].share);
        left += u * (p->press[1].undone - p->press[0].undone);
    }
    vec done = (HALF * P) * (1 - left);
    p->undone += (ROS(b[i]) * P) * left;
    both heat;
    heat.of[0] = done * share;
    heat.of[1] = done - heat.of[0];
    BOTH
    {
        vec touch = p->touch[0].of[c];
        vec to_rotor = p->to_rotor[0].of[c];
        if (i > 0) {
            touch += u * (p->touch[1].of[c] - touch);
            to_rotor += u * (p->to_rotor[1].of[c] - to_rotor);
        }
        r.touch.of[c] = touch + rays->of[c];
        p->work.of[c] += ROS(b[i]) * heat.of[c];
        vec in = heat.of[c] + (ROS(gamma[i]) * (real)k->dt) * p->slope.of[c];
        r.face.of[c] = in * to_rotor;
        r.pad.of[c] = in - r.face.of[c];
    }
    stage[i](b, x, (real)k->dt, &r);
}

static void brake(fields *b, frame *f, const mbl_stride *k)
{
    chains *x = &f->x;
    brakes p = {.v = 0.5 * (k->v0 + k->v1), .undone = splat(0), .work = {{splat(0), splat(0)}}};
    both T_pad = {{AT(T, NODE(PAD, 0)), AT(T, NODE(PAD, 1))}};
    p.force = (real)(k->power / (p.v > 0.5 ? p.v : 0.5));
    press_on(b, &p, 0, T_pad.of[0], T_pad.of[1]);
    vec slope = (real)(0.5 * k->slope) * (1 - p.press[0].undone);
    p.slope.of[0] = slope * p.press[0].share;
    p.slope.of[1] = slope - p.slope.of[0];
    set_ways(b, x, &f->w, k);
    both rays = set_contacts(b, x, (real)k->dt, &p.touch[0]);
    rub_stage(b, x, 0, k, &p, &rays);
    press_on(b, &p, 1, at_stage(b, x, 1, PAD, 0), at_stage(b, x, 1, PAD, 1));
    rub_stage(b, x, 1, k, &p, &rays);
    rub_stage(b, x, 2, k, &p, &rays);
    rub_stage(b, x, 3, k, &p, &rays);
    keep(b, f, (real)k->dt);
    count_work(b, (real)k->dt, &p, &T_pad);
}

/*
 * Highest temperatures, at the ends of steps. A parabola by the slope at the start has no place
 * here: a pad face that settles within the step would be given a peak far above all it reaches.
 */
static void note_peaks(const fields *b, mbl_record *r, double t, bool slow)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    for (int n = 0; n < CHAIN; n++)
        BOTH note_peak(b, r, NODE(n, c), t);
    for (int i = 0; slow && i < map->nslow; i++)
        note_peak(b, r, map->slow[i], t);
}

/* Of slow nodes as a macro step ends, over all of it: within one they stand still. */
static void note_watches(const fields *b, mbl_record *r, uint64_t slow, double dt, double t,
                         bool ends)
{
    for (int k = 0; k < r->nwatches; k++) {
        bool is_slow = slow >> r->watch[k].node & 1;
        if (!is_slow)
            note_watch(b, &r->watch[k], dt, t);
        else if (ends)
            note_watch(b, &r->watch[k], (double)b->macro[0], t);
    }
}

void MBL_STRIDE_NAME(mbl_stride_run)(fields *b, const mbl_stride *k, size_t first, size_t last,
                                     double time, mbl_record *record)
{
    frame f;
    double t = time;
    load(b, &f);
    for (size_t i = first; i < last; i++) {
        if (k[i].macro_dt > 0)
            begin_macro(b, &f.x, &f.w, &k[i]);
        if (k[i].power > 0)
            brake(b, &f, &k[i]);
        else
            coast(b, &f, &k[i]);
        t += k[i].dt;
        bool ends = b->into[0] > b->macro[0] * NEARLY;
        if (ends) {
            end_macro(b);
            AT(into, 0) = AT(macro, 0);
        }
        strain(b, k[i].power);
        if (record != NULL) {
            double now = t + record->offset;
            note_peaks(b, record, now, ends);
            note_watches(b, record, f.slow, k[i].dt, now, ends);
            note(b, record, now, 0.5 * (k[i].v0 + k[i].v1), k[i].power,
                 k[i].peak > 1 ? k[i].peak : 1);
        }
    }
}
