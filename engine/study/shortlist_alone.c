/* SPDX-License-Identifier: MIT */
/* The car as it is, and each option by itself on it: few, so each is driven as a row of its own. */
#include "study/shortlist_parts.h"

#include <string.h>

typedef struct aside {
    size_t slot;
    mbl_pick pick;
} aside;

typedef struct asides {
    const mbl_shortlist_ask *ask;
    mbl_shortlist *list;
    size_t n;
    aside *of; /* the car as it is first */
} asides;

/* One option on the car as it is, where that fits. */
static mbl_status add(asides *a, mbl_car *car, size_t slot, size_t option, mbl_error *err)
{
    const mbl_shortlist_ask *ask = a->ask;
    aside *next = &a->of[a->n];
    bool fits = true;
    char why[MBL_WHY] = "";
    *next = (aside){.slot = slot};
    next->pick[slot] = (unsigned)option;
    mbl_shortlist_car(ask, next->pick, car);
    if (mbl_shortlist_misfit(ask, next->pick, car) != MBL_FITS)
        return MBL_OK;
    if (ask->fit != NULL)
        MBL_TRY(ask->fit(ask->ctx, next->pick, &fits, why, err));
    a->n += fits;
    return MBL_OK;
}

static mbl_status collect(asides *a, mbl_car *car, mbl_error *err)
{
    a->of[0] = (aside){.slot = SIZE_MAX};
    a->n = 1;
    for (size_t s = 0; s < a->ask->nslots; s++)
        for (size_t i = 1; i < a->ask->slot[s].n; i++)
            MBL_TRY(add(a, car, s, i, err));
    return MBL_OK;
}

static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    const asides *a = ctx;
    (void)err;
    if (i >= a->n)
        return MBL_OK;
    *out = *a->ask->setup;
    mbl_shortlist_car(a->ask, a->of[i].pick, &out->car);
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    const asides *a = ctx;
    const aside *of = &a->of[i];
    a->list->aside++;
    if (run == NULL && i == 0) {
        *err = *why; /* what the car as it is cannot do, no answer is about */
        return MBL_INPUT;
    }
    if (run == NULL)
        return MBL_OK;
    mbl_choice c;
    mbl_choice_read(a->ask, of->pick, SIZE_MAX, run, &c);
    if (i == 0) {
        a->list->as_is = c;
        return MBL_OK;
    }
    mbl_alone *alone = &a->list->alone[of->slot];
    bool holds = c.verdict <= a->ask->need;
    bool better = !alone->any || (holds && !alone->holds);
    if (!better && holds == alone->holds)
        better = holds ? mbl_choice_before(a->ask->by, &c, &alone->best)
                       : mbl_choice_nearer(a->ask->by, &c, &alone->best);
    if (better)
        *alone = (mbl_alone){.any = true, .holds = holds, .best = c};
    return MBL_OK;
}

mbl_status mbl_shortlist_alone(const mbl_shortlist_ask *ask, mbl_shortlist *list, mbl_error *err)
{
    size_t most = 1;
    for (size_t i = 0; i < ask->nslots; i++)
        most += ask->slot[i].n;
    asides a = {.ask = ask, .list = list, .of = mbl_new(ask->alloc, most, sizeof *a.of)};
    mbl_car *car = mbl_new(ask->alloc, 1, sizeof *car);
    size_t done = 0;
    mbl_status status = MBL_OK;
    if (a.of == NULL || car == NULL)
        status = mbl_fail(err, MBL_MEMORY, "out of memory for single changes");
    else
        status = collect(&a, car, err);
    if (status == MBL_OK) {
        mbl_batch batch = {.source = give,
                           .sink = take,
                           .ctx = &a,
                           .rows = a.n,
                           .workers = ask->workers,
                           .stop = ask->stop};
        status = mbl_batch_run(&batch, &done, err);
    }
    mbl_free(ask->alloc, a.of, most, sizeof *a.of);
    mbl_free(ask->alloc, car, 1, sizeof *car);
    return status;
}
