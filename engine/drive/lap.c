/* SPDX-License-Identifier: MIT */
/*
 * In distance s and u = v^2 / 2, du/ds is the acceleration: no division by a speed that may be 0,
 * and acceleration that is constant is integrated exactly.
 */
#include "drive/lap.h"

#include "drive/lap_pieces.h"

#include <math.h>

#define LAPS    200   /* round a closed course until it is driven the same again */
#define SETTLED 1e-12 /* share of u by which a lap may still differ */
#define WALKING 1.4   /* m/s */
#define CLOSELY 6     /* pieces from the limit that are driven in finer steps */

/* ---- what was asked ---- */

static bool is_share(double x, double least)
{
    return x >= least && x <= 1;
}

static mbl_status check_driver(const mbl_driver *d, mbl_error *err)
{
    if (!is_share(d->corner, 0.3))
        return mbl_fail(err, MBL_INPUT,
                        "the driver uses %g of the sideways grip; it lies between 0.3 and 1",
                        d->corner);
    if (!is_share(d->brake, 0.05) || !is_share(d->power, 0.05))
        return mbl_fail(err, MBL_INPUT,
                        "the driver uses %g of the brakes and %g of the power; both lie between "
                        "0.05 and 1",
                        d->brake, d->power);
    if (!(d->early >= 0 && d->early <= 1000))
        return mbl_fail(err, MBL_INPUT,
                        "the driver brakes %g m early; it lies between 0 and 1000 m", d->early);
    return MBL_OK;
}

static mbl_status check_ask(const mbl_lap_ask *ask, mbl_error *err)
{
    const mbl_car *car = ask->car;
    if (isnan(car->tyre.grip))
        return mbl_fail(err, MBL_INPUT,
                        "car.tyre.grip is missing: a layout is driven at what the tyres hold");
    if (ask->layout->closed && isnan(car->power) && car->gearing.torque.n == 0)
        return mbl_fail(err, MBL_INPUT,
                        "car.power is missing (or car.gearing with torque, ratios and final): "
                        "nothing keeps the car going round");
    return check_driver(&ask->driver, err);
}

/* ---- the limit ---- */

static void lower(double *x, double to)
{
    *x = fmin(*x, to);
}

/* At each node the lower of what the pieces on both sides hold. */
static mbl_status find_limits(mbl_lap *l, mbl_error *err)
{
    double top = 0.5 * l->car.top * l->car.top;
    for (size_t i = 0; i <= l->n; i++)
        l->limit[i] = top;
    double here = top;
    for (size_t i = 0; i < l->n; i++) {
        const mbl_lap_piece *p = &l->piece[i];
        bool goes_on = i > 0 && p[-1].ground == p->ground;
        mbl_lap_place begin = mbl_lap_place_in(p, 0);
        mbl_lap_place end = mbl_lap_place_in(p, 1);
        if (!goes_on)
            here = mbl_lap_corner(&l->car, &begin);
        lower(&l->limit[i], here);
        if (p->begin != p->end)
            here = mbl_lap_corner(&l->car, &end);
        lower(&l->limit[i + 1], here);
        if (!(l->limit[i] > 0 && l->limit[i + 1] > 0))
            return mbl_fail(err, MBL_INPUT,
                            "at %.0f m the tyres do not hold the car on the bank at any speed: "
                            "look at bank, surface and car.tyre.grip",
                            p->s);
    }
    if (l->closed) {
        lower(&l->limit[0], l->limit[l->n]);
        l->limit[l->n] = l->limit[0];
    }
    return MBL_OK;
}

/* ---- forward ---- */

static size_t slowest(const mbl_lap *l, const double *u)
{
    size_t at = 0;
    for (size_t i = 1; i < l->n; i++) {
        if (u[i] < u[at])
            at = i;
    }
    return l->closed ? at : 0;
}

typedef double (*slope_fn)(const mbl_lap *l, size_t i, double part, double u, mbl_lap_holds *by);

/* RK4 in the distance. */
static double driven_closely(const mbl_lap *l, size_t i, double u, slope_fn slope,
                             mbl_lap_holds *by)
{
    double h = l->piece[i].length;
    double k1 = h * slope(l, i, 0, u, by);
    double k2 = h * slope(l, i, 0.5, u + 0.5 * k1, by);
    double k3 = h * slope(l, i, 0.5, u + 0.5 * k2, by);
    double k4 = h * slope(l, i, 1, u + k3, by);
    return u + (k1 + 2 * (k2 + k3) + k4) / 6;
}

/*
 * From the limit: what the circle leaves over grows there as the root of the way. RK4 in that
 * root, tau: with s = h tau^2, du/dtau = 2 h tau slope, which is smooth, and 0 as it begins.
 */
