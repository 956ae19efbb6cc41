/* SPDX-License-Identifier: MIT */
#include "road/bend_draw.h"

#include <math.h>

/* m on either side of a fix by which the path is drawn. */
#define WINDOW 15.0

#define TURN (2 * 3.141592653589793)

/* Sums of a line through fixes; distances from one of them. */
typedef struct line {
    double n, s, a, b, ss, sa, sb;
} line;

static void add_to_line(line *l, const mbl_bend_fix *fix, double ds)
{
    l->n++;
    l->s += ds;
    l->a += fix->a;
    l->b += fix->b;
    l->ss += ds * ds;
    l->sa += ds * fix->a;
    l->sb += ds * fix->b;
}

/* Adds the places on one side of fix k: those within WINDOW, and one at least. */
static void add_side(line *l, const mbl_bend_fix *fix, size_t n, size_t k, bool ahead)
{
    bool any = false;
    for (size_t i = k; ahead ? i + 1 < n : i > 0;) {
        i = ahead ? i + 1 : i - 1;
        double ds = fix[i].s - fix[k].s;
        if (any && fabs(ds) > WINDOW)
            break;
        if (fix[i].kind != MBL_BEND_PLACE)
            continue;
        any = true;
        add_to_line(l, &fix[i], ds);
    }
}

/* Heading at fix k by the line through the fixes around it, and where it passes. */
static double draw_line(const mbl_bend_fix *fix, size_t n, size_t k, double *x, double *y)
{
    line l = {0};
    add_to_line(&l, &fix[k], 0);
    add_side(&l, fix, n, k, false);
    add_side(&l, fix, n, k, true);
    double spread = l.n * l.ss - l.s * l.s;
    double east = l.n * l.sa - l.s * l.a;
    double north = l.n * l.sb - l.s * l.b;
    *x = (l.a - (spread > 0 ? l.s * east / spread : 0)) / l.n;
    *y = (l.b - (spread > 0 ? l.s * north / spread : 0)) / l.n;
    return atan2(north, east);
}

/* The path between two places that are drawn, evenly turned. */
static void draw_between(const mbl_bend_fix *fix, double (*path)[MBL_BEND_STATE], size_t from,
                         size_t to)
{
    const double *a = path[from];
    const double *b = path[to];
    double length = fix[to].s - fix[from].s;
    double bend = length > 0 ? (b[MBL_BEND_HEADING] - a[MBL_BEND_HEADING]) / length : 0;
    for (size_t i = from; i < to; i++) {
        double share = length > 0 ? (fix[i].s - fix[from].s) / length : 0;
        double *x = path[i];
        for (int j = 0; i > from && j < MBL_BEND_CURVED; j++)
            x[j] = a[j] + share * (b[j] - a[j]);
        x[MBL_BEND_CURVED] = bend;
    }
}

void mbl_bend_draw(const mbl_bend_fix *fix, size_t n, double (*path)[MBL_BEND_STATE])
{
    size_t last = n;
    for (size_t k = 0; k < n; k++) {
        double *x = path[k];
        if (fix[k].kind != MBL_BEND_PLACE)
            continue;
        x[MBL_BEND_HEADING] = draw_line(fix, n, k, &x[MBL_BEND_EAST], &x[MBL_BEND_NORTH]);
        if (last < n) {
            double before = path[last][MBL_BEND_HEADING];
            x[MBL_BEND_HEADING] = before + remainder(x[MBL_BEND_HEADING] - before, TURN);
            draw_between(fix, path, last, k);
        }
        last = k;
    }
}
