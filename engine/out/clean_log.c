/* SPDX-License-Identifier: MIT */
#include "out/clean_log.h"

#include "out/page.h"
#include "out/units.h"

#include <math.h>
#include <string.h>

/* A gap: longer than so many s and intervals. A reader bridges no less. */
#define GAP_TIME      1.0
#define GAP_INTERVALS 5.0

/* Rows put into one gap, so that a clock gone wild does not fill a disk. */
#define MOST 10000.0

/* Share of an interval within which a lap begins on a row and not between two. */
#define ON_ROW 1e-6

typedef struct column {
    mbl_log_role role;
    const char *name, *unit;
    bool bar;            /* pressure, Pa inside */
    const double *value; /* (rows); NULL for the lap, which is the trace's */
} column;

typedef struct cleaner {
    const mbl_log *log;
    const mbl_trace *trace;
    size_t ncolumns;
    column columns[MBL_LOG_ROLES];
    size_t lap;  /* index of the lap that the row at hand is in */
    size_t knot; /* of the trace, at or before the row at hand */
    mbl_text *text;
    FILE *stream; /* NULL: everything stays in `text` */
} cleaner;

static void add_column(cleaner *c, mbl_log_role role, const char *name, const char *unit,
                       const double *value)
{
    bool bar = role == MBL_LOG_PRESSURE_FRONT || role == MBL_LOG_PRESSURE_REAR;
    if (value != NULL || role == MBL_LOG_LAP)
        c->columns[c->ncolumns++] = (column){role, name, unit, bar, value};
}

/* Pieces of a log that has no laps are found again by the stops between them. */
static bool has_laps(const mbl_trace *trace)
{
    for (size_t i = 0; i < trace->nlaps; i++)
        if (trace->laps[i].kind == MBL_LAP_WHOLE)
            return false;
    return true;
}

static void choose_columns(cleaner *c)
{
    const mbl_log *l = c->log;
    add_column(c, MBL_LOG_TIME, "time", "s", l->t);
    add_column(c, MBL_LOG_SPEED, "speed", "m/s", l->v);
    if (has_laps(c->trace))
        add_column(c, MBL_LOG_LAP, "lap", "", NULL);
    add_column(c, MBL_LOG_DISTANCE, "distance", "m", l->distance);
    add_column(c, MBL_LOG_ALTITUDE, "altitude", "m", l->altitude);
    add_column(c, MBL_LOG_PRESSURE_FRONT, "pressure_front", "bar", l->pressure_front);
    add_column(c, MBL_LOG_PRESSURE_REAR, "pressure_rear", "bar", l->pressure_rear);
    add_column(c, MBL_LOG_ACCEL_LONG, "accel_long", "m/s2", l->accel_long);
    add_column(c, MBL_LOG_LATERAL, "accel_lat", "m/s2", l->accel_lat);
    add_column(c, MBL_LOG_YAW_RATE, "yaw_rate", "rad/s", l->yaw_rate);
    add_column(c, MBL_LOG_THROTTLE, "throttle", "", l->throttle);
    add_column(c, MBL_LOG_LATITUDE, "latitude", "deg", l->latitude);
    add_column(c, MBL_LOG_LONGITUDE, "longitude", "deg", l->longitude);
}

static void flush(cleaner *c)
{
    if (c->stream == NULL || c->text->failed)
        return;
    fwrite(mbl_text_get(c->text), 1, c->text->length, c->stream);
    mbl_page_clear(c->text);
}

static void put_head(cleaner *c)
{
    for (size_t k = 0; k < c->ncolumns; k++)
        mbl_text_print(c->text, "%s%s", k > 0 ? "," : "", c->columns[k].name);
    mbl_text_add(c->text, "\n", 1);
    for (size_t k = 0; k < c->ncolumns; k++)
        mbl_text_print(c->text, "%s%s", k > 0 ? "," : "", c->columns[k].unit);
    mbl_text_add(c->text, "\n", 1);
    flush(c);
}

/*
 * The shortest text that reads back as the same number, without an exponent where people would
 * write none.
 */
