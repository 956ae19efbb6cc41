/* SPDX-License-Identifier: MIT */
#include "drive/lap_limits.h"

#include <math.h>

#define GRAVITY 9.80665 /* m/s2, standard gravity, ISO 80000-3 */
#define LEAST_PRESS                                                                                \
    1e-3             /* of gravity: a turn that lifts the car off the road leaves it this much */
#define TURNS   40   /* of the search for a root: three to eight will do */
#define EXACT   1e-6 /* last move of that search, over the bracket's: its error is far below */
#define AT_LAST 1e-9 /* share by which rounding may lift the revs over the last */
#define TO_HOLD 0.5  /* share of an axle's grip that at most is set aside to hold the speed */

/* ---- a root ---- */

typedef double (*curve_fn)(const void *what, double x);

/* An end of a bracket. */
typedef struct end {
    double x, y;
} end;

/*
 * Where y passes through 0 between two ends of opposite signs: false position with the remaining
 * end's value scaled down by Anderson and Bjorck's rule (BIT 13, 1973), which keeps the bracket
 * and, on curves as smooth as these, takes a handful of turns.
 */
static double root(curve_fn y, const void *what, end a, end b)
{
    double width = EXACT * (fabs(a.x) + fabs(b.x));
    for (int i = 0; i < TURNS && a.y != 0 && b.y != a.y; i++) {
        double x = b.x - b.y * (b.x - a.x) / (b.y - a.y);
        end c = {x, y(what, x)};
        double moved = fabs(c.x - b.x);
        if ((c.y > 0) != (b.y > 0)) {
            a = b;
        } else {
            double kept = 1 - c.y / b.y;
            a.y *= kept > 0 ? kept : 0.5;
        }
        b = c;
        if (b.y == 0 || moved <= width || fabs(b.x - a.x) <= width)
            break;
    }
    return b.x;
}

/* ---- car and ground ---- */

/* m/s at the last rev of the highest gear. */
static double last_rev(const mbl_car *car)
{
    const mbl_gearing *g = &car->gearing;
    double ratio = g->ratios.v[g->ratios.n - 1] * g->final;
    return g->torque.x[g->torque.n - 1] * (2 * M_PI / 60) / ratio * car->tyre.radius;
}

mbl_lap_car mbl_lap_car_of(const mbl_lap_ask *ask)
{
    const mbl_car *car = ask->car;
    const mbl_gearing *g = &car->gearing;
    mbl_lap_car c = {.ask = ask,
                     .car = car,
                     .inertia = ask->mass * (1 + car->rotating),
                     .drag = 0.5 * ask->density * car->aero.drag_area,
                     .power = car->power,
                     .top = MBL_LAP_FASTEST,
                     .weight = {car->front_weight, 1 - car->front_weight},
                     .driven = {g->driven != MBL_DRIVEN_REAR, g->driven != MBL_DRIVEN_FRONT}};
    if (isnan(c.power))
        c.power = g->torque.n > 0 ? INFINITY : 0;
    for (size_t i = 0; i < g->torque.n; i++)
        c.torque = fmax(c.torque, g->torque.y[i]);
    if (g->torque.n > 0)
        c.top = fmin(c.top, last_rev(car));
    for (int axle = 0; axle < 2; axle++)
        c.static_load[axle] = car->mass * GRAVITY * c.weight[axle];
    return c;
}

mbl_lap_ground mbl_lap_ground_of(const mbl_stretch *stretch)
{
    double level = 1 / sqrt(1 + stretch->grade * stretch->grade);
    double cos_bank = cos(stretch->bank);
    double sin_bank = sin(stretch->bank);
    return (mbl_lap_ground){.press = GRAVITY * level * cos_bank,
                            .along = GRAVITY * level * stretch->grade,
                            .across = GRAVITY * level * sin_bank,
                            .cos_bank = cos_bank,
                            .sin_bank = sin_bank,
                            .surface = stretch->surface};
}

/* ---- forces ---- */

