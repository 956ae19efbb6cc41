/* SPDX-License-Identifier: MIT */
/*
 * Speeds that cannot be. A straight line takes their place: the energy that goes into brakes
 * depends on the speeds at both ends of it, and a line keeps those.
 */
#include "road/repair.h"

#include "road/noise.h"
#include "road/select.h"

#include <math.h>
#include <string.h>

/* m/s2, more than any car gains or loses. Common practice, no source. */
#define IMPOSSIBLE 25.0

/* Times the noise, and steps of the speed, that a jump must be to be one. */
#define SURE_NOISE 6.0
#define SURE_STEPS 2.5

/* Rows in one spike at most. */
#define SPIKE_ROWS 4

/* A frozen speed: that many rows alike, for so many s, in a moving car. Common practice. */
#define FROZEN_ROWS  4
#define FROZEN_TIME  0.5
#define FROZEN_SPEED 0.5

/* The distance driven meanwhile differs from that of the frozen speed by this share at least. */
#define FROZEN_OFF 0.03

/* What may be cut off at either end: so much of the time; and without other evidence than a run
   so many times longer than any other, so many s. */
#define CUT_SHARE  0.1
#define CUT_LONGER 2.0
#define CUT_TIME   3.0

/* Gaps: longer than this and than so many intervals. */
#define GAP_TIME      1.0
#define GAP_INTERVALS 5.0

/* How much a speed must jump before it is no noise, m/s. */
static double sure_jump(const mbl_table *table)
{
    const double *v = table->x[MBL_LOG_SPEED];
    double noise = mbl_noise_level(table->t, v, table->n, table->work);
    double step = mbl_noise_step(v, table->n, table->work);
    return fmax(SURE_NOISE * noise, SURE_STEPS * step);
}

/* Does speed jump from row i to row k by more than any car can? Its sign, or 0. */
static int jump(const mbl_table *table, size_t i, size_t k, double sure)
{
    const double *v = table->x[MBL_LOG_SPEED];
    double rise = v[k] - v[i];
    if (fabs(rise) <= fmax(sure, IMPOSSIBLE * (table->t[k] - table->t[i])))
        return 0;
    return rise > 0 ? 1 : -1;
}

/* ---- frozen ---- */

typedef struct run {
    size_t first, end; /* rows first..end - 1 have one speed */
    double time;       /* s */
} run;

static run next_run(const mbl_table *table, size_t first)
{
    const double *v = table->x[MBL_LOG_SPEED];
    run r = {.first = first, .end = first + 1};
    while (r.end < table->n && v[r.end] == v[first])
        r.end++;
    r.time = table->t[r.end - 1] - table->t[first];
    return r;
}

static bool long_enough(const mbl_table *table, const run *r)
{
    return r->end - r->first >= FROZEN_ROWS && r->time >= FROZEN_TIME &&
           table->x[MBL_LOG_SPEED][r->first] > FROZEN_SPEED;
}

/*
 * Does the way driven, or else the jump at either end, tell that the speed stood still? `ratio` is
 * that of the whole way to what the speed adds up to.
 */
static bool stood_still(const mbl_table *table, const run *r, const double *driven, double ratio,
                        double step, double sure)
{
    double v = table->x[MBL_LOG_SPEED][r->first];
    if (driven != NULL) {
        double mean = (driven[r->end - 1] - driven[r->first]) / (r->time * ratio);
        return fabs(mean - v) > fmax(FROZEN_OFF * v, fmax(step, FROZEN_SPEED));
    }
    return (r->end < table->n && jump(table, r->end - 1, r->end, sure) != 0) ||
           (r->first > 0 && jump(table, r->first - 1, r->first, sure) != 0);
}

/* Longest run of one speed that touches neither end of the file, s. */
static double longest_inside(const mbl_table *table)
{
    double longest = 0;
    for (run r = next_run(table, 0); r.end < table->n; r = next_run(table, r.end))
        if (r.first > 0 && table->x[MBL_LOG_SPEED][r.first] > FROZEN_SPEED)
            longest = fmax(longest, r.time);
    return longest;
}

