/* SPDX-License-Identifier: MIT */
/*
 * Everything here follows from front pressure p: axle forces from p, deceleration from the forces,
 * loads from the deceleration. What the brakes do not give (drag, rolling resistance, engine) slows
 * the car and so moves load, but is taken to act on no axle's tyres: it uses up no grip. The force
 * that slows wheels and rotors themselves never reaches the road; it is counted as if it did, so a
 * lock is found early by at most the rotating share.
 */
#include "brake/balance.h"

#include "brake/friction.h"

#include <math.h>

#define GRAVITY       9.80665 /* m/s2, standard gravity, ISO 80000-3 */
#define FIRST_BRACKET 1e5     /* Pa, of the search for a pressure */

/* ---- finding a place ---- */

/* Is it reached at x? Once reached, it stays so as x rises. */
typedef bool (*reached_fn)(const void *what, double x);

/* Smallest x in (low, high] at which it is reached, to rounding; it is at high. */
static double bisect(reached_fn reached, const void *what, double low, double high)
{
    for (int i = 0; i < 200; i++) {
        double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high)
            break;
        if (reached(what, middle))
            high = middle;
        else
            low = middle;
    }
    return high;
}

/* The same above 0, where no upper end is known: `high` is doubled until it will do. The doubling
 * ends beyond all pressures and decelerations. */
static double first_place(reached_fn reached, const void *what, double high)
{
    double low = 0;
    while (high < MBL_NO_KNEE && !reached(what, high)) {
        low = high;
        high *= 2;
    }
    return bisect(reached, what, low, high);
}

/* ---- forces and loads ---- */

/* 1/2 rho CdA, kg/m: drag over the square of the speed. */
static double drag_factor(const mbl_car *car, const mbl_instant *at)
{
    return 0.5 * at->density * car->aero.drag_area;
}

/* N of rolling resistance and engine, whatever the speed. */
static double fixed_resistance(const mbl_car *car, const mbl_instant *at)
{
    return at->mass * (GRAVITY * car->rolling + car->engine_braking);
}

static double resistance(const mbl_car *car, const mbl_instant *at)
{
    return drag_factor(car, at) * at->speed * at->speed + fixed_resistance(car, at);
}

/* kg to be slowed, rotating parts included. */
static double inertia(const mbl_car *car, const mbl_instant *at)
{
    return at->mass * (1 + car->rotating);
}

void mbl_axle_loads(const mbl_car *car, const mbl_instant *at, double a, double load[2])
{
    double down = 0.5 * at->density * car->aero.downforce_area * at->speed * at->speed;
    double all = at->mass * GRAVITY + down;
    double front = at->mass * (GRAVITY * car->front_weight + a * car->cg_height / car->wheelbase) +
                   down * car->aero.front_share;
    /* an axle off the ground carries nothing, and the other one all there is */
    load[0] = fmin(fmax(front, 0), all);
    load[1] = all - load[0];
}

/* (load / load at rest)^-s; the load is floored so that it is finite on an axle off the ground. */
static double grip_by_load(const mbl_car *car, int axle, double load)
{
    double weight = axle == 0 ? car->front_weight : 1 - car->front_weight;
    double ratio = fmax(load / (car->mass * GRAVITY * weight), MBL_LOAD_FLOOR);
    return pow(ratio, log2(1 - car->tyre.load_sensitivity));
}

double mbl_tyre_grip(const mbl_car *car, int axle, double load)
{
    return car->tyre.grip * grip_by_load(car, axle, load);
}

double mbl_ideal_front(const mbl_car *car, const mbl_instant *at, double a)
{
    double load[2]; /* the grip itself cancels */
    mbl_axle_loads(car, at, a, load);
    double front = load[0] * grip_by_load(car, 0, load[0]);
    double rear = load[1] * grip_by_load(car, 1, load[1]);
    return front / (front + rear);
}

