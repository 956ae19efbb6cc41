/* SPDX-License-Identifier: MIT */
#include "road/layout_shape.h"

#include <math.h>

double mbl_stretch_curvature(const mbl_stretch *stretch, double along)
{
    double share = along / stretch->length;
    return (1 - share) * stretch->curvature + share * stretch->bends_to;
}

double mbl_stretch_turns(const mbl_stretch *stretch)
{
    return 0.5 * (stretch->curvature + stretch->bends_to) * stretch->length;
}

/* rad turned in the first `along` metres. */
static double turned_after(const mbl_stretch *stretch, double along)
{
    return 0.5 * (stretch->curvature + mbl_stretch_curvature(stretch, along)) * along;
}

/* By the chord, which has no difference of near-equal numbers as the bend becomes straight. */
static mbl_pose walk_arc(const mbl_stretch *stretch, mbl_pose from, double along)
{
    double half = 0.5 * stretch->curvature * along;
    double chord = half != 0 ? along * sin(half) / half : along;
    return (mbl_pose){.east = from.east + chord * cos(from.heading + half),
                      .north = from.north + chord * sin(from.heading + half),
                      .heading = from.heading + 2 * half};
}

mbl_pose mbl_stretch_walk(const mbl_stretch *stretch, mbl_pose from, double along)
{
    if (stretch->curvature == stretch->bends_to)
        return walk_arc(stretch, from, along);
    double steps = fmax(1, ceil(along));
    double step = along / steps;
    mbl_pose at = from;
    double heading = from.heading;
    for (double i = 0; i < steps; i++) {
        double middle = from.heading + turned_after(stretch, (i + 0.5) * step);
        double end = from.heading + turned_after(stretch, (i + 1) * step);
        at.east += step / 6 * (cos(heading) + 4 * cos(middle) + cos(end));
        at.north += step / 6 * (sin(heading) + 4 * sin(middle) + sin(end));
        heading = end;
    }
    at.heading = heading;
    return at;
}
