/* SPDX-License-Identifier: MIT */
/*
 * Film coefficients, W/m2K, as pure laws. Each is continuous and, at fixed temperatures, never
 * falls as the speed rises. Air properties are those at the film temperature.
 */
#ifndef MBL_HEAT_COOLING_H
#define MBL_HEAT_COOLING_H

#include "matter/matter.h"

/*
 * One face of a disc turning in still air, mean over the face. omega in rad/s, R in m.
 *
 *   laminar    Nu = 0.36 Re^0.5         (Cobb and Saunders 1956), independent of R
 *   turbulent  Nu = 0.015 Re^0.8        (the same), where the local Re passes 2.4e5
 *
 * with Re = omega R^2 / nu, Nu = h R / k; a disc with both is their area mean, so the two join.
 * Values from memory.
 */
double mbl_film_disc_free(double omega, double R, const mbl_air *air);

/*
 * Solid rotor in the flow of a moving vehicle, Limpert, Brake Design and Safety (from memory):
 *
 *   Re = V D / nu;  h = (k/D) 0.70 Re^0.55 up to Re = 2.4e5,  (k/D) 0.04 Re^0.8 above
 *
 * The branches differ by 26 % where they change over; here they blend in log Re from 2.0e5 to
 * 2.9e5, which keeps both where they were published and the law rising throughout.
 */
double mbl_film_disc_flow(double V, double D, const mbl_air *air);

/* Geometry of the channels of a vented ring. */
typedef struct mbl_vanes {
    double outer, inner; /* m, diameters of the ring */
    int count;
    double gap;   /* m, between the cheeks */
    double solid; /* share of the channel layer that is iron */
} mbl_vanes;

/* Hydraulic diameter of one channel at the mean diameter, m. */
double mbl_vanes_hydraulic(const mbl_vanes *vanes);

/* Wall area of all channels, m2: `walls` on the cheeks, `sides` on the vanes. */
void mbl_vanes_area(const mbl_vanes *vanes, double *walls, double *sides);

/*
 * Channel of length l (m) and hydraulic diameter d (m) with air at mean speed V, the handbook law
 * for ducts, Re = V d / nu, Nu = h d / k:
 *
 *   up to Re 2300   Nu = 1.86 (Re Pr d/l)^(1/3)    Sieder and Tate 1936, in Leveque's form
 *   from Re 4000    Nu = (f/8) (Re - 1000) Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3) - 1))
 *                        (1 + (d/l)^(2/3)),    f = (0.79 ln Re - 1.64)^-2 (Petukhov)
 *   between         linear in Re from Nu(2300) to Nu(4000)
 *
 * Gnielinski, VDI Heat Atlas / Int. J. Heat Mass Transfer 63 (2013), from memory; of the paper the
 * abstract was read: it draws the line from 2300 to 4000. The ends meet, and the line rises for
 * any d/l: Nu(4000) is at least 1.2 times Nu(2300).
 *
 * Not Limpert's pair for vanes (Brake Design and Safety, from memory: 1.86 (Re Pr)^(1/3)
 * (d/l)^0.33 up to Re 1e4, 0.023 (1 + (d/l)^0.67) Re^0.8 Pr^0.33 above). Vanes work at Re 5e2 (hot,
 * slow) to 1e4 (cool, fast): that pair calls all of it laminar and then doubles the film at once,
 * which no general handbook supports. A smooth straight pipe is turbulent from Re 2300 to 4000;
 * short channels with sharp edges that turn are no later (common practice, no source). What
 * Limpert's pair gives for 13.6 by 65 mm at Re 1.7e3 to 1.3e4 is met within 37 %, inside the 40 %
 * to be granted to either law in a brake (common practice, no source).
 *
 * The turbulent law's own factor for a gas at a hot wall, (T_air / T_wall)^0.45, is left out:
 * properties at the film temperature already do its work, to 11 % for walls up to 900 K.
 */
double mbl_film_channel(double V, double d, double l, const mbl_air *air);

/*
 * Mean air speed in the vanes of a rotor turning at omega, m/s: `pumping` of the ideal speed
 * omega/2 sqrt(D^2 - d^2) at the inlet (Limpert, from memory), slowed as the channel widens. Real
 * rotors pump less than the ideal: McPhee and Johnson 2008 saw recirculation on the suction side;
 * Stephens 2006 measured still less on a car.
 */
double mbl_vanes_speed(double omega, const mbl_vanes *vanes, double pumping);

/* Cross-section of all channels together at the mean diameter, m2. */
double mbl_vanes_section(const mbl_vanes *vanes);

/*
 * The vanes with air at mean speed V (m/s) through them, per m2 of channel wall. The air warms on
 * its way through, so that a starved channel cools by what its air can carry:
 * h (1 - exp(-NTU)) / NTU.
 */
double mbl_film_vanes(double V, const mbl_vanes *vanes, const mbl_air *air);

/* Body of width D across a flow: Churchill and Bernstein 1977, cylinder (from memory). */
double mbl_film_across(double V, double D, const mbl_air *air);

/*
 * Still air on an upright surface of height L at T in air at `ambient` (K) and pressure p (Pa):
 * Churchill and Chu 1975, vertical plate (from memory).
 */
double mbl_film_still(double T, double ambient, double L, double p);

/* Two mechanisms at once: (a^3 + b^3)^(1/3), the usual rule for mixed convection (textbook). */
double mbl_film_mixed(double a, double b);

#define MBL_STEFAN_BOLTZMANN 5.670374e-8 /* W/m2K4 */

#endif
