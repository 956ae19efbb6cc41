/* SPDX-License-Identifier: MIT */
/*
 * Who brakes how much, and who locks first: load transfer, tyre, ideal and actual distribution.
 * Statics of a car on level ground (UN R13-H annex 5 and textbooks use the same):
 *
 *   N_front = m (g front_weight + a h / L) + share of downforce
 *   N_rear  = m (g (1 - front_weight) - a h / L) + the rest of the downforce
 *
 * with deceleration a. Pure laws. What the brakes have to give is
 *
 *   F = m (1 + r) a - 1/2 rho CdA v^2 - c_r m g - m a_engine
 *
 * as in docs/model.md, section 2. Rolling resistance and engine are taken to act without loading
 * an axle's tyres, so they are in no share and use up no grip.
 */
#ifndef MBL_BRAKE_BALANCE_H
#define MBL_BRAKE_BALANCE_H

#include "brake/pedal.h"

/* The instant at which a car is looked at. */
typedef struct mbl_instant {
    double mass;    /* kg, as it rolls */
    double speed;   /* m/s */
    double density; /* kg/m3 of the air */
    double mu[2];   /* friction of front and rear pads, above 0, without the factor over pressure */
} mbl_instant;

/* Loads of the axles, N, at deceleration a (m/s2); never below 0: when one axle leaves the ground
 * the other carries all. */
void mbl_axle_loads(const mbl_car *car, const mbl_instant *at, double a, double load[2]);

/*
 * Friction of the tyres of an axle under `load` (N):
 *
 *   mu_t = grip (load / load at rest)^-s,   s = log2(1 / (1 - load_sensitivity))
 *
 * so that doubling the load costs the share `load_sensitivity`. The force mu_t x load rises with
 * the load throughout, as load_sensitivity is below 0.5. `grip` is that of the car (not NAN), and
 * the load at rest that of car.mass: what else is put in the car costs grip. Below MBL_LOAD_FLOOR
 * of that load mu_t rises no more.
 */
#define MBL_LOAD_FLOOR 1e-3 /* keeps mu_t finite on an axle off the ground */
double mbl_tyre_grip(const mbl_car *car, int axle, double load);

/* Ideal front share of the braking force at deceleration a: both axles use the same of their
 * grip. Does not need tyre.grip. */
double mbl_ideal_front(const mbl_car *car, const mbl_instant *at, double a);

/* Braking force of an axle (N at the tyres) at front pressure p: gain x mu x pressure_effect x its
 * pressure. */
double mbl_axle_force(const mbl_car *car, int axle, const mbl_instant *at, double p);

/* Front share of the braking force at front pressure p; at 0 that of the first touch. */
double mbl_actual_front(const mbl_car *car, const mbl_instant *at, double p);

/*
 * What a deceleration asks of the brakes: front pressure (Pa) at which brakes, drag, rolling
 * resistance and engine together slow the car by a; 0 where they do it without brakes. Found to
 * rounding (bisection, monotone).
 */
double mbl_pressure_for(const mbl_car *car, const mbl_instant *at, double a);

/* The axle that locks first as the pressure rises, and when. Needs tyre.grip. */
typedef struct mbl_lock {
    int axle;            /* 0 front, 1 rear */
    double pressure;     /* Pa, front */
    double deceleration; /* m/s2, brakes, drag, rolling and engine together */
    double front, ideal; /* shares of the braking force there */
} mbl_lock;

mbl_lock mbl_first_lock(const mbl_car *car, const mbl_instant *at);

/*
 * Highest deceleration the car can be driven to, m/s2: without ABS that of the first lock; with
 * ABS (taken as a cap on each axle) both axles at their grip.
 */
double mbl_grip_limit(const mbl_car *car, const mbl_instant *at);

/*
 * Bite: the share of the deceleration of the first lock that a stab of the pedal (pedal.stab, N/s)
 * reaches before a wheel locks. Load follows a deceleration with a lag of MBL_LOAD_LAG; a front
 * axle that is pressed before its load has come locks early. 1 for a stab slow enough; falls with
 * the rate of the stab, with the pads' friction and with the gain. Integrated with a fixed step
 * of 1 ms. 1 without pedal or grip.
 */
#define MBL_LOAD_LAG 0.15 /* s, a car's pitch (common practice, no source) */
double mbl_bite(const mbl_car *car, const mbl_instant *at, double air);

/* Turns of the bar's adjuster (towards the front positive) that make the front share ideal plus
 * `ahead` at deceleration a; NAN without a bar. */
double mbl_turns_to(const mbl_car *car, const mbl_instant *at, double a, double ahead);

/*
 * A stop on level ground at constant deceleration a (m/s2), or at constant pressure.
 * Kinetic energy includes the rotating share. Drag is integrated in closed form; where it would
 * slow the car by more than a, the brakes take nothing. `from` is not below `to`, both m/s;
 * at.speed is not used. Whether wheels would lock is not looked at. A car that does not slow
 * (a not above 0; no pressure and no resistance) never arrives: distance and time are INFINITY
 * and the brakes take nothing.
 */
typedef struct mbl_stop {
    double kinetic_energy; /* J lost, rotating parts included */
    double brake_energy;   /* J of it in the brakes */
    double distance;       /* m */
    double time;           /* s */
    double pressure[2];    /* Pa, highest of front and rear circuits during the stop */
} mbl_stop;

mbl_stop mbl_stop_of(const mbl_car *car, const mbl_instant *at, double from, double to, double a);

/* The same at constant front pressure p, in steps of 1 km/h: the deceleration follows. mu of `at`
 * is kept. The brakes' energy is that of the way at their force. */
mbl_stop mbl_stop_at_pressure(const mbl_car *car, const mbl_instant *at, double from, double to,
                              double p);

#endif
