/* SPDX-License-Identifier: MIT */
#include "support/layout_logger.h"

#include "support/drive.h"

#include <math.h>
#include <stdlib.h>

#define PI       3.141592653589793
#define GRAVITY  9.80665 /* m/s2, 3rd CGPM 1901 */
#define LATITUDE 12.5    /* degrees, of the start line */

typedef struct place {
    mbl_pose at;
    double height, curvature, v;
} place;

/* Metres in a degree of the WGS 84 ellipsoid (NIMA TR8350.2: 6378137 m, 1/298.257223563). */
static double degree(bool east)
{
    double f = 1 / 298.257223563;
    double e2 = f * (2 - f);
    double sine = sin(LATITUDE * PI / 180);
    double w = 1 - e2 * sine * sine;
    double a = 6378137.0 * PI / 180;
    return east ? a * cos(LATITUDE * PI / 180) / sqrt(w) : a * (1 - e2) / (w * sqrt(w));
}

/* Where the car is u seconds into a lap that began at `start`; *node and *i move on. */
static place at_time(const layout_drive *d, const place *begin, double u, size_t *node, size_t *i)
{
    const mbl_layout *l = d->layout;
    while (*node + 2 < d->n && d->t[*node + 1] <= u)
        ++*node;
    double dt = u - d->t[*node];
    double whole = d->t[*node + 1] - d->t[*node];
    double v = d->v[*node] + (d->v[*node + 1] - d->v[*node]) * dt / whole;
    double s = fmin(d->s[*node] + 0.5 * (d->v[*node] + v) * dt, l->length);
    while (*i + 1 < l->n && l->begin[*i + 1] <= s)
        ++*i;
    double along = s - l->begin[*i];
    return (place){.at = mbl_stretch_walk(&l->stretch[*i], begin[*i].at, along),
                   .height = begin[*i].height + along * l->stretch[*i].grade,
                   .curvature = mbl_stretch_curvature(&l->stretch[*i], along),
                   .v = v};
}

/* Where each stretch begins; begin[n] is the end. */
static void walk(const mbl_layout *l, place *begin, place from)
{
    begin[0] = from;
    for (size_t i = 0; i < l->n; i++) {
        begin[i + 1].at = mbl_stretch_walk(&l->stretch[i], begin[i].at, l->stretch[i].length);
        begin[i + 1].height = begin[i].height + l->stretch[i].grade * l->stretch[i].length;
    }
}

static void write_fix(const layout_logger *g, const place *p, size_t row, uint64_t *seed,
                      double fix[2], mbl_text *out)
{
    size_t every = g->every > 0 ? g->every : 1;
    double x = p->at.east + g->place * drive_normal(seed);
    double y = p->at.north + g->place * drive_normal(seed);
    if (row % every == 0) {
        fix[0] = LATITUDE + y / degree(false);
        fix[1] = -34.25 + (x + (g->stray > 0 && row % g->stray == 7 ? 80 : 0)) / degree(true);
    } else if (!g->held) {
        mbl_text_print(out, ",,");
        return;
    }
    mbl_text_print(out, ",%.8f,%.8f", fix[0], fix[1]);
}

static void write_row(const layout_logger *g, const place *p, double t, size_t row, size_t lap,
                      uint64_t *seed, double fix[2], mbl_text *out)
{
    mbl_text_print(out, "%.3f,%.3f,%zu", t, fmax(0, p->v + g->speed * drive_normal(seed)), lap);
    if (g->columns & LOG_POSITIONS)
        write_fix(g, p, row, seed, fix, out);
    if (g->columns & LOG_YAW)
        mbl_text_print(out, ",%.4f",
                       p->v * p->curvature * 180 / PI + g->yaw * drive_normal(seed) +
                           g->yaw_offset);
    if (g->columns & LOG_LATERAL)
        mbl_text_print(out, ",%.5f",
                       p->v * p->v * p->curvature / GRAVITY + g->lateral * drive_normal(seed));
    if (g->columns & LOG_ALTITUDE)
        mbl_text_print(out, ",%.2f", 200 + p->height);
    mbl_text_print(out, "\n");
}

void layout_log_write(const layout_drive *d, const layout_logger *g, mbl_text *out)
{
    uint64_t seed = g->seed;
    double fix[2] = {0};
    size_t row = 0;
    size_t rows = (size_t)((double)g->laps * d->t[d->n - 1] * g->rate);
    place *begin = calloc(d->layout->n + 1, sizeof *begin);
    if (begin == NULL)
        abort();
    walk(d->layout, begin, (place){0});
    mbl_text_print(out, "Time [s],Speed [m/s],Lap%s%s%s%s\n",
                   g->columns & LOG_POSITIONS ? ",Latitude,Longitude" : "",
                   g->columns & LOG_YAW ? ",Yaw rate [deg/s]" : "",
                   g->columns & LOG_LATERAL ? ",Lateral acceleration [g]" : "",
                   g->columns & LOG_ALTITUDE ? ",Altitude [m]" : "");
    for (size_t lap = 0; lap < g->laps; lap++) {
        double start = (double)lap * d->t[d->n - 1];
        size_t node = 0;
        size_t i = 0;
        for (; row < rows && (double)row / g->rate < start + d->t[d->n - 1]; row++) {
            place p = at_time(d, begin, (double)row / g->rate - start, &node, &i);
            write_row(g, &p, (double)row / g->rate, row, lap, &seed, fix, out);
        }
        walk(d->layout, begin, (place){begin[d->layout->n].at, 0, 0, 0});
    }
    free(begin);
}
