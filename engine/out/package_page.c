/* SPDX-License-Identifier: MIT */
/* The half of the page that is not heat: pedal and balance, what is used up, weight and money. */
#include "out/sheet.h"

#include <math.h>
#include <stdio.h>

/* ---- pedal and balance ---- */

static void put_effort(mbl_sheet *s)
{
    const mbl_pedal_result *p = &s->run->pedal;
    const mbl_pedal *pedal = &s->run->setup.car.pedal;
    mbl_text_print(&s->line, "%s at the hardest stop", mbl_sheet_told(s, MBL_Q_FORCE, p->effort).s);
    if (p->lap > 0)
        mbl_text_print(&s->line, ", lap %d", p->lap);
    mbl_text_print(&s->line, "; the driver gives %s",
                   mbl_sheet_told(s, MBL_Q_FORCE, pedal->effort_limit).s);
    if (isfinite(p->run_out))
        mbl_text_print(&s->line, "; the booster runs out at %s",
                       mbl_sheet_told(s, MBL_Q_FORCE, p->run_out).s);
    if (p->shortfall > 0)
        mbl_text_print(&s->line, ". Braking not done: %s %s, first on lap %d",
                       mbl_sheet_show(s, MBL_SHOW_ENERGY, p->shortfall, 2).s,
                       mbl_sheet_unit(s, MBL_SHOW_ENERGY), p->shortfall_lap);
    mbl_text_print(&s->line, ".");
    mbl_sheet_fact(s, "Effort");
}

/* Where the stroke goes, the greatest takers by name. */
static void add_takers(mbl_sheet *s, const mbl_travel *t)
{
    const struct {
        const char *word;
        double volume;
    } takers[] = {{"gaps", t->gap},    {"pads", t->pads},   {"calipers", t->calipers},
                  {"hoses", t->hoses}, {"fluid", t->fluid}, {"vapour", t->vapour}};
    double sum = t->volume[0] + t->volume[1];
    const char *lead = " The fluid it moves goes to: ";
    for (size_t i = 0; i < sizeof takers / sizeof takers[0]; i++) {
        if (!(takers[i].volume > 0.005 * sum))
            continue;
        mbl_text_print(&s->line, "%s%s %s %%", lead, takers[i].word,
                       mbl_out_fixed(100 * takers[i].volume / sum, 0).s);
        lead = ", ";
    }
    mbl_text_print(&s->line, ".");
}

static void put_travel(mbl_sheet *s)
{
    const mbl_pedal_result *p = &s->run->pedal;
    mbl_text_print(&s->line, "%s at the pad, %s %% of a master's stroke, at the hardest stop",
                   mbl_sheet_told(s, MBL_Q_LENGTH, p->travel.pad).s,
                   mbl_out_fixed(100 * p->travel.used, 0).s);
    if (p->with_vapour > 1 && p->with_vapour > p->travel.used)
        mbl_text_print(&s->line, "; with the vapour of the fluid that boiled it goes to the floor");
    else if (p->with_vapour > p->travel.used)
        mbl_text_print(&s->line, "; with the vapour of the fluid that boiled, %s %%",
                       mbl_out_fixed(100 * p->with_vapour, 0).s);
    mbl_text_print(&s->line, ".");
    add_takers(s, &p->travel);
    mbl_sheet_fact(s, "Travel");
    double given = s->run->setup.car.pedal.knock_back;
    bool in = given > 0;
    mbl_figure gap = mbl_figure_of(MBL_Q_LENGTH, s->units);
    gap.decimals = s->units == MBL_UNITS_US ? 3 : 1;
    mbl_text_print(&s->line,
                   "%s: pads knocked back by %s %s %s %s at the pedal once, after kerbs, whatever "
                   "the temperature.",
                   in ? "in this figure" : "not in this figure",
                   mbl_figure_number(gap, s->units, in ? given : MBL_KNOCK_BACK).s,
                   mbl_sheet_unit(s, gap.measure), in ? "add" : "would add",
                   mbl_sheet_told(s, MBL_Q_LENGTH, p->knock_back).s);
    mbl_sheet_fact(s, "Knock-back");
}

