/* SPDX-License-Identifier: MIT */
/*
 * Elimination of a symmetric sparse matrix, compiled once into flat lists that every lane and
 * every step share. Pivots are taken by least degree, which on the tree-like networks of a brake
 * leaves almost no fill. No pivoting for size: the matrices are diagonally dominant.
 *
 * Values live in slots: slot i < n is the diagonal of node i, the rest are couplings.
 */
#ifndef MBL_NUM_ELIM_H
#define MBL_NUM_ELIM_H

#include "base/base.h"

typedef struct mbl_elim_pivot {
    int node;
    int first; /* couplings of this pivot: entries [first, first + count) */
    int count;
    int first_update; /* updates: [first_update, first_update + updates) */
    int updates;
} mbl_elim_pivot;

/* A coupling of a pivot with a node eliminated later. */
typedef struct mbl_elim_entry {
    int node;
    int slot;
} mbl_elim_entry;

/* value[target] -= factor[entry] * value[slot] */
typedef struct mbl_elim_update {
    int target;
    int entry;
    int slot;
} mbl_elim_update;

typedef struct mbl_elim {
    const mbl_alloc *alloc;
    size_t bytes;
    int n;      /* nodes */
    int nslots; /* diagonals, couplings and fill */
    int nentries;
    int nupdates;
    mbl_elim_pivot *pivot;   /* (n) in order of elimination */
    mbl_elim_entry *entry;   /* (nentries) */
    mbl_elim_update *update; /* (nupdates) */
    int *edge_slot;          /* (nedges) slot of each edge handed in */
} mbl_elim;

/*
 * Compiles the pattern of n nodes and edges (from[k], to[k]), k < nedges; repeated edges share a
 * slot; an edge of a node with itself is refused. n at most 1000. Free with mbl_elim_free.
 */
MBL_NODISCARD mbl_status mbl_elim_make(const mbl_alloc *alloc, int n, const int *from,
                                       const int *to, int nedges, mbl_elim **out, mbl_error *err);
void mbl_elim_free(mbl_elim *elim);

#endif
