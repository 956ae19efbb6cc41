/* SPDX-License-Identifier: MIT */
#include "road/layout_log.h"

#include "road/bend.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TURN (2 * 3.141592653589793)

/* s of the trace before and after the lap that help to fit its ends. */
#define MARGIN 8.0

/* m: fixes nearer to each other are taken together, those further apart get places between. */
#define NEAR 1.0
#define FAR  2.0

/* m: less than this from the straight between its neighbours, a fix is none but drawn on it. */
#define ON_LINE 1e-6

/* m by which a fix may be further from the last one than was driven; then it strays. */
#define STRAY 25.0

/* s after which a fix is believed again, however far it is. */
#define BELIEVED 3.0

/* m between the points of the course that stretches are made of. */
#define STEP 1.0

/* A stretch may miss the curvature by this share of it, and by so much sideways pull, m/s2. */
#define MISS_SHARE 0.01
#define MISS_PULL  0.1

/* m: no stretch is longer, so that grade is not averaged over hills. */
#define LONGEST 60.0

/* 1/m: a radius of 4 m, what a car can just steer. */
#define TIGHTEST 0.25

/* rad by which a lap may miss whole turns and still have made them. */
#define OUT_OF_TURN 1.2

/* m: a shorter lap is none, and a longer one no circuit. */
#define SHORTEST 200.0
#define FARTHEST 60e3

/* Fixes of its own that a lap needs. */
#define FEWEST 8

/* m/s2 by which the sideways pull of a car on a circuit may well change at once. */
#define USUAL 10.0

/* m/s: as slow as a car is taken to be where its speed is divided by. */
#define SLOW 5.0

/* Noise of a fix over its speed, for yaw rate, or over its square. */
static double weight(mbl_told told, double v)
{
    double slow = fmax(v, SLOW);
    return told == MBL_TOLD_YAW_RATE ? 1 / slow : told == MBL_TOLD_LATERAL ? 1 / (slow * slow) : 1;
}

/* The lap and what is around it, by distance. */
typedef struct drawn {
    size_t from, to;   /* knots of the trace */
    double *s;         /* (to - from) m, 0 at the beginning of the lap */
    double length;     /* m, of the lap */
    mbl_bend_fix *fix; /* (n) */
    size_t n;
    double *curvature; /* (n) */
    size_t points;     /* of the course, STEP apart or a little less */
    double step;
    double *bend;   /* (points + 1) 1/m */
    double *square; /* (points + 1) m2/s2 of the speed, of a slow car that of SLOW */
    double *light;  /* (points + 1) how much of a correction a point takes */
    double *grade;  /* (points) */
} drawn;

static mbl_status no_memory(mbl_error *err)
{
    return mbl_fail(err, MBL_MEMORY, "no memory to draw a course from a lap");
}

/* ---- is there a lap, and does anything tell how it turns? ---- */

static mbl_status check(const mbl_trace *trace, size_t lap, mbl_error *err)
{
    if (trace->told == MBL_TOLD_NOTHING)
        return mbl_fail(err, MBL_INPUT,
                        "nothing in this log tells how the course turns: a layout needs latitude "
                        "and longitude, or a yaw rate, or a lateral acceleration; name their "
                        "columns with latitude and longitude, yaw_rate or lateral where they are "
                        "not guessed");
    bool hot = false;
    for (size_t i = 0; i < trace->nlaps; i++)
        hot = hot || trace->laps[i].kind == MBL_LAP_HOT;
    if (!hot)
        return mbl_fail(err, MBL_INPUT,
                        "no complete lap in this log: a layout needs one from line to line; have "
                        "the laps told by a lap column, by a distance that begins again, or by a "
                        "start_line");
    if (lap >= trace->nlaps)
        return mbl_fail(err, MBL_INPUT, "no lap of index %zu: the log has %zu", lap, trace->nlaps);
    const mbl_lap *l = &trace->laps[lap];
    if (l->kind != MBL_LAP_HOT && l->kind != MBL_LAP_TRAFFIC)
        return mbl_fail(err, MBL_INPUT,
                        "lap %d is not driven from line to line (kind: %s); a layout needs a hot "
                        "lap",
                        l->number, mbl_lap_kind_word(l->kind));
    return MBL_OK;
}

