/* SPDX-License-Identifier: MIT */
#include "out/words.h"

#include <math.h>
#include <stdio.h>

const char *const mbl_words_granted[] = {
    "Where no line pressure was logged, braking is inferred from how the car slows, against how it "
    "would coast.",
    "Left and right brakes are the same.",
    "Pads and rotors wear evenly: no taper, no grooves.",
    "Balance and lock are those of a straight, level road: no kerb, no camber, no steering.",
    "The car follows the logged speed whatever its brakes can do: what they cannot is told as a "
    "limit that is passed.",
    "Before it is parked the car stops from pit speed.",
    NULL};

const char *const mbl_words_granted_laps[] = {
    "Laps of a layout are worked out: at every place the car does what its tyres, power and brakes "
    "give there, an axle is one tyre, and crests and dips weigh nothing.",
    "A lap is driven with the pads as hot as they were at the same place one lap before.", NULL};

const char *const mbl_words_cautions[] = {
    "This is an estimate, not a certificate. It is as good as the numbers that went in.",
    "It cannot see cracks, leaks, air in the lines, a bad bleed, a seized piston or a loose bolt.",
    "Inspect the brakes and test the pedal before every session, whatever is written here.",
    "With hot brakes do not hold the pedal at rest, and do not set the parking brake.",
    "Rotors and calipers burn skin long after the car has stopped.",
    "The makers' instructions, the rules of the event and qualified people come first.",
    NULL};

const mbl_brake *mbl_words_brake(const mbl_run *run, int axle)
{
    return mbl_car_brake(&run->setup.car, axle);
}

const char *mbl_words_axle(int axle)
{
    return axle == MBL_WHOLE_CAR ? "car" : mbl_axle_word(axle);
}

const char *mbl_words_part(mbl_check_kind kind)
{
    static const char *const words[MBL_CHECK_KINDS] = {
        [MBL_CHECK_ROTOR] = "rotor core",    [MBL_CHECK_GRADIENT] = "rotor gradient",
        [MBL_CHECK_PAD] = "pad face",        [MBL_CHECK_COLD] = "cold pad",
        [MBL_CHECK_CALIPER] = "caliper",     [MBL_CHECK_FLUID] = "fluid",
        [MBL_CHECK_HOSE] = "duct hose",      [MBL_CHECK_WORN] = "pad wear",
        [MBL_CHECK_THIN] = "rotor wear",     [MBL_CHECK_EFFORT] = "pedal effort",
        [MBL_CHECK_TRAVEL] = "pedal travel", [MBL_CHECK_PANIC] = "panic pressure",
        [MBL_CHECK_GRIP] = "grip",           [MBL_CHECK_BALANCE] = "balance",
        [MBL_CHECK_BITE] = "bite",           [MBL_CHECK_FOUND] = "inspection"};
    return words[kind];
}

mbl_shown mbl_words_subject(mbl_check_kind kind, int axle)
{
    mbl_shown out;
    bool whole = axle == MBL_WHOLE_CAR;
    snprintf(out.s, sizeof out.s, "%s%s%s", whole ? "" : mbl_axle_word(axle), whole ? "" : " ",
             mbl_words_part(kind));
    return out;
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
    default:
        break;
    }
    return "its limit";
}

bool mbl_words_is_heat(mbl_check_kind kind)
{
    mbl_quantity quantity = mbl_check_quantity(kind);
    return quantity == MBL_Q_LEVEL || quantity == MBL_Q_RISE;
}

mbl_figure mbl_words_figure(mbl_check_kind kind, mbl_units_system units)
{
    mbl_figure f = mbl_figure_of(mbl_check_quantity(kind), units);
    /* a rotor is measured to hundredths, a stroke is not known to a percent */
    if (kind == MBL_CHECK_THIN)
        f.decimals++;
    if (kind == MBL_CHECK_TRAVEL || kind == MBL_CHECK_BITE)
        f.decimals = 0;
    return f;
}

mbl_figure mbl_words_margin_figure(mbl_check_kind kind, mbl_units_system units)
{
    mbl_figure f = mbl_words_figure(kind, units);
    if (f.measure == MBL_SHOW_LEVEL)
        f.measure = MBL_SHOW_RISE;
    return f;
}

static mbl_shown with_unit(mbl_shown number, mbl_measure measure, mbl_units_system units)
{
    mbl_shown out;
    const char *unit = mbl_out_unit(measure, units);
    snprintf(out.s, sizeof out.s, "%.30s%s%.12s", number.s, unit[0] != '\0' ? " " : "", unit);
    return out;
}

