/* SPDX-License-Identifier: MIT */
/*
 * Braking power from speed. Between two knots speed is linear, so acceleration is constant and
 * power is a cubic in speed: two Gauss points integrate it exactly, whatever the step, and the
 * energy of a lap does not depend on the grid it is put on.
 */
#include "road/channels.h"

#include <math.h>

#define GRAVITY 9.80665 /* m/s2, standard gravity, ISO 80000-3 */

const mbl_parking mbl_parking_close = {1.10, 1.0};

/* N against the motion with the throttle closed and the brakes off. */
static double resistance(const mbl_vehicle *car, double speed, double grade)
{
    return 0.5 * car->air_density * car->drag_area * speed * speed +
           car->mass * (GRAVITY * (car->rolling + grade) + car->engine_braking);
}

double mbl_vehicle_coast(const mbl_vehicle *car, double speed, double grade)
{
    return resistance(car, speed, grade) / (car->mass * (1 + car->rotating));
}

/* W that the brakes take at this speed and deceleration. */
static double demand(const mbl_vehicle *car, double speed, double deceleration, double grade)
{
    double force = car->mass * (1 + car->rotating) * deceleration - resistance(car, speed, grade);
    return force > 0 ? force * speed : 0;
}

/* J over `duration` in which speed goes linearly from v0 to v1: two-point Gauss. */
static double piece_energy(const mbl_vehicle *car, double v0, double v1, double duration,
                           double grade)
{
    double deceleration = (v0 - v1) / duration;
    double middle = 0.5 * (v0 + v1);
    double reach = (v1 - v0) / (2 * sqrt(3.0));
    return 0.5 * duration *
           (demand(car, middle - reach, deceleration, grade) +
            demand(car, middle + reach, deceleration, grade));
}

/* A stretch of one interval of the trace, as it was driven. */
typedef struct piece {
    double duration;       /* s */
    double v0, v1;         /* m/s */
    double brake0, brake1; /* m/s2 beyond coasting by line pressure */
    double grade;
} piece;

/* The same with pressure: deceleration is what pressure and coasting of the driver come to. */
static double measured_energy(const piece *p, double pace, const mbl_vehicle *driver,
                              const mbl_vehicle *car)
{
    double sum = 0;
    for (int k = 0; k < 2; k++) {
        double share = 0.5 + (k == 0 ? -0.5 : 0.5) / sqrt(3.0);
        double v = p->v0 + share * (p->v1 - p->v0);
        double brake = p->brake0 + share * (p->brake1 - p->brake0);
        double deceleration = pace * pace * (brake + mbl_vehicle_coast(driver, v, p->grade));
        sum += demand(car, v * pace, deceleration, p->grade);
    }
    return 0.5 * p->duration / pace * sum;
}

/* The interval of the trace that time t is in. */
static size_t interval(const mbl_trace *trace, double t)
{
    size_t lo = 0;
    size_t hi = trace->n - 1;
    while (hi - lo > 1) {
        size_t middle = lo + (hi - lo) / 2;
        if (trace->t[middle] <= t)
            lo = middle;
        else
            hi = middle;
    }
    return lo;
}

static double value_at(const mbl_trace *trace, const double *y, size_t i, double t)
{
    double share = (t - trace->t[i]) / (trace->t[i + 1] - trace->t[i]);
    share = share < 0 ? 0 : share > 1 ? 1 : share;
    return y[i] + share * (y[i + 1] - y[i]);
}

bool mbl_trace_brakes(const mbl_trace *trace, size_t i, const mbl_vehicle *driver,
                      double pressure_scale, double *deceleration)
{
    double slowing = (trace->v[i] - trace->v[i + 1]) / (trace->t[i + 1] - trace->t[i]);
    if (deceleration != NULL)
        *deceleration = slowing;
    if (pressure_scale > 0)
        return 0.5 * (trace->pressure[i] + trace->pressure[i + 1]) > trace->pressure_on;
    double middle = 0.5 * (trace->v[i] + trace->v[i + 1]);
    return slowing > mbl_vehicle_coast(driver, middle, trace->grade[i]) + MBL_BRAKES_ON;
}

size_t mbl_channels_count(double duration, double pace, double step)
{
    /* a hair less than the quotient, so that 90 s in steps of 0.05 s are not 1801 */
    double n = ceil(duration / pace / step * (1 - 1e-12));
    return n < 1 ? 1 : (size_t)n;
}

/* Where a walk along the trace stands. */
typedef struct walk {
    const mbl_trace *trace;
    double pace;
    const mbl_vehicle *driver;
    double scale; /* m/s2 per Pa; 0 to infer */
    const mbl_vehicle *car;
    size_t i; /* interval */
    double t; /* s */
    double v; /* m/s */
} walk;

