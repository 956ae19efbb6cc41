/* SPDX-License-Identifier: MIT */
#include "study/shortlist.h"

#include "study/shortlist_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct search {
    const mbl_shortlist_ask *ask;
    mbl_shortlist *list;
    mbl_picks picks;
    size_t next;    /* unit that the source looks at next */
    size_t settled; /* units that are counted */
    size_t flight;
    size_t *unit; /* (flight) place of the unit of a row */
    mbl_run *run; /* scratch: a drive as another of its combinations */
    mbl_car *car; /* scratch */
} search;

/* What the next drive has to beat: INFINITY while the list is not full. */
static double bound(const search *s)
{
    const mbl_shortlist *list = s->list;
    if (list->n < s->ask->want)
        return INFINITY;
    return mbl_choice_first(s->ask->by, &list->row[list->n - 1]);
}

/* ---- the user's rule ---- */

/* State of a combination that the rule refuses for this reason; the last reason takes the rest. */
static unsigned char refused(mbl_shortlist *list, const char *why)
{
    size_t i = 0;
    while (i < list->nwhys && strcmp(list->why[i].text, why) != 0)
        i++;
    if (i < list->nwhys)
        return (unsigned char)(MBL_STATE_WHY + i);
    if (list->nwhys == MBL_WHYS) {
        snprintf(list->why[MBL_WHYS - 1].text, MBL_WHY, "other reasons");
        return MBL_STATE_WHY + MBL_WHYS - 1;
    }
    snprintf(list->why[list->nwhys].text, MBL_WHY, "%s", why);
    return (unsigned char)(MBL_STATE_WHY + list->nwhys++);
}

/* Asks the rule about every combination of a unit; *open is one that is left, if any. */
static mbl_status ask_rule(search *s, size_t unit, mbl_pick open, bool *any, mbl_error *err)
{
    mbl_members m;
    mbl_pick pick;
    size_t number;
    *any = false;
    mbl_members_begin(&m, &s->picks, unit);
    while (mbl_members_next(&m, pick, &number)) {
        bool fits = true;
        char why[MBL_WHY] = "";
        if (s->picks.state[number] != MBL_STATE_OPEN)
            continue;
        if (s->ask->fit != NULL)
            MBL_TRY(s->ask->fit(s->ask->ctx, pick, &fits, why, err));
        if (!fits) {
            s->picks.state[number] = refused(s->list, why);
        } else if (!*any) {
            memcpy(open, pick, sizeof(mbl_pick));
            *any = true;
        }
    }
    return MBL_OK;
}

/* ---- one unit that was settled ---- */

static void count_refused(search *s, size_t place)
{
    mbl_members m;
    mbl_pick pick;
    size_t number;
    mbl_members_begin(&m, &s->picks, s->picks.unit[place].number);
    while (mbl_members_next(&m, pick, &number)) {
        unsigned char state = s->picks.state[number];
        if (state < MBL_STATE_WHY)
            continue;
        s->list->misfit[MBL_MISFIT_ASKED]++;
        s->list->why[state - MBL_STATE_WHY].n++;
    }
}

/* Into the list where it belongs, when it does. */
static void rank(search *s, const mbl_choice *c)
{
    mbl_shortlist *list = s->list;
    size_t at = list->n;
    while (at > 0 && mbl_choice_before(s->ask->by, c, &list->row[at - 1]))
        at--;
    if (at == s->ask->want)
        return;
    list->n += list->n < s->ask->want;
    memmove(&list->row[at + 1], &list->row[at], (list->n - 1 - at) * sizeof *list->row);
    list->row[at] = *c;
}

static void judge(search *s, const mbl_pick pick, size_t number)
{
    mbl_shortlist *list = s->list;
    mbl_choice c;
    mbl_shortlist_car(s->ask, pick, s->car);
    if (mbl_shortlist_first(s->ask, pick, s->car) > bound(s))
        return; /* counted as later */
    mbl_choice_rejudge(s->run, s->car);
    mbl_choice_read(s->ask, pick, number, s->run, &c);
    list->judged++;
    if (c.verdict <= s->ask->need) {
        list->held++;
        rank(s, &c);
    }
    if (!list->missed || mbl_choice_nearer(s->ask->by, &c, &list->nearest))
        list->nearest = c;
    list->missed = true;
}

static void judge_all(search *s, size_t place, const mbl_run *run, const mbl_error *why)
{
    mbl_members m;
    mbl_pick pick;
    size_t number;
    if (run != NULL)
        *s->run = *run;
    else if (s->list->failure[0] == '\0')
        snprintf(s->list->failure, sizeof s->list->failure, "%.40s%s%.100s", why->path,
                 why->path[0] != '\0' ? ": " : "", why->text);
    mbl_members_begin(&m, &s->picks, s->picks.unit[place].number);
    while (mbl_members_next(&m, pick, &number)) {
        if (s->picks.state[number] != MBL_STATE_OPEN)
            continue;
        if (run != NULL)
            judge(s, pick, number);
        else
            s->list->failed++;
    }
}

