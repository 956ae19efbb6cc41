/* SPDX-License-Identifier: MIT */
/*
 * Field tables and the one binder on them. A table says of every key: kind, unit, range,
 * default, and one sentence. Scripts and documents are bound by the same code, and the same
 * tables write docs/input.md.
 */
#ifndef MBL_PARTS_SCHEMA_H
#define MBL_PARTS_SCHEMA_H

#include "parts/law.h"
#include "parts/node.h"
#include "parts/units.h"

typedef enum mbl_field_kind {
    MBL_FIELD_NUMBER,  /* double, SI */
    MBL_FIELD_COUNT,   /* double in the tree, int in the struct */
    MBL_FIELD_FLAG,    /* true or false; bool */
    MBL_FIELD_CHOICE,  /* one of `choices`; int, the index */
    MBL_FIELD_TEXT,    /* char[MBL_TEXT_FIELD], or char[most] */
    MBL_FIELD_NUMBERS, /* list of numbers of one quantity; mbl_numbers, or with v[most] */
    MBL_FIELD_CURVE,   /* list of { x, y } pairs, x rising, or a function of x; mbl_curve */
    MBL_FIELD_FILM,    /* a function of speed and temperature, or one number, W/m2K;
                          const mbl_film_samples *, borrowed from the tree; NULL when absent */
    MBL_FIELD_GROUP,   /* nested map with a table of its own; its struct, by value, or the struct
                          of the schema itself at offset 0 */
    MBL_FIELD_PART,    /* a definition (made before, or a plain map); its struct, by value */
    MBL_FIELD_ITEMS,   /* list of maps (positional part allowed); see mbl_items */
    MBL_FIELD_HANDLE,  /* opaque object the host put there; void *, borrowed from the tree. The
                          node must be a handle whose tag is the key; not documented for users */
    MBL_FIELD_LATER    /* a key that is known but not yet modelled: always refused */
} mbl_field_kind;

enum { MBL_TEXT_FIELD = 256, MBL_NUMBERS_MAX = 8, MBL_CURVE_MAX = 64, MBL_ITEMS_MAX = 64 };

typedef struct mbl_numbers {
    size_t n;
    double v[MBL_NUMBERS_MAX];
} mbl_numbers;

/* y over x, x strictly rising, linear between points, flat outside. */
typedef struct mbl_curve {
    size_t n;
    double x[MBL_CURVE_MAX];
    double y[MBL_CURVE_MAX];
    double error; /* of y half way between the points, when a function was sampled; else 0 */
} mbl_curve;

/*
 * The struct of an ITEMS field is { size_t n; T v[most]; } with a T that holds a double, so that
 * v begins where `first` does here.
 */
typedef struct mbl_items {
    size_t n;
    double first;
} mbl_items;

/* What happens when a key is absent. */
typedef enum mbl_field_need {
    MBL_REQUIRED, /* an error */
    MBL_DEFAULT,  /* `fallback` is taken, and listed as an assumption; a GROUP or PART takes the
                     defaults of its own fields */
    MBL_INFERRED, /* worked out from other fields: the struct holds what OPTIONAL leaves */
    MBL_OPTIONAL  /* absent means absent: NAN, -1 for counts and choices, false, "", n = 0 for
                     lists; for groups and parts `present` false and fields as if all absent */
} mbl_field_need;

typedef struct mbl_field {
    /*
     * NULL for the positional part of a table, at most one in a schema: an ITEMS field takes the
     * whole of it, a NUMBER, CHOICE or TEXT its only item.
     */
    const char *key;
    mbl_field_kind kind;
    mbl_field_need need;
    size_t offset;         /* in the struct of the schema */
    mbl_quantity quantity; /* NUMBER, NUMBERS; the x of a CURVE */
    /*
     * Inclusive range in SI (kelvin); for lists, of each item; y of a CURVE. Both 0: no range. The
     * y of a CURVE has no unit and is read as a share, so that "38 %" is 0.38.
     */
    double lo, hi;
    /* DEFAULT, in SI; index of a CHOICE; 0 or 1 of a FLAG; the one value of a list or curve. */
    double x_lo, x_hi;         /* CURVE: where a function is sampled, SI */
    double usual_lo, usual_hi; /* where such a default usually lies, SI; both 0: not known */
    double fallback;
    /*
     * NUMBERS, CURVE, ITEMS: how many; most 0: MBL_..._MAX of them, which is all there is for a
     * CURVE. TEXT: most is the bytes of the array; 0: MBL_TEXT_FIELD.
     */
    size_t least, most;
    const char *const *choices;   /* CHOICE: NULL-terminated. TEXT: the first is the default */
    const struct mbl_schema *sub; /* GROUP, PART, ITEMS */
    const char *about;  /* one sentence, for the docs and the message when it is missing */
    const char *source; /* where the default or the rule comes from; "" when there is none */
} mbl_field;

typedef struct mbl_schema {
    const char *name;  /* "rotor" */
    const char *about; /* one sentence */
    size_t size;       /* of the struct */
    const mbl_field *fields;
    size_t nfields;
    ptrdiff_t present; /* offset of a bool set true by extract, or -1 */
    /*
     * Rules between fields, called with the filled struct; may be NULL. err is never NULL; after
     * mbl_fail the rule puts the key in front with mbl_error_under.
     */
    mbl_status (*rules)(const void *filled, mbl_error *err);
} mbl_schema;

/*
 * Checks `raw` against the schema and makes the bound tree: numbers in SI, choices and counts
 * checked, unknown keys refused with the nearest known one, LATER keys refused as "not yet
 * modelled". Bound branches of `raw` are taken as they are when their schema fits. `raw` is
 * borrowed. On failure err has the path below the definition ("rotor.ring_mass"), and the line
 * and column of the document where the node has them.
 */
MBL_NODISCARD mbl_status mbl_bind(const mbl_schema *schema, const mbl_node *raw, mbl_node **bound,
                                  mbl_error *err);

/*
 * Fills a struct of schema->size bytes from a bound tree; absent keys as `need` says. NULL is a
 * tree in which every key is absent.
 */
void mbl_extract(const mbl_schema *schema, const mbl_node *bound, void *out);

/* Where a value comes from. */
typedef enum mbl_origin { MBL_GIVEN, MBL_DEFAULTED, MBL_INFERRED_HERE } mbl_origin;

/*
 * Walks every leaf of the schema in table order, groups, parts and items included, and calls
 * visit(ctx, path, field, node, origin); node is NULL unless the value was given. An absent
 * OPTIONAL is no leaf, nor is a HANDLE; an INFERRED group or part that is absent is one. Used for
 * the list of assumptions.
 */
typedef void (*mbl_visit)(void *ctx, const char *path, const mbl_field *field, const mbl_node *node,
                          mbl_origin origin);
void mbl_schema_walk(const mbl_schema *schema, const mbl_node *bound, mbl_visit visit, void *ctx);

/*
 * Appends the table of a schema to `text` as Markdown (for docs/input.md): heading, sentence, one
 * row a key. Groups and items are unfolded as front.key and key[].key; a part names its schema.
 */
void mbl_schema_document(const mbl_schema *schema, mbl_text *text);

/* Its parts: the rows alone, the range of one key, and what is taken when it is absent. */
void mbl_schema_table(const mbl_schema *schema, mbl_text *text);
void mbl_field_range(const mbl_field *field, mbl_text *text);
void mbl_field_default(const mbl_field *field, mbl_text *text);

#endif
