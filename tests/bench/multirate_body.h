/* SPDX-License-Identifier: MIT */
/*
 * The quick nodes, the chain of rotor and pad, by the classical method of order 4; the slow ones by
 * the explicit midpoint rule once per stretch, with the heat that crossed to them taken as the
 * stages saw it, and their temperatures carried on at their last rate meanwhile: the splitting of
 * the engine's own strides. Included after rk4_body.h.
 */

enum { QUICK = 8 };

/* The slow half of the state over a stretch. */
typedef struct halves {
    vec rate[BENCH_NODES];           /* K/s in the last stretch */
    crossing through[BENCH_CORNERS]; /* J so far */
    vec own[BENCH_OWN];              /* J from quick nodes over links of the user's own */
} halves;

/* Rates of the quick nodes; what crosses is added to the halves, `weight` s of it. */
static inline void quick_rates(const bench_field *f, const stretch *s, double u, double v,
                               double power, const vec *T, double weight, vec *q, halves *x)
{
    cooling k;
    rubbing r;
    cool_at(s, u, &k);
    rub(f, T, v, power, &r);
    for (int c = 0; c < BENCH_CORNERS; c++) {
        crossing now;
        chain_flows(f, c, &k, &r, T, q + c * MBL_CORNER_NODES, &now);
        x->through[c].hat += weight * now.hat;
        x->through[c].plate += weight * now.plate;
        x->through[c].caliper += weight * now.caliper;
    }
    for (int i = 0; i < f->nown; i++) {
        bool from = bench_is_quick(f->own_from[i]);
        bool to = f->own_to[i] != MBL_AMBIENT && bench_is_quick(f->own_to[i]);
        if (!from && !to)
            continue;
        vec flow = own_flow(f, i, T);
        if (from)
            q[f->own_from[i]] -= flow;
        if (to)
            q[f->own_to[i]] += flow;
        x->own[i] += weight * flow;
    }
    for (int c = 0; c < BENCH_CORNERS; c++)
        chain_rates(f, s, c, T, q);
}

/* Rates of the slow nodes, at the mean of what crossed in `dt`. */
static inline void slow_at(const bench_field *f, const stretch *s, double u, double dt,
                           const halves *x, const vec *T, vec *q)
{
    cooling k;
    cool_at(s, u, &k);
    double per = 1 / dt;
    for (int c = 0; c < BENCH_CORNERS; c++) {
        crossing mean = {per * x->through[c].hat, per * x->through[c].plate,
                         per * x->through[c].caliper};
        slow_flows(f, c, &k, &mean, T, q + c * MBL_CORNER_NODES);
    }
    for (int n = BENCH_OF_CORNERS; n < f->nnodes; n++)
        q[n] = splat(0);
    for (int i = 0; i < f->nown; i++) {
        bool from = bench_is_quick(f->own_from[i]);
        bool air = f->own_to[i] == MBL_AMBIENT;
        bool to = !air && bench_is_quick(f->own_to[i]);
        vec flow = per * x->own[i];
        if (!from && !to)
            flow = own_flow(f, i, T);
        if (!from)
            q[f->own_from[i]] -= flow;
        if (!to && !air)
            q[f->own_to[i]] += flow;
    }
    for (int c = 0; c < BENCH_CORNERS; c++)
        slow_rates(f, s, c, T, q);
    for (int n = BENCH_OF_CORNERS; n < f->nnodes; n++)
        q[n] *= IN(f->per, n);
}

#define EVERY_SLOW(n) for (int i_ = 0, n = f->slow[0]; i_ < f->nslow; n = f->slow[++i_])

static inline void begin_stretch(const bench_field *f, halves *x)
{
    for (int c = 0; c < BENCH_CORNERS; c++)
        x->through[c] = (crossing){splat(0), splat(0), splat(0)};
    for (int i = 0; i < f->nown; i++)
        x->own[i] = splat(0);
}

/* T of the slow nodes are those of the start of the stretch. */
static inline void end_stretch(const bench_field *f, const stretch *s, double dt, halves *x, vec *T,
                               double *peak)
{
    vec Y[BENCH_NODES], q[BENCH_NODES];
    slow_at(f, s, 0.5, dt, x, T, q);
    EVERY_SLOW(n)
    Y[n] = T[n] + (0.5 * dt) * q[n];
    slow_at(f, s, 0.5, dt, x, Y, q);
    EVERY_SLOW(n)
    {
        T[n] += dt * q[n];
        x->rate[n] = q[n];
        raise_peak(peak, n, T[n]);
    }
}

/* Skin to core, then pad face to the inside of the pad. */
#define EVERY_QUICK(n)                                                                             \
    for (int c_ = 0; c_ < BENCH_CORNERS; c_++)                                                     \
        for (int i_ = 0, n = c_ * MBL_CORNER_NODES; i_ < QUICK;                                    \
             n += i_++ == MBL_CORE ? MBL_PAD_FACE - MBL_CORE : 1)

