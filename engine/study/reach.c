/* SPDX-License-Identifier: MIT */
#include "study/reach.h"

#include <math.h>

/* Node temperatures that differ by less than this from the lap before have settled, K. */
static const double settled = 0.005;

mbl_status mbl_reach_begin(mbl_reach_search *s, const mbl_drive *d, mbl_error *err)
{
    *s = (mbl_reach_search){.alloc = d->alloc,
                            .state_size = mbl_drive_state_size(d),
                            .nodes = (size_t)d->model->nnodes};
    size_t end = d->route->plan.last_hot;
    if (end >= d->route->plan.n)
        return MBL_OK;
    s->first = end;
    while (s->first > 0 && d->route->plan.leg[s->first - 1].phase == MBL_PHASE_HOT)
        s->first--;
    s->laps = end - s->first + 1;
    size_t room = s->laps + MBL_MORE_LAPS_CAP + 1;
    s->states = mbl_new(s->alloc, room, s->state_size * sizeof(double));
    s->in_lap = mbl_new(s->alloc, room, sizeof *s->in_lap);
    if (s->states == NULL || s->in_lap == NULL) {
        mbl_reach_end(s);
        return mbl_fail(err, MBL_MEMORY, "out of memory keeping the state of %zu laps", room);
    }
    if (s->first == 0) {
        mbl_drive_save(d, s->states);
        s->kept = 1;
    }
    return MBL_OK;
}

void mbl_reach_end(mbl_reach_search *s)
{
    size_t room = s->laps + MBL_MORE_LAPS_CAP + 1;
    mbl_free(s->alloc, s->states, room, s->state_size * sizeof(double));
    mbl_free(s->alloc, s->in_lap, room, sizeof *s->in_lap);
    s->states = NULL;
    s->in_lap = NULL;
}

/* What passed a limit in the leg just driven: a temperature, or pads worn through. */
static mbl_reach_pass passed(const mbl_case *setup, const mbl_drive *d, const mbl_leg *leg,
                             const mbl_watch watch[MBL_WATCHES])
{
    mbl_reach_pass p = {.parked = mbl_leg_stands(leg)};
    p.passed = mbl_checks_passed(setup, watch, &p.kind, &p.axle);
    for (int axle = 0; axle < MBL_AXLES && !p.passed; axle++) {
        const mbl_pad *pad = &mbl_car_brake(&setup->car, axle)->pad;
        p.passed = mbl_corner_pad_left(d->block, 0, axle, pad) < mbl_pad_worn_at(pad);
        p.kind = MBL_CHECK_WORN;
        p.axle = axle;
    }
    return p;
}

void mbl_reach_note(mbl_reach_search *s, const mbl_case *setup, const mbl_drive *d, size_t leg,
                    const mbl_watch watch[MBL_WATCHES])
{
    if (s->laps == 0 || leg >= s->first + s->laps)
        return;
    mbl_reach_pass p = passed(setup, d, &d->route->plan.leg[leg], watch);
    if (leg < s->first) {
        if (p.passed && !s->before.passed)
            s->before = p;
        if (leg + 1 < s->first)
            return;
    } else {
        s->in_lap[s->kept] = p;
    }
    mbl_drive_save(d, s->states + s->kept * s->state_size);
    s->kept++;
}

/* Did the temperatures settle between two states? They follow the two numbers of the drive. */
static bool same_lap(const mbl_reach_search *s, size_t lap)
{
    const double *now = s->states + lap * s->state_size;
    const double *before = now - s->state_size;
    if (now[1] != before[1])
        return false; /* fuel still burns off */
    for (size_t i = 0; i < s->nodes; i++) {
        size_t T = 2 + s->nodes + i; /* H, then T */
        if (fabs(now[T] - before[T]) > settled)
            return false;
    }
    return true;
}

/* Laps that the pads last when every lap goes on like the last one, of at most `cap`. */
static size_t laps_of_pads(const mbl_case *setup, const mbl_leg_report *before,
                           const mbl_leg_report *last, size_t lap, size_t cap, mbl_reach_pass *pass)
{
    size_t laps = cap;
    *pass = (mbl_reach_pass){0};
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_pad *pad = &mbl_car_brake(&setup->car, axle)->pad;
        double each = before->pad_left[axle] - last->pad_left[axle];
        double spare = last->pad_left[axle] - mbl_pad_worn_at(pad);
        double more = each > 0 ? floor(spare / each) : INFINITY;
        if ((double)lap + more >= (double)laps)
            continue;
        laps = lap + (size_t)more;
        *pass = (mbl_reach_pass){.passed = true, .kind = MBL_CHECK_WORN, .axle = axle};
    }
    return laps;
}