static void put_balance(mbl_sheet *s)
{
    const mbl_balance_result *b = &s->run->balance;
    mbl_text_print(&s->line, "%s of the braking is in front at the hardest stop; ideal at %s: %s.",
                   mbl_sheet_told(s, MBL_Q_SHARE, b->front).s,
                   mbl_sheet_told(s, MBL_Q_ACCELERATION, b->asked).s,
                   mbl_sheet_told(s, MBL_Q_SHARE, b->ideal).s);
    if (isfinite(b->turns))
        mbl_text_print(&s->line,
                       " %s turns of the bar towards the %s put the front 3 points ahead of ideal "
                       "in every state looked at.",
                       mbl_out_fixed(fabs(b->turns), 1).s, b->turns < 0 ? "rear" : "front");
    mbl_sheet_fact(s, "Balance");
}

static void put_lock(mbl_sheet *s)
{
    const mbl_balance_result *b = &s->run->balance;
    mbl_text_print(&s->line, "%s axle first, at %s", mbl_axle_word(b->lock.axle),
                   mbl_sheet_told(s, MBL_Q_ACCELERATION, b->lock.deceleration).s);
    if (s->run->setup.car.abs)
        mbl_text_print(&s->line, "; with ABS the tyres give %s",
                       mbl_sheet_told(s, MBL_Q_ACCELERATION, b->grip).s);
    mbl_text_print(&s->line, "; the stint asks for %s. In the worst state looked at, ",
                   mbl_sheet_told(s, MBL_Q_ACCELERATION, b->asked).s);
    mbl_words_state(s->run, &s->line);
    mbl_text_print(&s->line, ", the front has %s points %s than ideal at the first lock.",
                   mbl_out_fixed(100 * fabs(b->ahead), 1).s, b->ahead < 0 ? "less" : "more");
    mbl_sheet_fact(s, "Locks");
}

static void put_bite(mbl_sheet *s)
{
    const mbl_pedal *pedal = &s->run->setup.car.pedal;
    mbl_text_print(&s->line,
                   "a stab of the pedal (%s) gets %s %% of what the car can do before the front "
                   "locks.",
                   mbl_sheet_told(s, MBL_Q_FORCE_RATE, pedal->stab).s,
                   mbl_out_fixed(100 * s->run->balance.bite, 0).s);
    mbl_sheet_fact(s, "Bite");
}

void mbl_sheet_pedal(mbl_sheet *s)
{
    const mbl_run *run = s->run;
    bool pedal = run->setup.car.pedal.present;
    bool braked = run->pedal.lap > 0;
    char what[48];
    mbl_page_heading(s->page, "PEDAL AND BALANCE");
    if (!pedal)
        mbl_page_wrap(s->page, "  ", 2,
                      "No pedal was given: both axles have the same line pressure, and effort, "
                      "travel and bite are not judged.");
    if (pedal || braked)
        mbl_page_row(s->page, "", "front", "rear");
    if (braked)
        mbl_sheet_row(s, "line pressure, hardest stop", MBL_Q_PRESSURE, run->pedal.pressure);
    if (pedal) {
        snprintf(what, sizeof what, "in a panic stop (%.12s)",
                 mbl_sheet_told(s, MBL_Q_FORCE, run->setup.limits.panic).s);
        mbl_sheet_row(s, what, MBL_Q_PRESSURE, run->pedal.panic);
        bool rated = !isnan(mbl_words_brake(s->run, 0)->caliper.rating) &&
                     !isnan(mbl_words_brake(s->run, 1)->caliper.rating);
        mbl_sheet_row(s, rated ? "parts bear" : "parts bear (not rated)", MBL_Q_PRESSURE,
                      run->pedal.rating);
    }
    if (pedal && braked) {
        put_effort(s);
        put_travel(s);
    }
    if (braked && !isnan(run->balance.front))
        put_balance(s);
    if (run->balance.known)
        put_lock(s);
    else if (braked)
        mbl_page_fact(s->page, "Locks", "not judged: tyre.grip was not given.");
    if (run->balance.known && pedal)
        put_bite(s);
}