/* ---- by distance ---- */

/* The value at x of what is linear between points; *k is the interval, moving on only. */
static double between(const double *at, const double *y, size_t n, double x, size_t *k)
{
    while (*k + 2 < n && at[*k + 1] <= x)
        ++*k;
    double share = (x - at[*k]) / (at[*k + 1] - at[*k]);
    return y[*k] + fmax(0, fmin(1, share)) * (y[*k + 1] - y[*k]);
}

static mbl_status measure(mbl_arena *arena, const mbl_trace *trace, const mbl_lap *lap, drawn *d,
                          mbl_error *err)
{
    while (d->from + 1 < trace->n && trace->t[d->from + 1] <= lap->start - MARGIN)
        d->from++;
    d->to = d->from;
    while (d->to < trace->n && trace->t[d->to] < lap->end + MARGIN)
        d->to++;
    size_t n = d->to - d->from;
    d->s = mbl_arena_new(arena, n, sizeof *d->s);
    if (d->s == NULL)
        return no_memory(err);
    const double *t = trace->t + d->from;
    const double *v = trace->v + d->from;
    for (size_t i = 1; i < n; i++)
        d->s[i] = d->s[i - 1] + 0.5 * (v[i] + v[i - 1]) * (t[i] - t[i - 1]);
    size_t k = 0;
    double start = between(t, d->s, n, lap->start, &k);
    d->length = between(t, d->s, n, lap->end, &k) - start;
    for (size_t i = 0; i < n; i++)
        d->s[i] -= start;
    if (!(d->length >= SHORTEST && d->length <= FARTHEST))
        return mbl_fail(err, MBL_INPUT,
                        "lap %d is %.0f m long; a course has %g m at least and %g m at most",
                        lap->number, d->length, SHORTEST, FARTHEST);
    return MBL_OK;
}

/* ---- fixes ---- */

/*
 * Is knot i a fix of its own? Not one that repeats the last, nor one that was drawn on the
 * straight between two, as every channel of a slower rate is.
 */
static bool is_place(const mbl_trace *trace, const drawn *d, size_t i)
{
    const double *x = trace->east;
    const double *y = trace->north;
    const double *t = trace->t;
    if (i == d->from || i + 1 >= d->to)
        return true;
    if (x[i] == x[i - 1] && y[i] == y[i - 1])
        return false;
    double share = (t[i] - t[i - 1]) / (t[i + 1] - t[i - 1]);
    return fabs(x[i - 1] + share * (x[i + 1] - x[i - 1]) - x[i]) > ON_LINE ||
           fabs(y[i - 1] + share * (y[i + 1] - y[i - 1]) - y[i]) > ON_LINE;
}

/* Is fix i further from fix `last` than the car can be? */
static bool strays(const mbl_trace *trace, const drawn *d, size_t last, size_t i)
{
    double apart = hypot(trace->east[i] - trace->east[last], trace->north[i] - trace->north[last]);
    double driven = d->s[i - d->from] - d->s[last - d->from];
    return apart > driven + STRAY && trace->t[i] - trace->t[last] < BELIEVED;
}

/* Those in a row within NEAR, as one. */
typedef struct heap {
    double count, s, a, b, v, weight;
} heap;

static void put_heap(drawn *d, heap *h, mbl_bend_kind kind)
{
    double s = h->s / h->count;
    double v = fmax(SLOW, h->v / h->count);
    double usual = USUAL / (v * v);
    if (d->n > 0) {
        double last = d->fix[d->n - 1].s;
        double parts = ceil((s - last) / FAR);
        for (double k = 1; k < parts; k++)
            d->fix[d->n++] = (mbl_bend_fix){.s = last + (s - last) * (k / parts), .usual = usual};
    }
    d->fix[d->n++] = (mbl_bend_fix){.s = s,
                                    .kind = kind,
                                    .a = h->a / h->count,
                                    .b = h->b / h->count,
                                    .usual = usual,
                                    .variance = h->weight / (h->count * h->count)};
    *h = (heap){0};
}

