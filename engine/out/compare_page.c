/* SPDX-License-Identifier: MIT */
/* AGAINST THE BASE: what the change did, by name. */
#include "out/compare.h"

#include "out/sheet.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Does the change show at all? What does not is left out. */
bool mbl_compare_shows(mbl_units_system units, const mbl_difference *d)
{
    if (d->before == d->after)
        return false;
    if (!isfinite(d->before) || !isfinite(d->after))
        return true;
    if (d->relative)
        return fabs(d->after / d->before - 1) >= 0.005;
    mbl_figure f = mbl_figure_of(d->quantity == MBL_Q_LEVEL ? MBL_Q_RISE : d->quantity, units);
    double by = mbl_out_convert(f.measure, units, d->after - d->before);
    return fabs(by) * pow(10, f.decimals) >= 0.5;
}

/* Sessions and months, rounded down as elsewhere on the page. */
static mbl_shown counted(double n)
{
    int decimals = fabs(n) < 10 ? 1 : 0;
    double unit = pow(10, decimals);
    return mbl_out_fixed(floor(n * unit) / unit, decimals);
}

/* "+38 %", "-12 K" */
mbl_shown mbl_compare_change(mbl_units_system units, const mbl_difference *d)
{
    mbl_shown out = {"-"};
    if (!isfinite(d->before) || !isfinite(d->after))
        return out;
    if (d->relative) {
        double percent = 100 * (d->after / d->before - 1);
        mbl_shown number = mbl_out_fixed(percent, fabs(percent) < 10 ? 1 : 0);
        snprintf(out.s, sizeof out.s, "%s%.30s %%", number.s[0] == '-' ? "" : "+", number.s);
    } else if (d->quantity == MBL_Q_COUNT) {
        double by = d->after - d->before;
        mbl_shown number = mbl_out_fixed(by, fabs(by) < 10 ? 1 : 0);
        snprintf(out.s, sizeof out.s, "%s%.30s", number.s[0] == '-' ? "" : "+", number.s);
    } else {
        out = mbl_figure_change(d->quantity, units, d->after - d->before);
    }
    return out;
}

/* Margins are read against nothing. */
mbl_shown mbl_compare_told(mbl_units_system units, const mbl_difference *d, double si)
{
    if (d->quantity == MBL_Q_COUNT && isfinite(si))
        return counted(si);
    if (strstr(d->what, "margin") == NULL)
        return mbl_figure_told(d->quantity, units, si);
    mbl_shown out = mbl_figure_change(d->quantity, units, si);
    if (out.s[0] == '+')
        memmove(out.s, out.s + 1, strlen(out.s));
    return out;
}

static void put_rows(mbl_sheet *s, const mbl_comparison *c)
{
    int still = 0;
    mbl_text_print(s->page, "  %-29s %-14s %-14s %s\n", "", "before", "after", "change");
    for (int i = 0; i < c->n; i++) {
        const mbl_difference *d = &c->row[i];
        still += !mbl_compare_shows(s->units, d);
        if (!mbl_compare_shows(s->units, d))
            continue;
        mbl_text_print(s->page, "  %-29.29s %-14.14s %-14.14s %.16s\n", d->what,
                       mbl_compare_told(s->units, d, d->before).s,
                       mbl_compare_told(s->units, d, d->after).s,
                       mbl_compare_change(s->units, d).s);
    }
    if (still > 0)
        mbl_text_print(s->page, "  %d figure%s more stay%s as %s.\n", still, still == 1 ? "" : "s",
                       still == 1 ? "s" : "", still == 1 ? "it is" : "they are");
}

/* "travel +38 %": a share as a percentage with its sign. */
static void add_share(mbl_sheet *s, const char *what, double share, bool *any)
{
    if (isnan(share) || fabs(share) < 0.005)
        return;
    mbl_shown percent = mbl_out_fixed(100 * share, 0);
    mbl_text_print(&s->line, "%s%s %s%s %%", *any ? ", " : "", what, percent.s[0] == '-' ? "" : "+",
                   percent.s);
    *any = true;
}

/* The hydraulics in one sentence. */
static void put_hydraulics(mbl_sheet *s, const mbl_comparison *c)
{
    bool any = false;
    mbl_text_print(&s->line, "At the same 1 g with warm pads: ");
    add_share(s, "travel", c->travel, &any);
    if (any && c->master_unchanged)
        mbl_text_print(&s->line, " on the unchanged master");
    add_share(s, "line pressure", c->pressure, &any);
    add_share(s, "effort", c->effort, &any);
    if (!isnan(c->front_share) && fabs(c->front_share) >= 0.001) {
        mbl_text_print(&s->line, "%s%s points of the braking move to the %s", any ? ", " : "",
                       mbl_out_fixed(100 * fabs(c->front_share), 1).s,
                       c->front_share < 0 ? "rear" : "front");
        any = true;
    }
    mbl_text_print(&s->line, "%s.", any ? "" : "pedal and balance stay as they were");
    mbl_sheet_point(s);
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_fluid(const mbl_fluid *a, const mbl_fluid *b)
{
    return a->grade == b->grade && same(a->dry, b->dry) && same(a->wet, b->wet) &&
           same(mbl_fluid_water(a), mbl_fluid_water(b)) && a->uptake == b->uptake &&
           a->cost == b->cost && a->boiling.n == b->boiling.n &&
           memcmp(a->boiling.x, b->boiling.x, a->boiling.n * sizeof *a->boiling.x) == 0 &&
           memcmp(a->boiling.y, b->boiling.y, a->boiling.n * sizeof *a->boiling.y) == 0;
}

static void put_fluid(mbl_sheet *s, const char *word, const mbl_run *run)
{
    const mbl_fluid *f = &run->setup.car.fluid;
    double margin = fmin(run->axle[0].margin, run->axle[1].margin);
    double months = mbl_run_bleed_months(run);
    mbl_text_print(&s->line, "%s fluid: %s %s its boiling point", word,
                   mbl_words_margin(MBL_CHECK_FLUID, s->units, fabs(margin)).s,
                   margin < 0 ? "above" : "below");
    if (months == 0)
        mbl_text_print(&s->line, ", a bleed is due now");
    else if (months < 60)
        mbl_text_print(&s->line, ", a bleed every %s months by its uptake of water",
                       mbl_out_fixed(floor(months), 0).s);
    else if (!isnan(months))
        mbl_text_print(&s->line, ", its uptake of water asks for no bleed in 5 years");
    if (f->cost > 0)
        mbl_text_print(&s->line, ", %s a litre", mbl_out_fixed(f->cost, 2).s);
    mbl_text_print(&s->line, ".");
    mbl_sheet_point(s);
}

/* The verdict of the base, in the words it would have had. */
static void put_verdict(mbl_sheet *s, const mbl_run *base)
{
    mbl_text_print(&s->line, "Before the change: ");
    mbl_words_verdict(base, s->units, &s->line);
    mbl_text_print(&s->line, ". ");
    mbl_words_reach(base, &s->line);
    mbl_sheet_point(s);
}

void mbl_sheet_compare(mbl_sheet *s)
{
    const mbl_run *base = s->run->base;
    mbl_comparison c;
    if (base == NULL)
        return;
    mbl_compare(base, s->run, &c);
    mbl_page_heading(s->page, "AGAINST THE BASE");
    put_verdict(s, base);
    put_hydraulics(s, &c);
    if (!same_fluid(&base->setup.car.fluid, &s->run->setup.car.fluid)) {
        put_fluid(s, "Former", base);
        put_fluid(s, "New", s->run);
    }
    put_rows(s, &c);
}
