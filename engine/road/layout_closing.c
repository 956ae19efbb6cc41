/* SPDX-License-Identifier: MIT */
#include "road/layout_closing.h"

#include "parts/units.h"
#include "road/layout_shape.h"

#include <math.h>
#include <stdio.h>

#define TURN 6.283185307179586 /* rad */

#define MOST_TURN_OFF (TURN / 180)
#define MOST_GAP      0.01  /* of the length */
#define MOST_STEP     0.002 /* of the length, in height. Common practice, no source */

/* m: a change that would leave a straight shorter, or an arc tighter, is none. */
#define SHORTEST 1.0
#define TIGHTEST 3.0

/* Share of the gap that is allowed which one change alone may leave. */
#define LEFT 0.1

/* Pieces that are tried in pairs; courses drawn by hand have fewer. */
enum { LEVERS = 400 };

/* ---- turning ---- */

/* The arc with the greatest angle that has room for `more` to the left, or n. */
static size_t find_arc(const mbl_piece *pieces, size_t n, double more)
{
    size_t found = n;
    double widest = 0;
    for (size_t i = 0; i < n; i++) {
        const mbl_piece_shape *arc = &pieces[i].arc;
        double to = arc->angle + (arc->turn == MBL_SIDE_LEFT ? more : -more);
        if (arc->given && to > 0 && to <= TURN && arc->angle > widest) {
            widest = arc->angle;
            found = i;
        }
    }
    return found;
}

static mbl_status refuse_turning(const mbl_layout *layout, const mbl_piece *pieces, double more,
                                 mbl_error *err)
{
    char turned[48];
    char off[48];
    char advice[128] = "";
    mbl_units_show(MBL_Q_ANGLE, fabs(layout->turned), turned);
    mbl_units_show(MBL_Q_ANGLE, fabs(more), off);
    size_t i = find_arc(pieces, layout->n, more);
    if (i < layout->n) {
        const mbl_piece_shape *arc = &pieces[i].arc;
        char angle[48];
        mbl_units_show(MBL_Q_ANGLE, arc->angle + (arc->turn == MBL_SIDE_LEFT ? more : -more),
                       angle);
        snprintf(advice, sizeof advice, ", as pieces[%zu].arc with angle: %s would", i + 1, angle);
    }
    return mbl_fail(err, MBL_INPUT,
                    "the course turns %s to the %s in all, and a closed one turns 360 deg, a "
                    "multiple of it, or none; turn %s more to the %s%s (or say closed: false)",
                    turned, layout->turned < 0 ? "right" : "left", off, more < 0 ? "right" : "left",
                    advice);
}

/* ---- gap ---- */

/* What moves the end: the length of a straight, or the radius of an arc that turns as before. */
typedef struct lever {
    size_t piece;
    bool arc;
    double east, north; /* m by which the end moves for each m */
    double now, least;  /* m */
} lever;

/* The one or two levers that close the gap with the least change, and what they become. */
typedef struct closer {
    const lever *one, *two; /* NULL: not needed */
    double to_one, to_two;  /* m */
    double change;          /* m, of both */
} closer;

static void try_one(const lever *a, mbl_pose gap, double tolerance, closer *best)
{
    double size = hypot(a->east, a->north);
    if (size < 0.1) /* a full circle moves nothing */
        return;
    double by = -(gap.east * a->east + gap.north * a->north) / (size * size);
    double left = fabs(gap.east * a->north - gap.north * a->east) / size;
    if (left <= tolerance && fabs(by) < best->change && a->now + by >= a->least)
        *best = (closer){.one = a, .to_one = a->now + by, .change = fabs(by)};
}

static void try_pair(const lever *a, const lever *b, mbl_pose gap, closer *best)
{
    double across = a->east * b->north - a->north * b->east;
    if (fabs(across) < 0.2) /* nearly parallel: what closes a small gap is long */
        return;
    double one = -(gap.east * b->north - gap.north * b->east) / across;
    double two = -(a->east * gap.north - a->north * gap.east) / across;
    double change = fabs(one) + fabs(two);
    if (change >= best->change || a->now + one < a->least || b->now + two < b->least)
        return;
    *best = (closer){a, b, a->now + one, b->now + two, change};
}

