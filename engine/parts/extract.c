/* SPDX-License-Identifier: MIT */
/* From a bound tree to structs, and the walk over its leaves. Neither can fail. */
#include "parts/bind.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

/* The node of a field in a bound map, which may be NULL. */
static const mbl_node *node_of(const mbl_field *field, const mbl_node *map)
{
    if (map == NULL)
        return NULL;
    if (field->key != NULL)
        return mbl_node_get(map, field->key);
    if (map->positional == NULL || field->kind == MBL_FIELD_ITEMS)
        return map->positional;
    return map->positional->count > 0 ? map->positional->items[0] : NULL;
}

static int choice_index(const mbl_field *field, const char *text)
{
    for (int i = 0; field->choices[i] != NULL; i++) {
        if (strcmp(field->choices[i], text) == 0)
            return i;
    }
    return -1;
}

static void put_int(const mbl_field *field, const mbl_node *node, void *at)
{
    int value = -1;
    if (node != NULL)
        value = node->kind == MBL_NODE_TEXT ? choice_index(field, node->text) : (int)node->number;
    else if (field->need == MBL_DEFAULT)
        value = (int)field->fallback;
    memcpy(at, &value, sizeof value);
}

static void put_text(const mbl_field *field, const mbl_node *node, char *at)
{
    const char *text = "";
    if (node != NULL)
        text = node->text;
    else if (field->need == MBL_DEFAULT && field->choices != NULL && field->choices[0] != NULL)
        text = field->choices[0];
    snprintf(at, mbl_field_room(field), "%s", text);
}

/* By bytes: the array is as long as the field says, which mbl_numbers may not be. */
static void put_numbers(const mbl_field *field, const mbl_node *node, char *at)
{
    size_t most = mbl_field_most(field);
    size_t n = 0;
    char *v = at + offsetof(mbl_numbers, v);
    if (node == NULL && field->need == MBL_DEFAULT)
        memcpy(v + n++ * sizeof(double), &field->fallback, sizeof(double));
    for (; node != NULL && n < node->count && n < most; n++)
        memcpy(v + n * sizeof(double), &node->items[n]->number, sizeof(double));
    memcpy(at, &n, sizeof n);
}

static void put_curve(const mbl_field *field, const mbl_node *node, mbl_curve *at)
{
    if (node == NULL && field->need == MBL_DEFAULT) {
        at->n = 1;
        at->y[0] = field->fallback;
    }
    for (size_t i = 0; node != NULL && i < node->count && i < MBL_CURVE_MAX; i++) {
        at->x[at->n] = node->items[i]->items[0]->number;
        at->y[at->n] = node->items[i]->items[1]->number;
        at->n++;
    }
    at->error = node != NULL ? node->number : 0;
}

static void fill(const mbl_schema *schema, const mbl_node *bound, bool present, char *out);

static void put_items(const mbl_field *field, const mbl_node *node, char *at)
{
    size_t most = mbl_field_most(field);
    size_t n = 0;
    for (; node != NULL && n < node->count && n < most; n++)
        fill(field->sub, node->items[n], true,
             at + offsetof(mbl_items, first) + n * field->sub->size);
    memcpy(at, &n, sizeof n);
}

