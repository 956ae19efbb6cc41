/* SPDX-License-Identifier: MIT */
/* What is not heat as JSON: pedal, balance, life, mass, money, plan, and the comparison. */
#include "out/json_parts.h"

#include "out/words.h"
#include "study/compare.h"
#include "study/session.h"

#include <math.h>

static void put_number(mbl_json *j, json_t *o, const char *key, double number)
{
    mbl_json_put(j, o, key, mbl_json_number(number));
}

/* { "front": , "rear": } */
static json_t *axles(mbl_json *j, const double of[MBL_AXLES])
{
    json_t *o = json_object();
    for (int axle = 0; axle < MBL_AXLES; axle++)
        put_number(j, o, mbl_axle_word(axle), of[axle]);
    return o;
}

static json_t *travel_object(mbl_json *j, const mbl_travel *t)
{
    json_t *volume = json_object();
    put_number(j, volume, "gap", t->gap);
    put_number(j, volume, "pads", t->pads);
    put_number(j, volume, "calipers", t->calipers);
    put_number(j, volume, "hoses", t->hoses);
    put_number(j, volume, "fluid", t->fluid);
    put_number(j, volume, "vapour", t->vapour);
    json_t *o = json_object();
    put_number(j, o, "pad", t->pad);
    put_number(j, o, "used", t->used);
    mbl_json_put(j, o, "stroke", axles(j, t->stroke));
    mbl_json_put(j, o, "volume", volume);
    return o;
}

json_t *mbl_json_pedal(mbl_json *j, const mbl_run *run)
{
    const mbl_pedal_result *p = &run->pedal;
    bool present = run->setup.car.pedal.present;
    json_t *o = json_object();
    mbl_json_put(j, o, "lap", mbl_json_lap(p->lap));
    put_number(j, o, "at", p->lap > 0 ? p->hardest.at : (double)NAN);
    put_number(j, o, "speed", p->lap > 0 ? p->hardest.speed : (double)NAN);
    mbl_json_put(j, o, "pressure", axles(j, p->pressure));
    mbl_json_put(j, o, "friction", p->lap > 0 ? axles(j, p->hardest.mu) : json_null());
    put_number(j, o, "effort", p->effort);
    put_number(j, o, "run_out", p->run_out);
    put_number(j, o, "reaches", present ? p->reaches : (double)NAN);
    mbl_json_put(j, o, "travel", present ? travel_object(j, &p->travel) : json_null());
    put_number(j, o, "used_with_vapour", present ? p->with_vapour : (double)NAN);
    put_number(j, o, "knock_back", p->knock_back);
    mbl_json_put(j, o, "panic", axles(j, p->panic));
    mbl_json_put(j, o, "rating", axles(j, p->rating));
    put_number(j, o, "shortfall", p->shortfall);
    mbl_json_put(j, o, "shortfall_lap", mbl_json_lap(p->shortfall_lap));
    return o;
}

json_t *mbl_json_balance(mbl_json *j, const mbl_run *run)
{
    const mbl_balance_result *b = &run->balance;
    json_t *o = json_object();
    put_number(j, o, "asked", b->asked);
    mbl_json_put(j, o, "lap", mbl_json_lap(b->lap));
    put_number(j, o, "front", b->front);
    put_number(j, o, "ideal", b->ideal);
    put_number(j, o, "turns", b->turns);
    json_t *lock = json_null();
    json_t *worst = json_null();
    if (b->known) {
        lock = json_object();
        mbl_json_put(j, lock, "axle", json_string(mbl_axle_word(b->lock.axle)));
        put_number(j, lock, "pressure", b->lock.pressure);
        put_number(j, lock, "deceleration", b->lock.deceleration);
        put_number(j, lock, "front", b->lock.front);
        put_number(j, lock, "ideal", b->lock.ideal);
        worst = json_object();
        put_number(j, worst, "ahead", b->ahead);
        put_number(j, worst, "grip_share", b->ahead_grip);
        mbl_json_put(j, worst, "lap", mbl_json_lap(b->ahead_lap));
        mbl_json_put(j, worst, "friction", axles(j, b->ahead_mu));
    }
    put_number(j, o, "grip", b->known ? b->grip : (double)NAN);
    put_number(j, o, "bite", b->known ? b->bite : (double)NAN);
    mbl_json_put(j, o, "first_lock", lock);
    mbl_json_put(j, o, "least_ahead", worst);
    return o;
}

json_t *mbl_json_life(mbl_json *j, const mbl_life_result *l)
{
    json_t *pad = json_object();
    put_number(j, pad, "now", l->pad_now);
    put_number(j, pad, "after_stint", l->pad_end);
    put_number(j, pad, "after_event", l->pad_event);
    put_number(j, pad, "sessions", l->pad_sessions);
    mbl_json_put(j, pad, "sets", json_integer(l->pad_sets));
    json_t *rotor = json_object();
    put_number(j, rotor, "worn_in_session", l->rotor_session);
    put_number(j, rotor, "after_event", l->rotor_event);
    put_number(j, rotor, "sessions", l->rotor_sessions);
    mbl_json_put(j, rotor, "sets", json_integer(l->rotor_sets));
    put_number(j, rotor, "cycles", l->cycles);
    put_number(j, rotor, "crack_indicator", l->crack);
    put_number(j, rotor, "skin_stress", l->stress);
    json_t *o = json_object();
    mbl_json_put(j, o, "pad", pad);
    mbl_json_put(j, o, "rotor", rotor);
    return o;
}

