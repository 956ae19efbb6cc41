/* SPDX-License-Identifier: MIT */
/*
 * What braking uses up: friction material, iron, and the skin of a rotor. Pure laws.
 */
#ifndef MBL_BRAKE_WEAR_H
#define MBL_BRAKE_WEAR_H

#include "parts/parts.h"

/*
 * Friction material worn off per friction energy at face temperature T (K), m3/J:
 *
 *   wear                                               below the onset
 *   wear exp((E / R) (1 / T_onset - 1 / T))            above: Arrhenius (Liu and Rhee, in the form
 *                                                      Day gives; the onset moves with the window)
 *
 * or wear x wear_effect(T) where that is given. By energy is Rhee's power law dW = K P^a v^b t^c
 * with a = b = c = 1. Continuous, never falls with T (unless wear_effect does).
 */
double mbl_pad_wear(const mbl_pad *pad, double T);

/* Thickness (m) that `energy` (J, of one wheel) takes off each of its two pads at face T (K). */
double mbl_pad_wear_depth(const mbl_pad *pad, double energy, double T);

/* Thickness (m, both faces together) that `energy` (J, of one wheel) takes off a rotor, from the
 * band at its rim that the pads sweep. */
double mbl_rotor_wear_depth(const mbl_rotor *rotor, const mbl_pad *pad, double energy);

/*
 * Stress of a skin that is held from growing both ways, Pa, at `rise` K above the bulk:
 *
 *   sigma = E alpha rise / (1 - nu),   E = 110 GPa, alpha = 11e-6 1/K, nu = 0.26 (from memory)
 */
double mbl_skin_stress(double rise);

/* Rise at which a skin of grey iron begins to flow: stress of 250 MPa, 152.9 K. */
#define MBL_SKIN_FLOWS 152.9

/*
 * Weight of one application with a skin `rise` K above the bulk in the crack indicator: 0 up to
 * MBL_SKIN_FLOWS, then ((rise - flows) / flows)^2: plastic strain goes with what is above the
 * flow point, and life with its square (Coffin and Manson, exponent from memory). A ranking of
 * rotors and duties, never a life.
 */
double mbl_crack_weight(double rise);

#endif