/* ---- life ---- */

typedef mbl_shown (*life_cell)(const mbl_sheet *s, const mbl_life_result *life);

static void life_row(mbl_sheet *s, const char *what, life_cell of)
{
    mbl_page_row(s->page, what, of(s, &s->run->axle[0].life).s, of(s, &s->run->axle[1].life).s);
}

static mbl_shown pad_stint(const mbl_sheet *s, const mbl_life_result *l)
{
    /* one stint takes hundredths */
    mbl_figure f = mbl_figure_of(MBL_Q_LENGTH, s->units);
    f.decimals++;
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%.10s to %.10s %.4s",
             mbl_figure_number(f, s->units, l->pad_now).s,
             mbl_figure_number(f, s->units, l->pad_end).s, mbl_sheet_unit(s, f.measure));
    return out;
}

/* Below nothing means that a set does not last. */
static mbl_shown pad_event(const mbl_sheet *s, const mbl_life_result *l)
{
    mbl_shown out = {"nothing left"};
    return l->pad_event > 0 ? mbl_sheet_told(s, MBL_Q_LENGTH, l->pad_event) : out;
}

/* Beyond 100 two figures are more than a law of wear knows. */
static mbl_shown lasting(double sessions)
{
    mbl_shown out;
    if (!(sessions < 1000))
        snprintf(out.s, sizeof out.s, "over 1000 sessions");
    else if (sessions >= 100)
        snprintf(out.s, sizeof out.s, "some %.12s sessions",
                 mbl_out_fixed(10 * floor(sessions / 10), 0).s);
    else if (sessions < 0.1)
        snprintf(out.s, sizeof out.s, "under 0.1 sessions");
    else if (sessions < 10)
        snprintf(out.s, sizeof out.s, "%.12s sessions",
                 mbl_out_fixed(floor(10 * sessions) / 10, 1).s);
    else
        snprintf(out.s, sizeof out.s, "%.12s sessions", mbl_out_fixed(floor(sessions), 0).s);
    return out;
}

static mbl_shown pad_lasts(const mbl_sheet *s, const mbl_life_result *l)
{
    (void)s;
    return lasting(l->pad_sessions);
}

/* Does a new set not even last a session? Then more sets are no answer. */
static bool outlived(const mbl_sheet *s, int axle)
{
    const mbl_pad *pad = &mbl_words_brake(s->run, axle)->pad;
    return s->run->axle[axle].life.pad_session > pad->thickness - mbl_pad_worn_at(pad);
}

static mbl_shown pad_sets(const mbl_sheet *s, const mbl_life_result *l)
{
    mbl_shown out = {"none lasts a session"};
    int axle = l == &s->run->axle[0].life ? 0 : 1;
    return outlived(s, axle) ? out : mbl_out_fixed(l->pad_sets, 0);
}

static mbl_shown rotor_session(const mbl_sheet *s, const mbl_life_result *l)
{
    const mbl_figure f = {MBL_SHOW_SIZE, s->units == MBL_UNITS_US ? 4 : 3};
    const double least = s->units == MBL_UNITS_US ? 1e-4 : 1e-3;
    bool shows = mbl_out_convert(f.measure, s->units, l->rotor_session) >= least;
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%s%.12s %.4s", shows ? "" : "under ",
             shows ? mbl_figure_number(f, s->units, l->rotor_session).s
                   : mbl_out_fixed(least, f.decimals).s,
             mbl_sheet_unit(s, f.measure));
    return out;
}

static mbl_shown rotor_lasts(const mbl_sheet *s, const mbl_life_result *l)
{
    mbl_shown unknown = {"-"};
    (void)s;
    return isfinite(l->rotor_sessions) ? lasting(l->rotor_sessions) : unknown;
}

static mbl_shown rotor_sets(const mbl_sheet *s, const mbl_life_result *l)
{
    (void)s;
    return mbl_out_fixed(l->rotor_sets, 0);
}

static mbl_shown cycles(const mbl_sheet *s, const mbl_life_result *l)
{
    (void)s;
    return mbl_out_fixed(l->cycles, 0);
}

