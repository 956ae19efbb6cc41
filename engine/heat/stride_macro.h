/* SPDX-License-Identifier: MIT */
/*
 * What goes by macro steps: temperatures read off enthalpies again, films, and the slow nodes.
 * Included by stride_body.h. Private to `heat`.
 */
#include "heat/iron_lanes.h"
#include "heat/lanes.h"

static inline vec radiation(vec value, vec a, vec c)
{
    return value * (a * a + c * c) * (a + c);
}

/* T and C of a slow node from its enthalpy. */
static inline void settle(const mbl_block *b, int node, vec *T, vec *C)
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

/* The same of an iron node of a chain, with its bend. */
static inline void settle_iron(mbl_block *b, chain *c, int place, int node)
{
    vec scale = AT(scale, node);
    vec heat;
    vec slope;
    iron_at(AT(H, node) / scale, &c->T0[place], &heat, &slope);
    c->C[place] = heat * scale;
    c->bend[place] = 0.5 * slope / heat;
    AT(T, node) = c->T0[place];
}

/* Place of a speed in the laws of films, which are all sampled alike. */
static inline mbl_spot speed_spot(const mbl_block *b, double v)
{
    const mbl_table2 *grid = &b->model[0]->law[0];
    return mbl_spot_find(v, grid->x0, grid->x_per_step, grid->nx);
}

/* Conductance of film link k at a place in speed, W/K, and how it changes over temperature, W/K2.
 */
static inline vec film_at(const mbl_block *b, int k, mbl_spot x, vec *slope)
{
    const mbl_link_spec *l = &b->model[0]->link[k];
    const mbl_table2 *grid = &b->model[0]->law[l->law];
    spots at = spots_of((AT(T, l->from) - grid->y0) * grid->y_per_step, grid->ny);
    vec slow0 = splat(0);
    vec slow1 = splat(0);
    vec fast0 = splat(0);
    vec fast1 = splat(0);
    LANES
    {
        const double *z = b->law[w][l->law].z + (ptrdiff_t)x.i * grid->ny + at.i[w];
        EACH(w, slow0) = z[0];
        EACH(w, slow1) = z[1];
        EACH(w, fast0) = z[grid->ny];
        EACH(w, fast1) = z[grid->ny + 1];
    }
    vec low = slow0 + x.u * (fast0 - slow0);
    vec high = slow1 + x.u * (fast1 - slow1);
    vec rise = AT(value, k) * (high - low);
    *slope = rise * grid->y_per_step;
    return AT(value, k) * low + hold(at.u) * rise;
}

/*
 * Film link k over the macro step ahead. As it begins it is what the last one ended with, moved by
 * its slope to the temperature of now; at the first of a leg it is taken anew.
 */
static inline void set_film(mbl_block *b, int k, bool afresh, mbl_spot start, mbl_spot end)
{
    int n = b->model[0]->link[k].from;
    vec slope;
    if (afresh)
        AT(film0, k) = film_at(b, k, start, &slope);
    else
        AT(film0, k) = AT(film1, k) + AT(slope_T, k) * (AT(T, n) - AT(film_T, n));
    AT(film1, k) = film_at(b, k, end, &slope);
    AT(slope_T, k) = slope;
}

/* Films of the chains' nodes, added up. */
static inline void sum_films(const mbl_block *b, chain ch[CORNERS])
{
    const mbl_stride_map *map = &b->model[0]->stride;
    for (int c = 0; c < CORNERS; c++) {
        for (int n = 0; n < CHAIN; n++) {
            if (!mbl_stride_open(n))
                continue;
            ch[c].film[n] = splat(0);
            ch[c].turn[n] = splat(0);
            ch[c].lean[n] = splat(0);
            ch[c].film_T[n] = splat(0);
        }
    }
    for (int i = 0; i < map->nfilms; i++) {
        const mbl_chain_link *l = &map->film[i];
        chain *x = &ch[l->corner];
        vec film = AT(film0, l->link);
        x->film[l->place] += film;
        x->turn[l->place] += AT(film1, l->link) - film;
        x->lean[l->place] += AT(slope_T, l->link);
        x->film_T[l->place] = AT(film_T, mbl_stride_node(l->corner, l->place));
    }
    for (int c = 0; c < CORNERS; c++) {
        for (int n = 0; n < CHAIN; n++) {
            if (!mbl_stride_open(n))
                continue;
            vec end = ch[c].film[n] + ch[c].turn[n];
            ch[c].lean[n] = SELECT(end > 0.0, ch[c].lean[n] / end, splat(0));
        }
    }
}

