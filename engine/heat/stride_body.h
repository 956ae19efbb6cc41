/* SPDX-License-Identifier: MIT */
/*
 * The fast way through a lap for W lanes, by steps of a timeline instead of a fixed grid. Included
 * by files that define MBL_STRIDE_LANES and MBL_STRIDE_NAME.
 *
 * Multirate. The chain core - cheek - face - pad - friction material of each axle is stiff and
 * quick; it is stepped by ROS34PW2 (Rang and Angermann 2005; four stages, order 3 as a W-method,
 * L-stable, stiffly accurate; coefficients from memory, their order conditions are a test). Its
 * matrix holds conduction, contact and the links to slow nodes, and nothing that leads to the air,
 * so each of its columns sums to what leads to slow nodes; that part of a stage is counted with it.
 * Everything else is slow: hat, hub, plates, pistons, fluid, caliper and whatever a script adds go
 * by the explicit midpoint rule over a macro step, with the heat that crossed the links to the
 * chain taken exactly as the chain's stages saw it.
 *
 * With u the stages in kelvin, a T0-linear frame of the enthalpy,
 *
 *   (C/(gamma h) + L) u_i = q(T(H0 + C sum a_ij u_j), t_i) + C/h sum c_ij u_j + gamma_i h q_t
 *   H := H + C sum m_i u_i
 *
 * The b-weighted mean of the stages' losses is what a step loses, to rounding.
 */
#include "heat/stride_kernel.h"
#include "heat/stride_method.h"

#include <math.h>

enum { W = MBL_STRIDE_LANES };

#if MBL_STRIDE_LANES == 1
typedef double vec;
typedef double loose;
typedef int mask;
#define SELECT(m, a, b) ((m) ? (a) : (b))
#define EACH(w, v)      (*(&(v) + (w)))
#else
typedef double vec __attribute__((vector_size(8 * MBL_STRIDE_LANES), may_alias));
/* the same where it need not lie on a boundary of its size, as in a record of the caller's */
typedef double loose __attribute__((vector_size(8 * MBL_STRIDE_LANES), may_alias, aligned(8)));
typedef long long mask __attribute__((vector_size(8 * MBL_STRIDE_LANES), may_alias));
#define SELECT(m, a, b) ((vec)(((mask)(a) & (m)) | ((mask)(b) & ~(m))))
#define EACH(w, v)      ((v)[w])
#endif

#define LANES for (int w = 0; w < W; w++)

#include "heat/note_body.h"

/* Entry i of a field of the block, or of any array [..][lanes]. */
#define AT(field, i) (*(vec *)(void *)(b->field + (i)*W))
#define IN(array, i) (*(loose *)(void *)((array) + (i)*W))

/* Places in a chain. */
enum {
    CORE = MBL_PLACE_CORE,
    L3 = MBL_PLACE_LAYER3,
    L2 = MBL_PLACE_LAYER2,
    L1 = MBL_PLACE_LAYER1,
    FACE = MBL_PLACE_FACE,
    PAD = MBL_PLACE_PAD_FACE,
    B1 = MBL_PLACE_BODY1,
    B2 = MBL_PLACE_BODY2,
    CHAIN = MBL_PLACES,
    CORNERS = MBL_STRIDE_CORNERS
};

/* One chain during a step. */
typedef struct chain {
    vec T0[CHAIN], T[CHAIN];
    vec C[CHAIN];     /* J/K at T0 */
    vec bend[CHAIN];  /* 1/K, half of dC/dT over C */
    vec g[CHAIN - 1]; /* W/K along the chain; g[FACE] is the contact */
    vec air[CHAIN];   /* W/K to the air */
    vec aside[CHAIN]; /* W/K to slow nodes */
    vec inverse[CHAIN], factor[CHAIN - 1];
    vec u[4][CHAIN];
    vec above[CHAIN]; /* K above the air, b-weighted */
    vec to_rotor;     /* share of the interface's heat */
    vec slope;        /* W/s of that heat */
    vec work;         /* W, b-weighted */
} chain;

