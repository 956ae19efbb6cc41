/* SPDX-License-Identifier: MIT */
/*
 * The chains core - cheek - face - pad - friction material - plate of both corners within a step:
 * their matrices, the stages of the method, and what a step moved. Included by stride_body.h.
 * Private to `heat`.
 *
 * A step of eight lanes costs what it touches in memory, more than what it reckons: all of it has
 * to stay in the nearest cache. So temperatures and capacities are the block's own, nothing is
 * kept from stage to stage but the stages' u, and what is the same over a macro step is added up
 * once. Both corners go side by side, and each chain from both of its ends, so that four sums that
 * do not wait for each other are always at hand.
 */
#include "heat/corner.h"
#include "heat/lanes.h"
#include "heat/stride_method.h"

#define STAGE_INLINE static inline __attribute__((always_inline))
/* Once in the code however often it is called: what a step runs through has to stay cached, too. */
#define SHARED static __attribute__((noinline))

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
    PLATE = MBL_PLACE_PLATE,
    CHAIN = MBL_PLACES,
    CORNERS = MBL_STRIDE_CORNERS
};

#define ROS(x)     ((real)mbl_ros_##x) /* a coefficient of the method */
#define BOTH       for (int c = 0; c < CORNERS; c++)
#define NODE(n, c) mbl_stride_node(c, n)

/* One value of each corner. */
typedef struct both {
    vec of[CORNERS];
} both;

typedef struct chains {
    both g[CHAIN - 1]; /* W/K along the chain; g[FACE] is the contact as the step begins */
    both aside[CHAIN]; /* W/K to slow nodes at open places: what leads out by the matrix */
    /* what leaves an open place at T in this step: out T - other, W */
    both out[CHAIN], other[CHAIN];
    both mean[CHAIN];  /* K, T b-weighted over the stages, at open places */
    both extra[CHAIN]; /* K, the same of the stages' u: what the matrix lets out aside */
    both inverse[CHAIN], factor[CHAIN - 1];
    both u[MBL_ROS_STAGES][CHAIN];
} chains;

/* What friction does at a stage, of each corner. */
typedef struct rub {
    both touch;     /* W/K of the contact; the matrix has it as the step begins */
    both face, pad; /* W into the faces */
} rub;

/* Twisted elimination: from both ends towards the face, whose pivot is the last. */
SHARED void factorise(const fields *b, chains *x, real dt)
{
    both d[CHAIN];
    real per = 1 / ((real)MBL_ROS_GAMMA * dt);
    for (int n = 0; n < CHAIN; n++) {
        BOTH
        {
            d[n].of[c] = AT(capacity, NODE(n, c)) * per;
            if (mbl_stride_open(n))
                d[n].of[c] += x->aside[n].of[c];
            if (n > CORE)
                d[n].of[c] += x->g[n - 1].of[c];
            if (n < PLATE)
                d[n].of[c] += x->g[n].of[c];
        }
    }
    for (int k = CORE; k < FACE; k++) {
        int n = PLATE - k;
        BOTH
        {
            vec up = 1 / d[k].of[c];
            vec share = x->g[k].of[c] * up;
            x->inverse[k].of[c] = up;
            x->factor[k].of[c] = share;
            d[k + 1].of[c] -= share * x->g[k].of[c];
        }
        BOTH
        {
            vec down = 1 / d[n].of[c];
            vec share = x->g[n - 1].of[c] * down;
            x->inverse[n].of[c] = down;
            x->factor[n - 1].of[c] = share;
            d[n - 1].of[c] -= share * x->g[n - 1].of[c];
        }
    }
    BOTH x->inverse[FACE].of[c] = 1 / d[FACE].of[c];
}

/* Rise of a node that took e kelvin's worth of heat at the capacity it began with: three terms of
 * the inverse of e = d (1 + bend d). */
STAGE_INLINE vec rise(const fields *b, int n, int c, vec e)
{
    if (n > FACE)
        return e;
    vec be = AT(bend, NODE(n, c)) * e;
    return e * (1 - be * (1 - 2 * be));
}

/* Half of the slope of grey iron's specific heat at T, J/kgK2: of the polyline's piece. */
STAGE_INLINE vec half_slope(vec T)
{
    vec slope = splat(0);
    for (int i = 0; i < MBL_IRON_BREAKS; i++) {
        double step = mbl_iron_slope[i] - (i > 0 ? mbl_iron_slope[i - 1] : 0.0);
        slope += SELECT(T > (real)mbl_iron_break[i], splat((real)(0.5 * step)), splat(0));
    }
    return slope;
}

