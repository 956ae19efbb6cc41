/* SPDX-License-Identifier: MIT */
/* Which link of a model is what to the strides. Private to `heat`. */
#ifndef MBL_HEAT_STRIDE_MAP_H
#define MBL_HEAT_STRIDE_MAP_H

#include "heat/network.h"

/* Places in the chain of a corner, from the inside of the rotor to the plate behind the pad. */
typedef enum mbl_place {
    MBL_PLACE_CORE,
    MBL_PLACE_LAYER3,
    MBL_PLACE_LAYER2,
    MBL_PLACE_LAYER1,
    MBL_PLACE_FACE,
    MBL_PLACE_PAD_FACE,
    MBL_PLACE_BODY1,
    MBL_PLACE_BODY2,
    MBL_PLACE_PLATE,
    MBL_PLACES
} mbl_place;

enum { MBL_STRIDE_LINKS = 96, MBL_STRIDE_NODES = 44, MBL_STRIDE_CORNERS = 2 };

/*
 * The places that links may lead out of a chain from: the rotor's face, which is quick, and calm
 * ones, whose temperature goes nearly straight over a macro step.
 */
static inline bool mbl_stride_calm(int place)
{
    return place == MBL_PLACE_CORE || place == MBL_PLACE_LAYER3 || place == MBL_PLACE_BODY2 ||
           place == MBL_PLACE_PLATE;
}

static inline bool mbl_stride_open(int place)
{
    return place == MBL_PLACE_FACE || mbl_stride_calm(place);
}

/* A link to or from a node of a chain. */
typedef struct mbl_chain_link {
    int link, corner, place;
    int other; /* node at its other end, or MBL_AMBIENT */
    bool radiates;
} mbl_chain_link;

typedef struct mbl_stride_map {
    double macro;                                  /* see mbl_model_macro */
    int along[MBL_STRIDE_CORNERS][MBL_PLACES - 1]; /* links of the chain; -1 at the contact */
    int faces[MBL_STRIDE_CORNERS];                 /* radiation between face and pad */
    /* of chain nodes to the air; those of faces first, which there are `face_...` of */
    int nfilms, face_films, nradiations, face_radiations;
    mbl_chain_link film[MBL_STRIDE_LINKS], radiation[MBL_STRIDE_LINKS];
    int nsides, face_sides; /* of chain nodes to slow ones, or fixed to the air; ordered alike */
    mbl_chain_link side[MBL_STRIDE_LINKS];
    int nslow, slow[MBL_STRIDE_NODES];          /* nodes of no chain */
    int ninner, inner[MBL_STRIDE_LINKS];        /* links among slow nodes */
    int nouter, outer[MBL_STRIDE_LINKS];        /* links of slow nodes to the air */
    int nslowfilms, slowfilm[MBL_STRIDE_LINKS]; /* of these, films */
} mbl_stride_map;

/* Reads the map off the nodes and links of a model. */
struct mbl_model;
void mbl_stride_map_make(const struct mbl_model *model, mbl_stride_map *map);

#endif
