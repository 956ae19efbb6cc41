/* SPDX-License-Identifier: MIT */
#include "heat/ring.h"

#include <math.h>

/* Common practice, no source. */
static const double vane_share = 0.25;  /* of the channel layer that is iron */
static const double hat_height = 0.045; /* m */
static const double hat_inset = 0.005;  /* m from the ring's inner radius */

mbl_ring mbl_ring_of(const mbl_rotor *r)
{
    double inner = r->diameter - 2 * mbl_rotor_ring_height(r);
    mbl_ring ring = {.area = M_PI / 4 * (r->diameter * r->diameter - inner * inner)};
    double iron =
        mbl_rotor_ring_mass(r) / (MBL_IRON_DENSITY * ring.area); /* m, both cheeks and vanes */
    int vanes = mbl_rotor_vanes(r);
    if (vanes == 0) {
        ring.cheek = 0.5 * iron;
        return ring;
    }
    double t = r->thickness;
    double cheek = 0.5 * (iron - vane_share * t) / (1.0 - vane_share);
    /* a mass at the edge of what the size allows still leaves a channel and a cheek */
    ring.cheek = fmin(fmax(cheek, 0.12 * t), 0.47 * t);
    ring.gap = t - 2 * ring.cheek;
    ring.vanes = vanes;
    ring.channels = (mbl_vanes){r->diameter, inner, vanes, ring.gap, vane_share};
    return ring;
}

void mbl_ring_layers(const mbl_ring *ring, double depth[5])
{
    /* thin where the heat comes in; the error of these shares against exact slabs is in
     * docs/model.md, section 4 */
    static const double vented[5] = {0.06, 0.14, 0.28, 0.52, 0.0};
    static const double solid[5] = {0.06, 0.12, 0.20, 0.28, 0.34};
    const double *share = ring->vanes > 0 ? vented : solid;
    for (int i = 0; i < 5; i++)
        depth[i] = share[i] * ring->cheek;
}

double mbl_hat_radius(const mbl_rotor *r)
{
    return 0.5 * r->diameter - mbl_rotor_ring_height(r) - hat_inset;
}

mbl_rotor_areas mbl_rotor_areas_of(const mbl_rotor *r, const mbl_ring *ring)
{
    double radius = mbl_hat_radius(r);
    mbl_rotor_areas a = {.faces = 2 * ring->area,
                         .rim = M_PI * r->diameter * (r->thickness - ring->gap),
                         .hat = M_PI * radius * radius + 2 * M_PI * radius * hat_height};
    if (ring->vanes > 0) {
        mbl_vanes_area(&ring->channels, &a.walls, &a.sides);
        a.openings = M_PI * (r->diameter + ring->channels.inner) * ring->gap * (1 - vane_share);
    }
    return a;
}

mbl_rotor_cooling mbl_rotor_cools(const mbl_surroundings *at, double speed, double T)
{
    const mbl_rotor *r = &at->brake->rotor;
    mbl_ring ring = mbl_ring_of(r);
    mbl_rotor_areas a = mbl_rotor_areas_of(r, &ring);
    mbl_rotor_cooling c = {.faces = mbl_surface_film(at, MBL_SURFACE_FACE, speed, T)};
    if (ring.vanes > 0)
        c.vanes = mbl_surface_film(at, MBL_SURFACE_VANES, speed, T);
    double rim = mbl_surface_film(at, MBL_SURFACE_RIM, speed, T);
    double channels = a.walls + a.sides;
    double surface = a.faces + a.rim + a.hat + channels;
    double air = at->ambient;
    double black = MBL_STEFAN_BOLTZMANN * (T * T + air * air) * (T + air);
    double shines = r->face_emissivity * a.faces + r->emissivity * (a.rim + a.hat + a.openings);
    c.convection = (c.faces * a.faces + c.vanes * channels + rim * (a.rim + a.hat)) / surface;
    c.radiation = black * shines / surface;
    c.watts = (c.convection + c.radiation) * surface * (T - air);
    return c;
}