/* N at the tyres when the pads of an axle are pressed by `pressure` of its own circuit. */
static double pressed_force(const mbl_car *car, int axle, const mbl_instant *at, double pressure)
{
    const mbl_brake *brake = mbl_car_brake(car, axle);
    return mbl_axle_gain(brake, car->tyre.radius) * at->mu[axle] *
           mbl_effect_at(&brake->pad.pressure_effect, pressure) * pressure;
}

static double rear_pressure(const mbl_car *car, double p)
{
    mbl_distribution distribution = mbl_distribution_of(&car->pedal);
    return mbl_rear_pressure(&distribution, p);
}

double mbl_axle_force(const mbl_car *car, int axle, const mbl_instant *at, double p)
{
    return pressed_force(car, axle, at, axle == 0 ? p : rear_pressure(car, p));
}

static double braking_force(const mbl_car *car, const mbl_instant *at, double p)
{
    return mbl_axle_force(car, 0, at, p) + mbl_axle_force(car, 1, at, p);
}

static double deceleration_at(const mbl_car *car, const mbl_instant *at, double p)
{
    return (braking_force(car, at, p) + resistance(car, at)) / inertia(car, at);
}

double mbl_actual_front(const mbl_car *car, const mbl_instant *at, double p)
{
    /* released, what the first pascal does */
    double touch = fmax(p, 1.0);
    return mbl_axle_force(car, 0, at, touch) / braking_force(car, at, touch);
}

/* ---- what a deceleration asks for ---- */

typedef struct wanted {
    const mbl_car *car;
    const mbl_instant *at;
    int axle;
    double force; /* N */
} wanted;

static bool both_give(const void *what, double p)
{
    const wanted *w = what;
    return braking_force(w->car, w->at, p) >= w->force;
}

static bool axle_gives(const void *what, double pressure)
{
    const wanted *w = what;
    return pressed_force(w->car, w->axle, w->at, pressure) >= w->force;
}

/* N that the brakes have to give; negative where the car needs none of them. */
static double demand(const mbl_car *car, const mbl_instant *at, double a)
{
    return inertia(car, at) * a - resistance(car, at);
}

double mbl_pressure_for(const mbl_car *car, const mbl_instant *at, double a)
{
    wanted w = {.car = car, .at = at, .force = demand(car, at, a)};
    return w.force > 0 ? first_place(both_give, &w, FIRST_BRACKET) : 0;
}

double mbl_turns_to(const mbl_car *car, const mbl_instant *at, double a, double ahead)
{
    const mbl_pedal *pedal = &car->pedal;
    if (!pedal->present || pedal->distribution != MBL_DISTRIBUTION_BAR)
        return NAN;
    double share = fmin(fmax(mbl_ideal_front(car, at, a) + ahead, 0), 1);
    /* where no brakes are asked for, a touch of them stands for the share */
    double force = fmax(demand(car, at, a), 1.0);
    double part[2] = {share * force, (1 - share) * force};
    double rod[2];
    for (int axle = 0; axle < 2; axle++) {
        wanted w = {car, at, axle, part[axle]};
        double bore = axle == 0 ? pedal->master.front : pedal->master.rear;
        rod[axle] = part[axle] > 0 ? first_place(axle_gives, &w, FIRST_BRACKET) * bore * bore : 0;
    }
    double balance = rod[0] / (rod[0] + rod[1]);
    return (balance - mbl_pedal_balance(pedal)) / pedal->per_turn;
}

/* ---- grip ---- */

/* N that the tyres of an axle bear under `load`. */
static double grip_force(const mbl_car *car, int axle, double load)
{
    return mbl_tyre_grip(car, axle, load) * load;
}

/* N by which the braking force of an axle exceeds its grip, with the loads of deceleration a. */
static double excess(const mbl_car *car, const mbl_instant *at, int axle, double p, double a)
{
    double load[2];
    mbl_axle_loads(car, at, a, load);
    return mbl_axle_force(car, axle, at, p) - grip_force(car, axle, load[axle]);
}

