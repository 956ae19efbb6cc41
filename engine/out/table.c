/* SPDX-License-Identifier: MIT */
/*
 * The order is that of the questions: does it hold and how long; what was asked; how hot did
 * which part get; which limit is closest; what the change did; what the foot, the tyres, the day
 * and the purse have to give; what was taken for granted; what this cannot know. Degrees are whole:
 * the model is not good to tenths.
 */
#include "out/table.h"

#include "out/assumed.h"
#include "out/notes.h"
#include "out/sheet.h"

#include <math.h>
#include <stdio.h>

typedef mbl_sheet table;

static mbl_shown show(const table *t, mbl_measure measure, double si, int decimals)
{
    return mbl_sheet_show(t, measure, si, decimals);
}

static const char *unit(const table *t, mbl_measure measure)
{
    return mbl_sheet_unit(t, measure);
}

static void fact(table *t, const char *word)
{
    mbl_sheet_fact(t, word);
}

static void put_verdict(table *t)
{
    mbl_words_verdict(t->run, t->units, &t->line);
    mbl_page_wrap(t->page, "", 2, mbl_text_get(&t->line));
    mbl_page_clear(&t->line);
    mbl_words_reach(t->run, &t->line);
    mbl_page_wrap(t->page, "", 2, mbl_text_get(&t->line));
    mbl_page_clear(&t->line);
}

/* Mass in the last hot lap: the fuel of the laps before it is gone. */
static double mass_when_hot(const mbl_run *run)
{
    const mbl_car *c = &run->setup.car;
    size_t last = run->drive->route->plan.last_hot;
    int before = last < run->nlegs ? run->legs[last].leg.lap - 1 : 0;
    double burnt = fmin(c->fuel.per_lap * before, c->fuel.start);
    return mbl_car_mass(c, c->fuel.start) - burnt;
}

static void put_stint(table *t)
{
    static const mbl_phase_kind kinds[] = {MBL_PHASE_OUT, MBL_PHASE_HOT, MBL_PHASE_TRAFFIC,
                                           MBL_PHASE_COOL, MBL_PHASE_IN};
    const mbl_run *run = t->run;
    const char *comma = "";
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        int n = 0;
        for (size_t i = 0; i < run->nlegs; i++)
            n += run->legs[i].leg.kind == MBL_LEG_LAP && run->legs[i].leg.phase == kinds[k];
        if (n == 0)
            continue;
        mbl_text_print(&t->line, "%s%d %s", comma, n, mbl_phase_word(kinds[k]));
        comma = ", ";
    }
    mbl_text_print(&t->line, " lap%s", run->laps == 1 ? "" : "s");
    double parked = 0;
    for (size_t i = 0; i < run->nlegs; i++)
        parked += run->legs[i].leg.kind == MBL_LEG_PARK ? run->legs[i].report.duration : 0.0;
    if (parked > 0)
        mbl_text_print(&t->line, ", parked %s", mbl_out_span(parked).s);
    mbl_text_print(&t->line, "; %s in all. Lap 1 is the first of the stint.",
                   mbl_out_span(run->duration).s);
    fact(t, "Stint");
}

static void put_energy(table *t)
{
    const mbl_run *run = t->run;
    const mbl_ledger *l = &run->ledger;
    if (run->hot_energy > 0)
        mbl_text_print(&t->line, "%s %s in a hot lap (%s %s of car), ",
                       show(t, MBL_SHOW_ENERGY, run->hot_energy, 2).s, unit(t, MBL_SHOW_ENERGY),
                       show(t, MBL_SHOW_SPECIFIC_ENERGY, run->hot_energy / mass_when_hot(run), 2).s,
                       unit(t, MBL_SHOW_SPECIFIC_ENERGY));
    mbl_text_print(&t->line, "%s %s in all, ", show(t, MBL_SHOW_ENERGY, l->energy, 1).s,
                   unit(t, MBL_SHOW_ENERGY));
    if (run->trace->lost != NULL)
        mbl_text_print(&t->line, "worked out with the laps.");
    else
        mbl_text_print(&t->line, "%s %% of it inferred from speed.",
                       mbl_out_fixed(100 * mbl_words_inferred(run), 0).s);
    fact(t, "Braking");
    if (l->heat <= 0)
        return;
    char over[16] = "0";
    if (l->residual != 0)
        snprintf(over, sizeof over, "%.0e", fabs(l->residual));
    mbl_text_print(&t->line,
                   "%s %% of it has left to the air by the end, %s %% is still in the parts. "
                   "Unaccounted for: %s of it (that proves the sums, not the laws).",
                   mbl_out_fixed(100 * l->lost / l->heat, 0).s,
                   mbl_out_fixed(100 * l->stored / l->heat, 0).s, over);
    fact(t, "Heat");
}