/* The links between chains and slow nodes (or fixed ones to the air) during a step. */
typedef struct sides {
    vec g[MBL_STRIDE_LINKS];     /* W/K */
    vec T[MBL_STRIDE_LINKS];     /* K at the other end as the step begins */
    vec rate[MBL_STRIDE_LINKS];  /* K/s of it */
    vec apart[MBL_STRIDE_LINKS]; /* K, chain's node less the other, b-weighted */
} sides;

/* What the brakes do at one instant. */
typedef struct press {
    vec mu[CORNERS];
    vec held[CORNERS]; /* pressure of its own over that of the system */
    vec share;         /* of the front in the braking */
    vec pressure;      /* Pa */
    vec undone;        /* share of the power that a cap leaves undone */
} press;

static inline vec splat(double x)
{
#if MBL_STRIDE_LANES == 1
    return x;
#else
    return (vec){0} + x;
#endif
}

/* Twisted elimination: from both ends towards the face, whose pivot is the last. */
static inline void factorise(chain *c, double per_gamma_dt)
{
    vec d[CHAIN];
    for (int i = 0; i < CHAIN; i++)
        d[i] = c->C[i] * per_gamma_dt + c->aside[i];
    for (int i = 0; i < CHAIN - 1; i++) {
        d[i] += c->g[i];
        d[i + 1] += c->g[i];
    }
    for (int i = CORE; i < FACE; i++) {
        c->inverse[i] = 1.0 / d[i];
        c->factor[i] = c->g[i] * c->inverse[i];
        d[i + 1] -= c->factor[i] * c->g[i];
    }
    for (int i = B2; i > FACE; i--) {
        c->inverse[i] = 1.0 / d[i];
        c->factor[i - 1] = c->g[i - 1] * c->inverse[i];
        d[i - 1] -= c->factor[i - 1] * c->g[i - 1];
    }
    c->inverse[FACE] = 1.0 / d[FACE];
}

static inline void solve(const chain *c, vec x[CHAIN])
{
    for (int i = CORE; i < FACE; i++)
        x[i + 1] += c->factor[i] * x[i];
    for (int i = B2; i > FACE; i--)
        x[i - 1] += c->factor[i - 1] * x[i];
    x[FACE] *= c->inverse[FACE];
    for (int i = FACE; i > CORE; i--)
        x[i - 1] = x[i - 1] * c->inverse[i - 1] + c->factor[i - 1] * x[i];
    for (int i = FACE; i < B2; i++)
        x[i + 1] = x[i + 1] * c->inverse[i + 1] + c->factor[i] * x[i];
}

/* T and C of a node from its enthalpy. */
static inline void settle(const mbl_block *b, int node, vec *T, vec *C)
{
    const mbl_model *m = b->model[0];
    vec H = AT(H, node);
    vec scale = AT(scale, node);
    if (!m->node[node].iron) {
        *T = H / scale;
        *C = scale;
        return;
    }
    vec at = (H / scale - m->iron.x0) * m->iron.per_step;
    vec low;
    vec rise;
    vec u;
    LANES
    {
        /* beyond its ends the table goes on straight: heat is never swallowed */
        double s = EACH(w, at);
        s = s > 0 ? s : 0; /* NaN ends here too */
        s = s < m->iron.n - 2 ? s : m->iron.n - 2;
        int i = (int)s;
        EACH(w, u) = EACH(w, at) - i;
        EACH(w, low) = m->iron.y[i];
        EACH(w, rise) = m->iron.y[i + 1] - m->iron.y[i];
    }
    *T = low + u * rise;
    *C = scale / (rise * m->iron.per_step);
}

static inline vec radiation(vec value, vec a, vec c)
{
    return value * (a * a + c * c) * (a + c);
}

