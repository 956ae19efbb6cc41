/* SPDX-License-Identifier: MIT */
#include "road/layout_tables.h"

#include "parts/rows.h"

#define TURN 6.283185307179586 /* rad */

/* m and 1/m: the ranges of mbl_layout_make */
#define TIGHTEST 3.0
#define SHORTEST 1e-3
#define LONGEST  1e6

/* m: what bends less is a straight, or a curve with its curvature given */
#define WIDEST 1e5

/* m from the origin of a map's grid */
#define FARTHEST 1e7

/* ---- pieces ---- */

#define T mbl_piece_shape
#define GRADE                                                                                      \
    NUMBER("grade", grade, MBL_DEFAULT, SHARE, -0.35, 0.35, 0,                                     \
           "rise over run, positive uphill: `3 %`", "")
#define SURFACE                                                                                    \
    NUMBER("surface", surface, MBL_OPTIONAL, SHARE, 0.2, 1.5, NAN,                                 \
           "factor on the grip of the tyres; that of the course when not given", "")
#define LENGTH(about_)                                                                             \
    NUMBER("length", length, MBL_REQUIRED, LENGTH, SHORTEST, LONGEST, 0, about_, "")
#define BANK(about_) NUMBER("bank", bank, MBL_DEFAULT, ANGLE, -TURN / 8, TURN / 8, 0, about_, "")

static const mbl_field straight_fields[] = {
    LENGTH("how long it is: `320 m`"),
    GRADE,
    BANK("cross slope, positive where the right-hand side is higher: `2 deg`"),
    SURFACE,
};

static const char *const sides[] = {"left", "right", NULL};

static const mbl_field arc_fields[] = {
    NUMBER("radius", radius, MBL_REQUIRED, LENGTH, TIGHTEST, WIDEST, 0,
           "of the line that is driven: `45 m`", ""),
    NUMBER("angle", angle, MBL_REQUIRED, ANGLE, TURN / 360000, TURN, 0,
           "how far the course turns: `90 deg`", ""),
    CHOICE("turn", turn, MBL_REQUIRED, sides, 0, "to which side it turns: left or right", ""),
    GRADE,
    BANK("cross slope, positive where the course leans into the turn: `4 deg`"),
    SURFACE,
};

static const mbl_field curve_fields[] = {
    LENGTH("how long it is: `10 m`"),
    NUMBER("from", from, MBL_REQUIRED, RATIO, -1 / TIGHTEST, 1 / TIGHTEST, 0,
           "one over the radius in m as it begins, positive to the left: `0.002`", ""),
    NUMBER("to", to, MBL_REQUIRED, RATIO, -1 / TIGHTEST, 1 / TIGHTEST, 0,
           "the same as it ends; in between it goes with the distance", ""),
    GRADE,
    BANK("cross slope, positive where the right-hand side is higher: `2 deg`"),
    SURFACE,
};
#undef T

#define SHAPE(symbol_, name_, fields_, about_)                                                     \
    static const mbl_schema symbol_ = {.name = (name_),                                            \
                                       .about = (about_),                                          \
                                       .size = sizeof(mbl_piece_shape),                            \
                                       .fields = (fields_),                                        \
                                       .nfields = COUNT_OF(fields_),                               \
                                       .present = AT(mbl_piece_shape, given)}
SHAPE(straight_schema, "straight", straight_fields, "A piece that does not turn.");
SHAPE(arc_schema, "arc", arc_fields, "A piece of one radius.");
SHAPE(curve_schema, "curve", curve_fields, "A piece whose bend tightens or opens evenly.");

#define PIECE(key_, member_, schema_, about_)                                                      \
    {                                                                                              \
        .key = (key_), .kind = MBL_FIELD_GROUP, .need = MBL_OPTIONAL,                              \
        .offset = AT(mbl_piece, member_), .sub = (schema_), .about = (about_), .source = ""        \
    }
