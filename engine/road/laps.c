/* SPDX-License-Identifier: MIT */
/*
 * A lap begins where the car crosses the start line that was given, else at the row in which the
 * lap number changes, else where the distance falls back to near zero. What lies before the first
 * beginning and after the last is a lap too, though perhaps not all of one: these two count as
 * complete only when they are as long as the others. Then the laps are cut where the car stands:
 * the heat of a stop is not that of a lap.
 */
#include "road/laps.h"

#include "road/select.h"

#include <math.h>

/* Share of the fastest time within which laps are hot. Common practice, no source. */
#define ALIKE 0.12

/* Share of a lap that the first or the last may lack and still be one: speeds add up to better. */
#define CUT_SHORT 0.05

/* Shares of the greatest distance so far: a fall below the first is a new lap. */
#define NEAR_ZERO 0.05

/* m, less than any circuit: a fall from less is a logger finding its place. */
#define SHORTEST 200.0

/* m/s and s: slower for longer, the car stands or creeps. Common practice, no source. */
#define CREEPING (10 / 3.6)
#define STANDING 20.0

/* m between two stops that are one: a car that is pushed up in a queue. */
#define SHUFFLE 50.0

/* s: a stop in the pits takes less, and ends on the track. Common practice, no source. */
#define PIT_STOP 120.0

/* s: a piece between a line and a stop that is shorter belongs to the stop. */
#define SPLINTER 1.0

const char *mbl_lap_kind_word(mbl_lap_kind kind)
{
    static const char *const words[] = {"out", "hot", "traffic", "in", "whole", "pit", "parked"};
    return (unsigned)kind < sizeof words / sizeof words[0] ? words[kind] : "unknown";
}

static double duration(const mbl_lap *lap)
{
    return lap->end - lap->start;
}

/* ---- where laps begin ---- */

typedef enum mark { BY_NOTHING, BY_LINE, BY_NUMBER, BY_DISTANCE } mark;

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

static mark choose(const mbl_log *log)
{
    if (mbl_start_line_crossings(log, NULL, 0) > 0)
        return BY_LINE;
    if (log->lap != NULL && next_lap(log, BY_NUMBER, 0) < log->rows)
        return BY_NUMBER;
    if (log->distance != NULL && next_lap(log, BY_DISTANCE, 0) < log->rows)
        return BY_DISTANCE;
    return BY_NOTHING;
}

static size_t count_laps(const mbl_log *log, mark by)
{
    if (by == BY_LINE)
        return 1 + mbl_start_line_crossings(log, NULL, 0);
    size_t n = 1;
    if (by != BY_NOTHING)
        for (size_t i = next_lap(log, by, 0); i < log->rows; i = next_lap(log, by, i))
            n++;
    return n;
}

static size_t cut_by_rows(const mbl_log *log, mark by, mbl_lap *laps)
{
    size_t n = 0;
    size_t row = 0;
    while (row < log->rows) {
        size_t next = by == BY_NOTHING ? log->rows : next_lap(log, by, row);
        mbl_lap *lap = &laps[n++];
        lap->number = (int)n;
        if (by == BY_NUMBER)
            lap->number = (int)fmax(-1e9, fmin(1e9, log->lap[row]));
        lap->start = log->t[row];
        lap->end = next < log->rows ? log->t[next] : log->t[log->rows - 1];
        row = next;
    }
    /* a number that changes in the very last row begins nothing */
    if (n > 1 && laps[n - 1].end <= laps[n - 1].start)
        n--;
    return n;
}

static size_t cut_by_line(const mbl_log *log, mbl_lap *laps, double *times, size_t room)
{
    size_t crossings = mbl_start_line_crossings(log, times, room);
    double last = log->t[log->rows - 1];
    double start = log->t[0];
    size_t n = 0;
    for (size_t i = 0; i <= crossings; i++) {
        double end = i < crossings ? times[i] : last;
        if (end > start)
            laps[n++] = (mbl_lap){.number = (int)i, .start = start, .end = end};
        start = end;
    }
    return n;
}

