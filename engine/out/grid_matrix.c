/* SPDX-License-Identifier: MIT */
/* Two axes as a matrix: what gives out first with its margin, and one number beside it. */
#include "out/grid_sheet.h"

#include "out/grid_parts.h"
#include "out/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { DOWN_LABEL = 20, ACROSS_LABEL = 12, GAP = 2, MOST_LINES = 60 };

typedef struct matrix {
    mbl_grid_sheet *sheet;
    const mbl_axis *down, *across;
    size_t down_step, across_step;   /* rows of the grid from one option to the next */
    bool number_down, number_across; /* labels too long: they are numbered, and told below */
    size_t label, cell;              /* columns */
    size_t block;                    /* options across in one block */
    mbl_shown (*tell)(const struct matrix *m, size_t row); /* without its mark */
    size_t column;                                         /* what tell_number tells */
} matrix;

/* ---- cells ---- */

static char letter_of(const mbl_grid_sheet *s, const mbl_grid_row *row)
{
    for (size_t i = 0; i < s->nlimits; i++)
        if (s->limit[i].kind == row->limit && s->limit[i].axle == row->axle)
            return "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"[i];
    return '?';
}

/* A row that ran, or NULL with what to write instead. */
static const mbl_grid_row *ran(const matrix *m, size_t row, mbl_shown *instead)
{
    const mbl_grid *grid = m->sheet->grid;
    bool here = row >= grid->first && row < grid->end;
    mbl_row_state state = here ? grid->row[row - grid->first].state : MBL_ROW_OPEN;
    snprintf(instead->s, sizeof instead->s, "%s", state == MBL_ROW_FAILED ? "x" : ".");
    return state == MBL_ROW_DONE ? &grid->row[row - grid->first] : NULL;
}

static mbl_shown tell_closest(const matrix *m, size_t row)
{
    mbl_shown out;
    const mbl_grid_row *r = ran(m, row, &out);
    if (r != NULL)
        snprintf(out.s, sizeof out.s, "%.20s %c", mbl_grid_closest(r).s, letter_of(m->sheet, r));
    return out;
}

static mbl_shown tell_number(const matrix *m, size_t row)
{
    mbl_shown out;
    if (ran(m, row, &out) == NULL)
        return out;
    return mbl_grid_told(m->sheet, m->column, mbl_grid_value(m->sheet->grid, row, m->column));
}

static mbl_shown cell_of(const matrix *m, size_t row)
{
    mbl_shown none;
    mbl_shown text = m->tell(m, row);
    const mbl_grid_row *r = ran(m, row, &none);
    if (r != NULL)
        mbl_grid_marked(mbl_grid_mark(r), &text);
    return text;
}

/* ---- layout ---- */

static size_t longest(const mbl_axis *axis)
{
    size_t most = 0;
    for (size_t i = 0; i < axis->n; i++) {
        size_t n = mbl_page_plain(axis->label[i], NULL, 0);
        most = n > most ? n : most;
    }
    return most;
}

static mbl_shown label_of(const mbl_axis *axis, size_t option, bool numbered)
{
    mbl_shown out;
    if (numbered)
        snprintf(out.s, sizeof out.s, "#%zu", option + 1);
    else
        mbl_page_plain(axis->label[option], out.s, sizeof out.s);
    return out;
}

static size_t width_of(const mbl_axis *axis, bool numbered)
{
    return numbered ? strlen(label_of(axis, axis->n - 1, true).s) : longest(axis);
}

static size_t at(const matrix *m, size_t down, size_t across)
{
    return down * m->down_step + across * m->across_step;
}

static void lay_out(matrix *m)
{
    m->number_down = longest(m->down) > DOWN_LABEL;
    m->number_across = longest(m->across) > ACROSS_LABEL;
    m->label = width_of(m->down, m->number_down);
    m->cell = width_of(m->across, m->number_across);
    for (size_t i = 0; i < m->down->n; i++)
        for (size_t k = 0; k < m->across->n; k++) {
            size_t n = strlen(cell_of(m, at(m, i, k)).s);
            m->cell = n > m->cell ? n : m->cell;
        }
    m->block = (MBL_PAGE_WIDTH - GAP - m->label) / (GAP + m->cell);
}

static size_t lines(const matrix *m)
{
    size_t blocks = (m->across->n + m->block - 1) / m->block;
    return blocks * (m->down->n + 2);
}

/* ---- writing ---- */

static void put_block(const matrix *m, size_t from)
{
    mbl_text *line = &m->sheet->line;
    size_t end = from + m->block < m->across->n ? from + m->block : m->across->n;
    int cell = (int)m->cell;
    mbl_text_print(line, "%*s", GAP + (int)m->label, "");
    for (size_t k = from; k < end; k++)
        mbl_text_print(line, "  %*s", cell, label_of(m->across, k, m->number_across).s);
    mbl_grid_line(m->sheet);
    for (size_t i = 0; i < m->down->n; i++) {
        mbl_text_print(line, "  %-*s", (int)m->label, label_of(m->down, i, m->number_down).s);
        for (size_t k = from; k < end; k++)
            mbl_text_print(line, "  %*s", cell, cell_of(m, at(m, i, k)).s);
        mbl_grid_line(m->sheet);
    }
}

static void put_blocks(const matrix *m, const char *marks)
{
    mbl_grid_sheet *s = m->sheet;
    mbl_text_print(&s->line, "Down: %s. Across: %s.%s", m->down->name, m->across->name, marks);
    mbl_grid_sentence(s);
    for (size_t from = 0; from < m->across->n; from += m->block) {
        mbl_text_print(s->page, "%s", from > 0 ? "\n" : "");
        put_block(m, from);
    }
}

