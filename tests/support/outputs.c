/* SPDX-License-Identifier: MIT */
#include "support/outputs.h"

#include "study/compare.h"
#include "study/session.h"
#include "support/test.h"

static void put(outputs *o, double x)
{
    assert_true(o->n < OUTPUTS);
    o->v[o->n++] = x;
}

static void put_all(outputs *o, const double *from, size_t bytes)
{
    for (size_t i = 0; i < bytes / sizeof *from; i++)
        put(o, from[i]);
}

static void put_axle(outputs *o, const mbl_axle_result *a)
{
    for (int i = 0; i < MBL_CORNER_NODES; i++) {
        put(o, a->peak[i].T);
        put(o, a->parked[i].T);
    }
    const double own[] = {a->wet, a->now, a->margin, a->work, a->worn, a->vapour, a->duct_flow};
    put_all(o, own, sizeof own);
    const mbl_life_result *l = &a->life;
    const double life[] = {l->pad_now,    l->pad_end,       l->pad_event,   l->pad_sessions,
                           l->pad_sets,   l->rotor_session, l->rotor_event, l->rotor_sessions,
                           l->rotor_sets, l->cycles,        l->crack,       l->stress};
    put_all(o, life, sizeof life);
}

/* By kind, not by rank: a check that is not there has numbers of its own. */
static void put_checks(outputs *o, const mbl_run *run)
{
    for (int axle = MBL_WHOLE_CAR; axle < MBL_AXLES; axle++) {
        for (int k = 0; k < MBL_CHECK_KINDS; k++) {
            const mbl_check *c = mbl_run_check_of(run, (mbl_check_kind)k, axle);
            put(o, c != NULL ? c->margin : -1);
            put(o, c != NULL ? c->band : -1);
            put(o, c != NULL ? c->limit : -1);
        }
    }
}

static void put_package(outputs *o, const mbl_run *run)
{
    const mbl_pedal_result *p = &run->pedal;
    const double pedal[] = {p->pressure[0], p->pressure[1],  p->effort,      p->run_out,
                            p->reaches,     p->travel.pad,   p->travel.used, p->knock_back,
                            p->panic[0],    p->panic[1],     p->rating[0],   p->rating[1],
                            p->shortfall,   p->shortfall_lap};
    put_all(o, pedal, sizeof pedal);
    const mbl_balance_result *b = &run->balance;
    const double balance[] = {b->asked, b->front,      b->ideal, b->grip, b->lock.pressure,
                              b->ahead, b->ahead_grip, b->bite,  b->turns};
    put_all(o, balance, sizeof balance);
    const mbl_weights *w = &run->weights;
    const double weights[] = {w->unsprung, w->inertia, w->equivalent, w->ring_off[0],
                              w->ring_off[1]};
    put_all(o, weights, sizeof weights);
    const mbl_bill *bill = &run->bill;
    const double money[] = {bill->parts, bill->labour, bill->event, bill->unpriced};
    put_all(o, money, sizeof money);
}

static void put_run(outputs *o, const mbl_run *run)
{
    for (int axle = 0; axle < MBL_AXLES; axle++)
        put_axle(o, &run->axle[axle]);
    put_checks(o, run);
    put_package(o, run);
    const double whole[] = {run->ledger.energy, run->duration, (double)run->nlegs,
                            mbl_run_bleed_months(run)};
    put_all(o, whole, sizeof whole);
}

outputs outputs_quick(const mbl_case *c, mbl_film_store *films)
{
    mbl_error err = {0};
    mbl_run *run = NULL;
    outputs o = {0};
    assert_ok(mbl_run_quick(&mbl_alloc_libc, c, 0, films, &run, &err), err);
    put_run(&o, run);
    mbl_run_free(run);
    return o;
}

outputs outputs_full(const mbl_case *c)
{
    mbl_error err = {0};
    mbl_run *run = NULL;
    outputs o = {0};
    assert_ok(mbl_run_make(&mbl_alloc_libc, c, NULL, 0, &run, &err), err);
    assert_ok(mbl_run_plan(run, &err), err);
    put_run(&o, run);
    put(&o, run->reach.holds);
    put(&o, run->plan->cool);
    put(&o, run->plan->gap);
    put(&o, run->plan->skip_margin);
    put(&o, run->plan->worst_check.margin);
    put(&o, run->base != NULL);
    if (run->base != NULL) {
        mbl_comparison cmp;
        mbl_compare(run->base, run, &cmp);
        put(&o, cmp.master_unchanged);
        put(&o, cmp.travel);
        put(&o, cmp.front_share);
        for (int i = 0; i < cmp.n; i++) {
            put(&o, cmp.row[i].before);
            put(&o, cmp.row[i].after);
        }
    }
    mbl_run_free(run);
    return o;
}

bool outputs_same(const outputs *a, const outputs *b)
{
    if (a->n != b->n)
        return false;
    for (size_t i = 0; i < a->n; i++) {
        if (!(a->v[i] == b->v[i] || (isnan(a->v[i]) && isnan(b->v[i]))))
            return false;
    }
    return true;
}
