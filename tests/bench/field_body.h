/* SPDX-License-Identifier: MIT */
/*
 * The right-hand side for W lanes. Included by files that define BENCH_LANES and BENCH_NAME.
 *
 * What is slow to find and moves little is found once for a stretch of time, at the temperatures
 * as it begins: each film as a line in temperature (the interval of its table it is on), from speed
 * to speed over the stretch, and the heat capacity of iron as the line it is between two knots of
 * its law. Within the intervals both are the laws themselves. A stretch of no length is exact.
 */
#include "bench/field.h"

enum { W = BENCH_LANES };

#if BENCH_LANES == 1
typedef double vec;
typedef double loose;
typedef int mask;
#define SELECT(m, a, b) ((m) ? (a) : (b))
#define EACH(w, v)      (*(&(v) + (w)))
#else
typedef double vec __attribute__((vector_size(8 * BENCH_LANES), may_alias));
typedef double loose __attribute__((vector_size(8 * BENCH_LANES), may_alias, aligned(8)));
typedef long long mask __attribute__((vector_size(8 * BENCH_LANES), may_alias));
#define SELECT(m, a, b) ((vec)(((mask)(a) & (m)) | ((mask)(b) & ~(m))))
#define EACH(w, v)      ((v)[w])
#endif

#define LANES     for (int w = 0; w < W; w++)
#define IN(a, i)  (*(const loose *)(const void *)((a) + (i)*W))
#define OUT(a, i) (*(loose *)(void *)((a) + (i)*W))

/* What holds over a stretch of time; u goes from 0 to 1 in it. */
typedef struct stretch {
    vec film[BENCH_OF_CORNERS], film_u[BENCH_OF_CORNERS];   /* W/K, and its change */
    vec slope[BENCH_OF_CORNERS], slope_u[BENCH_OF_CORNERS]; /* W/K2 over temperature */
    vec c[BENCH_CORNERS][MBL_HAT + 1], c_slope[BENCH_CORNERS][MBL_HAT + 1]; /* J/K, J/K2 */
} stretch;

/* Films at one instant: film + slope T of each node. */
typedef struct cooling {
    vec film[BENCH_OF_CORNERS], slope[BENCH_OF_CORNERS];
} cooling;

/* The contacts at one instant. */
typedef struct rubbing {
    vec g[BENCH_CORNERS];                         /* W/K between the faces */
    vec rotor[BENCH_CORNERS], pad[BENCH_CORNERS]; /* W into each */
} rubbing;

/* Nodes that films or radiation lead away from. */
static const int airy[] = {MBL_FACE, MBL_LAYER3,    MBL_CORE,  MBL_HAT,
                           MBL_HUB,  MBL_PAD_BODY2, MBL_PLATE, MBL_CALIPER};
enum { AIRY = sizeof airy / sizeof airy[0] };

static inline vec splat(double x)
{
#if BENCH_LANES == 1
    return x;
#else
    return (vec){0} + x;
#endif
}

/* Where each lane lies on a grid of n knots, flat beyond the ends. */
typedef struct spots {
    int i[BENCH_LANES];
    vec u;
    vec inside; /* 1; 0 beyond the ends */
} spots;

static inline spots spots_of(vec s, int n)
{
    spots at;
    vec last = splat((double)(n - 1));
    at.inside = SELECT((s > 0.0) & (s < last), splat(1), splat(0));
    s = SELECT(s > 0.0, s, splat(0)); /* NaN ends here too */
    s = SELECT(s < last, s, last);
    vec low = SELECT(s < last, s, last - 1.0);
#if BENCH_LANES == 1
    at.i[0] = (int)low;
    at.u = s - (double)at.i[0];
#else
    typedef int whole __attribute__((vector_size(4 * BENCH_LANES)));
    whole i = __builtin_convertvector(low, whole);
    LANES at.i[w] = i[w];
    at.u = s - __builtin_convertvector(i, vec);
#endif
    return at;
}

/* The interval of a film law around a temperature at one speed: value at its lower end, rise. */
static inline void film_line(const bench_field *f, int law, mbl_spot v, const spots *at, vec *low,
                             vec *rise)
{
    vec a, b, c, d;
    LANES
    {
        const double *z = f->law[law][w] + at->i[w] * MBL_FILM_SPEEDS + v.i;
        EACH(w, a) = z[0];
        EACH(w, b) = z[MBL_FILM_SPEEDS];
        EACH(w, c) = z[1];
        EACH(w, d) = z[MBL_FILM_SPEEDS + 1];
    }
    *low = a + v.u * (c - a);
    *rise = b + v.u * (d - b) - *low;
}

