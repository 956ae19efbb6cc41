/* SPDX-License-Identifier: MIT */
#include "road/layout_read.h"

#include "parts/document.h"
#include "road/layout_closing.h"
#include "road/layout_spline.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static mbl_status no_memory(mbl_error *err)
{
    return mbl_fail(err, MBL_MEMORY, "no memory to read a course");
}

/* ---- as the field tables want it ---- */

static mbl_node *marked(mbl_node *node, const mbl_node *like)
{
    if (node != NULL) {
        node->line = like->line;
        node->column = like->column;
    }
    return node;
}

/* [x, y] or [x, y, height] as { x: , y: , height: }; anything else is left to the table. NULL: out
 * of memory. */
static mbl_node *plain_point(const mbl_node *raw)
{
    static const char *const keys[] = {"x", "y", "height"};
    if (raw->kind != MBL_NODE_LIST || (raw->count != 2 && raw->count != 3))
        return mbl_node_keep((mbl_node *)raw);
    mbl_node *map = marked(mbl_node_map(raw->alloc), raw);
    for (size_t i = 0; map != NULL && i < raw->count; i++) {
        if (!mbl_node_put(map, keys[i], mbl_node_keep(raw->items[i]))) {
            mbl_node_drop(map);
            return NULL;
        }
    }
    return map;
}

static mbl_node *plain_points(const mbl_node *raw)
{
    if (raw->kind != MBL_NODE_LIST)
        return mbl_node_keep((mbl_node *)raw);
    mbl_node *list = marked(mbl_node_list(raw->alloc), raw);
    for (size_t i = 0; list != NULL && i < raw->count; i++) {
        mbl_node *point = plain_point(raw->items[i]);
        if (point == NULL || !mbl_node_append(list, point)) {
            mbl_node_drop(list);
            return NULL;
        }
    }
    return list;
}

/* Prose that was broken over lines is one line. */
static mbl_node *plain_note(const mbl_node *raw)
{
    if (raw->kind != MBL_NODE_TEXT)
        return mbl_node_keep((mbl_node *)raw);
    mbl_node *node = marked(mbl_node_text(raw->alloc, raw->text, raw->count), raw);
    if (node == NULL)
        return NULL;
    while (node->count > 0 && node->text[node->count - 1] == '\n')
        node->text[--node->count] = '\0';
    for (size_t i = 0; i < node->count; i++)
        if (node->text[i] == '\n')
            node->text[i] = ' ';
    return node;
}

/* The document's map with points and note brought to what the tables take. */
static mbl_node *plain(const mbl_node *raw)
{
    if (raw->kind != MBL_NODE_MAP)
        return mbl_node_keep((mbl_node *)raw);
    mbl_node *map = marked(mbl_node_map(raw->alloc), raw);
    for (size_t i = 0; map != NULL && i < raw->count; i++) {
        const mbl_node *item = raw->items[i];
        mbl_node *fit = strcmp(raw->keys[i], "points") == 0 ? plain_points(item)
                        : strcmp(raw->keys[i], "note") == 0 ? plain_note(item)
                                                            : mbl_node_keep((mbl_node *)item);
        if (fit == NULL || !mbl_node_put(map, raw->keys[i], fit)) {
            mbl_node_drop(map);
            return NULL;
        }
    }
    return map;
}

/* ---- from what was said ---- */

/* Everything at hand while a layout is made. */
typedef struct maker {
    const mbl_alloc *alloc;
    mbl_arena arena;
    const mbl_node *root;        /* bound */
    const mbl_layout_said *said; /* the same, filled */
} maker;

/* Marks a failure as being at a key of the document. */
static mbl_status at_key(const maker *m, mbl_status status, const char *key, mbl_error *err)
{
    const mbl_node *node = mbl_node_get(m->root, key);
    mbl_error_at(err, NULL, node != NULL ? node->line : m->root->line,
                 node != NULL ? node->column : m->root->column);
    if (node != NULL)
        mbl_error_under(err, key);
    return status;
}