/* From where the walk stands to `next`, which lies in the same interval. */
static double stretch_energy(const walk *w, double next, double v_next)
{
    const mbl_trace *trace = w->trace;
    double duration = next - w->t;
    double grade = trace->grade[w->i];
    if (!(w->scale > 0))
        return piece_energy(w->car, w->v * w->pace, v_next * w->pace, duration / w->pace, grade);
    piece p = {.duration = duration,
               .v0 = w->v,
               .v1 = v_next,
               .brake0 = w->scale * value_at(trace, trace->pressure, w->i, w->t),
               .brake1 = w->scale * value_at(trace, trace->pressure, w->i, next),
               .grade = grade};
    return measured_energy(&p, w->pace, w->driver, w->car);
}

/* Walks on to `stop` and returns the braking energy on the way, J. */
static double walk_to(walk *w, double stop, double *braking_time)
{
    const mbl_trace *trace = w->trace;
    double energy = 0;
    while (w->t < stop) {
        while (w->i + 2 < trace->n && trace->t[w->i + 1] <= w->t)
            w->i++;
        double knot = trace->t[w->i + 1];
        double next = w->i + 2 < trace->n && knot < stop ? knot : stop;
        double v_next = value_at(trace, trace->v, w->i, next);
        if (mbl_trace_brakes(trace, w->i, w->driver, w->scale, NULL)) {
            energy += stretch_energy(w, next, v_next);
            *braking_time += (next - w->t) / w->pace;
        }
        w->t = next;
        w->v = v_next;
    }
    return energy;
}

void mbl_channels_lap(const mbl_trace *trace, double start, double end, double pace,
                      const mbl_vehicle *driver, double pressure_scale, const mbl_vehicle *car,
                      double step, mbl_channels *out)
{
    size_t n = mbl_channels_count(end - start, pace, step);
    if (n > out->room)
        n = out->room;
    double width = (end - start) / (double)n; /* in the time of the trace */
    walk w = {trace, pace, driver, pressure_scale, car, interval(trace, start), start, 0};
    w.v = value_at(trace, trace->v, w.i, start);
    out->n = n;
    out->energy = 0;
    out->braking_time = 0;
    out->time[0] = 0;
    out->speed[0] = w.v * pace;
    for (size_t k = 0; k < n; k++) {
        double stop = k + 1 == n ? end : start + width * (double)(k + 1);
        double energy = walk_to(&w, stop, &out->braking_time);
        double duration = width / pace;
        out->time[k + 1] = duration * (double)(k + 1);
        out->speed[k + 1] = w.v * pace;
        out->power[k] = energy / duration;
        out->energy += energy;
    }
    out->inferred = pressure_scale > 0 ? 0 : out->energy;
}

void mbl_channels_stop(double speed, double deceleration, const mbl_vehicle *car, double step,
                       mbl_channels *out)
{
    double duration = speed / deceleration;
    size_t n = mbl_channels_count(duration, 1, step);
    if (n > out->room)
        n = out->room;
    double width = duration / (double)n;
    out->n = n;
    out->energy = 0;
    out->braking_time = 0;
    out->time[0] = 0;
    out->speed[0] = speed;
    for (size_t k = 0; k < n; k++) {
        double v0 = out->speed[k];
        double v1 = speed * (double)(n - k - 1) / (double)n;
        double energy = piece_energy(car, v0, v1, width, 0);
        out->time[k + 1] = width * (double)(k + 1);
        out->speed[k + 1] = v1;
        out->power[k] = energy / width;
        out->energy += energy;
        out->braking_time += energy > 0 ? width : 0;
    }
    out->inferred = 0;
}

/* The end of step k (from 0) of the parked grid before it is cut at the duration. */
static double park_end(double *t, double *step, mbl_parking parking)
{
    *t += *step;
    *step = fmin(*step * parking.growth, fmax(parking.most, *step));
    return *t;
}

size_t mbl_channels_park_count(double duration, double step, mbl_parking parking)
{
    double t = 0;
    size_t n = 1;
    /* a last step of less than half its length is joined to the one before */
    while (park_end(&t, &step, parking) + 0.5 * step < duration)
        n++;
    return n;
}

void mbl_channels_park(double duration, double step, mbl_parking parking, mbl_channels *out)
{
    size_t n = mbl_channels_park_count(duration, step, parking);
    if (n > out->room)
        n = out->room;
    double t = 0;
    out->n = n;
    out->energy = 0;
    out->braking_time = 0;
    out->time[0] = 0;
    out->speed[0] = 0;
    for (size_t k = 0; k < n; k++) {
        double end = park_end(&t, &step, parking);
        out->time[k + 1] = k + 1 == n ? duration : end;
        out->speed[k + 1] = 0;
        out->power[k] = 0;
    }
    out->inferred = 0;
}
