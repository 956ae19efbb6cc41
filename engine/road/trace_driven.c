/* SPDX-License-Identifier: MIT */
#include "road/trace_driven.h"

#include <math.h>
#include <string.h>

/* The arrays of a trace behind its struct, in one allocation. */
typedef struct cells {
    double *t, *v, *grade, *lost;
    mbl_lap *laps;
} cells;

static mbl_trace *room_for(const mbl_alloc *alloc, size_t n, size_t nlaps, cells *out)
{
    size_t bytes = sizeof(mbl_trace) + (3 * n + nlaps) * sizeof(double) + nlaps * sizeof(mbl_lap);
    mbl_trace *trace = mbl_new(alloc, bytes, 1);
    if (trace == NULL)
        return NULL;
    *trace = (mbl_trace){.alloc = alloc, .bytes = bytes, .refs = 1, .n = n, .nlaps = nlaps};
    out->t = (double *)(trace + 1);
    out->v = out->t + n;
    out->grade = out->v + n;
    out->lost = out->grade + n;
    out->laps = (mbl_lap *)(out->lost + nlaps);
    trace->t = out->t;
    trace->v = out->v;
    trace->grade = out->grade;
    trace->lost = out->lost;
    trace->laps = out->laps;
    return trace;
}

static void put_lap(const mbl_driven_lap *from, int number, double start, size_t at, cells *c)
{
    mbl_lap *lap = &c->laps[number - 1];
    *lap = (mbl_lap){.number = number, .kind = MBL_LAP_HOT, .start = start};
    for (size_t i = 0; i < from->n; i++) {
        c->t[at + i] = start + from->t[i];
        c->v[at + i] = from->v[i];
        c->grade[at + i] = i + 1 < from->n ? from->grade[i] : 0;
        lap->top_speed = fmax(lap->top_speed, from->v[i]);
    }
    c->lost[number - 1] = from->lost;
    lap->end = start + from->t[from->n - 1];
}

/* The lap of median time, the earlier of two alike; and the fastest. */
static void rank(mbl_trace *trace)
{
    size_t best = 0;
    double nearest = INFINITY;
    for (size_t i = 0; i < trace->nlaps; i++) {
        double time = trace->laps[i].end - trace->laps[i].start;
        size_t faster = 0;
        for (size_t k = 0; k < trace->nlaps; k++)
            faster += trace->laps[k].end - trace->laps[k].start < time;
        double off = fabs((double)faster - 0.5 * (double)(trace->nlaps - 1));
        if (off < nearest) {
            nearest = off;
            best = i;
        }
        if (time < trace->laps[trace->fastest].end - trace->laps[trace->fastest].start)
            trace->fastest = i;
    }
    trace->median = best;
}

mbl_status mbl_trace_driven(const mbl_alloc *alloc, size_t nlaps, const mbl_driven_lap *laps,
                            bool followed, mbl_trace **out, mbl_error *err)
{
    size_t n = 0;
    cells c;
    for (size_t i = 0; i < nlaps; i++)
        n += laps[i].n;
    mbl_trace *trace = room_for(alloc, n, nlaps, &c);
    if (trace == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a trace of %zu knots", n);
    double start = 0;
    size_t at = 0;
    for (size_t i = 0; i < nlaps; i++) {
        put_lap(&laps[i], (int)i + 1, start, at, &c);
        at += laps[i].n;
        start = c.laps[i].end + MBL_DRIVEN_SEAM;
    }
    for (size_t i = 0; i + 1 < n; i++)
        trace->has_grade = trace->has_grade || c.grade[i] != 0;
    trace->followed = followed;
    trace->distance_ratio = (double)NAN;
    trace->pressure_on = (double)NAN;
    trace->pressure_scale = (double)NAN;
    trace->pressure_scatter = (double)NAN;
    rank(trace);
    trace->digest = mbl_trace_digest(trace);
    *out = trace;
    return MBL_OK;
}