static mbl_status collect(mbl_arena *arena, const mbl_trace *trace, drawn *d, mbl_error *err)
{
    bool places = trace->told == MBL_TOLD_POSITIONS;
    mbl_bend_kind kind = places ? MBL_BEND_PLACE : MBL_BEND_CURVATURE;
    size_t knots = d->to - d->from;
    size_t room = knots + (size_t)((d->s[knots - 1] - d->s[0]) / FAR) + 2;
    heap h = {0};
    double first = 0;
    size_t last = d->from;
    d->fix = mbl_arena_new(arena, room, sizeof *d->fix);
    d->curvature = mbl_arena_new(arena, room, sizeof *d->curvature);
    if (d->fix == NULL || d->curvature == NULL)
        return no_memory(err);
    for (size_t i = d->from; i < d->to; i++) {
        double s = d->s[i - d->from];
        if (places && (!is_place(trace, d, i) || strays(trace, d, last, i)))
            continue;
        last = i;
        if (h.count > 0 && s - first >= NEAR)
            put_heap(d, &h, kind);
        if (h.count == 0)
            first = s;
        double w = weight(trace->told, trace->v[i]);
        h.count++;
        h.s += s;
        h.v += trace->v[i];
        h.a += places ? trace->east[i] : trace->curvature[i];
        h.b += places ? trace->north[i] : 0;
        h.weight += w * w;
    }
    put_heap(d, &h, kind);
    size_t own = 0;
    for (size_t i = 0; i < d->n; i++)
        own += d->fix[i].kind != MBL_BEND_NONE;
    if (own < FEWEST)
        return mbl_fail(err, MBL_INPUT,
                        "only %zu samples in this lap tell how the course turns; at least %d are "
                        "needed",
                        own, FEWEST);
    return MBL_OK;
}

/* ---- the course, point by point ---- */

static mbl_status resample(mbl_arena *arena, const mbl_trace *trace, drawn *d, mbl_error *err)
{
    size_t knots = d->to - d->from;
    d->points = (size_t)ceil(d->length / STEP);
    d->step = d->length / (double)d->points;
    d->bend = mbl_arena_new(arena, d->points + 1, sizeof *d->bend);
    d->light = mbl_arena_new(arena, d->points + 1, sizeof *d->light);
    d->square = mbl_arena_new(arena, d->points + 1, sizeof *d->square);
    d->grade = mbl_arena_new(arena, d->points, sizeof *d->grade);
    double *at = mbl_arena_new(arena, d->n, sizeof *at);
    if (d->bend == NULL || d->light == NULL || d->square == NULL || d->grade == NULL || at == NULL)
        return no_memory(err);
    for (size_t i = 0; i < d->n; i++)
        at[i] = d->fix[i].s;
    size_t k = 0;
    size_t row = 0;
    size_t middle = 0;
    for (size_t i = 0; i <= d->points; i++) {
        double s = (double)i * d->step;
        double bend = between(at, d->curvature, d->n, s, &k);
        d->bend[i] = fmax(-TIGHTEST, fmin(TIGHTEST, bend));
        double v = fmax(SLOW, between(d->s, trace->v + d->from, knots, s, &row));
        d->square[i] = v * v;
        d->light[i] = weight(trace->told, v);
        if (i == d->points)
            break;
        while (middle + 2 < knots && d->s[middle + 1] <= s + 0.5 * d->step)
            middle++;
        d->grade[i] = trace->grade[d->from + middle];
    }
    return MBL_OK;
}

/*
 * A closed lap turns by whole turns. What it misses by is the offset of the sensor, which weighs as
 * its noise does; so much is taken off.
 */
