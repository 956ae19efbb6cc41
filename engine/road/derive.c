/* SPDX-License-Identifier: MIT */
/*
 * Speed from distance, or from positions. The mean speed between two fixes is exact, and belongs
 * to the middle of their interval; so the rows move there. Where fixes are rounded or wander, the
 * interval is widened just so far that their noise on the speed is what the smoothing of a trace
 * copes with, and no further, since widening rounds off the corners of the curve.
 */
#include "road/repair.h"

#include "road/noise.h"
#include "road/select.h"

#include <math.h>

/* m/s of noise that is left on a speed that was worked out. */
#define GOOD_ENOUGH 0.1

/* s: over longer, brakes on and off are lost. */
#define WIDEST 0.5

/* The WGS 84 ellipsoid: equatorial radius, m, and square of the eccentricity. */
#define EQUATOR      6378137.0
#define ECCENTRICITY 0.00669437999014

#define RADIAN (3.141592653589793 / 180)

void mbl_degree_at(double latitude, double *north, double *east)
{
    double sine = sin(latitude * RADIAN);
    double w = 1 - ECCENTRICITY * sine * sine;
    *north = RADIAN * EQUATOR * (1 - ECCENTRICITY) / (w * sqrt(w));
    *east = RADIAN * EQUATOR / sqrt(w) * cos(latitude * RADIAN);
}

/* m between two positions near each other, the short way. */
static double apart(const mbl_table *table, size_t i, size_t k)
{
    const double *latitude = table->x[MBL_LOG_LATITUDE];
    const double *longitude = table->x[MBL_LOG_LONGITUDE];
    double north = 0;
    double east = 0;
    mbl_degree_at(0.5 * (latitude[k] + latitude[i]), &north, &east);
    return hypot(north * (latitude[k] - latitude[i]),
                 east * remainder(longitude[k] - longitude[i], 360.0));
}

/* Distance with laps joined: where it falls, the car went on as fast as just before. */
static void join_laps(const mbl_table *table, double *out)
{
    const double *d = table->x[MBL_LOG_DISTANCE];
    const double *t = table->t;
    out[0] = 0;
    double speed = 0;
    for (size_t i = 1; i < table->n; i++) {
        double width = t[i] - t[i - 1];
        double step = d[i] - d[i - 1];
        if (step < 0)
            step = speed * width;
        else
            speed = step / width;
        out[i] = out[i - 1] + step;
    }
}

bool mbl_driven(const mbl_table *table, double *out)
{
    if (table->x[MBL_LOG_DISTANCE] != NULL) {
        join_laps(table, out);
        return true;
    }
    if (table->x[MBL_LOG_LATITUDE] == NULL || table->x[MBL_LOG_LONGITUDE] == NULL)
        return false;
    out[0] = 0;
    for (size_t i = 1; i < table->n; i++)
        out[i] = out[i - 1] + apart(table, i - 1, i);
    return true;
}

/* m, standard deviation of one fix. `work` has room for n. */
static double fix_noise(const mbl_table *table, const double *driven, double *work)
{
    if (table->base == MBL_LOG_DISTANCE) {
        double scatter = mbl_noise_level(table->t, driven, table->n, work);
        double step = mbl_noise_step(table->x[MBL_LOG_DISTANCE], table->n, work);
        return fmax(scatter, step / sqrt(12.0));
    }
    double north = 0;
    double east = 0;
    mbl_degree_at(table->x[MBL_LOG_LATITUDE][0], &north, &east);
    north *= mbl_noise_level(table->t, table->x[MBL_LOG_LATITUDE], table->n, work);
    east *= mbl_noise_level(table->t, table->x[MBL_LOG_LONGITUDE], table->n, work);
    return fmax(north, east);
}

/* Intervals over which speed is taken. */
static size_t choose_width(const mbl_table *table, const double *driven)
{
    double *work = table->work;
    double noise = fix_noise(table, driven, work);
    for (size_t i = 0; i + 1 < table->n; i++)
        work[i] = table->t[i + 1] - table->t[i];
    double typical = mbl_median(work, table->n - 1);
    double width = fmin(WIDEST, noise * sqrt(2.0) / GOOD_ENOUGH);
    double count = floor(width / typical + 0.5);
    return count < 1 ? 1 : count < (double)table->n / 2 ? (size_t)count : 1;
}

/* Column x at the middles of all intervals of `width` rows. */
static void move_to_middles(const mbl_table *table, mbl_log_role role, size_t width, double *x)
{
    const double *t = table->t;
    for (size_t i = 0, k = 0; i + width < table->n; i++) {
        double middle = 0.5 * (t[i] + t[i + width]);
        k = k < i ? i : k;
        while (k + 1 < table->n && t[k + 1] <= middle)
            k++;
        double rise = k + 1 < table->n ? x[k + 1] - x[k] : 0;
        bool holds = role == MBL_LOG_LAP || (role == MBL_LOG_DISTANCE && rise < 0) ||
                     (role == MBL_LOG_LONGITUDE && fabs(rise) > 180);
        /* k >= i: what is overwritten is not read again */
        x[i] = holds || rise == 0 ? x[k] : x[k] + rise * (middle - t[k]) / (t[k + 1] - t[k]);
    }
}

mbl_status mbl_derive_speed(mbl_table *table, mbl_error *err)
{
    size_t n = table->n;
    double *driven = mbl_arena_new(table->arena, n, sizeof *driven);
    if (driven == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for the distance of %zu rows", n);
    if (!mbl_driven(table, driven))
        return mbl_fail(err, MBL_INTERNAL, "nothing to work speed out from");
    size_t width = choose_width(table, driven);
    double *v = table->x[MBL_LOG_SPEED];
    for (size_t i = 0; i + width < n; i++) {
        double way = table->base == MBL_LOG_DISTANCE ? driven[i + width] - driven[i]
                                                     : apart(table, i, i + width);
        v[i] = way / (table->t[i + width] - table->t[i]);
    }
    for (int role = MBL_LOG_LAP; role < MBL_LOG_ROLES; role++)
        if (table->x[role] != NULL)
            move_to_middles(table, (mbl_log_role)role, width, table->x[role]);
    for (size_t i = 0; i + width < n; i++) {
        table->line[i] = table->line[i + width / 2];
        table->t[i] = 0.5 * (table->t[i] + table->t[i + width]);
    }
    table->n = n - width;
    table->column[MBL_LOG_SPEED].derived = true;
    table->column[MBL_LOG_SPEED].derived_from = table->base;
    return MBL_OK;
}
