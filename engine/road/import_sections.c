/* SPDX-License-Identifier: MIT */
/*
 * Text in sections, each below its heading in square brackets: names of the columns, perhaps
 * their units, comments, and rows of data parted by blanks. Conventions of this shape, where
 * nothing in the file says otherwise: the time is the time of day as hhmmss.ss, the velocity is in
 * km/h, positions are in minutes of arc, and such longitudes count westwards.
 *
 * [column names] and the like hold one line of names parted by blanks; [header], [channels] and
 * the like one name a line, perhaps with its unit behind it. When both are there and agree in
 * number, a column goes by either name. [units] and [channel units] count only when they give one
 * for each column: a shorter list does not say which columns it leaves out.
 */
#include "road/columns.h"
#include "road/import_text.h"
#include "road/names.h"

#include <math.h>
#include <string.h>

typedef enum kind { NAMES_IN_A_ROW, NAMES_IN_A_LIST, UNITS, DATA, KINDS, OTHER = KINDS } kind;

/* The text of a section. */
typedef struct section {
    const char *from; /* NULL: there is none */
    const char *to;
    int line; /* of the heading */
} section;

typedef struct reader {
    mbl_csv csv;
    mbl_header header;
    mbl_header list;
    mbl_intake in;
    section part[KINDS];
    mbl_csv_cell stamps[MBL_CLOCK_SAMPLE];
} reader;

static kind kind_of(const char *title)
{
    static const struct {
        const char *title;
        kind kind;
    } known[] = {
        {"columnnames", NAMES_IN_A_ROW},
        {"columns", NAMES_IN_A_ROW},
        {"header", NAMES_IN_A_LIST},
        {"channels", NAMES_IN_A_LIST},
        {"names", NAMES_IN_A_LIST},
        {"channelnames", NAMES_IN_A_LIST},
        {"channelunits", UNITS},
        {"columnunits", UNITS},
        {"units", UNITS},
        {"data", DATA},
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
        if (mbl_names_spell(title, known[i].title))
            return known[i].kind;
    return OTHER;
}

/* Finds where each section begins and ends; of two of a kind the first counts. */
static void find_sections(reader *r, const char *bytes, size_t size)
{
    mbl_csv *csv = &r->csv;
    section *open = NULL;
    mbl_csv_begin(csv, bytes, size, '\0');
    for (const char *at = csv->at; mbl_csv_next(csv); at = csv->at) {
        char title[48];
        mbl_csv_cell cell = csv->n > 0 ? csv->cell[0] : (mbl_csv_cell){"", 0};
        if (cell.n < 3 || cell.text[0] != '[' || cell.text[cell.n - 1] != ']')
            continue;
        if (open != NULL)
            open->to = at;
        mbl_names_show(title, sizeof title, cell.text + 1, cell.n - 2);
        kind which = kind_of(title);
        open = which != OTHER && r->part[which].from == NULL ? &r->part[which] : NULL;
        if (open != NULL)
            *open = (section){csv->at, bytes + size, csv->line};
    }
}

static void begin_section(mbl_csv *csv, const section *part, char delimiter)
{
    mbl_csv_begin(csv, part->from, (size_t)(part->to - part->from), delimiter);
    csv->line = part->line;
}

/* Lines with anything on them. */
static size_t count_lines(mbl_csv *csv, const section *part)
{
    size_t lines = 0;
    begin_section(csv, part, '\0');
    while (mbl_csv_next(csv))
        lines += csv->n > 0;
    return lines;
}

static void add_name(mbl_header *out, const mbl_csv *csv, mbl_csv_cell cell)
{
    if (out->columns == 0)
        out->line = csv->line;
    if (out->columns < MBL_CSV_CELLS)
        mbl_header_split(cell.text, cell.n, &out->column[out->columns++]);
}

/* The names of a section: of its only line parted by blanks, or else one a line. */
static void read_names(mbl_csv *csv, const section *part, mbl_header *out)
{
    out->columns = 0;
    if (part->from == NULL)
        return;
    bool row = count_lines(csv, part) == 1;
    begin_section(csv, part, row ? ' ' : '\0');
    while (mbl_csv_next(csv))
        for (size_t i = 0; i < csv->n; i++)
            add_name(out, csv, csv->cell[i]);
}

/* The other names of the columns, and the units that came with them. */
static void add_aliases(mbl_header *header, const mbl_header *list)
{
    for (size_t i = 0; i < header->columns; i++) {
        mbl_header_name *column = &header->column[i];
        memcpy(column->alias, list->column[i].name, sizeof column->alias);
        if (column->unit[0] == '\0')
            memcpy(column->unit, list->column[i].unit, sizeof column->unit);
    }
}

static void add_units(mbl_header *header, const mbl_header *units)
{
    if (units->columns != header->columns)
        return;
    header->units_line = units->line;
    for (size_t i = 0; i < header->columns; i++) {
        char *into = header->column[i].unit;
        const char *unit = units->column[i].name;
        size_t n = strlen(unit);
        bool brackets = n > 2 && (unit[0] == '[' || unit[0] == '(');
        /* a dash holds the place of none */
        if (strcmp(unit, "-") != 0)
            mbl_names_show(into, sizeof header->column[i].unit, unit + brackets,
                           brackets ? n - 2 : n);
    }
}

static mbl_status find_header(reader *r, mbl_error *err)
{
    read_names(&r->csv, &r->part[NAMES_IN_A_ROW], &r->header);
    read_names(&r->csv, &r->part[NAMES_IN_A_LIST], &r->list);
    if (r->header.columns == 0)
        r->header = r->list;
    else if (r->list.columns == r->header.columns)
        add_aliases(&r->header, &r->list);
    if (r->header.columns == 0) {
        mbl_status status = mbl_fail(err, MBL_INPUT,
                                     "has a [data] section but no names of its columns, as in "
                                     "[column names] or [header]");
        mbl_error_at(err, NULL, r->part[DATA].line, 0);
        return status;
    }
    read_names(&r->csv, &r->part[UNITS], &r->list);
    add_units(&r->header, &r->list);
    r->header.speed_unit = "km/h";
    return MBL_OK;
}

/* Are more than half of the samples beyond what degrees can be? */
static bool beyond(const mbl_series *s, double limit)
{
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++)
        n += fabs(s->x[i]) > limit;
    return 2 * n > s->n;
}

