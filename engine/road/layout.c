/* SPDX-License-Identifier: MIT */
#include "road/layout.h"

#include "road/layout_shape.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TIGHTEST      3.0                /* m, radius: less than a car's turning circle has */
#define STEEPEST      0.35               /* rise over run: as steep as paved roads get */
#define MOST_BANK     0.7853981633974483 /* rad, an eighth of a turn */
#define LEAST_SURFACE 0.2
#define MOST_SURFACE  1.5
#define SHORTEST      1e-3 /* m, of a stretch: below it is a slip, or the rounding of a cut */
#define LONGEST       1e6  /* m, of a whole course: bounds the walk along it */

/* ---- ranges ---- */

static mbl_status check_stretch(const mbl_stretch *s, size_t i, mbl_error *err)
{
    size_t nth = i + 1;
    double bend = fmax(fabs(s->curvature), fabs(s->bends_to));
    if (!(s->length >= SHORTEST && s->length <= LONGEST))
        return mbl_fail(err, MBL_INPUT, "stretch %zu is %g m long; a length is %g m to %.0f m", nth,
                        s->length, SHORTEST, LONGEST);
    if (!isfinite(s->curvature) || !isfinite(s->bends_to) || bend > 1 / TIGHTEST)
        return mbl_fail(err, MBL_INPUT,
                        "stretch %zu bends to a radius of %.3g m; make it at least %g m", nth,
                        1 / bend, TIGHTEST);
    if (!(fabs(s->grade) <= STEEPEST))
        return mbl_fail(err, MBL_INPUT,
                        "stretch %zu has a grade of %.4g (rise over run); it lies between -%g and "
                        "%g: check the heights",
                        nth, s->grade, STEEPEST, STEEPEST);
    if (!(fabs(s->bank) <= MOST_BANK))
        return mbl_fail(err, MBL_INPUT,
                        "stretch %zu has a bank of %.4g rad; it lies between -%.4g and %.4g", nth,
                        s->bank, MOST_BANK, MOST_BANK);
    if (!(s->surface >= LEAST_SURFACE && s->surface <= MOST_SURFACE))
        return mbl_fail(err, MBL_INPUT,
                        "stretch %zu has a surface of %.4g; it lies between %g and %g: 1 is the "
                        "grip as stated for the tyres",
                        nth, s->surface, LEAST_SURFACE, MOST_SURFACE);
    return MBL_OK;
}

static mbl_status check_marks(const mbl_layout_plan *plan, double length, mbl_error *err)
{
    if (!isnan(plan->pit_entry) && !(plan->pit_entry >= 0 && plan->pit_entry < length))
        return mbl_fail(err, MBL_INPUT,
                        "the pit entry at %.6g m is off the course, which is %.6g m long",
                        plan->pit_entry, length);
    if (plan->nsplits > MBL_SPLITS_MOST)
        return mbl_fail(err, MBL_INPUT, "%zu splits; there is room for %d", plan->nsplits,
                        (int)MBL_SPLITS_MOST);
    double before = 0;
    for (size_t i = 0; i < plan->nsplits; i++) {
        double at = plan->split[i];
        if (!(at > 0 && at < length))
            return mbl_fail(err, MBL_INPUT,
                            "split %zu at %.6g m is off the course, which is %.6g m long", i + 1,
                            at, length);
        if (at <= before)
            return mbl_fail(err, MBL_INPUT,
                            "split %zu at %.6g m does not come after the one at %.6g m: splits "
                            "stand in the order in which they are passed",
                            i + 1, at, before);
        before = at;
    }
    return MBL_OK;
}

static mbl_status check_plan(const mbl_layout_plan *plan, mbl_error *err)
{
    if (plan->n == 0)
        return mbl_fail(err, MBL_INPUT, "a course without a stretch; give it one at least");
    double length = 0;
    for (size_t i = 0; i < plan->n; i++) {
        MBL_TRY(check_stretch(&plan->stretch[i], i, err));
        length += plan->stretch[i].length;
    }
    if (length > LONGEST)
        return mbl_fail(err, MBL_INPUT, "the course is %.6g m long; at most %.0f m are taken",
                        length, LONGEST);
    return check_marks(plan, length, err);
}

/* ---- made ---- */

static void digest_marks(mbl_digest *d, const mbl_layout *layout)
{
    mbl_digest_count(d, layout->nsplits);
    for (size_t i = 0; i < layout->nsplits; i++)
        mbl_digest_number(d, layout->split[i]);
    bool pit = !isnan(layout->pit_entry);
    mbl_digest_count(d, pit);
    if (pit)
        mbl_digest_number(d, layout->pit_entry);
}