/* ---- where the car stands ---- */

typedef struct stand {
    double start, end; /* s */
    size_t next;       /* row to go on from */
} stand;

/* The next slow stretch from row `from` on, however short; false when there is none. */
static bool next_slow(const mbl_log *log, size_t from, stand *out)
{
    size_t i = from;
    while (i < log->rows && log->v[i] >= CREEPING)
        i++;
    if (i >= log->rows)
        return false;
    out->start = log->t[i];
    double away = 0; /* m since the car last was slow */
    for (; i < log->rows && away < SHUFFLE; i++) {
        if (log->v[i] < CREEPING) {
            away = 0;
            out->end = log->t[i];
        } else if (i + 1 < log->rows)
            away += log->v[i] * (log->t[i + 1] - log->t[i]);
        out->next = i + 1;
    }
    return true;
}

static bool next_stand(const mbl_log *log, size_t from, stand *out)
{
    for (; next_slow(log, from, out); from = out->next)
        if (out->end - out->start > STANDING)
            return true;
    return false;
}

/* ---- what kind each lap is ---- */

/* Metres driven on each lap. */
static void measure_laps(const mbl_log *log, const mbl_lap *laps, size_t n, double *metres)
{
    size_t k = 0;
    metres[0] = 0;
    for (size_t i = 0; i + 1 < log->rows; i++) {
        while (k + 1 < n && log->t[i] >= laps[k].end)
            metres[++k] = 0;
        metres[k] += 0.5 * (log->v[i] + log->v[i + 1]) * (log->t[i + 1] - log->t[i]);
    }
    while (k + 1 < n)
        metres[++k] = 0;
}

/* Metres of a whole lap: the median of those between the first and the last; of two, the longer. */
static double whole_lap(const double *metres, size_t n, double *work)
{
    if (n == 2)
        return fmax(metres[0], metres[1]);
    for (size_t i = 1; i + 1 < n; i++)
        work[i - 1] = metres[i];
    return mbl_median(work, n - 2);
}

/* Does the car stand for some of this lap? *at moves on to the first stand that may be in it. */
static bool stands_in(const mbl_log *log, const mbl_lap *lap, stand *at, bool *more)
{
    while (*more && at->end <= lap->start)
        *more = next_stand(log, at->next, at);
    return *more && at->start < lap->end;
}

