/* SPDX-License-Identifier: MIT */
/* A rotor's ring and hat as the network sees them: layers, surfaces, and how well they cool. */
#ifndef MBL_HEAT_RING_H
#define MBL_HEAT_RING_H

#include "heat/surface.h"

/* Shape of a ring as the network sees it. SI. */
typedef struct mbl_ring {
    double area;        /* m2, one face of the ring */
    double cheek;       /* m, one cheek; half of a solid ring */
    double gap;         /* m between the cheeks; 0 for a solid ring */
    int vanes;          /* 0 for a solid ring */
    mbl_vanes channels; /* only with vanes */
} mbl_ring;

/* Cheek and gap that give the ring its mass, a quarter of the channel layer being vanes. */
mbl_ring mbl_ring_of(const mbl_rotor *rotor);

/* Depth of each rotor layer (FACE .. CORE of a solid ring, FACE .. LAYER3 with vanes), m. */
void mbl_ring_layers(const mbl_ring *ring, double depth[5]);

/* Surfaces of a rotor, m2, pads not counted. */
typedef struct mbl_rotor_areas {
    double faces; /* both */
    double rim;   /* of the cheeks */
    double hat;
    double walls;    /* of the channels, on the cheeks */
    double sides;    /* of the channels, on the vanes */
    double openings; /* of the channels, inside and outside: what radiates from within */
} mbl_rotor_areas;

mbl_rotor_areas mbl_rotor_areas_of(const mbl_rotor *rotor, const mbl_ring *ring);

/* Radius of the hat, m. */
double mbl_hat_radius(const mbl_rotor *rotor);

/* How a rotor that is at one temperature throughout cools. */
typedef struct mbl_rotor_cooling {
    double convection; /* W/m2K, mean over the rotor's surface, channels included */
    double radiation;  /* W/m2K, the same, as if it were a film */
    double faces;      /* W/m2K */
    double vanes;      /* W/m2K; 0 for a solid ring */
    double watts;      /* W, all of it */
} mbl_rotor_cooling;

/* At car speed (m/s) and rotor temperature T (K); the pads are left out. */
mbl_rotor_cooling mbl_rotor_cools(const mbl_surroundings *at, double speed, double T);

#endif