/* N that the tyres of an axle have to bring sideways, either way. */
static double sideways(const mbl_lap_car *c, const mbl_lap_place *at, int axle, double v2)
{
    const mbl_lap_ground *g = at->ground;
    return c->ask->mass * c->weight[axle] * fabs(v2 * at->curvature * g->cos_bank - g->across);
}

/* Axle loads, N, while the car slows down by a (m/s2). On a grade weight leans as if it did. */
static void loads(const mbl_lap_car *c, const mbl_lap_place *at, double v2, double a,
                  double load[2])
{
    const mbl_lap_ground *g = at->ground;
    double press = fmax(g->press + v2 * at->curvature * g->sin_bank, LEAST_PRESS * GRAVITY);
    mbl_instant felt = {
        .mass = c->ask->mass * press / GRAVITY, .speed = sqrt(v2), .density = c->ask->density};
    mbl_axle_loads(c->car, &felt, (a - g->along) * GRAVITY / press, load);
}

static double bears(const mbl_lap_car *c, const mbl_lap_place *at, int axle, double load)
{
    return at->ground->surface * mbl_tyre_grip(c->car, axle, load) * load;
}

/* N along the road that the circle of an axle leaves over beside `side` N across it. */
static double left_over(const mbl_lap_car *c, const mbl_lap_place *at, int axle, double load,
                        double side)
{
    double all = bears(c, at, axle, load);
    double used = side / c->ask->driver.corner;
    return used < all ? sqrt((all - used) * (all + used)) : 0;
}

/* N of drag, rolling resistance and grade. */
static double resistance(const mbl_lap_car *c, const mbl_lap_place *at, double v2)
{
    const mbl_lap_ground *g = at->ground;
    return c->drag * v2 + c->ask->mass * (c->car->rolling * GRAVITY + g->along);
}

/* ---- corner ---- */

typedef struct cornering {
    const mbl_lap_car *c;
    const mbl_lap_place *at;
    int axle;
} cornering;

/* N that an axle has in hand at u = v^2 / 2, its speed held. */
static double in_hand(const void *what, double u)
{
    const cornering *w = what;
    const mbl_lap_car *c = w->c;
    double v2 = 2 * u;
    double load[2];
    loads(c, w->at, v2, 0, load);
    double all = bears(c, w->at, w->axle, load[w->axle]);
    double side = sideways(c, w->at, w->axle, v2) / c->ask->driver.corner;
    double hold = resistance(c, w->at, v2);
    double share = c->driven[0] && c->driven[1] ? c->weight[w->axle] : c->driven[w->axle];
    if (hold < 0)
        share = c->weight[w->axle];
    return all - hypot(side, fmin(share * fabs(hold), TO_HOLD * all));
}

double mbl_lap_corner(const mbl_lap_car *c, const mbl_lap_place *at)
{
    const mbl_lap_ground *g = at->ground;
    double fastest = 0.5 * MBL_LAP_FASTEST * MBL_LAP_FASTEST;
    /* where bank and turn cancel, the least is asked of the tyres */
    double neutral =
        at->curvature * g->across > 0 ? 0.5 * g->across / (at->curvature * g->cos_bank) : 0;
    neutral = fmin(neutral, fastest);
    double u = fastest;
    for (int axle = 0; axle < 2; axle++) {
        cornering w = {c, at, axle};
        end high = {u, in_hand(&w, u)};
        if (high.y >= 0)
            continue;
        end low = {neutral, in_hand(&w, neutral)};
        if (low.y < 0)
            return 0;
        u = root(in_hand, &w, high, low);
    }
    return u;
}

/* ---- pull ---- */

/* N at the wheels by the best gear at v; none above the last rev. */
static double geared(const mbl_lap_car *c, double v)
{
    const mbl_gearing *g = &c->car->gearing;
    double best = 0;
    for (size_t i = 0; i < g->ratios.n; i++) {
        double ratio = g->ratios.v[i] * g->final;
        double to_force = ratio * g->efficiency / c->car->tyre.radius;
        if (c->torque * to_force <= best)
            break; /* ratios fall: no higher gear gives more */
        double revs = v / c->car->tyre.radius * ratio * (60 / (2 * M_PI));
        if (revs <= g->torque.x[g->torque.n - 1] * (1 + AT_LAST))
            best = fmax(best, mbl_effect_at(&g->torque, revs) * to_force);
    }
    return best;
}