static void put_numbered(const matrix *m, const mbl_axis *axis, bool numbered)
{
    if (!numbered)
        return;
    mbl_text_print(&m->sheet->line, "%s:", axis->name);
    for (size_t i = 0; i < axis->n; i++)
        mbl_text_print(&m->sheet->line, "%s #%zu %s", i > 0 ? "," : "", i + 1, axis->label[i]);
    mbl_grid_sentence(m->sheet);
}

/* One of the marks, where it is there. */
static void add_mark(mbl_grid_sheet *s, bool there, const char *what)
{
    if (there)
        mbl_text_print(&s->line, "%s%s", s->line.length > 0 ? ", " : "", what);
}

/* What the letters and marks stand for: only those that are there. */
static void put_legend(const matrix *m)
{
    mbl_grid_sheet *s = m->sheet;
    bool part = s->grid->end - s->grid->first < s->grid->rows;
    for (size_t i = 0; i < s->nlimits; i++) {
        const mbl_grid_row like = {.limit = s->limit[i].kind, .axle = s->limit[i].axle};
        mbl_text_print(&s->line, "%s%c %s", i > 0 ? ", " : "", letter_of(s, &like),
                       mbl_words_subject(like.limit, like.axle).s);
    }
    mbl_text_print(&s->line, ".");
    mbl_grid_sentence(s);
    add_mark(s, s->verdict[MBL_FAILS] > 0, "! fails (the limit is passed)");
    add_mark(s, s->verdict[MBL_MARGINAL] > 0, "~ marginal (less than a band is left)");
    add_mark(s, s->failed > 0, "x could not run");
    add_mark(s, s->open > 0 || part, ". not run here or not yet");
    mbl_text_print(&s->line, "%sA band stands for what the model can be wrong by.",
                   s->line.length > 0 ? ". " : "");
    mbl_grid_sentence(s);
}

/* ---- the number beside it ---- */

/* The gauge that tells most of a check; NULL where none does better than its margin in bands. */
static const char *gauge_of(mbl_check_kind kind)
{
    switch (kind) {
    case MBL_CHECK_ROTOR:
    case MBL_CHECK_HOSE:
        return "rotor.core.peak";
    case MBL_CHECK_GRADIENT:
        return "rotor.gradient";
    case MBL_CHECK_PAD:
        return "pad.peak";
    case MBL_CHECK_CALIPER:
        return "caliper.peak";
    case MBL_CHECK_FLUID:
        return "fluid.margin";
    case MBL_CHECK_WORN:
        return "pad.left_event";
    case MBL_CHECK_THIN:
        return "rotor.left_event";
    case MBL_CHECK_EFFORT:
        return "pedal.effort";
    case MBL_CHECK_TRAVEL:
        return "pedal.used";
    case MBL_CHECK_GRIP:
        return "balance.grip";
    case MBL_CHECK_BALANCE:
        return "balance.ahead";
    case MBL_CHECK_BITE:
        return "balance.bite";
    default:
        break;
    }
    return NULL;
}

/* That of what gives out first in most rows; where it was not kept, the first that differs. */
static size_t pick_column(const mbl_grid_sheet *s)
{
    const mbl_grid_limits *most = &s->limit[0];
    for (size_t i = 1; i < s->nlimits; i++)
        most = s->limit[i].rows > most->rows ? &s->limit[i] : most;
    const char *gauge = gauge_of(most->kind);
    bool whole = most->axle == MBL_WHOLE_CAR;
    char name[64];
    snprintf(name, sizeof name, "%s%s%s", whole ? "" : mbl_axle_word(most->axle), whole ? "" : ".",
             gauge != NULL ? gauge : "");
    size_t column = mbl_grid_column(s->grid, name);
    if (column < s->grid->ngauges)
        return column;
    for (column = 0; column < s->grid->ngauges; column++)
        if (!mbl_grid_is_closest(s->grid, column) && !mbl_grid_same(s, column))
            break;
    return column;
}

static void put_second(matrix *m)
{
    mbl_grid_sheet *s = m->sheet;
    m->column = pick_column(s);
    if (m->column == s->grid->ngauges)
        return;
    mbl_gauge gauge = mbl_gauge_at(s->grid->gauge[m->column]);
    const char *unit = mbl_grid_unit(s, m->column);
    char head[160];
    snprintf(head, sizeof head, "%s%s%s (%s)", gauge.name, unit[0] != '\0' ? ", " : "", unit,
             gauge.about);
    m->tell = tell_number;
    lay_out(m);
    mbl_page_heading(s->page, head);
    put_blocks(m, " Marks as above, of the row's verdict.");
}

bool mbl_grid_matrix(mbl_grid_sheet *s)
{
    const mbl_grid *grid = s->grid;
    matrix m = {.sheet = s, .tell = tell_closest, .down_step = 1, .across_step = 1};
    m.down = &grid->axis[s->varied[0]];
    m.across = &grid->axis[s->varied[1]];
    m.down_step = m.across->n; /* axes of one option change nothing */
    if (m.down->n > MOST_LINES || m.across->n > MOST_LINES)
        return false;
    lay_out(&m);
    if (lines(&m) > MOST_LINES)
        return false;
    mbl_page_heading(s->page, "WHAT GIVES OUT FIRST, and its margin in bands");
    put_blocks(&m, "");
    put_legend(&m);
    put_numbered(&m, m.down, m.number_down);
    put_numbered(&m, m.across, m.number_across);
    put_second(&m);
    return true;
}
