/* SPDX-License-Identifier: MIT */
/*
 * What a layout's document says, bound: the field tables of docs/tracks.md. Private to the reader
 * of layouts, and to the test that keeps the document true.
 */
#ifndef MBL_ROAD_LAYOUT_TABLES_H
#define MBL_ROAD_LAYOUT_TABLES_H

#include "parts/schema.h"
#include "road/layout_read.h"

typedef enum mbl_side { MBL_SIDE_LEFT, MBL_SIDE_RIGHT } mbl_side;

/* One of three kinds; members that the kind has no key for are 0. */
typedef struct mbl_piece_shape {
    bool given;
    int turn;             /* mbl_side */
    double length;        /* m */
    double radius, angle; /* m, rad */
    double from, to;      /* 1/m, left positive */
    double grade;
    double bank;    /* rad, leaning into the turn; of a straight or a curve: right side higher */
    double surface; /* NAN: that of the course */
} mbl_piece_shape;

typedef struct mbl_piece {
    mbl_piece_shape straight, arc, curve;
} mbl_piece;

typedef struct mbl_point {
    double x, y;   /* m */
    double height; /* m, or NAN */
} mbl_point;

typedef struct mbl_layout_said {
    char name[MBL_LAYOUT_TEXT];
    char note[4 * MBL_LAYOUT_TEXT];
    bool closed;
    double surface;
    double start;     /* m */
    double pit_entry; /* m, or NAN */
    struct {
        size_t n;
        double v[MBL_SPLITS_MOST]; /* m */
    } splits;
    struct {
        size_t n;
        mbl_piece v[MBL_LAYOUT_PIECES];
    } pieces;
    struct {
        size_t n;
        mbl_point v[MBL_LAYOUT_POINTS];
    } points;
} mbl_layout_said;

extern const mbl_schema mbl_layout_schema;

#endif