/* Films of the macro step ahead, at the temperatures of now. */
static inline void set_films(mbl_block *b, chain ch[CORNERS], const mbl_stride *k)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    mbl_spot start = speed_spot(b, k->v0);
    mbl_spot end = speed_spot(b, k->macro_v1);
    for (int i = 0; i < map->nslowfilms; i++)
        set_film(b, map->slowfilm[i], k->afresh, start, end);
    for (int i = 0; i < map->nfilms; i++)
        set_film(b, map->film[i].link, k->afresh, start, end);
    for (int c = 0; c < CORNERS; c++) {
        for (int i = 0; i < CHAIN; i++) {
            if (mbl_stride_open(i))
                AT(film_T, mbl_stride_node(c, i)) = AT(T, mbl_stride_node(c, i));
        }
    }
    for (int i = 0; i < map->nslow; i++)
        AT(film_T, map->slow[i]) = AT(T, map->slow[i]);
    sum_films(b, ch);
}

static void begin_macro(mbl_block *b, chain ch[CORNERS], const mbl_stride *k)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    for (int c = 0; c < CORNERS; c++) {
        for (int i = 0; i < CHAIN; i++) {
            int n = mbl_stride_node(c, i);
            /* where capacity is constant, temperatures that follow the steps are as good */
            if (i <= FACE)
                settle_iron(b, &ch[c], i, n);
            if (!mbl_stride_open(i))
                continue;
            AT(aired, n) = splat(0);
            AT(aired_late, n) = splat(0);
        }
    }
    set_films(b, ch, k);
    for (int i = 0; i < map->nsides; i++)
        AT(through, map->side[i].link) = splat(0);
    AT(into, 0) = splat(0);
    AT(macro, 0) = splat(k->macro_dt);
}

/* Heat flow into the slow nodes at temperatures T: among them, to the air, and what the chains
 * gave. */
static inline void slow_flow(const mbl_block *b, double per, const double *T, double *q,
                             vec leak[MBL_STRIDE_LINKS])
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec air = AT(ambient, 0);
    for (int i = 0; i < map->nslow; i++)
        IN(q, map->slow[i]) = splat(0);
    for (int i = 0; i < map->nsides; i++) {
        const mbl_chain_link *x = &map->side[i];
        if (x->other != MBL_AMBIENT)
            IN(q, x->other) += AT(through, x->link) * per;
    }
    for (int i = 0; i < map->ninner; i++) {
        const mbl_link_spec *l = &m->link[map->inner[i]];
        vec g = AT(value, map->inner[i]);
        if (l->kind == MBL_LINK_RADIATION)
            g = radiation(g, IN(T, l->from), IN(T, l->to));
        vec f = g * (IN(T, l->from) - IN(T, l->to));
        IN(q, l->from) -= f;
        IN(q, l->to) += f;
    }
    for (int i = 0; i < map->nouter; i++) {
        int k = map->outer[i];
        const mbl_link_spec *l = &m->link[k];
        vec t = IN(T, l->from);
        vec g = AT(value, k);
        if (l->kind == MBL_LINK_FILM)
            g = 0.5 * (AT(film0, k) + AT(film1, k));
        else if (l->kind == MBL_LINK_RADIATION)
            g = radiation(g, t, air);
        leak[i] = g * (t - air);
        IN(q, l->from) -= leak[i];
    }
}

/* Heat that left the chains by films in this macro step, by path. */
static inline void count_films(mbl_block *b)
{
    const mbl_model *m = b->model[0];
    for (int i = 0; i < m->stride.nfilms; i++) {
        const mbl_chain_link *l = &m->stride.film[i];
        int n = mbl_stride_node(l->corner, l->place);
        vec film = AT(film0, l->link);
        AT(lost, m->link[l->link].path) +=
            film * AT(aired, n) + (AT(film1, l->link) - film) * AT(aired_late, n);
    }
}

/* The slow nodes over a macro step that has been driven: explicit midpoint rule. */
static void end_macro(mbl_block *b)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec leak[MBL_STRIDE_LINKS];
    double dt = b->into[0];
    double per = 1 / dt;
    count_films(b);
    slow_flow(b, per, b->T, b->q1, leak);
    for (int i = 0; i < map->nslow; i++) {
        int n = map->slow[i];
        AT(T2, n) = AT(T, n) + (0.5 * dt) * AT(q1, n) / AT(capacity, n);
    }
    slow_flow(b, per, b->T2, b->q2, leak);
    for (int i = 0; i < map->nouter; i++)
        AT(lost, m->link[map->outer[i]].path) += dt * leak[i];
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
