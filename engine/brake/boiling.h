/* SPDX-License-Identifier: MIT */
/* When brake fluid boils: water dissolved in it, and the pressure on it. */
#ifndef MBL_BRAKE_BOILING_H
#define MBL_BRAKE_BOILING_H

#include "parts/parts.h"

/* Water (share by mass) at which the wet test of FMVSS 116 S6.2 judges a fluid. */
#define MBL_WET_WATER 0.037

/*
 * Boiling point at one atmosphere of fluid with `water` (share by mass) dissolved in it, K.
 *
 *   T_b(w) = T_inf + (T_dry - T_inf) exp(-w / w0)
 *
 * through the dry point at w = 0 and the wet point at MBL_WET_WATER. w0 = 0.995 % is the exact
 * fit through the three vapour-lock points of TRRL report LR903 (250 C dry, 180 C at 1 %, 145 C
 * at 3 %); that it is the same for every fluid is an assumption. Falls with water, never below
 * the floor T_inf. dry and wet in K, wet below dry.
 */
double mbl_boiling_with_water(double dry, double wet, double water);

/*
 * A boiling point known at one atmosphere, at absolute pressure p (Pa):
 *
 *   1/T2 = 1/T1 - R ln(p / 101325) / dHv,   dHv = 88 T1 J/mol (Trouton's rule, from memory)
 *
 * Glycols are mixtures and bond by hydrogen: trust the sign and the shift near one atmosphere,
 * not the figure at high pressure. Rises with pressure; p below 1000 Pa counts as 1000.
 */
double mbl_boiling_at_pressure(double boiling, double p);

/*
 * Where a fluid with `water` in it begins to boil at absolute pressure p (Pa), K. Dissolved water
 * lowers the point of the mixture, never below that of water itself at p. A fluid that keeps
 * water apart (silicone) boils as if it were dry, but the water lies in the calipers and boils by
 * itself (IAPWS-IF97).
 */
double mbl_boiling_point(const mbl_fluid *fluid, double water, double p);

/*
 * Vapour that `mass` kg of fluid at T (K) makes when it boils at `boiling` (K) under pressure p:
 * the heat above the boiling point evaporates fluid, as an ideal gas, m3. 0 below the point.
 *
 *   V = (mass c (T - T_b) / L) R T_b / (M p),   L = 88 T_b / M (Trouton's rule, from memory)
 *
 * M cancels: the volume does not depend on what the fluid is made of. Rises with T.
 */
double mbl_vapour_volume(double mass, double T, double boiling, double p);

#endif
