/* SPDX-License-Identifier: MIT */
/*
 * From braking force to line pressure and heat, and how heat divides between rotor and pad.
 * Pure laws: numbers in, numbers out. The stepping kernel evaluates the same formulas in lanes.
 */
#ifndef MBL_BRAKE_FRICTION_H
#define MBL_BRAKE_FRICTION_H

#include "parts/parts.h"

/*
 * Coefficient of friction at face temperature T (K), speed of the car v (m/s) and line pressure p
 * (Pa): the pad's curve, times its factors over speed and pressure, times that of its condition.
 */
double mbl_friction_at(const mbl_pad *pad, double T, double v, double p);

/* A factor over one variable; 1 when the curve is empty. */
double mbl_effect_at(const mbl_curve *effect, double x);

/* Piston area of one side of one caliper, m2: what presses one pad. */
double mbl_caliper_area(const mbl_caliper *caliper);

/* Radius the friction force acts at, m: as given, or rotor radius less half the pad height. */
double mbl_effective_radius(const mbl_brake *brake);

/*
 * Braking force at the tyres of one axle per line pressure and friction, N/Pa: two wheels, two
 * faces each, force = pressure x piston area x friction at the effective radius:
 *
 *   F = 2 wheels x 2 faces x mu p A r_e / r_tyre
 */
double mbl_axle_gain(const mbl_brake *brake, double tyre_radius);

/*
 * The two sides of the interface between a rotor's faces and its pads, W/K.
 *
 * Heat Q appears at the interface and leaves by the conductance to each side: to the rotor
 * Q to_rotor / (to_rotor + to_pad). Each side is its share of the contact layer in series with
 * half of the first layer. The contact layer, of total conductance h A, divides as the
 * conductivities of the materials, since constriction resistance goes with 1/k on each side.
 */
typedef struct mbl_interface {
    double area;       /* m2, all pads of the wheel */
    double k_rotor;    /* W/mK */
    double k_pad;      /* W/mK */
    double rotor_half; /* K/W, half of the rotor's skin */
    double pad_half;   /* K/W, half of the pad's face layer */
} mbl_interface;

/* Conductances at contact layer h (W/m2K). Both positive. */
void mbl_interface_sides(const mbl_interface *face, double h, double *to_rotor, double *to_pad);

/* Conductance of the air gap between released pad and rotor, W/m2K: air at about 300 C over
 * 0.3 mm (common practice, no source). */
#define MBL_PAD_GAP_FILM 150.0

#endif
