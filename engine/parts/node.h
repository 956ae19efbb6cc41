/* SPDX-License-Identifier: MIT */
/*
 * The definition tree: what a script or a document said, before and after it is bound.
 *
 * A node is text, a number, a list, a map, or an opaque handle. Nodes are immutable once they
 * are part of a tree and reference counted, so a changed copy shares every branch that did not
 * change. Reference counts are plain integers: a tree belongs to one thread.
 *
 * Ownership: a function that returns a node returns one reference, the caller's to release. A
 * function that is given a child to store takes over the caller's reference, also on failure.
 */
#ifndef MBL_PARTS_NODE_H
#define MBL_PARTS_NODE_H

#include "base/base.h"

#include <stdbool.h>
#include <stddef.h>

struct mbl_schema;

typedef enum mbl_node_kind {
    MBL_NODE_TEXT,
    MBL_NODE_NUMBER,
    MBL_NODE_LIST,
    MBL_NODE_MAP,
    MBL_NODE_HANDLE
} mbl_node_kind;

typedef struct mbl_node mbl_node;
struct mbl_node {
    const mbl_alloc *alloc;
    unsigned refs;
    mbl_node_kind kind;
    int line;   /* 1-based line of the source document; 0 for a tree that comes from a script */
    int column; /* 1-based; 0 when unknown */

    /*
     * Set by mbl_bind on maps: the schema this map was checked against. Bound numbers are SI and
     * kelvin, and binding a bound map again keeps it as it is.
     */
    const struct mbl_schema *bound;

    char *text;    /* TEXT: zero-terminated. HANDLE: a tag that says what the object is */
    double number; /* NUMBER */
    bool si;       /* NUMBER: already SI and kelvin, units done */

    /* LIST and MAP. A map keeps its keys sorted by strcmp, each once. */
    size_t count; /* TEXT and HANDLE: bytes of `text` without the last zero */
    size_t capacity;
    mbl_node **items;
    char **keys; /* MAP only */

    /* MAP: the list part of a script's table that has both, else NULL. Only a schema that
     * declares a positional field accepts it. */
    mbl_node *positional;

    void *object; /* HANDLE: released with `release` when the last reference goes */
    void (*release)(void *object);
};

/* New nodes; NULL when memory runs out. */
mbl_node *mbl_node_text(const mbl_alloc *alloc, const char *text, size_t length);
mbl_node *mbl_node_number(const mbl_alloc *alloc, double number);
mbl_node *mbl_node_list(const mbl_alloc *alloc);
mbl_node *mbl_node_map(const mbl_alloc *alloc);
/* On failure `object` stays the caller's. */
mbl_node *mbl_node_handle(const mbl_alloc *alloc, const char *tag, void *object,
                          void (*release)(void *object));

/* The handle that removes a key when merged (el.none). */
mbl_node *mbl_node_none(const mbl_alloc *alloc);
bool mbl_node_is_none(const mbl_node *node);

mbl_node *mbl_node_keep(mbl_node *node); /* takes one more reference; returns node */
void mbl_node_drop(mbl_node *node);      /* gives one back; NULL is ignored */

/*
 * While a list or map is being built (before it is shared). Both take over the reference to
 * `item`, also on failure (false: out of memory, or for put: the key is there already).
 */
bool mbl_node_append(mbl_node *list, mbl_node *item);
bool mbl_node_put(mbl_node *map, const char *key, mbl_node *item);

/* Borrowed child, or NULL. */
const mbl_node *mbl_node_get(const mbl_node *map, const char *key);

/*
 * A copy of `base` changed by `patch`: plain maps merge key by key, lists, leaves and bound maps
 * of the patch replace, none removes. A list part replaces a list part; a list that meets a map
 * with a list part replaces only that. Branches that do not change are shared, and a patch that
 * changes nothing returns `base` itself. The result is unbound along every changed path (bind it
 * again). NULL when memory runs out.
 */
mbl_node *mbl_node_merge(const mbl_node *base, const mbl_node *patch);

#endif
