/* SPDX-License-Identifier: MIT */
#include "out/sheet.h"

#include <math.h>
#include <stdio.h>

/* Is a limit passed that is no more than marginal by itself? */
static bool any_spared(const mbl_run *run)
{
    for (int i = 0; i < run->nchecks; i++)
        if (run->checks[i].margin < 0 && run->checks[i].verdict == MBL_MARGINAL)
            return true;
    return false;
}

/* When a limit was first passed, or where it was closest. */
static mbl_shown when(const mbl_sheet *s, const mbl_check *c)
{
    const mbl_passing *p = &c->passing;
    mbl_shown out = {""};
    switch (c->kind) {
    case MBL_CHECK_WORN:
    case MBL_CHECK_THIN:
        snprintf(out.s, sizeof out.s, "after the event");
        return out;
    case MBL_CHECK_PANIC:
        snprintf(out.s, sizeof out.s, "panic stop");
        return out;
    case MBL_CHECK_BITE:
        snprintf(out.s, sizeof out.s, "hot laps");
        return out;
    case MBL_CHECK_BALANCE:
        if (c->peak.lap == 0) {
            snprintf(out.s, sizeof out.s, "cold pads");
            return out;
        }
        break;
    case MBL_CHECK_FOUND:
        snprintf(out.s, sizeof out.s, "%s", mbl_finding_word(s->run->setup.car.found.v[0].what));
        return out;
    default:
        break;
    }
    if (c->verdict != MBL_FAILS)
        return mbl_words_peak_at(s->run, &c->peak);
    if (p->lap > 0)
        snprintf(out.s, sizeof out.s, "passed lap %d", p->lap);
    else
        snprintf(out.s, sizeof out.s, "parked %.20s", mbl_out_span(p->parked).s);
    return out;
}

static void put_check(mbl_sheet *s, const mbl_check *c)
{
    mbl_figure f = mbl_words_figure(c->kind, s->units);
    mbl_figure m = mbl_words_margin_figure(c->kind, s->units);
    mbl_shown subject = mbl_words_subject(c->kind, c->axle);
    if (c->kind == MBL_CHECK_FOUND) {
        mbl_text_print(s->page, "  %-20.20s %5s %5s %6s %5s %-3s  %-8s %.18s\n", subject.s, "-",
                       "-", "-", "-", "", mbl_verdict_word(c->verdict), when(s, c).s);
        return;
    }
    /* nothing is less than no material at all */
    double worst = c->kind == MBL_CHECK_WORN ? fmax(c->peak.T, 0) : c->peak.T;
    double margin = c->kind == MBL_CHECK_WORN ? fmax(c->margin, -c->limit) : c->margin;
    mbl_text_print(
        s->page, "  %-20.20s %5.7s %5.7s %6.7s %5.7s %-3s  %-8s %.18s\n", subject.s,
        mbl_figure_number(f, s->units, worst).s, mbl_figure_number(f, s->units, c->limit).s,
        mbl_figure_margin(m, s->units, margin).s, mbl_figure_number(m, s->units, c->band).s,
        mbl_sheet_unit(s, f.measure), mbl_verdict_word(c->verdict), when(s, c).s);
}

void mbl_sheet_limits(mbl_sheet *s)
{
    mbl_page_heading(s->page, "LIMITS, closest first by margin over band");
    mbl_text_print(s->page, "  %-20s %5s %5s %6s %5s %-3s  %-8s %s\n", "", "worst", "limit",
                   "margin", "band", "", "verdict", "when");
    for (int i = 0; i < s->run->nchecks; i++)
        put_check(s, &s->run->checks[i]);
    mbl_text_print(&s->line,
                   "Holds: the margin is at least the band, which stands for what the model can be "
                   "wrong by. Marginal: less than that is left. Fails: the limit is passed.");
    if (any_spared(s->run))
        mbl_text_print(&s->line, " Never worse than marginal: cold pads, the balance with ABS, "
                                 "panic pressure on a caliper without a rating.");
    if (s->units == MBL_UNITS_SI)
        mbl_text_print(&s->line, " Margins and bands of temperatures are in %s.",
                       mbl_sheet_unit(s, MBL_SHOW_RISE));
    mbl_page_wrap(s->page, "  ", 2, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}
