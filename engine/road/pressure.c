/* SPDX-License-Identifier: MIT */
/*
 * Stop by stop, the work that the deceleration shows is held against the integral of pressure
 * times speed. Whole stops are compared, not instants, because a logged speed lags behind a
 * logged pressure and both are filtered; and the work is looked for a little beyond the pressure.
 * The median ratio, weighted by work, finds the stops that agree; those give the scale, as the
 * sum of their work over the sum of their integrals, so that the total stays true. Friction that
 * changes with temperature is in the scatter.
 */
#include "road/pressure.h"

#include <math.h>

/* s beyond pressure in which work still counts: loggers delay speed by up to this. */
#define LAG 0.3

/* s: a touch of the pedal that is shorter tells nothing. */
#define SHORTEST 0.3

/* Share by which a stop may be off the median and still belong to it. */
#define AGREES 0.4

/* Beyond these the pressure is no measure of braking. All common practice, no source. */
#define MOST_SCATTER 0.25
#define LEAST_SHARE  0.6
#define FEWEST       2 /* stops: of one alone nothing can disagree */

/* One stop: pressure on from knot `first` to knot `last`. */
typedef struct stop {
    size_t first, last;
    double pressure; /* Pa m, integral of pressure times speed */
    double begin;    /* s, where its work is looked for */
    double end;
} stop;

static bool is_on(const mbl_trace *trace, size_t i)
{
    return 0.5 * (trace->pressure[i] + trace->pressure[i + 1]) > trace->pressure_on;
}

/* J s: integral of pressure times speed in the interval after knot i, both linear in it. */
static double pushed(const mbl_trace *trace, size_t i)
{
    double p0 = trace->pressure[i], p1 = trace->pressure[i + 1];
    double v0 = trace->v[i], v1 = trace->v[i + 1];
    return (trace->t[i + 1] - trace->t[i]) * (2 * (p0 * v0 + p1 * v1) + p0 * v1 + p1 * v0) / 6;
}

/* The stop that begins at knot `from` or after; false when there is none. */
static bool next_stop(const mbl_trace *trace, size_t from, stop *out)
{
    size_t i = from;
    while (i + 1 < trace->n && !is_on(trace, i))
        i++;
    if (i + 1 >= trace->n)
        return false;
    *out = (stop){.first = i, .last = i};
    for (; i + 1 < trace->n && trace->t[i] - trace->t[out->last] < LAG; i++)
        if (is_on(trace, i)) {
            out->last = i + 1;
            out->pressure += pushed(trace, i);
        }
    out->begin = trace->t[out->first] - LAG;
    out->end = trace->t[out->last] + LAG;
    return true;
}

/* Keeps the windows of neighbours apart. */
static void part(stop *left, stop *right)
{
    if (left->end > right->begin)
        left->end = right->begin = 0.5 * (left->end + right->begin);
}

/* Ratio of one stop and its weight. */
typedef struct ratio {
    double value;  /* m/s2 per Pa */
    double weight; /* Pa m */
} ratio;

/* Shell's sort with Ciura's gaps: the C library's may take memory of its own. */
static void sort(ratio *x, size_t n)
{
    static const size_t gaps[] = {70301, 31247, 13887, 6172, 2743, 1219, 541,
                                  241,   109,   49,    21,   9,    4,    1};
    for (size_t g = 0; g < sizeof gaps / sizeof gaps[0]; g++)
        for (size_t i = gaps[g]; i < n; i++) {
            ratio keep = x[i];
            size_t j = i;
            for (; j >= gaps[g] && x[j - gaps[g]].value > keep.value; j -= gaps[g])
                x[j] = x[j - gaps[g]];
            x[j] = keep;
        }
}

/* The value below which half of the weight lies. */
static double weighted_median(ratio *x, size_t n)
{
    sort(x, n);
    double half = 0;
    for (size_t i = 0; i < n; i++)
        half += 0.5 * x[i].weight;
    size_t i = 0;
    for (; i + 1 < n && half > x[i].weight; i++)
        half -= x[i].weight;
    return x[i].value;
}