/* Would the two cars slow down alike without their brakes? */
static bool moves_alike(const mbl_car *a, const mbl_car *b)
{
    return mbl_car_mass(a, a->fuel.start) == mbl_car_mass(b, b->fuel.start) &&
           a->rotating == b->rotating && a->rolling == b->rolling &&
           a->engine_braking == b->engine_braking && a->aero.drag_area == b->aero.drag_area;
}

/* Fastest and slowest hot lap, and what want of brakes cost in the last. */
static void put_worked_out(table *t)
{
    const mbl_trace *trace = t->run->trace;
    const mbl_plan *plan = &t->run->drive->route->plan;
    double least = INFINITY;
    double most = 0;
    double lost = 0;
    for (size_t i = 0, lap = 0; i < plan->n; i++) {
        if (plan->leg[i].kind != MBL_LEG_LAP)
            continue;
        if (plan->leg[i].phase == MBL_PHASE_HOT) {
            least = fmin(least, plan->leg[i].duration);
            most = fmax(most, plan->leg[i].duration);
            lost = trace->lost[lap];
        }
        lap++;
    }
    mbl_text_print(&t->line, "each lap worked out for this car and its brakes as they are");
    if (most > 0)
        mbl_text_print(&t->line, "; hot laps of %s to %s", mbl_out_lap_time(least).s,
                       mbl_out_lap_time(most).s);
    if (most > 0 && lost > 0)
        mbl_text_print(&t->line, ", of which want of brakes cost %s s in the last",
                       mbl_out_fixed(lost, 2).s);
}

static void put_course(table *t)
{
    const mbl_run *run = t->run;
    const mbl_course *c = &run->setup.course;
    const mbl_lap *lap = &run->drive->route->plan.repeated;
    bool worked_out = run->trace->lost != NULL;
    mbl_text_print(&t->line, "%s, ", c->file[0] != '\0' ? c->file : "a log");
    if (run->trace->followed)
        put_worked_out(t);
    else if (worked_out)
        mbl_text_print(&t->line, "one lap worked out (%s), repeated",
                       mbl_out_lap_time(lap->end - lap->start).s);
    else if (run->setup.stint.logged)
        mbl_text_print(&t->line, "driven as logged%s",
                       run->trace->doubt[MBL_DOUBT_ENDS_AT_SPEED].found
                           ? "; it ends at speed: the last stop is not in it"
                           : "");
    else if (lap->kind == MBL_LAP_WHOLE)
        mbl_text_print(&t->line,
                       "all of it (%s) repeated as one lap: the log does not tell laps apart",
                       mbl_out_lap_time(lap->end - lap->start).s);
    else
        mbl_text_print(&t->line, "lap %d of it (%s) repeated", lap->number,
                       mbl_out_lap_time(lap->end - lap->start).s);
    if (c->of.present && !moves_alike(&c->of, &run->setup.car))
        mbl_text_print(&t->line, "; %s a car that differs from this one",
                       worked_out ? "for" : "logged by");
    fact(t, "Course");
}

static void put_conditions(table *t)
{
    const mbl_case *c = &t->run->setup;
    mbl_page_heading(t->page, "WHAT WAS RUN");
    mbl_text_print(&t->line, "%s %s at the start",
                   show(t, MBL_SHOW_MASS, mbl_car_mass(&c->car, c->car.fuel.start), 0).s,
                   unit(t, MBL_SHOW_MASS));
    if (c->car.fuel.start > 0)
        mbl_text_print(&t->line, ", of it %s %s fuel",
                       show(t, MBL_SHOW_MASS, c->car.fuel.start, 0).s, unit(t, MBL_SHOW_MASS));
    fact(t, "Car");
    put_course(t);
    put_stint(t);
    mbl_text_print(&t->line, "%s %s, %s %s above the sea",
                   show(t, MBL_SHOW_LEVEL, c->stint.ambient, 0).s, unit(t, MBL_SHOW_LEVEL),
                   show(t, MBL_SHOW_HEIGHT, c->stint.altitude, 0).s, unit(t, MBL_SHOW_HEIGHT));
    fact(t, "Air");
    put_energy(t);
    mbl_text_print(&t->line, "%s mode: %s.", mbl_mode_word(t->run->mode),
                   mbl_mode_promise(t->run->mode));
    fact(t, "Steps");
}