/* The spline says which point by its place in the list; the list knows the line. */
static mbl_status at_point(const maker *m, mbl_status status, mbl_error *err)
{
    const mbl_node *points = mbl_node_get(m->root, "points");
    size_t i = 0;
    if (err != NULL && sscanf(err->path, "[%zu]", &i) == 1 && i >= 1 && i <= points->count)
        mbl_error_at(err, NULL, points->items[i - 1]->line, points->items[i - 1]->column);
    return at_key(m, status, "points", err);
}

static mbl_stretch stretch_of(const mbl_piece *piece, double surface)
{
    const mbl_piece_shape *shape = piece->straight.given ? &piece->straight
                                   : piece->arc.given    ? &piece->arc
                                                         : &piece->curve;
    mbl_stretch s = {.length = shape->length,
                     .curvature = shape->from,
                     .bends_to = shape->to,
                     .grade = shape->grade,
                     .bank = shape->bank,
                     .surface = isnan(shape->surface) ? surface : shape->surface};
    if (piece->arc.given) {
        double side = shape->turn == MBL_SIDE_LEFT ? 1 : -1;
        s.length = shape->radius * shape->angle;
        s.curvature = s.bends_to = side / shape->radius;
        s.bank = shape->bank != 0 ? side * shape->bank : 0;
    }
    return s;
}

static mbl_status stretches_of(maker *m, mbl_stretch **out, size_t *n, mbl_error *err)
{
    const mbl_layout_said *said = m->said;
    if (said->pieces.n > 0 && said->points.n > 0) {
        (void)mbl_fail(err, MBL_INPUT,
                       "a course is drawn from pieces or from points, not from both; remove one");
        return at_key(m, MBL_INPUT, "points", err);
    }
    if (said->pieces.n == 0 && said->points.n == 0) {
        (void)mbl_fail(err, MBL_INPUT,
                       "nothing to drive on; give the course \"pieces\" (straights and arcs) or "
                       "\"points\" (places along its centreline)");
        return at_key(m, MBL_INPUT, "", err);
    }
    if (said->points.n > 0) {
        mbl_status status = mbl_layout_spline(&m->arena, said->points.v, said->points.n,
                                              said->closed, said->surface, out, n, err);
        return status == MBL_OK ? MBL_OK : at_point(m, status, err);
    }
    *n = said->pieces.n;
    *out = mbl_arena_new(&m->arena, *n, sizeof **out);
    if (*out == NULL)
        return no_memory(err);
    for (size_t i = 0; i < *n; i++)
        (*out)[i] = stretch_of(&said->pieces.v[i], said->surface);
    return MBL_OK;
}

static mbl_status check_place(const maker *m, const char *key, size_t nth, double at, double length,
                              double after, mbl_error *err)
{
    const mbl_node *node = mbl_node_get(m->root, key);
    char value[48];
    char index[24];
    mbl_units_show(MBL_Q_LENGTH, at, value);
    if (at >= length)
        (void)mbl_fail(err, MBL_INPUT, "%s is off the course, which is %.6g m long", value, length);
    else if (at <= after)
        (void)mbl_fail(err, MBL_INPUT,
                       "%s does not come after %.6g m; splits stand in the order in which they are "
                       "passed",
                       value, after);
    else
        return MBL_OK;
    if (node->kind == MBL_NODE_LIST) {
        mbl_error_at(err, NULL, node->items[nth]->line, node->items[nth]->column);
        snprintf(index, sizeof index, "[%zu]", nth + 1);
        mbl_error_under(err, index);
    }
    return at_key(m, MBL_INPUT, key, err);
}

static mbl_status check_places(const maker *m, double length, mbl_error *err)
{
    const mbl_layout_said *said = m->said;
    if (said->start > 0) {
        MBL_TRY(check_place(m, "start", 0, said->start, length, -1, err));
        if (!said->closed) {
            (void)mbl_fail(err, MBL_INPUT,
                           "an open course starts where it begins; remove this key, or cut the "
                           "pieces before it");
            return at_key(m, MBL_INPUT, "start", err);
        }
    }
    if (!isnan(said->pit_entry))
        MBL_TRY(check_place(m, "pit_entry", 0, said->pit_entry, length, -1, err));
    for (size_t i = 0; i < said->splits.n; i++)
        MBL_TRY(check_place(m, "splits", i, said->splits.v[i], length,
                            i > 0 ? said->splits.v[i - 1] : 0, err));
    return MBL_OK;
}

