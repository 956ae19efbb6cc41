/* SPDX-License-Identifier: MIT */
#include "road/doubts.h"

#include "road/log.h"
#include "road/trace.h"

#include <math.h>

/* All common practice, no source. */
#define ROLLING_OUT    (20 / 3.6) /* m/s: a log that ends slower has its last stop in it */
#define DISTANCE_OFF   0.03       /* of the distance driven */
#define MOST_POWER     600.0      /* W/kg, more than any car on a circuit has at its tyres */
#define POWER_WINDOW   0.5        /* s */
#define MOST_SLOWING   30.0       /* m/s2, more than tyres and downforce of any car give */
#define SLOWING_WINDOW 0.2        /* s */
#define COARSE_STEP    0.25       /* m/s: whole km/h or mph */
#define LEAST_RATE     2.0        /* Hz: below it a whole braking may fall between samples */
#define MOST_BRIDGED   0.05       /* of the time */

const char *mbl_doubt_text(mbl_doubt_kind kind)
{
    static const char *const texts[] = {
#define MBL_DOUBT_TEXT(name, text, unit) text,
        MBL_DOUBT_LIST(MBL_DOUBT_TEXT)
#undef MBL_DOUBT_TEXT
    };
    return (unsigned)kind < MBL_DOUBTS ? texts[kind] : "unknown";
}

const char *mbl_doubt_unit(mbl_doubt_kind kind)
{
    static const char *const units[] = {
#define MBL_DOUBT_UNIT(name, text, unit) unit,
        MBL_DOUBT_LIST(MBL_DOUBT_UNIT)
#undef MBL_DOUBT_UNIT
    };
    return (unsigned)kind < MBL_DOUBTS ? units[kind] : "";
}

/* Line of the row at time t. */
static int line_at(const mbl_log *log, double t)
{
    size_t lo = 0;
    size_t hi = log->rows - 1;
    while (lo < hi) {
        size_t middle = lo + (hi - lo) / 2;
        if (log->t[middle] < t)
            lo = middle + 1;
        else
            hi = middle;
    }
    return log->line[lo];
}

static double gain(double v0, double v1, double duration)
{
    return 0.5 * (v1 * v1 - v0 * v0) / duration;
}

static double slowing(double v0, double v1, double duration)
{
    return (v0 - v1) / duration;
}

/* The most of a rate over windows of at least `width` s, and where it is. */
static void find_most(const mbl_log *log, const mbl_trace *trace,
                      double (*rate)(double, double, double), double width, mbl_doubt *out)
{
    double at = 0;
    out->value = -INFINITY;
    for (size_t i = 0, j = 0; i < trace->n; i++) {
        while (j < trace->n && trace->t[j] - trace->t[i] < width)
            j++;
        if (j == trace->n)
            break;
        double here = rate(trace->v[i], trace->v[j], trace->t[j] - trace->t[i]);
        if (here > out->value) {
            out->value = here;
            at = trace->t[i];
        }
    }
    out->line = line_at(log, at);
}

void mbl_doubts_find(const mbl_log *log, const mbl_trace *trace, mbl_doubt out[MBL_DOUBTS])
{
    for (int k = 0; k < MBL_DOUBTS; k++)
        out[k] = (mbl_doubt){0};

    mbl_doubt *d = &out[MBL_DOUBT_ENDS_AT_SPEED];
    d->value = trace->v[trace->n - 1];
    d->line = log->line[log->rows - 1];
    d->found = d->value > ROLLING_OUT;

    out[MBL_DOUBT_NO_ALTITUDE].found = !trace->has_grade;

    d = &out[MBL_DOUBT_DISTANCE];
    d->value = trace->distance_ratio;
    d->found = fabs(d->value - 1) > DISTANCE_OFF; /* false for NAN */

    d = &out[MBL_DOUBT_POWER];
    find_most(log, trace, gain, POWER_WINDOW, d);
    d->found = d->value > MOST_POWER;

    d = &out[MBL_DOUBT_DECELERATION];
    find_most(log, trace, slowing, SLOWING_WINDOW, d);
    d->found = d->value > MOST_SLOWING;

    d = &out[MBL_DOUBT_COARSE];
    d->value = trace->step;
    d->found = d->value > COARSE_STEP;

    d = &out[MBL_DOUBT_SLOW];
    d->value = log->rate;
    d->found = d->value < LEAST_RATE;

    d = &out[MBL_DOUBT_PRESSURE];
    d->value = trace->pressure_scatter;
    d->found = trace->pressure != NULL && !trace->measured;

    d = &out[MBL_DOUBT_BRIDGED];
    double bridged = log->repair[MBL_REPAIR_FROZEN].amount + log->repair[MBL_REPAIR_GAP].amount;
    d->value = bridged / log->t[log->rows - 1];
    d->found = d->value > MOST_BRIDGED;
}
