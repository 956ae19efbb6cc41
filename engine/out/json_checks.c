/* SPDX-License-Identifier: MIT */
/* Checks, peaks and passings as JSON. */
#include "out/json_parts.h"

#include "out/words.h"

json_t *mbl_json_lap(int lap)
{
    return lap > 0 ? json_integer(lap) : json_null();
}

/* Seconds the car had been parked when a peak came; null on track. */
static json_t *parked_for(const mbl_run *run, const mbl_peak *p)
{
    return p->parked ? mbl_json_number(mbl_words_parked_for(run, p->at)) : json_null();
}

json_t *mbl_json_peak(mbl_json *j, const mbl_run *run, const mbl_peak *p)
{
    if (p->T <= 0)
        return json_null();
    json_t *o = json_object();
    mbl_json_put(j, o, "temperature", mbl_json_level(p->T));
    mbl_json_put(j, o, "at", mbl_json_number(p->at));
    mbl_json_put(j, o, "lap", mbl_json_lap(p->lap));
    mbl_json_put(j, o, "parked", json_boolean(p->parked));
    mbl_json_put(j, o, "parked_s", parked_for(run, p));
    return o;
}

json_t *mbl_json_passing(mbl_json *j, const mbl_passing *p)
{
    json_t *o = json_object();
    mbl_json_put(j, o, "lap", mbl_json_lap(p->lap));
    mbl_json_put(j, o, "parked_s", mbl_json_number(p->parked));
    mbl_json_put(j, o, "above_s", mbl_json_number(p->above));
    return o;
}

/* Levels in C, everything else as it is. */
static json_t *value(mbl_quantity quantity, double si)
{
    return quantity == MBL_Q_LEVEL ? mbl_json_level(si) : mbl_json_number(si);
}

json_t *mbl_json_check(mbl_json *j, const mbl_run *run, const mbl_check *c)
{
    mbl_quantity quantity = mbl_check_quantity(c->kind);
    bool level = quantity == MBL_Q_LEVEL;
    json_t *o = json_object();
    mbl_json_put(j, o, "kind", json_string(mbl_check_word(c->kind)));
    mbl_json_put(j, o, "axle", json_string(mbl_words_axle(c->axle)));
    mbl_json_put(j, o, "unit", json_string(level ? "C" : mbl_quantity_si(quantity)));
    mbl_json_put(j, o, "limit_is", json_string(mbl_check_from_below(c->kind) ? "least" : "most"));
    mbl_json_put(j, o, "peak", value(quantity, c->peak.T));
    mbl_json_put(j, o, "peak_at", mbl_json_number(c->peak.at));
    mbl_json_put(j, o, "lap", mbl_json_lap(c->peak.lap));
    mbl_json_put(j, o, "parked_s", parked_for(run, &c->peak));
    mbl_json_put(j, o, "limit", value(quantity, c->limit));
    mbl_json_put(j, o, "margin", mbl_json_number(c->margin));
    mbl_json_put(j, o, "band", mbl_json_number(c->band));
    mbl_json_put(j, o, "verdict", json_string(mbl_verdict_word(c->verdict)));
    mbl_json_put(j, o, "passed", mbl_json_passing(j, &c->passing));
    return o;
}

json_t *mbl_json_checks(mbl_json *j, const mbl_run *run)
{
    json_t *list = json_array();
    for (int i = 0; i < run->nchecks; i++)
        mbl_json_push(j, list, mbl_json_check(j, run, &run->checks[i]));
    return list;
}
