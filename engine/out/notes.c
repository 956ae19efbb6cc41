/* SPDX-License-Identifier: MIT */
#include "out/notes.h"

#include "out/words.h"

#include <math.h>
#include <stdio.h>

typedef struct teller {
    const mbl_run *run;
    mbl_units_system units;
    void (*tell)(void *ctx, const char *sentence);
    void *ctx;
} teller;

static void say(const teller *t, const char *sentence)
{
    t->tell(t->ctx, sentence);
}

/* What the duct brings, and what becomes of it. */
static void duct_notes(const teller *t, int axle)
{
    const mbl_brake *b = mbl_words_brake(t->run, axle);
    const char *where = mbl_axle_word(axle);
    double flow = t->run->axle[axle].duct_flow;
    char text[320];
    if (!b->duct.present)
        return;
    mbl_duct_reach reach = mbl_duct_reaches(b);
    if (flow <= 0) {
        snprintf(text, sizeof text, "The %s duct brings no air: %s.", where,
                 b->duct.taped >= 1 ? "its inlet is taped shut"
                                    : "the pressure where it ends is as high as at its inlet");
        say(t, text);
    } else {
        snprintf(text, sizeof text, "The %s duct brings %.0f g/s to each wheel at top speed.",
                 where, 1e3 * flow);
        say(t, text);
    }
    if (b->rotor.hat == MBL_HAT_INVERTED && b->duct.aim <= MBL_AIM_OPEN_EYE) {
        snprintf(text, sizeof text,
                 "The %s rotor has an inverted hat: its vane inlets are behind the wheel, and only "
                 "%.0f %% of the duct's air gets to them.",
                 where, 100 * reach.vanes);
        say(t, text);
    }
    if (reach.pump < 1) {
        snprintf(text, sizeof text,
                 "The sealed plate leaves the %s rotor %.0f %% of its own pumping: when the duct "
                 "brings little, it cools worse than without one.",
                 where, 100 * reach.pump);
        say(t, text);
    }
    if (b->duct.aim == MBL_AIM_FACE ||
        (b->duct.aim <= MBL_AIM_OPEN_EYE && mbl_rotor_vanes(&b->rotor) == 0)) {
        snprintf(text, sizeof text,
                 "The %s duct cools one face of the rotor only: that cones it and cracks it; look "
                 "at the faces after every session.",
                 where);
        say(t, text);
    }
}

static void pad_notes(const teller *t, int axle)
{
    const mbl_pad *p = &mbl_words_brake(t->run, axle)->pad;
    char text[200];
    if (p->condition == MBL_PAD_BEDDED)
        return;
    snprintf(text, sizeof text, "The %s pads are %s: friction is taken as %.0f %% of their curve.",
             mbl_axle_word(axle), p->condition == MBL_PAD_GREEN ? "not bedded" : "glazed",
             100 * mbl_pad_condition(p));
    say(t, text);
}

/* A ring whose mass does not go with its size. */
static void ring_note(const teller *t, int axle)
{
    double off = t->run->weights.ring_off[axle];
    const mbl_rotor *r = &mbl_words_brake(t->run, axle)->rotor;
    char text[240];
    if (!(fabs(off) > 0.2))
        return;
    snprintf(text, sizeof text,
             "The %s ring weighs %.0f %% %s than a ring of its size does (%s, where %s is usual): "
             "is its mass, or its height, measured?",
             mbl_axle_word(axle), 100 * fabs(off), off > 0 ? "more" : "less",
             mbl_figure_told(MBL_Q_MASS, t->units, mbl_rotor_ring_mass(r)).s,
             mbl_figure_told(MBL_Q_MASS, t->units, mbl_rotor_ring_mass(r) / (1 + off)).s);
    say(t, text);
}

static void law_note(const teller *t, const char *what, double error, const char *unit)
{
    char text[200];
    if (error <= 0)
        return;
    snprintf(text, sizeof text,
             "The law for %s was sampled; between its samples it is off by at "
             "most %.2g%s.",
             what, error, unit);
    say(t, text);
}

static void law_notes(const teller *t, int axle)
{
    const mbl_brake *b = mbl_words_brake(t->run, axle);
    const char *where = mbl_axle_word(axle);
    char what[64];
    snprintf(what, sizeof what, "friction of the %s pads", where);
    law_note(t, what, b->pad.friction.error, "");
    const struct {
        const char *name;
        const mbl_film_samples *law;
    } films[] = {
        {"faces", b->cooling.faces}, {"vanes", b->cooling.vanes}, {"caliper", b->cooling.caliper}};
    for (size_t i = 0; i < sizeof films / sizeof films[0]; i++) {
        snprintf(what, sizeof what, "cooling of the %s %s", where, films[i].name);
        if (films[i].law != NULL)
            law_note(t, what, films[i].law->error, " W/m2K");
    }
}

static void fluid_notes(const teller *t)
{
    const mbl_fluid *f = &t->run->setup.car.fluid;
    char text[240];
    if (mbl_fluid_keeps_water_apart(f) && mbl_fluid_water(f) > 0) {
        double p = mbl_air_pressure(t->run->setup.stint.altitude);
        snprintf(text, sizeof text,
                 "This fluid does not dissolve water: what is in it lies in the calipers and boils "
                 "by itself at %s %s.",
                 mbl_out_show(MBL_SHOW_LEVEL, t->units, mbl_water_boiling(p), 0).s,
                 mbl_out_unit(MBL_SHOW_LEVEL, t->units));
        say(t, text);
    }
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        double vapour = t->run->axle[axle].vapour;
        if (vapour <= 0)
            continue;
        /* by the litre it is a sum, not a caliper */
        snprintf(text, sizeof text,
                 "The %s fluid boils: with the pedal released a caliper can hold %s %.2g litres of "
                 "vapour, and the next application finds no pedal.",
                 mbl_axle_word(axle), vapour > 1e-4 ? "more than" : "some",
                 1e3 * fmin(vapour, 1e-4));
        say(t, text);
    }
}

/* Far ahead of ideal the rear idles; trade articles set 2 to 5 points. */
static void balance_note(const teller *t)
{
    const mbl_balance_result *b = &t->run->balance;
    char text[240];
    if (!b->known || b->ahead < 0.08)
        return;
    snprintf(text, sizeof text,
             "The front has at least %s points more of the braking than ideal, where 2 to 5 are "
             "usual: front pads, rotors and tyres do work that the rear could do.",
             mbl_out_fixed(100 * b->ahead, 0).s);
    say(t, text);
}

/* How long until the present point has sunk to the peak: the next bleed is due before. */
static void bleed_note(const teller *t)
{
    const mbl_run *run = t->run;
    double months = mbl_run_bleed_months(run);
    char text[200];
    if (isnan(months))
        return;
    if (months <= 0)
        snprintf(text, sizeof text,
                 "The fluid is due for a change now: its present boiling point is "
                 "within the band of its peak.");
    else if (months < 60)
        snprintf(
            text, sizeof text,
            "At its uptake of water the fluid keeps its band for about %.0f more months of such "
            "stints; no prediction, uptake differs widely.",
            floor(months));
    else
        return;
    say(t, text);
}

void mbl_notes_tell(const mbl_run *run, mbl_units_system units,
                    void (*tell)(void *ctx, const char *sentence), void *ctx)
{
    teller t = {run, units, tell, ctx};
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        duct_notes(&t, axle);
        pad_notes(&t, axle);
        ring_note(&t, axle);
        law_notes(&t, axle);
    }
    balance_note(&t);
    fluid_notes(&t);
    bleed_note(&t);
}
