/* SPDX-License-Identifier: MIT */
/*
 * Compiling a network. One pass measures, one allocation is made, a second pass places: every
 * pointer in a model points into its own block (the elimination list has its own).
 */
#include "heat/model.h"

#include <math.h>
#include <string.h>

/* Bytes handed out of one block; with base NULL it only measures. */
typedef struct placer {
    unsigned char *base;
    size_t used;
} placer;

static void *place(placer *p, size_t n, size_t size)
{
    void *at = p->base == NULL ? NULL : p->base + p->used;
    p->used += (n * size + 63) / 64 * 64;
    return at;
}

/* Which of the six ranges a link belongs to, in the order of the model. */
static int rank(const mbl_link_spec *link)
{
    bool outer = link->to == MBL_AMBIENT;
    switch (link->kind) {
    case MBL_LINK_FIXED:
        return outer ? 3 : 0;
    case MBL_LINK_RADIATION:
        return outer ? 5 : 1;
    case MBL_LINK_CONTACT:
        return 2;
    case MBL_LINK_FILM:
        return 4;
    }
    return 0;
}

static mbl_status check(const mbl_network *net, double ambient, mbl_error *err)
{
    if (net->failed)
        return mbl_fail(err, MBL_MEMORY, "out of memory building a network");
    if (net->nnodes == 0)
        return mbl_fail(err, MBL_INPUT, "a network needs at least one node");
    if (!(ambient > 0) || !isfinite(ambient))
        return mbl_fail(err, MBL_INPUT, "ambient temperature %g K is not possible", ambient);
    for (int i = 0; i < net->nnodes; i++) {
        if (!(net->node[i].scale > 0) || !isfinite(net->node[i].scale))
            return mbl_fail(err, MBL_INPUT, "node %s: heat capacity %g must be above 0",
                            net->node[i].name, net->node[i].scale);
    }
    for (int k = 0; k < net->nlinks; k++) {
        const mbl_link_spec *l = &net->link[k];
        bool contact = l->kind == MBL_LINK_CONTACT;
        if (!contact && (!(l->value > 0) || !isfinite(l->value)))
            return mbl_fail(err, MBL_INPUT, "a link of node %s: conductance %g must be above 0",
                            net->node[l->from].name, l->value);
    }
    return MBL_OK;
}

static void place_laws(placer *p, const mbl_network *net, mbl_model *m)
{
    size_t samples = (size_t)MBL_FILM_SPEEDS * MBL_FILM_LEVELS;
    mbl_table2 *law = place(p, (size_t)net->nlaws, sizeof *law);
    double *z = place(p, (size_t)net->nlaws * samples, sizeof *z);
    if (law == NULL)
        return;
    for (int i = 0; i < net->nlaws; i++) {
        memcpy(z + (size_t)i * samples, net->law[i], samples * sizeof *z);
        law[i] = mbl_film_grid(z + (size_t)i * samples);
    }
    m->nlaws = net->nlaws;
    m->law = law;
}

/* Samples a contact's friction laws into `y` and points its tables at them. */
static void sample_friction(const mbl_contact_spec *s, double *y, mbl_contact *out)
{
    double *over_T = y;
    double *over_v = over_T + MBL_FRICTION_KNOTS;
    double *over_p = over_v + MBL_FRICTION_SPEEDS;
    double *wear = over_p + MBL_FRICTION_PRESSURES;
    mbl_polyline_sample(s->friction.x, s->friction.y, s->friction.n, 250.0, 5.0, MBL_FRICTION_KNOTS,
                        over_T);
    for (int i = 0; i < MBL_FRICTION_KNOTS; i++)
        over_T[i] *= s->condition;
    for (int i = 0; i < MBL_FRICTION_KNOTS; i++)
        wear[i] = s->wears != NULL ? mbl_pad_wear(s->wears, 250.0 + 5.0 * i) : 0.0;
    for (int i = 0; i < MBL_FRICTION_SPEEDS; i++)
        over_v[i] = mbl_effect_at(&s->speed_effect, i);
    for (int i = 0; i < MBL_FRICTION_PRESSURES; i++)
        over_p[i] = mbl_effect_at(&s->pressure_effect, 1e5 * i);
    out->friction = (mbl_table1){250.0, 1.0 / 5.0, MBL_FRICTION_KNOTS, over_T};
    out->wear = (mbl_table1){250.0, 1.0 / 5.0, MBL_FRICTION_KNOTS, wear};
    out->speed_effect = (mbl_table1){0.0, 1.0, MBL_FRICTION_SPEEDS, over_v};
    out->pressure_effect = (mbl_table1){0.0, 1e-5, MBL_FRICTION_PRESSURES, over_p};
}

static void place_contacts(placer *p, const mbl_network *net, mbl_model *m)
{
    mbl_contact *contact = place(p, (size_t)net->ncontacts, sizeof *contact);
    double *y = place(p, (size_t)net->ncontacts * MBL_FRICTION_SAMPLES, sizeof *y);
    if (contact == NULL)
        return;
    for (int c = 0; c < net->ncontacts; c++) {
        const mbl_contact_spec *s = &net->contact[c];
        /* contacts keep their order among the links, and come first of nothing else of a kind */
        contact[c] = (mbl_contact){.rotor = s->rotor,
                                   .pad = s->pad,
                                   .core = s->core,
                                   .share = s->share,
                                   .slope = s->slope,
                                   .link = m->inner_contact.first + c,
                                   .gain = s->gain,
                                   .film_per_pascal = s->film_per_pascal,
                                   .gap_film = s->gap_film,
                                   .face = s->face};
        sample_friction(s, y + c * MBL_FRICTION_SAMPLES, &contact[c]);
    }
    m->ncontacts = net->ncontacts;
    m->contact = contact;
}

