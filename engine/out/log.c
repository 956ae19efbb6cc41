/* SPDX-License-Identifier: MIT */
#include "out/log.h"

#include "out/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* When to doubt a log; common practice, no source. */
static const double slow_rate = 5;       /* Hz */
static const double odd_gap = 1;         /* s */
static const double missing_rows = 1.5;  /* intervals */
static const double many_dropped = 0.01; /* share of the rows */
static const double much_noise = 0.3;    /* m/s */
static const double odd_distance = 0.02; /* share */
static const double odd_speed = 110;     /* m/s */

typedef struct report {
    const mbl_log *log;
    const mbl_trace *trace;
    mbl_units_system units;
    mbl_text *page;
    mbl_text line;
    int doubts;
} report;

static void fact(report *r, const char *word)
{
    mbl_page_fact(r->page, word, mbl_text_get(&r->line));
    mbl_page_clear(&r->line);
}

static void doubt(report *r)
{
    mbl_page_point(r->page, mbl_text_get(&r->line));
    mbl_page_clear(&r->line);
    r->doubts++;
}

static const char *delimiter_word(char delimiter)
{
    return delimiter == ',' ? "comma" : delimiter == ';' ? "semicolon" : "tab";
}

static void put_layout(report *r)
{
    const mbl_log *l = r->log;
    mbl_text_print(&r->line, "%zu, a %s between them; names on line %d, ", l->columns,
                   delimiter_word(l->delimiter), l->header_line);
    if (l->units_line > 0)
        mbl_text_print(&r->line, "units on line %d", l->units_line);
    else
        mbl_text_print(&r->line, "no line of units");
    fact(r, "Columns");
}

static void put_column(report *r, mbl_log_role role)
{
    const mbl_log_column *c = &r->log->column[role];
    if (!c->present) {
        mbl_text_print(&r->line, "not there");
    } else {
        mbl_text_print(&r->line, "column %d, \"%s\"", c->index + 1, c->name);
        if (c->unit[0] != '\0')
            mbl_text_print(&r->line, " in %s", c->unit);
        if (c->unit_assumed)
            mbl_text_print(&r->line, " (unit assumed)");
        if (c->guessed)
            mbl_text_print(&r->line, ", guessed by its name");
        if (c->repeats > 0)
            mbl_text_print(&r->line, "; the first of %d of that name", c->repeats + 1);
    }
    fact(r, mbl_log_role_word(role));
}

static void put_rows(report *r)
{
    const mbl_log *l = r->log;
    double span = l->rows > 0 ? l->t[l->rows - 1] : 0;
    mbl_text_print(&r->line, "%zu kept at %s Hz, %s", l->rows, mbl_out_fixed(l->rate, 1).s,
                   mbl_out_span(span).s);
    fact(r, "Rows");
    if (l->dropped_time + l->dropped_blank == 0) {
        mbl_text_print(&r->line, "none");
    } else {
        mbl_text_print(&r->line,
                       "%zu, the first on line %d: %zu where time did not go forward, %zu with a "
                       "blank or unreadable time or speed",
                       l->dropped_time + l->dropped_blank, l->first_dropped_line, l->dropped_time,
                       l->dropped_blank);
    }
    fact(r, "Dropped");
    if (l->longest_gap * l->rate < missing_rows)
        mbl_text_print(&r->line, "none");
    else
        mbl_text_print(&r->line, "the longest is %s s, before line %d",
                       mbl_out_fixed(l->longest_gap, 3).s, l->longest_gap_line);
    fact(r, "Gaps");
    if (r->trace->noise > 0)
        mbl_text_print(&r->line, "%s %s of speed taken for noise and smoothed away",
                       mbl_out_show(MBL_SHOW_SPEED, r->units, r->trace->noise, 2).s,
                       mbl_out_unit(MBL_SHOW_SPEED, r->units));
    else
        mbl_text_print(&r->line, "none found in the speed");
    fact(r, "Noise");
    if (isnan(r->trace->distance_ratio))
        mbl_text_print(&r->line, "not logged, so speed cannot be checked against it");
    else
        mbl_text_print(&r->line, "as logged is %s %% of what the speed adds up to",
                       mbl_out_fixed(100 * r->trace->distance_ratio, 1).s);
    fact(r, "Distance");
}

static double time_of(const mbl_lap *lap)
{
    return lap->end - lap->start;
}

