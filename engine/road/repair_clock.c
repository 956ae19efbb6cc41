/* SPDX-License-Identifier: MIT */
/*
 * A clock that only goes forward. A stamp that falls back to near the first of its lap and goes on
 * from there began again; any other that does not increase is out of place, and the fewest rows
 * that leave an increasing clock are left out (a longest increasing subsequence, by patience).
 */
#include "road/repair.h"

#include "road/select.h"

#include <math.h>
#include <string.h>

/* Share of a lap within which a clock that begins again must be of its beginning. */
#define NEAR_FIRST 0.05

/* s: a shorter stretch of clock is no lap. */
#define SHORTEST 2.0

/* Rows that must follow on from a reset, that make it one without a lap that changes, and that
   must be there at the end of a file. */
#define FOLLOWED       10
#define CONVINCED      50
#define LEAST_FOLLOWED 3

/* Rows before a reset that tell how far the clock had come. */
enum { BEFORE = 5 };

/* Rows around a reset in which the lap may change. */
#define AROUND 2

/* Share of the farthest distance below which it began again. */
#define BEGAN_AGAIN 0.5

/* Median of the intervals that increase; 0 when none does. */
static double typical_interval(const double *t, size_t n, double *work)
{
    size_t k = 0;
    for (size_t i = 0; i + 1 < n; i++)
        if (t[i + 1] > t[i])
            work[k++] = t[i + 1] - t[i];
    return k > 0 ? mbl_median(work, k) : 0;
}

/* How many rows from i on stay below `before`, up to `most`. */
static size_t rows_below(const double *t, size_t n, size_t i, double before, size_t most)
{
    size_t k = 0;
    while (i + k < n && k < most && t[i + k] < before)
        k++;
    return k;
}

static bool lap_changes(const double *lap, const double *distance, size_t n, size_t i)
{
    size_t first = i > AROUND ? i - AROUND : 1;
    size_t last = i + AROUND < n ? i + AROUND : n - 1;
    for (size_t k = first; k <= last; k++) {
        if (lap != NULL && lap[k] != lap[k - 1])
            return true;
        if (distance != NULL && distance[k] < BEGAN_AGAIN * distance[k - 1])
            return true;
    }
    return false;
}

/*
 * How far the clock had come before row i, by the middle of the rows before it, so that one stamp
 * that is far off does not count: the last of them that is not beyond what the middle allows.
 */
static double clock_before(const double *t, size_t first, size_t i, double typical)
{
    double last[BEFORE];
    size_t n = 0;
    for (size_t k = i; k-- > first && n < BEFORE;)
        last[n++] = t[k];
    double middle = mbl_median(last, n);
    double before = middle;
    for (size_t k = 0; k < n; k++)
        if (last[k] <= middle + 2 * BEFORE * typical)
            before = fmax(before, last[k]);
    return before;
}

/* Does the clock begin again at row i, in a lap that began at row `first`? */
static bool begins_again(const double *t, size_t n, const double *lap, const double *distance,
                         size_t first, size_t i, double before)
{
    double length = before - t[first];
    if (!(t[i] < before && length >= SHORTEST && t[i] <= t[first] + NEAR_FIRST * length))
        return false;
    bool told = lap_changes(lap, distance, n, i);
    bool alone = lap == NULL && distance == NULL;
    size_t needed = told || alone ? FOLLOWED : CONVINCED;
    if (needed > n - i)
        needed = n - i;
    size_t follow = rows_below(t, n, i, before, needed);
    return follow >= needed && (told || follow >= LEAST_FOLLOWED);
}

void mbl_unwrap_clock(double *t, const int *line, size_t n, const double *lap,
                      const double *distance, mbl_repair *repair, double *work, double *number)
{
    double typical = typical_interval(t, n, work);
    size_t first = 0; /* row with which the lap at hand began */
    double *offset = work;
    offset[0] = 0;
    double count = 0;
    for (size_t i = 0; i < n; i++) {
        offset[i] = i > 0 ? offset[i - 1] : 0;
        if (i > 0 && t[i] < t[i - 1]) {
            double before = clock_before(t, first, i, typical);
            if (begins_again(t, n, lap, distance, first, i, before)) {
                offset[i] += before + typical - t[i];
                first = i;
                count += 1;
                if (repair != NULL)
                    mbl_repair_note(repair, line[i], 0);
            }
        }
        if (number != NULL)
            number[i] = count;
    }
    for (size_t i = 0; i < n; i++)
        t[i] += offset[i];
}

/* ---- rows that go back ---- */

static bool goes_before(double a, double b, bool ties)
{
    return ties ? a <= b : a < b;
}

