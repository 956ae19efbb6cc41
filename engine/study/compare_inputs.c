/* SPDX-License-Identifier: MIT */
#include "study/compare_inputs.h"

#include <stdio.h>
#include <string.h>

/* The walk over one run's leaves. */
typedef struct gatherer {
    mbl_given *inputs;
    size_t run, at; /* row after the one found last: runs have their keys in one order */
    bool failed;
} gatherer;

static mbl_given_row *insert(gatherer *g, const char *path, const mbl_field *field)
{
    mbl_given *in = g->inputs;
    if (in->n == in->room) {
        size_t room = in->room > 0 ? 2 * in->room : 128;
        mbl_given_row *row = mbl_resize(in->alloc, in->row, in->room, room, sizeof *row);
        if (row == NULL)
            return NULL;
        in->row = row;
        in->room = room;
    }
    mbl_given_row *row = &in->row[g->at];
    memmove(row + 1, row, (in->n++ - g->at) * sizeof *row);
    memset(row, 0, sizeof *row);
    snprintf(row->path, sizeof row->path, "%.95s", path);
    row->field = field;
    return row;
}

static void gather(void *ctx, const char *path, const mbl_field *field, const mbl_node *node,
                   mbl_origin origin)
{
    gatherer *g = ctx;
    mbl_given *in = g->inputs;
    if (g->failed || strncmp(path, "base", 4) == 0)
        return;
    size_t at = g->at;
    while (at < in->n && strncmp(in->row[at].path, path, MBL_GIVEN_PATH - 1) != 0)
        at++;
    mbl_given_row *row = at < in->n ? &in->row[at] : insert(g, path, field);
    if (row == NULL) {
        g->failed = true;
        return;
    }
    row->of[g->run] = (mbl_given_value){.there = true, .node = node, .origin = origin};
    g->at = (size_t)(row - in->row) + 1;
}

/* ---- what is alike ---- */

static bool same_node(const mbl_node *a, const mbl_node *b)
{
    if (a == b)
        return true;
    if (a == NULL || b == NULL || a->kind != b->kind || a->count != b->count)
        return false;
    switch (a->kind) {
    case MBL_NODE_TEXT:
        return strcmp(a->text, b->text) == 0;
    case MBL_NODE_NUMBER:
        return a->number == b->number;
    case MBL_NODE_HANDLE:
        return a->object == b->object;
    case MBL_NODE_LIST:
    case MBL_NODE_MAP:
        break;
    }
    for (size_t i = 0; i < a->count; i++) {
        bool keyed = a->kind == MBL_NODE_MAP;
        if (keyed && strcmp(a->keys[i], b->keys[i]) != 0)
            return false;
        if (!same_node(a->items[i], b->items[i]))
            return false;
    }
    return same_node(a->positional, b->positional);
}

/* Is a given value what is taken when none is? */
static bool is_default(const mbl_field *f, const mbl_node *node)
{
    switch (f->kind) {
    case MBL_FIELD_NUMBER:
    case MBL_FIELD_COUNT:
        return node->number == f->fallback;
    case MBL_FIELD_FLAG:
        return (strcmp(node->text, "true") == 0) == (f->fallback != 0);
    case MBL_FIELD_CHOICE:
        return strcmp(node->text, f->choices[(size_t)f->fallback]) == 0;
    default:
        return false;
    }
}

static bool alike(const mbl_field *f, const mbl_given_value *a, const mbl_given_value *b)
{
    /* of a part that only one has, what was given of it tells enough */
    if (!a->there || !b->there)
        return a->there == b->there || (a->node == NULL && b->node == NULL);
    if ((a->node == NULL) == (b->node == NULL))
        return same_node(a->node, b->node);
    const mbl_node *given = a->node != NULL ? a->node : b->node;
    mbl_origin other = a->node != NULL ? b->origin : a->origin;
    return other == MBL_DEFAULTED && is_default(f, given);
}

static bool differs(const mbl_given_row *row, size_t n)
{
    for (size_t i = 1; i < n; i++)
        if (!alike(row->field, &row->of[0], &row->of[i]))
            return true;
    return false;
}

mbl_status mbl_compare_inputs(const mbl_alloc *alloc, size_t n, const mbl_run *const runs[],
                              mbl_given *out, mbl_error *err)
{
    mbl_given in = {.alloc = alloc};
    gatherer g = {.inputs = &in};
    for (size_t i = 0; i < n; i++) {
        g.run = i;
        g.at = 0;
        mbl_schema_walk(&mbl_case_schema, runs[i]->tree, gather, &g);
    }
    if (g.failed) {
        mbl_given_free(&in);
        return mbl_fail(err, MBL_MEMORY, "out of memory comparing runs");
    }
    size_t kept = 0;
    for (size_t i = 0; i < in.n; i++)
        if (differs(&in.row[i], n))
            in.row[kept++] = in.row[i];
    in.n = kept;
    *out = in;
    return MBL_OK;
}

void mbl_given_free(mbl_given *in)
{
    mbl_free(in->alloc, in->row, in->room, sizeof *in->row);
    *in = (mbl_given){0};
}
