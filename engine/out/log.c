/* SPDX-License-Identifier: MIT */
#include "out/log.h"

#include "out/log_doubts.h"
#include "out/page.h"
#include "road/figures.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Intervals: anything shorter is a late row and no gap. */
static const double missing_rows = 1.5;

typedef struct report {
    const mbl_log *log;
    const mbl_trace *trace;
    mbl_units_system units;
    mbl_text *page;
    mbl_text line;
} report;

static void fact(report *r, const char *word)
{
    mbl_page_fact(r->page, word, mbl_text_get(&r->line));
    mbl_page_clear(&r->line);
}

static void wrapped(report *r, const char *lead, int indent)
{
    mbl_page_wrap(r->page, lead, indent, mbl_text_get(&r->line));
    mbl_page_clear(&r->line);
}

/* ---- what the file is ---- */

static const char *delimiter_word(char delimiter)
{
    switch (delimiter) {
    case ',':
        return "commas";
    case ';':
        return "semicolons";
    case '\t':
        return "tabs";
    default:
        return "blanks";
    }
}

static void put_layout(report *r)
{
    const mbl_log *l = r->log;
    mbl_text_print(&r->line, "%s", mbl_log_shape_text(l->shape));
    fact(r, "Shape");
    if (l->shape != MBL_SHAPE_GPX) {
        mbl_text_print(&r->line, "%zu, %s between them, numbers with a decimal %s; ", l->columns,
                       delimiter_word(l->delimiter), l->decimal == ',' ? "comma" : "point");
        if (l->header_line > 0)
            mbl_text_print(&r->line, "names on line %d, ", l->header_line);
        else
            mbl_text_print(&r->line, "no line of names, ");
        if (l->units_line > 0)
            mbl_text_print(&r->line, "units on line %d", l->units_line);
        else
            mbl_text_print(&r->line, "no line of units");
        if (l->comments > 0)
            mbl_text_print(&r->line, "; %zu line%s of comment", l->comments,
                           l->comments == 1 ? "" : "s");
        fact(r, "Columns");
    }
    mbl_text_print(&r->line, "%s", mbl_log_clock_text(l->clock));
    fact(r, "Clock");
}

/* ---- what was taken ---- */

static void put_column(report *r, mbl_log_role role)
{
    const mbl_log_column *c = &r->log->column[role];
    const char *word = mbl_log_role_word(role);
    if (!c->present && !c->derived) {
        mbl_text_print(&r->line,
                       "%s: \"%s\"%s%s left aside: its unit or its numbers are none of it", word,
                       c->name, c->unit[0] != '\0' ? " in " : "", c->unit);
        wrapped(r, "  ", 4);
        return;
    }
    if (c->derived) {
        mbl_text_print(&r->line, "%s: worked out from %s", word,
                       c->derived_from == MBL_LOG_LATITUDE ? "positions"
                                                           : mbl_log_role_word(c->derived_from));
        wrapped(r, "  ", 4);
        return;
    }
    mbl_text_print(&r->line, "%s: \"%s\"", word, c->name);
    if (c->unit[0] != '\0')
        mbl_text_print(&r->line, " in %s", c->unit);
    if (c->unit_assumed)
        mbl_text_print(&r->line, " (unit assumed)");
    if (r->log->shape == MBL_SHAPE_WIDE)
        mbl_text_print(&r->line, ", column %d", c->index + 1);
    if (c->guessed)
        mbl_text_print(&r->line, ", guessed by its name");
    if (c->repeats > 0)
        mbl_text_print(&r->line, ", the first of %d of that name", c->repeats + 1);
    wrapped(r, "  ", 4);
}

/* Taken, worked out, or seen and left aside. */
static bool is_known(const mbl_log_column *c)
{
    return c->present || c->derived || c->name[0] != '\0';
}

