/* SPDX-License-Identifier: MIT */
/* A noisy curve as few straight or parabolic pieces that meet, each as long as noise allows. */
#ifndef MBL_ROAD_PIECES_H
#define MBL_ROAD_PIECES_H

#include "base/base.h"

/* One piece: c[0] + c[1] x + c[2] x^2 with x = t - origin. */
typedef struct mbl_piece {
    size_t first; /* first of its points */
    size_t count;
    int degree; /* 1 or 2 */
    double origin;
    double c[3];
} mbl_piece;

/* Pieces and the knots they meet at. Lives in the arena it was made in. */
typedef struct mbl_pieces {
    size_t n;
    mbl_piece *piece; /* (n) */
    double *knot;     /* (n + 1) s, strictly increasing */
    double *value;    /* (n + 1) speed at the knots */
    double *bulge;    /* (n) how far the middle of a piece lies above its chord */
} mbl_pieces;

/*
 * Cuts n >= 4 points (t strictly increasing) of noise `sigma` > 0 into pieces, finds where they
 * meet, and fits all of them at once. Fails with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_pieces_make(mbl_arena *arena, const double *t, const double *y,
                                         size_t n, double sigma, mbl_pieces *out, mbl_error *err);

/* The fitted curve at t, on piece i. */
double mbl_pieces_at(const mbl_pieces *pieces, size_t i, double t);

#endif
