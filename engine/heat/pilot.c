/* SPDX-License-Identifier: MIT */
#include "heat/pilot.h"

#include "heat/corner.h"
#include "heat/stride.h"
#include "heat/stride_method.h"

#include <math.h>
#include <string.h>

enum { FACE = MBL_PLACE_FACE, PAD = MBL_PLACE_PAD_FACE, CHAIN = MBL_PLACES };

/*
 * Ratios of one step of the kin to the next: of what decides how the faces move, of products of two
 * of them, and of the rest.
 */
static const double quick = 1.2;
static const double twice = 1.44;
static const double deep = 1.7;
static const double steep = 1.5;
static const double middling = 650.0; /* K, where friction and capacities are taken */
static const double iron = 590.0;     /* J/kgK there: a scale, not a law */

static short step_of(double x, double ratio)
{
    return (short)lround(log(x) / log(ratio));
}

static double value_of(short step, double ratio)
{
    return pow(ratio, step);
}

enum { LAST = CHAIN - 1, STEEPNESS = MBL_KIN_NUMBERS - 2, MACRO = MBL_KIN_NUMBERS - 1 };

/* The constants of one corner. */
typedef struct corner {
    double C[CHAIN], g[CHAIN - 1];
    double film_per_pascal, gap_film, rotor_layer, pad_layer, rotor_half, pad_half, force;
} corner;

static void constants(const mbl_model *m, int c, corner *out)
{
    const mbl_contact *x = &m->contact[c];
    for (int i = 0; i < CHAIN; i++) {
        const mbl_node_spec *n = &m->node[mbl_stride_node(c, i)];
        out->C[i] = n->scale * (n->iron ? iron : 1.0);
    }
    for (int i = 0; i < CHAIN - 1; i++)
        out->g[i] = i == FACE ? 1.0 : m->link[m->stride.along[c][i]].value;
    out->film_per_pascal = x->film_per_pascal * x->share;
    out->gap_film = x->gap_film;
    out->rotor_layer = x->face.area * (1.0 + x->face.k_rotor / x->face.k_pad);
    out->pad_layer = x->face.area * (1.0 + x->face.k_pad / x->face.k_rotor);
    out->rotor_half = x->face.rotor_half;
    out->pad_half = x->face.pad_half;
    out->force = x->gain * x->share * mbl_table1_at(&x->friction, middling);
}

/* Rounds a positive number to a step, or reads it back. */
typedef struct rounder {
    short *step;
    bool back;
} rounder;

static double through(rounder *r, double x, double ratio)
{
    if (!r->back)
        *r->step = step_of(x, ratio);
    return value_of(*r->step++, ratio);
}

/*
 * Half a chain from its face on: area and thickness by the face's capacity and its conductance to
 * the next, whose product goes by the one and quotient by the other, and all else in proportion to
 * these. So a chain that is thicker throughout moves by one number.
 */
static void half_chain(rounder *r, double *C, double *g, int face, int toward, double *half)
{
    int next = toward < 0 ? face - 1 : face; /* conductance to the next place */
    double product = through(r, C[face] * g[next], twice);
    double quotient = through(r, C[face] / g[next], twice);
    double old_C = C[face];
    double old_g = g[next];
    C[face] = sqrt(product * quotient);
    g[next] = sqrt(product / quotient);
    for (int i = face + toward; i >= 0 && i <= LAST; i += toward) {
        C[i] = C[face] * through(r, C[i] / old_C, deep);
        int link = toward < 0 ? i - 1 : i;
        if (link >= 0 && link < LAST)
            g[link] = g[next] * through(r, g[link] / old_g, deep);
    }
    *half = through(r, *half * old_g, quick) / g[next];
}

/* A corner's constants to steps (`back` false) or from them. */
static void round_corner(rounder *r, corner *x)
{
    half_chain(r, x->C, x->g, FACE, -1, &x->rotor_half);
    half_chain(r, x->C, x->g, PAD, 1, &x->pad_half);
    x->film_per_pascal = through(r, x->film_per_pascal, quick);
    x->gap_film = through(r, x->gap_film, quick);
    x->rotor_layer = through(r, x->rotor_layer, quick);
    x->pad_layer = through(r, x->pad_layer, quick);
    x->force = through(r, x->force, quick);
}