static void put_columns(report *r)
{
    const char *between = "";
    mbl_page_heading(r->page, "TAKEN");
    for (int role = 0; role < MBL_LOG_ROLES; role++)
        if (is_known(&r->log->column[role]))
            put_column(r, (mbl_log_role)role);
    mbl_text_print(&r->line, "Not there: ");
    for (int role = 0; role < MBL_LOG_ROLES; role++) {
        /* few loggers have a yaw rate, and only layouts are made of it */
        if (is_known(&r->log->column[role]) || role == MBL_LOG_YAW_RATE)
            continue;
        mbl_text_print(&r->line, "%s%s", between, mbl_log_role_word((mbl_log_role)role));
        between = ", ";
    }
    if (between[0] != '\0')
        wrapped(r, "  ", 4);
    mbl_page_clear(&r->line);
}

/* m/s2 per Pa as g per bar */
static void put_pressure(report *r)
{
    const mbl_trace *t = r->trace;
    if (t->pressure == NULL)
        return;
    bool both = r->log->pressure_front != NULL && r->log->pressure_rear != NULL;
    if (isnan(t->pressure_scale))
        mbl_text_print(&r->line, "no stop to hold it against; ");
    else
        mbl_text_print(
            &r->line, "%s g per bar%s, single stops off by %s %%; ",
            mbl_out_show(MBL_SHOW_ACCELERATION, MBL_UNITS_US, 1e5 * t->pressure_scale, 4).s,
            both ? " of front and rear together" : "",
            mbl_out_show(MBL_SHOW_SHARE, r->units, t->pressure_scatter, 0).s);
    mbl_text_print(&r->line, t->measured ? "brakes are on where it says so"
                                         : "braking is inferred from speed");
    fact(r, "Pressure");
}

static void put_rows(report *r)
{
    const mbl_log *l = r->log;
    mbl_text_print(&r->line, "%zu at %s Hz, %s", l->rows, mbl_out_fixed(l->rate, 1).s,
                   mbl_out_span(l->rows > 0 ? l->t[l->rows - 1] : 0).s);
    fact(r, "Rows");
    if (l->longest_gap * l->rate < missing_rows)
        mbl_text_print(&r->line, "none");
    else
        mbl_text_print(&r->line, "the longest is %s s, before line %d",
                       mbl_out_fixed(l->longest_gap, 2).s, l->longest_gap_line);
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
    if (l->has_start_line) {
        mbl_text_print(&r->line, "%s, %s degrees", mbl_out_fixed(l->start_latitude, 6).s,
                       mbl_out_fixed(l->start_longitude, 6).s);
        fact(r, "Start line");
    }
}

/* ---- what was repaired ---- */

static void put_amount(report *r, mbl_repair_kind kind)
{
    const char *unit = mbl_repair_unit(kind);
    double amount = r->log->repair[kind].amount;
    if (strcmp(unit, "Pa") == 0)
        mbl_text_print(&r->line, ", %s %s", mbl_out_show(MBL_SHOW_PRESSURE, r->units, amount, 2).s,
                       mbl_out_unit(MBL_SHOW_PRESSURE, r->units));
    else if (unit[0] != '\0')
        mbl_text_print(&r->line, ", %s %s", mbl_out_fixed(amount, 2).s, unit);
}

static void put_repairs(report *r)
{
    size_t kinds = 0;
    mbl_page_heading(r->page, "REPAIRS");
    for (int i = 0; i < MBL_REPAIRS; i++) {
        const mbl_repair *repair = &r->log->repair[i];
        char lead[16];
        if (repair->count == 0)
            continue;
        snprintf(lead, sizeof lead, "  %6zu  ", repair->count < 999999 ? repair->count : 999999);
        mbl_text_print(&r->line, "%s", mbl_repair_text((mbl_repair_kind)i));
        put_amount(r, (mbl_repair_kind)i);
        if (repair->first_line > 0 && repair->first_line == repair->last_line)
            mbl_text_print(&r->line, "; line %d", repair->first_line);
        else if (repair->first_line > 0)
            mbl_text_print(&r->line, "; lines %d to %d", repair->first_line, repair->last_line);
        wrapped(r, lead, 10);
        kinds++;
    }
    if (kinds == 0)
        mbl_page_wrap(r->page, "  ", 2, "None was needed.");
}

/* ---- laps ---- */

