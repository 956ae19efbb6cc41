/* SPDX-License-Identifier: MIT */
/*
 * Two ways. A log whose noise cannot be mistaken for braking is kept as it is, sample by sample;
 * only the instants at which brakes went on or off between two samples are added. Any other log
 * is fitted with as few pieces as its noise allows (pieces.c).
 */
#include "road/smooth.h"

#include "road/channels.h"
#include "road/noise.h"
#include "road/pieces.h"

#include <math.h>

/* m/s2: noise on the slope between two samples that is left alone. */
#define QUIET_SLOPE (MBL_BRAKES_ON / 3)

/* s: with samples further apart than brakes take to come on, driving looks like noise. */
#define SLOWEST 0.25

/* Share of the change of slope in a corner that may lie outside its interval. */
#define SPREAD 0.1

static mbl_status no_memory(size_t n, mbl_error *err)
{
    return mbl_fail(err, MBL_MEMORY, "no memory to smooth %zu samples", n);
}

static void put(mbl_smooth *out, double t, double v)
{
    /* rounding can put a knot on top of its neighbour: the sample stays, the knot goes */
    if (out->n > 0 && t <= out->t[out->n - 1])
        return;
    out->t[out->n] = t;
    out->v[out->n++] = v > 0 ? v : 0;
}

/*
 * The corner inside the interval after sample i, when there is one: the lines of the slopes on
 * either side meet inside. A bend that goes on outside the interval is no corner, it is sampled
 * well enough: there the lines meet beyond the curve. A bend the other way beside it is another
 * corner, as when brakes go on and off within three samples, and does not count against this one.
 */
static bool corner(const double *t, const double *v, size_t n, size_t i, double *at, double *speed)
{
    if (i < 2 || i + 3 >= n)
        return false;
    double slope[5];
    for (size_t k = 0; k < 5; k++)
        slope[k] = (v[i + k - 1] - v[i + k - 2]) / (t[i + k - 1] - t[i + k - 2]);
    double jump = slope[3] - slope[1];
    if (jump == 0 || (slope[1] - slope[0]) / jump > SPREAD || (slope[4] - slope[3]) / jump > SPREAD)
        return false;
    double width = t[i + 1] - t[i];
    double x = (v[i + 1] - v[i] - slope[3] * width) / (slope[1] - slope[3]);
    if (!(x > 0 && x < width))
        return false;
    *at = t[i] + x;
    *speed = v[i] + slope[1] * x;
    return true;
}

/*
 * An interval that is a gap: nothing is known in it, so nothing but a straight line is drawn
 * through it. The curves on either side, carried on into it, could meet anywhere.
 */
static bool is_gap(double width, double interval)
{
    return width > fmax(1.0, 5 * interval);
}

static mbl_status keep_samples(mbl_arena *arena, const double *t, const double *v, size_t n,
                               mbl_smooth *out, mbl_error *err)
{
    double interval = (t[n - 1] - t[0]) / (double)(n - 1);
    mbl_smooth made = {0};
    made.t = mbl_arena_new(arena, 2 * n, sizeof *made.t);
    made.v = mbl_arena_new(arena, 2 * n, sizeof *made.v);
    if (made.t == NULL || made.v == NULL)
        return no_memory(n, err);
    for (size_t i = 0; i < n; i++) {
        double at = 0;
        double speed = 0;
        put(&made, t[i], v[i]);
        if (i + 1 < n && !is_gap(t[i + 1] - t[i], interval) && corner(t, v, n, i, &at, &speed) &&
            at < t[i + 1])
            put(&made, at, speed);
    }
    *out = made;
    return MBL_OK;
}

static mbl_status fit_pieces(mbl_arena *arena, const double *t, const double *v, size_t n,
                             double sigma, mbl_smooth *out, mbl_error *err)
{
    double interval = (t[n - 1] - t[0]) / (double)(n - 1);
    mbl_pieces pieces;
    MBL_TRY(mbl_pieces_make(arena, t, v, n, sigma, &pieces, err));
    mbl_smooth made = {.noise = sigma};
    made.t = mbl_arena_new(arena, n + pieces.n + 1, sizeof *made.t);
    made.v = mbl_arena_new(arena, n + pieces.n + 1, sizeof *made.v);
    if (made.t == NULL || made.v == NULL)
        return no_memory(n, err);
    size_t k = 0;
    for (size_t i = 0; i < n; i++) {
        while (k + 1 < pieces.n && pieces.knot[k + 1] <= t[i]) {
            k++;
            if (pieces.knot[k] < t[i] && i > 0 && !is_gap(t[i] - t[i - 1], interval))
                put(&made, pieces.knot[k], pieces.value[k]);
        }
        put(&made, t[i], mbl_pieces_at(&pieces, k, t[i]));
    }
    *out = made;
    return MBL_OK;
}

/* The curve, noise taken out where it must be; `step` as of the samples. */
static mbl_status follow(mbl_arena *arena, const double *t, const double *v, size_t n,
                         double scatter, double step, mbl_smooth *out, mbl_error *err)
{
    double interval = (t[n - 1] - t[0]) / (double)(n - 1);
    double sigma = fmax(scatter, step / sqrt(12.0));
    if (interval > SLOWEST || sigma * sqrt(2.0) / interval < QUIET_SLOPE)
        return keep_samples(arena, t, v, n, out, err);
    if (sigma > 0.5 * step)
        return fit_pieces(arena, t, v, n, sigma, out, err);
    double *unrounded = mbl_arena_new(arena, n, sizeof *unrounded);
    if (unrounded == NULL)
        return no_memory(n, err);
    mbl_noise_unround(t, v, n, step, unrounded);
    return fit_pieces(arena, t, unrounded, n, sigma, out, err);
}

mbl_status mbl_smooth_make(mbl_arena *arena, const double *t, const double *v, size_t n,
                           mbl_smooth *out, mbl_error *err)
{
    double *work = mbl_arena_new(arena, n, sizeof *work);
    if (work == NULL)
        return no_memory(n, err);
    double scatter = mbl_noise_level(t, v, n, work);
    double step = mbl_noise_step(v, n, work);
    MBL_TRY(follow(arena, t, v, n, scatter, step, out, err));
    out->step = step;
    return MBL_OK;
}