static mbl_shown crack(const mbl_sheet *s, const mbl_life_result *l)
{
    (void)s;
    return mbl_out_fixed(l->crack, 1);
}

void mbl_sheet_life(mbl_sheet *s)
{
    int sessions = s->run->setup.event.sessions;
    bool has_minimum = !isnan(mbl_words_brake(s->run, 0)->rotor.minimum) ||
                       !isnan(mbl_words_brake(s->run, 1)->rotor.minimum);
    char head[64];
    snprintf(head, sizeof head, "WHAT IT USES UP (one stint is a session; the event has %d)",
             sessions);
    mbl_page_heading(s->page, head);
    mbl_page_row(s->page, "", "front", "rear");
    life_row(s, "pad in this stint", pad_stint);
    if (sessions > 1)
        life_row(s, "a set after the event", pad_event);
    life_row(s, "from now a set lasts", pad_lasts);
    life_row(s, "sets for the event", pad_sets);
    life_row(s, "rotor worn in a session", rotor_session);
    if (has_minimum) {
        life_row(s, "rotors last", rotor_lasts);
        life_row(s, "rotor pairs for the event", rotor_sets);
    }
    life_row(s, "stops that strain the skin", cycles);
    life_row(s, "crack indicator", crack);
    mbl_page_wrap(s->page, "  ", 2,
                  "The crack indicator is a ranking of rotors and duties, no life: look at the "
                  "faces after every session.");
}

/* ---- weight and money ---- */

static mbl_shown money(double sum)
{
    return mbl_out_fixed(sum, 2);
}

static void put_money(mbl_sheet *s)
{
    const mbl_bill *b = &s->run->bill;
    mbl_text_print(&s->line, "%s", money(b->parts).s);
    if (b->labour > 0)
        mbl_text_print(&s->line, ", and %s of labour to fit all of it", money(b->labour).s);
    if (b->unpriced > 0)
        mbl_text_print(&s->line, "; %d part%s without a price, not in it", b->unpriced,
                       b->unpriced == 1 ? "" : "s");
    mbl_text_print(&s->line, ".");
    mbl_sheet_fact(s, "Parts");
    mbl_text_print(&s->line, "%s used up by the event: pads %s, rotors %s, bleeding %s.",
                   money(b->event).s, money(b->pads_event).s, money(b->rotors_event).s,
                   money(b->fluid_event).s);
    if (outlived(s, 0) || outlived(s, 1))
        mbl_text_print(&s->line, " No budget: a set of pads does not last one session.");
    mbl_sheet_fact(s, "Event");
}

void mbl_sheet_weight(mbl_sheet *s)
{
    const mbl_weights *w = &s->run->weights;
    const mbl_bill *b = &s->run->bill;
    bool priced = b->parts > 0 || b->labour > 0 || b->event > 0;
    double wheel[MBL_AXLES];
    for (int axle = 0; axle < MBL_AXLES; axle++)
        wheel[axle] = w->rotor[axle] + w->pads[axle] + w->caliper[axle] + w->duct[axle];
    mbl_page_heading(s->page, priced ? "WEIGHT AND MONEY" : "WEIGHT");
    mbl_page_row(s->page, "of one wheel", "front", "rear");
    mbl_sheet_row(s, "rotor", MBL_Q_MASS, w->rotor);
    mbl_sheet_row(s, "pads", MBL_Q_MASS, w->pads);
    mbl_sheet_row(s, "caliper", MBL_Q_MASS, w->caliper);
    if (w->duct[0] > 0 || w->duct[1] > 0)
        mbl_sheet_row(s, "duct", MBL_Q_MASS, w->duct);
    mbl_sheet_row(s, "all of it", MBL_Q_MASS, wheel);
    mbl_text_print(&s->line,
                   "%s of brakes on four wheels; the rotors' turning weighs as %s more when the "
                   "car speeds up or slows down.",
                   mbl_sheet_told(s, MBL_Q_MASS, w->unsprung).s,
                   mbl_sheet_told(s, MBL_Q_MASS, w->equivalent).s);
    mbl_sheet_fact(s, "Unsprung");
    if (priced)
        put_money(s);
}
