/* SPDX-License-Identifier: MIT */
#include "out/shortlist.h"

#include "out/page.h"
#include "out/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct sheet {
    const mbl_shortlist_ask *ask;
    const mbl_shortlist *list;
    mbl_units_system units;
    mbl_text *page;
    mbl_text line; /* a sentence while it is put together */
} sheet;

static void fact(sheet *s, const char *word)
{
    mbl_page_fact(s->page, word, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

static void sentence(sheet *s, const char *lead, int indent)
{
    mbl_page_wrap(s->page, lead, indent, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

static void point(sheet *s)
{
    mbl_page_point(s->page, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

static mbl_shown money(double sum)
{
    return mbl_out_fixed(sum, 2);
}

/* "packages that hold", "packages that do not fail" */
static const char *wanted(const sheet *s)
{
    return s->ask->need == MBL_HOLDS ? "hold" : "do not fail";
}

/* A tenth of a band, rounded down, so that none shows as more than it is. */
static mbl_shown bands(double closest)
{
    return mbl_out_fixed(floor(10 * closest) / 10, 1);
}

/* "front fluid passed by 27 K", "front pad, 12 K left" */
static void add_margin(sheet *s, const mbl_choice *c)
{
    const mbl_check *t = &c->tightest;
    mbl_shown subject = mbl_words_subject(t->kind, t->axle);
    if (t->margin < 0)
        mbl_text_print(&s->line, "%s passed by %s", subject.s,
                       mbl_words_margin(t->kind, s->units, -t->margin).s);
    else
        mbl_text_print(&s->line, "%s, %s left", subject.s,
                       mbl_words_margin(t->kind, s->units, t->margin).s);
}

/* "front pad: race 850, fluid: 312/205"; what is there is left out. */
static void add_picks(sheet *s, const mbl_pick pick, const mbl_pick but)
{
    const char *lead = "";
    for (size_t i = 0; i < s->ask->nslots; i++) {
        const mbl_slot *slot = &s->ask->slot[i];
        if (but != NULL ? pick[i] == but[i] : pick[i] == 0)
            continue;
        mbl_text_print(&s->line, "%s%s: %s", lead, mbl_slot_name(slot->kind),
                       slot->option[pick[i]].name);
        lead = "; ";
    }
    if (lead[0] == '\0')
        mbl_text_print(&s->line, "nothing is changed");
}

/* ---- the head ---- */

static void put_title(sheet *s)
{
    static const char *const first[] = {[MBL_BY_COST] = "least money first",
                                        [MBL_BY_EVENT] = "least consumables of the event first",
                                        [MBL_BY_MASS] = "least mass first",
                                        [MBL_BY_LABOUR] = "least labour first"};
    mbl_text_print(&s->line, "SHORTLIST of %zu combination%s, %s", s->list->all,
                   s->list->all == 1 ? "" : "s", first[s->ask->by]);
    mbl_page_heading(s->page, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

static void put_slots(sheet *s)
{
    for (size_t i = 0; i < s->ask->nslots; i++) {
        const mbl_slot *slot = &s->ask->slot[i];
        mbl_text_print(&s->line, "%s%s (%zu%s)", i > 0 ? ", " : "", mbl_slot_name(slot->kind),
                       slot->n - 1, slot->keep ? "" : ", one of them");
    }
    mbl_text_print(&s->line, ".");
    fact(s, "May change");
}

static void put_as_is(sheet *s)
{
    mbl_text_print(&s->line, "%s: ", mbl_verdict_word(s->list->as_is.verdict));
    add_margin(s, &s->list->as_is);
    mbl_text_print(&s->line, ".");
    fact(s, "As it is");
}

static void put_misfits(sheet *s)
{
    size_t all = 0;
    const char *lead = ": ";
    for (int i = 1; i < MBL_MISFITS; i++)
        all += s->list->misfit[i];
    if (all == 0)
        return;
    mbl_text_print(&s->line, "%zu", all);
    for (int i = 1; i < MBL_MISFIT_ASKED; i++) {
        if (s->list->misfit[i] == 0)
            continue;
        mbl_text_print(&s->line, "%s%s (%zu)", lead, mbl_misfit_text((mbl_misfit)i),
                       s->list->misfit[i]);
        lead = "; ";
    }
    for (size_t i = 0; i < s->list->nwhys; i++) {
        if (s->list->why[i].n == 0)
            continue;
        mbl_text_print(&s->line, "%s%s (%zu)", lead, s->list->why[i].text, s->list->why[i].n);
        lead = "; ";
    }
    mbl_text_print(&s->line, ".");
    fact(s, "Do not fit");
}

static void put_counts(sheet *s)
{
    const mbl_shortlist *l = s->list;
    put_misfits(s);
    if (l->panic > 0) {
        mbl_text_print(&s->line,
                       "%zu pass what a caliper is rated for at limits.panic, whatever the heat.",
                       l->panic);
        fact(s, "Not driven");
    }
    if (l->later > 0) {
        mbl_text_print(&s->line, "%zu could only rank behind the last one here.", l->later);
        fact(s, l->panic > 0 ? "" : "Not driven");
    }
    mbl_text_print(&s->line,
                   "%zu stint%s, from which %zu combination%s could be judged: what differs "
                   "by money, fluid or masters that divide alike is as hot.",
                   l->drives, l->drives == 1 ? "" : "s", l->judged, l->judged == 1 ? "" : "s");
    mbl_text_print(&s->line, " Of these %zu %s.", l->held, wanted(s));
    fact(s, "Driven");
    if (l->failed > 0) {
        mbl_text_print(&s->line, "%zu: %s.", l->failed, l->failure);
        fact(s, "Not to run");
    }
}

/* ---- the list ---- */

static void put_step_up(sheet *s, const mbl_choice *c)
{
    if (c->up == SIZE_MAX)
        return;
    const mbl_choice *up = &s->list->row[c->up];
    double more = mbl_price_sum(&up->price) - mbl_price_sum(&c->price);
    mbl_text_print(&s->line, "More margin: no. %zu, %s%s money, %s bands, by ", c->up + 1,
                   more < 0 ? "" : "+", money(more).s, bands(up->closest).s);
    add_picks(s, up->pick, c->pick);
    sentence(s, "      ", 8);
}

/* From the one that leaves most to what leaves more than all of them. */
static void put_step(sheet *s)
{
    const mbl_shortlist *l = s->list;
    const mbl_choice *best = &l->row[0];
    for (size_t i = 1; i < l->n; i++)
        best = l->row[i].closest > best->closest ? &l->row[i] : best;
    if (!l->stepped)
        return;
    double more = mbl_price_sum(&l->step.price) - mbl_price_sum(&best->price);
    mbl_text_print(&s->line, "Next step up: from no. %zu %s%s money to %s bands (",
                   (size_t)(best - l->row) + 1, more < 0 ? "" : "+", money(more).s,
                   bands(l->step.closest).s);
    add_margin(s, &l->step);
    mbl_text_print(&s->line, "), by ");
    add_picks(s, l->step.pick, best->pick);
    mbl_text_print(&s->line, ".");
    sentence(s, "  ", 2);
}

static void put_row(sheet *s, size_t i)
{
    const mbl_choice *c = &s->list->row[i];
    char no[24];
    mbl_shown cost = money(mbl_price_sum(&c->price));
    mbl_shown labour = money(1e-6 * (double)c->price.labour);
    mbl_shown event = money(c->event);
    mbl_shown mass = mbl_out_show(MBL_SHOW_MASS, s->units, c->mass, 1);
    mbl_shown limit = mbl_words_subject(c->tightest.kind, c->tightest.axle);
    mbl_shown margin = mbl_words_margin(c->tightest.kind, s->units, c->tightest.margin);
    snprintf(no, sizeof no, "%zu", i + 1);
    mbl_text_print(s->page, "  %3s %9s %8s %8s %6s  %-20s %8s %5s%s\n", no, cost.s, labour.s,
                   event.s, mass.s, limit.s, margin.s, bands(c->closest).s,
                   c->verdict == MBL_HOLDS ? "" : "~");
    add_picks(s, c->pick, NULL);
    sentence(s, "      ", 8);
    put_step_up(s, c);
}

static void put_missed(sheet *s)
{
    if (!s->list->missed) {
        mbl_text_print(&s->line, "None: no combination could be driven.");
        sentence(s, "  ", 2);
        return;
    }
    mbl_text_print(&s->line,
                   "None: of these parts no packages %s. The nearest to it %s: ", wanted(s),
                   s->list->nearest.verdict == MBL_FAILS ? "fails" : "is marginal");
    add_margin(s, &s->list->nearest);
    mbl_text_print(&s->line, ", for %s: ", money(mbl_price_sum(&s->list->nearest.price)).s);
    add_picks(s, s->list->nearest.pick, NULL);
    mbl_text_print(&s->line, ".");
    sentence(s, "  ", 2);
}

static void put_list(sheet *s)
{
    const mbl_shortlist *l = s->list;
    mbl_page_heading(s->page, l->n == 0                   ? "PACKAGES"
                              : s->ask->need == MBL_HOLDS ? "PACKAGES THAT HOLD"
                                                          : "PACKAGES THAT DO NOT FAIL");
    if (l->n == 0) {
        put_missed(s);
        return;
    }
    mbl_text_print(s->page, "  %3s %9s %8s %8s %6s  %-20s %8s %5s\n", "", "money", "labour",
                   "event", mbl_out_unit(MBL_SHOW_MASS, s->units), "gives out first", "left",
                   "bands");
    for (size_t i = 0; i < l->n; i++)
        put_row(s, i);
    put_step(s);
    if (l->n < s->ask->want) {
        mbl_text_print(&s->line, "No more of these parts do.");
        sentence(s, "  ", 2);
    }
    mbl_text_print(
        &s->line, "Money: parts and labour of what is new; labour is the part of it for fitting. "
                  "Event: pads, rotors and bleeds that it uses up, also of parts that stay. Bands: "
                  "what is left of the tightest limit over its marginal band; ~ marginal.");
    sentence(s, "  ", 2);
}

/* ---- single changes ---- */

static void put_alone(sheet *s)
{
    mbl_page_heading(s->page, "ONE CHANGE ALONE");
    for (size_t i = 0; i < s->ask->nslots; i++) {
        const mbl_alone *a = &s->list->alone[i];
        const mbl_slot *slot = &s->ask->slot[i];
        mbl_text_print(&s->line, "%s: ", mbl_slot_name(slot->kind));
        if (!a->any) {
            mbl_text_print(&s->line, "none fits what is there.");
            point(s);
            continue;
        }
        mbl_text_print(&s->line, "%s%s for %s, ", a->holds ? "" : "none is enough; nearest ",
                       slot->option[a->best.pick[i]].name, money(mbl_price_sum(&a->best.price)).s);
        mbl_text_print(&s->line, "%s: ", mbl_verdict_word(a->best.verdict));
        add_margin(s, &a->best);
        mbl_text_print(&s->line, ".");
        point(s);
    }
}

/* ---- what the list does not know ---- */

/* Options that cost nothing: they win every comparison of money. */
static size_t unpriced(const sheet *s)
{
    size_t n = 0;
    for (size_t i = 0; i < s->ask->nslots; i++)
        for (size_t k = 1; k < s->ask->slot[i].n; k++)
            n += mbl_part_price(&s->ask->slot[i].option[k].part, &s->ask->setup->event).parts == 0;
    return n;
}

static bool says_nothing(const mbl_slot *slot, const mbl_fits *f)
{
    bool caliper = slot->kind == MBL_SLOT_FRONT_CALIPER || slot->kind == MBL_SLOT_REAR_CALIPER;
    bool pad = slot->kind == MBL_SLOT_FRONT_PAD || slot->kind == MBL_SLOT_REAR_PAD;
    return (caliper && (isnan(f->diameter[0]) || f->pad[0] == '\0')) || (pad && f->pad[0] == '\0');
}

static size_t untold(const sheet *s)
{
    size_t n = 0;
    for (size_t i = 0; i < s->ask->nslots; i++)
        for (size_t k = 0; k < s->ask->slot[i].n; k++)
            n += says_nothing(&s->ask->slot[i], &s->ask->slot[i].option[k].fits);
    return n;
}

static void put_cautions(sheet *s)
{
    size_t n = unpriced(s);
    mbl_page_heading(s->page, "BEFORE ANYONE BUYS OR DRIVES");
    if (n > 0) {
        mbl_text_print(&s->line, "%zu option%s no price and count%s as free.", n,
                       n == 1 ? " has" : "s have", n == 1 ? "s" : "");
        point(s);
    }
    n = untold(s);
    if (n > 0) {
        mbl_text_print(&s->line,
                       "%zu pad%s or caliper%s not say which shape or rotors go with %s: that is "
                       "not tested.",
                       n, n == 1 ? "" : "s", n == 1 ? " does" : "s do", n == 1 ? "it" : "them");
        point(s);
    }
    mbl_page_point(s->page,
                   "Fit is as told here: offset, hub, lines and brackets are not looked at.");
    mbl_page_point(s->page, mbl_words_cautions[0]);
    mbl_page_point(s->page, mbl_words_cautions[2]);
}

void mbl_out_shortlist(const mbl_shortlist_ask *ask, const mbl_shortlist *list,
                       mbl_units_system units, mbl_text *out)
{
    sheet s = {.ask = ask, .list = list, .units = units, .page = out};
    mbl_text_init(&s.line, out->alloc);
    put_title(&s);
    put_slots(&s);
    put_as_is(&s);
    put_counts(&s);
    put_list(&s);
    put_alone(&s);
    put_cautions(&s);
    out->failed = out->failed || s.line.failed;
    mbl_text_free(&s.line);
}
