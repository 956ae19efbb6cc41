/* SPDX-License-Identifier: MIT */
#include "road/layout_spline.h"

#include <math.h>
#include <stdio.h>

/* m: points nearer than this are one; no centreline is measured finer. */
#define SAME 0.01

/* m between the places at which the curvature is taken, unless the course is very long. */
#define STEP 2.0

/* Places of a very long course: they can be written as pieces and read again, also when cut. */
#define PLACES (MBL_LAYOUT_PIECES - 100.0)

/* Steps in which a step is walked: the speed along a spline changes little within one. */
#define FINE 8.0

/* The ranges of mbl_layout_make, asked here because here the point is known. */
#define SHARPEST (1 / 3.0) /* 1/m */
#define STEEPEST 0.35

enum { X, Y, Z, AXES };

/* One spline for each axis over the same knots: values, and second derivatives in `bend`. */
typedef struct spline {
    size_t n;  /* knots; a closed course has its first again as its last */
    double *t; /* (n) m along the chords */
    double *at[AXES];
    double *bend[AXES];
    bool heights;
} spline;

typedef struct state {
    double at[AXES], rate[2];
} state;

/* ---- the splines ---- */

static mbl_status at_point(size_t i, mbl_error *err)
{
    char index[24];
    snprintf(index, sizeof index, "[%zu]", i + 1);
    mbl_error_under(err, index);
    return MBL_INPUT;
}

static mbl_status check_points(const mbl_point *points, size_t n, bool closed, mbl_error *err)
{
    bool first_without = isnan(points[0].height);
    for (size_t i = 0; i < n; i++) {
        size_t before = i > 0 ? i - 1 : n - 1;
        bool without_height = isnan(points[i].height);
        if (without_height != first_without) {
            size_t without = without_height ? i : 0;
            (void)mbl_fail(err, MBL_INPUT,
                           "no height, while others have one; give it to all points or to none");
            return at_point(without, err);
        }
        if ((i > 0 || closed) &&
            hypot(points[i].x - points[before].x, points[i].y - points[before].y) < SAME) {
            (void)mbl_fail(err, MBL_INPUT,
                           "the same place as points[%zu], to within %g m; leave one of them out",
                           before + 1, SAME);
            return at_point(i, err);
        }
    }
    return MBL_OK;
}

static bool make_room(mbl_arena *arena, spline *s)
{
    s->t = mbl_arena_new(arena, s->n, sizeof(double));
    bool got = s->t != NULL;
    for (int a = 0; a < AXES; a++) {
        s->at[a] = mbl_arena_new(arena, s->n, sizeof(double));
        s->bend[a] = mbl_arena_new(arena, s->n, sizeof(double));
        got = got && s->at[a] != NULL && s->bend[a] != NULL;
    }
    return got;
}

/* Positions relative to the first point: a map's grid may count from far away. */
static void place_knots(spline *s, const mbl_point *points, size_t n)
{
    s->heights = !isnan(points[0].height);
    for (size_t i = 0; i < s->n; i++) {
        const mbl_point *p = &points[i % n];
        s->at[X][i] = p->x - points[0].x;
        s->at[Y][i] = p->y - points[0].y;
        s->at[Z][i] = s->heights ? p->height - points[0].height : 0;
        if (i > 0)
            s->t[i] =
                s->t[i - 1] + hypot(s->at[X][i] - s->at[X][i - 1], s->at[Y][i] - s->at[Y][i - 1]);
    }
}

/* Slope of the chord after knot i. */
static double slope(const spline *s, int axis, size_t i)
{
    return (s->at[axis][i + 1] - s->at[axis][i]) / (s->t[i + 1] - s->t[i]);
}

/*
 * Solves the rows first..last of a tridiagonal system, h[i-1] x[i-1] + 2 (h[i-1] + h[i]) x[i] +
 * h[i] x[i+1] = x[i] on entry, with the unknowns outside taken as 0: it is diagonally dominant, so
 * no pivot is needed. `work` has room for all rows.
 */
static void solve(const double *t, size_t first, size_t last, double *x, double *work)
{
    for (size_t i = first; i <= last; i++) {
        double before = t[i] - t[i - 1];
        double after = t[i + 1] - t[i];
        double pivot = 2 * (before + after);
        if (i > first) {
            pivot -= before * work[i - 1];
            x[i] -= before * x[i - 1];
        }
        work[i] = after / pivot;
        x[i] /= pivot;
    }
    for (size_t i = last; i-- > first;)
        x[i] -= work[i] * x[i + 1];
}

