/* SPDX-License-Identifier: MIT */
/*
 * Every other channel on the rows of the base. A sample finds its repaired time by the rows
 * around it in the file: from the stamp, when that lies between theirs, else from its line. So a
 * channel of another rate, or one whose values stand on lines of their own, goes through whatever
 * was done to the clock.
 */
#include "road/repair.h"

#include <math.h>
#include <string.h>

/* Share of a series that must lie between rows of the base for lines to mean anything. */
#define INTERLEAVED 0.5

/* Degrees: positions further apart lie across the date line. */
#define HALF_TURN 180.0

/* A series on the repaired clock. */
typedef struct placed {
    size_t n;
    double *t; /* (n) s, strictly increasing */
    double *x; /* (n) */
} placed;

static void put(placed *out, double t, double x)
{
    if (out->n > 0 && t < out->t[out->n - 1])
        return;
    /* a later value of the same time stands for it */
    if (out->n > 0 && t == out->t[out->n - 1])
        out->n--;
    out->t[out->n] = t;
    out->x[out->n++] = x;
}

/*
 * Time of a sample between rows p and q of the base, either of which may be missing (n). `raw` are
 * the stamps of the base as in the file, as the sample's is.
 */
static double time_between(const mbl_table *b, const double *raw, size_t p, size_t q, int line,
                           double stamp)
{
    if (p == b->n)
        return b->t[q] - fmax(0, raw[q] - stamp);
    if (q == b->n)
        return b->t[p] + fmax(0, stamp - raw[p]);
    double share = (line - b->line[p]) / (double)(b->line[q] - b->line[p]);
    double by_line = b->t[p] + share * (b->t[q] - b->t[p]);
    if (b->by_line)
        return by_line;
    double after = b->t[p] + (stamp - raw[p]);
    if (after >= b->t[p] && after <= b->t[q])
        return after;
    double before = b->t[q] - (raw[q] - stamp);
    return before >= b->t[p] && before <= b->t[q] ? before : by_line;
}

/* By the lines: between which rows of the base does each sample stand? */
static void place_by_line(const mbl_table *b, const mbl_series *s, placed *out)
{
    const double *raw = b->import->series[b->base].t;
    size_t p = b->n; /* last kept row up to the line */
    size_t i = 0;    /* first row beyond the line */
    size_t q = 0;    /* first kept row beyond it */
    for (size_t k = 0; k < s->n; k++) {
        for (; i < b->n && b->line[i] <= s->line[k]; i++)
            p = b->keep[i] ? i : p;
        q = q < i ? i : q;
        while (q < b->n && !b->keep[q])
            q++;
        bool own = i > 0 && b->line[i - 1] == s->line[k];
        if (own && b->keep[i - 1])
            put(out, b->t[i - 1], s->x[k]);
        else if (!own)
            put(out, time_between(b, raw, p, q, s->line[k], s->t[k]), s->x[k]);
    }
}

static bool interleaved(const mbl_table *b, const mbl_series *s)
{
    size_t inside = 0;
    for (size_t k = 0; k < s->n; k++)
        inside += s->line[k] >= b->line[0] && s->line[k] <= b->line[b->n - 1];
    return (double)inside >= INTERLEAVED * (double)s->n || b->by_line;
}

/* By the clock alone: for a file that has one channel after the other. */
static mbl_status place_by_clock(mbl_table *b, const mbl_series *s, placed *out, mbl_error *err)
{
    double *stamp = mbl_arena_new(b->arena, s->n, sizeof *stamp);
    double *work = mbl_arena_new(b->arena, s->n, sizeof *work);
    if (stamp == NULL || work == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for %zu samples", s->n);
    memcpy(stamp, s->t, s->n * sizeof *stamp);
    mbl_unwrap_clock(stamp, s->line, s->n, NULL, NULL, NULL, work, NULL);
    size_t first = 0;
    while (!b->keep[first])
        first++;
    for (size_t k = 0; k < s->n; k++)
        put(out, stamp[k] - b->stamp[first], s->x[k]);
    return MBL_OK;
}

/* Value between samples k and k + 1 of what was placed. */
static double between(mbl_log_role role, const placed *s, size_t k, double t)
{
    double rise = s->x[k + 1] - s->x[k];
    bool jumps = role == MBL_LOG_LAP || (role == MBL_LOG_DISTANCE && rise < 0) ||
                 (role == MBL_LOG_LONGITUDE && fabs(rise) > HALF_TURN);
    if (jumps || t == s->t[k])
        return s->x[k];
    return s->x[k] + rise * ((t - s->t[k]) / (s->t[k + 1] - s->t[k]));
}

static void read_off(const mbl_table *b, mbl_log_role role, const placed *s, double *out)
{
    for (size_t i = 0, k = 0; i < b->n; i++) {
        if (!b->keep[i])
            continue;
        while (k + 1 < s->n && s->t[k + 1] <= b->t[i])
            k++;
        out[i] = k + 1 < s->n && b->t[i] > s->t[k] ? between(role, s, k, b->t[i]) : s->x[k];
    }
}

mbl_status mbl_align(mbl_table *table, mbl_error *err)
{
    size_t most = 1;
    for (int role = MBL_LOG_SPEED; role < MBL_LOG_ROLES; role++)
        if (table->import->series[role].n > most)
            most = table->import->series[role].n;
    placed found = {.t = mbl_arena_new(table->arena, most, sizeof *found.t),
                    .x = mbl_arena_new(table->arena, most, sizeof *found.x)};
    if (found.t == NULL || found.x == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for %zu samples", most);
    for (int role = MBL_LOG_SPEED; role < MBL_LOG_ROLES; role++) {
        const mbl_series *s = &table->import->series[role];
        if (role == (int)table->base || s->n == 0)
            continue;
        found.n = 0;
        if (interleaved(table, s))
            place_by_line(table, s, &found);
        else
            MBL_TRY(place_by_clock(table, s, &found, err));
        if (found.n > 0)
            read_off(table, (mbl_log_role)role, &found, table->x[role]);
        else
            table->x[role] = NULL; /* all of its samples stood in rows that were left out */
    }
    mbl_table_pack(table);
    return MBL_OK;
}
