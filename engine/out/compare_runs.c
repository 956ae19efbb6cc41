/* SPDX-License-Identifier: MIT */
/* The page of el.compare. */
#include "out/compare.h"

#include "out/page.h"
#include "out/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { BESIDE = 3, WHAT = 29, CELL = 15 };

typedef struct sheet {
    size_t n;
    const mbl_run *const *runs;
    const mbl_given *inputs;
    mbl_units_system units;
    mbl_text *page;
    bool headed;        /* the table at hand has its head */
    mbl_text line;      /* a sentence while it is put together */
    size_t shown;       /* runs beside each other in this block */
    size_t run[BESIDE]; /* (shown) the first of all, and others */
} sheet;

/* ---- inputs ---- */

static void add_list(const mbl_field *field, const mbl_node *node, mbl_units_system units,
                     mbl_text *out)
{
    for (size_t i = 0; i < node->count; i++) {
        const mbl_node *item = node->items[i];
        mbl_text_print(out, "%s", i > 0 ? ", " : "");
        if (item->kind == MBL_NODE_NUMBER)
            mbl_text_print(out, "%s", mbl_out_value(field->quantity, units, item->number).s);
        else if (item->kind == MBL_NODE_TEXT)
            mbl_text_print(out, "%s", item->text);
        else if (item->kind == MBL_NODE_LIST && item->count == 2) /* a point of a curve */
            mbl_text_print(out, "%s at %s",
                           mbl_out_value(MBL_Q_RATIO, units, item->items[1]->number).s,
                           mbl_out_value(field->quantity, units, item->items[0]->number).s);
        else
            mbl_text_print(out, "...");
    }
}

static mbl_quantity quantity_of(const mbl_field *field)
{
    return field->kind == MBL_FIELD_COUNT ? MBL_Q_COUNT : field->quantity;
}

static void add_absent(const mbl_field *field, mbl_origin origin, mbl_units_system units,
                       mbl_text *out)
{
    if (origin != MBL_DEFAULTED)
        mbl_text_print(out, "worked out");
    else if (field->kind == MBL_FIELD_NUMBER || field->kind == MBL_FIELD_COUNT)
        mbl_text_print(out, "%s", mbl_out_value(quantity_of(field), units, field->fallback).s);
    else if (field->kind == MBL_FIELD_FLAG)
        mbl_text_print(out, "%s", field->fallback != 0 ? "true" : "false");
    else if (field->kind == MBL_FIELD_CHOICE)
        mbl_text_print(out, "%s", field->choices[(size_t)field->fallback]);
    else
        mbl_text_print(out, "not given");
}

void mbl_out_input(const mbl_field *field, const mbl_given_value *input, mbl_units_system units,
                   mbl_text *out)
{
    const mbl_node *node = input->node;
    if (!input->there)
        mbl_text_print(out, "none");
    else if (node == NULL)
        add_absent(field, input->origin, units, out);
    else if (node->kind == MBL_NODE_NUMBER)
        mbl_text_print(out, "%s", mbl_out_value(quantity_of(field), units, node->number).s);
    else if (node->kind == MBL_NODE_TEXT)
        mbl_text_print(out, "%s", node->text);
    else if (node->kind == MBL_NODE_LIST)
        add_list(field, node, units, out);
    else
        mbl_text_print(out, "a function or table");
}

static void clear(sheet *s)
{
    mbl_page_clear(&s->line);
}

/* Values too long for columns, one below the other. */
static void put_long(sheet *s, const mbl_given_row *row)
{
    for (size_t k = 0; k < s->shown; k++) {
        char lead[24];
        snprintf(lead, sizeof lead, "      %zu: ", s->run[k] + 1);
        mbl_out_input(row->field, &row->of[s->run[k]], s->units, &s->line);
        mbl_page_wrap(s->page, lead, 9, mbl_text_get(&s->line));
        clear(s);
    }
}

static void put_input(sheet *s, const mbl_given_row *row)
{
    const char *path = strncmp(row->path, "car.", 4) == 0 ? row->path + 4 : row->path;
    char cell[BESIDE][CELL + 1];
    bool wide = strlen(path) > WHAT;
    for (size_t k = 0; k < s->shown; k++) {
        mbl_out_input(row->field, &row->of[s->run[k]], s->units, &s->line);
        wide = mbl_page_plain(mbl_text_get(&s->line), cell[k], sizeof cell[k]) > CELL || wide;
        clear(s);
    }
    if (wide) {
        mbl_page_wrap(s->page, "  ", 4, path);
        put_long(s, row);
        return;
    }
    mbl_text_print(s->page, "  %-29s", path);
    for (size_t k = 0; k < s->shown; k++)
        mbl_text_print(s->page, k + 1 < s->shown ? " %-15s" : " %s", cell[k]);
    mbl_text_print(s->page, "\n");
}

/* Does a key differ among the runs of this block? */
static bool in_block(sheet *s, const mbl_given_row *row)
{
    mbl_text first;
    bool differs = false;
    mbl_text_init(&first, s->page->alloc);
    mbl_out_input(row->field, &row->of[s->run[0]], s->units, &first);
    for (size_t k = 1; k < s->shown; k++) {
        mbl_out_input(row->field, &row->of[s->run[k]], s->units, &s->line);
        differs = differs || s->shown == s->n ||
                  strcmp(mbl_text_get(&first), mbl_text_get(&s->line)) != 0;
        clear(s);
    }
    s->page->failed = s->page->failed || first.failed;
    mbl_text_free(&first);
    return differs;
}