static inline vec mu_at(const mbl_block *b, int c, vec T, double v)
{
    vec mu;
    LANES
    {
        const mbl_contact *law = &b->contact[w][c];
        EACH(w, mu) = mbl_table1_at(&law->friction, EACH(w, T));
        if (b->speed_matters)
            EACH(w, mu) *= mbl_table1_at(&law->speed_effect, v);
    }
    return mu;
}

/* A lane whose pressure has an effect on friction, a valve, or a cap: as in the fixed-grid kernel.
 */
static void press_lane(const mbl_block *b, int w, double force, press *out)
{
    double mu[CORNERS] = {EACH(w, out->mu[0]), EACH(w, out->mu[1])};
    double now[CORNERS] = {mu[0], mu[1]};
    double knee = b->knee[w];
    double p = 0;
    double sum = 0;
    double held[CORNERS];
    for (int turn = 0; turn < 5; turn++) {
        double above = p - knee;
        for (int c = 0; c < CORNERS; c++) {
            double share = b->share[c * W + w];
            held[c] = above <= 0 ? share : share * ((knee + b->slope[c * W + w] * above) / p);
        }
        if (turn == 4)
            break;
        double low = 0;
        double high = 0;
        for (int c = 0; c < CORNERS; c++) {
            const mbl_contact *law = &b->contact[w][c];
            now[c] = mu[c] * mbl_table1_at(&law->pressure_effect, held[c] * p);
            low += b->gain[c * W + w] * b->share[c * W + w] * now[c];
            high += b->gain[c * W + w] * b->share[c * W + w] * b->slope[c * W + w] * now[c];
        }
        p = force <= low * knee ? force / low : knee + (force - low * knee) / high;
        p = p < b->cap[w] ? p : b->cap[w];
        p = p > 0 ? p : 0;
    }
    for (int c = 0; c < CORNERS; c++) {
        sum += b->gain[c * W + w] * held[c] * now[c];
        EACH(w, out->mu[c]) = now[c];
        EACH(w, out->held[c]) = held[c];
    }
    double got = force > 0 ? sum * p / force : 1;
    EACH(w, out->pressure) = p;
    EACH(w, out->share) = b->gain[w] * held[0] * now[0] / sum;
    EACH(w, out->undone) = p >= b->cap[w] && got < 1 ? 1 - got : 0;
}

/* Friction at the pads' temperatures, and the pressure that gives `force` (N). */
static inline void press_at(const mbl_block *b, vec front, vec rear, double v, double force,
                            press *out)
{
    out->mu[0] = mu_at(b, 0, front, v);
    out->mu[1] = mu_at(b, 1, rear, v);
    if (!b->plain) {
        LANES press_lane(b, w, force, out);
        return;
    }
    vec f = AT(gain, 0) * AT(share, 0) * out->mu[0];
    vec r = AT(gain, 1) * AT(share, 1) * out->mu[1];
    vec sum = f + r;
    out->held[0] = AT(share, 0);
    out->held[1] = AT(share, 1);
    out->share = f / sum;
    out->pressure = force / sum;
    out->undone = splat(0);
}

/* Conductance between the faces at pressure p, and the rotor's share of the heat. */
static inline void interface(const mbl_block *b, int c, vec p, vec *g, vec *to_rotor)
{
    vec film = AT(gap_film, c) + AT(film_per_pascal, c) * p;
    vec r = film * AT(rotor_layer, c);
    vec q = film * AT(pad_layer, c);
    vec rotor = r / (1.0 + r * AT(rotor_half, c));
    vec pad = q / (1.0 + q * AT(pad_half, c));
    vec both = rotor + pad;
    *g = rotor * pad / both;
    *to_rotor = rotor / both;
}