static bool says_minutes(const mbl_log_column *column)
{
    double scale = 1;
    return column->present && mbl_names_scale(MBL_LOG_LATITUDE, column->unit, &scale) && scale < 1;
}

/*
 * Positions are in minutes of arc when a unit says so, or when none says anything and they are
 * beyond what degrees can be. Longitudes in minutes count westwards.
 */
static void turn_positions(mbl_import *out)
{
    mbl_log_column *lat = &out->column[MBL_LOG_LATITUDE];
    mbl_log_column *lon = &out->column[MBL_LOG_LONGITUDE];
    mbl_series *x = &out->series[MBL_LOG_LATITUDE];
    mbl_series *y = &out->series[MBL_LOG_LONGITUDE];
    bool minutes = says_minutes(lat) || says_minutes(lon);
    if (!minutes && lat->unit_assumed && lon->unit_assumed && (beyond(x, 90) || beyond(y, 180))) {
        minutes = true;
        for (size_t i = 0; i < x->n; i++)
            x->x[i] /= 60;
        for (size_t i = 0; i < y->n; i++)
            y->x[i] /= 60;
        memcpy(lat->unit, "min", sizeof "min");
        memcpy(lon->unit, "min", sizeof "min");
    }
    for (size_t i = 0; minutes && i < y->n; i++)
        y->x[i] = -y->x[i];
}

static mbl_status read(reader *r, const char *bytes, size_t size, const mbl_log_wish *wish,
                       mbl_import *out, mbl_error *err)
{
    find_sections(r, bytes, size);
    size_t comments = r->csv.comments;
    MBL_TRY(find_header(r, err));
    const section *data = &r->part[DATA];
    mbl_log_column *time = &out->column[MBL_LOG_TIME];
    out->shape = MBL_SHAPE_SECTIONS;
    out->delimiter = ' ';
    out->decimal = mbl_csv_sniff_decimal(data->from, (size_t)(data->to - data->from), ' ');
    out->header_line = r->header.line;
    out->units_line = r->header.units_line;
    out->columns = r->header.columns;
    MBL_TRY(mbl_columns_take(&r->header, wish, MBL_LOG_TIME, time, err));
    MBL_TRY(mbl_columns_take_all(&r->header, wish, out->column, err));
    begin_section(&r->csv, data, ' ');
    size_t n = mbl_text_stamps(&r->csv, (size_t)time->index, r->stamps);
    MBL_TRY(mbl_intake_begin(&r->in, out, out->decimal, r->stamps, n, mbl_text_time_wish(wish),
                             true, err));
    MBL_TRY(mbl_text_rows(&r->csv, data->from, r->header.columns, &r->in, err));
    out->comments = comments;
    turn_positions(out);
    return mbl_intake_end(&r->in, wish, err);
}

mbl_status mbl_import_sections(const char *bytes, size_t size, const mbl_log_wish *wish,
                               mbl_import *out, mbl_error *err)
{
    reader *r = mbl_new(out->alloc, 1, sizeof *r);
    if (r == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to read a log");
    mbl_status status = read(r, bytes, size, wish, out, err);
    mbl_free(out->alloc, r, 1, sizeof *r);
    return status;
}
