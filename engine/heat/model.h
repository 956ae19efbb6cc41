/* SPDX-License-Identifier: MIT */
/*
 * A network compiled: constant, in one allocation, shared by every stint that runs on it.
 *
 * Links are sorted so that the kernel walks plain ranges: links between nodes first (fixed,
 * radiation, contact), then links to the air (fixed, film, radiation).
 */
#ifndef MBL_HEAT_MODEL_H
#define MBL_HEAT_MODEL_H

#include "heat/stride_map.h"

/* Half-open range of link numbers. */
typedef struct mbl_range {
    int first, end;
} mbl_range;

/* Grids that friction and wear are sampled on: 250 to 1450 K by 5 K, 0 to 120 m/s by 1, 0 to 20 MPa
 * by 0.1.
 */
enum {
    MBL_FRICTION_KNOTS = 241,
    MBL_FRICTION_SPEEDS = 121,
    MBL_FRICTION_PRESSURES = 201,
    MBL_FRICTION_SAMPLES = 2 * MBL_FRICTION_KNOTS + MBL_FRICTION_SPEEDS + MBL_FRICTION_PRESSURES
};

typedef struct mbl_contact {
    int rotor, pad, core;
    int link;               /* number of its link */
    double share, slope;    /* of the pressure: see mbl_contact_spec */
    double gain;            /* N/Pa */
    double film_per_pascal; /* W/m2K per Pa */
    double gap_film;        /* W/m2K */
    mbl_interface face;
    mbl_table1 friction;        /* over temperature, condition included */
    mbl_table1 speed_effect;    /* factor over speed */
    mbl_table1 pressure_effect; /* factor over line pressure of its axle */
    mbl_table1 wear;            /* m3/J over temperature */
} mbl_contact;

typedef struct mbl_model {
    const mbl_alloc *alloc;
    size_t bytes;
    unsigned refs;

    double ambient; /* K */
    double knee;    /* Pa */

    int nnodes;
    const mbl_node_spec *node; /* (nnodes) */

    int nlinks;
    mbl_range inner_fixed, inner_radiation, inner_contact;
    mbl_range outer_fixed, outer_film, outer_radiation;
    mbl_range inner, outer;    /* all of each */
    const mbl_link_spec *link; /* (nlinks) sorted as above */
    const int *slot;           /* (inner links) slot of its coupling in the matrix */

    int ncontacts;
    const mbl_contact *contact; /* (ncontacts) */

    int nsources;
    const int *source; /* (nsources) nodes */

    int nlaws;
    const mbl_table2 *law; /* (nlaws) h over speed and temperature */

    int npaths;
    const char (*path)[MBL_NAME_MAX]; /* (npaths) names of the ways heat is lost */

    mbl_stride_map stride;
    mbl_elim *elim;
} mbl_model;

/*
 * Compiles a network in air at `ambient` (K). The network can be freed afterwards. Fails on an
 * empty network, a capacity or conductance that is not positive and finite, and out of memory.
 */
MBL_NODISCARD mbl_status mbl_model_make(const mbl_network *net, double ambient, mbl_model **out,
                                        mbl_error *err);
mbl_model *mbl_model_keep(mbl_model *model);
void mbl_model_drop(mbl_model *model);

/* Node by name, or -1. */
int mbl_model_node(const mbl_model *model, const char *name);

/* Do two models have the same nodes, links and elimination, so that lanes can share a block? */
bool mbl_model_same_shape(const mbl_model *a, const mbl_model *b);

#endif
