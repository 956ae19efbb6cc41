/* SPDX-License-Identifier: MIT */
/* The classical method of order 4 for all nodes alike. Included after field_body.h. */
#include "bench/lanes.h"

/* The rates of all nodes at u of a stretch. */
static inline void rates_at(const bench_field *f, const stretch *s, const cooling *k, double v,
                            double power, const vec *T, vec *out)
{
    rubbing r;
    rub(f, T, v, power, &r);
    all_flows(f, k, &r, T, out);
    all_rates(f, s, T, out);
}

static inline void raise_peak(double *peak, int node, vec T)
{
    mask more = T > IN(peak, node);
    OUT(peak, node) = SELECT(more, T, IN(peak, node));
}

/* Lane 0 at the samples that ended in a step, of which `before` had ended before. */
static void fill(const bench_field *f, const bench_dense *d, const bench_step *x, double t0,
                 size_t before, const vec *T0, const vec *T1, const vec *r0, const vec *r1)
{
    for (size_t k = before; k < x->seen; k++) {
        double u = (d->stint->time[k + 1] - t0) / x->dt;
        double s = 1 - u;
        for (int n = 0; n < f->nnodes; n++)
            d->T[k * (size_t)f->nnodes + (size_t)n] =
                s * s * (1 + 2 * u) * EACH(0, T0[n]) + u * u * (1 + 2 * s) * EACH(0, T1[n]) +
                x->dt * u * s * (s * EACH(0, r0[n]) - u * EACH(0, r1[n]));
    }
}

void BENCH_NAME(bench_rk4)(const bench_field *f, const bench_step *steps, size_t nsteps,
                           double *state, double *peak, const bench_dense *dense)
{
    vec T[BENCH_NODES], Y[BENCH_NODES], before[BENCH_NODES];
    vec r1[BENCH_NODES], r[BENCH_NODES], sum[BENCH_NODES];
    stretch s;
    cooling k0, km, k1;
    const int n = f->nnodes;
    double into = 0, whole = 1, t = 0;
    size_t seen = 0;
    for (int i = 0; i < n; i++)
        T[i] = IN(state, i);
    for (size_t j = 0; j < nsteps; j++) {
        const bench_step *x = &steps[j];
        const double h = x->dt, vm = 0.5 * (x->v0 + x->v1), rise = 0.5 * h * x->slope;
        if (x->stretch_dt > 0) {
            whole = x->stretch_dt;
            into = 0;
            set_stretch(f, T, x->v0, x->stretch_v1, &s);
        }
        if (x->stretch_dt <= 0)
            set_skins(f, T, &s);
        cool_at(&s, into / whole, &k0);
        cool_at(&s, (into + 0.5 * h) / whole, &km);
        cool_at(&s, (into + h) / whole, &k1);
        rates_at(f, &s, &k0, x->v0, x->power - rise, T, r1);
        for (int i = 0; i < n; i++)
            Y[i] = T[i] + (0.5 * h) * r1[i];
        rates_at(f, &s, &km, vm, x->power, Y, r);
        for (int i = 0; i < n; i++) {
            sum[i] = r1[i] + 2.0 * r[i];
            Y[i] = T[i] + (0.5 * h) * r[i];
        }
        rates_at(f, &s, &km, vm, x->power, Y, r);
        for (int i = 0; i < n; i++) {
            sum[i] += 2.0 * r[i];
            Y[i] = T[i] + h * r[i];
        }
        rates_at(f, &s, &k1, x->v1, x->power + rise, Y, r);
        for (int i = 0; i < n; i++) {
            before[i] = T[i];
            T[i] += (h / 6) * (sum[i] + r[i]);
            raise_peak(peak, i, T[i]);
        }
        into += h;
        if (dense != NULL) {
            rates_at(f, &s, &k1, x->v1, x->power + rise, T, r);
            fill(f, dense, x, t, seen, before, T, r1, r);
        }
        t += h;
        seen = x->seen;
    }
    for (int i = 0; i < n; i++)
        OUT(state, i) = T[i];
}
