/* SPDX-License-Identifier: MIT */
/*
 * Stamps made anew. Some loggers write the time at which rows were received or flushed: a burst
 * of rows within a millisecond or two, then nothing for seconds. Others round the clock to whole
 * seconds. Between two rows the distance over the mean speed is the time, whatever the stamps
 * say; without a distance the rows of a burst are spread evenly, over the time before it or
 * after, whichever makes the intervals more alike. The whole takes as long as the stamps say.
 */
#include "road/repair.h"

#include "road/noise.h"
#include "road/select.h"

#include <math.h>

/* s: stamps closer than this, and than a share of the mean interval, came in one burst. */
#define BURST       0.002
#define BURST_SHARE 0.2

/* Share of rows in bursts, and of bursts that are no mere repeats, from which stamps are no use.
   Common practice, no source. */
#define MOST_BURSTS  0.25
#define MOST_REPEATS 0.8

/* m/s: slower, distance says nothing about time. */
#define CREEPING 1.0

/* Rebuilt time over that of the stamps beyond which distance or speed is in a wrong unit. */
#define FARTHEST_OFF 0.25

/* Steps of distance that are averaged over, in steps between rows. */
#define COARSE 0.2

/* A burst may stretch its rows to this many typical intervals; beyond, rows are missing. */
#define STRETCH 1.5

/* s, between the last row of one burst and the first of the next: longer is another burst. */
static double burst_limit(const mbl_table *table)
{
    double lo = table->stamp[0];
    double hi = lo;
    for (size_t i = 1; i < table->n; i++) {
        lo = fmin(lo, table->stamp[i]);
        hi = fmax(hi, table->stamp[i]);
    }
    return fmin(BURST, BURST_SHARE * (hi - lo) / (double)(table->n - 1));
}

bool mbl_stamps_bunch(const mbl_table *table)
{
    double limit = burst_limit(table);
    const double *x = table->x[table->base];
    size_t close = 0;
    size_t bursts = 0;
    size_t repeats = 0;
    for (size_t i = 0, end = 0; i < table->n; i = end) {
        bool alike = true;
        for (end = i + 1; end < table->n; end++) {
            double gap = table->stamp[end] - table->stamp[end - 1];
            if (!(gap >= 0 && gap <= limit))
                break;
            close++;
            alike = alike && gap == 0 && x[end] == x[i];
        }
        bursts += end - i > 1;
        repeats += end - i > 1 && alike;
    }
    return (double)close > MOST_BURSTS * (double)table->n &&
           (double)repeats < MOST_REPEATS * (double)bursts;
}

/* The rows that are kept, in one list, and new times for them. */
typedef struct rows {
    size_t n;
    size_t *row; /* (n) */
    double *t;   /* (n) s */
    double *dt;  /* (n) s, to the next row; NAN when unknown */
} rows;

