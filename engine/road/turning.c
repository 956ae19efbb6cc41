/* SPDX-License-Identifier: MIT */
#include "road/turning.h"

#include "road/repair.h"

#include <math.h>

/* m/s: below, what is divided by speed is mostly noise. */
#define SLOW 5.0

/* Changes of a column below which it tells nothing. */
#define FEWEST 8

static bool changes(const double *x, size_t n)
{
    size_t count = 0;
    for (size_t i = 0; x != NULL && i + 1 < n && count < FEWEST; i++)
        count += x[i + 1] != x[i];
    return count >= FEWEST;
}

/* Curvature of rows begin..end - 1 from the rows around them; straight where there are none. */
static void carry_over(double *x, size_t n, size_t begin, size_t end)
{
    double before = begin > 0 ? x[begin - 1] : end < n ? x[end] : 0;
    double after = end < n ? x[end] : before;
    for (size_t i = begin; i < end; i++)
        x[i] = before + (after - before) * (double)(i + 1 - begin) / (double)(end - begin + 1);
}

static void divide_by_speed(const mbl_log *log, const double *from, bool squared, double *out)
{
    size_t slow = 0; /* rows just passed that are */
    for (size_t i = 0; i <= log->rows; i++) {
        if (i < log->rows && log->v[i] < SLOW) {
            slow++;
            continue;
        }
        if (i < log->rows)
            out[i] = from[i] / (squared ? log->v[i] * log->v[i] : log->v[i]);
        if (slow > 0)
            carry_over(out, log->rows, i - slow, i);
        slow = 0;
    }
}

static void put_in_metres(const mbl_log *log, double *east, double *north)
{
    double up = 0;
    double across = 0;
    mbl_degree_at(log->latitude[0], &up, &across);
    for (size_t i = 0; i < log->rows; i++) {
        north[i] = up * (log->latitude[i] - log->latitude[0]);
        east[i] = across * remainder(log->longitude[i] - log->longitude[0], 360.0);
    }
}

mbl_status mbl_turning_find(mbl_arena *arena, const mbl_log *log, mbl_turning *out, mbl_error *err)
{
    mbl_turning made = {.told = MBL_TOLD_NOTHING};
    size_t n = log->rows;
    bool placed = log->latitude != NULL && log->longitude != NULL &&
                  (changes(log->latitude, n) || changes(log->longitude, n));
    bool yaw = changes(log->yaw_rate, n);
    if (placed) {
        made.told = MBL_TOLD_POSITIONS;
        made.east = mbl_arena_new(arena, n, sizeof *made.east);
        made.north = mbl_arena_new(arena, n, sizeof *made.north);
        if (made.east == NULL || made.north == NULL)
            return mbl_fail(err, MBL_MEMORY, "no memory for the positions of %zu rows", n);
        put_in_metres(log, made.east, made.north);
    } else if (yaw || changes(log->accel_lat, n)) {
        made.told = yaw ? MBL_TOLD_YAW_RATE : MBL_TOLD_LATERAL;
        made.curvature = mbl_arena_new(arena, n, sizeof *made.curvature);
        if (made.curvature == NULL)
            return mbl_fail(err, MBL_MEMORY, "no memory for the curvature of %zu rows", n);
        divide_by_speed(log, yaw ? log->yaw_rate : log->accel_lat, !yaw, made.curvature);
    }
    *out = made;
    return MBL_OK;
}
