/* SPDX-License-Identifier: MIT */
#include "out/json.h"

#include "out/json_parts.h"
#include "out/words.h"

#include <math.h>
#include <stdio.h>

static json_t *units_object(mbl_json *j)
{
    json_t *o = json_object();
    mbl_json_put(j, o, "temperature", json_string("C"));
    mbl_json_put(j, o, "temperature_difference", json_string("K"));
    mbl_json_put(j, o, "everything_else",
                 json_string("SI: s, m, m/s, kg, N, J, W, Pa; shares 0..1"));
    mbl_json_put(j, o, "money", json_string("as counted by the script"));
    return o;
}

static json_t *doubtful_array(mbl_json *j, const mbl_run *run)
{
    const mbl_check *of = mbl_words_limiting(run);
    json_t *list = json_array();
    for (int i = 0; i < run->ndoubtful; i++) {
        const mbl_doubtful *d = &run->doubtful[i];
        bool level = d->field->quantity == MBL_Q_LEVEL;
        json_t *o = json_object();
        mbl_json_put(j, o, "path", json_string(d->path));
        mbl_json_put(j, o, "unit", json_string(mbl_quantity_si(d->field->quantity)));
        mbl_json_put(j, o, "value", level ? mbl_json_level(d->value) : mbl_json_number(d->value));
        mbl_json_put(j, o, "low", level ? mbl_json_level(d->low) : mbl_json_number(d->low));
        mbl_json_put(j, o, "high", level ? mbl_json_level(d->high) : mbl_json_number(d->high));
        mbl_json_put(j, o, "margin_of", json_string(mbl_words_subject(of->kind, of->axle).s));
        mbl_json_put(j, o, "margin_at_low", mbl_json_number(d->at_low));
        mbl_json_put(j, o, "margin_at_high", mbl_json_number(d->at_high));
        mbl_json_push(j, list, o);
    }
    return list;
}

static json_t *axle_object(mbl_json *j, const mbl_run *run, int axle)
{
    const mbl_axle_result *a = &run->axle[axle];
    json_t *nodes = json_object();
    for (int i = 0; i < MBL_CORNER_NODES; i++) {
        json_t *node = json_object();
        mbl_json_put(j, node, "peak", mbl_json_peak(j, run, &a->peak[i]));
        mbl_json_put(j, node, "track", mbl_json_peak(j, run, &a->track[i]));
        mbl_json_put(j, node, "parked", mbl_json_peak(j, run, &a->parked[i]));
        mbl_json_put(j, nodes, mbl_corner_key((mbl_corner_node)i), node);
    }
    json_t *fluid = json_object();
    mbl_json_put(j, fluid, "boils_wet", mbl_json_level(a->wet));
    mbl_json_put(j, fluid, "boils_now", mbl_json_level(a->now));
    mbl_json_put(j, fluid, "margin_wet", mbl_json_number(a->margin_wet));
    mbl_json_put(j, fluid, "margin_now", mbl_json_number(a->margin_now));
    mbl_json_put(j, fluid, "margin", mbl_json_number(a->margin));
    mbl_json_put(j, fluid, "judged_by", json_string(mbl_words_wet_judges(run) ? "wet" : "now"));
    mbl_json_put(j, fluid, "wet_passed", mbl_json_passing(j, &a->wet_passed));
    mbl_json_put(j, fluid, "now_passed", mbl_json_passing(j, &a->boils));
    json_t *o = json_object();
    mbl_json_put(j, o, "nodes", nodes);
    mbl_json_put(j, o, "fluid", fluid);
    mbl_json_put(j, o, "work", mbl_json_number(a->work));
    mbl_json_put(j, o, "vapour", mbl_json_number(a->vapour));
    mbl_json_put(j, o, "duct_flow", mbl_json_number(a->duct_flow));
    mbl_json_put(j, o, "life", mbl_json_life(j, &a->life));
    return o;
}

static json_t *axles_object(mbl_json *j, const mbl_run *run)
{
    json_t *o = json_object();
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mbl_json_put(j, o, mbl_axle_word(axle), axle_object(j, run, axle));
    return o;
}

/* Laps, or what is not a lap: stops and parking. */
static json_t *legs_array(mbl_json *j, const mbl_run *run, bool laps)
{
    json_t *list = json_array();
    for (size_t i = 0; i < run->nlegs; i++) {
        const mbl_leg_result *l = &run->legs[i];
        if ((l->leg.kind == MBL_LEG_LAP) != laps)
            continue;
        json_t *o = json_object();
        const char *kind = l->leg.kind == MBL_LEG_STOP ? "stop" : mbl_phase_word(l->leg.phase);
        mbl_json_put(j, o, "kind", json_string(kind));
        mbl_json_put(j, o, laps ? "number" : "after_lap", json_integer(l->leg.lap));
        mbl_json_put(j, o, "start", mbl_json_number(l->report.start));
        mbl_json_put(j, o, "time", mbl_json_number(l->report.duration));
        mbl_json_put(j, o, "pace", laps ? mbl_json_number(l->leg.pace) : json_null());
        mbl_json_put(j, o, "energy", mbl_json_number(l->report.energy));
        mbl_json_put(j, o, "braking_time", mbl_json_number(l->report.braking_time));
        mbl_json_put(j, o, "top_speed", mbl_json_number(l->report.top_speed));
        mbl_json_put(j, o, "mass", mbl_json_number(l->report.mass));
        mbl_json_put(j, o, "hardest_pressure", mbl_json_number(l->report.hardest.pressure));
        json_t *peaks = json_object();
        for (int n = 0; n < MBL_AXLES * MBL_CORNER_NODES; n++)
            mbl_json_put(j, peaks, run->drive->model->node[n].name, mbl_json_level(l->peak[n]));
        mbl_json_put(j, o, "peaks", peaks);
        mbl_json_push(j, list, o);
    }
    return list;
}