typedef struct along {
    const mbl_lap_car *c;
    const mbl_lap_place *at;
    double v2;
    double side[2];   /* N of each axle */
    double resists;   /* N */
    double brake[2];  /* N that the brakes of each axle give at most */
    mbl_instant pads; /* what mbl_axle_force asks for */
} along;

static along along_at(const mbl_lap_car *c, const mbl_lap_place *at, double v2)
{
    return (along){.c = c,
                   .at = at,
                   .v2 = v2,
                   .side = {sideways(c, at, 0, v2), sideways(c, at, 1, v2)},
                   .resists = resistance(c, at, v2)};
}

/* N that the driven tyres bear while the car gains speed by a. */
static double traction(const along *w, double a)
{
    double load[2];
    double sum = 0;
    loads(w->c, w->at, w->v2, -a, load);
    for (int axle = 0; axle < 2; axle++) {
        if (w->c->driven[axle])
            sum += left_over(w->c, w->at, axle, load[axle], w->side[axle]);
    }
    return sum;
}

/* N by which traction exceeds what gaining speed by a takes. */
static double spare(const void *what, double a)
{
    const along *w = what;
    return traction(w, a) - w->resists - w->c->inertia * a;
}

/* N that no load on the driven tyres exceeds: friction falls as load rises. */
static double most_traction(const along *w)
{
    double load[2];
    double most = 0;
    loads(w->c, w->at, w->v2, 0, load);
    for (int axle = 0; axle < 2; axle++)
        most += w->c->car->tyre.grip * fmax(load[0] + load[1], w->c->static_load[axle]);
    return w->at->ground->surface * most;
}

/*
 * The most acceleration that traction takes, from above: spare is below 0 at `high`. It is concave
 * where tyres have something left over, so chords of points above its highest root lead to it
 * without passing it. Below there may be more roots: a car that lets go of the throttle takes load
 * off its driven axle, and grip to turn with. `least` where there is none.
 */
static double most_gained(const along *w, end high, double least)
{
    end now = {high.x + high.y / w->c->inertia, 0};
    for (int i = 0; i < TURNS; i++) {
        now.x = fmax(now.x, least);
        now.y = spare(w, now.x);
        if (now.y >= 0)
            return root(spare, w, high, now);
        double slope = (high.y - now.y) / (high.x - now.x);
        if (high.x - now.x <= EXACT * (1 + fabs(now.x)))
            return now.x;
        if (!(slope < 0) || now.x <= least)
            return least;
        high = now;
        now.x = high.x - high.y / slope;
    }
    return now.x;
}

double mbl_lap_pulls(const mbl_lap_car *c, const mbl_lap_place *at, double v2, mbl_lap_holds *by)
{
    along w = along_at(c, at, v2);
    double share = c->ask->driver.power;
    double v = sqrt(v2);
    double force = fmin(v > 0 ? c->power / v : c->power > 0 ? INFINITY : 0, most_traction(&w));
    if (c->torque > 0)
        force = fmin(force, geared(c, v));
    double a = (force - w.resists) / c->inertia;
    *by = MBL_HOLDS_POWER;
    end high = {a, spare(&w, a)};
    if (high.y < 0) {
        *by = MBL_HOLDS_TRACTION;
        a = most_gained(&w, high, -w.resists / c->inertia);
        force = c->inertia * a + w.resists;
    }
    return (share * force - w.resists) / c->inertia;
}

/* ---- stop ---- */