static void turn_whole(drawn *d)
{
    double turned = 0;
    double light = 0;
    for (size_t i = 0; i < d->points; i++) {
        turned += 0.5 * (d->bend[i] + d->bend[i + 1]) * d->step;
        light += 0.5 * (d->light[i] + d->light[i + 1]) * d->step;
    }
    double miss = turned - TURN * round(turned / TURN);
    if (fabs(miss) > OUT_OF_TURN)
        return;
    for (size_t i = 0; i <= d->points; i++)
        d->bend[i] -= miss / light * d->light[i];
}

/* ---- stretches ---- */

/* Is the curvature from point a to b near enough to straight? */
static bool is_even(const drawn *d, size_t a, size_t b)
{
    for (size_t i = a + 1; i < b; i++) {
        double share = (double)(i - a) / (double)(b - a);
        double line = d->bend[a] + share * (d->bend[b] - d->bend[a]);
        double most = fmax(fabs(line), fabs(d->bend[i]));
        if (fabs(line - d->bend[i]) > MISS_PULL / d->square[i] + MISS_SHARE * most)
            return false;
    }
    return true;
}

static mbl_stretch stretch_of(const drawn *d, size_t a, size_t b)
{
    mbl_stretch s = {.length = d->step * (double)(b - a),
                     .curvature = d->bend[a],
                     .bends_to = d->bend[b],
                     .surface = 1};
    double sum = 0;
    for (size_t i = a; i < b; i++)
        sum += 0.5 * (d->bend[i] + d->bend[i + 1]);
    /* what the straight line misses of the turning, so that none is lost on the way */
    double miss = sum / (double)(b - a) - 0.5 * (s.curvature + s.bends_to);
    s.curvature += miss;
    s.bends_to += miss;
    for (size_t i = a; i < b; i++)
        s.grade += d->grade[i] / (double)(b - a);
    return s;
}

static size_t join(const drawn *d, mbl_stretch *out)
{
    size_t n = 0;
    size_t longest = (size_t)(LONGEST / d->step);
    for (size_t a = 0; a < d->points;) {
        size_t b = a + 1;
        while (b < d->points && b - a < longest && is_even(d, a, b + 1))
            b++;
        out[n++] = stretch_of(d, a, b);
        a = b;
    }
    return n;
}

static const char *told_by(mbl_told told)
{
    return told == MBL_TOLD_POSITIONS  ? "positions"
           : told == MBL_TOLD_YAW_RATE ? "yaw rate"
                                       : "lateral acceleration";
}

static mbl_status draw(mbl_arena *arena, const mbl_alloc *alloc, const mbl_trace *trace,
                       const mbl_lap *lap, mbl_layout **out, mbl_error *err)
{
    drawn d = {0};
    double noise = 0;
    char name[64];
    char note[128];
    MBL_TRY(measure(arena, trace, lap, &d, err));
    MBL_TRY(collect(arena, trace, &d, err));
    MBL_TRY(mbl_bend_fit(arena, d.fix, d.n, d.curvature, &noise, err));
    MBL_TRY(resample(arena, trace, &d, err));
    turn_whole(&d);
    mbl_stretch *stretch = mbl_arena_new(arena, d.points, sizeof *stretch);
    if (stretch == NULL)
        return no_memory(err);
    snprintf(name, sizeof name, "lap %d of a log", lap->number);
    snprintf(note, sizeof note, "The line of a logged lap, told by its %s.", told_by(trace->told));
    mbl_layout_plan plan = {.name = name,
                            .note = note,
                            .closed = true,
                            .n = join(&d, stretch),
                            .stretch = stretch,
                            .pit_entry = NAN};
    return mbl_layout_make(alloc, &plan, out, err);
}

mbl_status mbl_layout_of_trace(const mbl_alloc *alloc, const mbl_trace *trace, size_t lap,
                               mbl_layout **out, mbl_error *err)
{
    MBL_TRY(check(trace, lap, err));
    mbl_arena arena;
    mbl_arena_init(&arena, alloc);
    mbl_status status = draw(&arena, alloc, trace, &trace->laps[lap], out, err);
    mbl_arena_free(&arena);
    return status;
}
