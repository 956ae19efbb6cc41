/* SPDX-License-Identifier: MIT */
/* The best rows of a sweep, one below the other, with as many numbers as a line has room for. */
#include "out/grid_sheet.h"

#include "out/grid_parts.h"
#include "out/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { GAP = 2, LABEL = 18, LABELS = 36, PARTS = 4, MOST_ROWS = 20, MOST_COLUMNS = 32 };

typedef enum kind { ROW, OPTION, CLOSEST, LIMIT, GAUGE } kind;

typedef struct column {
    kind kind;
    size_t index; /* axis, or column of the grid */
    size_t width;
    char name[48];
    const char *unit;
} column;

typedef struct ranked {
    mbl_grid_sheet *sheet;
    size_t n;
    size_t row[MOST_ROWS]; /* the best first */
    size_t ncolumns;
    column column[MOST_COLUMNS];
    bool labels_below; /* too wide for columns */
    size_t left_out;   /* gauges for which there is no room */
} ranked;

/* ---- order ---- */

/* By verdict, then by closest; NAN last; of equals the lower row is before the higher already. */
static bool better(const mbl_grid *grid, size_t a, size_t b)
{
    const mbl_grid_row *x = &grid->row[a - grid->first];
    const mbl_grid_row *y = &grid->row[b - grid->first];
    if (x->verdict != y->verdict)
        return x->verdict < y->verdict;
    if (isnan(x->closest) || isnan(y->closest))
        return !isnan(x->closest) && isnan(y->closest);
    return x->closest > y->closest;
}

static void rank(ranked *r, size_t most)
{
    const mbl_grid *grid = r->sheet->grid;
    for (size_t row = grid->first; row < grid->end; row++) {
        if (mbl_grid_in(r->sheet, row, MBL_ROW_DONE) == NULL)
            continue;
        size_t i = r->n;
        if (i == most && !better(grid, row, r->row[i - 1]))
            continue;
        r->n += i < most;
        for (i = i < most ? i : most - 1; i > 0 && better(grid, row, r->row[i - 1]); i--)
            r->row[i] = r->row[i - 1];
        r->row[i] = row;
    }
}

/* ---- cells and heads ---- */

static mbl_shown cell(const ranked *r, const column *c, size_t row)
{
    const mbl_grid *grid = r->sheet->grid;
    const mbl_grid_row *what = &grid->row[row - grid->first];
    mbl_shown out;
    switch (c->kind) {
    case ROW:
        snprintf(out.s, sizeof out.s, "%zu", row + 1);
        break;
    case OPTION:
        mbl_page_plain(grid->axis[c->index].label[mbl_grid_option(grid, row, c->index)], out.s,
                       sizeof out.s);
        break;
    case CLOSEST:
        out = mbl_grid_closest(what);
        mbl_grid_marked(mbl_grid_mark(what), &out);
        break;
    case LIMIT:
        return mbl_words_subject(what->limit, what->axle);
    case GAUGE:
        return mbl_grid_told(r->sheet, c->index, mbl_grid_value(grid, row, c->index));
    }
    return out;
}

static size_t parts_of(const column *c)
{
    size_t n = 1;
    for (const char *at = c->name; *at != '\0' && n < PARTS; at++)
        n += *at == '.';
    return n;
}

/* "rotor" of "front.rotor.core.peak": heads are one part below the other. The last has the rest. */
static mbl_shown part(const column *c, size_t index)
{
    mbl_shown out;
    const char *at = c->name;
    for (size_t i = 0; i < index; i++)
        at = strchr(at, '.') + 1;
    size_t n = index + 1 < parts_of(c) ? strcspn(at, ".") : strlen(at);
    snprintf(out.s, sizeof out.s, "%.*s", (int)n, at);
    return out;
}

static void measure(const ranked *r, column *c)
{
    c->width = strlen(c->unit);
    for (size_t i = 0; i < parts_of(c); i++) {
        size_t n = strlen(part(c, i).s);
        c->width = n > c->width ? n : c->width;
    }
    for (size_t i = 0; i < r->n; i++) {
        size_t n = strlen(cell(r, c, r->row[i]).s);
        c->width = n > c->width ? n : c->width;
    }
}

/* ---- columns ---- */

static size_t used(const ranked *r)
{
    size_t n = 0;
    for (size_t i = 0; i < r->ncolumns; i++)
        n += GAP + r->column[i].width;
    return n;
}

/* Adds a column where there is room. */
static bool add(ranked *r, kind what, size_t index, const char *name, const char *unit)
{
    if (r->ncolumns == MOST_COLUMNS)
        return false;
    column *c = &r->column[r->ncolumns];
    *c = (column){.kind = what, .index = index, .unit = unit};
    mbl_page_plain(name, c->name, sizeof c->name);
    measure(r, c);
    if (used(r) + GAP + c->width > MBL_PAGE_WIDTH)
        return false;
    r->ncolumns++;
    return true;
}

static void add_labels(ranked *r)
{
    const mbl_grid_sheet *s = r->sheet;
    size_t before = r->ncolumns;
    size_t start = used(r);
    for (size_t i = 0; i < s->nvaried && !r->labels_below; i++) {
        bool fits = add(r, OPTION, s->varied[i], s->grid->axis[s->varied[i]].name, "");
        if (!fits || r->column[r->ncolumns - 1].width > LABEL || used(r) - start > LABELS)
            r->labels_below = true;
    }
    if (r->labels_below)
        r->ncolumns = before;
}