/* m2/s2: work of the brakes that the speed shows in [start, end], per inertia of the driver. */
static double work_in_speed(const mbl_trace *trace, double start, double end,
                            const mbl_vehicle *driver, double *time)
{
    start = fmax(start, 0);
    end = fmin(end, trace->t[trace->n - 1]);
    double at[2];
    double speed[2];
    double power[1];
    mbl_channels c = {.room = 1, .time = at, .speed = speed, .power = power};
    mbl_channels_lap(trace, start, end, 1, driver, 0, driver, end - start, &c);
    *time = c.braking_time;
    return c.energy / (driver->mass * (1 + driver->rotating));
}

/* Braking time in the speed of the whole trace, s. */
static double braking_time(const mbl_trace *trace, const mbl_vehicle *driver)
{
    double time = 0;
    for (size_t i = 0; i + 1 < trace->n; i++)
        if (mbl_trace_brakes(trace, i, driver, 0, NULL))
            time += trace->t[i + 1] - trace->t[i];
    return time;
}

static size_t count_stops(const mbl_trace *trace)
{
    size_t n = 0;
    stop s;
    for (size_t from = 0; next_stop(trace, from, &s); from = s.last)
        n++;
    return n;
}

static size_t gather(const mbl_trace *trace, const mbl_vehicle *driver, ratio *x, double *covered)
{
    size_t n = 0;
    stop before = {.end = -INFINITY};
    stop now;
    bool more = next_stop(trace, 0, &now);
    while (more) {
        stop after = {0};
        more = next_stop(trace, now.last, &after);
        part(&before, &now);
        if (more)
            part(&now, &after);
        double time = 0;
        double work = work_in_speed(trace, now.begin, now.end, driver, &time);
        *covered += time;
        if (trace->t[now.last] - trace->t[now.first] >= SHORTEST && now.pressure > 0)
            x[n++] = (ratio){work / now.pressure, now.pressure};
        before = now;
        now = after;
    }
    return n;
}

static void fit(ratio *x, size_t n, mbl_pressure_fit *out)
{
    out->stops = n;
    if (n == 0)
        return;
    double middle = weighted_median(x, n);
    double work = 0;
    double pressure = 0;
    for (size_t i = 0; i < n; i++)
        if (fabs(x[i].value - middle) <= AGREES * middle) {
            work += x[i].value * x[i].weight;
            pressure += x[i].weight;
        }
    double scale = work / pressure;
    if (!(scale > 0))
        return;
    out->scale = scale;
    for (size_t i = 0; i < n; i++)
        x[i].value = fabs(x[i].value / scale - 1);
    out->scatter = weighted_median(x, n);
}

mbl_status mbl_pressure_fit_make(const mbl_alloc *alloc, const mbl_trace *trace,
                                 const mbl_vehicle *driver, mbl_pressure_fit *out, mbl_error *err)
{
    mbl_pressure_fit made = {.scale = NAN, .scatter = NAN};
    size_t room = trace->pressure == NULL ? 0 : count_stops(trace);
    if (room > 0) {
        ratio *x = mbl_new(alloc, room, sizeof *x);
        if (x == NULL)
            return mbl_fail(err, MBL_MEMORY, "no memory to fit the pressure of %zu stops", room);
        double covered = 0;
        fit(x, gather(trace, driver, x, &covered), &made);
        mbl_free(alloc, x, room, sizeof *x);
        double all = braking_time(trace, driver);
        made.share = all > 0 ? fmin(1, covered / all) : 0;
    }
    *out = made;
    return MBL_OK;
}

bool mbl_pressure_fit_holds(const mbl_pressure_fit *fit)
{
    return fit->stops >= FEWEST && fit->scatter <= MOST_SCATTER && fit->share >= LEAST_SHARE;
}

mbl_status mbl_trace_pressure_scale(const mbl_alloc *alloc, const mbl_trace *trace,
                                    const mbl_vehicle *driver, double *scale, double *scatter,
                                    mbl_error *err)
{
    mbl_pressure_fit fit;
    MBL_TRY(mbl_pressure_fit_make(alloc, trace, driver, &fit, err));
    *scale = mbl_pressure_fit_holds(&fit) ? fit.scale : 0;
    *scatter = fit.scatter;
    return MBL_OK;
}