static void put_laps(report *r)
{
    const mbl_trace *t = r->trace;
    mbl_page_heading(r->page, "LAPS");
    mbl_text_print(r->page, "  %6s  %-8s %12s %10s\n", "lap", "kind", "time", "top speed");
    mbl_text_print(r->page, "  %6s  %-8s %12s %10s\n", "", "", "m:ss",
                   mbl_out_unit(MBL_SHOW_SPEED, r->units));
    for (size_t i = 0; i < t->nlaps; i++) {
        const mbl_lap *lap = &t->laps[i];
        const char *note = i == t->fastest && i == t->median ? "  median and fastest"
                           : i == t->fastest                 ? "  fastest"
                           : i == t->median                  ? "  median"
                                                             : "";
        if (t->nlaps == 1)
            note = "";
        mbl_text_print(r->page, "  %6d  %-8s %12.12s %10.10s%s\n", lap->number,
                       mbl_lap_kind_word(lap->kind), mbl_out_lap_time(time_of(lap)).s,
                       mbl_out_show(MBL_SHOW_SPEED, r->units, lap->top_speed, 0).s, note);
    }
    if (t->nlaps > 1)
        mbl_page_wrap(r->page, "  ", 2,
                      "A stint repeats the hot lap of median time, unless hot_lap names another.");
}

static void doubt_columns(report *r)
{
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        const mbl_log_column *c = &r->log->column[role];
        const char *word = mbl_log_role_word((mbl_log_role)role);
        if (c->present && c->unit_assumed && role != MBL_LOG_LAP) {
            mbl_text_print(&r->line,
                           "The unit of %s is nowhere in the file; %s was assumed. A wrong one "
                           "changes everything.",
                           word, c->unit[0] != '\0' ? c->unit : "the usual one");
            doubt(r);
        }
        if (c->present && c->repeats > 0) {
            mbl_text_print(&r->line,
                           "%d other columns are called \"%s\"; pick one by its unit, as in "
                           "\"%s [unit]\".",
                           c->repeats, c->name, c->name);
            doubt(r);
        }
    }
    if (!r->log->column[MBL_LOG_LAP].present) {
        mbl_text_print(&r->line, "There is no lap column: all of the log counts as one lap.");
        doubt(r);
    }
    if (!r->trace->has_grade) {
        mbl_text_print(&r->line,
                       "There is no altitude: the road counts as level, and braking downhill is "
                       "underrated.");
        doubt(r);
    }
}

static void doubt_rows(report *r)
{
    const mbl_log *l = r->log;
    size_t dropped = l->dropped_time + l->dropped_blank;
    if (l->rate < slow_rate) {
        mbl_text_print(&r->line,
                       "%s Hz is slow: the start and the end of braking are blurred. 10 Hz or "
                       "more is better.",
                       mbl_out_fixed(l->rate, 1).s);
        doubt(r);
    }
    if (l->longest_gap > odd_gap) {
        mbl_text_print(&r->line,
                       "Nothing was logged for %s s before line %d; speed is taken as a straight "
                       "line across it.",
                       mbl_out_fixed(l->longest_gap, 1).s, l->longest_gap_line);
        doubt(r);
    }
    if ((double)dropped > many_dropped * (double)(l->rows + dropped)) {
        mbl_text_print(&r->line, "%s %% of the rows were dropped.",
                       mbl_out_fixed(100 * (double)dropped / (double)(l->rows + dropped), 1).s);
        doubt(r);
    }
}

static void doubt_speed(report *r)
{
    const mbl_trace *t = r->trace;
    if (t->noise > much_noise) {
        mbl_text_print(&r->line, "The speed is noisy; gentle braking may be lost in it.");
        doubt(r);
    }
    if (fabs(t->distance_ratio - 1) > odd_distance) {
        mbl_text_print(&r->line,
                       "Distance and speed disagree by %s %%: one has the wrong unit or scale, "
                       "and brake energy goes with the square of speed.",
                       mbl_out_fixed(100 * fabs(t->distance_ratio - 1), 1).s);
        doubt(r);
    }
    for (size_t i = 0; i < t->nlaps; i++) {
        if (t->laps[i].top_speed <= odd_speed)
            continue;
        mbl_text_print(&r->line, "Lap %d reaches %s %s; is the unit of speed right?",
                       t->laps[i].number,
                       mbl_out_show(MBL_SHOW_SPEED, r->units, t->laps[i].top_speed, 0).s,
                       mbl_out_unit(MBL_SHOW_SPEED, r->units));
        doubt(r);
        break;
    }
}

void mbl_out_log(const mbl_log *log, const mbl_trace *trace, mbl_units_system units, mbl_text *text)
{
    report r = {.log = log, .trace = trace, .units = units, .page = text};
    mbl_text_init(&r.line, text->alloc);
    mbl_text_print(&r.line, "LOG %s", log->file);
    mbl_page_heading(text, mbl_text_get(&r.line));
    mbl_page_clear(&r.line);
    put_layout(&r);
    for (int role = 0; role < MBL_LOG_ROLES; role++)
        put_column(&r, (mbl_log_role)role);
    put_rows(&r);
    put_laps(&r);
    mbl_page_heading(text, "DOUBTS");
    doubt_columns(&r);
    doubt_rows(&r);
    doubt_speed(&r);
    if (r.doubts == 0)
        mbl_page_wrap(text, "  ", 2, "None. Look at lap times and top speeds all the same.");
    text->failed = text->failed || r.line.failed;
    mbl_text_free(&r.line);
}