static bool one_locks(const mbl_car *car, const mbl_instant *at, double p, double a)
{
    return excess(car, at, 0, p, a) > 0 || excess(car, at, 1, p, a) > 0;
}

static bool locks_at(const void *what, double p)
{
    const wanted *w = what;
    return one_locks(w->car, w->at, p, deceleration_at(w->car, w->at, p));
}

/*
 * Bisection wants each axle, once over its grip, to stay so as p rises.
 *
 * Rear: its force rises with p (or stands still, where a valve shuts), its load and with it its
 * grip falls. When the load is gone any force is over. So a rear axle that brakes locks in the end.
 *
 * Front: its grip rises with p too. With N = A + k (F_f + F_r), k = h / (L (1 + r)), A above 0, and
 * grip as N^(1-s), the logarithm of force over grip rises by F_f'/F_f - (1-s) k (F_f' + F_r') / N.
 * N is more than k (F_f + F_r), so that is above 0 wherever the rear force does not rise faster, in
 * proportion, than the front one: equal pressures, a bar, and a valve, whose slope is at most 1.
 * Factors over pressure that part the axles would have to outweigh A, the load that no braking
 * brings. Off the ground at the rear, N stands and F_f rises on.
 *
 * A pad whose force falls as it is pressed harder would break this. What is found then is a place
 * where an axle comes to its grip all the same, though maybe not the first.
 */
mbl_lock mbl_first_lock(const mbl_car *car, const mbl_instant *at)
{
    wanted w = {.car = car, .at = at};
    double p = first_place(locks_at, &w, FIRST_BRACKET);
    double a = deceleration_at(car, at, p);
    /* only one is over, or both by rounding */
    double front = excess(car, at, 0, p, a);
    double rear = excess(car, at, 1, p, a);
    return (mbl_lock){.axle = rear > front,
                      .pressure = p,
                      .deceleration = a,
                      .front = mbl_actual_front(car, at, p),
                      .ideal = mbl_ideal_front(car, at, a)};
}

/*
 * Do both axles at their grip give no more than a? What they give is concave in a (a sum of powers
 * below one of loads linear in a) until an axle leaves the ground, flat after that, and above a at
 * a = 0: so it meets a once.
 */
static bool beyond_grip(const void *what, double a)
{
    const wanted *w = what;
    double load[2];
    mbl_axle_loads(w->car, w->at, a, load);
    double force = grip_force(w->car, 0, load[0]) + grip_force(w->car, 1, load[1]);
    return force + resistance(w->car, w->at) <= inertia(w->car, w->at) * a;
}

double mbl_grip_limit(const mbl_car *car, const mbl_instant *at)
{
    if (!car->abs)
        return mbl_first_lock(car, at).deceleration;
    wanted w = {.car = car, .at = at};
    return first_place(beyond_grip, &w, GRAVITY);
}

/* ---- bite ---- */

#define BITE_STEP 1e-3 /* s */

/* A stab of the pedal, as far as it has come. */
typedef struct stab {
    const mbl_car *car;
    const mbl_instant *at;
    double air;
    double effort; /* N */
    double p;      /* Pa, front */
    double a;      /* m/s2 */
    double felt;   /* m/s2, the deceleration that the loads have followed */
} stab;

/* The stab dt later. The lag is solved exactly for an `a` that goes straight over the step. */
static stab pressed_on(const stab *s, double dt)
{
    stab next = *s;
    next.effort += s->car->pedal.stab * dt;
    next.p = mbl_pedal_pressure(&s->car->pedal, next.effort, s->air);
    next.a = deceleration_at(s->car, s->at, next.p);
    double behind = MBL_LOAD_LAG * (next.a - s->a) / dt;
    next.felt = next.a - behind + (s->felt - s->a + behind) * exp(-dt / MBL_LOAD_LAG);
    return next;
}

