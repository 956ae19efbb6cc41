/* SPDX-License-Identifier: MIT */
#include "bench/field.h"

#include <math.h>
#include <string.h>

/* The link of a corner between two nodes, or -1. */
static int link_of(int from, int to)
{
    static const int ends[BENCH_CORNER_LINKS][2] = {
#define ENDS(name, a, b) {a, b},
        BENCH_LINKS(ENDS)
#undef ENDS
    };
    int corner = from / MBL_CORNER_NODES;
    if (from >= BENCH_OF_CORNERS || to >= BENCH_OF_CORNERS || to / MBL_CORNER_NODES != corner)
        return -1;
    for (int i = 0; i < BENCH_CORNER_LINKS; i++) {
        if (ends[i][0] == from % MBL_CORNER_NODES && ends[i][1] == to % MBL_CORNER_NODES)
            return corner * BENCH_CORNER_LINKS + i;
    }
    return -1;
}

static bool may_radiate(int node)
{
    static const int nodes[] = {MBL_FACE, MBL_LAYER3, MBL_CORE, MBL_HAT, MBL_HUB, MBL_CALIPER};
    for (size_t i = 0; i < sizeof nodes / sizeof nodes[0]; i++) {
        if (node < BENCH_OF_CORNERS && node % MBL_CORNER_NODES == nodes[i])
            return true;
    }
    return false;
}

static bool may_have_film(int node)
{
    return may_radiate(node) ||
           (node < BENCH_OF_CORNERS &&
            (node % MBL_CORNER_NODES == MBL_PAD_BODY2 || node % MBL_CORNER_NODES == MBL_PLATE));
}

static const char *put_fixed(bench_field *f, const mbl_link_spec *l, int w)
{
    int at = l->to == MBL_AMBIENT ? -1 : link_of(l->from, l->to);
    if (at >= 0 && f->g[at * f->lanes + w] == 0) {
        f->g[at * f->lanes + w] = l->value;
        return NULL;
    }
    if (f->nown == BENCH_OWN)
        return "more links of its own than there is room for";
    f->own_from[f->nown] = l->from;
    f->own_to[f->nown] = l->to;
    f->own_g[f->nown++ * f->lanes + w] = l->value;
    return NULL;
}

static const char *put_radiation(bench_field *f, const mbl_link_spec *l, int w)
{
    if (l->to == MBL_AMBIENT) {
        if (!may_radiate(l->from))
            return "a node that radiates where none should";
        f->radiation[l->from * f->lanes + w] += l->value;
        return NULL;
    }
    int corner = l->from / MBL_CORNER_NODES;
    int from = l->from % MBL_CORNER_NODES;
    int to = l->to - corner * MBL_CORNER_NODES;
    if (corner >= BENCH_CORNERS || from != MBL_FACE || (to != MBL_CALIPER && to != MBL_PAD_FACE))
        return "radiation between nodes that should not see each other";
    double *slot = to == MBL_CALIPER ? f->to_caliper : f->to_pad;
    slot[corner * f->lanes + w] += l->value;
    return NULL;
}

static const char *put_film(bench_field *f, const mbl_link_spec *l, int w)
{
    if (!may_have_film(l->from) || f->nfilms == BENCH_FILMS)
        return "a film where none should be";
    f->film_node[f->nfilms] = l->from;
    f->film_law[f->nfilms] = l->law;
    f->area[f->nfilms++ * f->lanes + w] = l->value;
    return NULL;
}

static const char *put_links(bench_field *f, const mbl_model *m, int w)
{
    f->nfilms = 0;
    f->nown = 0;
    for (int k = 0; k < m->nlinks; k++) {
        const mbl_link_spec *l = &m->link[k];
        const char *wrong = NULL;
        switch (l->kind) {
        case MBL_LINK_FIXED:
            wrong = put_fixed(f, l, w);
            break;
        case MBL_LINK_RADIATION:
            wrong = put_radiation(f, l, w);
            break;
        case MBL_LINK_FILM:
            wrong = put_film(f, l, w);
            break;
        case MBL_LINK_CONTACT:
            break;
        }
        if (wrong != NULL)
            return wrong;
    }
    return NULL;
}