/* Clears keep of the fewest rows that leave t increasing, or not decreasing where ties may be. */
static mbl_status leave_increasing(mbl_table *table, bool ties, mbl_error *err)
{
    const double *t = table->stamp;
    size_t n = table->n;
    bool good = true;
    for (size_t i = 1; i < n && good; i++)
        good = goes_before(t[i - 1], t[i], ties);
    if (good)
        return MBL_OK;
    /*
     * From the last row to the first, so that of two rows out of order the first stays.
     * begin[k]: row with which the best chain of k + 1 rows begins; next[i]: row after i in its.
     */
    size_t *begin = mbl_arena_new(table->arena, n, sizeof *begin);
    size_t *next = mbl_arena_new(table->arena, n, sizeof *next);
    if (begin == NULL || next == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for a log of %zu rows", n);
    size_t length = 0;
    for (size_t i = n; i-- > 0;) {
        size_t lo = 0;
        size_t hi = length;
        /* mostly the row goes before all chains */
        if (length > 0 && goes_before(t[i], t[begin[length - 1]], ties))
            lo = length;
        while (lo < hi) {
            size_t middle = lo + (hi - lo) / 2;
            if (goes_before(t[i], t[begin[middle]], ties))
                lo = middle + 1;
            else
                hi = middle;
        }
        next[i] = lo > 0 ? begin[lo - 1] : i;
        begin[lo] = i;
        length = lo == length ? length + 1 : length;
    }
    memset(table->keep, 0, n);
    for (size_t i = begin[length - 1];; i = next[i]) {
        table->keep[i] = 1;
        if (next[i] == i)
            break;
    }
    return MBL_OK;
}

/* Counts what was left out: a row like the last one kept is a repeat, any other went back. */
static mbl_status count_left_out(mbl_table *table, mbl_error *err)
{
    const double *x = table->x[table->base];
    mbl_repair *back = &table->repair[MBL_REPAIR_BACK];
    size_t kept = 0;
    size_t last = table->n;
    for (size_t i = 0; i < table->n; i++) {
        if (table->keep[i]) {
            kept++;
            last = i;
            continue;
        }
        bool same = last < table->n && table->stamp[i] == table->stamp[last] && x[i] == x[last];
        mbl_repair_note(same ? &table->repair[MBL_REPAIR_REPEATED] : back, table->line[i], 0);
    }
    if (back->count <= table->n / 2)
        return MBL_OK;
    mbl_status status = mbl_fail(err, MBL_INPUT,
                                 "column \"%s\" does not increase: %zu of %zu rows go back in time "
                                 "or stand still",
                                 table->column[MBL_LOG_TIME].name, back->count, table->n);
    mbl_error_at(err, NULL, back->first_line, 0);
    return status;
}

/* Value of a series at the rows of the base by the last sample up to each line; NULL without. */
static double *hold_by_line(mbl_table *table, mbl_log_role role)
{
    const mbl_series *s = &table->import->series[role];
    double *out = s->n > 0 ? mbl_arena_new(table->arena, table->n, sizeof *out) : NULL;
    for (size_t i = 0, k = 0; out != NULL && i < table->n; i++) {
        while (k + 1 < s->n && s->line[k + 1] <= table->line[i])
            k++;
        out[i] = s->x[k];
    }
    return out;
}

/* A lap column from the resets of the clock, when the file has none. */
static void number_laps(mbl_table *table, bool resets)
{
    double *lap = table->x[MBL_LOG_LAP];
    if (table->import->series[MBL_LOG_LAP].n > 0)
        return;
    if (!resets) {
        table->x[MBL_LOG_LAP] = NULL;
        return;
    }
    for (size_t i = 0; i < table->n; i++)
        lap[i] += 1;
    table->column[MBL_LOG_LAP].derived = true;
    table->column[MBL_LOG_LAP].derived_from = MBL_LOG_TIME;
}

mbl_status mbl_repair_clock(mbl_table *table, mbl_error *err)
{
    const double *lap = hold_by_line(table, MBL_LOG_LAP);
    const double *distance = hold_by_line(table, MBL_LOG_DISTANCE);
    mbl_repair *reset = &table->repair[MBL_REPAIR_RESET];
    mbl_unwrap_clock(table->stamp, table->line, table->n, lap, distance, reset, table->work,
                     table->x[MBL_LOG_LAP]);
    number_laps(table, reset->count > 0);
    bool bunched = mbl_stamps_bunch(table);
    MBL_TRY(leave_increasing(table, bunched, err));
    MBL_TRY(count_left_out(table, err));
    memcpy(table->t, table->stamp, table->n * sizeof *table->t);
    if (bunched)
        MBL_TRY(mbl_repair_stamps(table, err));
    size_t first = 0;
    while (!table->keep[first])
        first++;
    double start = table->t[first];
    for (size_t i = 0; i < table->n; i++)
        table->t[i] -= start;
    return MBL_OK;
}
