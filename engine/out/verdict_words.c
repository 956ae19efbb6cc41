/* SPDX-License-Identifier: MIT */
/*
 * The first sentence of a run. Temperatures share one form; every other kind of check is told in
 * the words of its own trade: what is worn, what the foot has to give, who locks first.
 */
#include "out/table.h"
#include "out/words.h"

#include <math.h>

typedef struct teller {
    const mbl_run *run;
    const mbl_check *check;
    mbl_units_system units;
    mbl_text *out;
} teller;

static mbl_shown value(const teller *t)
{
    return mbl_words_value(t->check->kind, t->units, t->check->peak.T);
}

static mbl_shown limit(const teller *t)
{
    return mbl_words_value(t->check->kind, t->units, t->check->limit);
}

/* What is left, or what is missing. */
static mbl_shown margin(const teller *t)
{
    return mbl_words_margin(t->check->kind, t->units, fabs(t->check->margin));
}

static bool passed(const teller *t)
{
    return t->check->margin < 0;
}

static void lap_if_any(const teller *t, int lap)
{
    if (lap > 0)
        mbl_words_lap(t->run, lap, t->out);
}

/* "12.4 of 6 sessions": of a part that is used up */
static void add_lasting(const teller *t, double lasts)
{
    int sessions = t->run->setup.event.sessions;
    if (lasts < 0.1)
        mbl_text_print(t->out, "not a tenth");
    else
        mbl_text_print(t->out, "%s", mbl_out_fixed(floor(10 * lasts) / 10, 1).s);
    mbl_text_print(t->out, " of %d session%s", sessions, sessions == 1 ? "" : "s");
}

static void tell_worn(const teller *t)
{
    const char *axle = mbl_axle_word(t->check->axle);
    const mbl_life_result *life = &t->run->axle[t->check->axle].life;
    if (life->pad_now < t->check->limit) {
        mbl_text_print(t->out, "%s pads are worn out before the start: %s now, changed at %s", axle,
                       mbl_words_value(t->check->kind, t->units, life->pad_now).s, limit(t).s);
    } else if (passed(t)) {
        mbl_text_print(t->out, "%s pads wear out: a set lasts ", axle);
        add_lasting(t, life->pad_sessions);
        mbl_text_print(t->out, " until they are changed at %s", limit(t).s);
    } else {
        mbl_text_print(t->out, "%s pads end the event %s above the %s they are changed at", axle,
                       margin(t).s, limit(t).s);
    }
}

static void tell_thin(const teller *t)
{
    const char *axle = mbl_axle_word(t->check->axle);
    if (passed(t)) {
        mbl_text_print(t->out, "%s rotors wear out: they last ", axle);
        add_lasting(t, t->run->axle[t->check->axle].life.rotor_sessions);
        mbl_text_print(t->out, " until their minimum of %s", limit(t).s);
    } else {
        mbl_text_print(t->out, "%s rotors end the event %s above their minimum of %s", axle,
                       margin(t).s, limit(t).s);
    }
}

static void tell_effort(const teller *t)
{
    const mbl_pedal_result *p = &t->run->pedal;
    mbl_text_print(t->out, "the pedal asks for %s", value(t).s);
    lap_if_any(t, p->lap);
    if (!passed(t)) {
        mbl_text_print(t->out, ", %s below the %s that the driver gives", margin(t).s, limit(t).s);
        return;
    }
    mbl_text_print(t->out, ", and the driver gives %s", limit(t).s);
    if (p->shortfall <= 0)
        return;
    mbl_text_print(t->out, "; %s %s of braking is not done, first",
                   mbl_out_show(MBL_SHOW_ENERGY, t->units, p->shortfall, 2).s,
                   mbl_out_unit(MBL_SHOW_ENERGY, t->units));
    mbl_words_lap(t->run, p->shortfall_lap, t->out);
    mbl_text_print(t->out, ". What is above the effort is braking not done; peaks on this page are "
                           "for the full demand");
}