static bool all_one(const mbl_table1 *t)
{
    for (int i = 0; i < t->n; i++) {
        if (t->y[i] != 1.0)
            return false;
    }
    return true;
}

static const char *put_contact(bench_field *f, const mbl_contact *x, int c, int w)
{
    int at = c * f->lanes + w;
    if (x->rotor != mbl_corner_index(c, MBL_FACE) || x->pad != mbl_corner_index(c, MBL_PAD_FACE))
        return "a contact of other nodes";
    if (!all_one(&x->pressure_effect))
        return "friction that feels pressure";
    f->gain[at] = x->gain * x->share;
    f->gap[at] = x->gap_film;
    f->per_pascal[at] = x->film_per_pascal * x->share;
    f->rotor_layer[at] = x->face.area * (1.0 + x->face.k_rotor / x->face.k_pad);
    f->pad_layer[at] = x->face.area * (1.0 + x->face.k_pad / x->face.k_rotor);
    f->rotor_half[at] = x->face.rotor_half;
    f->pad_half[at] = x->face.pad_half;
    double rotor = 1 / (1 / (f->gap[at] * f->rotor_layer[at]) + f->rotor_half[at]);
    double pad = 1 / (1 / (f->gap[at] * f->pad_layer[at]) + f->pad_half[at]);
    f->idle[at] = rotor * pad / (rotor + pad);
    memcpy(f->mu[c][w], x->friction.y, sizeof f->mu[c][w]);
    memcpy(f->mu_speed[c][w], x->speed_effect.y, sizeof f->mu_speed[c][w]);
    if (!all_one(&x->speed_effect))
        f->speed_matters = 1;
    return NULL;
}

static const char *put_model(bench_field *f, const mbl_model *m, int w)
{
    if (m->nnodes < BENCH_OF_CORNERS || m->nnodes > BENCH_NODES || m->nlaws > BENCH_LAWS ||
        m->ncontacts != BENCH_CORNERS || m->nsources > 0)
        return "not the brakes of a car";
    if (m->knee < MBL_NO_KNEE)
        return "a valve";
    f->air[w] = m->ambient;
    f->air4[w] = m->ambient * m->ambient * m->ambient * m->ambient;
    for (int i = 0; i < m->nnodes; i++) {
        int of = i % MBL_CORNER_NODES;
        bool iron = i < BENCH_OF_CORNERS && of <= MBL_CORE;
        bool hat = i < BENCH_OF_CORNERS && of == MBL_HAT;
        if (m->node[i].iron != iron && !hat)
            return "iron where none should be";
        if (hat)
            f->hat_iron[i / MBL_CORNER_NODES] = m->node[i].iron;
        f->scale[i * f->lanes + w] = m->node[i].scale;
        f->per[i * f->lanes + w] = 1 / m->node[i].scale;
    }
    for (int i = 0; i < m->nlaws; i++)
        memcpy(f->law[i][w], m->law[i].z, sizeof f->law[i][w]);
    for (int c = 0; c < BENCH_CORNERS; c++) {
        const char *wrong = put_contact(f, &m->contact[c], c, w);
        if (wrong != NULL)
            return wrong;
    }
    return put_links(f, m, w);
}

const char *bench_field_make(const mbl_model *const models[], int lanes, bench_field *f)
{
    memset(f, 0, sizeof *f);
    if (lanes != 1 && lanes != BENCH_FOUR && lanes != BENCH_MOST)
        return "neither one lane nor four nor eight";
    f->lanes = lanes;
    f->nnodes = models[0]->nnodes;
    for (int i = 0; i < BENCH_IRON; i++)
        f->iron[i] = mbl_iron_specific_heat(BENCH_IRON_0 + i);
    for (int i = 0; i < f->nnodes; i++) {
        if (!bench_is_quick(i))
            f->slow[f->nslow++] = i;
    }
    for (int w = 0; w < lanes; w++) {
        if (!mbl_model_same_shape(models[0], models[w]))
            return "lanes of different shapes";
        const char *wrong = put_model(f, models[w], w);
        if (wrong != NULL)
            return wrong;
    }
    return NULL;
}