static void put_head(sheet *s, bool change)
{
    mbl_text_print(s->page, "  %-29s", "");
    for (size_t k = 0; k < s->shown; k++) {
        char run[24];
        snprintf(run, sizeof run, "run %zu", s->run[k] + 1);
        mbl_text_print(s->page, k + 1 < s->shown || change ? " %-15s" : " %s", run);
    }
    mbl_text_print(s->page, "%s\n", change ? " change" : "");
}

static void put_inputs(sheet *s)
{
    bool any = false;
    mbl_page_heading(s->page, "WHAT WAS GIVEN");
    for (size_t i = 0; i < s->inputs->n; i++) {
        if (!in_block(s, &s->inputs->row[i]))
            continue;
        if (!any)
            put_head(s, false);
        any = true;
        put_input(s, &s->inputs->row[i]);
    }
    if (!any)
        mbl_page_wrap(s->page, "  ", 2, "Nothing differs.");
}

/* ---- what came of it ---- */

static const mbl_difference *find(const mbl_comparison *c, const char *what)
{
    for (int i = 0; i < c->n; i++)
        if (strcmp(c->row[i].what, what) == 0)
            return &c->row[i];
    return NULL;
}

/* One figure of all runs of the block, when the change shows in any; `of` may be NULL where a run
 * has no such figure. */
static bool put_figure(sheet *s, const mbl_difference *const of[BESIDE])
{
    const mbl_difference *any = NULL;
    bool shows = false;
    for (size_t k = 1; k < s->shown; k++) {
        any = of[k] != NULL ? of[k] : any;
        shows = shows || (of[k] != NULL && mbl_compare_shows(s->units, of[k]));
    }
    if (!shows)
        return false;
    bool change = s->shown == 2;
    if (!s->headed)
        put_head(s, change);
    s->headed = true;
    mbl_text_print(s->page, "  %-29.29s %-15.15s", any->what,
                   mbl_compare_told(s->units, any, any->before).s);
    for (size_t k = 1; k < s->shown; k++) {
        mbl_shown value = {"-"};
        if (of[k] != NULL)
            value = mbl_compare_told(s->units, of[k], of[k]->after);
        mbl_text_print(s->page, k + 1 < s->shown || change ? " %-15.15s" : " %.15s", value.s);
    }
    mbl_text_print(s->page, "%s%s\n", change ? " " : "",
                   change ? mbl_compare_change(s->units, of[1]).s : "");
    return true;
}

static void put_figures(sheet *s, const mbl_comparison c[BESIDE])
{
    int still = 0;
    s->headed = false;
    mbl_page_heading(s->page, "WHAT CAME OF IT");
    /* the figures of the first pair, then those that only the second has */
    for (size_t k = 1; k < s->shown; k++) {
        for (int i = 0; i < c[k].n; i++) {
            const char *what = c[k].row[i].what;
            if (k == 2 && find(&c[1], what) != NULL)
                continue;
            const mbl_difference *const of[BESIDE] = {NULL, find(&c[1], what),
                                                      s->shown > 2 ? find(&c[2], what) : NULL};
            still += !put_figure(s, of);
        }
    }
    if (still > 0)
        mbl_text_print(s->page, "  %d figure%s%s %s alike.\n", still, still == 1 ? "" : "s",
                       s->headed ? " more" : "", still == 1 ? "is" : "are");
}

/* ---- the page ---- */

static void put_title(sheet *s)
{
    char title[48];
    snprintf(title, sizeof title, "COMPARISON of %zu runs", s->n);
    mbl_page_heading(s->page, title);
    for (size_t i = 0; i < s->n; i++) {
        char lead[32];
        snprintf(lead, sizeof lead, "  %zu  ", i + 1);
        mbl_words_verdict(s->runs[i], s->units, &s->line);
        mbl_text_print(&s->line, ".");
        mbl_page_wrap(s->page, lead, 5, mbl_text_get(&s->line));
        clear(s);
    }
}

static void put_block(sheet *s)
{
    mbl_comparison c[BESIDE];
    for (size_t k = 1; k < s->shown; k++)
        mbl_compare(s->runs[s->run[0]], s->runs[s->run[k]], &c[k]);
    put_inputs(s);
    put_figures(s, c);
}

void mbl_out_compare(size_t n, const mbl_run *const runs[], const mbl_given *inputs,
                     mbl_units_system units, mbl_text *out)
{
    sheet s = {.n = n, .runs = runs, .inputs = inputs, .units = units, .page = out};
    mbl_text_init(&s.line, out->alloc);
    put_title(&s);
    for (size_t next = 1; next < n; next += s.shown - 1) {
        s.shown = 1;
        for (size_t k = next; k < n && s.shown < BESIDE; k++)
            s.run[s.shown++] = k;
        put_block(&s);
    }
    mbl_page_heading(out, "BEFORE ANYONE DRIVES");
    mbl_page_point(out, mbl_words_cautions[0]);
    mbl_page_point(out, mbl_words_cautions[2]);
    out->failed = out->failed || s.line.failed;
    mbl_text_free(&s.line);
}
