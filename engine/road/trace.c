/* SPDX-License-Identifier: MIT */
#include "road/trace.h"

#include "road/laps.h"
#include "road/smooth.h"

#include <math.h>
#include <string.h>

/* s over which altitude is averaged: loggers round it, and satellites wander. */
#define ALTITUDE_WINDOW 2.0

/* Rise over run beyond which an altitude is wrong: steeper than any circuit. */
#define STEEPEST 0.3

/* m: over less than this in an interval the car stands, and altitude says nothing. */
#define STANDING 0.05

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
    if (log->distance == NULL)
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

/* What a trace is made of, before it is put in one block. */
typedef struct parts {
    mbl_smooth curve;
    double *grade; /* (rows - 1) per row interval; NULL without altitude */
    mbl_lap *laps;
    size_t nlaps;
    size_t median;
    size_t fastest;
} parts;

static mbl_status gather(mbl_arena *arena, const mbl_log *log, parts *out, mbl_error *err)
{
    MBL_TRY(mbl_smooth_make(arena, log->t, log->v, log->rows, &out->curve, err));
    size_t room = mbl_laps_count(log);
    out->laps = mbl_arena_new(arena, room, sizeof *out->laps);
    double *work = mbl_arena_new(arena, room, sizeof *work);
    if (out->laps == NULL || work == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for %zu laps", room);
    out->nlaps = mbl_laps_find(log, out->laps, work, &out->median, &out->fastest);
    find_top_speeds(&out->curve, out->laps, out->nlaps);
    if (log->altitude == NULL)
        return MBL_OK;
    out->grade = mbl_arena_new(arena, log->rows, sizeof *out->grade);
    double *altitude = mbl_arena_new(arena, log->rows, sizeof *altitude);
    if (out->grade == NULL || altitude == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for the grades of a log");
    average_altitude(log, altitude);
    find_grades(log, altitude, out->grade);
    return MBL_OK;
}

/* Copies the parts behind the struct in one block. */
static mbl_trace *assemble(const mbl_alloc *alloc, const mbl_log *log, const parts *in)
{
    size_t n = in->curve.n;
    size_t bytes = sizeof(mbl_trace) + 3 * n * sizeof(double) + in->nlaps * sizeof(mbl_lap);
    mbl_trace *trace = mbl_new(alloc, bytes, 1);
    if (trace == NULL)
        return NULL;
    double *t = (double *)(trace + 1);
    double *v = t + n;
    double *grade = v + n;
    mbl_lap *laps = (mbl_lap *)(grade + n);
    memcpy(t, in->curve.t, n * sizeof *t);
    memcpy(v, in->curve.v, n * sizeof *v);
    memcpy(laps, in->laps, in->nlaps * sizeof *laps);
    for (size_t i = 0, row = 0; in->grade != NULL && i + 1 < n; i++) {
        while (row + 2 < log->rows && log->t[row + 1] <= t[i])
            row++;
        grade[i] = in->grade[row];
    }
    *trace = (mbl_trace){
        .alloc = alloc,
        .bytes = bytes,
        .refs = 1,
        .noise = in->curve.noise,
        .distance_ratio = compare_distance(log),
        .n = n,
        .t = t,
        .v = v,
        .grade = grade,
        .has_grade = in->grade != NULL,
        .nlaps = in->nlaps,
        .laps = laps,
        .median = in->median,
        .fastest = in->fastest,
    };
    return trace;
}

mbl_status mbl_trace_make(const mbl_alloc *alloc, const mbl_log *log, mbl_trace **out,
                          mbl_error *err)
{
    mbl_arena arena;
    mbl_arena_init(&arena, alloc);
    parts made = {0};
    mbl_status status = gather(&arena, log, &made, err);
    if (status == MBL_OK) {
        mbl_trace *trace = assemble(alloc, log, &made);
        if (trace != NULL)
            *out = trace;
        else
            status = mbl_fail(err, MBL_MEMORY, "no memory for a trace of %zu knots", made.curve.n);
    }
    mbl_arena_free(&arena);
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
    for (size_t i = 0; i < trace->nlaps; i++)
        if (trace->laps[i].number == number)
            return i;
    return trace->nlaps;
}