/* Turns the drawn course to its start line and puts its places on it. */
static mbl_status finish(const maker *m, const mbl_layout *drawn, mbl_layout **out, mbl_error *err)
{
    const mbl_layout_said *said = m->said;
    MBL_TRY(check_places(m, drawn->length, err));
    mbl_layout *turned = NULL;
    if (said->start > 0)
        MBL_TRY(mbl_layout_shift(drawn, said->start, &turned, err));
    mbl_layout_plan plan = mbl_layout_planned(turned != NULL ? turned : drawn);
    plan.pit_entry = said->pit_entry;
    plan.nsplits = said->splits.n;
    plan.split = said->splits.v;
    mbl_status status = mbl_layout_make(m->alloc, &plan, out, err);
    mbl_layout_drop(turned);
    return status;
}

static mbl_status draw(maker *m, mbl_layout **out, mbl_error *err)
{
    const mbl_layout_said *said = m->said;
    const char *key = said->pieces.n > 0 ? "pieces" : "points";
    mbl_stretch *stretch = NULL;
    mbl_layout_plan plan = {
        .name = said->name, .note = said->note, .closed = said->closed, .pit_entry = NAN};
    MBL_TRY(stretches_of(m, &stretch, &plan.n, err));
    plan.stretch = stretch;
    mbl_layout *drawn = NULL;
    mbl_status status = mbl_layout_make(m->alloc, &plan, &drawn, err);
    if (status == MBL_OK && said->closed && said->pieces.n > 0)
        status = mbl_layout_closes(drawn, said->pieces.v, err);
    if (status != MBL_OK)
        status = at_key(m, status, key, err);
    else
        status = finish(m, drawn, out, err);
    mbl_layout_drop(drawn);
    return status;
}

/* ---- the document ---- */

static mbl_status make(const mbl_alloc *alloc, const mbl_node *bound, mbl_layout **out,
                       mbl_error *err)
{
    mbl_layout_said *said = mbl_new(alloc, 1, sizeof *said);
    if (said == NULL)
        return no_memory(err);
    mbl_extract(&mbl_layout_schema, bound, said);
    maker m = {.alloc = alloc, .root = bound, .said = said};
    mbl_arena_init(&m.arena, alloc);
    mbl_status status = draw(&m, out, err);
    mbl_arena_free(&m.arena);
    mbl_free(alloc, said, 1, sizeof *said);
    return status;
}

/* The binder names the table where the key alone says little; here the file is that table. */
static void drop_owner(mbl_error *err)
{
    static const char owner[] = "layout.";
    size_t n = sizeof owner - 1;
    if (err != NULL && strncmp(err->path, owner, n) == 0)
        memmove(err->path, err->path + n, strlen(err->path + n) + 1);
}

/* Takes over `root`. */
static mbl_status bind_and_make(const mbl_alloc *alloc, mbl_node *root, mbl_layout **out,
                                mbl_error *err)
{
    mbl_node *fit = plain(root);
    mbl_node_drop(root);
    if (fit == NULL)
        return no_memory(err);
    mbl_node *bound = NULL;
    mbl_status status = mbl_bind(&mbl_layout_schema, fit, &bound, err);
    mbl_node_drop(fit);
    if (status == MBL_OK)
        status = make(alloc, bound, out, err);
    else
        drop_owner(err);
    mbl_node_drop(bound);
    return status;
}

mbl_status mbl_layout_parse(const mbl_alloc *alloc, const char *name, const char *bytes,
                            size_t size, mbl_layout **out, mbl_error *err)
{
    mbl_node *root = NULL;
    MBL_TRY(mbl_document_parse(alloc, name, bytes, size, &root, err));
    mbl_status status = bind_and_make(alloc, root, out, err);
    if (status != MBL_OK)
        mbl_error_at(err, name, 0, 0);
    return status;
}

mbl_status mbl_layout_read(const mbl_alloc *alloc, const char *path, mbl_layout **out,
                           mbl_error *err)
{
    mbl_node *root = NULL;
    MBL_TRY(mbl_document_read(alloc, path, &root, err));
    mbl_status status = bind_and_make(alloc, root, out, err);
    if (status != MBL_OK)
        mbl_error_at(err, path, 0, 0);
    return status;
}