static bool shows(const ranked *r, size_t gauge)
{
    return !mbl_grid_is_closest(r->sheet->grid, gauge) &&
           (r->sheet->ran < 2 || !mbl_grid_same(r->sheet, gauge));
}

static void choose(ranked *r)
{
    const mbl_grid *grid = r->sheet->grid;
    add(r, ROW, 0, "row", "");
    add_labels(r);
    add(r, CLOSEST, 0, "closest", "bands");
    add(r, LIMIT, 0, "tightest", "");
    for (size_t i = 0; i < grid->ngauges; i++)
        if (shows(r, i) &&
            !add(r, GAUGE, i, mbl_gauge_at(grid->gauge[i]).name, mbl_grid_unit(r->sheet, i)))
            r->left_out++;
}

/* ---- writing ---- */

/* Texts to the left, numbers to the right. */
static void put_cells(const ranked *r, const mbl_shown text[])
{
    mbl_text *line = &r->sheet->line;
    for (size_t i = 0; i < r->ncolumns; i++) {
        const column *c = &r->column[i];
        bool left = c->kind == OPTION || c->kind == LIMIT;
        mbl_text_print(line, "  %*s", left ? -(int)c->width : (int)c->width, text[i].s);
    }
    mbl_grid_line(r->sheet);
}

static void put_heads(const ranked *r)
{
    size_t high = 1;
    bool units = false;
    mbl_shown text[MOST_COLUMNS];
    for (size_t i = 0; i < r->ncolumns; i++) {
        size_t n = parts_of(&r->column[i]);
        high = n > high ? n : high;
        units = units || r->column[i].unit[0] != '\0';
    }
    for (size_t k = 0; k < high; k++) {
        for (size_t i = 0; i < r->ncolumns; i++) {
            size_t above = high - parts_of(&r->column[i]);
            text[i] = k < above ? (mbl_shown){""} : part(&r->column[i], k - above);
        }
        put_cells(r, text);
    }
    for (size_t i = 0; i < r->ncolumns; i++)
        snprintf(text[i].s, sizeof text[i].s, "%s", r->column[i].unit);
    if (units)
        put_cells(r, text);
}

static void put_labels_below(const ranked *r, size_t row)
{
    mbl_grid_sheet *s = r->sheet;
    for (size_t i = 0; i < s->nvaried; i++) {
        const mbl_axis *axis = &s->grid->axis[s->varied[i]];
        mbl_text_print(&s->line, "%s%s: %s", i > 0 ? ", " : "", axis->name,
                       axis->label[mbl_grid_option(s->grid, row, s->varied[i])]);
    }
    mbl_page_wrap(s->page, "      ", 6, mbl_text_get(&s->line));
    mbl_page_clear(&s->line);
}

static void put_rest(const ranked *r)
{
    mbl_grid_sheet *s = r->sheet;
    if (s->ran > r->n)
        mbl_text_print(&s->line, "and %zu more; grid:save writes them all. ", s->ran - r->n);
    if (r->left_out > 0)
        mbl_text_print(&s->line, "No room here for %zu more number%s of each row. ", r->left_out,
                       r->left_out == 1 ? "" : "s");
    if (s->line.length > 0)
        mbl_grid_sentence(s);
}

static void put_same(const ranked *r)
{
    mbl_grid_sheet *s = r->sheet;
    const char *lead = "The same in every row: ";
    for (size_t i = 0; i < s->grid->ngauges; i++) {
        double value = mbl_grid_value(s->grid, r->row[0], i);
        if (shows(r, i) || mbl_grid_is_closest(s->grid, i) || !isfinite(value))
            continue;
        const char *unit = mbl_grid_unit(s, i);
        mbl_text_print(&s->line, "%s%s %s%s%s", lead, mbl_gauge_at(s->grid->gauge[i]).name,
                       mbl_grid_told(s, i, value).s, unit[0] != '\0' ? " " : "", unit);
        lead = ", ";
    }
    if (s->line.length > 0) {
        mbl_text_print(&s->line, ".");
        mbl_grid_sentence(s);
    }
}

static void put_legend(const ranked *r)
{
    mbl_grid_sheet *s = r->sheet;
    bool money = false;
    for (size_t i = 0; i < s->grid->ngauges; i++)
        money = money || mbl_gauge_at(s->grid->gauge[i]).quantity == MBL_Q_MONEY;
    mbl_text_print(&s->line,
                   "Closest: margin of the tightest limit in bands. ! fails (the limit is passed), "
                   "~ marginal (less than a band is left). A band stands for what the model can be "
                   "wrong by.");
    if (money)
        mbl_text_print(&s->line, " A part without a price costs nothing here.");
    mbl_grid_sentence(s);
}

void mbl_grid_ranked(mbl_grid_sheet *s, size_t most)
{
    ranked r = {.sheet = s};
    rank(&r, most < MOST_ROWS ? most : MOST_ROWS);
    choose(&r);
    mbl_page_heading(s->page, "BEST FIRST, by verdict and by what is left of the tightest limit");
    put_heads(&r);
    for (size_t i = 0; i < r.n; i++) {
        mbl_shown text[MOST_COLUMNS];
        for (size_t k = 0; k < r.ncolumns; k++)
            text[k] = cell(&r, &r.column[k], r.row[i]);
        put_cells(&r, text);
        if (r.labels_below)
            put_labels_below(&r, r.row[i]);
    }
    put_rest(&r);
    put_same(&r);
    put_legend(&r);
}
