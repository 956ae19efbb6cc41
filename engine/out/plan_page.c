/* SPDX-License-Identifier: MIT */
/* SESSION PLAN: what the day has to look like for this package. */
#include "out/sheet.h"
#include "study/session.h"

#include <math.h>

static void put_hot(mbl_sheet *s)
{
    const mbl_reach *r = &s->run->reach;
    if (!r->known)
        return;
    mbl_text_print(&s->line, "%d in a row hold by temperature%s.", r->holds,
                   r->capped ? ", and no end was found" : "");
    mbl_sheet_fact(s, "Hot laps");
}

static void put_cool(mbl_sheet *s)
{
    const mbl_session_plan *p = s->run->plan;
    if (!p->cool_known)
        mbl_text_print(&s->line,
                       "no number of laps up to %d is enough: a limit is passed before, or while "
                       "parked.",
                       MBL_COOL_LAPS_CAP);
    else if (p->cool == 0)
        mbl_text_print(&s->line, "none needed: parked straight after the last hot lap, no limit of "
                                 "temperature is passed.");
    else
        mbl_text_print(&s->line, "%d lap%s before parking, or a limit is passed on the stand.",
                       p->cool, p->cool == 1 ? "" : "s");
    mbl_sheet_fact(s, "Cool-down");
    mbl_text_print(&s->line, "the fluid reaches %s front and %s rear when parked, ",
                   mbl_sheet_told(s, MBL_Q_LEVEL, p->skip_fluid[0].T).s,
                   mbl_sheet_told(s, MBL_Q_LEVEL, p->skip_fluid[1].T).s);
    mbl_text_print(&s->line, "%s %s the boiling point that judges.",
                   mbl_words_margin(MBL_CHECK_FLUID, s->units, fabs(p->skip_margin)).s,
                   p->skip_margin < 0 ? "above" : "below");
    mbl_sheet_fact(s, "Skipped");
}

static void put_gap(mbl_sheet *s)
{
    const mbl_session_plan *p = s->run->plan;
    if (isnan(p->gap))
        mbl_text_print(&s->line,
                       "no stand up to %s is enough: the same stint again passes a limit of "
                       "temperature.",
                       mbl_out_span(MBL_GAP_CAP).s);
    else
        mbl_text_print(&s->line,
                       "%s parked, and the same stint again passes no limit of temperature.",
                       mbl_out_span(p->gap).s);
    mbl_sheet_fact(s, "Gap");
}

static void put_worst(mbl_sheet *s)
{
    const mbl_check *c = &s->run->plan->worst_check;
    mbl_text_print(&s->line,
                   "a day %s hotter, pads worn to their end, no cool-down lap: %s; tightest is the "
                   "%s",
                   mbl_sheet_told(s, MBL_Q_RISE, MBL_HOT_DAY).s,
                   mbl_verdict_word(s->run->plan->worst), mbl_words_subject(c->kind, c->axle).s);
    if (c->kind != MBL_CHECK_FOUND)
        mbl_text_print(&s->line, ", %s %s", mbl_words_margin(c->kind, s->units, fabs(c->margin)).s,
                       c->margin < 0 ? "past its limit" : "left");
    mbl_text_print(&s->line, ".");
    mbl_sheet_fact(s, "Worst line");
}

void mbl_sheet_plan(mbl_sheet *s)
{
    if (s->run->plan == NULL || !s->run->plan->known)
        return;
    mbl_page_heading(s->page, "SESSION PLAN");
    put_hot(s);
    put_cool(s);
    put_gap(s);
    put_worst(s);
}