/* Number by number, so that 0 and -0 of a mirrored straight are alike. */
static mbl_digest digest_of(const mbl_layout *layout)
{
    mbl_digest d;
    mbl_digest_start(&d);
    mbl_digest_count(&d, layout->closed);
    mbl_digest_count(&d, layout->n);
    for (size_t i = 0; i < layout->n; i++) {
        const mbl_stretch *s = &layout->stretch[i];
        mbl_digest_number(&d, s->length);
        mbl_digest_number(&d, s->curvature);
        mbl_digest_number(&d, s->bends_to);
        mbl_digest_number(&d, s->grade);
        mbl_digest_number(&d, s->bank);
        mbl_digest_number(&d, s->surface);
    }
    digest_marks(&d, layout);
    return d;
}

static void measure(mbl_layout *layout)
{
    mbl_pose at = {0};
    for (size_t i = 0; i < layout->n; i++)
        at = mbl_stretch_walk(&layout->stretch[i], at, layout->stretch[i].length);
    layout->gap = hypot(at.east, at.north);
    layout->turned = at.heading;
}

/* Copies the plan, which is in order, behind the struct in one block. */
static mbl_layout *assemble(const mbl_alloc *alloc, const mbl_layout_plan *plan)
{
    /* what a size may not hold is memory that is not there */
    if (plan->n > (SIZE_MAX - sizeof(mbl_layout)) / (2 * sizeof(mbl_stretch)))
        return NULL;
    size_t bytes =
        sizeof(mbl_layout) + plan->n * sizeof(mbl_stretch) + (plan->n + 1) * sizeof(double);
    mbl_layout *layout = mbl_new(alloc, bytes, 1);
    if (layout == NULL)
        return NULL;
    mbl_stretch *stretch = (mbl_stretch *)(layout + 1);
    double *begin = (double *)(stretch + plan->n);
    memcpy(stretch, plan->stretch, plan->n * sizeof *stretch);
    for (size_t i = 0; i < plan->n; i++)
        begin[i + 1] = begin[i] + stretch[i].length;
    layout->alloc = alloc;
    layout->bytes = bytes;
    layout->refs = 1;
    snprintf(layout->name, sizeof layout->name, "%s", plan->name != NULL ? plan->name : "");
    snprintf(layout->note, sizeof layout->note, "%s", plan->note != NULL ? plan->note : "");
    layout->closed = plan->closed;
    layout->length = begin[plan->n];
    layout->n = plan->n;
    layout->stretch = stretch;
    layout->begin = begin;
    layout->pit_entry = plan->pit_entry;
    layout->nsplits = plan->nsplits;
    for (size_t i = 0; i < plan->nsplits; i++)
        layout->split[i] = plan->split[i];
    return layout;
}