/*
 * Drives on past the stint until a limit is passed, the laps settle, or the cap is reached.
 * *laps is how many laps of the run pass no limit on track.
 */
static mbl_status go_on(mbl_reach_search *s, const mbl_case *setup, mbl_drive *d,
                        const mbl_watch watch[MBL_WATCHES], size_t *laps, mbl_reach_pass *pass,
                        mbl_error *err)
{
    for (size_t j = 1; j <= s->laps; j++) {
        if (s->in_lap[j].passed) {
            *laps = j - 1;
            *pass = s->in_lap[j];
            return MBL_OK;
        }
    }
    /* after a logged session the lap that repeats is the median one */
    mbl_leg hot = d->route->plan.leg[d->route->plan.last_hot];
    size_t cap = s->laps + MBL_MORE_LAPS_CAP;
    mbl_drive_load(d, s->states + s->laps * s->state_size);
    mbl_leg_report report = {0};
    for (size_t j = s->laps + 1; j <= cap; j++) {
        mbl_leg_report before = report;
        MBL_TRY(mbl_drive_leg(d, &hot, NULL, &report, err));
        mbl_drive_save(d, s->states + s->kept * s->state_size);
        s->in_lap[s->kept] = passed(setup, d, &hot, watch);
        s->kept++;
        if (s->in_lap[j].passed) {
            *laps = j - 1;
            *pass = s->in_lap[j];
            return MBL_OK;
        }
        if (before.mass > 0 && same_lap(s, j)) {
            *laps = laps_of_pads(setup, &before, &report, j, cap, pass);
            return MBL_OK;
        }
    }
    *laps = cap;
    *pass = (mbl_reach_pass){0};
    return MBL_OK;
}

/* What follows the run, from the state after `laps` laps of it. */
static mbl_status follow(const mbl_reach_search *s, const mbl_case *setup, mbl_drive *d,
                         const mbl_watch watch[MBL_WATCHES], size_t laps, mbl_reach_pass *pass,
                         mbl_error *err)
{
    size_t known = laps < s->kept ? laps : s->kept - 1; /* settled laps are all the same */
    mbl_drive_load(d, s->states + known * s->state_size);
    *pass = (mbl_reach_pass){0};
    for (size_t i = d->route->plan.last_hot + 1; i < d->route->plan.n && !pass->passed; i++) {
        mbl_leg_report report;
        MBL_TRY(mbl_drive_leg(d, &d->route->plan.leg[i], NULL, &report, err));
        *pass = passed(setup, d, &d->route->plan.leg[i], watch);
    }
    return MBL_OK;
}

mbl_status mbl_reach_find(mbl_reach_search *s, const mbl_case *setup, mbl_drive *d,
                          const mbl_watch watch[MBL_WATCHES], mbl_reach *out, mbl_error *err)
{
    *out = (mbl_reach){0};
    if (s->laps == 0)
        return MBL_OK;
    size_t laps = 0;
    mbl_reach_pass pass = s->before;
    if (!pass.passed) {
        MBL_TRY(go_on(s, setup, d, watch, &laps, &pass, err));
        mbl_reach_pass after;
        MBL_TRY(follow(s, setup, d, watch, laps, &after, err));
        if (after.passed) {
            /* more laps are never cooler: the last run length that still holds, by bisection */
            size_t fails = laps;
            size_t low = 0;
            pass = after;
            while (low < fails) {
                size_t mid = low + (fails - low) / 2;
                MBL_TRY(follow(s, setup, d, watch, mid, &after, err));
                if (after.passed) {
                    fails = mid;
                    pass = after;
                } else {
                    low = mid + 1;
                }
            }
            /* fails = 0: even without a hot lap it does not hold */
            laps = fails > 0 ? fails - 1 : 0;
        }
    }
    *out = (mbl_reach){.known = true,
                       .hot_laps = (int)s->laps,
                       .holds = (int)laps,
                       .capped = !pass.passed,
                       .limit = pass.kind,
                       .axle = pass.axle,
                       .parked = pass.parked};
    return MBL_OK;
}
