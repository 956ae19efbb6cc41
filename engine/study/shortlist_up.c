/* SPDX-License-Identifier: MIT */
/*
 * The step up from a list: the first in rank of all packages that leaves more than any that is
 * listed. Units are driven once more in the order of what they can rank at best, as what the list
 * had no room for was not judged; one that is found is the bound for the rest.
 */
#include "study/shortlist_parts.h"

#include <math.h>
#include <string.h>

/* Drives beyond those of the list after which none is looked for any more: it is an aside of the
 * answer, and where every package leaves the same there may be none in a million. */
enum { DRIVES_MORE = 256 };

typedef struct climb {
    const mbl_shortlist_ask *ask;
    mbl_shortlist *list;
    const mbl_picks *picks;
    double leaves; /* most `closest` in the list */
    size_t next, flight;
    size_t *unit; /* (flight) */
    mbl_run *run; /* scratch */
    mbl_car *car; /* scratch */
} climb;

static size_t most(const climb *c)
{
    return c->list->drives + DRIVES_MORE;
}

static double bound(const climb *c)
{
    return c->list->stepped ? mbl_choice_first(c->ask->by, &c->list->step) : INFINITY;
}

static bool over(const climb *c, size_t place)
{
    return place >= c->picks->open || c->list->step_drives >= most(c) ||
           c->picks->unit[place].best > bound(c);
}

/* A combination of a unit that may be driven: the user's rule was asked about those of the list's
 * units, and of others it is asked now. */
static mbl_status find_open(climb *c, size_t place, mbl_pick open, bool *any, mbl_error *err)
{
    mbl_members m;
    mbl_pick pick;
    size_t number;
    *any = false;
    mbl_members_begin(&m, c->picks, c->picks->unit[place].number);
    while (!*any && mbl_members_next(&m, pick, &number)) {
        char why[MBL_WHY];
        *any = c->picks->state[number] == MBL_STATE_OPEN;
        if (*any && c->ask->fit != NULL)
            MBL_TRY(c->ask->fit(c->ask->ctx, pick, any, why, err));
    }
    memcpy(open, pick, sizeof(mbl_pick));
    return MBL_OK;
}

static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    climb *c = ctx;
    mbl_pick pick;
    bool any = false;
    while (!any && !over(c, c->next))
        MBL_TRY(find_open(c, c->next++, pick, &any, err));
    if (!any)
        return MBL_OK;
    c->unit[i % c->flight] = c->next - 1;
    *out = *c->ask->setup;
    mbl_shortlist_car(c->ask, pick, &out->car);
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status judge(climb *c, const mbl_pick pick, size_t number, mbl_error *err)
{
    mbl_choice choice;
    bool fits = true;
    char why[MBL_WHY];
    mbl_shortlist_car(c->ask, pick, c->car);
    if (c->picks->state[number] != MBL_STATE_OPEN ||
        mbl_shortlist_first(c->ask, pick, c->car) > bound(c))
        return MBL_OK;
    mbl_choice_rejudge(c->run, c->car);
    mbl_choice_read(c->ask, pick, number, c->run, &choice);
    if (choice.verdict > c->ask->need || !(choice.closest > c->leaves))
        return MBL_OK;
    if (c->ask->fit != NULL)
        MBL_TRY(c->ask->fit(c->ask->ctx, pick, &fits, why, err));
    if (fits && (!c->list->stepped || mbl_choice_before(c->ask->by, &choice, &c->list->step))) {
        c->list->step = choice;
        c->list->stepped = true;
    }
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    climb *c = ctx;
    size_t place = c->unit[i % c->flight];
    mbl_members m;
    mbl_pick pick;
    size_t number;
    (void)why;
    if (over(c, place))
        return MBL_OK;
    c->list->step_drives++;
    if (run == NULL)
        return MBL_OK;
    *c->run = *run;
    mbl_members_begin(&m, c->picks, c->picks->unit[place].number);
    while (mbl_members_next(&m, pick, &number))
        MBL_TRY(judge(c, pick, number, err));
    return MBL_OK;
}

mbl_status mbl_shortlist_climb(const mbl_shortlist_ask *ask, const mbl_picks *picks,
                               mbl_shortlist *list, mbl_error *err)
{
    climb c = {.ask = ask, .list = list, .picks = picks, .leaves = -INFINITY};
    size_t done = 0;
    /* a list that is not full has all that hold */
    if (list->n < ask->want)
        return MBL_OK;
    for (size_t i = 0; i < list->n; i++)
        c.leaves = fmax(c.leaves, list->row[i].closest);
    mbl_batch batch = {.source = give,
                       .sink = take,
                       .ctx = &c,
                       .rows = picks->open < most(&c) ? picks->open : most(&c),
                       .workers = ask->workers,
                       .stop = ask->stop};
    c.flight = mbl_batch_flight(&batch);
    c.unit = mbl_new(ask->alloc, c.flight, sizeof *c.unit);
    c.run = mbl_new(ask->alloc, 1, sizeof *c.run);
    c.car = mbl_new(ask->alloc, 1, sizeof *c.car);
    mbl_status status = MBL_OK;
    if (c.unit == NULL || c.run == NULL || c.car == NULL)
        status = mbl_fail(err, MBL_MEMORY, "out of memory for a step up");
    else
        status = mbl_batch_run(&batch, &done, err);
    mbl_free(ask->alloc, c.unit, c.flight, sizeof *c.unit);
    mbl_free(ask->alloc, c.run, 1, sizeof *c.run);
    mbl_free(ask->alloc, c.car, 1, sizeof *c.car);
    return status;
}