static void tell_travel(const teller *t)
{
    const mbl_pedal_result *p = &t->run->pedal;
    if (passed(t))
        mbl_text_print(t->out, "the pedal bottoms: the hardest stop needs %s of a master's stroke",
                       value(t).s);
    else
        mbl_text_print(t->out, "the pedal has %s of a master's stroke left at the hardest stop",
                       margin(t).s);
    lap_if_any(t, p->lap);
    if (!(p->with_vapour > p->travel.used))
        return;
    mbl_text_print(t->out, "; with the vapour of boiled fluid it ");
    if (p->with_vapour > 1)
        mbl_text_print(t->out, "goes to the floor");
    else
        mbl_text_print(t->out, "would need %s",
                       mbl_words_value(t->check->kind, t->units, p->with_vapour).s);
}

static void tell_panic(const teller *t)
{
    const double panic = t->run->setup.limits.panic;
    mbl_text_print(t->out, "a panic stop (%s) puts %s on the %s lines",
                   mbl_figure_told(MBL_Q_FORCE, t->units, panic).s, value(t).s,
                   mbl_axle_word(t->check->axle));
    if (passed(t))
        mbl_text_print(t->out, ", and their parts bear %s", limit(t).s);
    else
        mbl_text_print(t->out, ", %s below what their parts bear", margin(t).s);
}

static void tell_grip(const teller *t)
{
    const mbl_balance_result *b = &t->run->balance;
    mbl_text_print(t->out, "the stint asks for %s", value(t).s);
    lap_if_any(t, b->lap);
    if (!passed(t))
        mbl_text_print(t->out, ", %s below", margin(t).s);
    else
        mbl_text_print(t->out, ", and");
    if (t->run->setup.car.abs)
        mbl_text_print(t->out, passed(t) ? " the tyres give %s" : " the %s that the tyres give",
                       limit(t).s);
    else
        mbl_text_print(t->out, passed(t) ? " the %s axle locks at %s" : " where the %s axle locks",
                       mbl_axle_word(b->lock.axle), limit(t).s);
}

static void tell_balance(const teller *t)
{
    if (passed(t))
        mbl_text_print(t->out, "the rear axle locks before the front ");
    else
        mbl_text_print(t->out, "the front axle locks only just before the rear ");
    mbl_words_state(t->run, t->out);
    mbl_text_print(
        t->out, ": the front has %s points %s of the braking than ideal",
        mbl_figure_margin((mbl_figure){MBL_SHOW_SHARE, 1}, t->units, fabs(t->check->margin)).s,
        passed(t) ? "less" : "more");
    if (passed(t) && t->run->setup.car.abs)
        mbl_text_print(t->out, ", and ABS has to hold the car straight");
}

static void tell_bite(const teller *t)
{
    mbl_text_print(t->out, "a stab of the pedal locks the front at %s of what the car can do",
                   value(t).s);
    if (t->run->verdict != MBL_HOLDS)
        mbl_text_print(t->out, ": ABS or lock-up comes early");
}

static void tell_found(const teller *t)
{
    mbl_words_found(&t->run->setup.car, t->out);
    mbl_text_print(t->out, " found: stop; no figure replaces an inspection");
}

/* A cold pad is said differently: nothing is too hot, the first stop is. */
static void tell_cold(const teller *t)
{
    mbl_text_print(t->out, "%s pads are %s %s the bottom of their window at the first hard stop",
                   mbl_axle_word(t->check->axle), margin(t).s, passed(t) ? "below" : "above");
    mbl_words_lap(t->run, t->check->peak.lap, t->out);
    if (t->run->verdict != MBL_HOLDS)
        mbl_text_print(t->out, ": they bite late there");
}