json_t *mbl_json_mass(mbl_json *j, const mbl_run *run)
{
    const mbl_weights *w = &run->weights;
    json_t *o = json_object();
    mbl_json_put(j, o, "rotor", axles(j, w->rotor));
    mbl_json_put(j, o, "pads", axles(j, w->pads));
    mbl_json_put(j, o, "caliper", axles(j, w->caliper));
    mbl_json_put(j, o, "duct", axles(j, w->duct));
    put_number(j, o, "unsprung", w->unsprung);
    put_number(j, o, "inertia", w->inertia);
    put_number(j, o, "equivalent", w->equivalent);
    mbl_json_put(j, o, "ring_over_geometry", axles(j, w->ring_off));
    return o;
}

json_t *mbl_json_cost(mbl_json *j, const mbl_run *run)
{
    const mbl_bill *b = &run->bill;
    json_t *o = json_object();
    put_number(j, o, "parts", b->parts);
    put_number(j, o, "labour", b->labour);
    put_number(j, o, "event", b->event);
    put_number(j, o, "pads_event", b->pads_event);
    put_number(j, o, "rotors_event", b->rotors_event);
    put_number(j, o, "fluid_event", b->fluid_event);
    mbl_json_put(j, o, "parts_without_price", json_integer(b->unpriced));
    return o;
}

json_t *mbl_json_plan(mbl_json *j, const mbl_run *run)
{
    const mbl_session_plan *p = run->plan;
    if (p == NULL || !p->known)
        return json_null();
    json_t *skipped = json_object();
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mbl_json_put(j, skipped, mbl_axle_word(axle), mbl_json_level(p->skip_fluid[axle].T));
    mbl_json_put(j, skipped, "margin", mbl_json_number(p->skip_margin));
    json_t *worst = json_object();
    mbl_json_put(j, worst, "verdict", json_string(mbl_verdict_word(p->worst)));
    put_number(j, worst, "hotter", MBL_HOT_DAY);
    mbl_json_put(j, worst, "check", mbl_json_check(j, run, &p->worst_check));
    json_t *o = json_object();
    mbl_json_put(j, o, "cool_down_laps", p->cool_known ? json_integer(p->cool) : json_null());
    put_number(j, o, "gap", p->gap);
    mbl_json_put(j, o, "cool_down_skipped", skipped);
    mbl_json_put(j, o, "worst_line", worst);
    return o;
}

/* The run before the change; it has no base of its own. */
static json_t *base_object(mbl_json *j, const mbl_run *base)
{
    json_t *life = json_object();
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mbl_json_put(j, life, mbl_axle_word(axle), mbl_json_life(j, &base->axle[axle].life));
    json_t *o = json_object();
    mbl_json_put(j, o, "verdict", json_string(mbl_verdict_word(base->verdict)));
    mbl_json_put(j, o, "checks", mbl_json_checks(j, base));
    mbl_json_put(j, o, "pedal", mbl_json_pedal(j, base));
    mbl_json_put(j, o, "balance", mbl_json_balance(j, base));
    mbl_json_put(j, o, "life", life);
    mbl_json_put(j, o, "mass", mbl_json_mass(j, base));
    mbl_json_put(j, o, "cost", mbl_json_cost(j, base));
    put_number(j, o, "bleed_months", mbl_run_bleed_months(base));
    return o;
}

json_t *mbl_json_against(mbl_json *j, const mbl_run *run)
{
    if (run->base == NULL)
        return json_null();
    mbl_comparison c;
    mbl_compare(run->base, run, &c);
    json_t *rows = json_array();
    for (int i = 0; i < c.n; i++) {
        const mbl_difference *d = &c.row[i];
        bool level = d->quantity == MBL_Q_LEVEL;
        json_t *row = json_object();
        mbl_json_put(j, row, "what", json_string(d->what));
        mbl_json_put(j, row, "unit", json_string(level ? "C" : mbl_quantity_si(d->quantity)));
        mbl_json_put(j, row, "before",
                     level ? mbl_json_level(d->before) : mbl_json_number(d->before));
        mbl_json_put(j, row, "after", level ? mbl_json_level(d->after) : mbl_json_number(d->after));
        mbl_json_push(j, rows, row);
    }
    json_t *o = json_object();
    put_number(j, o, "travel", c.travel);
    put_number(j, o, "pressure", c.pressure);
    put_number(j, o, "effort", c.effort);
    put_number(j, o, "front_share", c.front_share);
    mbl_json_put(j, o, "master_unchanged", json_boolean(c.master_unchanged));
    mbl_json_put(j, o, "rows", rows);
    mbl_json_put(j, o, "base", base_object(j, run->base));
    return o;
}
