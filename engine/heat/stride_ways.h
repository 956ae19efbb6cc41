/* SPDX-License-Identifier: MIT */
/*
 * What leads out of the chains, to the air and to slow nodes. Included by stride_body.h. Private
 * to `heat`.
 *
 * Every way out is taken straight in the temperature of its place. At the faces, around what they
 * are as a step begins; at calm places around what they are as the macro step begins, so that all
 * their ways are one line over the macro step, and what went by each is known as it ends from three
 * sums. Films change over the macro step from film0 to film1, and the other ends of what leads to
 * slow nodes warm at the rate they had; both are taken at the middle of a step. A film at T is
 *
 *   film (T - air) + slope (T_begin - air) (T - T_begin)
 *
 * at a calm place, with the slope of film1; at a face, (film + slope (T - T_begin)) (T - air) as it
 * goes straight through the step.
 */
#include "heat/lanes.h"

/* A way out during a step: start + g (T - T0), W. */
typedef struct way_out {
    vec start; /* W */
    vec g;     /* W/K */
} way_out;

typedef struct ways {
    /* of calm places, as the macro step begins and by how much more as it ends */
    both out[CHAIN], out_more[CHAIN];     /* W/K */
    both other[CHAIN], other_more[CHAIN]; /* W */
    both film, film_more, slope;          /* W/K, W/K, W/K2: all films of the faces */
    /* of the faces, in the step */
    way_out ray[MBL_STRIDE_LINKS], side[MBL_STRIDE_LINKS];
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
    return (way_out){value * (square * square - far * far), 4.0 * value * (square * T0)};
}

/* The other end of a side as the macro step begins, and the rate at which it warms. */
STAGE_INLINE vec far_end(const mbl_block *b, const mbl_chain_link *l, vec *rate)
{
    if (l->other == MBL_AMBIENT) {
        *rate = splat(0);
        return AT(ambient, 0);
    }
    *rate = AT(rate, l->other);
    return AT(T, l->other);
}

/* The films of the faces and the ways out of calm places over the macro step that has begun. */
static inline void set_macro_ways(const mbl_block *b, chains *x, ways *w)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    vec air = AT(ambient, 0);
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_open(n))
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
    BOTH
    {
        w->film.of[c] = splat(0);
        w->film_more.of[c] = splat(0);
        w->slope.of[c] = splat(0);
    }
    for (int i = 0; i < map->nfilms; i++) {
        const mbl_chain_link *l = &map->film[i];
        int n = l->place;
        int c = l->corner;
        vec film = AT(film0, l->link);
        vec more = AT(film1, l->link) - film;
        if (i < map->face_films) {
            w->film.of[c] += film;
            w->film_more.of[c] += more;
            w->slope.of[c] += AT(slope_T, l->link);
            continue;
        }
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

/* Ways out in a step of dt. All but what leads aside to slow nodes stays out of the matrix. */
SHARED void set_ways(const mbl_block *b, chains *x, ways *w, double dt)
{
    const mbl_stride_map *map = &b->model[0]->stride;
    vec air = AT(ambient, 0);
    double middle = b->into[0] + 0.5 * dt;
    double u = middle / b->macro[0];
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
        vec T0 = AT(T, NODE(FACE, c));
        vec above = T0 - air;
        vec film = w->film.of[c] + u * w->film_more.of[c] +
                   w->slope.of[c] * (T0 - AT(film_T, NODE(FACE, c)));
        vec g = film + w->slope.of[c] * above;
        x->out[FACE].of[c] = g;
        x->other[FACE].of[c] = g * T0 - film * above;
        x->aside[FACE].of[c] = splat(0);
    }
    for (int i = 0; i < map->face_radiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        int c = l->corner;
        vec T0 = AT(T, NODE(FACE, c));
        w->ray[i] = radiates(AT(value, l->link), T0, air);
        x->out[FACE].of[c] += w->ray[i].g;
        x->other[FACE].of[c] += w->ray[i].g * T0 - w->ray[i].start;
    }
    for (int i = 0; i < map->face_sides; i++) {
        const mbl_chain_link *l = &map->side[i];
        int c = l->corner;
        vec T0 = AT(T, NODE(FACE, c));
        vec rate;
        vec end = far_end(b, l, &rate);
        vec value = AT(value, l->link);
        end += middle * rate;
        w->side[i] = l->radiates ? radiates(value, T0, end) : (way_out){value * (T0 - end), value};
        x->out[FACE].of[c] += w->side[i].g;
        x->other[FACE].of[c] += w->side[i].g * T0 - w->side[i].start;
        x->aside[FACE].of[c] += w->side[i].g;
    }
}

