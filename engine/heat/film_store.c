/* SPDX-License-Identifier: MIT */
#include "heat/film_store.h"

#include "heat/network.h"

#include <string.h>

enum { SAMPLES = MBL_FILM_SPEEDS * MBL_FILM_LEVELS };

typedef struct mbl_film_entry {
    mbl_digest key;
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

/* A law of the user's own, by its samples. */
static void add_law(mbl_digest *d, const mbl_film_samples *law)
{
    mbl_digest_count(d, law != NULL);
    if (law != NULL)
        mbl_digest_add(d, law->h, sizeof law->h);
}

mbl_digest mbl_film_key_of(const mbl_surroundings *at, mbl_surface surface)
{
    const mbl_brake *b = at->brake;
    const mbl_rotor *r = &b->rotor;
    const mbl_duct *d = &b->duct;
    /* no duct reaches rim, hat and hub */
    bool ducted = d->present && surface != MBL_SURFACE_RIM && surface != MBL_SURFACE_HUB;
    mbl_digest key;
    mbl_digest_start(&key);
    const double numbers[] = {
        surface,     at->tyre_radius, at->ambient,        at->p,
        r->diameter, r->hat,          mbl_rotor_vanes(r), mbl_rotor_pumping(r),
        b->airflow,  b->still_air,    d->present};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        mbl_digest_number(&key, numbers[i]);
    /* nothing else asks for the channels */
    if (surface == MBL_SURFACE_VANES) {
        const double vanes[] = {at->vanes.count, at->vanes.outer, at->vanes.inner, at->vanes.gap,
                                at->vanes.solid};
        for (size_t i = 0; i < sizeof vanes / sizeof *vanes; i++)
            mbl_digest_number(&key, vanes[i]);
    }
    if (ducted) {
        double recovery = d->recovery == d->recovery ? d->recovery : mbl_inlet_recovery(d->inlet);
        const double duct[] = {d->bore,  d->length, d->bends, recovery,         d->hose,
                               d->hoses, d->split,  d->taped, d->back_pressure, d->aim};
        for (size_t i = 0; i < sizeof duct / sizeof *duct; i++)
            mbl_digest_number(&key, duct[i]);
    }
    add_law(&key, b->cooling.faces);
    add_law(&key, b->cooling.vanes);
    add_law(&key, b->cooling.caliper);
    return key;
}

const double *mbl_film_store_find(const mbl_film_store *store, const mbl_digest *key)
{
    for (size_t i = 0; i < store->n; i++) {
        if (mbl_digest_same(&store->entry[i].key, key))
            return store->entry[i].samples;
    }
    return NULL;
}

/* An entry to write to, or NULL. */
static entry *place(mbl_film_store *store)
{
    if (store->n == MBL_FILM_STORE_MOST) {
        store->next = (store->next + 1) % MBL_FILM_STORE_MOST;
        return &store->entry[store->next];
    }
    if (store->n == store->room) {
        size_t room = store->room == 0 ? 16 : 2 * store->room;
        entry *moved = mbl_resize(store->alloc, store->entry, store->room, room, sizeof(entry));
        if (moved == NULL)
            return NULL;
        store->entry = moved;
        store->room = room;
    }
    return &store->entry[store->n++];
}

void mbl_film_store_keep(mbl_film_store *store, const mbl_digest *key, const double *samples)
{
    entry *e = place(store);
    if (e == NULL)
        return;
    e->key = *key;
    memcpy(e->samples, samples, sizeof e->samples);
}
