/* SPDX-License-Identifier: MIT */
/*
 * A lap begins at the row in which the lap number changes, or in which the distance falls back to
 * near zero. What lies before the first beginning and after the last is a lap too, though perhaps
 * not all of one: these two count as complete only when they agree with the others.
 */
#include "road/laps.h"

#include "road/select.h"

#include <math.h>

/* Share of the time of a reference within which laps are alike. Common practice, no source. */
#define ALIKE 0.12

/* Shares of the greatest distance so far: a fall below the first is a new lap. */
#define NEAR_ZERO 0.05

/* m, less than any circuit: a fall from less is a logger finding its place. */
#define SHORTEST 200.0

const char *mbl_lap_kind_word(mbl_lap_kind kind)
{
    static const char *const words[] = {"out", "hot", "traffic", "in", "whole"};
    return (unsigned)kind < sizeof words / sizeof words[0] ? words[kind] : "unknown";
}

typedef enum mark { BY_NOTHING, BY_NUMBER, BY_DISTANCE } mark;

/* The row after `row` in which a lap begins, or log->rows. */
static size_t next_lap(const mbl_log *log, mark by, size_t row)
{
    double farthest = by == BY_DISTANCE ? log->distance[row] : 0;
    for (size_t i = row + 1; i < log->rows; i++) {
        if (by == BY_NUMBER && log->lap[i] != log->lap[i - 1])
            return i;
        if (by == BY_DISTANCE) {
            if (farthest > SHORTEST && log->distance[i] < NEAR_ZERO * farthest)
                return i;
            farthest = fmax(farthest, log->distance[i]);
        }
    }
    return log->rows;
}

/* What tells the laps of this log apart. */
static mark choose(const mbl_log *log)
{
    if (log->lap != NULL && next_lap(log, BY_NUMBER, 0) < log->rows)
        return BY_NUMBER;
    if (log->distance != NULL && next_lap(log, BY_DISTANCE, 0) < log->rows)
        return BY_DISTANCE;
    return BY_NOTHING;
}

size_t mbl_laps_count(const mbl_log *log)
{
    mark by = choose(log);
    size_t n = 1;
    if (by != BY_NOTHING)
        for (size_t i = next_lap(log, by, 0); i < log->rows; i = next_lap(log, by, i))
            n++;
    return n;
}

static double duration(const mbl_lap *lap)
{
    return lap->end - lap->start;
}

static size_t cut(const mbl_log *log, mark by, mbl_lap *laps)
{
    size_t n = 0;
    size_t row = 0;
    while (row < log->rows) {
        size_t next = by == BY_NOTHING ? log->rows : next_lap(log, by, row);
        mbl_lap *lap = &laps[n++];
        lap->number = (int)n;
        if (by == BY_NUMBER)
            lap->number = (int)fmax(-1e9, fmin(1e9, log->lap[row]));
        lap->kind = MBL_LAP_WHOLE;
        lap->start = log->t[row];
        lap->end = next < log->rows ? log->t[next] : log->t[log->rows - 1];
        row = next;
    }
    /* a number that changes in the very last row begins nothing */
    if (n > 1 && laps[n - 1].end <= laps[n - 1].start)
        n--;
    return n;
}

/* Metres driven between two times of the log. */
static double driven(const mbl_log *log, double start, double end)
{
    double metres = 0;
    for (size_t i = 0; i + 1 < log->rows && log->t[i] < end; i++)
        if (log->t[i] >= start)
            metres += 0.5 * (log->v[i] + log->v[i + 1]) * (log->t[i + 1] - log->t[i]);
    return metres;
}

/*
 * Is lap i, the first or the last, all of a lap? Its time must be like that of those between;
 * when there are none, its distance like that of the longer of the two.
 */
static bool complete(const mbl_log *log, const mbl_lap *laps, size_t n, size_t i, double middle)
{
    if (i > 0 && i + 1 < n)
        return true;
    if (i == 0 && laps[0].number == 0)
        return false;
    if (n > 2)
        return fabs(duration(&laps[i]) - middle) <= ALIKE * middle;
    double here = driven(log, laps[i].start, laps[i].end);
    double there = driven(log, laps[1 - i].start, laps[1 - i].end);
    return here >= (1 - ALIKE) * there;
}

static void name_kinds(const mbl_log *log, mbl_lap *laps, size_t n, double *work)
{
    double middle = 0;
    if (n > 2) {
        for (size_t i = 1; i + 1 < n; i++)
            work[i - 1] = duration(&laps[i]);
        middle = mbl_median(work, n - 2);
    }
    double best = INFINITY;
    for (size_t i = 0; i < n; i++) {
        work[i] = complete(log, laps, n, i, middle) ? duration(&laps[i]) : INFINITY;
        best = fmin(best, work[i]);
    }
    for (size_t i = 0; i < n; i++) {
        bool hot = isfinite(work[i]) && work[i] <= (1 + ALIKE) * best;
        laps[i].kind = hot          ? MBL_LAP_HOT
                       : i == 0     ? MBL_LAP_OUT
                       : i + 1 == n ? MBL_LAP_IN
                                    : MBL_LAP_TRAFFIC;
    }
}

/* The hot lap of median time and the fastest one; without hot laps, the longest lap for both. */
static void choose_laps(const mbl_lap *laps, size_t n, double *work, size_t *median,
                        size_t *fastest)
{
    size_t hot = 0;
    size_t longest = 0;
    for (size_t i = 0; i < n; i++) {
        if (laps[i].kind == MBL_LAP_HOT)
            work[hot++] = duration(&laps[i]);
        if (duration(&laps[i]) > duration(&laps[longest]))
            longest = i;
    }
    *median = longest;
    *fastest = longest;
    if (hot == 0)
        return;
    double time = mbl_median(work, hot);
    double best = mbl_select(work, hot, 0);
    for (size_t i = n; i-- > 0;) {
        if (laps[i].kind != MBL_LAP_HOT)
            continue;
        if (duration(&laps[i]) == time)
            *median = i;
        if (duration(&laps[i]) == best)
            *fastest = i;
    }
}

size_t mbl_laps_find(const mbl_log *log, mbl_lap *laps, double *work, size_t *median,
                     size_t *fastest)
{
    size_t n = cut(log, choose(log), laps);
    if (n > 1)
        name_kinds(log, laps, n, work);
    choose_laps(laps, n, work, median, fastest);
    return n;
}
