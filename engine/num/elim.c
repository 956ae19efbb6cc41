/* SPDX-License-Identifier: MIT */
#include "num/elim.h"

#include <string.h>

enum { NODES_MAX = 1000 };

/* The symbolic matrix while it is being eliminated: slot numbers, -1 where nothing is. */
typedef struct pattern {
    int n;
    int *slot; /* (n x n), symmetric */
    int nslots;
} pattern;

static int *at(pattern *p, int i, int j)
{
    return &p->slot[i * p->n + j];
}

static int couple(pattern *p, int i, int j)
{
    if (*at(p, i, j) < 0) {
        *at(p, i, j) = p->nslots;
        *at(p, j, i) = p->nslots;
        p->nslots++;
    }
    return *at(p, i, j);
}

/* The node not yet done with the fewest couplings to nodes not yet done; the lowest on a tie. */
static int least_coupled(pattern *p, const char *done)
{
    int best = -1;
    int best_degree = 0;
    for (int i = 0; i < p->n; i++) {
        if (done[i])
            continue;
        int degree = 0;
        for (int j = 0; j < p->n; j++)
            degree += !done[j] && j != i && *at(p, i, j) >= 0;
        if (best < 0 || degree < best_degree) {
            best = i;
            best_degree = degree;
        }
    }
    return best;
}

/*
 * Eliminates symbolically. Called twice: with `out` lists NULL it only counts (into the n...
 * members), so that everything fits one allocation. Both passes start from the same pattern.
 */
static void eliminate(pattern *p, char *done, mbl_elim *out)
{
    out->nentries = 0;
    out->nupdates = 0;
    memset(done, 0, (size_t)p->n);
    for (int k = 0; k < p->n; k++) {
        int v = least_coupled(p, done);
        done[v] = 1;
        mbl_elim_pivot pivot = {v, out->nentries, 0, out->nupdates, 0};
        for (int i = 0; i < p->n; i++) {
            if (done[i] || *at(p, v, i) < 0)
                continue;
            int entry = out->nentries++;
            if (out->entry != NULL)
                out->entry[entry] = (mbl_elim_entry){i, *at(p, v, i)};
            /* the diagonal of i, then every coupling of i with the neighbours before it */
            for (int j = 0; j <= i; j++) {
                if (j != i && (done[j] || *at(p, v, j) < 0))
                    continue;
                int target = j == i ? i : couple(p, i, j);
                if (out->update != NULL)
                    out->update[out->nupdates] = (mbl_elim_update){target, entry, *at(p, v, j)};
                out->nupdates++;
            }
        }
        pivot.count = out->nentries - pivot.first;
        pivot.updates = out->nupdates - pivot.first_update;
        if (out->pivot != NULL)
            out->pivot[k] = pivot;
    }
    out->nslots = p->nslots;
}

static mbl_status fill_pattern(pattern *p, const int *from, const int *to, int nedges,
                               int *edge_slot, mbl_error *err)
{
    for (int i = 0; i < p->n * p->n; i++)
        p->slot[i] = -1;
    p->nslots = p->n;
    for (int k = 0; k < nedges; k++) {
        int i = from[k];
        int j = to[k];
        if (i < 0 || j < 0 || i >= p->n || j >= p->n || i == j)
            return mbl_fail(err, MBL_INTERNAL, "edge %d couples node %d with node %d", k, i, j);
        int slot = couple(p, i, j);
        if (edge_slot != NULL)
            edge_slot[k] = slot;
    }
    return MBL_OK;
}

static mbl_elim *allocate(const mbl_alloc *alloc, const mbl_elim *size, int nedges)
{
    size_t n = (size_t)size->n;
    size_t bytes = sizeof(mbl_elim) + n * sizeof(mbl_elim_pivot) +
                   (size_t)size->nentries * sizeof(mbl_elim_entry) +
                   (size_t)size->nupdates * sizeof(mbl_elim_update) + (size_t)nedges * sizeof(int);
    mbl_elim *e = mbl_new(alloc, 1, bytes);
    if (e == NULL)
        return NULL;
    *e = (mbl_elim){.alloc = alloc, .bytes = bytes, .n = size->n};
    e->pivot = (mbl_elim_pivot *)(e + 1);
    e->entry = (mbl_elim_entry *)(e->pivot + n);
    e->update = (mbl_elim_update *)(e->entry + size->nentries);
    e->edge_slot = (int *)(e->update + size->nupdates);
    return e;
}

mbl_status mbl_elim_make(const mbl_alloc *alloc, int n, const int *from, const int *to, int nedges,
                         mbl_elim **out, mbl_error *err)
{
    if (n < 1 || n > NODES_MAX || nedges < 0)
        return mbl_fail(err, MBL_INPUT, "a network has 1 to %d nodes, not %d", NODES_MAX, n);
    size_t cells = (size_t)n * (size_t)n;
    pattern p = {.n = n, .slot = mbl_new(alloc, cells, sizeof(int))};
    char *done = mbl_new(alloc, (size_t)n, 1);
    mbl_elim *made = NULL;
    mbl_status status = MBL_OK;
    if (p.slot == NULL || done == NULL) {
        status = mbl_fail(err, MBL_MEMORY, "out of memory compiling a network of %d nodes", n);
        goto done;
    }
    status = fill_pattern(&p, from, to, nedges, NULL, err);
    if (status != MBL_OK)
        goto done;
    mbl_elim size = {.n = n};
    eliminate(&p, done, &size);
    made = allocate(alloc, &size, nedges);
    if (made == NULL) {
        status = mbl_fail(err, MBL_MEMORY, "out of memory compiling a network of %d nodes", n);
        goto done;
    }
    status = fill_pattern(&p, from, to, nedges, made->edge_slot, err);
    eliminate(&p, done, made);
    *out = made;
done:
    mbl_free(alloc, p.slot, cells, sizeof(int));
    mbl_free(alloc, done, (size_t)n, 1);
    return status;
}

void mbl_elim_free(mbl_elim *elim)
{
    if (elim != NULL)
        mbl_free(elim->alloc, elim, 1, elim->bytes);
}