static bool locked(const stab *s)
{
    return one_locks(s->car, s->at, s->p, s->felt);
}

static bool locked_by(const void *what, double dt)
{
    stab then = pressed_on(what, dt);
    return locked(&then);
}

/*
 * The foot comes straight from the throttle: load has not moved at all when the pedal is met. A
 * rear axle that would lock first is helped by the lag, and then the stab loses nothing. The place
 * within the last step is bisected, so the step does not show in the result.
 */
double mbl_bite(const mbl_car *car, const mbl_instant *at, double air)
{
    if (!car->pedal.present || isnan(car->tyre.grip))
        return 1;
    double steady = mbl_first_lock(car, at).deceleration;
    stab now = {.car = car, .at = at, .air = air, .a = deceleration_at(car, at, 0)};
    while (now.a < steady) {
        stab next = pressed_on(&now, BITE_STEP);
        if (locked(&next)) {
            next = pressed_on(&now, bisect(locked_by, &now, 0, BITE_STEP));
            return fmin(next.a / steady, 1);
        }
        now = next;
    }
    return 1;
}

/* ---- stops ---- */

/*
 * J in the brakes from v1 to v2 at deceleration a. What they give, c - d v^2 with
 * c = m (1 + r) a - rolling - engine, is integrated over the way, dx = v dv / a; above the speed
 * where drag alone is too much it is nothing.
 */
static double brake_energy(const mbl_car *car, const mbl_instant *at, double v1, double v2,
                           double a)
{
    double d = drag_factor(car, at);
    double c = inertia(car, at) * a - fixed_resistance(car, at);
    if (c <= d * v2 * v2)
        return 0;
    double top = c < d * v1 * v1 ? sqrt(c / d) : v1;
    double squares = top * top - v2 * v2;
    return squares / (2 * a) * (c - 0.5 * d * (top * top + v2 * v2));
}

static double kinetic_energy(const mbl_car *car, const mbl_instant *at, double v1, double v2)
{
    return 0.5 * inertia(car, at) * (v1 * v1 - v2 * v2);
}

mbl_stop mbl_stop_of(const mbl_car *car, const mbl_instant *at, double from, double to, double a)
{
    mbl_stop stop = {.kinetic_energy = kinetic_energy(car, at, from, to)};
    if (!(a > 0)) {
        stop.distance = stop.time = from > to ? INFINITY : 0;
        return stop;
    }
    stop.brake_energy = brake_energy(car, at, from, to, a);
    stop.distance = (from * from - to * to) / (2 * a);
    stop.time = (from - to) / a;
    /* drag helps least at the lower speed, and nothing else moves the demand during the stop */
    mbl_instant last = *at;
    last.speed = to;
    stop.pressure[0] = mbl_pressure_for(car, &last, a);
    stop.pressure[1] = rear_pressure(car, stop.pressure[0]);
    return stop;
}

mbl_stop mbl_stop_at_pressure(const mbl_car *car, const mbl_instant *at, double from, double to,
                              double p)
{
    mbl_stop stop = {.kinetic_energy = kinetic_energy(car, at, from, to),
                     .pressure = {p, rear_pressure(car, p)}};
    mbl_instant now = *at;
    now.speed = to;
    if (from > to && !(deceleration_at(car, &now, p) > 0)) {
        stop.distance = stop.time = INFINITY;
        return stop;
    }
    int steps = (int)ceil((from - to) * 3.6);
    for (int i = 0; i < steps; i++) {
        double v1 = from - i / 3.6;
        double v2 = fmax(from - (i + 1) / 3.6, to);
        now.speed = 0.5 * (v1 + v2);
        double a = deceleration_at(car, &now, p);
        stop.time += (v1 - v2) / a;
        stop.distance += now.speed * (v1 - v2) / a;
    }
    stop.brake_energy = braking_force(car, at, p) * stop.distance;
    return stop;
}