static mbl_status list_rows(mbl_table *table, rows *out, mbl_error *err)
{
    out->row = mbl_arena_new(table->arena, table->n, sizeof *out->row);
    out->t = mbl_arena_new(table->arena, table->n, sizeof *out->t);
    out->dt = mbl_arena_new(table->arena, table->n, sizeof *out->dt);
    if (out->row == NULL || out->t == NULL || out->dt == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for a log of %zu rows", table->n);
    for (size_t i = 0; i < table->n; i++)
        if (table->keep[i])
            out->row[out->n++] = i;
    return MBL_OK;
}

/* ---- from distance ---- */

/* Distance at each row by its line, between the samples around it; laps fall back. */
static void distance_by_line(const mbl_table *table, const rows *r, double *out)
{
    const mbl_series *s = &table->import->series[MBL_LOG_DISTANCE];
    for (size_t i = 0, k = 0; i < r->n; i++) {
        int line = table->line[r->row[i]];
        while (k + 1 < s->n && s->line[k + 1] <= line)
            k++;
        out[i] = s->x[k];
        if (k + 1 < s->n && line > s->line[k] && s->x[k + 1] >= s->x[k])
            out[i] += (s->x[k + 1] - s->x[k]) * (line - s->line[k]) /
                      (double)(s->line[k + 1] - s->line[k]);
    }
}

/* Averages the intervals over steps of the distance; `work` has room for n. */
static void average_intervals(rows *r, size_t reach, double *work)
{
    for (size_t i = 0; i + 1 < r->n; i++) {
        double sum = 0;
        double count = 0;
        size_t first = i > reach ? i - reach : 0;
        size_t last = i + reach + 1 < r->n ? i + reach : r->n - 2;
        for (size_t k = first; k <= last; k++)
            if (!isnan(r->dt[k])) {
                sum += r->dt[k];
                count += 1;
            }
        work[i] = isnan(r->dt[i]) ? NAN : sum / count;
    }
    for (size_t i = 0; i + 1 < r->n; i++)
        r->dt[i] = work[i];
}

/*
 * Fills unknown intervals and makes all add up to `total`, as far as the stamps know it: to
 * within `vague` s. False when they are far from it.
 */
static bool fill_intervals(rows *r, double typical, double total, double vague)
{
    double known = 0;
    size_t unknown = 0;
    for (size_t i = 0; i + 1 < r->n; i++) {
        if (isnan(r->dt[i]))
            unknown++;
        else
            known += r->dt[i];
    }
    double each = typical;
    double spare = (total - known) / (double)(unknown > 0 ? unknown : 1);
    /* the car stood longer than rows tell: whatever is left is where distance says nothing */
    if (unknown > 0 && spare > typical)
        each = spare;
    double sum = known + (double)unknown * each;
    double scale = fmax(total - vague, fmin(total + vague, sum)) / sum;
    if (!(fabs(scale - 1) <= FARTHEST_OFF))
        return false;
    for (size_t i = 0; i + 1 < r->n; i++)
        r->dt[i] = scale * (isnan(r->dt[i]) ? each : r->dt[i]);
    return true;
}

/* Median time between bursts, s: no stamp tells more of when its row was. */
static double burst_period(const mbl_table *table, const rows *r, double *work)
{
    double limit = burst_limit(table);
    size_t n = 0;
    for (size_t i = 1; i < r->n; i++) {
        double gap = table->stamp[r->row[i]] - table->stamp[r->row[i - 1]];
        if (gap > limit)
            work[n++] = gap;
    }
    return n > 0 ? mbl_median(work, n) : 0;
}

/* Times from distance over mean speed; false when that cannot be. `work` has room for n. */
static bool rebuild(const mbl_table *table, rows *r, double total, double *work)
{
    if (table->base != MBL_LOG_SPEED || table->import->series[MBL_LOG_DISTANCE].n < r->n / 4)
        return false;
    const double *v = table->x[MBL_LOG_SPEED];
    double *distance = r->t; /* not needed yet */
    distance_by_line(table, r, distance);
    size_t moved = 0;
    for (size_t i = 0; i + 1 < r->n; i++) {
        double mean = 0.5 * (v[r->row[i]] + v[r->row[i + 1]]);
        double step = distance[i + 1] - distance[i];
        r->dt[i] = mean > CREEPING && step >= 0 ? step / mean : NAN;
        if (!isnan(r->dt[i]))
            work[moved++] = step;
    }
    if (moved < r->n / 4)
        return false;
    double stride = mbl_median(work, moved);
    double step = mbl_noise_step(distance, r->n, work);
    if (step > COARSE * stride && stride > 0)
        average_intervals(r, (size_t)fmin(20, ceil(2 * step / stride)), work);
    size_t known = 0;
    for (size_t i = 0; i + 1 < r->n; i++)
        if (!isnan(r->dt[i]))
            work[known++] = r->dt[i];
    double typical = mbl_median(work, known);
    if (!(typical > 0) || !fill_intervals(r, typical, total, burst_period(table, r, work)))
        return false;
    r->t[0] = 0;
    for (size_t i = 0; i + 1 < r->n; i++)
        r->t[i + 1] = r->t[i] + fmax(r->dt[i], 0.01 * typical);
    return true;
}

/* ---- evenly ---- */

/* End of the burst that begins with row i of the list. */
static size_t burst_end(const mbl_table *table, const rows *r, size_t i, double limit)
{
    size_t end = i + 1;
    while (end < r->n && table->stamp[r->row[end]] - table->stamp[r->row[end - 1]] <= limit)
        end++;
    return end;
}

/* Median interval when bursts are spread over the time after (or before) them, and how much the
   intervals differ from it: mean size of the logarithm of their ratio. */
static double scatter_of(const mbl_table *table, const rows *r, double limit, bool after,
                         double *work, double *typical)
{
    size_t n = 0;
    for (size_t i = 0, end = 0; i < r->n; i = end) {
        end = burst_end(table, r, i, limit);
        if (end == r->n)
            break;
        double gap = table->stamp[r->row[end]] - table->stamp[r->row[i]];
        size_t next = burst_end(table, r, end, limit);
        /* the first and the last burst may be cut short */
        if (after ? i > 0 : next < r->n)
            work[n++] = gap / (double)(after ? end - i : next - end);
    }
    *typical = 0;
    if (n == 0)
        return INFINITY;
    double middle = mbl_median(work, n);
    double sum = 0;
    for (size_t k = 0; k < n; k++)
        sum += fabs(log(work[k] / middle));
    *typical = middle;
    return sum / (double)n;
}

static bool spread(const mbl_table *table, rows *r, double *work)
{
    double limit = burst_limit(table);
    double typical_after = 0;
    double typical = 0;
    double scatter_after = scatter_of(table, r, limit, true, work, &typical_after);
    double scatter_before = scatter_of(table, r, limit, false, work, &typical);
    bool after = scatter_after <= scatter_before;
    typical = after ? typical_after : typical;
    if (!(typical > 0))
        return false;
    double ended = -INFINITY; /* s, stamp of the burst before */
    for (size_t i = 0, end = 0; i < r->n; i = end) {
        end = burst_end(table, r, i, limit);
        double count = (double)(end - i);
        double stamp = table->stamp[r->row[i]];
        double room =
            after ? (end < r->n ? table->stamp[r->row[end]] - stamp : INFINITY) : stamp - ended;
        /* a burst cut short at the beginning of the file lies close to what follows */
        double each = fmin(room / count, STRETCH * typical);
        if ((after && i == 0) || isinf(room))
            each = fmin(each, typical);
        double start = after ? stamp : stamp - each * (count - 1);
        if (after && i == 0 && end < r->n)
            start = table->stamp[r->row[end]] - each * count;
        for (size_t k = i; k < end; k++)
            r->t[k] = start + each * (double)(k - i);
        ended = stamp;
    }
    return true;
}

mbl_status mbl_repair_stamps(mbl_table *table, mbl_error *err)
{
    rows r = {0};
    MBL_TRY(list_rows(table, &r, err));
    if (r.n < 2)
        return MBL_OK;
    double first = table->stamp[r.row[0]];
    double total = table->stamp[r.row[r.n - 1]] - first;
    bool rebuilt = rebuild(table, &r, total, table->work);
    if (!rebuilt && !spread(table, &r, table->work)) {
        mbl_status status = mbl_fail(err, MBL_INPUT,
                                     "column \"%s\" has the same time in all rows, and there is "
                                     "no distance to rebuild it from",
                                     table->column[MBL_LOG_TIME].name);
        mbl_error_at(err, NULL, table->line[r.row[0]], 0);
        return status;
    }
    double farthest = 0;
    double at = rebuilt ? first : 0;
    for (size_t k = 0; k < r.n; k++) {
        size_t i = r.row[k];
        double t = at + r.t[k];
        /* rounding must not put a row on the one before */
        if (k > 0 && !(t > table->t[r.row[k - 1]]))
            table->keep[i] = 0;
        farthest = fmax(farthest, fabs(t - table->stamp[i]));
        table->t[i] = table->keep[i] ? t : table->t[r.row[k - 1]];
    }
    mbl_repair *repair = &table->repair[rebuilt ? MBL_REPAIR_REBUILT : MBL_REPAIR_SPREAD];
    repair->count = r.n;
    repair->first_line = table->line[r.row[0]];
    repair->last_line = table->line[r.row[r.n - 1]];
    repair->amount = rebuilt ? farthest : 0;
    table->by_line = true;
    return MBL_OK;
}