static void put_field(const mbl_field *field, const mbl_node *node, char *at)
{
    double number = node != NULL                 ? node->number
                    : field->need == MBL_DEFAULT ? field->fallback
                                                 : (double)NAN;
    bool flag = node != NULL ? node->text != NULL && strcmp(node->text, "true") == 0
                             : field->need == MBL_DEFAULT && field->fallback != 0.0;
    switch (field->kind) {
    case MBL_FIELD_NUMBER:
        memcpy(at, &number, sizeof number);
        break;
    case MBL_FIELD_FLAG:
        memcpy(at, &flag, sizeof flag);
        break;
    case MBL_FIELD_COUNT:
    case MBL_FIELD_CHOICE:
        put_int(field, node, at);
        break;
    case MBL_FIELD_TEXT:
        put_text(field, node, at);
        break;
    case MBL_FIELD_NUMBERS:
        put_numbers(field, node, at);
        break;
    case MBL_FIELD_CURVE:
        put_curve(field, node, (mbl_curve *)(void *)at);
        break;
    case MBL_FIELD_GROUP:
    case MBL_FIELD_PART:
        fill(field->sub, node, node != NULL || field->need == MBL_DEFAULT, at);
        break;
    case MBL_FIELD_ITEMS:
        put_items(field, node, at);
        break;
    case MBL_FIELD_FILM:
    case MBL_FIELD_HANDLE: {
        void *object = node != NULL ? node->object : NULL;
        memcpy(at, &object, sizeof object);
        break;
    }
    case MBL_FIELD_LATER:
        break;
    }
}

static void fill(const mbl_schema *schema, const mbl_node *bound, bool present, char *out)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *field = &schema->fields[i];
        put_field(field, node_of(field, bound), out + field->offset);
    }
    if (schema->present >= 0)
        memcpy(out + schema->present, &present, sizeof present);
}

void mbl_extract(const mbl_schema *schema, const mbl_node *bound, void *out)
{
    /* zeroed once, here: a group may share the struct it is in, and must leave the rest alone */
    memset(out, 0, schema->size);
    fill(schema, bound, true, out);
}

/* One walk: where to report, and the path so far. */
typedef struct walk {
    mbl_visit visit;
    void *ctx;
    char path[256];
} walk;

static void walk_map(walk *w, const mbl_schema *schema, const mbl_node *bound);

/* Adds to the path and returns its old length, for taking it back. */
static size_t go_down(walk *w, const char *key)
{
    size_t n = strlen(w->path);
    const char *dot = n > 0 && key[0] != '[' ? "." : "";
    snprintf(w->path + n, sizeof w->path - n, "%s%s", dot, key);
    return n;
}

static void walk_items(walk *w, const mbl_field *field, const mbl_node *list)
{
    for (size_t i = 0; i < list->count; i++) {
        char index[24];
        snprintf(index, sizeof index, "[%zu]", i + 1);
        size_t n = go_down(w, index);
        walk_map(w, field->sub, list->items[i]);
        w->path[n] = '\0';
    }
}

static void walk_field(walk *w, const mbl_field *field, const mbl_node *node)
{
    bool nested = field->kind == MBL_FIELD_GROUP || field->kind == MBL_FIELD_PART;
    if (node == NULL && (field->need == MBL_OPTIONAL || field->need == MBL_REQUIRED))
        return;
    if (nested && (node != NULL || field->need == MBL_DEFAULT))
        walk_map(w, field->sub, node);
    else if (field->kind == MBL_FIELD_ITEMS && node != NULL && node->count > 0)
        walk_items(w, field, node);
    else
        w->visit(w->ctx, w->path, field, node,
                 node != NULL                 ? MBL_GIVEN
                 : field->need == MBL_DEFAULT ? MBL_DEFAULTED
                                              : MBL_INFERRED_HERE);
}

static void walk_map(walk *w, const mbl_schema *schema, const mbl_node *bound)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *field = &schema->fields[i];
        if (field->kind == MBL_FIELD_LATER || field->kind == MBL_FIELD_HANDLE)
            continue;
        const char *step = field->key != NULL               ? field->key
                           : field->kind == MBL_FIELD_ITEMS ? ""
                                                            : "[1]";
        size_t n = step[0] != '\0' ? go_down(w, step) : strlen(w->path);
        walk_field(w, field, node_of(field, bound));
        w->path[n] = '\0';
    }
}

void mbl_schema_walk(const mbl_schema *schema, const mbl_node *bound, mbl_visit visit, void *ctx)
{
    walk w = {.visit = visit, .ctx = ctx};
    walk_map(&w, schema, bound);
}