/* Sums over a step, from which end_ways tells what went by each way. */
STAGE_INLINE void keep_ways(mbl_block *b, const chains *x, const ways *w, double dt)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    vec air = AT(ambient, 0);
    double late = dt * ((b->into[0] + 0.5 * dt) / b->macro[0]);
    both rose;
    for (int n = 0; n < CHAIN; n++) {
        if (!mbl_stride_open(n))
            continue;
        BOTH
        {
            int node = NODE(n, c);
            vec above = x->mean[n].of[c] - air;
            AT(aired, node) += dt * above;
            AT(aired_late, node) += late * above;
            if (n != FACE) {
                AT(seeped, node) += dt * x->extra[n].of[c];
                continue;
            }
            vec T0 = AT(T, node);
            rose.of[c] = x->mean[n].of[c] - T0;
            AT(aired_warm, node) +=
                dt * ((T0 - AT(film_T, node)) * above + (T0 - air) * rose.of[c]);
        }
    }
    for (int i = 0; i < map->face_radiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        AT(lost, m->link[l->link].path) +=
            dt * (w->ray[i].start + w->ray[i].g * rose.of[l->corner]);
    }
    for (int i = 0; i < map->face_sides; i++) {
        const mbl_chain_link *l = &map->side[i];
        int c = l->corner;
        vec heat =
            dt * (w->side[i].start + w->side[i].g * (rose.of[c] + x->extra[FACE].of[c]));
        if (l->other == MBL_AMBIENT)
            AT(lost, m->link[l->link].path) += heat;
        else
            AT(through, l->link) += heat;
    }
}

/* What went by each way over a macro step that has been driven. */
static inline void end_ways(mbl_block *b)
{
    const mbl_model *m = b->model[0];
    const mbl_stride_map *map = &m->stride;
    double dt = b->into[0];
    vec air = AT(ambient, 0);
    for (int i = 0; i < map->nfilms; i++) {
        const mbl_chain_link *l = &map->film[i];
        int node = NODE(l->place, l->corner);
        vec film = AT(film0, l->link);
        vec above = AT(film_T, node) - air;
        vec warm = i < map->face_films ? AT(aired_warm, node)
                                       : above * (AT(aired, node) - dt * above);
        AT(lost, m->link[l->link].path) += film * AT(aired, node) +
                                           (AT(film1, l->link) - film) * AT(aired_late, node) +
                                           AT(slope_T, l->link) * warm;
    }
    for (int i = map->face_radiations; i < map->nradiations; i++) {
        const mbl_chain_link *l = &map->radiation[i];
        int node = NODE(l->place, l->corner);
        vec T = AT(film_T, node);
        way_out ray = radiates(AT(value, l->link), T, air);
        AT(lost, m->link[l->link].path) +=
            dt * ray.start + ray.g * (AT(aired, node) - dt * (T - air));
    }
    for (int i = map->face_sides; i < map->nsides; i++) {
        const mbl_chain_link *l = &map->side[i];
        int node = NODE(l->place, l->corner);
        vec rate;
        vec end = far_end(b, l, &rate);
        vec above = AT(aired, node) + AT(seeped, node) - dt * (end - air + (0.5 * dt) * rate);
        vec heat = AT(value, l->link) * above;
        if (l->other == MBL_AMBIENT)
            AT(lost, m->link[l->link].path) += heat;
        else
            AT(through, l->link) += heat;
    }
}