/* A row with a cell of each axle. */
typedef mbl_shown (*cell)(const table *t, int axle, int node);

static void put_row(const table *t, const char *what, cell of, int node)
{
    mbl_page_row(t->page, what, of(t, 0, node).s, of(t, 1, node).s);
}

static mbl_shown level_and_when(const table *t, const mbl_peak *peak)
{
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%.12s  %.24s", show(t, MBL_SHOW_LEVEL, peak->T, 0).s,
             mbl_words_peak_at(t->run, peak).s);
    return out;
}

static mbl_shown peak_cell(const table *t, int axle, int node)
{
    return level_and_when(t, &t->run->axle[axle].peak[node]);
}

static mbl_shown track_cell(const table *t, int axle, int node)
{
    return level_and_when(t, &t->run->axle[axle].track[node]);
}

static mbl_shown parked_cell(const table *t, int axle, int node)
{
    const mbl_peak *p = &t->run->axle[axle].parked[node];
    double since = mbl_words_parked_for(t->run, p->at);
    mbl_shown out;
    if (p->T <= 0)
        snprintf(out.s, sizeof out.s, "never parked");
    else if (since < 1)
        snprintf(out.s, sizeof out.s, "%.12s  at once", show(t, MBL_SHOW_LEVEL, p->T, 0).s);
    else
        snprintf(out.s, sizeof out.s, "%.12s  after %.24s", show(t, MBL_SHOW_LEVEL, p->T, 0).s,
                 mbl_out_span(since).s);
    return out;
}

static mbl_shown window_cell(const table *t, int axle, int node)
{
    (void)node;
    const mbl_numbers *w = &mbl_words_brake(t->run, axle)->pad.window;
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%.12s to %.12s", show(t, MBL_SHOW_LEVEL, w->v[0], 0).s,
             show(t, MBL_SHOW_LEVEL, w->v[1], 0).s);
    return out;
}

static mbl_shown where_cell(const table *t, int axle, int node)
{
    const mbl_numbers *w = &mbl_words_brake(t->run, axle)->pad.window;
    double peak = t->run->axle[axle].peak[node].T;
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%s",
             peak < w->v[0]   ? "below, never warm"
             : peak > w->v[1] ? "above, too hot"
                              : "inside");
    return out;
}

static mbl_shown wet_cell(const table *t, int axle, int node)
{
    (void)node;
    return show(t, MBL_SHOW_LEVEL, t->run->axle[axle].wet, 0);
}

static mbl_shown now_cell(const table *t, int axle, int node)
{
    (void)node;
    return show(t, MBL_SHOW_LEVEL, t->run->axle[axle].now, 0);
}

/* A margin, and whether it is the one that counts. */
static mbl_shown margin_cell(const table *t, double margin, bool judges)
{
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%.12s%s", mbl_out_margin(t->units, margin).s,
             judges ? "  this one counts" : "");
    return out;
}

static mbl_shown margin_wet_cell(const table *t, int axle, int node)
{
    (void)node;
    return margin_cell(t, t->run->axle[axle].margin_wet, mbl_words_wet_judges(t->run));
}

static mbl_shown margin_now_cell(const table *t, int axle, int node)
{
    (void)node;
    return margin_cell(t, t->run->axle[axle].margin_now, !mbl_words_wet_judges(t->run));
}