static const mbl_field piece_fields[] = {
    PIECE("straight", straight, &straight_schema, "a straight: `straight: { length: 320 m }`"),
    PIECE("arc", arc, &arc_schema,
          "a bend of one radius: `arc: { radius: 45 m, angle: 90 deg, turn: left }`"),
    PIECE("curve", curve, &curve_schema,
          "a bend that tightens or opens: `curve: { length: 10 m, from: 0.002, to: 0.004 }`"),
};

static mbl_status piece_rules(const void *filled, mbl_error *err)
{
    const mbl_piece *p = filled;
    int given = p->straight.given + p->arc.given + p->curve.given;
    if (given == 0)
        return mbl_rule_broken(err, "", "empty; a piece is a straight, an arc or a curve");
    if (given > 1)
        return mbl_rule_broken(err, p->curve.given ? "curve" : "arc",
                               "a piece is one of straight, arc and curve; write the next one as "
                               "an item of its own, after a dash");
    return MBL_OK;
}

static SCHEMA(piece_schema, "piece", mbl_piece, piece_fields, piece_rules, "A piece of a course.");

/* ---- points ---- */

#define T mbl_point
static const mbl_field point_fields[] = {
    NUMBER("x", x, MBL_REQUIRED, LENGTH, -FARTHEST, FARTHEST, 0, "to the east, from anywhere", ""),
    NUMBER("y", y, MBL_REQUIRED, LENGTH, -FARTHEST, FARTHEST, 0, "to the north", ""),
    NUMBER("height", height, MBL_OPTIONAL, LENGTH, -500, 5000, NAN,
           "height of all points or of none: gives the grade", ""),
};
#undef T

static SCHEMA(point_schema, "point", mbl_point, point_fields, NULL, "A point of the centreline.");

/* ---- layout ---- */

#define T mbl_layout_said
static const mbl_field layout_fields[] = {
    {.key = "name",
     .kind = MBL_FIELD_TEXT,
     .need = MBL_REQUIRED,
     .offset = AT(T, name),
     .most = MBL_LAYOUT_TEXT,
     .about = "what the course is called",
     .source = ""},
    {.key = "note",
     .kind = MBL_FIELD_TEXT,
     .need = MBL_OPTIONAL,
     .offset = AT(T, note),
     .most = 4 * MBL_LAYOUT_TEXT,
     .about = "prose: where it comes from, what it is like",
     .source = ""},
    FLAG("closed", closed, 1, "whether it ends where it begins; else it is driven from rest"),
    NUMBER("surface", surface, MBL_DEFAULT, SHARE, 0.2, 1.5, 1,
           "factor on the grip of the tyres, of every piece that has none of its own", ""),
    NUMBER("start", start, MBL_DEFAULT, LENGTH, 0, LONGEST, 0,
           "where the start line is, along the pieces or points; closed courses only", ""),
    NUMBER("pit_entry", pit_entry, MBL_OPTIONAL, LENGTH, 0, LONGEST, NAN,
           "where the pit lane leaves, from the start line", ""),
    {.key = "splits",
     .kind = MBL_FIELD_NUMBERS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, splits),
     .quantity = MBL_Q_LENGTH,
     .lo = SHORTEST,
     .hi = LONGEST,
     .least = 1,
     .most = MBL_SPLITS_MOST,
     .about = "where times are taken, from the start line: `[ 800 m, 1.9 km ]`",
     .source = ""},
    {.key = "pieces",
     .kind = MBL_FIELD_ITEMS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, pieces),
     .least = 1,
     .most = MBL_LAYOUT_PIECES,
     .sub = &piece_schema,
     .about = "the pieces in the order in which they are driven; either these or points",
     .source = ""},
    {.key = "points",
     .kind = MBL_FIELD_ITEMS,
     .need = MBL_OPTIONAL,
     .offset = AT(T, points),
     .least = 8,
     .most = MBL_LAYOUT_POINTS,
     .sub = &point_schema,
     .about =
         "points of the centreline in order, each `[x, y]`, `[x, y, height]` or a map of these",
     .source = ""},
};
#undef T

SCHEMA(mbl_layout_schema, "layout", mbl_layout_said, layout_fields, NULL,
       "A course on paper: the line that is driven, from its pieces or from points of it.");
