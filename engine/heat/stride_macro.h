/* SPDX-License-Identifier: MIT */
/*
 * What goes by macro steps: temperatures read off enthalpies again, films, and the slow nodes.
 * Included by stride_body.h. Private to `heat`.
 */
#include "heat/iron_lanes.h"
#include "heat/lanes.h"

/* T and C of a slow node from its enthalpy. */
static inline void settle(const fields *b, int node, vec *T, vec *C)
{
    vec scale = AT(scale, node);
    vec per = AT(H, node) / scale;
    vec slope;
    if (b->model[0]->node[node].iron) {
        iron_at(per, T, C, &slope);
        *C *= scale;
        return;
    }
    *T = per;
    *C = scale;
}

/* The same of an iron node of a chain, which its steps have nearly right, with its bend. */
static inline void settle_iron(fields *b, int node)
{
    vec scale = AT(scale, node);
    vec T = AT(T, node);
    vec heat;
    vec slope;
    iron_near(AT(H, node) / scale, &T, &heat, &slope);
    vec per_C = 1 / (heat * scale);
    AT(T, node) = T;
    AT(capacity, node) = heat * scale;
    AT(per_capacity, node) = per_C;
    AT(bend, node) = HALF * scale * slope * per_C;
}

/*
 * Film link k over the macro step ahead. As it begins it is what the last one ended with, moved by
 * its slope to the temperature of now; at the first of a leg it is taken anew.
 */
static inline void set_film(fields *b, const film_laws *laws, int k, bool afresh, mbl_spot start,
                            mbl_spot end)
{
    int n = b->model[0]->link[k].from;
    vec slope;
    if (afresh)
        AT(film0, k) = film_at(b, laws, k, start, &slope);
    else
        AT(film0, k) = AT(film1, k) + AT(slope_T, k) * (AT(T, n) - AT(film_T, n));
    AT(film1, k) = film_at(b, laws, k, end, &slope);
    AT(slope_T, k) = slope;
}

/* Films of the macro step ahead, at the temperatures of now. */
static inline void set_films(fields *b, const film_laws *laws, const mbl_stride *k)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    mbl_spot start = speed_spot(b, k->v0);
    mbl_spot end = speed_spot(b, k->macro_v1);
    for (int i = 0; i < map->nslowfilms; i++)
        set_film(b, laws, map->slowfilm[i], k->afresh, start, end);
    for (int i = map->face_films; i < map->nfilms; i++)
        set_film(b, laws, map->film[i].link, k->afresh, start, end);
    for (int n = 0; n < CHAIN; n++) {
        if (mbl_stride_calm(n))
            BOTH AT(film_T, NODE(n, c)) = AT(T, NODE(n, c));
    }
    for (int i = 0; i < map->nslow; i++)
        AT(film_T, map->slow[i]) = AT(T, map->slow[i]);
}

static void begin_macro(fields *b, chains *x, ways *w, const mbl_stride *k)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    /* where capacity is constant, temperatures that follow the steps are as good */
    for (int n = CORE; n <= FACE; n++)
        BOTH settle_iron(b, NODE(n, c));
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_calm(n))
            continue;
        BOTH
        {
            AT(aired, NODE(n, c)) = splat(0);
            AT(aired_late, NODE(n, c)) = splat(0);
            AT(seeped, NODE(n, c)) = splat(0);
        }
    }
    set_films(b, &w->laws, k);
    for (int i = 0; i < map->nsides; i++)
        AT(through, map->side[i].link) = splat(0);
    AT(into, 0) = splat(0);
    AT(macro, 0) = splat((real)k->macro_dt);
    set_macro_ways(b, x, w);
}

/* Heat flow into the slow nodes at temperatures T: among them, to the air, and what the chains
 * gave. */
static inline void slow_flow(const fields *b, real per, const real *T, real *q,
                             vec leak[MBL_STRIDE_LINKS])
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec air = AT(ambient, 0);
    for (int i = 0; i < map->nslow; i++)
        OF(q, map->slow[i]) = splat(0);
    for (int i = 0; i < map->nsides; i++) {
        const mbl_chain_link *x = &map->side[i];
        if (x->other != MBL_AMBIENT)
            OF(q, x->other) += AT(through, x->link) * per;
    }
    for (int i = 0; i < map->ninner; i++) {
        const mbl_link_spec *l = &m->link[map->inner[i]];
        vec g = AT(value, map->inner[i]);
        if (l->kind == MBL_LINK_RADIATION)
            g = radiation(g, OF(T, l->from), OF(T, l->to));
        vec f = g * (OF(T, l->from) - OF(T, l->to));
        OF(q, l->from) -= f;
        OF(q, l->to) += f;
    }
    for (int i = 0; i < map->nouter; i++) {
        int k = map->outer[i];
        const mbl_link_spec *l = &m->link[k];
        vec t = OF(T, l->from);
        vec g = AT(value, k);
        if (l->kind == MBL_LINK_FILM)
            g = HALF * (AT(film0, k) + AT(film1, k));
        else if (l->kind == MBL_LINK_RADIATION)
            g = radiation(g, t, air);
        leak[i] = g * (t - air);
        OF(q, l->from) -= leak[i];
    }
}

/*
 * The slow nodes over a macro step that has been driven: by their flows at its middle, where they
 * are as the last one's rate foretells. The chains' heat, which moves them most, is known.
 */
SHARED void end_macro(fields *b)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec leak[MBL_STRIDE_LINKS];
    real dt = b->into[0];
    real per = 1 / dt;
    end_ways(b);
    for (int i = 0; i < map->nslow; i++) {
        int n = map->slow[i];
        AT(T2, n) = AT(T, n) + (HALF * dt) * AT(rate, n);
    }
    slow_flow(b, per, b->T2, b->q2, leak);
    for (int i = 0; i < map->nouter; i++)
        ADD(b->lost, m->link[map->outer[i]].path, dt * leak[i]);
    for (int i = 0; i < map->nslow; i++) {
        int n = map->slow[i];
        vec before = AT(T, n);
        vec T;
        AT(H, n) += dt * AT(q2, n);
        settle(b, n, &T, &AT(capacity, n));
        AT(T, n) = T;
        AT(rate, n) = (T - before) * per;
    }
}