static void put_axles(table *t)
{
    char head[96];
    snprintf(head, sizeof head, "HOW HOT (highest of the stint, %s; margins in %s)",
             unit(t, MBL_SHOW_LEVEL), unit(t, MBL_SHOW_RISE));
    mbl_page_heading(t->page, head);
    mbl_page_row(t->page, "", "front", "rear");
    put_row(t, "rotor, rubbing face", peak_cell, MBL_FACE);
    put_row(t, "rotor, core", peak_cell, MBL_CORE);
    put_row(t, "rotor, hat", peak_cell, MBL_HAT);
    put_row(t, "pad face", peak_cell, MBL_PAD_FACE);
    put_row(t, "pad works between", window_cell, 0);
    put_row(t, "pad face is", where_cell, MBL_PAD_FACE);
    put_row(t, "caliper", peak_cell, MBL_CALIPER);
    put_row(t, "fluid on track", track_cell, MBL_FLUID);
    put_row(t, "fluid parked", parked_cell, MBL_FLUID);
    put_row(t, "boils in the wet test at", wet_cell, 0);
    char now[48];
    snprintf(now, sizeof now, "boils with %.10s water at",
             mbl_out_value(MBL_Q_SHARE, t->units, mbl_fluid_water(&t->run->setup.car.fluid)).s);
    put_row(t, now, now_cell, 0);
    put_row(t, "margin to wet point", margin_wet_cell, 0);
    put_row(t, "margin to point as it is", margin_now_cell, 0);
}

static void put_note(void *ctx, const char *sentence)
{
    table *t = ctx;
    if (t->notes++ == 0)
        mbl_page_heading(t->page, "WORTH KNOWING");
    mbl_page_point(t->page, sentence);
}

static void put_doubtful(table *t)
{
    const mbl_run *run = t->run;
    const mbl_check *c = mbl_words_limiting(run);
    mbl_figure figure = mbl_words_margin_figure(c->kind, t->units);
    char margin[24];
    snprintf(margin, sizeof margin, "margin%s%.8s", unit(t, figure.measure)[0] != '\0' ? ", " : "",
             unit(t, figure.measure));
    mbl_text_print(&t->line,
                   "What moves the margin of the %s most, of what was assumed, tried over its "
                   "usual range:",
                   mbl_words_subject(c->kind, c->axle).s);
    mbl_page_wrap(t->page, "  ", 2, mbl_text_get(&t->line));
    mbl_page_clear(&t->line);
    mbl_text_print(t->page, "  %-32s %-10s %-16s %s\n", "", "assumed", "tried", margin);
    for (int i = 0; i < run->ndoubtful; i++) {
        mbl_assumed_line l = mbl_assumed_tell(&run->doubtful[i], figure, t->units);
        mbl_text_print(t->page, "  %-32.32s %-10s %-16s %s\n", l.what, l.value, l.tried, l.margin);
    }
}

static void put_assumed(table *t)
{
    mbl_page_heading(t->page, "ASSUMED, because nobody said");
    if (t->run->tree == NULL) {
        mbl_page_wrap(t->page, "  ", 2, "Not listed: this run was made without a script.");
    } else {
        int n = mbl_assumed_count(t->run);
        if (t->run->ndoubtful > 0)
            put_doubtful(t);
        if (n > 0)
            mbl_text_print(t->page, "  %d inputs were not given; all are in the .json.\n", n);
        else
            mbl_page_wrap(t->page, "  ", 2, "Nothing: every input was given.");
    }
    mbl_page_heading(t->page, "TAKEN FOR GRANTED in every run so far");
    for (int i = 0; mbl_words_granted[i] != NULL; i++)
        mbl_page_point(t->page, mbl_words_granted[i]);
    for (int i = 0; t->run->trace->lost != NULL && mbl_words_granted_laps[i] != NULL; i++)
        mbl_page_point(t->page, mbl_words_granted_laps[i]);
}

void mbl_out_run(const mbl_run *run, mbl_units_system units, mbl_text *text)
{
    table t = {.run = run, .units = units, .page = text};
    mbl_text_init(&t.line, text->alloc);
    put_verdict(&t);
    put_conditions(&t);
    put_axles(&t);
    mbl_sheet_limits(&t);
    mbl_sheet_compare(&t);
    mbl_sheet_pedal(&t);
    mbl_sheet_life(&t);
    mbl_sheet_plan(&t);
    mbl_sheet_weight(&t);
    mbl_notes_tell(run, units, put_note, &t);
    put_assumed(&t);
    mbl_page_heading(text, "BEFORE ANYONE DRIVES");
    for (int i = 0; mbl_words_cautions[i] != NULL; i++)
        mbl_page_point(text, mbl_words_cautions[i]);
    text->failed = text->failed || t.line.failed;
    mbl_text_free(&t.line);
}