mbl_status mbl_layout_make(const mbl_alloc *alloc, const mbl_layout_plan *plan, mbl_layout **out,
                           mbl_error *err)
{
    MBL_TRY(check_plan(plan, err));
    mbl_layout *layout = assemble(alloc, plan);
    if (layout == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory for a course of %zu stretches", plan->n);
    measure(layout);
    layout->digest = digest_of(layout);
    *out = layout;
    return MBL_OK;
}

mbl_layout *mbl_layout_keep(mbl_layout *layout)
{
    layout->refs++;
    return layout;
}

void mbl_layout_drop(mbl_layout *layout)
{
    if (layout != NULL && --layout->refs == 0)
        mbl_free(layout->alloc, layout, layout->bytes, 1);
}

/* ---- changed ---- */

mbl_layout_plan mbl_layout_planned(const mbl_layout *layout)
{
    return (mbl_layout_plan){.name = layout->name,
                             .note = layout->note,
                             .closed = layout->closed,
                             .n = layout->n,
                             .stretch = layout->stretch,
                             .pit_entry = layout->pit_entry,
                             .nsplits = layout->nsplits,
                             .split = layout->split};
}

mbl_status mbl_layout_mirror(const mbl_layout *layout, mbl_layout **out, mbl_error *err)
{
    mbl_stretch *mirrored = mbl_new(layout->alloc, layout->n, sizeof *mirrored);
    if (mirrored == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to mirror a course of %zu stretches",
                        layout->n);
    for (size_t i = 0; i < layout->n; i++) {
        mirrored[i] = layout->stretch[i];
        mirrored[i].curvature = 0 - mirrored[i].curvature;
        mirrored[i].bends_to = 0 - mirrored[i].bends_to;
        mirrored[i].bank = 0 - mirrored[i].bank;
    }
    mbl_layout_plan plan = mbl_layout_planned(layout);
    plan.stretch = mirrored;
    mbl_status status = mbl_layout_make(layout->alloc, &plan, out, err);
    mbl_free(layout->alloc, mirrored, layout->n, sizeof *mirrored);
    return status;
}

/* The stretch that `at` lies in. */
static size_t find(const mbl_layout *layout, double at)
{
    size_t i = 0;
    while (i + 1 < layout->n && layout->begin[i + 1] <= at)
        i++;
    return i;
}

/* A cut that would leave less than the shortest stretch is made at the end of that stretch. */
static double snap(const mbl_layout *layout, double at)
{
    size_t i = find(layout, at);
    if (at - layout->begin[i] < SHORTEST)
        return layout->begin[i];
    if (layout->begin[i + 1] - at < SHORTEST)
        return i + 1 < layout->n ? layout->begin[i + 1] : 0;
    return at;
}

/* The stretches from `shift` on, around to it; returns how many, at most n + 1. */
static size_t rotate(const mbl_layout *layout, double shift, mbl_stretch *out)
{
    size_t first = find(layout, shift);
    size_t n = 0;
    for (size_t k = 0; k < layout->n; k++)
        out[n++] = layout->stretch[(first + k) % layout->n];
    double before = shift - layout->begin[first];
    if (before <= 0)
        return n;
    const mbl_stretch *cut = &layout->stretch[first];
    double curvature = mbl_stretch_curvature(cut, before);
    out[0].length = cut->length - before;
    out[0].curvature = curvature;
    out[n] = *cut;
    out[n].length = before;
    out[n].bends_to = curvature;
    return n + 1;
}

/* `at` as seen from a start `shift` metres further on. */
static double moved(double at, double shift, double length)
{
    double to = at - shift;
    return to < 0 ? to + length : to;
}

/* Splits after the shift come first; one that falls on the new line is that line. */
static size_t move_splits(const mbl_layout *layout, double shift, double *out)
{
    size_t n = 0;
    for (int turn = 0; turn < 2; turn++) {
        for (size_t i = 0; i < layout->nsplits; i++) {
            double to = moved(layout->split[i], shift, layout->length);
            bool after = layout->split[i] > shift;
            if (after == (turn == 0) && to > 0 && to < layout->length)
                out[n++] = to;
        }
    }
    return n;
}

/* Sums of lengths in another order differ in the last digits: the end is not passed for that. */
static double sum_of(const mbl_stretch *stretch, size_t n)
{
    double length = 0;
    for (size_t i = 0; i < n; i++)
        length += stretch[i].length;
    return length;
}

mbl_status mbl_layout_shift(const mbl_layout *layout, double shift, mbl_layout **out,
                            mbl_error *err)
{
    if (!layout->closed)
        return mbl_fail(err, MBL_INPUT,
                        "an open course begins where it begins: only a closed one has a start "
                        "line that can be moved");
    if (!isfinite(shift))
        return mbl_fail(err, MBL_INPUT, "the start line cannot be moved by %g m", shift);
    shift = fmod(shift, layout->length);
    if (shift < 0)
        shift += layout->length;
    shift = shift < layout->length ? snap(layout, shift) : 0;
    mbl_stretch *rotated = mbl_new(layout->alloc, layout->n + 1, sizeof *rotated);
    if (rotated == NULL)
        return mbl_fail(err, MBL_MEMORY, "no memory to shift a course of %zu stretches", layout->n);
    double splits[MBL_SPLITS_MOST];
    mbl_layout_plan plan = mbl_layout_planned(layout);
    plan.n = rotate(layout, shift, rotated);
    plan.stretch = rotated;
    plan.nsplits = move_splits(layout, shift, splits);
    plan.split = splits;
    double length = sum_of(rotated, plan.n);
    if (!isnan(plan.pit_entry)) {
        double to = moved(layout->pit_entry, shift, layout->length);
        plan.pit_entry = to < length ? to : 0;
    }
    if (plan.nsplits > 0 && splits[plan.nsplits - 1] >= length)
        plan.nsplits--;
    mbl_status status = mbl_layout_make(layout->alloc, &plan, out, err);
    mbl_free(layout->alloc, rotated, layout->n + 1, sizeof *rotated);
    return status;
}
