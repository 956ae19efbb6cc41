/* SPDX-License-Identifier: MIT */
#include "support/run_digest.h"

/* Field by field, as gaps between fields may hold anything. */
#define ADD(field) mbl_digest_add(d, &(field), sizeof(field))

static void add_peaks(mbl_digest *d, const mbl_peak *p, int n)
{
    for (int i = 0; i < n; i++) {
        ADD(p[i].T);
        ADD(p[i].at);
        ADD(p[i].lap);
        ADD(p[i].parked);
    }
}

static void add_passing(mbl_digest *d, const mbl_passing *p)
{
    ADD(p->lap);
    ADD(p->parked);
    ADD(p->above);
}

static void add_life(mbl_digest *d, const mbl_life_result *l)
{
    ADD(l->pad_session);
    ADD(l->pad_now);
    ADD(l->pad_end);
    ADD(l->pad_event);
    ADD(l->pad_sessions);
    ADD(l->pad_sets);
    ADD(l->rotor_session);
    ADD(l->rotor_event);
    ADD(l->rotor_sessions);
    ADD(l->rotor_sets);
    ADD(l->cycles);
    ADD(l->crack);
    ADD(l->stress);
}

static void add_axle(mbl_digest *d, const mbl_axle_result *a)
{
    add_peaks(d, a->peak, MBL_CORNER_NODES);
    add_peaks(d, a->track, MBL_CORNER_NODES);
    add_peaks(d, a->parked, MBL_CORNER_NODES);
    ADD(a->wet);
    ADD(a->now);
    ADD(a->margin_wet);
    ADD(a->margin_now);
    ADD(a->margin);
    add_passing(d, &a->wet_passed);
    add_passing(d, &a->boils);
    ADD(a->work);
    ADD(a->worn);
    ADD(a->vapour);
    ADD(a->duct_flow);
    add_life(d, &a->life);
}

/* Reports and applications are numbers without gaps. */
_Static_assert(sizeof(mbl_leg_report) == 19 * sizeof(double), "a report without gaps");

static void add_leg(mbl_digest *d, const mbl_leg_result *r)
{
    ADD(r->leg.kind);
    ADD(r->leg.phase);
    ADD(r->leg.lap);
    ADD(r->leg.start);
    ADD(r->leg.end);
    ADD(r->leg.pace);
    ADD(r->leg.duration);
    ADD(r->leg.speed);
    ADD(r->report);
    ADD(r->peak);
}

static void add_check(mbl_digest *d, const mbl_check *c)
{
    ADD(c->kind);
    ADD(c->axle);
    ADD(c->limit);
    ADD(c->margin);
    ADD(c->band);
    add_peaks(d, &c->peak, 1);
    add_passing(d, &c->passing);
    ADD(c->verdict);
}

static void add_pedal(mbl_digest *d, const mbl_pedal_result *p)
{
    ADD(p->hardest);
    ADD(p->lap);
    ADD(p->pressure);
    ADD(p->effort);
    ADD(p->run_out);
    ADD(p->reaches);
    ADD(p->travel);
    ADD(p->with_vapour);
    ADD(p->knock_back);
    ADD(p->panic);
    ADD(p->rating);
    ADD(p->shortfall);
    ADD(p->shortfall_lap);
}

static void add_balance(mbl_digest *d, const mbl_balance_result *b)
{
    ADD(b->known);
    ADD(b->asked);
    ADD(b->lap);
    ADD(b->front);
    ADD(b->ideal);
    ADD(b->grip);
    ADD(b->lock.axle);
    ADD(b->lock.pressure);
    ADD(b->lock.deceleration);
    ADD(b->lock.front);
    ADD(b->lock.ideal);
    ADD(b->ahead);
    ADD(b->ahead_mu);
    ADD(b->ahead_grip);
    ADD(b->ahead_lap);
    ADD(b->bite);
    ADD(b->turns);
}

static void add_bill(mbl_digest *d, const mbl_bill *b)
{
    ADD(b->parts);
    ADD(b->labour);
    ADD(b->event);
    ADD(b->pads_event);
    ADD(b->rotors_event);
    ADD(b->fluid_event);
    ADD(b->unpriced);
}

mbl_digest run_digest(const mbl_run *run)
{
    mbl_digest digest;
    mbl_digest *d = &digest;
    mbl_digest_start(d);
    ADD(run->nlegs);
    for (size_t i = 0; i < run->nlegs; i++)
        add_leg(d, &run->legs[i]);
    ADD(run->laps);
    ADD(run->duration);
    ADD(run->hot_energy);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        add_axle(d, &run->axle[axle]);
    ADD(run->nown);
    add_peaks(d, run->own, run->nown);
    ADD(run->npaths);
    mbl_digest_add(d, run->lost_by_path, run->npaths * sizeof *run->lost_by_path);
    ADD(run->ledger);
    add_peaks(d, run->first_stop, MBL_AXLES);
    add_peaks(d, run->gradient, MBL_AXLES);
    ADD(run->nchecks);
    for (int i = 0; i < run->nchecks; i++)
        add_check(d, &run->checks[i]);
    ADD(run->verdict);
    add_pedal(d, &run->pedal);
    add_balance(d, &run->balance);
    ADD(run->weights);
    add_bill(d, &run->bill);
    return digest;
}