/* Braking energy needs a car; the report says which. Ordinary figures, common practice. */
static const mbl_vehicle nominal = {.mass = 1400,
                                    .rotating = 0.04,
                                    .drag_area = 0.7,
                                    .rolling = 0.015,
                                    .engine_braking = 0.4,
                                    .air_density = 1.2};

static void put_lap(report *r, size_t i)
{
    const mbl_trace *t = r->trace;
    mbl_lap_figures f;
    char stop[32] = "-";
    mbl_lap_measure(t, i, &nominal, t->measured ? t->pressure_scale : 0, &f);
    if (f.stops > 0)
        snprintf(stop, sizeof stop, "%.10s-%.10s",
                 mbl_out_show(MBL_SHOW_SPEED, r->units, f.from, 0).s,
                 mbl_out_show(MBL_SHOW_SPEED, r->units, f.to, 0).s);
    mbl_text_print(r->page, "  %5d %-7s %10.10s %7.7s %7.7s %6zu %9.16s %6.6s\n", t->laps[i].number,
                   mbl_lap_kind_word(t->laps[i].kind), mbl_out_lap_time(f.time).s,
                   mbl_out_show(MBL_SHOW_SPECIFIC_ENERGY, r->units, f.energy, 2).s,
                   mbl_out_show(MBL_SHOW_SHARE, r->units, f.braking_share, 1).s, f.stops, stop,
                   mbl_out_show(MBL_SHOW_SPEED, r->units, f.top_speed, 0).s);
}

static void put_laps(report *r)
{
    const mbl_trace *t = r->trace;
    const char *speed = mbl_out_unit(MBL_SHOW_SPEED, r->units);
    mbl_page_heading(r->page, "LAPS");
    mbl_text_print(r->page, "  %5s %-7s %10s %7s %7s %6s %9s %6s\n", "lap", "kind", "time",
                   "braking", "brakes", "stops", "largest", "top");
    mbl_text_print(r->page, "  %5s %-7s %10s %7s %7s %6s %9s %6s\n", "", "", "m:ss",
                   mbl_out_unit(MBL_SHOW_SPECIFIC_ENERGY, r->units), "on, %", "", speed, speed);
    for (size_t i = 0; i < t->nlaps; i++)
        put_lap(r, i);
    mbl_text_print(&r->line,
                   "Braking is the energy the brakes take at the tyres, for each kg of a stated "
                   "car: %s, %s of drag area, rolling %s, engine braking %s.",
                   mbl_out_value(MBL_Q_MASS, r->units, nominal.mass).s,
                   mbl_out_value(MBL_Q_AREA, r->units, nominal.drag_area).s,
                   mbl_out_value(MBL_Q_SHARE, r->units, nominal.rolling).s,
                   mbl_out_value(MBL_Q_ACCELERATION, r->units, nominal.engine_braking).s);
    wrapped(r, "  ", 2);
    if (t->nlaps < 2)
        return;
    int median = t->laps[t->median].number;
    if (t->laps[t->median].kind != MBL_LAP_HOT)
        mbl_text_print(&r->line, "No lap is hot: a stint repeats the longest, %d", median);
    else
        mbl_text_print(&r->line,
                       "Of the hot laps %d is the fastest and %d the median, which a stint repeats",
                       t->laps[t->fastest].number, median);
    mbl_text_print(&r->line, ", unless hot_lap names another.");
    wrapped(r, "  ", 2);
}

void mbl_out_log(const mbl_log *log, const mbl_trace *trace, mbl_units_system units, mbl_text *text)
{
    report r = {.log = log, .trace = trace, .units = units, .page = text};
    mbl_text_init(&r.line, text->alloc);
    mbl_text_print(&r.line, "LOG %s", log->file);
    mbl_page_heading(text, mbl_text_get(&r.line));
    mbl_page_clear(&r.line);
    put_layout(&r);
    put_rows(&r);
    put_pressure(&r);
    put_columns(&r);
    put_repairs(&r);
    put_laps(&r);
    mbl_out_log_doubts(log, trace, units, text);
    text->failed = text->failed || r.line.failed;
    mbl_text_free(&r.line);
}