static void place_links(placer *p, const mbl_network *net, mbl_model *m)
{
    mbl_link_spec *link = place(p, (size_t)net->nlinks, sizeof *link);
    mbl_range range[6];
    int n = 0;
    for (int r = 0; r < 6; r++) {
        range[r].first = n;
        for (int k = 0; k < net->nlinks; k++) {
            if (rank(&net->link[k]) != r)
                continue;
            if (link != NULL)
                link[n] = net->link[k];
            n++;
        }
        range[r].end = n;
    }
    if (link == NULL)
        return;
    m->nlinks = n;
    m->link = link;
    m->inner_fixed = range[0];
    m->inner_radiation = range[1];
    m->inner_contact = range[2];
    m->outer_fixed = range[3];
    m->outer_film = range[4];
    m->outer_radiation = range[5];
    m->inner = (mbl_range){0, range[2].end};
    m->outer = (mbl_range){range[3].first, n};
}

/* Everything but the elimination. With p->base NULL only measures. */
static void place_all(placer *p, const mbl_network *net, double ambient)
{
    mbl_model *m = place(p, 1, sizeof *m);
    mbl_model scratch = {0};
    if (m == NULL)
        m = &scratch;
    m->ambient = ambient;
    m->knee = net->knee;
    m->refs = 1;
    mbl_node_spec *node = place(p, (size_t)net->nnodes, sizeof *node);
    int *source = place(p, (size_t)net->nsources, sizeof *source);
    char(*path)[MBL_NAME_MAX] = place(p, (size_t)net->npaths, sizeof *path);
    place_links(p, net, m);
    place_contacts(p, net, m);
    place_laws(p, net, m);
    if (node == NULL)
        return;
    memcpy(node, net->node, (size_t)net->nnodes * sizeof *node);
    if (net->nsources > 0)
        memcpy(source, net->source, (size_t)net->nsources * sizeof *source);
    if (net->npaths > 0)
        memcpy(path, net->path, (size_t)net->npaths * sizeof *path);
    m->nnodes = net->nnodes;
    m->node = node;
    m->nsources = net->nsources;
    m->source = source;
    m->npaths = net->npaths;
    m->path = (const char(*)[MBL_NAME_MAX])path;
}

static mbl_status compile_elimination(mbl_model *m, mbl_error *err)
{
    size_t n = (size_t)(m->inner.end - m->inner.first);
    int *ends = mbl_new(m->alloc, 2 * n, sizeof *ends);
    if (ends == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory compiling a network");
    for (size_t k = 0; k < n; k++) {
        ends[k] = m->link[k].from;
        ends[n + k] = m->link[k].to;
    }
    mbl_status status = mbl_elim_make(m->alloc, m->nnodes, ends, ends + n, (int)n, &m->elim, err);
    mbl_free(m->alloc, ends, 2 * n, sizeof *ends);
    if (status == MBL_OK) {
        m->slot = m->elim->edge_slot;
        mbl_stride_map_make(m, &m->stride);
    }
    return status;
}

mbl_status mbl_model_make(const mbl_network *net, double ambient, mbl_model **out, mbl_error *err)
{
    MBL_TRY(check(net, ambient, err));
    placer measure = {0};
    place_all(&measure, net, ambient);
    placer real = {.base = mbl_new(net->alloc, 1, measure.used)};
    if (real.base == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory compiling a network");
    mbl_model *m = (mbl_model *)real.base;
    place_all(&real, net, ambient);
    m->alloc = net->alloc;
    m->bytes = measure.used;
    mbl_status status = compile_elimination(m, err);
    if (status != MBL_OK) {
        mbl_model_drop(m);
        return status;
    }
    *out = m;
    return MBL_OK;
}

mbl_model *mbl_model_keep(mbl_model *model)
{
    model->refs++;
    return model;
}

void mbl_model_drop(mbl_model *model)
{
    if (model == NULL || --model->refs > 0)
        return;
    mbl_elim_free(model->elim);
    mbl_free(model->alloc, model, 1, model->bytes);
}

int mbl_model_node(const mbl_model *model, const char *name)
{
    for (int i = 0; i < model->nnodes; i++) {
        if (strcmp(model->node[i].name, name) == 0)
            return i;
    }
    return -1;
}

bool mbl_model_same_shape(const mbl_model *a, const mbl_model *b)
{
    if (a->nnodes != b->nnodes || a->nlinks != b->nlinks || a->ncontacts != b->ncontacts ||
        a->nsources != b->nsources || a->npaths != b->npaths)
        return false;
    for (int i = 0; i < a->nnodes; i++) {
        if (a->node[i].iron != b->node[i].iron)
            return false;
    }
    for (int k = 0; k < a->nlinks; k++) {
        const mbl_link_spec *p = &a->link[k];
        const mbl_link_spec *q = &b->link[k];
        if (p->kind != q->kind || p->from != q->from || p->to != q->to || p->path != q->path ||
            p->law != q->law)
            return false;
    }
    for (int i = 0; i < a->nsources; i++) {
        if (a->source[i] != b->source[i])
            return false;
    }
    return true;
}
