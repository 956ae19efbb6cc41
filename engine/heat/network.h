/* SPDX-License-Identifier: MIT */
/*
 * A thermal network while it is being put together: heat capacities, links between them and to
 * the air, rubbing contacts, and sources. Names are kept for people. Compiling it gives a model.
 *
 * Adding never fails on the spot: a full memory is remembered and reported by mbl_model_make.
 */
#ifndef MBL_HEAT_NETWORK_H
#define MBL_HEAT_NETWORK_H

#include "base/base.h"
#include "brake/brake.h"
#include "matter/matter.h"
#include "num/num.h"

/* The end of a link that is the air around. */
enum { MBL_AMBIENT = -1, MBL_NAME_MAX = 32 };

typedef struct mbl_node_spec {
    char name[MBL_NAME_MAX];
    double scale; /* kg of grey iron, or J/K */
    bool iron;    /* heat capacity of grey iron over temperature, else constant */
} mbl_node_spec;

typedef enum mbl_link_kind {
    MBL_LINK_FIXED,     /* value W/K */
    MBL_LINK_FILM,      /* value m2, film coefficient from a law of speed and temperature */
    MBL_LINK_RADIATION, /* value W/K4: emissivity x view x area x Stefan-Boltzmann */
    MBL_LINK_CONTACT    /* set by a contact */
} mbl_link_kind;

/* Heat flows from -> to when `from` is hotter. `to` may be MBL_AMBIENT. */
typedef struct mbl_link_spec {
    mbl_link_kind kind;
    int from, to;
    double value;
    int law;  /* FILM: which law */
    int path; /* to MBL_AMBIENT: under which name the ledger counts it */
} mbl_link_spec;

/*
 * A rotor rubbed by pads. All contacts of a model share the braking power of the car, each by
 * gain x friction; the power is that of two wheels, one of which is modelled.
 */
typedef struct mbl_contact_spec {
    int rotor, pad; /* nodes of the two faces */
    int core;       /* node of the rotor's inside: the skin strains against it */
    mbl_interface face;
    double gain;            /* N/Pa at friction 1: mbl_axle_gain */
    double film_per_pascal; /* W/m2K of contact layer per Pa of line pressure */
    double gap_film;        /* W/m2K when released */
    double share;           /* line pressure of its own over that of the system, below the knee */
    double slope;           /* the same above the knee, over `share` */
    double condition;       /* factor on friction */
    const mbl_pad *wears;   /* borrowed: whose wear law counts */
    mbl_curve friction;     /* over the pad face's temperature, K */
    mbl_curve speed_effect; /* factor over speed, m/s; n = 0 for none */
    mbl_curve pressure_effect; /* factor over line pressure, Pa; n = 0 for none */
} mbl_contact_spec;

/* h = law(ctx, speed m/s, surface temperature K), W/m2K, not negative */
typedef double (*mbl_film_law)(const void *ctx, double speed, double T);

typedef struct mbl_network {
    const mbl_alloc *alloc;
    bool failed;
    int nnodes, node_room;
    mbl_node_spec *node;
    int nlinks, link_room;
    mbl_link_spec *link;
    int ncontacts, contact_room;
    mbl_contact_spec *contact;
    int nsources, source_room;
    int *source; /* nodes that take prescribed heat */
    int nlaws, law_room;
    double **law; /* sampled on the grid of mbl_film_grid */
    double knee;  /* Pa, from which the slopes of contacts count */
    int npaths, path_room;
    char (*path)[MBL_NAME_MAX];
} mbl_network;

void mbl_network_init(mbl_network *net, const mbl_alloc *alloc);
void mbl_network_free(mbl_network *net);

/* All return the index of what was added. */
int mbl_network_node(mbl_network *net, const char *name, double capacity);
int mbl_network_iron(mbl_network *net, const char *name, double mass);
int mbl_network_law(mbl_network *net, mbl_film_law law, const void *ctx);
int mbl_network_sampled(mbl_network *net, const double *samples); /* a law sampled before */
int mbl_network_path(mbl_network *net, const char *name);         /* found by name, or added */
int mbl_network_source(mbl_network *net, int node);

void mbl_network_link(mbl_network *net, int from, int to, double conductance);
void mbl_network_lose(mbl_network *net, int from, double conductance, int path);
void mbl_network_film(mbl_network *net, int from, double area, int law, int path);
/* emissivity_area: emissivity x view x area, m2. path only when to is MBL_AMBIENT. */
void mbl_network_radiate(mbl_network *net, int from, int to, double emissivity_area, int path);
void mbl_network_contact(mbl_network *net, const mbl_contact_spec *contact);

/* The grid film laws are sampled on. */
mbl_table2 mbl_film_grid(const double *samples); /* see parts/law.h */

#endif
