/* SPDX-License-Identifier: MIT */
#include "bench/field.h"

/* A matrix of flows, W/K: by column, then row. */
typedef struct flows {
    int n;
    double *J;
} flows;

static void join(flows *x, int from, int to, double by_from, double by_to)
{
    x->J[from * x->n + from] -= by_from;
    x->J[from * x->n + to] += by_from;
    x->J[to * x->n + from] += by_to;
    x->J[to * x->n + to] -= by_to;
}

static double cube(double T)
{
    return 4 * T * T * T;
}

static void within(flows *x, const bench_field *f, const double *T)
{
    static const int ends[BENCH_CORNER_LINKS][2] = {
#define ENDS(name, a, b) {a, b},
        BENCH_LINKS(ENDS)
#undef ENDS
    };
    for (int c = 0; c < BENCH_CORNERS; c++) {
        int first = c * MBL_CORNER_NODES;
        for (int i = 0; i < BENCH_CORNER_LINKS; i++) {
            double g = f->g[c * BENCH_CORNER_LINKS + i];
            join(x, first + ends[i][0], first + ends[i][1], g, g);
        }
        double face = cube(T[first + MBL_FACE]);
        join(x, first + MBL_FACE, first + MBL_CALIPER, f->to_caliper[c] * face,
             f->to_caliper[c] * cube(T[first + MBL_CALIPER]));
        join(x, first + MBL_FACE, first + MBL_PAD_FACE, f->to_pad[c] * face,
             f->to_pad[c] * cube(T[first + MBL_PAD_FACE]));
    }
    for (int i = 0; i < f->nown; i++) {
        if (f->own_to[i] == MBL_AMBIENT)
            x->J[f->own_from[i] * x->n + f->own_from[i]] -= f->own_g[i];
        else
            join(x, f->own_from[i], f->own_to[i], f->own_g[i], f->own_g[i]);
    }
}

static void to_air(flows *x, const bench_field *f, double speed, const double *T)
{
    for (int i = 0; i < f->nfilms; i++) {
        int n = f->film_node[i];
        mbl_table2 law = mbl_film_grid(f->law[f->film_law[i]][0]);
        mbl_spot v = mbl_spot_find(speed, law.x0, law.x_per_step, law.nx);
        /* over 2 K: the slope of a table, which has corners */
        double h = mbl_table2_at(&law, v, T[n]);
        double rise = 0.5 * (mbl_table2_at(&law, v, T[n] + 1) - mbl_table2_at(&law, v, T[n] - 1));
        x->J[n * x->n + n] -= f->area[i] * (h + rise * (T[n] - f->air[0]));
    }
    for (int n = 0; n < f->nnodes; n++)
        x->J[n * x->n + n] -= f->radiation[n] * cube(T[n]);
}

/* W/K between the faces at the pressure of this power. */
static double contact(const bench_field *f, int c, double pressure)
{
    double film = f->gap[c] + f->per_pascal[c] * pressure;
    double rotor = 1 / (1 / (film * f->rotor_layer[c]) + f->rotor_half[c]);
    double pad = 1 / (1 / (film * f->pad_layer[c]) + f->pad_half[c]);
    return rotor * pad / (rotor + pad);
}

static double pressure_of(const bench_field *f, double speed, double power, const double *T)
{
    double sum = 0;
    for (int c = 0; c < BENCH_CORNERS; c++) {
        mbl_table1 mu = {250.0, 1.0 / 5.0, MBL_FRICTION_KNOTS, f->mu[c][0]};
        mbl_table1 by = {0.0, 1.0, MBL_FRICTION_SPEEDS, f->mu_speed[c][0]};
        sum += f->gain[c] * mbl_table1_at(&mu, T[mbl_corner_index(c, MBL_PAD_FACE)]) *
               mbl_table1_at(&by, speed);
    }
    return power > 0 ? power / (speed > 0.5 ? speed : 0.5) / sum : 0;
}

void bench_jacobian(const bench_field *f, double speed, double power, const double *T, double *J)
{
    flows x = {f->nnodes, J};
    double rate[BENCH_NODES];
    within(&x, f, T);
    to_air(&x, f, speed, T);
    double p = pressure_of(f, speed, power, T);
    for (int c = 0; c < BENCH_CORNERS; c++) {
        double g = contact(f, c, p);
        join(&x, mbl_corner_index(c, MBL_FACE), mbl_corner_index(c, MBL_PAD_FACE), g, g);
    }
    bench_rates_1(f, speed, power, T, rate);
    for (int row = 0; row < x.n; row++) {
        int of = row % MBL_CORNER_NODES;
        bool iron = row < BENCH_OF_CORNERS &&
                    (of <= MBL_CORE || (of == MBL_HAT && f->hat_iron[row / MBL_CORNER_NODES]));
        double C = f->scale[row];
        double bend = 0; /* 1/K, dC/dT over C */
        if (iron) {
            mbl_spot s = mbl_spot_find(T[row], BENCH_IRON_0, 1, BENCH_IRON);
            double rise = f->iron[s.i + 1] - f->iron[s.i];
            double c = f->iron[s.i] + s.u * rise;
            C *= c;
            bend = rise / c;
        }
        for (int column = 0; column < x.n; column++)
            J[column * x.n + row] /= C;
        J[row * x.n + row] -= rate[row] * bend;
    }
}