static size_t find_levers(const mbl_layout *layout, const mbl_piece *pieces, bool arcs,
                          lever levers[LEVERS])
{
    size_t n = 0;
    double heading = 0;
    for (size_t i = 0; i < layout->n && n < LEVERS; i++) {
        const mbl_piece *p = &pieces[i];
        double turns = mbl_stretch_turns(&layout->stretch[i]);
        double middle = heading + turns / 2;
        double chord = 2 * sin(fabs(turns) / 2); /* for each m of radius */
        if (p->straight.given)
            levers[n++] =
                (lever){i, false, cos(heading), sin(heading), p->straight.length, SHORTEST};
        else if (p->arc.given && arcs)
            levers[n++] =
                (lever){i, true, chord * cos(middle), chord * sin(middle), p->arc.radius, TIGHTEST};
        heading += turns;
    }
    return n;
}

/* Lengths come first: a radius is seldom what was measured wrong. */
static closer find_closer(const mbl_layout *layout, const mbl_piece *pieces, mbl_pose gap,
                          lever levers[LEVERS])
{
    closer best = {.change = INFINITY};
    for (int arcs = 0; arcs < 2 && best.one == NULL; arcs++) {
        size_t n = find_levers(layout, pieces, arcs == 1, levers);
        for (size_t i = 0; i < n; i++)
            try_one(&levers[i], gap, LEFT * MOST_GAP * layout->length, &best);
        bool alone = best.one != NULL;
        for (size_t i = 0; i < n && !alone; i++)
            for (size_t j = i + 1; j < n; j++)
                try_pair(&levers[i], &levers[j], gap, &best);
    }
    return best;
}

static void say_lever(const lever *l, double to, char out[96])
{
    snprintf(out, 96, "pieces[%zu].%s with %s: %.2f m", l->piece + 1, l->arc ? "arc" : "straight",
             l->arc ? "radius" : "length", to);
}

static void advise(const closer *best, char out[256])
{
    char one[96];
    char two[96];
    if (best->one == NULL) {
        snprintf(out, 256,
                 "no two lengths or radii can close it: look at the angles and the order");
        return;
    }
    say_lever(best->one, best->to_one, one);
    if (best->two != NULL)
        say_lever(best->two, best->to_two, two);
    snprintf(out, 256, "%s%s%s would close it", one, best->two != NULL ? " and " : "",
             best->two != NULL ? two : "");
}

static mbl_status refuse_gap(const mbl_layout *layout, const mbl_piece *pieces, mbl_pose end,
                             mbl_error *err)
{
    lever levers[LEVERS];
    closer best = find_closer(layout, pieces, end, levers);
    char advice[256];
    advise(&best, advice);
    return mbl_fail(err, MBL_INPUT,
                    "the course ends %.1f m %s and %.1f m %s of its start, if that heads east: "
                    "%.1f m off, where 1 %% of its length is %.1f m; %s (or say closed: false)",
                    fabs(end.east), end.east < 0 ? "west" : "east", fabs(end.north),
                    end.north < 0 ? "south" : "north", layout->gap, MOST_GAP * layout->length,
                    advice);
}

/* ---- height ---- */

static mbl_status check_height(const mbl_layout *layout, mbl_error *err)
{
    double rise = 0;
    for (size_t i = 0; i < layout->n; i++)
        rise += layout->stretch[i].grade * layout->stretch[i].length;
    if (fabs(rise) <= MOST_STEP * layout->length)
        return MBL_OK;
    return mbl_fail(err, MBL_INPUT,
                    "the course ends %.1f m %s its start, where 0.2 %% of its length is %.1f m; "
                    "make the grades sum to nothing, as %.3g %% %s on each piece would",
                    fabs(rise), rise < 0 ? "below" : "above", MOST_STEP * layout->length,
                    100 * fabs(rise) / layout->length, rise < 0 ? "more" : "less");
}

mbl_status mbl_layout_closes(const mbl_layout *layout, const mbl_piece *pieces, mbl_error *err)
{
    double more = round(layout->turned / TURN) * TURN - layout->turned;
    if (fabs(more) > MOST_TURN_OFF)
        return refuse_turning(layout, pieces, more, err);
    if (layout->gap > MOST_GAP * layout->length) {
        mbl_pose end = {0};
        for (size_t i = 0; i < layout->n; i++)
            end = mbl_stretch_walk(&layout->stretch[i], end, layout->stretch[i].length);
        return refuse_gap(layout, pieces, end, err);
    }
    return check_height(layout, err);
}
