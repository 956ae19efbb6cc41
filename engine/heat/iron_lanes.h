/* SPDX-License-Identifier: MIT */
/* Grey iron's law for all lanes: mbl_iron_temperature and what follows from it. Private to `heat`.
 */
#ifndef MBL_HEAT_IRON_LANES_H
#define MBL_HEAT_IRON_LANES_H

#include "heat/lanes.h"
#include "matter/solid.h"

/* Temperature (K), specific heat (J/kgK) and its slope (J/kgK2) at specific enthalpy h (J/kg). */
static inline void iron_at(vec h, vec *T, vec *c, vec *slope)
{
    vec base = splat((real)mbl_iron_above[0]);
    vec low = splat((real)mbl_iron_break[0]);
    vec heat = splat((real)mbl_iron_heat[0]);
    vec bend = SELECT(h > (real)mbl_iron_above[0], splat((real)mbl_iron_slope[0]), splat(0));
    for (int i = 1; i < MBL_IRON_BREAKS; i++) {
        mask past = h > (real)mbl_iron_above[i];
        base = SELECT(past, splat((real)mbl_iron_above[i]), base);
        low = SELECT(past, splat((real)mbl_iron_break[i]), low);
        heat = SELECT(past, splat((real)mbl_iron_heat[i]), heat);
        bend = SELECT(past, splat((real)mbl_iron_slope[i]), bend);
    }
    vec above = h - base;
    *c = root(heat * heat + 2 * bend * above);
    *T = low + 2 * above / (heat + *c);
    *slope = bend;
}

/*
 * The same where T is known to within a little: one step of Newton's from there, which leaves its
 * square. Spares a root and a division.
 */
static inline void iron_near(vec h, vec *T, vec *c, vec *slope)
{
    vec base = splat((real)mbl_iron_above[0]);
    vec low = splat((real)mbl_iron_break[0]);
    vec heat = splat((real)mbl_iron_heat[0]);
    vec bend = SELECT(*T > (real)mbl_iron_break[0], splat((real)mbl_iron_slope[0]), splat(0));
    for (int i = 1; i < MBL_IRON_BREAKS; i++) {
        mask past = *T > (real)mbl_iron_break[i];
        base = SELECT(past, splat((real)mbl_iron_above[i]), base);
        low = SELECT(past, splat((real)mbl_iron_break[i]), low);
        heat = SELECT(past, splat((real)mbl_iron_heat[i]), heat);
        bend = SELECT(past, splat((real)mbl_iron_slope[i]), bend);
    }
    vec above = *T - low;
    vec there = heat + bend * above;
    vec more = (h - base - above * (heat + HALF * bend * above)) / there;
    *T += more;
    *c = there + bend * more;
    *slope = bend;
}

#endif
