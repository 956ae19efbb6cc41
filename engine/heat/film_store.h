/* SPDX-License-Identifier: MIT */
/*
 * Sampled film laws, kept by what they depend on, so that cars which differ elsewhere share them.
 * Sampling is the dearest part of compiling a car. One store belongs to one thread.
 */
#ifndef MBL_HEAT_FILM_STORE_H
#define MBL_HEAT_FILM_STORE_H

#include "heat/surface.h"

/* Most laws that a store keeps; the oldest goes first. */
enum { MBL_FILM_STORE_MOST = 256 };

typedef struct mbl_film_store {
    const mbl_alloc *alloc;
    size_t n, room;
    size_t next; /* entry that goes first when it is full */
    struct mbl_film_entry *entry;
} mbl_film_store;

void mbl_film_store_init(mbl_film_store *store, const mbl_alloc *alloc);
void mbl_film_store_free(mbl_film_store *store);

/* Everything a surface's film law depends on, as one number. */
mbl_digest mbl_film_key_of(const mbl_surroundings *at, mbl_surface surface);

/* Samples of a law with this key (on the grid of mbl_film_grid), or NULL. Valid until the next is
 * kept. */
const double *mbl_film_store_find(const mbl_film_store *store, const mbl_digest *key);

/* Keeps a copy of samples. A full memory keeps nothing, which only costs time. */
void mbl_film_store_keep(mbl_film_store *store, const mbl_digest *key, const double *samples);

#endif