static void tell_heat(const teller *t)
{
    const mbl_check *c = t->check;
    mbl_shown subject = mbl_words_subject(c->kind, c->axle);
    const char *of = mbl_words_limit(t->run, c->kind);
    switch (t->run->verdict) {
    case MBL_FAILS:
        mbl_text_print(t->out, "%s passes %s", subject.s, of);
        mbl_words_passing(t->run, &c->passing, t->out);
        return;
    case MBL_MARGINAL:
        mbl_text_print(t->out, "%s comes within %s of %s", subject.s, margin(t).s, of);
        break;
    case MBL_HOLDS:
        mbl_text_print(t->out, "closest is the %s, at its hottest %s below %s", subject.s,
                       margin(t).s, of);
        break;
    }
    mbl_words_peak(t->run, &c->peak, t->out);
}

static void tell(const teller *t)
{
    static void (*const special[MBL_CHECK_KINDS])(const teller *) = {
        [MBL_CHECK_COLD] = tell_cold,     [MBL_CHECK_WORN] = tell_worn,
        [MBL_CHECK_THIN] = tell_thin,     [MBL_CHECK_EFFORT] = tell_effort,
        [MBL_CHECK_TRAVEL] = tell_travel, [MBL_CHECK_PANIC] = tell_panic,
        [MBL_CHECK_GRIP] = tell_grip,     [MBL_CHECK_BALANCE] = tell_balance,
        [MBL_CHECK_BITE] = tell_bite,     [MBL_CHECK_FOUND] = tell_found};
    void (*of)(const teller *) = special[t->check->kind];
    if (of == NULL) {
        tell_heat(t);
        return;
    }
    if (t->run->verdict == MBL_HOLDS)
        mbl_text_print(t->out,
                       "closest is the %s: ", mbl_words_subject(t->check->kind, t->check->axle).s);
    of(t);
}

/* What gives out first. A finding is no figure and comes before all of them. */
static const mbl_check *first_of(const mbl_run *run)
{
    const mbl_check *found = mbl_run_check_of(run, MBL_CHECK_FOUND, MBL_WHOLE_CAR);
    return found != NULL ? found : &run->checks[0];
}

static void add_also(const mbl_run *run, const mbl_check *first, mbl_text *out)
{
    int n = 0;
    for (int i = 0; i < run->nchecks; i++) {
        const mbl_check *c = &run->checks[i];
        if (c->verdict != MBL_FAILS || c == first)
            continue;
        mbl_text_print(out, "%s%s", n++ == 0 ? ". Also passed: " : "; ",
                       mbl_words_subject(c->kind, c->axle).s);
        if (mbl_words_is_heat(c->kind))
            mbl_words_passing(run, &c->passing, out);
    }
}

void mbl_words_verdict(const mbl_run *run, mbl_units_system units, mbl_text *out)
{
    static const char *const lead[] = {"HOLDS: ", "MARGINAL: ", "FAILS: "};
    teller t = {run, first_of(run), units, out};
    mbl_text_print(out, "%s", lead[run->verdict]);
    tell(&t);
    if (run->verdict == MBL_FAILS)
        add_also(run, t.check, out);
}

void mbl_out_tightest(const mbl_run *run, mbl_units_system units, mbl_text *out)
{
    const mbl_check *c = first_of(run);
    if (c->axle != MBL_WHOLE_CAR)
        mbl_text_print(out, "%s ", mbl_axle_word(c->axle));
    mbl_text_print(out, "%s, ", mbl_check_word(c->kind));
    if (c->kind == MBL_CHECK_FOUND) {
        mbl_words_found(&run->setup.car, out);
        mbl_text_print(out, " found");
        return;
    }
    if (c->kind == MBL_CHECK_WORN && c->margin < 0) {
        teller t = {run, c, units, out};
        mbl_text_print(out, "a set lasts ");
        add_lasting(&t, run->axle[c->axle].life.pad_sessions);
        return;
    }
    bool above = mbl_check_from_below(c->kind) ? c->margin >= 0 : c->margin < 0;
    mbl_text_print(out, "%s %s its limit", mbl_words_margin(c->kind, units, fabs(c->margin)).s,
                   above ? "above" : "below");
}