/* Temperature of a place at stage i. */
STAGE_INLINE vec at_stage(const fields *b, const chains *x, int i, int n, int c)
{
    vec T0 = AT(T, NODE(n, c));
    if (i == 0)
        return T0;
    vec e = ROS(a[i][0]) * x->u[0][n].of[c];
    for (int j = 1; j < i; j++)
        e += ROS(a[i][j]) * x->u[j][n].of[c];
    return T0 + rise(b, n, c, e);
}

/* Right-hand side of a place at stage i, at T there, with what flows in along the chain. */
STAGE_INLINE vec load_of(const fields *b, chains *x, int i, int n, int c, vec T, vec in, real per)
{
    if (i > 0) {
        vec z = ROS(c[i][0]) * x->u[0][n].of[c];
        for (int j = 1; j < i; j++)
            z += ROS(c[i][j]) * x->u[j][n].of[c];
        in += (AT(capacity, NODE(n, c)) * per) * z;
    }
    if (!mbl_stride_open(n))
        return in;
    vec mean = ROS(b[i]) * T;
    if (i > 0)
        mean += x->mean[n].of[c];
    x->mean[n].of[c] = mean;
    return in + x->other[n].of[c] - x->out[n].of[c] * T;
}

/* Stage i. */
STAGE_INLINE void stage_body(const fields *b, chains *x, int i, real dt, const rub *r)
{
    real per = 1 / dt;
    both T;
    both along = {{splat(0), splat(0)}};
    both *u = x->u[i];
    BOTH T.of[c] = at_stage(b, x, i, CORE, c);
    for (int n = 0; n < CHAIN; n++) {
        BOTH
        {
            vec here = T.of[c];
            vec in = along.of[c];
            if (n < PLATE) {
                T.of[c] = at_stage(b, x, i, n + 1, c);
                vec g = n == FACE ? r->touch.of[c] : x->g[n].of[c];
                along.of[c] = g * (here - T.of[c]);
                in -= along.of[c];
            }
            if (n == FACE)
                in += r->face.of[c];
            if (n == PAD)
                in += r->pad.of[c];
            u[n].of[c] = load_of(b, x, i, n, c, here, in, per);
        }
    }
    for (int k = CORE; k < FACE; k++) {
        int n = PLATE - k;
        BOTH u[k + 1].of[c] += x->factor[k].of[c] * u[k].of[c];
        BOTH u[n - 1].of[c] += x->factor[n - 1].of[c] * u[n].of[c];
    }
    BOTH u[FACE].of[c] *= x->inverse[FACE].of[c];
    for (int k = L1; k >= CORE; k--) {
        int n = PLATE - k;
        BOTH u[k].of[c] = u[k].of[c] * x->inverse[k].of[c] + x->factor[k].of[c] * u[k + 1].of[c];
        BOTH u[n].of[c] =
            u[n].of[c] * x->inverse[n].of[c] + x->factor[n - 1].of[c] * u[n - 1].of[c];
    }
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_open(n))
            continue;
        BOTH
        {
            vec extra = ROS(b[i]) * u[n].of[c];
            if (i > 0)
                extra += x->extra[n].of[c];
            x->extra[n].of[c] = extra;
        }
    }
}

#define STAGE(i)                                                                                   \
    SHARED void stage##i(const fields *b, chains *x, real dt, const rub *r)                        \
    {                                                                                              \
        stage_body(b, x, i, dt, r);                                                                \
    }
STAGE(0)
STAGE(1)
STAGE(2)
STAGE(3)
#undef STAGE

static void (*const stage[MBL_ROS_STAGES])(const fields *, chains *, real,
                                           const rub *) = {stage0, stage1, stage2, stage3};

/* What the stages moved: enthalpy, temperature, and capacity there. */
STAGE_INLINE void finish(fields *b, const chains *x, int n, int c)
{
    int node = NODE(n, c);
    vec e = ROS(m[0]) * x->u[0][n].of[c] + ROS(m[1]) * x->u[1][n].of[c] +
            ROS(m[2]) * x->u[2][n].of[c] + ROS(m[3]) * x->u[3][n].of[c];
    vec C = AT(capacity, node);
    AT(H, node) += C * e;
    if (n > FACE) {
        AT(T, node) += e;
        return;
    }
    vec d = rise(b, n, c, e);
    vec T = AT(T, node) + d;
    /* capacity goes straight over temperature within the step: its slope is 2 bend C */
    vec more = 2 * (AT(bend, node) * d);
    vec per_C = AT(per_capacity, node) * (1 - more * (1 - more));
    AT(T, node) = T;
    AT(capacity, node) = C * (1 + more);
    AT(per_capacity, node) = per_C;
    AT(bend, node) = AT(scale, node) * half_slope(T) * per_C;
}