/* Friction of front and rear pads at s. */
static void friction_at(const mbl_lap_brakes *b, double s, double mu[2])
{
    size_t low = 0;
    size_t high = b->n - 1;
    if (s <= b->s[low])
        high = low;
    if (s >= b->s[high])
        low = high;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (b->s[middle] <= s)
            low = middle;
        else
            high = middle;
    }
    double part = high > low ? (s - b->s[low]) / (b->s[high] - b->s[low]) : 0;
    for (int axle = 0; axle < 2; axle++)
        mu[axle] = b->mu[low][axle] + part * (b->mu[high][axle] - b->mu[low][axle]);
}

/* N that each axle's circle leaves over while the car slows down by a. */
static void tyres_give(const along *w, double a, double give[2])
{
    double load[2];
    loads(w->c, w->at, w->v2, a, load);
    for (int axle = 0; axle < 2; axle++)
        give[axle] = left_over(w->c, w->at, axle, load[axle], w->side[axle]);
}

/* N that both axles, each at its tyres' or its brakes' most, give too much for slowing by a. */
static double each_at_its_most(const void *what, double a)
{
    const along *w = what;
    double give[2];
    tyres_give(w, a, give);
    return fmin(give[0], w->brake[0]) + fmin(give[1], w->brake[1]) + w->resists - w->c->inertia * a;
}

/* N by which an axle braked with front pressure p exceeds its circle, the worse of both. */
static double past_circle(const void *what, double p)
{
    const along *w = what;
    double give[2];
    double front = mbl_axle_force(w->c->car, 0, &w->pads, p);
    double rear = mbl_axle_force(w->c->car, 1, &w->pads, p);
    tyres_give(w, (front + rear + w->resists) / w->c->inertia, give);
    return fmax(front - give[0], rear - give[1]);
}

/* N of braking with both axles at their most: that hardly depends on the deceleration, as load only
 * moves from one to the other, so what they give without any is near the root. */
static double capped_brakes(const along *w, mbl_lap_holds *by)
{
    double none = w->resists / w->c->inertia;
    end low = {none, each_at_its_most(w, none)};
    end high = low;
    for (int i = 0; i < TURNS && high.y > 0; i++) {
        low = high;
        high.x += (i == 0 ? 1 : 2) * low.y / w->c->inertia;
        high.y = each_at_its_most(w, high.x);
    }
    double a = low.y > 0 ? root(each_at_its_most, w, low, high) : none;
    double force = w->c->inertia * a - w->resists;
    *by = force >= (w->brake[0] + w->brake[1]) * (1 - EXACT) ? MBL_HOLDS_BRAKES : MBL_HOLDS_TYRES;
    return force;
}

/* N of braking until the first axle comes to its circle, or the pressure to its most. */
static double pressed_brakes(const along *w, mbl_lap_holds *by)
{
    double pressure = w->c->ask->brakes.pressure;
    end high = {pressure, past_circle(w, pressure)};
    *by = MBL_HOLDS_BRAKES;
    if (high.y <= 0)
        return w->brake[0] + w->brake[1];
    *by = MBL_HOLDS_TYRES;
    end low = {0, past_circle(w, 0)};
    if (low.y >= 0)
        return 0;
    double p = root(past_circle, w, high, low);
    return mbl_axle_force(w->c->car, 0, &w->pads, p) + mbl_axle_force(w->c->car, 1, &w->pads, p);
}

double mbl_lap_stops(const mbl_lap_car *c, const mbl_lap_place *at, double v2, mbl_lap_holds *by)
{
    along w = along_at(c, at, v2);
    const mbl_lap_brakes *brakes = &c->ask->brakes;
    w.resists += c->ask->mass * c->car->engine_braking;
    w.brake[0] = w.brake[1] = INFINITY;
    if (brakes->n > 0) {
        friction_at(brakes, at->s, w.pads.mu);
        for (int axle = 0; axle < 2; axle++)
            w.brake[axle] = mbl_axle_force(c->car, axle, &w.pads, brakes->pressure);
    }
    bool ideal = brakes->n == 0 || c->car->abs;
    double force = ideal ? capped_brakes(&w, by) : pressed_brakes(&w, by);
    return (c->ask->driver.brake * force + w.resists) / c->inertia;
}
