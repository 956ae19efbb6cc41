/* SPDX-License-Identifier: MIT */
#include "drive/lap_pieces.h"

#include <math.h>

#define NODES_MOST ((size_t)100000000)

/* ---- pieces ---- */

/* From rest the first piece is halved this often: where power takes over from the tyres, v still
 * changes by much in a metre. */
#define START_HALVED 6

static size_t even_pieces(const mbl_lap_ask *ask, const mbl_stretch *stretch)
{
    double k = ceil(stretch->length / (ask->step > 0 ? ask->step : MBL_LAP_STEP) - 1e-9);
    return (size_t)fmin(fmax(k, 1), (double)NODES_MOST);
}

/* One block, carved. */
static bool carve(const mbl_alloc *alloc, mbl_lap *l, size_t stretches)
{
    size_t numbers = 3 * (l->n + 1) + l->n;
    l->bytes = stretches * sizeof(mbl_lap_ground) + l->n * sizeof(mbl_lap_piece) +
               numbers * sizeof(double);
    l->scratch = mbl_new(alloc, l->bytes, 1);
    if (l->scratch == NULL)
        return false;
    l->ground = l->scratch;
    l->piece = (mbl_lap_piece *)(void *)(l->ground + stretches);
    l->limit = (double *)(void *)(l->piece + l->n);
    l->pulled = l->limit + l->n + 1;
    l->u = l->pulled + l->n + 1;
    l->gentle = l->u + l->n + 1;
    return true;
}

/* Shares of a stretch of k pieces at which piece j, counted with the halves of the start, begins.
 */
static double share_at(size_t j, size_t k, size_t halved)
{
    if (j <= halved)
        return j == 0 ? 0 : ldexp(1.0 / (double)k, (int)j - (int)halved - 1);
    return (double)(j - halved) / (double)k;
}

static mbl_lap_piece piece_of(const mbl_lap *l, size_t stretch, double from, double to)
{
    const mbl_layout *layout = l->ask->layout;
    const mbl_stretch *s = &layout->stretch[stretch];
    double bend = s->bends_to - s->curvature;
    return (mbl_lap_piece){.ground = &l->ground[stretch],
                           .s = layout->begin[stretch] + from * s->length,
                           .length = (to - from) * s->length,
                           .begin = s->curvature + from * bend,
                           .end = to < 1 ? s->curvature + to * bend : s->bends_to};
}

static void cut(mbl_lap *l)
{
    const mbl_layout *layout = l->ask->layout;
    mbl_lap_piece *p = l->piece;
    for (size_t i = 0; i < layout->n; i++) {
        size_t k = even_pieces(l->ask, &layout->stretch[i]);
        size_t halved = !l->closed && i == 0 ? START_HALVED : 0;
        l->ground[i] = mbl_lap_ground_of(&layout->stretch[i]);
        for (size_t j = 0; j < k + halved; j++)
            *p++ = piece_of(l, i, share_at(j, k, halved), share_at(j + 1, k, halved));
    }
}

mbl_status mbl_lap_cut(const mbl_alloc *alloc, mbl_lap *l, mbl_error *err)
{
    const mbl_layout *layout = l->ask->layout;
    l->n = l->closed ? 0 : START_HALVED;
    for (size_t i = 0; i < layout->n && l->n <= NODES_MOST; i++)
        l->n += even_pieces(l->ask, &layout->stretch[i]);
    if (l->n > NODES_MOST)
        return mbl_fail(err, MBL_INPUT, "a step of %g m cuts the layout into too many pieces",
                        l->ask->step);
    if (!carve(alloc, l, layout->n))
        return mbl_fail(err, MBL_MEMORY, "no memory for a lap of %zu pieces", l->n);
    cut(l);
    return MBL_OK;
}

mbl_lap_place mbl_lap_place_in(const mbl_lap_piece *p, double part)
{
    return (mbl_lap_place){.ground = p->ground,
                           .curvature = part == 0   ? p->begin
                                        : part == 1 ? p->end
                                                    : p->begin + part * (p->end - p->begin),
                           .s = p->s + part * p->length};
}

/* ---- the path ---- */

mbl_path *mbl_lap_path_new(const mbl_alloc *alloc, size_t pieces)
{
    size_t numbers = 3 * (pieces + 1) + pieces;
    size_t bytes = sizeof(mbl_path) + numbers * sizeof(double) + pieces;
    mbl_path *path = mbl_new(alloc, bytes, 1);
    if (path == NULL)
        return NULL;
    double *at = (double *)(void *)(path + 1);
    path->alloc = alloc;
    path->bytes = bytes;
    path->n = pieces + 1;
    path->s = at;
    path->v = at + path->n;
    path->t = at + 2 * path->n;
    path->grade = at + 3 * path->n;
    path->by = (unsigned char *)(at + numbers);
    return path;
}

unsigned char *mbl_lap_path_by(mbl_path *path)
{
    return (unsigned char *)path + path->bytes - (path->n - 1);
}

/* s from node i to m further on. */
static double time_to(const mbl_lap *l, size_t i, double m)
{
    double part = m / l->piece[i].length;
    double from = sqrt(2 * l->u[i]);
    double to = sqrt(2 * (l->u[i] + part * (l->u[i + 1] - l->u[i])));
    return m > 0 ? 2 * m / (from + to) : 0;
}

void mbl_lap_path_fill(const mbl_lap *l, mbl_path *path)
{
    const mbl_layout *layout = l->ask->layout;
    /* written here and nowhere else */
    double *s = (double *)(void *)(path + 1);
    double *v = s + path->n;
    double *t = v + path->n;
    double *grade = t + path->n;
    for (size_t i = 0; i < l->n; i++) {
        double took = time_to(l, i, l->piece[i].length);
        s[i] = l->piece[i].s;
        v[i] = sqrt(2 * l->u[i]);
        t[i + 1] = t[i] + took;
        grade[i] = layout->stretch[l->piece[i].ground - l->ground].grade;
        path->held[l->by[i]] += took;
        path->top_speed = fmax(path->top_speed, v[i]);
    }
    s[l->n] = layout->length;
    v[l->n] = sqrt(2 * l->u[l->n]);
    path->time = t[l->n];
    size_t i = 0;
    for (size_t k = 0; k < layout->nsplits; k++) {
        while (i + 1 < l->n && s[i + 1] <= layout->split[k])
            i++;
        path->split[k] = t[i] + time_to(l, i, layout->split[k] - s[i]);
    }
}

void mbl_path_free(mbl_path *path)
{
    if (path != NULL)
        mbl_free(path->alloc, path, path->bytes, 1);
}