static inline void set_films(const bench_field *f, const vec *T, double v0, double v1, stretch *s)
{
    const double per = 1 / MBL_FILM_LEVEL_STEP;
    mbl_spot at0 = mbl_spot_find(v0, 0, 1 / MBL_FILM_SPEED_STEP, MBL_FILM_SPEEDS);
    mbl_spot at1 = mbl_spot_find(v1, 0, 1 / MBL_FILM_SPEED_STEP, MBL_FILM_SPEEDS);
    for (int n = 0; n < BENCH_OF_CORNERS; n++)
        s->film[n] = s->film_u[n] = s->slope[n] = s->slope_u[n] = splat(0);
    for (int k = 0; k < f->nfilms; k++) {
        int n = f->film_node[k];
        spots at = spots_of((T[n] - MBL_FILM_LEVEL_0) * per, MBL_FILM_LEVELS);
        vec area = IN(f->area, k);
        vec per_kelvin = per * at.inside;
        vec a0, b0, a1, b1;
        film_line(f, f->film_law[k], at0, &at, &a0, &b0);
        film_line(f, f->film_law[k], at1, &at, &a1, &b1);
        vec slope0 = per_kelvin * b0;
        vec slope1 = per_kelvin * b1;
        vec film0 = a0 + at.u * b0 - slope0 * T[n];
        vec film1 = a1 + at.u * b1 - slope1 * T[n];
        s->film[n] += area * film0;
        s->film_u[n] += area * (film1 - film0);
        s->slope[n] += area * slope0;
        s->slope_u[n] += area * (slope1 - slope0);
    }
}

/* The line that the heat capacity of an iron node is on. */
static inline void set_capacity(const bench_field *f, int c, int i, vec T, stretch *s)
{
    vec scale = IN(f->scale, c * MBL_CORNER_NODES + i);
    spots at = spots_of(T - BENCH_IRON_0, BENCH_IRON);
    vec low, high;
    LANES
    {
        EACH(w, low) = f->iron[at.i[w]];
        EACH(w, high) = f->iron[at.i[w] + 1];
    }
    s->c_slope[c][i] = scale * (high - low);
    s->c[c][i] = scale * (low + at.u * (high - low)) - s->c_slope[c][i] * T;
}

static inline void set_iron(const bench_field *f, const vec *T, stretch *s)
{
    for (int c = 0; c < BENCH_CORNERS; c++) {
        for (int i = MBL_FACE; i <= MBL_HAT; i++) {
            if (i < MBL_HAT || f->hat_iron[c])
                set_capacity(f, c, i, T[c * MBL_CORNER_NODES + i], s);
        }
    }
}

/* The skins run from knot to knot of the law of iron within a stretch: anew in each step. */
static inline void set_skins(const bench_field *f, const vec *T, stretch *s)
{
    for (int c = 0; c < BENCH_CORNERS; c++)
        set_capacity(f, c, MBL_FACE, T[c * MBL_CORNER_NODES + MBL_FACE], s);
}

static inline void set_stretch(const bench_field *f, const vec *T, double v0, double v1, stretch *s)
{
    set_films(f, T, v0, v1, s);
    set_iron(f, T, s);
}

static inline void cool_at(const stretch *s, double u, cooling *out)
{
    for (int c = 0; c < BENCH_CORNERS; c++) {
        for (int i = 0; i < AIRY; i++) {
            int n = c * MBL_CORNER_NODES + airy[i];
            out->film[n] = s->film[n] + u * s->film_u[n];
            out->slope[n] = s->slope[n] + u * s->slope_u[n];
        }
    }
}

static inline vec mu_at(const bench_field *f, int c, vec T, double v)
{
    spots at = spots_of((T - 250.0) * (1.0 / 5.0), MBL_FRICTION_KNOTS);
    vec low, high;
    LANES
    {
        EACH(w, low) = f->mu[c][w][at.i[w]];
        EACH(w, high) = f->mu[c][w][at.i[w] + 1];
    }
    vec mu = low + at.u * (high - low);
    for (int w = 0; f->speed_matters && w < W; w++) {
        mbl_table1 by = {0.0, 1.0, MBL_FRICTION_SPEEDS, f->mu_speed[c][w]};
        EACH(w, mu) *= mbl_table1_at(&by, v);
    }
    return mu;
}

/* Faces at line pressure p: conductance between them, and the rotor's share of the heat. */
static inline void press(const bench_field *f, int c, vec p, vec *g, vec *to_rotor)
{
    vec film = IN(f->gap, c) + IN(f->per_pascal, c) * p;
    vec r = film * IN(f->rotor_layer, c);
    vec q = film * IN(f->pad_layer, c);
    vec rotor = r * (1.0 + q * IN(f->pad_half, c));
    vec pad = q * (1.0 + r * IN(f->rotor_half, c));
    vec per = 1.0 / (rotor + pad);
    *g = r * q * per;
    *to_rotor = rotor * per;
}