/*
 * Second derivatives at the knots. For a closed course that at knot 0 is an unknown which every row
 * is solved for: x[i] = a[i] + x[0] b[i], and the row of knot 0 then gives x[0].
 */
static void bend_axis(const spline *s, int axis, bool closed, double *b, double *work)
{
    double *a = s->bend[axis];
    size_t last = s->n - 2;
    for (size_t i = 1; i <= last; i++) {
        a[i] = 6 * (slope(s, axis, i) - slope(s, axis, i - 1));
        b[i] = 0;
    }
    solve(s->t, 1, last, a, work);
    if (!closed)
        return;
    double first_gap = s->t[1] - s->t[0];
    double last_gap = s->t[s->n - 1] - s->t[last];
    b[1] = -first_gap;
    b[last] -= last_gap;
    solve(s->t, 1, last, b, work);
    double right = 6 * (slope(s, axis, 0) - slope(s, axis, last));
    double x0 = (right - last_gap * a[last] - first_gap * a[1]) /
                (2 * (last_gap + first_gap) + last_gap * b[last] + first_gap * b[1]);
    a[0] = a[s->n - 1] = x0;
    for (size_t i = 1; i <= last; i++)
        a[i] += x0 * b[i];
}

static state state_at(const spline *s, size_t i, double share)
{
    state out = {0};
    double h = s->t[i + 1] - s->t[i];
    double left = 1 - share;
    for (int a = 0; a < AXES; a++) {
        double from = s->bend[a][i] * h * h / 6;
        double to = s->bend[a][i + 1] * h * h / 6;
        out.at[a] = left * s->at[a][i] + share * s->at[a][i + 1] +
                    (left * left * left - left) * from + (share * share * share - share) * to;
        if (a < 2)
            out.rate[a] = (s->at[a][i + 1] - s->at[a][i] - (3 * left * left - 1) * from +
                           (3 * share * share - 1) * to) /
                          h;
    }
    return out;
}

/* ---- the walk ---- */

/* Called at both ends of every fine step: the nearest knot, and the distance walked so far. */
typedef void (*passed)(void *ctx, size_t knot, const state *at, double distance);

/* Walks the splines by chords of `fine` metres or less; returns how long they are. */
static double walk(const spline *s, double fine, passed pass, void *ctx)
{
    double distance = 0;
    state before = state_at(s, 0, 0);
    if (pass != NULL)
        pass(ctx, 0, &before, 0);
    for (size_t i = 0; i + 1 < s->n; i++) {
        double steps = ceil((s->t[i + 1] - s->t[i]) / fine);
        for (double k = 1; k <= steps; k++) {
            state now = state_at(s, i, k / steps);
            distance += hypot(now.at[X] - before.at[X], now.at[Y] - before.at[Y]);
            before = now;
            if (pass != NULL)
                pass(ctx, k > steps / 2 ? i + 1 : i, &now, distance);
        }
    }
    return distance;
}

/*
 * Headings half way between the places, heights at them. Half step j, from 0, ends at j/2 steps;
 * odd ones are half ways.
 */
typedef struct takings {
    double half; /* m */
    size_t next, last;
    double *heading;   /* (last / 2) rad, unwrapped */
    double *height;    /* (last / 2 + 1) m */
    size_t *knot;      /* (last / 2 + 1) the nearest to each place */
    double first, end; /* rad, heading at the ends, unwrapped */
    double heading_now, distance;
    state before;
} takings;

/* The angle nearest to `like` among those that point the same way. */
static double unwrapped(double angle, double like)
{
    return like + remainder(angle - like, 2 * acos(-1));
}

static void take(void *ctx, size_t knot, const state *at, double distance)
{
    takings *k = ctx;
    double heading = atan2(at->rate[Y], at->rate[X]);
    if (distance <= 0) {
        k->first = k->heading_now = heading;
        k->before = *at;
    }
    heading = unwrapped(heading, k->heading_now);
    /* the last place is the end, whatever the rounding of the distance */
    while (k->next < k->last && (double)k->next * k->half <= distance) {
        double step = distance - k->distance;
        double share = step > 0 ? ((double)k->next * k->half - k->distance) / step : 1;
        if (k->next % 2 == 1) {
            k->heading[k->next / 2] = k->heading_now + share * (heading - k->heading_now);
        } else {
            k->height[k->next / 2] = k->before.at[Z] + share * (at->at[Z] - k->before.at[Z]);
            k->knot[k->next / 2] = knot;
        }
        k->next++;
    }
    k->heading_now = k->end = heading;
    k->distance = distance;
    k->before = *at;
}