/* Of the pads of a model; 1e-4 for friction that hardly changes. */
static double steepness(const mbl_model *m)
{
    double most = 1e-4;
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        const mbl_table1 *mu = &m->contact[c].friction;
        for (int i = 0; i + 1 < mu->n; i++) {
            double change = fabs(mu->y[i + 1] - mu->y[i]) * mu->per_step;
            most = fmax(most, change / fmin(mu->y[i], mu->y[i + 1]));
        }
    }
    return most;
}

void mbl_kin_of(const mbl_model *m, mbl_kin *out)
{
    rounder r = {.step = out->v};
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        corner x;
        constants(m, c, &x);
        round_corner(&r, &x);
    }
    /* up to a step, so that it is no less than that of any of them */
    out->v[STEEPNESS] = (short)ceil(log(steepness(m)) / log(steep) - 1e-9);
    /* down to a step, so that it is no longer than any of them bears */
    out->v[MACRO] = (short)floor(log(m->stride.macro) / log(quick) + 1e-9);
}

double mbl_kin_steep(const mbl_kin *kin)
{
    return value_of(kin->v[STEEPNESS], steep);
}

double mbl_kin_macro(const mbl_kin *kin)
{
    return value_of(kin->v[MACRO], quick);
}

void mbl_pilot_make(const mbl_kin *kin, mbl_pilot *p)
{
    mbl_kin steps = *kin;
    rounder r = {.step = steps.v, .back = true};
    mbl_pair force = {0};
    memset(p, 0, sizeof *p);
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        corner x;
        for (int i = 0; i < CHAIN; i++)
            x.C[i] = 1;
        for (int i = 0; i < CHAIN - 1; i++)
            x.g[i] = 1;
        x.rotor_half = 1;
        x.pad_half = 1;
        round_corner(&r, &x);
        for (int i = 0; i < CHAIN; i++)
            p->C[i][c] = x.C[i];
        for (int i = 0; i < CHAIN - 1; i++)
            p->g[i][c] = x.g[i];
        p->film_per_pascal[c] = x.film_per_pascal;
        p->gap_film[c] = x.gap_film;
        p->rotor_layer[c] = x.rotor_layer;
        p->pad_layer[c] = x.pad_layer;
        p->rotor_half[c] = x.rotor_half;
        p->pad_half[c] = x.pad_half;
        force[c] = x.force;
    }
    double sum = force[0] + force[1];
    p->share = 0.5 * force / sum;
    p->per_force = 1 / sum;
    p->macro = mbl_kin_macro(kin);
}

/* Conductance between the faces under this force, and the rotor's share of the heat. */
static mbl_pair interface(const mbl_pilot *p, double force, mbl_pair *to_rotor)
{
    mbl_pair film = p->gap_film + p->film_per_pascal * (p->per_force * force);
    mbl_pair r = film * p->rotor_layer;
    mbl_pair q = film * p->pad_layer;
    mbl_pair rotor = r / (1.0 + r * p->rotor_half);
    mbl_pair pad = q / (1.0 + q * p->pad_half);
    mbl_pair both = rotor + pad;
    *to_rotor = rotor / both;
    return rotor * pad / both;
}

double mbl_kin_quick(const mbl_kin *kin, double force)
{
    mbl_pilot p;
    mbl_pair to_rotor;
    mbl_pilot_make(kin, &p);
    mbl_pair tau = p.C[PAD] / (interface(&p, force, &to_rotor) + p.g[PAD]);
    return tau[0] < tau[1] ? tau[0] : tau[1];
}