/* As a macro step begins: films at its start and its end, at the temperatures of now; bends. */
static void begin_macro(mbl_block *b, const mbl_stride *k)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    for (int i = 0; i < map->nlawful; i++) {
        int link = map->lawful[i];
        const mbl_link_spec *l = &m->link[link];
        const mbl_table2 *grid = &m->law[l->law];
        mbl_spot s0 = mbl_spot_find(k->v0, grid->x0, grid->x_per_step, grid->nx);
        mbl_spot s1 = mbl_spot_find(k->macro_v1, grid->x0, grid->x_per_step, grid->nx);
        LANES
        {
            const mbl_table2 *law = &b->law[w][l->law];
            double T = b->T[l->from * W + w];
            double area = b->value[link * W + w];
            b->film0[link * W + w] = area * mbl_table2_at(law, s0, T);
            b->film1[link * W + w] = area * mbl_table2_at(law, s1, T);
        }
    }
    for (int c = 0; c < CORNERS; c++) {
        for (int i = CORE; i <= FACE; i++) {
            int n = mbl_stride_node(c, i);
            LANES b->bend[n * W + w] = mbl_table1_at(&m->iron_bend, b->T[n * W + w]);
        }
    }
    for (int i = 0; i < map->nsides; i++)
        AT(through, map->side[i].link) = splat(0);
    LANES
    {
        b->into[w] = 0;
        b->macro[w] = k->macro_dt;
    }
}

/* Heat flow into the slow nodes at temperatures T: among them, to the air, and what the chains
 * gave.
 */
static void slow_flow(const mbl_block *b, double dt, double *T, double *q, vec *leak)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec air = AT(ambient, 0);
    for (int i = 0; i < map->nslow; i++)
        IN(q, map->slow[i]) = splat(0);
    for (int i = 0; i < map->nsides; i++) {
        const mbl_chain_link *x = &map->side[i];
        if (x->other != MBL_AMBIENT)
            IN(q, x->other) += AT(through, x->link) / dt;
    }
    for (int i = 0; i < map->ninner; i++) {
        const mbl_link_spec *l = &m->link[map->inner[i]];
        vec g = AT(value, map->inner[i]);
        if (l->kind == MBL_LINK_RADIATION)
            g = radiation(g, IN(T, l->from), IN(T, l->to));
        vec f = g * (IN(T, l->from) - IN(T, l->to));
        IN(q, l->from) -= f;
        IN(q, l->to) += f;
    }
    for (int i = 0; i < map->nouter; i++) {
        int k = map->outer[i];
        const mbl_link_spec *l = &m->link[k];
        vec t = IN(T, l->from);
        vec g = AT(value, k);
        if (l->kind == MBL_LINK_FILM)
            g = 0.5 * (AT(film0, k) + AT(film1, k));
        else if (l->kind == MBL_LINK_RADIATION)
            g = radiation(g, t, air);
        leak[i] = g * (t - air);
        IN(q, l->from) -= leak[i];
    }
}

/* The slow nodes over a macro step that has been driven: explicit midpoint rule. */
static void end_macro(mbl_block *b)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec leak[MBL_STRIDE_LINKS];
    double dt = b->into[0];
    slow_flow(b, dt, b->T, b->q1, leak);
    for (int i = 0; i < map->nslow; i++) {
        int n = map->slow[i];
        AT(T2, n) = AT(T, n) + (0.5 * dt) * AT(q1, n) / AT(C, n);
    }
    slow_flow(b, dt, b->T2, b->q2, leak);
    for (int i = 0; i < map->nouter; i++)
        AT(lost, m->link[map->outer[i]].path) += dt * leak[i];
    for (int i = 0; i < map->nslow; i++) {
        int n = map->slow[i];
        vec before = AT(T, n);
        vec T;
        vec C;
        AT(H, n) += dt * AT(q2, n);
        settle(b, n, &T, &C);
        AT(T, n) = T;
        AT(C, n) = C;
        AT(rate, n) = (T - before) / dt;
    }
}

