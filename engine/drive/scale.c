/* SPDX-License-Identifier: MIT */
#include "drive/scale.h"

#include "road/trace_driven.h"

#include <math.h>

/* What the driver of the log did in an interval. */
typedef enum doing { SPEEDING_UP, BRAKING, CORNERING } doing;

/* Intervals of the lap and the new speeds at their ends. Speeds as u = v^2 / 2. */
typedef struct scaling {
    const mbl_scale_ask *ask;
    mbl_lap_ask from, to;
    size_t n;             /* knots */
    double *t, *v;        /* (n) of the log, then of the new lap */
    double *grade, *ds;   /* (n - 1) */
    double *cap, *u;      /* (n) */
    unsigned char *doing; /* (n - 1) */
    void *memory;
    size_t bytes;
} scaling;

/* Speed below which a share of what a car can do says nothing, m/s. */
static const double walking = 2;

/* Share of its pull above which the old car was driven by its power. */
static const double flat_out = 0.5;

static mbl_stretch straight(double grade)
{
    return (mbl_stretch){.length = 1, .grade = grade, .surface = 1};
}

/* m/s2 sideways that the worse axle bears at a speed. */
static double grip_at(const mbl_car *car, double mass, double density, double v)
{
    double load[2];
    const double share[2] = {car->front_weight, 1 - car->front_weight};
    const mbl_instant at = {.mass = mass, .speed = v, .density = density};
    mbl_axle_loads(car, &at, 0, load);
    double least = INFINITY;
    for (int axle = 0; axle < MBL_AXLES; axle++)
        least =
            fmin(least, mbl_tyre_grip(car, axle, load[axle]) * load[axle] / (share[axle] * mass));
    return least;
}

/* Where the old car cornered at v, the new one does at this speed: downforce goes with it. */
static double corner_speed(const scaling *c, double v)
{
    const mbl_scale_ask *a = c->ask;
    double old = grip_at(a->from, a->mass_from, a->density, v);
    double now = v;
    for (int turn = 0; turn < 30; turn++) {
        double next = v * sqrt(grip_at(a->to, a->mass_to, a->density, now) / old);
        if (fabs(next - now) < 1e-12 * v)
            break;
        now = fmin(next, 2 * v); /* downforce may hold whatever the speed */
    }
    return now;
}