static inline void rub(const bench_field *f, const vec *T, double v, double power, rubbing *out)
{
    if (power <= 0) {
        for (int c = 0; c < BENCH_CORNERS; c++) {
            out->g[c] = IN(f->idle, c);
            out->rotor[c] = out->pad[c] = splat(0);
        }
        return;
    }
    vec front = IN(f->gain, 0) * mu_at(f, 0, T[MBL_PAD_FACE], v);
    vec rear = IN(f->gain, 1) * mu_at(f, 1, T[MBL_CORNER_NODES + MBL_PAD_FACE], v);
    vec per = 1.0 / (front + rear);
    vec p = (power / (v > 0.5 ? v : 0.5)) * per;
    vec heat[BENCH_CORNERS];
    heat[0] = (0.5 * power) * front * per;
    heat[1] = 0.5 * power - heat[0];
    for (int c = 0; c < BENCH_CORNERS; c++) {
        vec to_rotor;
        press(f, c, p, &out->g[c], &to_rotor);
        out->rotor[c] = heat[c] * to_rotor;
        out->pad[c] = heat[c] - out->rotor[c];
    }
}

static inline vec fourth(vec T)
{
    vec square = T * T;
    return square * square;
}

/* W from a node to the air. */
static inline vec to_air(const bench_field *f, const cooling *k, int n, vec T, bool radiates)
{
    vec q = (k->film[n] + k->slope[n] * T) * (T - IN(f->air, 0));
    if (radiates)
        q += IN(f->radiation, n) * (fourth(T) - IN(f->air4, 0));
    return q;
}

/* Flows between chain and slow nodes of a corner. */
typedef struct crossing {
    vec hat, plate, caliper;
} crossing;

#define G(name) IN(f->g, c *BENCH_CORNER_LINKS + BENCH_##name)

/* W into the nodes of the chain of rotor and pad of corner c; what crosses to its slow nodes. */
static inline void chain_flows(const bench_field *f, int c, const cooling *k, const rubbing *rubs,
                               const vec *T, vec *q, crossing *x)
{
    const int first = c * MBL_CORNER_NODES;
    const vec *t = T + first;
    vec face4 = fourth(t[MBL_FACE]);
    vec pads = rubs->g[c] * (t[MBL_FACE] - t[MBL_PAD_FACE]) +
               IN(f->to_pad, c) * (face4 - fourth(t[MBL_PAD_FACE]));
    vec a = G(FACE_LAYER1) * (t[MBL_FACE] - t[MBL_LAYER1]);
    vec b = G(LAYER1_LAYER2) * (t[MBL_LAYER1] - t[MBL_LAYER2]);
    vec d = G(LAYER2_LAYER3) * (t[MBL_LAYER2] - t[MBL_LAYER3]);
    vec e = G(LAYER3_CORE) * (t[MBL_LAYER3] - t[MBL_CORE]);
    vec g = G(PAD_BODY1) * (t[MBL_PAD_FACE] - t[MBL_PAD_BODY1]);
    vec h = G(BODY1_BODY2) * (t[MBL_PAD_BODY1] - t[MBL_PAD_BODY2]);
    x->hat = G(LAYER3_HAT) * (t[MBL_LAYER3] - t[MBL_HAT]);
    x->plate = G(BODY2_PLATE) * (t[MBL_PAD_BODY2] - t[MBL_PLATE]);
    x->caliper = IN(f->to_caliper, c) * (face4 - fourth(t[MBL_CALIPER]));
    q[MBL_FACE] =
        rubs->rotor[c] - a - pads - x->caliper - to_air(f, k, first + MBL_FACE, t[MBL_FACE], true);
    q[MBL_LAYER1] = a - b;
    q[MBL_LAYER2] = b - d;
    q[MBL_LAYER3] = d - e - x->hat - to_air(f, k, first + MBL_LAYER3, t[MBL_LAYER3], true);
    q[MBL_CORE] = e - to_air(f, k, first + MBL_CORE, t[MBL_CORE], true);
    q[MBL_PAD_FACE] = rubs->pad[c] + pads - g;
    q[MBL_PAD_BODY1] = g - h;
    q[MBL_PAD_BODY2] = h - x->plate - to_air(f, k, first + MBL_PAD_BODY2, t[MBL_PAD_BODY2], false);
}