/* Everything of a step that does not change from stage to stage, heat aside. */
static inline void set_chains(mbl_block *b, chain ch[CORNERS], sides *s, double dt)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    vec air = AT(ambient, 0);
    vec into = AT(into, 0);
    vec u = (into + 0.5 * dt) / AT(macro, 0);
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &ch[c];
        for (int i = 0; i < CHAIN; i++) {
            int n = mbl_stride_node(c, i);
            x->T0[i] = AT(T, n);
            x->C[i] = AT(C, n);
            x->bend[i] = splat(0);
            if (i <= FACE)
                x->bend[i] = AT(bend, n);
            x->air[i] = splat(0);
            x->aside[i] = splat(0);
            x->above[i] = splat(0);
        }
        for (int i = 0; i < CHAIN - 1; i++) {
            if (i != FACE)
                x->g[i] = AT(value, map->along[c][i]);
        }
        x->work = splat(0);
    }
    for (int i = 0; i < map->nfilms; i++) {
        const mbl_chain_link *l = &map->film[i];
        vec g = AT(film0, l->link);
        g += u * (AT(film1, l->link) - g);
        AT(g, l->link) = g;
        ch[l->corner].air[l->place] += g;
    }
    for (int i = 0; i < map->nradiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        vec g = radiation(AT(value, l->link), ch[l->corner].T0[l->place], air);
        AT(g, l->link) = g;
        ch[l->corner].air[l->place] += g;
    }
    for (int i = 0; i < map->nsides; i++) {
        const mbl_chain_link *l = &map->side[i];
        s->apart[i] = splat(0);
        s->T[i] = air;
        s->rate[i] = splat(0);
        if (l->other != MBL_AMBIENT) {
            s->rate[i] = AT(rate, l->other);
            s->T[i] = AT(T, l->other) + into * s->rate[i];
        }
        s->g[i] = AT(value, l->link);
        if (b->model[0]->link[l->link].kind == MBL_LINK_RADIATION)
            s->g[i] = radiation(s->g[i], ch[l->corner].T0[l->place], s->T[i]);
        ch[l->corner].aside[l->place] += s->g[i];
    }
}

/* Temperatures of a chain at stage i. */
static inline void stage_temperatures(chain *c, int i)
{
    for (int n = 0; n < CHAIN; n++) {
        vec e = splat(0);
        for (int j = 0; j < i; j++)
            e += mbl_ros_a[i][j] * c->u[j][n];
        vec be = c->bend[n] * e;
        c->T[n] = c->T0[n] + e * (1.0 - be * (1.0 - 2.0 * be));
    }
}

/* Heat flow into both chains at their T at stage i, the heat of the interface aside. */
static inline void stage_flows(const mbl_block *b, chain ch[CORNERS], sides *s, int i, double dt,
                               vec q[CORNERS][CHAIN])
{
    const mbl_stride_map *map = &b->model[0]->stride;
    vec air = AT(ambient, 0);
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &ch[c];
        vec along = splat(0);
        for (int n = 0; n < CHAIN; n++) {
            vec above = x->T[n] - air;
            vec next = splat(0);
            if (n < CHAIN - 1)
                next = x->g[n] * (x->T[n] - x->T[n + 1]);
            q[c][n] = along - next - x->air[n] * above;
            x->above[n] += mbl_ros_b[i] * above;
            along = next;
        }
    }
    for (int k = 0; k < map->nsides; k++) {
        const mbl_chain_link *l = &map->side[k];
        vec other = s->T[k] + (mbl_ros_alpha[i] * dt) * s->rate[k];
        vec apart = ch[l->corner].T[l->place] - other;
        s->apart[k] += mbl_ros_b[i] * apart;
        q[l->corner][l->place] -= s->g[k] * apart;
    }
}