static double driven_off_limit(const mbl_lap *l, size_t i, double u, slope_fn slope,
                               mbl_lap_holds *by)
{
    double h = l->piece[i].length;
    double k2 = h * slope(l, i, 0.25, u, by);
    double k3 = h * slope(l, i, 0.25, u + 0.5 * k2, by);
    double k4 = 2 * h * slope(l, i, 1, u + k3, by);
    return u + (2 * (k2 + k3) + k4) / 6;
}

/*
 * u where piece i is left, driven by `slope` (per metre; `part` of the piece is behind) from u
 * where it is entered, `since` pieces from the limit. Far from there midpoint steps do.
 */
static double driven(const mbl_lap *l, size_t i, double u, int since, slope_fn slope,
                     mbl_lap_holds *by)
{
    if (since == 0)
        return driven_off_limit(l, i, u, slope, by);
    if (since < CLOSELY)
        return driven_closely(l, i, u, slope, by);
    double h = l->piece[i].length;
    double half = u + 0.5 * h * slope(l, i, 0, u, by);
    return u + h * slope(l, i, 0.5, half, by);
}

static double pull_slope(const mbl_lap *l, size_t i, double part, double u, mbl_lap_holds *by)
{
    mbl_lap_place place = mbl_lap_place_in(&l->piece[i], part);
    return mbl_lap_pulls(&l->car, &place, 2 * fmax(u, 0), by);
}

/* Backward: the car gains, with the way, what it loses forward. */
static double stop_slope(const mbl_lap *l, size_t i, double part, double u, mbl_lap_holds *by)
{
    mbl_lap_place place = mbl_lap_place_in(&l->piece[i], 1 - part);
    double a = mbl_lap_stops(&l->car, &place, 2 * fmax(u, 0), by);
    return fmin(a, a * l->gentle[i]);
}

/* Once along all pieces from `start`; *same once nothing changes any more. */
static mbl_status pull_along(mbl_lap *l, size_t start, bool again, bool *same, mbl_error *err)
{
    double top = 0.5 * l->car.top * l->car.top;
    *same = true;
    int since = 0;
    for (size_t k = 0; k < l->n; k++) {
        size_t i = (start + k) % l->n;
        size_t to = l->closed ? (i + 1) % l->n : i + 1;
        mbl_lap_holds by = MBL_HOLDS_POWER;
        since = l->pulled[i] < l->limit[i] ? since + 1 : 0;
        double u = driven(l, i, l->pulled[i], since, pull_slope, &by);
        if (!(u > 0))
            return mbl_fail(err, MBL_INPUT,
                            "the car comes to a stand at %.0f m: its power or its tyres do not "
                            "take the climb",
                            l->piece[i].s);
        if (u >= l->limit[to]) {
            u = l->limit[to];
            by = u < top ? MBL_HOLDS_CORNER : MBL_HOLDS_POWER;
        }
        l->by[i] = (unsigned char)by;
        *same = fabs(u - l->pulled[to]) <= SETTLED * u;
        l->pulled[to] = u;
        if (again && *same)
            return MBL_OK; /* from here on it is as it was */
    }
    return MBL_OK;
}

static mbl_status pull(mbl_lap *l, mbl_error *err)
{
    size_t start = slowest(l, l->limit);
    bool same = false;
    l->pulled[start] = l->closed ? l->limit[start] : 0;
    for (int turn = 0; turn < (l->closed ? LAPS : 1) && !same; turn++)
        MBL_TRY(pull_along(l, start, turn > 0, &same, err));
    if (l->closed)
        l->pulled[l->n] = l->pulled[0];
    return MBL_OK;
}

/* ---- backward ---- */

/* What slows the car without brakes and drag: not negative, it never gains speed by itself. */
static bool rolls_out(const mbl_lap *l, const mbl_lap_ground *g)
{
    const mbl_car *car = l->ask->car;
    return g->along + car->engine_braking >= 0;
}

/* Once back over all pieces to `start`. */
static mbl_status stop_along(mbl_lap *l, size_t start, mbl_error *err)
{
    int since = 0;
    for (size_t k = 0; k < l->n; k++) {
        size_t i = (start + 2 * l->n - 1 - k) % l->n;
        size_t to = l->closed ? (i + 1) % l->n : i + 1;
        if (l->u[i] <= l->u[to] && rolls_out(l, l->piece[i].ground))
            continue;
        mbl_lap_holds by = MBL_HOLDS_TYRES;
        since = l->u[to] < l->limit[to] ? since + 1 : 0;
        double u = driven(l, i, l->u[to], since, stop_slope, &by);
        if (u >= l->u[i])
            continue;
        if (u <= l->u[to] && u < 0.5 * WALKING * WALKING)
            return mbl_fail(err, MBL_INPUT,
                            "at %.0f m the car cannot slow down in time, not even from walking "
                            "pace: look at grade, surface and brakes",
                            l->piece[i].s);
        l->u[i] = u;
        l->by[i] = (unsigned char)by;
    }
    return MBL_OK;
}