/* ---- the batch ---- */

static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    search *s = ctx;
    mbl_pick pick;
    bool any = false;
    size_t place = s->next;
    for (; place < s->picks.open && !any; place++) {
        if (s->picks.unit[place].best > bound(s))
            return MBL_OK;
        MBL_TRY(ask_rule(s, s->picks.unit[place].number, pick, &any, err));
        s->next = place + 1;
    }
    if (!any)
        return MBL_OK;
    s->unit[i % s->flight] = s->next - 1;
    *out = *s->ask->setup;
    mbl_shortlist_car(s->ask, pick, &out->car);
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

/* Counts come out the same however many rows were given ahead: what lies beyond the bound when its
 * turn comes was not asked for. */
static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    search *s = ctx;
    size_t place = s->unit[i % s->flight];
    (void)err;
    if (s->picks.unit[place].best > bound(s))
        return MBL_OK;
    for (; s->settled <= place; s->settled++)
        count_refused(s, s->settled);
    s->list->drives++;
    judge_all(s, place, run, why);
    if (s->ask->told != NULL)
        s->ask->told(s->ask->ctx, s->list->drives, s->picks.open);
    return MBL_OK;
}

static mbl_status drive(search *s, mbl_error *err)
{
    const mbl_shortlist_ask *ask = s->ask;
    mbl_batch batch = {.source = give,
                       .sink = take,
                       .ctx = s,
                       .rows = s->picks.open,
                       .workers = ask->workers,
                       .stop = ask->stop};
    size_t done = 0;
    s->flight = mbl_batch_flight(&batch);
    s->unit = mbl_new(ask->alloc, s->flight, sizeof *s->unit);
    s->run = mbl_new(ask->alloc, 1, sizeof *s->run);
    s->car = mbl_new(ask->alloc, 1, sizeof *s->car);
    mbl_status status = MBL_OK;
    if (s->unit == NULL || s->run == NULL || s->car == NULL)
        status = mbl_fail(err, MBL_MEMORY, "out of memory for a shortlist");
    if (status == MBL_OK && s->picks.open > 0)
        status = mbl_batch_run(&batch, &done, err);
    for (; s->settled < s->next && s->picks.unit[s->settled].best <= bound(s); s->settled++)
        count_refused(s, s->settled);
    mbl_free(ask->alloc, s->unit, s->flight, sizeof *s->unit);
    mbl_free(ask->alloc, s->run, 1, sizeof *s->run);
    mbl_free(ask->alloc, s->car, 1, sizeof *s->car);
    return status;
}

/* ---- after it ---- */

static void find_steps_up(mbl_shortlist *list)
{
    for (size_t i = 0; i < list->n; i++) {
        size_t up = i + 1;
        while (up < list->n && !(list->row[up].closest > list->row[i].closest))
            up++;
        list->row[i].up = up < list->n ? up : SIZE_MAX;
    }
}

static void close_counts(mbl_shortlist *list)
{
    size_t seen = list->panic + list->failed + list->judged;
    for (int i = 0; i < MBL_MISFITS; i++)
        seen += list->misfit[i];
    list->later = list->all - seen;
    list->missed = list->missed && list->held == 0;
}

mbl_status mbl_shortlist_run(const mbl_shortlist_ask *ask, mbl_shortlist *out, mbl_error *err)
{
    mbl_shortlist list = {.alloc = ask->alloc};
    search s = {.ask = ask, .list = &list};
    list.row = mbl_new(ask->alloc, MBL_SHORTLIST_WANT, sizeof *list.row);
    mbl_status status = MBL_OK;
    if (list.row == NULL)
        status = mbl_fail(err, MBL_MEMORY, "out of memory for a shortlist");
    if (status == MBL_OK)
        status = mbl_picks_make(ask, &list, &s.picks, err);
    if (status == MBL_OK)
        status = mbl_shortlist_alone(ask, &list, err);
    if (status == MBL_OK)
        status = drive(&s, err);
    if (status == MBL_OK)
        status = mbl_shortlist_climb(ask, &s.picks, &list, err);
    if (s.picks.ask != NULL)
        mbl_picks_free(&s.picks);
    if (status != MBL_OK) {
        mbl_shortlist_free(&list);
        return status;
    }
    find_steps_up(&list);
    close_counts(&list);
    *out = list;
    return MBL_OK;
}

void mbl_shortlist_free(mbl_shortlist *list)
{
    mbl_free(list->alloc, list->row, MBL_SHORTLIST_WANT, sizeof *list->row);
    *list = (mbl_shortlist){0};
}