/* Way driven over what the speed adds up to; 1 when that is nothing. */
static double way_ratio(const mbl_table *table, const double *driven)
{
    const double *v = table->x[MBL_LOG_SPEED];
    double sum = 0;
    for (size_t i = 0; i + 1 < table->n; i++)
        sum += 0.5 * (v[i] + v[i + 1]) * (table->t[i + 1] - table->t[i]);
    double way = driven[table->n - 1] - driven[0];
    return way > 0 && sum > 0 ? way / sum : 1;
}

static void note_run(mbl_table *table, const run *r)
{
    mbl_repair *repair = &table->repair[MBL_REPAIR_FROZEN];
    size_t count = repair->count;
    mbl_repair_note(repair, table->line[r->first], r->time);
    mbl_repair_note(repair, table->line[r->end - 1], 0);
    repair->count = count + (r->end - r->first);
}

void mbl_repair_frozen(mbl_table *table)
{
    /* a speed worked out from the way cannot disagree with it */
    if (table->base != MBL_LOG_SPEED || table->n < 2 * FROZEN_ROWS)
        return;
    double *v = table->x[MBL_LOG_SPEED];
    double sure = sure_jump(table);
    double step = mbl_noise_step(v, table->n, table->work);
    double longest = longest_inside(table);
    double most = CUT_SHARE * (table->t[table->n - 1] - table->t[0]);
    const double *driven = mbl_driven(table, table->work) ? table->work : NULL;
    double ratio = driven != NULL ? way_ratio(table, driven) : 1;
    run r = {0};
    for (size_t first = 0; first < table->n; first = r.end) {
        r = next_run(table, first);
        if (!long_enough(table, &r))
            continue;
        bool at_end = r.first == 0 || r.end == table->n;
        bool still = stood_still(table, &r, driven, ratio, step, sure);
        bool odd = r.time > CUT_LONGER * longest && r.time < CUT_TIME;
        if (at_end && r.time < most && (still || odd)) {
            note_run(table, &r);
            memset(table->keep + r.first, 0, r.end - r.first);
        } else if (!at_end && still) {
            note_run(table, &r);
            /* the first of the run was still true */
            mbl_table_bridge(table, v, r.first + 1, r.end);
        }
    }
    mbl_table_pack(table);
}

/* ---- spikes ---- */

void mbl_repair_spikes(mbl_table *table)
{
    double *v = table->x[MBL_LOG_SPEED];
    double sure = sure_jump(table);
    for (size_t i = 0; i + 2 < table->n; i++) {
        int up = jump(table, i, i + 1, sure);
        if (up == 0)
            continue;
        /* back within a few rows, and nothing impossible between where it left and came back */
        size_t end = i + 2;
        size_t last = i + 1 + SPIKE_ROWS < table->n ? i + 1 + SPIKE_ROWS : table->n - 1;
        while (end <= last &&
               !(jump(table, end - 1, end, sure) == -up && jump(table, i, end, sure) == 0))
            end++;
        if (end > last)
            continue;
        for (size_t k = i + 1; k < end; k++)
            mbl_repair_note(&table->repair[MBL_REPAIR_SPIKE], table->line[k], 0);
        mbl_table_bridge(table, v, i + 1, end);
        i = end - 1;
    }
}

/* ---- gaps ---- */

void mbl_repair_gaps(mbl_table *table)
{
    for (size_t i = 0; i + 1 < table->n; i++)
        table->work[i] = table->t[i + 1] - table->t[i];
    double typical = mbl_median(table->work, table->n - 1);
    double limit = fmax(GAP_TIME, GAP_INTERVALS * typical);
    for (size_t i = 0; i + 1 < table->n; i++) {
        double gap = table->t[i + 1] - table->t[i];
        if (gap > limit)
            mbl_repair_note(&table->repair[MBL_REPAIR_GAP], table->line[i + 1], gap);
    }
}
