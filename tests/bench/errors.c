/* SPDX-License-Identifier: MIT */
#include "bench/errors.h"

#include <math.h>

/* Brakes off for less belong to one zone with what comes next, s. */
static const double flutter = 0.5;

static double worse(double a, double b)
{
    return isnan(a) || isnan(b) ? (double)NAN : fmax(a, b);
}

static double highest(const double *T, size_t nodes, size_t node, size_t first, size_t last)
{
    double most = -INFINITY;
    for (size_t k = first; k < last; k++)
        most =
            T[k * nodes + node] > most || isnan(T[k * nodes + node]) ? T[k * nodes + node] : most;
    return most;
}

/* First sample from k on in which the brakes are as asked. */
static size_t next(const bench_stint *s, size_t k, size_t n, bool on)
{
    while (k < n && (s->power[k] > 0) != on)
        k++;
    return k;
}

/* Where the zone that begins at k ends: where the next begins. */
static size_t zone_end(const bench_stint *s, size_t k, size_t n)
{
    for (;;) {
        size_t off = next(s, k, n, false);
        size_t on = next(s, off, n, true);
        if (on == n || s->time[on] - s->time[off] >= flutter)
            return on;
        k = on;
    }
}

static double zones(const bench_stint *s, size_t n, size_t nodes, const double *run,
                    const double *reference)
{
    static const int faces[] = {MBL_FACE, MBL_PAD_FACE, MBL_CORNER_NODES + MBL_FACE,
                                MBL_CORNER_NODES + MBL_PAD_FACE};
    double worst = 0;
    size_t end = n < s->parked ? n : s->parked;
    for (size_t k = next(s, 0, end, true); k < end;) {
        size_t last = zone_end(s, k, end);
        for (size_t i = 0; i < sizeof faces / sizeof faces[0]; i++) {
            size_t node = (size_t)faces[i];
            worst = worse(worst, fabs(highest(run, nodes, node, k, last) -
                                      highest(reference, nodes, node, k, last)));
        }
        k = last;
    }
    return worst;
}

bench_errors bench_errors_of(const bench_stint *s, size_t samples, int nodes, const double *run,
                             const double *reference, const unsigned char *at, const double *peak,
                             int lanes, const double *reference_peak)
{
    bench_errors e = {0};
    size_t n = (size_t)nodes;
    for (size_t k = 0; k < samples; k++) {
        for (size_t i = 0; i < n; i++) {
            double off = fabs(run[k * n + i] - reference[k * n + i]);
            if (off > e.dense) {
                e.node = (int)i;
                e.at = s->time[k + 1];
            }
            e.dense = worse(e.dense, off);
            if (at == NULL || at[k] == 1 || (at[k] == 2 && bench_is_quick((int)i)))
                e.at_steps = worse(e.at_steps, off);
        }
    }
    for (size_t i = 0; i < n; i++) {
        double got = peak != NULL ? peak[i * (size_t)lanes] : highest(run, n, i, 0, samples);
        double want =
            reference_peak != NULL ? reference_peak[i] : highest(reference, n, i, 0, samples);
        e.peak = worse(e.peak, fabs(got - want));
    }
    e.zone = zones(s, samples, n, run, reference);
    return e;
}
