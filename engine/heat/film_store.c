/* SPDX-License-Identifier: MIT */
#include "heat/film_store.h"

#include "heat/network.h"

#include <stdint.h>
#include <string.h>

enum { SAMPLES = MBL_FILM_SPEEDS * MBL_FILM_LEVELS };

typedef struct mbl_film_entry {
    mbl_film_key key;
    double samples[SAMPLES];
} entry;

void mbl_film_store_init(mbl_film_store *store, const mbl_alloc *alloc)
{
    *store = (mbl_film_store){.alloc = alloc};
}

void mbl_film_store_free(mbl_film_store *store)
{
    mbl_free(store->alloc, store->entry, store->room, sizeof(entry));
    mbl_film_store_init(store, store->alloc);
}

mbl_film_key mbl_film_key_of(const mbl_surroundings *at, mbl_surface surface)
{
    const mbl_brake *b = at->brake;
    const mbl_rotor *r = &b->rotor;
    const mbl_duct *d = &b->duct;
    mbl_film_key key = {{surface, at->tyre_radius, at->ambient, at->p, r->diameter, r->hat,
                         mbl_rotor_vanes(r), mbl_rotor_pumping(r), b->airflow, b->still_air,
                         d->present}};
    double *next = key.v + 11;
    if (at->vanes.count > 0) {
        const double vanes[] = {at->vanes.outer, at->vanes.inner, at->vanes.gap, at->vanes.solid};
        memcpy(next, vanes, sizeof vanes);
    }
    next += 4;
    if (d->present) {
        double recovery = d->recovery == d->recovery ? d->recovery : mbl_inlet_recovery(d->inlet);
        const double duct[] = {d->bore,  d->length, d->bends, recovery,         d->hose,
                               d->hoses, d->split,  d->taped, d->back_pressure, d->aim};
        memcpy(next, duct, sizeof duct);
    }
    next += 10;
    /* laws of the user's own are told apart by where they are kept */
    next[0] = (double)(uintptr_t)b->cooling.faces;
    next[1] = (double)(uintptr_t)b->cooling.vanes;
    next[2] = (double)(uintptr_t)b->cooling.caliper;
    return key;
}

const double *mbl_film_store_find(const mbl_film_store *store, const mbl_film_key *key)
{
    for (size_t i = 0; i < store->n; i++) {
        if (memcmp(&store->entry[i].key, key, sizeof *key) == 0)
            return store->entry[i].samples;
    }
    return NULL;
}

void mbl_film_store_keep(mbl_film_store *store, const mbl_film_key *key, const double *samples)
{
    if (store->n == store->room) {
        size_t room = store->room == 0 ? 16 : 2 * store->room;
        entry *moved = mbl_resize(store->alloc, store->entry, store->room, room, sizeof(entry));
        if (moved == NULL)
            return;
        store->entry = moved;
        store->room = room;
    }
    store->entry[store->n].key = *key;
    memcpy(store->entry[store->n].samples, samples, sizeof store->entry[store->n].samples);
    store->n++;
}
