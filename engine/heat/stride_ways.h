/* SPDX-License-Identifier: MIT */
/*
 * What leads out of the chains, to the air and to slow nodes. Included by stride_body.h. Private
 * to `heat`.
 *
 * Every way out is taken straight in the temperature of its place: at the faces around what they
 * are as a step begins, films too; at calm places around what they are as the macro step begins, so
 * that all their ways are one line over the macro step, and what went by each is known as it ends
 * from three sums. Their films change over the macro step from film0 to film1, and the other ends
 * of what leads to slow nodes warm at the rate they had; both are taken at the middle of a step. A
 * film at T is
 *
 *   film (T - air) + slope (T_begin - air) (T - T_begin)
 *
 * with the slope of film1 at a calm place.
 */
#include "heat/lanes.h"

/* Place of a speed in the laws of films, which are all sampled alike. */
static inline mbl_spot speed_spot(const fields *b, double v)
{
    const mbl_table2 *grid = &b->model[0]->law[0];
    return mbl_spot_find(v, grid->x0, grid->x_per_step, grid->nx);
}

/* Laws of films of each lane; all are sampled alike, one behind the other. */
typedef struct film_laws {
    const double *z[MBL_LANES];
} film_laws;

static inline film_laws laws_of(const fields *b)
{
    film_laws l;
    LANES l.z[w] = b->law[w]->z;
    return l;
}

/* Conductance of film link k at a place in speed, W/K, and how it changes over temperature, W/K2.
 */
static inline vec film_at(const fields *b, const film_laws *laws, int k, mbl_spot x, vec *slope)
{
    const mbl_link_spec *l = &b->model[0]->link[k];
    const mbl_table2 *grid = b->model[0]->law;
    real per_step = (real)grid->y_per_step;
    real u = (real)x.u;
    spots at = spots_of((AT(T, l->from) - (real)grid->y0) * per_step, MBL_FILM_LEVELS);
    int from[MBL_LANES];
    vec slow0;
    vec slow1;
    vec fast0;
    vec fast1;
    int first = l->law * MBL_FILM_LEVELS * MBL_FILM_SPEEDS + x.i;
    LANES from[w] = first + at.i[w] * MBL_FILM_SPEEDS;
    neighbours(laws->z, from, 0, &slow0, &fast0);
    neighbours(laws->z, from, MBL_FILM_SPEEDS, &slow1, &fast1);
    vec low = slow0 + u * (fast0 - slow0);
    vec high = slow1 + u * (fast1 - slow1);
    vec rise = AT(value, k) * (high - low);
    vec within = hold(at.u); /* beyond its levels a law is flat */
    *slope = SELECT(within == at.u, rise * per_step, splat(0));
    return AT(value, k) * low + within * rise;
}

/* A way out during a step: start + g (T - T0), W. */
typedef struct way_out {
    vec start; /* W */
    vec g;     /* W/K */
} way_out;

typedef struct ways {
    /* of calm places, as the macro step begins and by how much more as it ends */
    both out[CHAIN], out_more[CHAIN];     /* W/K */
    both other[CHAIN], other_more[CHAIN]; /* W */
    /* of the faces, in the step */
    way_out film[MBL_STRIDE_LINKS], ray[MBL_STRIDE_LINKS], side[MBL_STRIDE_LINKS];
    film_laws laws;
} ways;

static inline vec radiation(vec value, vec a, vec c)
{
    return value * (a * a + c * c) * (a + c);
}

/* Radiation at T0 to another surface, straight in T. */
STAGE_INLINE way_out radiates(vec value, vec T0, vec other)
{
    vec square = T0 * T0;
    vec far = other * other;
    return (way_out){value * (square * square - far * far), 4 * value * (square * T0)};
}

/* The other end of a side as the macro step begins, and the rate at which it warms. */
STAGE_INLINE vec far_end(const fields *b, const mbl_chain_link *l, vec *rate)
{
    if (l->other == MBL_AMBIENT) {
        *rate = splat(0);
        return AT(ambient, 0);
    }
    *rate = AT(rate, l->other);
    return AT(T, l->other);
}

/* The ways out of calm places over the macro step that has begun. */
static inline void set_macro_ways(const fields *b, chains *x, ways *w)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    vec air = AT(ambient, 0);
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_calm(n))
            continue;
        BOTH
        {
            w->out[n].of[c] = splat(0);
            w->out_more[n].of[c] = splat(0);
            w->other[n].of[c] = splat(0);
            w->other_more[n].of[c] = splat(0);
            x->aside[n].of[c] = splat(0);
        }
    }
    for (int i = map->face_films; i < map->nfilms; i++) {
        const mbl_chain_link *l = &map->film[i];
        int n = l->place;
        int c = l->corner;
        vec film = AT(film0, l->link);
        vec more = AT(film1, l->link) - film;
        vec T = AT(film_T, NODE(n, c));
        vec lean = AT(slope_T, l->link) * (T - air);
        w->out[n].of[c] += film + lean;
        w->out_more[n].of[c] += more;
        w->other[n].of[c] += film * air + lean * T;
        w->other_more[n].of[c] += more * air;
    }
    for (int i = map->face_radiations; i < map->nradiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        vec T = AT(film_T, NODE(l->place, l->corner));
        way_out ray = radiates(AT(value, l->link), T, air);
        w->out[l->place].of[l->corner] += ray.g;
        w->other[l->place].of[l->corner] += ray.g * T - ray.start;
    }
    for (int i = map->face_sides; i < map->nsides; i++) {
        const mbl_chain_link *l = &map->side[i];
        vec rate;
        vec end = far_end(b, l, &rate);
        vec g = AT(value, l->link);
        w->out[l->place].of[l->corner] += g;
        w->other[l->place].of[l->corner] += g * end;
        w->other_more[l->place].of[l->corner] += g * rate * b->macro[0];
        x->aside[l->place].of[l->corner] += g;
    }
}