static json_t *reach_object(mbl_json *j, const mbl_run *run)
{
    const mbl_reach *r = &run->reach;
    if (!r->known)
        return json_null();
    json_t *o = json_object();
    mbl_json_put(j, o, "hot_laps", json_integer(r->hot_laps));
    mbl_json_put(j, o, "holds", json_integer(r->holds));
    mbl_json_put(j, o, "tried_beyond", json_integer(MBL_MORE_LAPS_CAP));
    mbl_json_put(j, o, "no_limit_found", json_boolean(r->capped));
    mbl_json_put(j, o, "limit", r->capped ? json_null() : json_string(mbl_check_word(r->limit)));
    mbl_json_put(j, o, "axle", r->capped ? json_null() : json_string(mbl_words_axle(r->axle)));
    mbl_json_put(j, o, "parked", r->capped ? json_null() : json_boolean(r->parked));
    return o;
}

static json_t *ledger_object(mbl_json *j, const mbl_run *run)
{
    const mbl_ledger *l = &run->ledger;
    json_t *paths = json_object();
    for (size_t i = 0; i < run->npaths; i++)
        mbl_json_put(j, paths, run->path[i], mbl_json_number(run->lost_by_path[i]));
    json_t *o = json_object();
    mbl_json_put(j, o, "braking_energy", mbl_json_number(l->energy));
    mbl_json_put(j, o, "braking_energy_hot_lap", mbl_json_number(run->hot_energy));
    mbl_json_put(j, o, "heat", mbl_json_number(l->heat));
    mbl_json_put(j, o, "stored", mbl_json_number(l->stored));
    mbl_json_put(j, o, "lost", mbl_json_number(l->lost));
    mbl_json_put(j, o, "lost_by_path", paths);
    mbl_json_put(j, o, "residual", mbl_json_number(l->residual));
    return o;
}

/* Verdict and reach as sentences; levels in them are in C. */
static void put_sentences(mbl_json *j, json_t *o, const mbl_run *run)
{
    mbl_text text;
    mbl_text_init(&text, run->alloc);
    mbl_words_verdict(run, MBL_UNITS_SI, &text);
    mbl_json_put(j, o, "verdict_text", json_string(mbl_text_get(&text)));
    size_t n = text.length;
    mbl_words_reach(run, &text);
    mbl_json_put(j, o, "reach_text", json_string(mbl_text_get(&text) + n));
    j->failed = j->failed || text.failed;
    mbl_text_free(&text);
}

static json_t *document(mbl_json *j, const mbl_run *run)
{
    json_t *o = json_object();
    mbl_json_put(j, o, "format", json_string("emberlap run"));
    mbl_json_put(j, o, "version", json_string(MBL_VERSION));
    mbl_json_put(j, o, "units", units_object(j));
    mbl_json_put(j, o, "verdict", json_string(mbl_verdict_word(run->verdict)));
    put_sentences(j, o, run);
    mbl_json_put(j, o, "checks", mbl_json_checks(j, run));
    mbl_json_put(j, o, "doubtful", doubtful_array(j, run));
    mbl_json_put(j, o, "axles", axles_object(j, run));
    mbl_json_put(j, o, "laps", legs_array(j, run, true));
    mbl_json_put(j, o, "stands", legs_array(j, run, false));
    mbl_json_put(j, o, "reach", reach_object(j, run));
    mbl_json_put(j, o, "ledger", ledger_object(j, run));
    mbl_json_put(j, o, "pedal", mbl_json_pedal(j, run));
    mbl_json_put(j, o, "balance", mbl_json_balance(j, run));
    mbl_json_put(j, o, "mass", mbl_json_mass(j, run));
    mbl_json_put(j, o, "cost", mbl_json_cost(j, run));
    mbl_json_put(j, o, "bleed_months", mbl_json_number(mbl_run_bleed_months(run)));
    mbl_json_put(j, o, "plan", mbl_json_plan(j, run));
    mbl_json_put(j, o, "against", mbl_json_against(j, run));
    mbl_json_put(j, o, "car", mbl_json_car(j, run));
    mbl_json_put(j, o, "stint", mbl_json_stint(j, run));
    mbl_json_put(j, o, "course", mbl_json_course(j, run));
    mbl_json_put(j, o, "assumptions", mbl_json_assumptions(j, run));
    mbl_json_put(j, o, "granted", mbl_json_sentences(j, mbl_words_granted));
    if (run->trace->lost != NULL)
        mbl_json_put(j, o, "granted_laps", mbl_json_sentences(j, mbl_words_granted_laps));
    mbl_json_put(j, o, "cautions", mbl_json_sentences(j, mbl_words_cautions));
    return o;
}

mbl_status mbl_out_run_json(const mbl_run *run, const char *path, mbl_error *err)
{
    mbl_json j = {0};
    json_t *root = document(&j, run);
    if (j.failed) {
        json_decref(root);
        return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", path);
    }
    mbl_file file;
    mbl_status status = mbl_file_begin(&file, path, err);
    if (status == MBL_OK) {
        int bad = json_dumpf(root, file.stream, JSON_INDENT(2) | JSON_SORT_KEYS);
        if (bad != 0 && !ferror(file.stream)) {
            mbl_file_abandon(&file);
            status = mbl_fail(err, MBL_MEMORY, "out of memory writing %s", path);
        } else {
            fputc('\n', file.stream);
            status = mbl_file_commit(&file, err);
        }
    }
    json_decref(root);
    return status;
}