/* `metres` and `work` have room for n. */
static void name_kinds(const mbl_log *log, mbl_lap *laps, size_t n, double *metres, double *work)
{
    measure_laps(log, laps, n, metres);
    double whole = whole_lap(metres, n, work);
    double best = INFINITY;
    stand at = {0};
    bool more = next_stand(log, 0, &at);
    for (size_t i = 0; i < n; i++) {
        bool inner = i > 0 && i + 1 < n;
        bool before = i == 0 && laps[0].number == 0;
        bool complete = inner || (!before && metres[i] >= (1 - CUT_SHORT) * whole);
        bool drives = !stands_in(log, &laps[i], &at, &more);
        work[i] = complete && drives ? duration(&laps[i]) : INFINITY;
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
static void choose_laps(mbl_laps *laps, double *work)
{
    const mbl_lap *lap = laps->lap;
    size_t hot = 0;
    size_t longest = 0;
    double most = -1;
    for (size_t i = 0; i < laps->n; i++) {
        if (lap[i].kind == MBL_LAP_HOT)
            work[hot++] = duration(&lap[i]);
        bool stands = lap[i].kind == MBL_LAP_PIT || lap[i].kind == MBL_LAP_PARKED;
        if (!stands && duration(&lap[i]) > most) {
            most = duration(&lap[i]);
            longest = i;
        }
    }
    laps->median = longest;
    laps->fastest = longest;
    if (hot == 0)
        return;
    double time = mbl_median(work, hot);
    double best = mbl_select(work, hot, 0);
    for (size_t i = laps->n; i-- > 0;) {
        if (lap[i].kind != MBL_LAP_HOT)
            continue;
        if (duration(&lap[i]) == time)
            laps->median = i;
        if (duration(&lap[i]) == best)
            laps->fastest = i;
    }
}

/* ---- laps and stops together ---- */

static mbl_lap_kind stand_kind(const mbl_log *log, const stand *s)
{
    bool inside = s->start > log->t[0] && s->end < log->t[log->rows - 1];
    return inside && s->end - s->start < PIT_STOP ? MBL_LAP_PIT : MBL_LAP_PARKED;
}

static size_t count_stands(const mbl_log *log)
{
    size_t n = 0;
    stand s;
    for (size_t from = 0; next_stand(log, from, &s); from = s.next)
        n++;
    return n;
}

/* Adds a piece of a lap, unless there is nothing in it. */
static void add_piece(mbl_laps *out, mbl_lap whole, mbl_lap_kind kind, double start, double end)
{
    if (end <= start)
        return;
    mbl_lap *before = out->n > 0 ? &out->lap[out->n - 1] : NULL;
    bool stands = kind == MBL_LAP_PIT || kind == MBL_LAP_PARKED;
    /* a stop across the line is one stop */
    if (stands && before != NULL && before->kind == kind && before->end == start) {
        before->end = end;
        return;
    }
    whole.kind = kind;
    whole.start = start;
    whole.end = end;
    out->lap[out->n++] = whole;
}

/* Cuts one lap where the car stands; *at is the first stand that does not end before it. */
static void cut_lap(const mbl_log *log, const mbl_lap *lap, stand *at, bool *more, mbl_laps *out)
{
    double done = lap->start;
    bool stood = false;
    while (*more && at->start < lap->end) {
        double start = fmax(at->start, lap->start);
        double end = fmin(at->end, lap->end);
        if (start - done < SPLINTER)
            start = done;
        if (lap->end - end < SPLINTER && at->end <= lap->end)
            end = lap->end;
        mbl_lap_kind moving = lap->kind == MBL_LAP_WHOLE ? MBL_LAP_WHOLE
                              : stood                    ? MBL_LAP_OUT
                                                         : MBL_LAP_IN;
        add_piece(out, *lap, moving, done, start);
        add_piece(out, *lap, stand_kind(log, at), start, end);
        stood = true;
        done = end;
        if (at->end > lap->end)
            break;
        *more = next_stand(log, at->next, at);
    }
    mbl_lap_kind rest = stood && lap->kind != MBL_LAP_WHOLE ? MBL_LAP_OUT : lap->kind;
    add_piece(out, *lap, rest, done, lap->end);
}

mbl_status mbl_laps_find(mbl_arena *arena, const mbl_log *log, mbl_laps *out, mbl_error *err)
{
    mark by = choose(log);
    size_t whole = count_laps(log, by);
    size_t stands = count_stands(log);
    /* a stop adds two pieces, and one more when a line lies in it */
    size_t room = whole + 3 * stands;
    mbl_lap *lap = mbl_arena_new(arena, whole, sizeof *lap);
    double *work = mbl_arena_new(arena, room, sizeof *work);
    double *metres = mbl_arena_new(arena, whole, sizeof *metres);
    mbl_laps made = {0};
    made.lap = mbl_arena_new(arena, room, sizeof *made.lap);
    if (lap == NULL || work == NULL || metres == NULL || made.lap == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for %zu laps", room);
    size_t n = by == BY_LINE ? cut_by_line(log, lap, work, whole) : cut_by_rows(log, by, lap);
    if (n > 1)
        name_kinds(log, lap, n, metres, work);
    else
        lap[0].kind = MBL_LAP_WHOLE;
    stand at = {0};
    bool more = next_stand(log, 0, &at);
    for (size_t i = 0; i < n; i++)
        cut_lap(log, &lap[i], &at, &more, &made);
    choose_laps(&made, work);
    *out = made;
    return MBL_OK;
}
