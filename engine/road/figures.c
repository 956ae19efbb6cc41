/* SPDX-License-Identifier: MIT */
#include "road/figures.h"

#include <math.h>

/* m/s: a drop of 10 km/h or less is no stop. Common practice, no source. */
#define LEAST_DROP (10 / 3.6)

/* s: brakes off for less, as between two squeezes of the pedal, do not end a stop. */
#define SHORTEST_PAUSE 0.3

static double speed_at(const mbl_trace *trace, size_t i, double t)
{
    double share = (t - trace->t[i]) / (trace->t[i + 1] - trace->t[i]);
    return trace->v[i] + share * (trace->v[i + 1] - trace->v[i]);
}

static void end_stop(mbl_lap_figures *out, double from, double to)
{
    if (from - to <= LEAST_DROP)
        return;
    out->stops++;
    if (from * from - to * to > out->from * out->from - out->to * out->to) {
        out->from = from;
        out->to = to;
    }
}

static void count_stops(const mbl_trace *trace, const mbl_lap *lap, const mbl_vehicle *driver,
                        double scale, mbl_lap_figures *out)
{
    bool braking = false;
    double from = 0;
    double to = 0;
    double off = 0; /* s, when the brakes were last let off */
    for (size_t i = 0; i + 1 < trace->n && trace->t[i] < lap->end; i++) {
        if (trace->t[i + 1] <= lap->start)
            continue;
        double begin = fmax(trace->t[i], lap->start);
        double end = fmin(trace->t[i + 1], lap->end);
        if (braking && begin - off >= SHORTEST_PAUSE) {
            end_stop(out, from, to);
            braking = false;
        }
        if (!mbl_trace_brakes(trace, i, driver, scale, NULL))
            continue;
        if (!braking)
            from = speed_at(trace, i, begin);
        braking = true;
        to = speed_at(trace, i, end);
        off = end;
    }
    if (braking)
        end_stop(out, from, to);
}

void mbl_lap_measure(const mbl_trace *trace, size_t lap, const mbl_vehicle *driver,
                     double pressure_scale, mbl_lap_figures *out)
{
    const mbl_lap *at = &trace->laps[lap];
    double duration = at->end - at->start;
    double time[2];
    double speed[2];
    double power[1];
    /* energy does not depend on the step: the whole lap is one */
    mbl_channels c = {.room = 1, .time = time, .speed = speed, .power = power};
    mbl_channels_lap(trace, at->start, at->end, 1, driver, pressure_scale, driver, duration, &c);
    *out = (mbl_lap_figures){.time = duration,
                             .top_speed = at->top_speed,
                             .energy = c.energy / driver->mass,
                             .braking_share = c.braking_time / duration};
    count_stops(trace, at, driver, pressure_scale, out);
}
