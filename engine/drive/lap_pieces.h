/* SPDX-License-Identifier: MIT */
/* A layout cut into pieces to be driven one by one, and the path that comes of it. Private to the
 * lap. */
#ifndef MBL_DRIVE_LAP_PIECES_H
#define MBL_DRIVE_LAP_PIECES_H

#include "drive/lap_limits.h"

typedef struct mbl_lap_piece {
    const mbl_lap_ground *ground;
    double s, length;  /* m, where it begins */
    double begin, end; /* 1/m */
} mbl_lap_piece;

typedef struct mbl_lap {
    const mbl_lap_ask *ask;
    mbl_lap_car car;
    bool closed;
    size_t n; /* pieces */
    mbl_lap_ground *ground;
    mbl_lap_piece *piece;
    double *limit, *pulled, *u; /* m2/s2 (n + 1): by tyres sideways, by what drives, and by all */
    double *gentle;             /* (n) factor on the deceleration */
    unsigned char *by;          /* (n) in the result */
    void *scratch;
    size_t bytes;
} mbl_lap;

/* Cuts the layout of lap->ask: everything but `by` is allocated, ground and pieces are filled. The
 * caller frees lap->scratch, of lap->bytes. */
MBL_NODISCARD mbl_status mbl_lap_cut(const mbl_alloc *alloc, mbl_lap *lap, mbl_error *err);

/* Where `part` of a piece is behind the car. */
mbl_lap_place mbl_lap_place_in(const mbl_lap_piece *piece, double part);

/* An empty path; NULL without memory. Its `by` is what lap->by writes. */
mbl_path *mbl_lap_path_new(const mbl_alloc *alloc, size_t pieces);
unsigned char *mbl_lap_path_by(mbl_path *path);

/* Filled from u and by. */
void mbl_lap_path_fill(const mbl_lap *lap, mbl_path *path);

#endif