/* Right-hand side and solution of stage i of a chain. */
static inline void stage_solve(chain *c, int i, double dt, vec q[CHAIN], vec heat)
{
    c->work += mbl_ros_b[i] * heat;
    vec in = heat + (mbl_ros_gamma[i] * dt) * c->slope;
    vec rotor = in * c->to_rotor;
    q[FACE] += rotor;
    q[PAD] += in - rotor;
    double per = 1 / dt;
    for (int n = 0; n < CHAIN; n++) {
        vec z = splat(0);
        for (int j = 0; j < i; j++)
            z += mbl_ros_c[i][j] * c->u[j][n];
        c->u[i][n] = q[n] + (c->C[n] * per) * z;
    }
    solve(c, c->u[i]);
}

/* The part of a stage's flow to the slow nodes that its matrix has. */
static inline void implicit_sides(const mbl_block *b, const chain ch[CORNERS], sides *s, int i)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    for (int k = 0; k < map->nsides; k++)
        s->apart[k] += mbl_ros_b[i] * ch[map->side[k].corner].u[i][map->side[k].place];
}

/* What the step moved, into the block. */
static inline void keep(mbl_block *b, chain ch[CORNERS], const sides *s, double dt)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &ch[c];
        for (int i = 0; i < CHAIN; i++) {
            int n = mbl_stride_node(c, i);
            vec T;
            vec C;
            vec sum = mbl_ros_m[0] * x->u[0][i] + mbl_ros_m[1] * x->u[1][i] +
                      mbl_ros_m[2] * x->u[2][i] + mbl_ros_m[3] * x->u[3][i];
            AT(H, n) += x->C[i] * sum;
            settle(b, n, &T, &C);
            AT(T, n) = T;
            AT(C, n) = C;
        }
    }
    for (int i = 0; i < map->nfilms; i++) {
        const mbl_chain_link *l = &map->film[i];
        AT(lost, m->link[l->link].path) += dt * AT(g, l->link) * ch[l->corner].above[l->place];
    }
    for (int i = 0; i < map->nradiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        AT(lost, m->link[l->link].path) += dt * AT(g, l->link) * ch[l->corner].above[l->place];
    }
    for (int i = 0; i < map->nsides; i++) {
        const mbl_chain_link *l = &map->side[i];
        vec heat = dt * s->g[i] * s->apart[i];
        if (l->other == MBL_AMBIENT)
            AT(lost, m->link[l->link].path) += heat;
        else
            AT(through, l->link) += heat;
    }
}

/* Friction work, what it wears off, and what was left undone. */
static inline void count_work(mbl_block *b, const chain ch[CORNERS], double dt, const press *p,
                              vec undone)
{
    for (int c = 0; c < CORNERS; c++) {
        int pad = mbl_stride_node(c, PAD);
        vec heat = dt * ch[c].work;
        vec T = 0.5 * (ch[c].T0[PAD] + AT(T, pad));
        vec wear;
        LANES EACH(w, wear) = mbl_table1_at(&b->contact[w][c].wear, EACH(w, T));
        AT(work, c) += heat;
        AT(heat, 0) += heat;
        AT(worn, c) += heat * wear;
        AT(mu, c) = p->mu[c];
    }
    AT(shortfall, 0) += dt * undone;
}

