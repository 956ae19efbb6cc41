/* SPDX-License-Identifier: MIT */
#include "out/words.h"

#include <math.h>
#include <stdio.h>

const char *const mbl_words_granted[] = {
    "Line pressure is the same front and rear: pedal, bar and valve are not yet modelled.",
    "Braking is inferred from speed alone (100 % of it), against how the car would coast.",
    "Left and right brakes are the same.",
    "Pads do not wear during the stint.",
    "Before it is parked the car stops from pit speed.",
    NULL};

const char *const mbl_words_cautions[] = {
    "This is an estimate, not a certificate. It is as good as the numbers that went in.",
    "It cannot see cracks, leaks, air in the lines, a bad bleed, a seized piston or a loose bolt.",
    "Inspect the brakes and test the pedal before every session, whatever is written here.",
    "With hot brakes do not hold the pedal at rest, and do not set the parking brake.",
    "Rotors and calipers burn skin long after the car has stopped.",
    "The makers' instructions, the rules of the event and qualified people come first.",
    NULL};

const char *mbl_words_part(mbl_check_kind kind)
{
    static const char *const words[] = {"rotor core", "rotor gradient", "pad face",  "cold pad",
                                        "caliper",    "fluid",          "duct hose", ""};
    return words[kind];
}

bool mbl_words_wet_judges(const mbl_run *run)
{
    return mbl_checks_judge(&run->setup) == MBL_WATCH_WET;
}

const char *mbl_words_limit(const mbl_run *run, mbl_check_kind kind)
{
    switch (kind) {
    case MBL_CHECK_PAD:
        return "the top of its window";
    case MBL_CHECK_COLD:
        return "the bottom of its window";
    case MBL_CHECK_HOSE:
        return "what it bears";
    case MBL_CHECK_FLUID:
        return mbl_words_wet_judges(run) ? "its wet boiling point"
                                         : "its boiling point as it is now";
    case MBL_CHECK_GRADIENT:
        return "what cracks iron";
    case MBL_CHECK_ROTOR:
    case MBL_CHECK_CALIPER:
    case MBL_CHECK_KINDS:
        break;
    }
    return "its limit";
}

double mbl_words_parked_for(const mbl_run *run, double at)
{
    for (size_t i = 0; i < run->nlegs; i++) {
        const mbl_leg_result *l = &run->legs[i];
        double since = at - l->report.start;
        if (l->leg.kind == MBL_LEG_PARK && since >= 0 && since <= l->report.duration)
            return since;
    }
    return 0;
}

mbl_shown mbl_words_peak_at(const mbl_run *run, const mbl_peak *peak)
{
    mbl_shown out;
    if (peak->parked)
        snprintf(out.s, sizeof out.s, "parked %.30s",
                 mbl_out_span(mbl_words_parked_for(run, peak->at)).s);
    else
        snprintf(out.s, sizeof out.s, "lap %d", peak->lap);
    return out;
}

/* How many of the laps up to and with this one were hot; 0 when it is not one itself. */
static int hot_number(const mbl_run *run, int lap)
{
    int hot = 0;
    for (size_t i = 0; i < run->nlegs; i++) {
        const mbl_leg *leg = &run->legs[i].leg;
        bool is_hot = leg->kind == MBL_LEG_LAP && leg->phase == MBL_PHASE_HOT;
        hot += is_hot;
        if (leg->kind == MBL_LEG_LAP && leg->lap == lap)
            return is_hot ? hot : 0;
    }
    return 0;
}

static void add_lap(const mbl_run *run, int lap, mbl_text *out)
{
    mbl_text_print(out, " on lap %d", lap);
    int hot = hot_number(run, lap);
    if (hot > 0 && hot != lap)
        mbl_text_print(out, " (hot lap %d)", hot);
}

static void add_parked(double seconds, mbl_text *out)
{
    if (seconds < 1)
        mbl_text_print(out, ", as soon as it is parked");
    else
        mbl_text_print(out, ", parked, %s after the stop", mbl_out_span(seconds).s);
}

/* When a limit was first passed. */
static void add_passing(const mbl_run *run, const mbl_passing *p, mbl_text *out)
{
    if (p->lap > 0)
        add_lap(run, p->lap, out);
    if (p->lap > 0 && !isnan(p->parked))
        mbl_text_print(out, " and while parked");
    else if (!isnan(p->parked))
        add_parked(p->parked, out);
}