static mbl_status take_all(mbl_arena *arena, const spline *s, size_t n, double step, takings *k,
                           mbl_error *err)
{
    *k = (takings){.half = step / 2, .last = 2 * n};
    k->heading = mbl_arena_new(arena, n, sizeof(double));
    k->height = mbl_arena_new(arena, n + 1, sizeof(double));
    k->knot = mbl_arena_new(arena, n + 1, sizeof(size_t));
    if (k->heading == NULL || k->height == NULL || k->knot == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for a course of %zu stretches", n);
    (void)walk(s, step / FINE, take, k);
    k->height[n] = k->before.at[Z];
    k->knot[n] = s->n - 2;
    return MBL_OK;
}

/* 1/m at place i of n + 1. */
static double curvature_at(const takings *k, size_t i, size_t n, bool closed)
{
    if (i > 0 && i < n)
        return (k->heading[i] - k->heading[i - 1]) / (2 * k->half);
    if (closed) /* the turning across the start line */
        return (k->heading[0] - k->first + k->end - k->heading[n - 1]) / (2 * k->half);
    return i == 0 ? (k->heading[0] - k->first) / k->half : (k->end - k->heading[n - 1]) / k->half;
}

/* Names the point at the sharpest and at the steepest place, where they are too much so. */
static mbl_status check_places(const mbl_stretch *s, const takings *k, size_t count, size_t n,
                               mbl_error *err)
{
    size_t sharp = 0;
    size_t steep = 0;
    for (size_t i = 1; i < count; i++) {
        sharp = fabs(s[i].curvature) > fabs(s[sharp].curvature) ? i : sharp;
        steep = fabs(s[i].grade) > fabs(s[steep].grade) ? i : steep;
    }
    if (fabs(s[sharp].curvature) > SHARPEST) {
        (void)mbl_fail(
            err, MBL_INPUT,
            "the line through the points bends to a radius of %.2g m near here, and %g m "
            "is the least; is a point out of order or off the line?",
            1 / fabs(s[sharp].curvature), 1 / SHARPEST);
        return at_point(k->knot[sharp] % n, err);
    }
    if (fabs(s[steep].grade) > STEEPEST) {
        (void)mbl_fail(err, MBL_INPUT,
                       "the heights give a grade of %.3g %% near here, and %g %% is the most; are "
                       "they in the unit that is written?",
                       s[steep].grade * 100, STEEPEST * 100);
        return at_point(k->knot[steep] % n, err);
    }
    return MBL_OK;
}

mbl_status mbl_layout_spline(mbl_arena *arena, const mbl_point *points, size_t n, bool closed,
                             double surface, mbl_stretch **out, size_t *nout, mbl_error *err)
{
    if (closed && hypot(points[n - 1].x - points[0].x, points[n - 1].y - points[0].y) < SAME)
        n--; /* the last one repeats the first */
    MBL_TRY(check_points(points, n, closed, err));
    spline s = {.n = closed ? n + 1 : n};
    double *b = mbl_arena_new(arena, s.n, sizeof *b);
    double *work = mbl_arena_new(arena, s.n, sizeof *work);
    if (!make_room(arena, &s) || b == NULL || work == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for a course of %zu points", n);
    place_knots(&s, points, n);
    for (int a = 0; a < AXES; a++)
        bend_axis(&s, a, closed, b, work);
    double chords = s.t[s.n - 1];
    double fine = fmax(STEP, chords / PLACES) / FINE;
    double length = walk(&s, fine, NULL, NULL);
    double places = fmax(8, fmin(PLACES, ceil(length / (fine * FINE))));
    size_t count = (size_t)places;
    takings k;
    MBL_TRY(take_all(arena, &s, count, length / places, &k, err));
    mbl_stretch *stretch = mbl_arena_new(arena, count, sizeof *stretch);
    if (stretch == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for a course of %zu stretches", count);
    for (size_t i = 0; i < count; i++) {
        stretch[i] =
            (mbl_stretch){.length = 2 * k.half,
                          .curvature = curvature_at(&k, i, count, closed),
                          .bends_to = curvature_at(&k, i + 1, count, closed),
                          .grade = s.heights ? (k.height[i + 1] - k.height[i]) / (2 * k.half) : 0,
                          .surface = surface};
    }
    MBL_TRY(check_places(stretch, &k, count, n, err));
    *out = stretch;
    *nout = count;
    return MBL_OK;
}