static void write_number(double x, char out[32])
{
    mbl_number_write(x, out);
    if (strchr(out, 'e') == NULL || !(fabs(x) < 1e9))
        return;
    for (int decimals = 0; decimals <= 9; decimals++) {
        char plain[32];
        double back = 0;
        snprintf(plain, sizeof plain, "%.*f", decimals, x);
        if (mbl_number_read(plain, strlen(plain), &back) && back == x) {
            memcpy(out, plain, sizeof plain);
            return;
        }
    }
}

/* What the trace makes of the time between two rows. */
static double speed_between(cleaner *c, double t)
{
    const mbl_trace *trace = c->trace;
    while (c->knot + 2 < trace->n && trace->t[c->knot + 1] <= t)
        c->knot++;
    size_t k = c->knot;
    double share = (t - trace->t[k]) / (trace->t[k + 1] - trace->t[k]);
    return trace->v[k] + fmin(share, 1) * (trace->v[k + 1] - trace->v[k]);
}

/* The row at time t, `share` of the way from row i to the next. */
static void put_row(cleaner *c, size_t i, double share, double t)
{
    char digits[32];
    for (size_t k = 0; k < c->ncolumns; k++) {
        const column *col = &c->columns[k];
        double x = c->trace->laps[c->lap].number;
        if (col->role == MBL_LOG_TIME)
            x = t;
        else if (col->role == MBL_LOG_SPEED && share > 0)
            x = speed_between(c, t);
        else if (col->value != NULL)
            x = share > 0 ? col->value[i] + share * (col->value[i + 1] - col->value[i])
                          : col->value[i];
        if (col->bar)
            x = mbl_out_convert(MBL_SHOW_PRESSURE, MBL_UNITS_SI, x);
        write_number(x, digits);
        mbl_text_print(c->text, "%s%s", k > 0 ? "," : "", digits);
    }
    mbl_text_add(c->text, "\n", 1);
    flush(c);
}

/* When the number next changes; never for pieces of one lap, which stops tell apart. */
static double next_lap(cleaner *c, size_t *next)
{
    const mbl_lap *laps = c->trace->laps;
    *next = c->lap + 1;
    while (*next < c->trace->nlaps && laps[*next].number == laps[c->lap].number)
        ++*next;
    return *next < c->trace->nlaps ? laps[*next].start : INFINITY;
}

/* The rows of laps that begin strictly between two rows, and those that fill a gap. */
static void put_between(cleaner *c, size_t i)
{
    const double *t = c->log->t;
    double wide = t[i + 1] - t[i];
    double slack = ON_ROW * wide;
    bool gap = wide > GAP_TIME && wide * c->log->rate > GAP_INTERVALS * 0.999;
    double count = gap ? fmin(round(wide * c->log->rate), MOST) : 1;
    for (double k = 1; k <= count;) {
        double due = k < count ? t[i] + wide * k / count : t[i + 1];
        size_t next = 0;
        double start = next_lap(c, &next);
        if (start <= due + slack)
            c->lap = next;
        if (start < due - slack) {
            put_row(c, i, (start - t[i]) / wide, start);
            continue;
        }
        if (k < count)
            put_row(c, i, k / count, due);
        k++;
    }
}

static void put_all(cleaner *c)
{
    const mbl_log *l = c->log;
    choose_columns(c);
    put_head(c);
    for (size_t i = 0; i < l->rows; i++) {
        put_row(c, i, 0, l->t[i]);
        if (i + 1 < l->rows)
            put_between(c, i);
    }
}

void mbl_out_clean_text(const mbl_log *log, const mbl_trace *trace, mbl_text *text)
{
    cleaner c = {.log = log, .trace = trace, .text = text};
    put_all(&c);
}

mbl_status mbl_out_clean_log(const mbl_log *log, const mbl_trace *trace, const char *path,
                             mbl_error *err)
{
    mbl_file file;
    mbl_text text;
    MBL_TRY(mbl_file_begin(&file, path, err));
    mbl_text_init(&text, log->alloc);
    cleaner c = {.log = log, .trace = trace, .text = &text, .stream = file.stream};
    put_all(&c);
    bool failed = text.failed;
    mbl_text_free(&text);
    if (!failed)
        return mbl_file_commit(&file, err);
    mbl_file_abandon(&file);
    return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", path);
}