static void step(mbl_block *b, const mbl_stride *k, chain ch[CORNERS])
{
    sides s;
    press start;
    press second;
    vec q[CORNERS][CHAIN];
    vec undone = splat(0); /* W, b-weighted */
    double dt = k->dt;
    bool braking = k->power > 0;
    double v = 0.5 * (k->v0 + k->v1);
    double force = k->power / (v > 0.5 ? v : 0.5);
    set_chains(b, ch, &s, dt);
    start.pressure = splat(0);
    start.share = splat(0.5);
    start.undone = splat(0);
    for (int c = 0; c < CORNERS; c++)
        start.held[c] = splat(1);
    if (braking)
        press_at(b, ch[0].T0[PAD], ch[1].T0[PAD], v, force, &start);
    second = start;
    for (int c = 0; c < CORNERS; c++) {
        chain *x = &ch[c];
        vec share = start.share;
        if (c == 1)
            share = 1.0 - share;
        interface(b, c, start.pressure * start.held[c], &x->g[FACE], &x->to_rotor);
        x->g[FACE] += radiation(AT(value, b->model[0]->stride.faces[c]), x->T0[FACE], x->T0[PAD]);
        x->slope = (braking ? 0.5 * k->slope : 0.0) * (1.0 - start.undone) * share;
        factorise(x, 1 / (MBL_ROS_GAMMA * dt));
    }
    for (int i = 0; i < 4; i++) {
        double in_step = mbl_ros_alpha[i] * dt;
        double P = braking ? k->power + k->slope * (in_step - 0.5 * dt) : 0.0;
        for (int c = 0; c < CORNERS; c++)
            stage_temperatures(&ch[c], i);
        /* friction again at the second stage; linear in time through both from there on */
        if (i == 1 && braking)
            press_at(b, ch[0].T[PAD], ch[1].T[PAD], v, force, &second);
        double u = mbl_ros_alpha[i] / mbl_ros_alpha[1];
        vec share = start.share + u * (second.share - start.share);
        vec left = start.undone + u * (second.undone - start.undone);
        vec done = 1.0 - left;
        undone += (mbl_ros_b[i] * P) * left;
        stage_flows(b, ch, &s, i, dt, q);
        stage_solve(&ch[0], i, dt, q[0], (0.5 * P) * done * share);
        stage_solve(&ch[1], i, dt, q[1], (0.5 * P) * done * (1.0 - share));
        implicit_sides(b, ch, &s, i);
    }
    keep(b, ch, &s, dt);
    AT(pressure, 0) = start.pressure;
    if (braking)
        count_work(b, ch, dt, &start, undone);
}

/*
 * Highest temperatures, at the ends of steps. A parabola by the slope at the start has no place
 * here: a pad face that settles within the step would be given a peak far above all it reaches.
 */
static inline void note_peaks(const mbl_block *b, mbl_record *r, double t1, bool slow)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    for (int c = 0; c < CORNERS; c++) {
        for (int i = 0; i < CHAIN; i++) {
            int n = mbl_stride_node(c, i);
            vec T = AT(T, n);
            mask more = T > IN(r->peak, n);
            IN(r->peak, n) = SELECT(more, T, IN(r->peak, n));
            IN(r->peak_at, n) = SELECT(more, splat(t1), IN(r->peak_at, n));
        }
    }
    for (int i = 0; slow && i < map->nslow; i++) {
        int n = map->slow[i];
        vec T = AT(T, n);
        mask more = T > IN(r->peak, n);
        IN(r->peak, n) = SELECT(more, T, IN(r->peak, n));
        IN(r->peak_at, n) = SELECT(more, splat(t1), IN(r->peak_at, n));
    }
}

void MBL_STRIDE_NAME(mbl_stride_run)(mbl_block *b, const mbl_stride *k, size_t first, size_t last,
                                     double time, mbl_record *record)
{
    chain ch[CORNERS];
    for (int i = 0; i < b->model[0]->nnodes; i++) {
        vec T;
        vec C;
        settle(b, i, &T, &C);
        AT(T, i) = T;
        AT(C, i) = C;
    }
    double t = time;
    for (size_t i = first; i < last; i++) {
        if (k[i].macro_dt > 0)
            begin_macro(b, &k[i]);
        step(b, &k[i], ch);
        AT(into, 0) += k[i].dt;
        bool ends = b->into[0] > b->macro[0] * (1 - 1e-9);
        if (ends)
            end_macro(b);
        strain(b, k[i].power);
        if (record != NULL) {
            note_peaks(b, record, t + k[i].dt + record->offset, ends);
            note(b, record, t, t + k[i].dt, 0.5 * (k[i].v0 + k[i].v1), k[i].power);
        }
        t += k[i].dt;
    }
}
