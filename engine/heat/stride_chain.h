/* SPDX-License-Identifier: MIT */
/*
 * The chain core - cheek - face - pad - friction material - plate of one corner within a step: its
 * matrix, the stages of the method, and what it moved. Included by stride_body.h. Private to
 * `heat`.
 */
#include "heat/corner.h"
#include "heat/lanes.h"
#include "heat/stride_method.h"

#define STAGE_INLINE static inline __attribute__((always_inline))

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

typedef struct chain {
    /* kept from step to step */
    vec T0[CHAIN];      /* K as the step begins */
    vec C[CHAIN];       /* J/K at T0 */
    vec bend[FACE + 1]; /* 1/K, half of dC/dT over C; the rest has none */
    vec g[CHAIN - 1];   /* W/K along the chain; g[FACE] is the contact */
    /* of a macro step: conductance to the air by films, W/K, and how it changes over it */
    vec film[CHAIN], turn[CHAIN];
    vec film_T[CHAIN], lean[CHAIN]; /* K that they are for, 1/K by which they change over it */
    /* of a step */
    vec air[CHAIN];   /* W/K to the air, at open places */
    vec aside[CHAIN]; /* W/K to slow nodes */
    vec other[CHAIN]; /* W out at 0 K as the ways out go straight, with the sign of what comes in */
    vec turns[CHAIN]; /* W/s, how `other` changes */
    vec inverse[CHAIN], factor[CHAIN - 1];
    vec T[CHAIN]; /* K at a stage */
    vec u[MBL_ROS_STAGES][CHAIN];
    vec warm[CHAIN];  /* films over what they were taken as */
    vec rose[CHAIN];  /* K, mean less T0 */
    vec mean[CHAIN];  /* K, b-weighted over the stages */
    vec extra[CHAIN]; /* K, the same of the stages' u: what the matrix lets out aside */
    vec touch;        /* W/K of the contact at a stage; the matrix has it as the step begins */
    vec to_rotor;     /* share of the interface's heat, at a stage */
    vec slope;        /* W/s of that heat */
    vec work;         /* W, b-weighted */
} chain;

/* Twisted elimination: from both ends towards the face, whose pivot is the last. */
STAGE_INLINE void factorise(chain *c, double per_gamma_dt)
{
    vec d[CHAIN];
    for (int i = 0; i < CHAIN; i++) {
        d[i] = c->C[i] * per_gamma_dt;
        if (mbl_stride_open(i))
            d[i] += c->aside[i];
    }
    for (int i = 0; i < CHAIN - 1; i++) {
        d[i] += c->g[i];
        d[i + 1] += c->g[i];
    }
    for (int i = CORE; i < FACE; i++) {
        c->inverse[i] = 1.0 / d[i];
        c->factor[i] = c->g[i] * c->inverse[i];
        d[i + 1] -= c->factor[i] * c->g[i];
    }
    for (int i = PLATE; i > FACE; i--) {
        c->inverse[i] = 1.0 / d[i];
        c->factor[i - 1] = c->g[i - 1] * c->inverse[i];
        d[i - 1] -= c->factor[i - 1] * c->g[i - 1];
    }
    c->inverse[FACE] = 1.0 / d[FACE];
}

STAGE_INLINE void solve(const chain *c, vec x[CHAIN])
{
    for (int i = CORE; i < FACE; i++)
        x[i + 1] += c->factor[i] * x[i];
    for (int i = PLATE; i > FACE; i--)
        x[i - 1] += c->factor[i - 1] * x[i];
    x[FACE] *= c->inverse[FACE];
    for (int i = FACE; i > CORE; i--)
        x[i - 1] = x[i - 1] * c->inverse[i - 1] + c->factor[i - 1] * x[i];
    for (int i = FACE; i < PLATE; i++)
        x[i + 1] = x[i + 1] * c->inverse[i + 1] + c->factor[i] * x[i];
}

/* Rise of a node that took e kelvin's worth of heat at the capacity of T0: three terms of the
 * inverse of e = d (1 + bend d). */
