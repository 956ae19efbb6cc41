/* SPDX-License-Identifier: MIT */
#include "road/trace.h"

#include "road/laps.h"
#include "road/pressure.h"
#include "road/select.h"
#include "road/smooth.h"
#include "road/turning.h"

#include <math.h>
#include <string.h>

/* s over which altitude is averaged: loggers round it, and satellites wander. */
#define ALTITUDE_WINDOW 2.0

/* Rise over run beyond which an altitude is wrong: steeper than any circuit. */
#define STEEPEST 0.3

/* m: over less than this in an interval the car stands, and altitude says nothing. */
#define STANDING 0.05

/*
 * Brakes count as on above this share of a hard push, and above so many times the scatter of the
 * sensor at rest. Common practice, no source.
 */
#define ON_SHARE   0.02
#define ON_SCATTER 4.0

/* Share of a hard push below which the pedal may as well be at rest. */
#define AT_REST 0.1

/* Share of the samples at rest that are above zero in a sensor with noise: half of them, nearly. */
#define NOISY_SHARE 0.25

/* Median size of a normal deviate in standard deviations. */
#define NORMAL_MEDIAN 0.6744897501960817

/*
 * For a first look at pressure, before the car is known: drag, rolling and engine braking that
 * most cars on circuits come near to, per kilogram. Common practice, no source.
 */
static const mbl_vehicle common_car = {.mass = 1,
                                       .rotating = 0.04,
                                       .drag_area = 5e-4,
                                       .rolling = 0.013,
                                       .engine_braking = 0.6,
                                       .air_density = 1.2};

/* Altitude at each row, averaged over the window around it. */
static void average_altitude(const mbl_log *log, double *out)
{
    double last = log->t[log->rows - 1];
    double slack = 1e-9 * last;
    /* altitude less that of the first row, so that a running sum keeps its figures */
    double base = log->altitude[0];
    double sum = 0;
    for (size_t i = 0, lo = 0, hi = 0; i < log->rows; i++) {
        /* near the ends the window narrows on both sides alike, so that it stays centred */
        double half = fmin(ALTITUDE_WINDOW / 2, fmin(log->t[i], last - log->t[i]));
        while (hi < log->rows && log->t[hi] <= log->t[i] + half + slack)
            sum += log->altitude[hi++] - base;
        while (log->t[lo] < log->t[i] - half - slack)
            sum -= log->altitude[lo++] - base;
        out[i] = sum / (double)(hi - lo);
    }
}

/* Grade of each row interval from averaged altitude over the distance driven. */
static void find_grades(const mbl_log *log, const double *altitude, double *grade)
{
    for (size_t i = 0; i + 1 < log->rows; i++) {
        double run = 0.5 * (log->v[i] + log->v[i + 1]) * (log->t[i + 1] - log->t[i]);
        double slope = run > STANDING ? (altitude[i + 1] - altitude[i]) / run : 0;
        grade[i] = fmax(-STEEPEST, fmin(STEEPEST, slope));
    }
}

/* Logged distance over integrated speed, laps that start again from zero left out. */
static double compare_distance(const mbl_log *log)
{
    const mbl_log_column *speed = &log->column[MBL_LOG_SPEED];
    if (log->distance == NULL || (speed->derived && speed->derived_from == MBL_LOG_DISTANCE))
        return NAN;
    double logged = 0;
    double driven = 0;
    for (size_t i = 0; i + 1 < log->rows; i++) {
        double step = log->distance[i + 1] - log->distance[i];
        if (step < 0)
            continue;
        logged += step;
        driven += 0.5 * (log->v[i] + log->v[i + 1]) * (log->t[i + 1] - log->t[i]);
    }
    return driven > 0 ? logged / driven : NAN;
}

static void find_top_speeds(const mbl_smooth *curve, mbl_lap *laps, size_t n)
{
    for (size_t k = 0, i = 0; k < n; k++) {
        while (i + 1 < curve->n && curve->t[i] < laps[k].start)
            i++;
        for (; i < curve->n && curve->t[i] <= laps[k].end; i++)
            laps[k].top_speed = fmax(laps[k].top_speed, curve->v[i]);
        i = i > 0 ? i - 1 : 0; /* the sample on the line belongs to both laps */
    }
}

/* Line pressure at each row; false when none is logged. */
static bool add_pressures(const mbl_log *log, double *out)
{
    if (log->pressure_front == NULL && log->pressure_rear == NULL)
        return false;
    for (size_t i = 0; i < log->rows; i++)
        out[i] = (log->pressure_front != NULL ? log->pressure_front[i] : 0) +
                 (log->pressure_rear != NULL ? log->pressure_rear[i] : 0);
    return true;
}

