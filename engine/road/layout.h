/* SPDX-License-Identifier: MIT */
/*
 * A course on paper: what its centreline does along its length. Made from pieces, from points or
 * from a log; driven by drive/lap.h.
 *
 * A layout is cut into stretches. Within one the curvature is linear in distance (constant for a
 * straight or an arc), grade, bank and surface are constant. Where a property jumps, a stretch
 * ends.
 */
#ifndef MBL_ROAD_LAYOUT_H
#define MBL_ROAD_LAYOUT_H

#include "base/base.h"

typedef struct mbl_stretch {
    double length;    /* m, above 0 */
    double curvature; /* 1/m as it begins; positive: the course turns left */
    double bends_to;  /* 1/m as it ends */
    double grade;     /* rise over run, positive uphill */
    double bank;      /* rad, positive where the right-hand side is higher: it helps a left turn */
    double surface;   /* factor on the grip of the tyres; 1: what their grip is stated for */
} mbl_stretch;

enum { MBL_LAYOUT_TEXT = 256, MBL_SPLITS_MOST = 16 };

/* Immutable, one allocation, reference counted (one thread). Distances are from the start line. */
typedef struct mbl_layout {
    const mbl_alloc *alloc;
    size_t bytes;
    unsigned refs;
    mbl_digest digest; /* of all numbers that anything is driven by; not of name and note */

    char name[MBL_LAYOUT_TEXT];
    char note[4 * MBL_LAYOUT_TEXT]; /* prose; "" for none */
    bool closed;                    /* it ends where it begins: a flying lap; else from rest */
    double length;                  /* m */
    size_t n;
    const mbl_stretch *stretch; /* (n) in order, the first begins at the start line */
    const double *begin;        /* (n + 1) m, where each begins; begin[n] is the length */
    double pit_entry;           /* m from the start line; NAN: none */
    size_t nsplits;
    double split[MBL_SPLITS_MOST]; /* m, rising, within the length */
    /* what a drawing of it misses by; NAN where it was not drawn (a log without positions) */
    double gap;    /* m between its end and its start */
    double turned; /* rad turned in all, left positive: 2 pi for a closed course driven leftwards */
} mbl_layout;

/* What a layout is made of; `stretch` is copied. */
typedef struct mbl_layout_plan {
    const char *name, *note;
    bool closed;
    size_t n;
    const mbl_stretch *stretch;
    double pit_entry; /* NAN: none */
    size_t nsplits;
    const double *split;
} mbl_layout_plan;

/*
 * Fails with MBL_INPUT where a number is out of range (the message says which stretch and what to
 * change): no stretch, a length under 1 mm, over 1000 km in all, a radius under 3 m, a grade
 * steeper than 35 %, a bank over 45 degrees, surface outside 0.2 to 1.5, a split or pit entry off
 * the course, splits that do not rise. Whether a closed course closes is for the reader to judge by
 * `gap` and `turned`, which are integrated here (exact for arcs, by Simpson's rule in steps of at
 * most 1 m elsewhere).
 */
MBL_NODISCARD mbl_status mbl_layout_make(const mbl_alloc *alloc, const mbl_layout_plan *plan,
                                         mbl_layout **out, mbl_error *err);
mbl_layout *mbl_layout_keep(mbl_layout *layout);
void mbl_layout_drop(mbl_layout *layout); /* NULL is fine */

/* The plan it is made of; borrows from the layout. */
mbl_layout_plan mbl_layout_planned(const mbl_layout *layout);

/* Its mirror image: turns and banks change side. */
MBL_NODISCARD mbl_status mbl_layout_mirror(const mbl_layout *layout, mbl_layout **out,
                                           mbl_error *err);

/*
 * A closed course begun `shift` metres on, of either sign, to the end of a stretch where that is
 * less than 1 mm off; fails with MBL_INPUT for an open one.
 */
MBL_NODISCARD mbl_status mbl_layout_shift(const mbl_layout *layout, double shift, mbl_layout **out,
                                          mbl_error *err);

#endif
