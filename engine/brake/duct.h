/* SPDX-License-Identifier: MIT */
/* What a brake duct delivers: air taken in, lost along the hose, and what is left at its end. */
#ifndef MBL_BRAKE_DUCT_H
#define MBL_BRAKE_DUCT_H

#include "matter/matter.h"
#include "parts/parts.h"

/*
 * Friction factor of a hose at Reynolds number Re with relative roughness e/D: 64/Re when
 * laminar, Haaland 1983 when turbulent, blended from Re 2000 to 4000 so that it is continuous.
 */
double mbl_hose_friction(double Re, double roughness);

/* Share of the free stream's dynamic pressure that an inlet recovers (from memory: flush 0.3 to
 * 0.6, submerged 0.7 to 0.9; a nose inlet at the stagnation point nearly all). */
double mbl_inlet_recovery(int inlet);

/*
 * Mean air speed in the hose, m/s, at car speed V (m/s, not negative): the balance
 *
 *   (Cp_in - Cp_back) 1/2 rho V^2 = 1/2 rho v^2 (K_in + K_tape + f L/D + n K_bend + K_exit)
 *
 * with f from mbl_hose_friction at v. One inlet that feeds `split` hoses shares its air: each
 * hose then sees the inlet's losses for the flow of all. Zero when the inlet is shut. Continuous,
 * and rises with V.
 */
double mbl_duct_speed(const mbl_duct *duct, double V, const mbl_air *air);

/* Air speed that the inlet's whole head would give, V sqrt(Cp_in - Cp_back), m/s: no passage that
 * the duct feeds has more. */
double mbl_duct_head(const mbl_duct *duct, double V);

/* Mass flow to one wheel, all its hoses together, with air at v m/s in them, kg/s. */
double mbl_duct_carries(const mbl_duct *duct, double v, const mbl_air *air);

/* The same at car speed V. */
double mbl_duct_flow(const mbl_duct *duct, double V, const mbl_air *air);

/* Highest temperature the hose bears, K: as given, or by its material. */
double mbl_duct_bears(const mbl_duct *duct);

#endif