/* Pa above which the brakes are on. `work` has room for n. */
static double find_threshold(const double *pressure, size_t n, double *work)
{
    memcpy(work, pressure, n * sizeof *work);
    /* a hard push: one sample in two hundred is harder */
    double hard = mbl_select(work, n, n - 1 - n / 200);
    size_t rest = 0;
    size_t above = 0;
    for (size_t i = 0; i < n; i++) {
        if (pressure[i] >= AT_REST * hard)
            continue;
        rest++;
        if (pressure[i] > 0)
            work[above++] = pressure[i];
    }
    /* the resting offset is gone: where there is noise, it lifts half of the samples above 0 */
    bool noisy = above > 0 && (double)above > NOISY_SHARE * (double)rest;
    double scatter = noisy ? mbl_median(work, above) / NORMAL_MEDIAN : 0;
    return fmax(ON_SHARE * hard, ON_SCATTER * scatter);
}

/* What a trace is made of, before it is put in one block. */
typedef struct parts {
    mbl_smooth curve;
    double *grade;    /* (rows - 1) per row interval; NULL without altitude */
    double *pressure; /* (rows) NULL when not logged */
    double on;        /* Pa */
    mbl_laps laps;
    mbl_turning turning; /* per row */
} parts;

static mbl_status gather(mbl_arena *arena, const mbl_log *log, parts *out, mbl_error *err)
{
    MBL_TRY(mbl_smooth_make(arena, log->t, log->v, log->rows, &out->curve, err));
    MBL_TRY(mbl_laps_find(arena, log, &out->laps, err));
    find_top_speeds(&out->curve, out->laps.lap, out->laps.n);
    MBL_TRY(mbl_turning_find(arena, log, &out->turning, err));
    double *pressure = mbl_arena_new(arena, log->rows, sizeof *pressure);
    double *work = mbl_arena_new(arena, log->rows, sizeof *work);
    if (pressure == NULL || work == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for the pressure of a log");
    out->on = NAN;
    if (add_pressures(log, pressure)) {
        out->pressure = pressure;
        out->on = find_threshold(pressure, log->rows, work);
    }
    if (log->altitude == NULL)
        return MBL_OK;
    out->grade = mbl_arena_new(arena, log->rows, sizeof *out->grade);
    if (out->grade == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for the grades of a log");
    average_altitude(log, work);
    find_grades(log, work, out->grade);
    return MBL_OK;
}

/* Share of the way to the next row at which a knot lies; *row moves on to the row before it. */
static double row_share(const mbl_log *log, double t, size_t *row)
{
    while (*row + 2 < log->rows && log->t[*row + 1] <= t)
        ++*row;
    return (t - log->t[*row]) / (log->t[*row + 1] - log->t[*row]);
}

/* Values of the rows on the knots, among which all rows are. */
static void put_on_knots(const mbl_log *log, const mbl_smooth *curve, const double *from,
                         double *to)
{
    for (size_t i = 0, row = 0; i < curve->n; i++) {
        double share = row_share(log, curve->t[i], &row);
        to[i] = from[row] + share * (from[row + 1] - from[row]);
    }
}

static void put_grades(const mbl_log *log, const mbl_smooth *curve, const double *from, double *to)
{
    for (size_t i = 0, row = 0; i + 1 < curve->n; i++) {
        (void)row_share(log, curve->t[i], &row);
        to[i] = from[row];
    }
}

/* Copies the parts behind the struct in one block. */
static mbl_trace *assemble(const mbl_alloc *alloc, const mbl_log *log, const parts *in)
{
    size_t n = in->curve.n;
    const double *const rows[] = {in->pressure, in->turning.curvature, in->turning.east,
                                  in->turning.north};
    enum { ROWS = sizeof rows / sizeof rows[0] };
    double *knots[ROWS] = {0};
    size_t arrays = 3;
    for (size_t i = 0; i < ROWS; i++)
        arrays += rows[i] != NULL;
    size_t bytes = sizeof(mbl_trace) + arrays * n * sizeof(double) + in->laps.n * sizeof(mbl_lap);
    mbl_trace *trace = mbl_new(alloc, bytes, 1);
    if (trace == NULL)
        return NULL;
    double *t = (double *)(trace + 1);
    double *v = t + n;
    double *grade = v + n;
    double *next = grade + n;
    memcpy(t, in->curve.t, n * sizeof *t);
    memcpy(v, in->curve.v, n * sizeof *v);
    if (in->grade != NULL)
        put_grades(log, &in->curve, in->grade, grade);
    for (size_t i = 0; i < ROWS; i++) {
        if (rows[i] == NULL)
            continue;
        put_on_knots(log, &in->curve, rows[i], next);
        knots[i] = next;
        next += n;
    }
    mbl_lap *laps = (mbl_lap *)next;
    memcpy(laps, in->laps.lap, in->laps.n * sizeof *laps);
    *trace = (mbl_trace){
        .alloc = alloc,
        .bytes = bytes,
        .refs = 1,
        .noise = in->curve.noise,
        .step = in->curve.step,
        .distance_ratio = compare_distance(log),
        .n = n,
        .t = t,
        .v = v,
        .grade = grade,
        .has_grade = in->grade != NULL,
        .pressure = knots[0],
        .pressure_on = in->on,
        .told = in->turning.told,
        .curvature = knots[1],
        .east = knots[2],
        .north = knots[3],
        .nlaps = in->laps.n,
        .laps = laps,
        .median = in->laps.median,
        .fastest = in->laps.fastest,
    };
    return trace;
}

/* Holds pressure against the deceleration, then doubts all of it. */
static mbl_status judge(const mbl_alloc *alloc, const mbl_log *log, mbl_trace *trace,
                        mbl_error *err)
{
    mbl_pressure_fit fit;
    MBL_TRY(mbl_pressure_fit_make(alloc, trace, &common_car, &fit, err));
    trace->pressure_scale = fit.scale;
    trace->pressure_scatter = fit.scatter;
    trace->measured_share = fit.share;
    trace->measured = mbl_pressure_fit_holds(&fit);
    mbl_doubts_find(log, trace, trace->doubt);
    return MBL_OK;
}

mbl_digest mbl_trace_digest(const mbl_trace *t)
{
    mbl_digest d;
    mbl_digest_start(&d);
    mbl_digest_add(&d, t->t, t->n * sizeof *t->t);
    mbl_digest_add(&d, t->v, t->n * sizeof *t->v);
    mbl_digest_add(&d, t->grade, (t->n - 1) * sizeof *t->grade);
    mbl_digest_count(&d, t->pressure != NULL);
    if (t->pressure != NULL) {
        mbl_digest_add(&d, t->pressure, t->n * sizeof *t->pressure);
        mbl_digest_number(&d, t->pressure_on);
        mbl_digest_count(&d, t->measured);
    }
    for (size_t i = 0; i < t->nlaps; i++) {
        const mbl_lap *lap = &t->laps[i];
        mbl_digest_count(&d, (uint64_t)lap->number);
        mbl_digest_count(&d, lap->kind);
        mbl_digest_number(&d, lap->start);
        mbl_digest_number(&d, lap->end);
    }
    mbl_digest_count(&d, t->median);
    mbl_digest_count(&d, t->followed);
    return d;
}

mbl_status mbl_trace_make(const mbl_alloc *alloc, const mbl_log *log, mbl_trace **out,
                          mbl_error *err)
{
    mbl_arena arena;
    mbl_arena_init(&arena, alloc);
    parts made = {0};
    mbl_trace *trace = NULL;
    mbl_status status = gather(&arena, log, &made, err);
    if (status == MBL_OK) {
        trace = assemble(alloc, log, &made);
        if (trace == NULL)
            status = mbl_fail(err, MBL_MEMORY, "no memory for a trace of %zu knots", made.curve.n);
    }
    mbl_arena_free(&arena);
    if (status == MBL_OK)
        status = judge(alloc, log, trace, err);
    if (status == MBL_OK) {
        trace->digest = mbl_trace_digest(trace);
        *out = trace;
    } else {
        mbl_trace_drop(trace);
    }
    return status;
}

mbl_trace *mbl_trace_keep(mbl_trace *trace)
{
    trace->refs++;
    return trace;
}

void mbl_trace_drop(mbl_trace *trace)
{
    if (trace != NULL && --trace->refs == 0)
        mbl_free(trace->alloc, trace, trace->bytes, 1);
}

size_t mbl_trace_lap(const mbl_trace *trace, int number)
{
    size_t found = trace->nlaps;
    double longest = -1;
    for (size_t i = 0; i < trace->nlaps; i++) {
        const mbl_lap *lap = &trace->laps[i];
        bool stands = lap->kind == MBL_LAP_PIT || lap->kind == MBL_LAP_PARKED;
        if (lap->number == number && !stands && lap->end - lap->start > longest) {
            found = i;
            longest = lap->end - lap->start;
        }
    }
    return found;
}