/* Adds a way out of a face. */
STAGE_INLINE void lead_out(const fields *b, chains *x, int c, const way_out *w)
{
    x->out[FACE].of[c] += w->g;
    x->other[FACE].of[c] += w->g * AT(T, NODE(FACE, c)) - w->start;
}

/* Ways out in a step. All but what leads aside to slow nodes stays out of the matrix. */
SHARED void set_ways(const fields *b, chains *x, ways *w, const mbl_stride *k)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    vec air = AT(ambient, 0);
    real middle = b->into[0] + (real)(0.5 * k->dt);
    real u = middle / b->macro[0];
    mbl_spot speed = speed_spot(b, 0.5 * (k->v0 + k->v1));
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_calm(n))
            continue;
        BOTH
        {
            x->out[n].of[c] = w->out[n].of[c] + u * w->out_more[n].of[c];
            x->other[n].of[c] = w->other[n].of[c] + u * w->other_more[n].of[c];
        }
    }
    BOTH
    {
        x->out[FACE].of[c] = splat(0);
        x->other[FACE].of[c] = splat(0);
        x->aside[FACE].of[c] = splat(0);
    }
    for (int i = 0; i < map->face_films; i++) {
        const mbl_chain_link *l = &map->film[i];
        vec above = AT(T, NODE(FACE, l->corner)) - air;
        vec slope;
        vec film = film_at(b, &w->laws, l->link, speed, &slope);
        w->film[i] = (way_out){film * above, film + slope * above};
        lead_out(b, x, l->corner, &w->film[i]);
    }
    for (int i = 0; i < map->face_radiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        w->ray[i] = radiates(AT(value, l->link), AT(T, NODE(FACE, l->corner)), air);
        lead_out(b, x, l->corner, &w->ray[i]);
    }
    for (int i = 0; i < map->face_sides; i++) {
        const mbl_chain_link *l = &map->side[i];
        vec T0 = AT(T, NODE(FACE, l->corner));
        vec rate;
        vec end = far_end(b, l, &rate);
        vec value = AT(value, l->link);
        end += middle * rate;
        w->side[i] = l->radiates ? radiates(value, T0, end) : (way_out){value * (T0 - end), value};
        lead_out(b, x, l->corner, &w->side[i]);
        x->aside[FACE].of[l->corner] += w->side[i].g;
    }
}

/* What left by each way of a face in a step, and sums from which end_ways tells the rest. */
STAGE_INLINE void keep_ways(fields *b, const chains *x, const ways *w, real dt)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec air = AT(ambient, 0);
    real late = dt * ((b->into[0] + HALF * dt) / b->macro[0]);
    both rose;
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_calm(n))
            continue;
        BOTH
        {
            vec above = x->mean[n].of[c] - air;
            AT(aired, NODE(n, c)) += dt * above;
            AT(aired_late, NODE(n, c)) += late * above;
            AT(seeped, NODE(n, c)) += dt * x->extra[n].of[c];
        }
    }
    BOTH rose.of[c] = x->mean[FACE].of[c] - AT(T, NODE(FACE, c));
    for (int i = 0; i < map->face_films; i++) {
        const mbl_chain_link *l = &map->film[i];
        ADD(b->lost, m->link[l->link].path,
            dt * (w->film[i].start + w->film[i].g * rose.of[l->corner]));
    }
    for (int i = 0; i < map->face_radiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        ADD(b->lost, m->link[l->link].path,
            dt * (w->ray[i].start + w->ray[i].g * rose.of[l->corner]));
    }
    for (int i = 0; i < map->face_sides; i++) {
        const mbl_chain_link *l = &map->side[i];
        int c = l->corner;
        vec heat = dt * (w->side[i].start + w->side[i].g * (rose.of[c] + x->extra[FACE].of[c]));
        if (l->other == MBL_AMBIENT)
            ADD(b->lost, m->link[l->link].path, heat);
        else
            AT(through, l->link) += heat;
    }
}

/* What went by each way over a macro step that has been driven. */
static inline void end_ways(fields *b)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    real dt = b->into[0];
    vec air = AT(ambient, 0);
    for (int i = map->face_films; i < map->nfilms; i++) {
        const mbl_chain_link *l = &map->film[i];
        int node = NODE(l->place, l->corner);
        vec film = AT(film0, l->link);
        vec above = AT(film_T, node) - air;
        vec warm = above * (AT(aired, node) - dt * above);
        ADD(b->lost, m->link[l->link].path,
            film * AT(aired, node) + (AT(film1, l->link) - film) * AT(aired_late, node) +
                AT(slope_T, l->link) * warm);
    }
    for (int i = map->face_radiations; i < map->nradiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        int node = NODE(l->place, l->corner);
        vec T = AT(film_T, node);
        way_out ray = radiates(AT(value, l->link), T, air);
        ADD(b->lost, m->link[l->link].path,
            dt * ray.start + ray.g * (AT(aired, node) - dt * (T - air)));
    }
    for (int i = map->face_sides; i < map->nsides; i++) {
        const mbl_chain_link *l = &map->side[i];
        int node = NODE(l->place, l->corner);
        vec rate;
        vec end = far_end(b, l, &rate);
        vec above = AT(aired, node) + AT(seeped, node) - dt * (end - air + (HALF * dt) * rate);
        vec heat = AT(value, l->link) * above;
        if (l->other == MBL_AMBIENT)
            ADD(b->lost, m->link[l->link].path, heat);
        else
            AT(through, l->link) += heat;
    }
}