mbl_shown mbl_words_margin(mbl_check_kind kind, mbl_units_system units, double si)
{
    mbl_figure f = mbl_words_margin_figure(kind, units);
    return with_unit(mbl_figure_margin(f, units, si), f.measure, units);
}

mbl_shown mbl_words_value(mbl_check_kind kind, mbl_units_system units, double si)
{
    mbl_figure f = mbl_words_figure(kind, units);
    return with_unit(mbl_figure_number(f, units, si), f.measure, units);
}

const mbl_check *mbl_words_limiting(const mbl_run *run)
{
    const mbl_check *c = &run->checks[0];
    return c->kind == MBL_CHECK_FOUND && run->nchecks > 1 ? c + 1 : c;
}

double mbl_words_inferred(const mbl_run *run)
{
    double energy = 0;
    double inferred = 0;
    for (size_t i = 0; i < run->nlegs; i++) {
        /* a stop in the pits is made up, not inferred */
        if (run->legs[i].leg.kind != MBL_LEG_LAP)
            continue;
        energy += run->legs[i].report.energy;
        inferred += run->legs[i].report.inferred;
    }
    return energy > 0 ? inferred / energy : 1;
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

void mbl_words_lap(const mbl_run *run, int lap, mbl_text *out)
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

void mbl_words_passing(const mbl_run *run, const mbl_passing *p, mbl_text *out)
{
    if (p->lap > 0)
        mbl_words_lap(run, p->lap, out);
    if (p->lap > 0 && !isnan(p->parked))
        mbl_text_print(out, " and while parked");
    else if (!isnan(p->parked))
        add_parked(p->parked, out);
}

void mbl_words_peak(const mbl_run *run, const mbl_peak *p, mbl_text *out)
{
    if (p->parked)
        add_parked(mbl_words_parked_for(run, p->at), out);
    else
        mbl_words_lap(run, p->lap, out);
}

void mbl_words_found(const mbl_car *car, mbl_text *out)
{
    for (size_t i = 0; i < car->found.n; i++)
        mbl_text_print(out, "%s%s",
                       i == 0                  ? ""
                       : i + 1 == car->found.n ? " and "
                                               : ", ",
                       mbl_finding_word(car->found.v[i].what));
}

void mbl_words_state(const mbl_run *run, mbl_text *out)
{
    const mbl_balance_result *b = &run->balance;
    if (b->ahead_lap == 0)
        mbl_text_print(out, "with cold pads");
    else
        mbl_text_print(out, "with the pads as on lap %d", b->ahead_lap);
    if (b->ahead_grip < 1)
        mbl_text_print(out, " in the wet (%s %% of the grip)",
                       mbl_out_fixed(100 * b->ahead_grip, 0).s);
    else
        mbl_text_print(out, " in the dry");
}

static const char *ending(int n)
{
    if (n % 100 >= 11 && n % 100 <= 13)
        return "th";
    return n % 10 == 1 ? "st" : n % 10 == 2 ? "nd" : n % 10 == 3 ? "rd" : "th";
}

/* Laps are counted by temperatures; is a limit of another kind passed whatever they are? */
static bool fails_otherwise(const mbl_run *run)
{
    for (int i = 0; i < run->nchecks; i++) {
        const mbl_check *c = &run->checks[i];
        if (c->verdict == MBL_FAILS && !mbl_words_is_heat(c->kind))
            return true;
    }
    return false;
}

void mbl_words_reach(const mbl_run *run, mbl_text *out)
{
    const mbl_reach *r = &run->reach;
    if (!r->known) {
        mbl_text_print(out, "No hot laps in this stint, so none are counted.");
        return;
    }
    const char *asked = run->setup.stint.logged ? "logged" : "asked";
    bool part_of_it = r->hot_laps < run->drive->route->plan.hot_laps;
    const char *last = part_of_it ? " in the last run of them" : "";
    int more = r->holds - r->hot_laps;
    int next = r->holds + 1;
    mbl_text_print(out,
                   "Hot laps that hold%s: ", fails_otherwise(run) ? " by temperature alone" : "");
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
    mbl_text_print(out, "the %s passes %s%s.", mbl_words_subject(r->limit, r->axle).s,
                   mbl_words_limit(run, r->limit), r->parked ? " while parked" : "");
}
