/* SPDX-License-Identifier: MIT */
#include "out/log_doubts.h"

#include "out/page.h"

#include <stdio.h>
#include <string.h>

typedef struct doubts {
    const mbl_log *log;
    const mbl_trace *trace;
    mbl_units_system units;
    mbl_text *out;
    bool in_line; /* one after the other in a line; else a point of a page each */
    mbl_text line;
    int count;
} doubts;

static void point(doubts *d)
{
    if (d->in_line)
        mbl_text_print(d->out, "%s%s", d->count > 0 ? "; " : "", mbl_text_get(&d->line));
    else
        mbl_page_point(d->out, mbl_text_get(&d->line));
    mbl_page_clear(&d->line);
    d->count++;
}

static void put_columns(doubts *d)
{
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        const mbl_log_column *c = &d->log->column[role];
        const char *word = mbl_log_role_word((mbl_log_role)role);
        if (!c->present)
            continue;
        if (c->unit_assumed && c->unit[0] != '\0') {
            mbl_text_print(&d->line, "the unit of %s is nowhere in the file; %s was assumed", word,
                           c->unit);
            point(d);
        }
        if (c->repeats > 0) {
            mbl_text_print(&d->line,
                           "%d other column%s called \"%s\"; pick one by its unit, as in "
                           "\"%s [unit]\"",
                           c->repeats, c->repeats == 1 ? " is" : "s are", c->name, c->name);
            point(d);
        }
    }
}

static bool is_one_lap(const mbl_trace *trace)
{
    for (size_t i = 0; i < trace->nlaps; i++)
        if (trace->laps[i].kind == MBL_LAP_WHOLE)
            return true;
    return false;
}

static void put_laps(doubts *d)
{
    if (!is_one_lap(d->trace))
        return;
    mbl_text_print(&d->line, "%s: all of the log counts as one lap",
                   d->log->has_start_line ? "the start line is never crossed"
                                          : "nothing tells laps apart");
    point(d);
}

/* The value of a doubt in people's units. */
static void put_value(doubts *d, mbl_doubt_kind kind, double value)
{
    const char *unit = mbl_doubt_unit(kind);
    if (strcmp(unit, "m/s") == 0)
        mbl_text_print(&d->line, ": %s %s", mbl_out_show(MBL_SHOW_SPEED, d->units, value, 1).s,
                       mbl_out_unit(MBL_SHOW_SPEED, d->units));
    else if (strcmp(unit, "m/s2") == 0)
        mbl_text_print(&d->line, ": %s %s",
                       mbl_out_show(MBL_SHOW_ACCELERATION, d->units, value, 1).s,
                       mbl_out_unit(MBL_SHOW_ACCELERATION, d->units));
    else if (unit[0] != '\0')
        mbl_text_print(&d->line, ": %s %s", mbl_out_fixed(value, 1).s, unit);
    else if (kind != MBL_DOUBT_NO_ALTITUDE)
        mbl_text_print(&d->line, ": %s %%", mbl_out_show(MBL_SHOW_SHARE, d->units, value, 0).s);
}

static void put_doubt(doubts *d, mbl_doubt_kind kind)
{
    const mbl_doubt *doubt = &d->trace->doubt[kind];
    mbl_text_print(&d->line, "%s", mbl_doubt_text(kind));
    put_value(d, kind, doubt->value);
    if (doubt->line > 0)
        mbl_text_print(&d->line, "; line %d", doubt->line);
    point(d);
}

void mbl_out_log_doubts(const mbl_log *log, const mbl_trace *trace, mbl_units_system units,
                        mbl_text *page)
{
    doubts d = {.log = log, .trace = trace, .units = units, .out = page};
    mbl_text_init(&d.line, page->alloc);
    mbl_page_heading(page, "DOUBTS");
    put_columns(&d);
    put_laps(&d);
    for (int kind = 0; kind < MBL_DOUBTS; kind++)
        if (trace->doubt[kind].found)
            put_doubt(&d, (mbl_doubt_kind)kind);
    if (d.count == 0)
        mbl_page_wrap(page, "  ", 2, "None. Look at lap times and top speeds all the same.");
    page->failed = page->failed || d.line.failed;
    mbl_text_free(&d.line);
}

void mbl_out_log_doubt_line(const mbl_log *log, const mbl_trace *trace, mbl_units_system units,
                            mbl_text *line)
{
    doubts d = {.log = log, .trace = trace, .units = units, .out = line, .in_line = true};
    mbl_text_init(&d.line, line->alloc);
    put_laps(&d);
    for (int kind = 0; kind < MBL_DOUBTS; kind++) {
        bool beside = kind == MBL_DOUBT_NO_ALTITUDE ||
                      (kind == MBL_DOUBT_ENDS_AT_SPEED && !is_one_lap(trace));
        if (trace->doubt[kind].found && !beside)
            put_doubt(&d, (mbl_doubt_kind)kind);
    }
    line->failed = line->failed || d.line.failed;
    mbl_text_free(&d.line);
}
