/* SPDX-License-Identifier: MIT */
/*
 * Crossings of a start line that is given as one point. The path of the car passes such a point
 * at some distance, once a lap; where it comes nearest is the line, and between two fixes the
 * time of that is found on the straight between them. A neighbouring straight driven the other
 * way may be within reach too: the passage at the highest speed tells which way is the right one.
 */
#include "road/laps.h"

#include <math.h>

/* m from the point within which the car is on the line: a wide track and a poor fix. */
#define REACH 30.0

/* m driven between two crossings at least, less than any circuit. */
#define SHORTEST 200.0

/* m in a degree of latitude, of a sphere of the mean radius 6371.0 km (IUGG). */
#define DEGREE 111194.9

/* Cosine of the angle to the right direction below which the car goes another way. */
#define SAME_WAY 0.5

typedef struct point {
    double x, y; /* m east and north of the start point */
} point;

/* One approach to the point: from when the car comes within reach until it leaves. */
typedef struct passage {
    size_t next; /* row to go on from */
    double t;    /* s, nearest to the point */
    double v;    /* m/s there */
    point way;   /* unit vector */
} passage;

/* The path of a log about its start point. */
typedef struct path {
    const mbl_log *log;
    double east; /* m in a degree of longitude */
} path;

static point place(const path *p, size_t row)
{
    double east = p->log->longitude[row] - p->log->start_longitude;
    if (fabs(east) > 180)
        east = remainder(east, 360.0);
    return (point){p->east * east, DEGREE * (p->log->latitude[row] - p->log->start_latitude)};
}

/* Share of the way from a to b at which the straight is nearest to the origin; its distance. */
static double nearest(point a, point b, double *distance)
{
    point d = {b.x - a.x, b.y - a.y};
    double square = d.x * d.x + d.y * d.y;
    double share = square > 0 ? -(a.x * d.x + a.y * d.y) / square : 0;
    share = fmax(0, fmin(1, share));
    *distance = hypot(a.x + share * d.x, a.y + share * d.y);
    return share;
}

/* Does all of the straight from a to b lie beyond reach on one side? Most do. */
static bool beyond(point a, point b)
{
    return (a.x > REACH && b.x > REACH) || (a.x < -REACH && b.x < -REACH) ||
           (a.y > REACH && b.y > REACH) || (a.y < -REACH && b.y < -REACH);
}

/* The next approach from row `from` on; false when there is none. */
static bool next_passage(const path *p, size_t from, passage *out)
{
    const mbl_log *log = p->log;
    double best = INFINITY;
    point b = from < log->rows ? place(p, from) : (point){0, 0};
    for (size_t i = from; i + 1 < log->rows; i++) {
        point a = b;
        b = place(p, i + 1);
        double distance = INFINITY;
        double share = beyond(a, b) ? 0 : nearest(a, b, &distance);
        if (distance > REACH) {
            if (best < INFINITY)
                return true;
            continue;
        }
        double length = hypot(b.x - a.x, b.y - a.y);
        if (distance < best && length > 0) {
            best = distance;
            out->t = log->t[i] + share * (log->t[i + 1] - log->t[i]);
            out->v = log->v[i] + share * (log->v[i + 1] - log->v[i]);
            out->way = (point){(b.x - a.x) / length, (b.y - a.y) / length};
        }
        out->next = i + 1;
    }
    return best < INFINITY;
}

size_t mbl_start_line_crossings(const mbl_log *log, double *times, size_t room)
{
    if (!log->has_start_line || log->latitude == NULL || log->longitude == NULL)
        return 0;
    path whole = {log, DEGREE * cos(log->start_latitude * 3.141592653589793 / 180)};
    passage p = {0};
    passage right = {.v = -1};
    for (size_t from = 0; next_passage(&whole, from, &p); from = p.next)
        if (p.v > right.v)
            right = p;
    size_t n = 0;
    double driven = INFINITY;
    size_t row = 0;
    for (size_t from = 0; next_passage(&whole, from, &p); from = p.next) {
        for (; row + 1 < log->rows && log->t[row + 1] <= p.t; row++)
            driven += 0.5 * (log->v[row] + log->v[row + 1]) * (log->t[row + 1] - log->t[row]);
        if (p.way.x * right.way.x + p.way.y * right.way.y < SAME_WAY || driven < SHORTEST)
            continue;
        if (n < room)
            times[n] = p.t;
        n++;
        driven = 0;
    }
    return n;
}