/* W into the slow nodes of corner c. */
static inline void slow_flows(const bench_field *f, int c, const cooling *k, const crossing *x,
                              const vec *T, vec *q)
{
    const int first = c * MBL_CORNER_NODES;
    const vec *t = T + first;
    vec hub = G(HAT_HUB) * (t[MBL_HAT] - t[MBL_HUB]);
    vec piston = G(PLATE_PISTON) * (t[MBL_PLATE] - t[MBL_PISTON]);
    vec guides = G(PLATE_CALIPER) * (t[MBL_PLATE] - t[MBL_CALIPER]);
    vec fluid = G(PISTON_FLUID) * (t[MBL_PISTON] - t[MBL_FLUID]);
    vec seals = G(PISTON_CALIPER) * (t[MBL_PISTON] - t[MBL_CALIPER]);
    vec bores = G(FLUID_CALIPER) * (t[MBL_FLUID] - t[MBL_CALIPER]);
    q[MBL_HAT] = x->hat - hub - to_air(f, k, first + MBL_HAT, t[MBL_HAT], true);
    q[MBL_HUB] = hub - to_air(f, k, first + MBL_HUB, t[MBL_HUB], true);
    q[MBL_PLATE] =
        x->plate - piston - guides - to_air(f, k, first + MBL_PLATE, t[MBL_PLATE], false);
    q[MBL_PISTON] = piston - fluid - seals;
    q[MBL_FLUID] = fluid - bores;
    q[MBL_CALIPER] = x->caliper + guides + seals + bores -
                     to_air(f, k, first + MBL_CALIPER, t[MBL_CALIPER], true);
}
#undef G

static inline vec own_flow(const bench_field *f, int k, const vec *T)
{
    vec to = f->own_to[k] == MBL_AMBIENT ? IN(f->air, 0) : T[f->own_to[k]];
    return IN(f->own_g, k) * (T[f->own_from[k]] - to);
}

static inline void all_flows(const bench_field *f, const cooling *k, const rubbing *r, const vec *T,
                             vec *q)
{
    for (int c = 0; c < BENCH_CORNERS; c++) {
        crossing x;
        chain_flows(f, c, k, r, T, q + c * MBL_CORNER_NODES, &x);
        slow_flows(f, c, k, &x, T, q + c * MBL_CORNER_NODES);
    }
    for (int n = BENCH_OF_CORNERS; n < f->nnodes; n++)
        q[n] = splat(0);
    for (int i = 0; i < f->nown; i++) {
        vec flow = own_flow(f, i, T);
        q[f->own_from[i]] -= flow;
        if (f->own_to[i] != MBL_AMBIENT)
            q[f->own_to[i]] += flow;
    }
}

/* Flows to rates, in place: the nodes of the chain of corner c. */
static inline void chain_rates(const bench_field *f, const stretch *s, int c, const vec *T, vec *q)
{
    const int first = c * MBL_CORNER_NODES;
    for (int i = MBL_FACE; i <= MBL_CORE; i++)
        q[first + i] /= s->c[c][i] + s->c_slope[c][i] * T[first + i];
    for (int i = MBL_PAD_FACE; i <= MBL_PAD_BODY2; i++)
        q[first + i] *= IN(f->per, first + i);
}

/* And the slow ones, those of the user's own aside. */
static inline void slow_rates(const bench_field *f, const stretch *s, int c, const vec *T, vec *q)
{
    const int first = c * MBL_CORNER_NODES;
    if (f->hat_iron[c])
        q[first + MBL_HAT] /= s->c[c][MBL_HAT] + s->c_slope[c][MBL_HAT] * T[first + MBL_HAT];
    else
        q[first + MBL_HAT] *= IN(f->per, first + MBL_HAT);
    q[first + MBL_HUB] *= IN(f->per, first + MBL_HUB);
    for (int i = MBL_PLATE; i <= MBL_CALIPER; i++)
        q[first + i] *= IN(f->per, first + i);
}

static inline void all_rates(const bench_field *f, const stretch *s, const vec *T, vec *q)
{
    for (int c = 0; c < BENCH_CORNERS; c++) {
        chain_rates(f, s, c, T, q);
        slow_rates(f, s, c, T, q);
    }
    for (int n = BENCH_OF_CORNERS; n < f->nnodes; n++)
        q[n] *= IN(f->per, n);
}

static inline void exact(const bench_field *f, double v, double power, const double *T, bool rates,
                         double *out)
{
    vec t[BENCH_NODES], q[BENCH_NODES];
    stretch s;
    cooling k;
    rubbing r;
    for (int n = 0; n < f->nnodes; n++)
        t[n] = IN(T, n);
    set_stretch(f, t, v, v, &s);
    cool_at(&s, 0, &k);
    rub(f, t, v, power, &r);
    all_flows(f, &k, &r, t, q);
    if (rates)
        all_rates(f, &s, t, q);
    for (int n = 0; n < f->nnodes; n++)
        OUT(out, n) = q[n];
}

void BENCH_NAME(bench_flows)(const bench_field *f, double v, double power, const double *T,
                             double *out)
{
    exact(f, v, power, T, false, out);
}

void BENCH_NAME(bench_rates)(const bench_field *f, double v, double power, const double *T,
                             double *out)
{
    exact(f, v, power, T, true, out);
}
