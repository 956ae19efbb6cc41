/* SPDX-License-Identifier: MIT */
#include "heat/stride_map.h"

#include "heat/corner.h"
#include "heat/stride.h"

#include <string.h>

/* Corner and place of a node; false for a slow one. */
static bool place_of(int node, int *corner, int *place)
{
    for (*corner = 0; *corner < MBL_STRIDE_CORNERS; (*corner)++) {
        for (*place = 0; *place < MBL_PLACES; (*place)++) {
            if (mbl_stride_node(*corner, *place) == node)
                return true;
        }
    }
    return false;
}

/* W/K that a link can come to, for the guard: films of 300 W/m2K, radiation at 900 K. */
static double strength(const mbl_link_spec *l)
{
    switch (l->kind) {
    case MBL_LINK_FILM:
        return 300.0 * l->value;
    case MBL_LINK_RADIATION:
        return 4 * 900.0 * 900.0 * 900.0 * l->value;
    case MBL_LINK_FIXED:
    case MBL_LINK_CONTACT:
        break;
    }
    return l->value;
}

/* Rate at which a node of this capacity follows what it is linked to, 1/s. */
static double quickness(const mbl_model *m, int node)
{
    double g = 0;
    for (int k = 0; k < m->nlinks; k++) {
        if (m->link[k].from == node || m->link[k].to == node)
            g += strength(&m->link[k]);
    }
    double C = m->node[node].scale * (m->node[node].iron ? 460.0 : 1.0);
    return g / C;
}

/* A link that touches a chain. False when it cannot be. */
static bool chain_link(mbl_stride_map *map, const mbl_model *m, int k)
{
    const mbl_link_spec *l = &m->link[k];
    mbl_chain_link x = {.link = k, .other = l->to, .radiates = l->kind == MBL_LINK_RADIATION};
    int corner = 0;
    int place = 0;
    bool from = place_of(l->from, &x.corner, &x.place);
    bool to = l->to != MBL_AMBIENT && place_of(l->to, &corner, &place);
    if (from && to) {
        int low = place < x.place ? place : x.place;
        bool next = corner == x.corner && place + x.place == 2 * low + 1;
        if (!next)
            return false;
        if (l->kind == MBL_LINK_CONTACT)
            return true;
        if (l->kind == MBL_LINK_FIXED && low == MBL_PLACE_FACE)
            return false; /* the user's own, past the contact */
        int *slot = l->kind == MBL_LINK_RADIATION ? &map->faces[corner] : &map->along[corner][low];
        bool first = *slot < 0;
        *slot = first ? k : *slot;
        return first; /* a second one is the user's own */
    }
    if (!from) {
        x.corner = corner;
        x.place = place;
        x.other = l->from;
    }
    if (!mbl_stride_open(x.place))
        return false; /* the user's own */
    if (x.other != MBL_AMBIENT && x.radiates && x.place != MBL_PLACE_FACE)
        return false; /* calm places are conducted from */
    if (x.other == MBL_AMBIENT && l->kind == MBL_LINK_FILM)
        map->film[map->nfilms++] = x;
    else if (x.other == MBL_AMBIENT && l->kind == MBL_LINK_RADIATION)
        map->radiation[map->nradiations++] = x;
    else
        map->side[map->nsides++] = x;
    return true;
}

static bool add_link(mbl_stride_map *map, const mbl_model *m, int k)
{
    const mbl_link_spec *l = &m->link[k];
    int corner;
    int place;
    if (place_of(l->from, &corner, &place) ||
        (l->to != MBL_AMBIENT && place_of(l->to, &corner, &place)))
        return chain_link(map, m, k);
    if (l->kind == MBL_LINK_FILM)
        map->slowfilm[map->nslowfilms++] = k;
    if (l->to == MBL_AMBIENT)
        map->outer[map->nouter++] = k;
    else
        map->inner[map->ninner++] = k;
    return true;
}

/* Puts the links of faces first, in the order they have; returns how many there are. */
static int faces_first(mbl_chain_link *link, int n)
{
    int faces = 0;
    for (int i = 0; i < n; i++) {
        mbl_chain_link x = link[i];
        if (x.place != MBL_PLACE_FACE)
            continue;
        for (int k = i; k > faces; k--)
            link[k] = link[k - 1];
        link[faces++] = x;
    }
    return faces;
}

static bool whole(const mbl_stride_map *map)
{
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        for (int p = 0; p < MBL_PLACES - 1; p++) {
            if (p != MBL_PLACE_FACE && map->along[c][p] < 0)
                return false;
        }
        if (map->faces[c] < 0)
            return false;
    }
    return true;
}

void mbl_stride_map_make(const mbl_model *m, mbl_stride_map *map)
{
    memset(map, 0, sizeof *map);
    bool corners = m->ncontacts == MBL_STRIDE_CORNERS && m->nsources == 0 &&
                   m->nnodes <= MBL_STRIDE_NODES && m->nlinks <= MBL_STRIDE_LINKS;
    if (!corners)
        return;
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        map->faces[c] = -1;
        for (int p = 0; p < MBL_PLACES - 1; p++)
            map->along[c][p] = -1;
        if (m->contact[c].rotor != mbl_stride_node(c, MBL_PLACE_FACE) ||
            m->contact[c].pad != mbl_stride_node(c, MBL_PLACE_PAD_FACE))
            return;
    }
    for (int k = 0; k < m->nlinks; k++) {
        if (!add_link(map, m, k))
            return;
    }
    map->face_films = faces_first(map->film, map->nfilms);
    map->face_radiations = faces_first(map->radiation, map->nradiations);
    map->face_sides = faces_first(map->side, map->nsides);
    double quickest = MBL_STRIDE_SHARE / MBL_STRIDE_MACRO;
    for (int i = 0; i < m->nnodes; i++) {
        int corner;
        int place;
        if (place_of(i, &corner, &place))
            continue;
        map->slow[map->nslow++] = i;
        double rate = quickness(m, i);
        quickest = rate > quickest ? rate : quickest;
    }
    double macro = MBL_STRIDE_SHARE / quickest;
    if (whole(map) && macro >= MBL_STRIDE_LEAST)
        map->macro = macro;
}

double mbl_model_macro(const mbl_model *model)
{
    return model->stride.macro;
}