static mbl_status make_room(const mbl_alloc *alloc, size_t n, scaling *c, mbl_error *err)
{
    c->n = n;
    c->bytes = 6 * n * sizeof(double) + n;
    c->memory = mbl_new(alloc, c->bytes, 1);
    if (c->memory == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a lap of %zu knots", n);
    c->t = c->memory;
    c->v = c->t + n;
    c->grade = c->v + n;
    c->ds = c->grade + n;
    c->cap = c->ds + n;
    c->u = c->cap + n;
    c->doing = (unsigned char *)(c->u + n);
    return MBL_OK;
}

static doing doing_at(const scaling *c, size_t i)
{
    double v = 0.5 * (c->v[i] + c->v[i + 1]);
    double a = (c->v[i + 1] - c->v[i]) / (c->t[i + 1] - c->t[i]);
    mbl_stretch at = straight(c->grade[i]);
    const mbl_car *car = c->ask->from;
    const mbl_vehicle coasting = {.mass = c->ask->mass_from,
                                  .rotating = car->rotating,
                                  .drag_area = car->aero.drag_area,
                                  .rolling = car->rolling,
                                  .engine_braking = car->engine_braking,
                                  .air_density = c->ask->density};
    if (-a > mbl_vehicle_coast(&coasting, v, c->grade[i]) + MBL_BRAKES_ON)
        return BRAKING;
    return a > flat_out * mbl_lap_pull(&c->from, &at, 0, v) ? SPEEDING_UP : CORNERING;
}

/* The lap of the log as knots, its ends between those of the log; and what was done between. */
static void take_lap(const mbl_trace *trace, const mbl_lap *lap, scaling *c)
{
    const double hair = 1e-6;
    size_t n = 0;
    c->t[n] = 0;
    c->v[n++] = mbl_polyline(trace->t, trace->v, trace->n, lap->start);
    for (size_t i = 0; i + 1 < trace->n; i++) {
        if (trace->t[i + 1] <= lap->start || trace->t[i] >= lap->end)
            continue;
        c->grade[n - 1] = trace->grade[i];
        double t = fmin(trace->t[i + 1], lap->end) - lap->start;
        if (t - c->t[n - 1] < hair)
            continue;
        c->t[n] = t;
        c->v[n++] = mbl_polyline(trace->t, trace->v, trace->n, lap->start + t);
    }
    c->n = n;
    for (size_t i = 0; i + 1 < n; i++) {
        c->ds[i] = 0.5 * (c->v[i] + c->v[i + 1]) * (c->t[i + 1] - c->t[i]);
        c->doing[i] = (unsigned char)doing_at(c, i);
    }
    for (size_t i = 0; i < n; i++) {
        size_t before = i > 0 ? i - 1 : 0;
        size_t after = i + 1 < n ? i : n - 2;
        bool slowest = c->v[i] <= c->v[before] && c->v[i] <= c->v[after + 1];
        bool corner = c->doing[before] == CORNERING || c->doing[after] == CORNERING || slowest;
        double v = corner ? corner_speed(c, c->v[i]) : INFINITY;
        c->cap[i] = 0.5 * v * v;
    }
}

/* What the new car does where the old one did `a` (positive) of what it could. */
static double as_much(double a, double could, double can)
{
    if (!(could > 0))
        return a;
    return fmax(a + fmin(fmax(a / could, 0), 1) * (can - could), 0);
}

/* Most gain of u over interval i for a car that enters it with u. */
static double gain(const scaling *c, size_t i, double u)
{
    mbl_stretch at = straight(c->grade[i]);
    double old = fmax(0.5 * (c->v[i] + c->v[i + 1]), walking);
    double a = (c->v[i + 1] - c->v[i]) / (c->t[i + 1] - c->t[i]);
    /* at the speed half way, as for the old car */
    double v = fmax(sqrt(2 * u), walking);
    for (int turn = 0; turn < 2; turn++) {
        double could = mbl_lap_pull(&c->from, &at, 0, old);
        double can = mbl_lap_pull(&c->to, &at, 0, v);
        double does = c->doing[i] == SPEEDING_UP ? as_much(a, could, can) : fmax(can, 0);
        double end = sqrt(2 * (u + does * c->ds[i]));
        v = fmax(0.5 * (sqrt(2 * u) + end), walking);
        if (turn == 1)
            return does * c->ds[i];
    }
    return 0;
}

/* The same backward: most that u may fall by before it is `u` at the end of interval i. */
static double fall(const scaling *c, size_t i, double u)
{
    mbl_stretch at = straight(c->grade[i]);
    double old = fmax(0.5 * (c->v[i] + c->v[i + 1]), walking);
    double a = (c->v[i] - c->v[i + 1]) / (c->t[i + 1] - c->t[i]);
    double v = fmax(sqrt(2 * u), walking);
    for (int turn = 0; turn < 2; turn++) {
        double could = mbl_lap_stop(&c->from, &at, 0, 0, old);
        double can = mbl_lap_stop(&c->to, &at, 0, 0, v);
        double does = c->doing[i] == BRAKING ? as_much(a, could, can) : fmax(can, 0);
        double begin = sqrt(2 * (u + does * c->ds[i]));
        v = fmax(0.5 * (sqrt(2 * u) + begin), walking);
        if (turn == 1)
            return does * c->ds[i];
    }
    return 0;
}

/* Round twice, so that the end of a flying lap meets its start. */
static void drive(scaling *c)
{
    size_t n = c->n;
    double first = fmin(c->cap[0], 0.5 * c->v[0] * c->v[0]);
    for (int round = 0; round < 2; round++) {
        c->u[0] = round == 0 ? fmin(first, c->cap[0]) : c->u[0];
        for (size_t i = 0; i + 1 < n; i++)
            c->u[i + 1] = fmin(c->u[i] + gain(c, i, c->u[i]), c->cap[i + 1]);
        for (size_t i = n - 1; i > 0; i--)
            c->u[i - 1] = fmin(c->u[i - 1], c->u[i] + fall(c, i - 1, c->u[i]));
        bool joins = fabs(c->v[n - 1] - c->v[0]) < 0.05 * c->v[0] && c->v[0] > walking;
        if (!joins)
            return;
        double end = c->u[n - 1] - 0.5 * c->v[n - 1] * c->v[n - 1];
        double start = 0.5 * c->v[0] * c->v[0] + end;
        if (fabs(end) < 1e-9 * c->u[n - 1] || !(start > 0))
            return;
        c->u[0] = fmin(start, c->cap[0]);
    }
}

static mbl_status hand_out(const mbl_alloc *alloc, scaling *c, mbl_trace **out, mbl_error *err)
{
    double t = 0;
    size_t n = 1;
    c->v[0] = sqrt(2 * c->u[0]);
    c->t[0] = 0;
    for (size_t i = 0; i + 1 < c->n; i++) {
        double v = sqrt(2 * c->u[i + 1]);
        double mean = 0.5 * (c->v[n - 1] + v);
        if (!(c->ds[i] > 0) || !(mean > 0))
            continue; /* it stands here */
        t += c->ds[i] / mean;
        c->t[n] = t;
        c->grade[n - 1] = c->grade[i];
        c->v[n++] = v;
    }
    mbl_driven_lap lap = {.n = n, .t = c->t, .v = c->v, .grade = c->grade};
    return mbl_trace_driven(alloc, 1, &lap, false, out, err);
}

static mbl_status fit_to_scale(const mbl_car *car, const char *which, mbl_error *err)
{
    const char *lacks = isnan(car->tyre.grip)                             ? "tyre.grip"
                        : isnan(car->power) && car->gearing.torque.n == 0 ? "power"
                                                                          : NULL;
    if (lacks == NULL)
        return MBL_OK;
    return mbl_fail(err, MBL_INPUT, "%s needs %s, as { tyre = { grip = 1.2 }, power = \"200 kW\" }",
                    which, lacks);
}

mbl_status mbl_scale_lap(const mbl_alloc *alloc, const mbl_trace *trace, size_t lap,
                         const mbl_scale_ask *ask, mbl_trace **out, mbl_error *err)
{
    const mbl_driver all = {1, 1, 1, 0};
    MBL_TRY(fit_to_scale(ask->from, "the car of the log (of)", err));
    MBL_TRY(fit_to_scale(ask->to, "the new car", err));
    scaling c = {
        .ask = ask,
        .from = {.car = ask->from, .driver = all, .mass = ask->mass_from, .density = ask->density},
        .to = {.car = ask->to, .driver = all, .mass = ask->mass_to, .density = ask->density}};
    MBL_TRY(make_room(alloc, trace->n + 1, &c, err));
    take_lap(trace, &trace->laps[lap], &c);
    mbl_status status = MBL_OK;
    if (c.n < 3)
        status = mbl_fail(err, MBL_INPUT, "the lap of the log has too few samples to scale");
    if (status == MBL_OK) {
        drive(&c);
        status = hand_out(alloc, &c, out, err);
    }
    mbl_free(alloc, c.memory, c.bytes, 1);
    return status;
}