static void add_peak(const mbl_run *run, const mbl_peak *p, mbl_text *out)
{
    if (p->parked)
        add_parked(mbl_words_parked_for(run, p->at), out);
    else
        add_lap(run, p->lap, out);
}

static void add_also(const mbl_run *run, mbl_text *out)
{
    int n = 0;
    for (int i = 1; i < run->nchecks; i++) {
        const mbl_check *c = &run->checks[i];
        if (c->verdict != MBL_FAILS)
            continue;
        mbl_text_print(out, "%s%s %s", n++ == 0 ? ". Also passed: " : "; ", mbl_axle_word(c->axle),
                       mbl_words_part(c->kind));
        add_passing(run, &c->passing, out);
    }
}

/* A cold pad is said differently: nothing is too hot, the first stop is. */
static void add_cold(const mbl_run *run, const mbl_check *c, mbl_units_system units, mbl_text *out)
{
    const char *unit = mbl_out_unit(MBL_SHOW_RISE, units);
    mbl_text_print(
        out, "MARGINAL: %s pads are %s %s %s the bottom of their window at the first hard stop",
        mbl_axle_word(c->axle), mbl_out_margin(units, fabs(c->margin)).s, unit,
        c->margin < 0 ? "below" : "above");
    add_lap(run, c->peak.lap, out);
    mbl_text_print(out, ": they bite late there");
}

void mbl_words_verdict(const mbl_run *run, mbl_units_system units, mbl_text *out)
{
    const mbl_check *c = &run->checks[0];
    const char *axle = mbl_axle_word(c->axle);
    const char *part = mbl_words_part(c->kind);
    const char *limit = mbl_words_limit(run, c->kind);
    mbl_shown margin = mbl_out_margin(units, c->margin);
    const char *unit = mbl_out_unit(MBL_SHOW_RISE, units);
    switch (run->verdict) {
    case MBL_FAILS:
        mbl_text_print(out, "FAILS: %s %s passes %s", axle, part, limit);
        add_passing(run, &c->passing, out);
        add_also(run, out);
        break;
    case MBL_MARGINAL:
        if (c->kind == MBL_CHECK_COLD) {
            add_cold(run, c, units, out);
            break;
        }
        mbl_text_print(out, "MARGINAL: %s %s comes within %s %s of %s", axle, part, margin.s, unit,
                       limit);
        add_peak(run, &c->peak, out);
        break;
    case MBL_HOLDS:
        mbl_text_print(out, "HOLDS: closest is the %s %s, at its hottest %s %s below %s", axle,
                       part, margin.s, unit, limit);
        add_peak(run, &c->peak, out);
        break;
    }
}

static const char *ending(int n)
{
    if (n % 100 >= 11 && n % 100 <= 13)
        return "th";
    return n % 10 == 1 ? "st" : n % 10 == 2 ? "nd" : n % 10 == 3 ? "rd" : "th";
}

void mbl_words_reach(const mbl_run *run, mbl_text *out)
{
    const mbl_reach *r = &run->reach;
    if (!r->known) {
        mbl_text_print(out, "No hot laps in this stint, so none are counted.");
        return;
    }
    const char *asked = run->setup.stint.logged ? "logged" : "asked";
    bool part_of_it = r->hot_laps < run->drive->plan.hot_laps;
    const char *last = part_of_it ? " in the last run of them" : "";
    int more = r->holds - r->hot_laps;
    int next = r->holds + 1;
    mbl_text_print(out, "Hot laps that hold: ");
    if (r->holds == 0)
        mbl_text_print(out, "none of %d %s%s", r->hot_laps, asked, last);
    else if (more < 0)
        mbl_text_print(out, "%d of %d %s%s", r->holds, r->hot_laps, asked, last);
    else if (r->hot_laps == 1)
        mbl_text_print(out, "the one %s%s", asked, last);
    else
        mbl_text_print(out, "all %d %s%s", r->hot_laps, asked, last);
    if (r->capped) {
        mbl_text_print(out, ". None of the limits is passed in %d more.", MBL_MORE_LAPS_CAP);
        return;
    }
    if (more == 0)
        mbl_text_print(out, ", and no more");
    else if (more > 0)
        mbl_text_print(out, ", and %d more", more);
    mbl_text_print(out, "; ");
    if (r->holds > 0)
        mbl_text_print(out, "with the %d%s ", next, ending(next));
    mbl_text_print(out, "the %s %s passes %s%s.", mbl_axle_word(r->axle), mbl_words_part(r->limit),
                   mbl_words_limit(run, r->limit), r->parked ? " while parked" : "");
}
