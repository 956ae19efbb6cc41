/* SPDX-License-Identifier: MIT */
/*
 * Samples that a fast logger writes again and again until its slow sensor has a new one. They look
 * like a speed in stairs: standing still, then braking at many times the true rate. A sample is a
 * repeat when something that must change while the car moves does not: a distance or a position
 * finer than the way from row to row, or a speed of fine resolution. All of them, in a moving car,
 * come in runs of about one length; of each run the first row is kept, and of a longer stand every
 * so many-th.
 */
#include "road/repair.h"

#include "road/noise.h"
#include "road/select.h"

#include <math.h>
#include <string.h>

/* m/s: slower, a repeat is no news. */
#define MOVING 1.0

/* Longest run of repeats looked for, in rows. */
enum { LONGEST = 200 };

/* Share of moving rows that must be repeats, and of runs that must be about as long as most.
   Common practice, no source. */
#define MOST_REPEATS 0.3
#define REGULAR      0.7

/* m/s: a coarser speed may well repeat by itself. */
#define FINE_SPEED 0.03

static bool same(const mbl_table *table, mbl_log_role role, size_t i)
{
    const double *x = table->x[role];
    return x == NULL || x[i] == x[i - 1];
}

/* Is row i the one before over again, as far as the file can tell? */
static bool repeats(const mbl_table *table, size_t i)
{
    return (table->base != MBL_LOG_SPEED || same(table, MBL_LOG_SPEED, i)) &&
           same(table, MBL_LOG_DISTANCE, i) && same(table, MBL_LOG_LATITUDE, i) &&
           same(table, MBL_LOG_LONGITUDE, i);
}

/* Does speed alone tell a repeat? */
static bool speed_is_fine(const mbl_table *table)
{
    return mbl_noise_step(table->x[MBL_LOG_SPEED], table->n, table->work) < FINE_SPEED;
}

/* Does distance, or a position, change with every row of a moving car? */
static bool way_is_fine(const mbl_table *table)
{
    const double *distance = table->x[MBL_LOG_DISTANCE];
    if (distance == NULL)
        return table->x[MBL_LOG_LATITUDE] != NULL && table->x[MBL_LOG_LONGITUDE] != NULL;
    double step = mbl_noise_step(distance, table->n, table->work);
    double way = 0;
    for (size_t i = 1; i < table->n; i++)
        way += fmax(0, distance[i] - distance[i - 1]);
    return step < 0.25 * way / (double)table->n;
}

static bool moves(const mbl_table *table, size_t i)
{
    return table->base != MBL_LOG_SPEED || table->x[MBL_LOG_SPEED][i] > MOVING;
}

/* Length of most runs of a row and its repeats; 1 when there is no such length. */
static size_t run_length(const mbl_table *table)
{
    size_t count[LONGEST + 2] = {0};
    size_t runs = 0;
    size_t rows = 0;
    size_t repeated = 0;
    for (size_t i = 0, end = 0; i < table->n; i = end) {
        for (end = i + 1; end < table->n && repeats(table, end);)
            end++;
        /* the first and the last run may be cut short; a stand is no run */
        if (i == 0 || end == table->n || !moves(table, i) || end - i > LONGEST)
            continue;
        count[end - i]++;
        runs++;
        rows += end - i;
        repeated += end - i - 1;
    }
    if (runs == 0 || (double)repeated < MOST_REPEATS * (double)rows)
        return 1;
    size_t most = 1;
    for (size_t k = 1; k <= LONGEST; k++)
        if (count[k] > count[most])
            most = k;
    size_t about = count[most - 1] + count[most] + count[most + 1];
    return (double)about >= REGULAR * (double)runs ? most : 1;
}

void mbl_repair_repeats(mbl_table *table)
{
    if (!way_is_fine(table) && !(table->base == MBL_LOG_SPEED && speed_is_fine(table)))
        return;
    size_t length = run_length(table);
    if (length < 2)
        return;
    size_t into = 0;
    for (size_t i = 1; i < table->n; i++) {
        into = repeats(table, i) ? into + 1 : 0;
        table->keep[i] = into % length == 0;
        /* one row more than usual in a run is no new sample */
        if (into == length && (i + 1 == table->n || !repeats(table, i + 1)))
            table->keep[i] = 0;
        if (!table->keep[i])
            mbl_repair_note(&table->repair[MBL_REPAIR_REPEATED], table->line[i], 0);
    }
    mbl_table_pack(table);
}