/* Slow nodes `t` seconds into a stretch, where the quick ones see them. */
static inline void carry(const bench_field *f, const halves *x, const vec *T, double t, vec *Y)
{
    EVERY_SLOW(n)
    Y[n] = T[n] + t * x->rate[n];
}

static inline void quick_step(const bench_field *f, const stretch *s, const bench_step *x,
                              double into, double whole, halves *half, vec *T, vec *r1)
{
    vec Y[BENCH_NODES], r[BENCH_NODES], sum[BENCH_NODES];
    const double h = x->dt, vm = 0.5 * (x->v0 + x->v1), rise = 0.5 * h * x->slope;
    carry(f, half, T, into, Y);
    EVERY_QUICK(n)
    Y[n] = T[n];
    quick_rates(f, s, into / whole, x->v0, x->power - rise, Y, h / 6, r1, half);
    carry(f, half, T, into + 0.5 * h, Y);
    EVERY_QUICK(n)
    Y[n] = T[n] + (0.5 * h) * r1[n];
    quick_rates(f, s, (into + 0.5 * h) / whole, vm, x->power, Y, h / 3, r, half);
    EVERY_QUICK(n)
    {
        sum[n] = r1[n] + 2.0 * r[n];
        Y[n] = T[n] + (0.5 * h) * r[n];
    }
    quick_rates(f, s, (into + 0.5 * h) / whole, vm, x->power, Y, h / 3, r, half);
    carry(f, half, T, into + h, Y);
    EVERY_QUICK(n)
    {
        sum[n] += 2.0 * r[n];
        Y[n] = T[n] + h * r[n];
    }
    quick_rates(f, s, (into + h) / whole, x->v1, x->power + rise, Y, h / 6, r, half);
    EVERY_QUICK(n)
    T[n] += (h / 6) * (sum[n] + r[n]);
}

/* Lane 0 within a stretch: quick nodes by their cubic, slow ones where the quick ones see them. */
static void fill_quick(const bench_field *f, const bench_dense *d, const stretch *s,
                       const bench_step *x, double t0, size_t before, double into, double whole,
                       const halves *half, const vec *T0, const vec *T1, const vec *r1)
{
    halves unused = *half;
    vec a[BENCH_NODES], b[BENCH_NODES], ra[BENCH_NODES], rb[BENCH_NODES];
    carry(f, half, T0, into, a);
    carry(f, half, T0, into + x->dt, b);
    EVERY_QUICK(n)
    {
        a[n] = T0[n];
        b[n] = T1[n];
    }
    quick_rates(f, s, (into + x->dt) / whole, x->v1, x->power + 0.5 * x->dt * x->slope, b, 0, rb,
                &unused);
    EVERY_SLOW(n)
    ra[n] = rb[n] = half->rate[n];
    EVERY_QUICK(n)
    ra[n] = r1[n];
    fill(f, d, x, t0, before, a, b, ra, rb);
}

void BENCH_NAME(bench_multirate)(const bench_field *f, const bench_step *steps, size_t nsteps,
                                 double *state, double *peak, const bench_dense *dense)
{
    vec T[BENCH_NODES], before[BENCH_NODES], r1[BENCH_NODES];
    stretch s;
    halves half;
    double into = 0, whole = 1, t = 0;
    size_t seen = 0;
    for (int i = 0; i < f->nnodes; i++) {
        T[i] = IN(state, i);
        half.rate[i] = splat(0);
    }
    for (size_t j = 0; j < nsteps; j++) {
        const bench_step *x = &steps[j];
        if (x->stretch_dt > 0) {
            whole = x->stretch_dt;
            into = 0;
            set_stretch(f, T, x->v0, x->stretch_v1, &s);
            begin_stretch(f, &half);
        } else {
            set_skins(f, T, &s);
        }
        if (dense != NULL) {
            for (int i = 0; i < f->nnodes; i++)
                before[i] = T[i];
        }
        quick_step(f, &s, x, into, whole, &half, T, r1);
        EVERY_QUICK(n)
        raise_peak(peak, n, T[n]);
        if (dense != NULL)
            fill_quick(f, dense, &s, x, t, seen, into, whole, &half, before, T, r1);
        into += x->dt;
        t += x->dt;
        if (into > whole * (1 - 1e-9)) {
            end_stretch(f, &s, whole, &half, T, peak);
            /* at the end of a stretch the slow nodes are where they are */
            if (dense != NULL && x->seen > seen) {
                EVERY_SLOW(n)
                dense->T[(x->seen - 1) * (size_t)f->nnodes + (size_t)n] = EACH(0, T[n]);
            }
        }
        seen = x->seen;
    }
    for (int i = 0; i < f->nnodes; i++)
        OUT(state, i) = T[i];
}