STAGE_INLINE vec rise(const chain *c, int n, vec e)
{
    if (n > FACE)
        return e;
    vec be = c->bend[n] * e;
    return e * (1.0 - be * (1.0 - 2.0 * be));
}

/* Half of dC/dT over C of an iron node at T0: the slope of the polyline of grey iron. */
STAGE_INLINE void set_bend(chain *c, int n, vec scale)
{
    vec slope = splat(0);
    for (int i = 0; i < MBL_IRON_BREAKS; i++) {
        double step = mbl_iron_slope[i] - (i > 0 ? mbl_iron_slope[i - 1] : 0.0);
        slope += SELECT(c->T0[n] > mbl_iron_break[i], splat(step), splat(0));
    }
    c->bend[n] = 0.5 * scale * slope / c->C[n];
}

/* Temperatures at stage i. */
STAGE_INLINE void stage_temperatures(chain *c, int i)
{
    for (int n = 0; n < CHAIN; n++) {
        if (i == 0) {
            c->T[n] = c->T0[n];
            continue;
        }
        vec e = mbl_ros_a[i][0] * c->u[0][n];
        for (int j = 1; j < i; j++)
            e += mbl_ros_a[i][j] * c->u[j][n];
        c->T[n] = c->T0[n] + rise(c, n, e);
    }
}

/* Heat flow into the chain at its T, `in_step` seconds into the step. */
STAGE_INLINE void stage_flows(chain *c, int i, double in_step, vec q[CHAIN])
{
    vec along = splat(0);
    for (int n = 0; n < CHAIN; n++) {
        q[n] = along;
        if (n < CHAIN - 1) {
            along = (n == FACE ? c->touch : c->g[n]) * (c->T[n] - c->T[n + 1]);
            q[n] -= along;
        }
        if (!mbl_stride_open(n))
            continue;
        q[n] += c->other[n] + in_step * c->turns[n] - (c->air[n] + c->aside[n]) * c->T[n];
        if (i == 0)
            c->mean[n] = splat(0);
        c->mean[n] += mbl_ros_b[i] * c->T[n];
    }
}

/* Right-hand side and solution of stage i, with C over dt in `per`. */
STAGE_INLINE void stage_solve(chain *c, int i, double per, vec q[CHAIN])
{
    for (int n = 0; n < CHAIN; n++) {
        if (i == 0) {
            c->u[0][n] = q[n];
            continue;
        }
        vec z = mbl_ros_c[i][0] * c->u[0][n];
        for (int j = 1; j < i; j++)
            z += mbl_ros_c[i][j] * c->u[j][n];
        c->u[i][n] = q[n] + (c->C[n] * per) * z;
    }
    solve(c, c->u[i]);
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_open(n))
            continue;
        if (i == 0)
            c->extra[n] = splat(0);
        c->extra[n] += mbl_ros_b[i] * c->u[i][n];
    }
}

/* Friction heat (W) of a stage, between rotor and pad. */
STAGE_INLINE void stage_heat(chain *c, int i, double dt, vec heat, vec q[CHAIN])
{
    if (i == 0)
        c->work = splat(0);
    c->work += mbl_ros_b[i] * heat;
    vec in = heat + (mbl_ros_gamma[i] * dt) * c->slope;
    vec rotor = in * c->to_rotor;
    q[FACE] += rotor;
    q[PAD] += in - rotor;
}

/* What the stages moved: enthalpy, temperature, and capacity there. */
STAGE_INLINE void finish(chain *c, int n, vec *H)
{
    vec e = mbl_ros_m[0] * c->u[0][n] + mbl_ros_m[1] * c->u[1][n] + mbl_ros_m[2] * c->u[2][n] +
            mbl_ros_m[3] * c->u[3][n];
    *H += c->C[n] * e;
    vec d = rise(c, n, e);
    c->T0[n] += d;
    if (n > FACE)
        return;
    /* capacity goes straight over temperature within the step: its slope is 2 bend C */
    c->C[n] *= 1.0 + 2.0 * (c->bend[n] * d);
}