/* Twisted elimination as in the strides, kept while nothing in it changes. */
static void factorise(mbl_pilot *p, double dt, mbl_pair contact)
{
    mbl_pair d[CHAIN];
    if (dt == p->factored && contact[0] == p->g[FACE][0] && contact[1] == p->g[FACE][1])
        return;
    p->factored = dt;
    p->g[FACE] = contact;
    double per = 1 / (MBL_ROS_GAMMA * dt);
    for (int i = 0; i < CHAIN; i++)
        d[i] = p->C[i] * per;
    for (int i = 0; i < CHAIN - 1; i++) {
        d[i] += p->g[i];
        d[i + 1] += p->g[i];
    }
    for (int i = 0; i < FACE; i++) {
        p->inverse[i] = 1.0 / d[i];
        p->factor[i] = p->g[i] * p->inverse[i];
        d[i + 1] -= p->factor[i] * p->g[i];
    }
    for (int i = CHAIN - 1; i > FACE; i--) {
        p->inverse[i] = 1.0 / d[i];
        p->factor[i - 1] = p->g[i - 1] * p->inverse[i];
        d[i - 1] -= p->factor[i - 1] * p->g[i - 1];
    }
    p->inverse[FACE] = 1.0 / d[FACE];
}

static inline void solve(const mbl_pilot *p, mbl_pair x[CHAIN])
{
    for (int i = 0; i < FACE; i++)
        x[i + 1] += p->factor[i] * x[i];
    for (int i = CHAIN - 1; i > FACE; i--)
        x[i - 1] += p->factor[i - 1] * x[i];
    x[FACE] *= p->inverse[FACE];
    for (int i = FACE; i > 0; i--)
        x[i - 1] = x[i - 1] * p->inverse[i - 1] + p->factor[i - 1] * x[i];
    for (int i = FACE; i < CHAIN - 1; i++)
        x[i + 1] = x[i + 1] * p->inverse[i + 1] + p->factor[i] * x[i];
}

static inline __attribute__((always_inline)) void stage(const mbl_pilot *p, int i,
                                                        const mbl_pair T0[CHAIN],
                                                        mbl_pair u[MBL_ROS_STAGES][CHAIN],
                                                        double per, mbl_pair rotor, mbl_pair pad)
{
    mbl_pair along = {0};
    mbl_pair T = T0[0];
    for (int j = 0; j < i; j++)
        T += mbl_ros_a[i][j] * u[j][0];
    for (int n = 0; n < CHAIN; n++) {
        mbl_pair q = along;
        if (n < CHAIN - 1) {
            mbl_pair next = T0[n + 1];
            for (int j = 0; j < i; j++)
                next += mbl_ros_a[i][j] * u[j][n + 1];
            along = p->g[n] * (T - next);
            q -= along;
            T = next;
        }
        mbl_pair z = {0};
        for (int j = 0; j < i; j++)
            z += mbl_ros_c[i][j] * u[j][n];
        u[i][n] = q + (p->C[n] * per) * z;
    }
    u[i][FACE] += rotor;
    u[i][PAD] += pad;
    solve(p, u[i]);
}

void mbl_pilot_step(mbl_pilot *p, double dt, double speed, double power, double slope,
                    const mbl_pilot_state *from, mbl_pilot_state *to)
{
    mbl_pair u[MBL_ROS_STAGES][CHAIN];
    mbl_pair to_rotor = {0};
    bool braking = power > 0;
    double per = 1 / dt;
    double force = braking ? power / (speed > 0.5 ? speed : 0.5) : 0;
    mbl_pair contact = interface(p, force, &to_rotor);
    factorise(p, dt, contact);
    mbl_pair rotor[MBL_ROS_STAGES];
    mbl_pair pad[MBL_ROS_STAGES];
    for (int i = 0; i < MBL_ROS_STAGES; i++) {
        double at = mbl_ros_alpha[i] - 0.5 + mbl_ros_gamma[i];
        mbl_pair heat = p->share * (braking ? power + slope * (at * dt) : 0.0);
        rotor[i] = heat * to_rotor;
        pad[i] = heat - rotor[i];
    }
    stage(p, 0, from->T, u, per, rotor[0], pad[0]);
    stage(p, 1, from->T, u, per, rotor[1], pad[1]);
    stage(p, 2, from->T, u, per, rotor[2], pad[2]);
    stage(p, 3, from->T, u, per, rotor[3], pad[3]);
    for (int n = 0; n < CHAIN; n++)
        to->T[n] = from->T[n] + mbl_ros_m[0] * u[0][n] + mbl_ros_m[1] * u[1][n] +
                   mbl_ros_m[2] * u[2][n] + mbl_ros_m[3] * u[3][n];
}