static mbl_status stop(mbl_lap *l, mbl_error *err)
{
    for (size_t i = 0; i <= l->n; i++)
        l->u[i] = l->pulled[i];
    if (!l->closed)
        l->u[l->n] = 0;
    size_t start = slowest(l, l->u);
    for (int turn = 0; turn < LAPS; turn++) {
        double before = l->u[start];
        MBL_TRY(stop_along(l, start, err));
        if (!l->closed || l->u[start] >= before * (1 - SETTLED))
            break;
    }
    if (l->closed)
        l->u[l->n] = l->u[0];
    return MBL_OK;
}

/* ---- braking early ---- */

static bool braked(const mbl_lap *l, size_t i)
{
    return l->by[i] == MBL_HOLDS_TYRES || l->by[i] == MBL_HOLDS_BRAKES;
}

/* m of braking that ends with piece i. */
static double zone(const mbl_lap *l, size_t i)
{
    double length = 0;
    for (size_t k = 0; k < l->n && braked(l, i); k++) {
        length += l->piece[i].length;
        if (i == 0 && !l->closed)
            break;
        i = (i + l->n - 1) % l->n;
    }
    return length;
}

/* Each zone of braking, and what lies in front of it: slowed by L / (L + early) of the most. */
static void soften(mbl_lap *l)
{
    double factor = 1;
    for (size_t k = 2 * l->n; k-- > 0;) { /* twice: in front of the first zone comes the last */
        size_t i = k % l->n;
        size_t next = (i + 1) % l->n;
        bool ends = braked(l, i) && (!braked(l, next) || (!l->closed && i + 1 == l->n));
        if (!l->closed && i + 1 == l->n)
            factor = 1;
        if (ends) {
            double length = zone(l, i);
            factor = length / (length + l->ask->driver.early);
        }
        l->gentle[i] = factor;
    }
}

static mbl_status brake(mbl_lap *l, mbl_error *err)
{
    for (size_t i = 0; i < l->n; i++)
        l->gentle[i] = 1;
    MBL_TRY(stop(l, err));
    if (!(l->ask->driver.early > 0))
        return MBL_OK;
    soften(l);
    return stop(l, err);
}

/* ---- the lap ---- */

mbl_status mbl_lap_drive(const mbl_alloc *alloc, const mbl_lap_ask *ask, mbl_path **out,
                         mbl_error *err)
{
    MBL_TRY(check_ask(ask, err));
    mbl_lap l = {.ask = ask, .car = mbl_lap_car_of(ask), .closed = ask->layout->closed};
    MBL_TRY(mbl_lap_cut(alloc, &l, err));
    mbl_path *path = mbl_lap_path_new(alloc, l.n);
    mbl_status status =
        path != NULL ? MBL_OK : mbl_fail(err, MBL_MEMORY, "no memory for a lap of %zu pieces", l.n);
    if (status == MBL_OK) {
        l.by = mbl_lap_path_by(path);
        status = find_limits(&l, err);
    }
    if (status == MBL_OK)
        status = pull(&l, err);
    if (status == MBL_OK)
        status = brake(&l, err);
    if (status == MBL_OK) {
        mbl_lap_path_fill(&l, path);
        *out = path;
    } else {
        mbl_path_free(path);
    }
    mbl_free(alloc, l.scratch, l.bytes, 1);
    return status;
}

/* ---- for others ---- */

double mbl_lap_pull(const mbl_lap_ask *ask, const mbl_stretch *at, double curvature, double v)
{
    mbl_lap_car c = mbl_lap_car_of(ask);
    mbl_lap_ground ground = mbl_lap_ground_of(at);
    mbl_lap_place place = {.ground = &ground, .curvature = curvature};
    mbl_lap_holds by;
    return mbl_lap_pulls(&c, &place, v * v, &by);
}

double mbl_lap_stop(const mbl_lap_ask *ask, const mbl_stretch *at, double curvature, double s,
                    double v)
{
    mbl_lap_car c = mbl_lap_car_of(ask);
    mbl_lap_ground ground = mbl_lap_ground_of(at);
    mbl_lap_place place = {.ground = &ground, .curvature = curvature, .s = s};
    mbl_lap_holds by;
    return mbl_lap_stops(&c, &place, v * v, &by);
}
