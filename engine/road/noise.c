/* SPDX-License-Identifier: MIT */
/*
 * Noise is told from driving by its speed: over four samples a car changes speed along a curve
 * of low order, noise does not. The third divided difference removes any parabola, whatever the
 * intervals; scaled to unit weight it has the standard deviation of the noise. Its median size
 * ignores the few samples around brakes on and brakes off, where it is large for good reason.
 *
 * Rounding needs another treatment. Its error is not random: on a slow slope the value stands
 * still and then jumps, which looks like coasting and braking in turn. But the instant of a
 * jump is known to half an interval, and at that instant speed was half way between the two
 * values. On a slow slope these crossings are far better points than the samples were.
 */
#include "road/noise.h"

#include "road/select.h"

#include <math.h>
#include <stdbool.h>

/* Median size of a normal deviate in standard deviations. */
#define NORMAL_MEDIAN 0.6744897501960817

double mbl_noise_level(const double *t, const double *v, size_t n, double *work)
{
    if (n < 8)
        return 0;
    for (size_t i = 0; i + 3 < n; i++) {
        double sum = 0;
        double weight = 0;
        for (size_t a = i; a < i + 4; a++) {
            double w = 1;
            for (size_t b = i; b < i + 4; b++)
                w *= a == b ? 1 : t[a] - t[b];
            sum += v[a] / w;
            weight += 1 / (w * w);
        }
        work[i] = fabs(sum) / sqrt(weight);
    }
    return mbl_median(work, n - 3) / NORMAL_MEDIAN;
}

double mbl_noise_step(const double *v, size_t n, double *work)
{
    size_t changes = 0;
    for (size_t i = 0; i + 1 < n; i++)
        if (v[i] != v[i + 1])
            work[changes++] = fabs(v[i + 1] - v[i]);
    if (changes < 8)
        return 0;
    double least = work[0];
    for (size_t i = 1; i < changes; i++)
        least = work[i] < least && work[i] > 1e-9 ? work[i] : least;
    /* the sharpest estimate of the step is the largest change over its whole number of steps */
    double step = least;
    for (int pass = 0; pass < 8; pass++) {
        double best = 0;
        for (size_t i = 0; i < changes; i++)
            if (work[i] > best && work[i] < least * (double)(2 << pass))
                best = work[i];
        step = best > 0 ? best / floor(best / step + 0.5) : step;
    }
    for (size_t i = 0; i < changes; i++) {
        double count = work[i] / step;
        if (fabs(count - floor(count + 0.5)) > 0.01)
            return 0;
    }
    return step;
}

/* Value at which the run of equal samples [first, last] was entered or left, at its edge. */
static double edge_value(const double *v, size_t inside, size_t outside, double step)
{
    return v[inside] + copysign(0.5 * step, v[outside] - v[inside]);
}

void mbl_noise_unround(const double *t, const double *v, size_t n, double step, double *out)
{
    for (size_t first = 0, last = 0; first < n; first = last + 1) {
        for (last = first; last + 1 < n && v[last + 1] == v[first];)
            last++;
        /* a value that held for one sample only is as good as it can be */
        if (first == last) {
            out[first] = v[first];
            continue;
        }
        bool from = first > 0;
        bool to = last + 1 < n;
        double t0 = from ? 0.5 * (t[first - 1] + t[first]) : t[first];
        double t1 = to ? 0.5 * (t[last] + t[last + 1]) : t[last];
        double v0 = from ? edge_value(v, first, first - 1, step) : v[first];
        double v1 = to ? edge_value(v, last, last + 1, step) : v[first];
        /* entered and left on the same side: a crest or a trough, which reached the value */
        bool turned = from && to && (v0 > v[first]) == (v1 > v[first]);
        for (size_t i = first; i <= last; i++) {
            double share = (t[i] - t0) / (t1 - t0);
            double depth = fabs(2 * share - 1);
            out[i] = turned ? v[first] + depth * (v0 - v[first]) : v0 + share * (v1 - v0);
        }
    }
}
