/* SPDX-License-Identifier: MIT */
#include "parts/node.h"

#include <string.h>

enum { FIRST_CAPACITY = 4 };

static const char NONE_TAG[] = "none";

static mbl_node *make(const mbl_alloc *alloc, mbl_node_kind kind)
{
    mbl_node *node = mbl_new(alloc, 1, sizeof *node);
    if (node == NULL)
        return NULL;
    node->alloc = alloc;
    node->refs = 1;
    node->kind = kind;
    return node;
}

static char *copy_text(const mbl_alloc *alloc, const char *text, size_t length)
{
    char *copy = mbl_new(alloc, length + 1, 1);
    if (copy != NULL && length > 0)
        memcpy(copy, text, length);
    return copy;
}

mbl_node *mbl_node_text(const mbl_alloc *alloc, const char *text, size_t length)
{
    mbl_node *node = make(alloc, MBL_NODE_TEXT);
    if (node == NULL)
        return NULL;
    node->text = copy_text(alloc, text, length);
    if (node->text == NULL) {
        mbl_node_drop(node);
        return NULL;
    }
    /* a script's text may hold zero bytes, so its length is kept and not measured again */
    node->count = length;
    return node;
}

mbl_node *mbl_node_number(const mbl_alloc *alloc, double number)
{
    mbl_node *node = make(alloc, MBL_NODE_NUMBER);
    if (node != NULL)
        node->number = number;
    return node;
}

mbl_node *mbl_node_list(const mbl_alloc *alloc)
{
    return make(alloc, MBL_NODE_LIST);
}

mbl_node *mbl_node_map(const mbl_alloc *alloc)
{
    return make(alloc, MBL_NODE_MAP);
}

mbl_node *mbl_node_handle(const mbl_alloc *alloc, const char *tag, void *object,
                          void (*release)(void *object))
{
    mbl_node *node = mbl_node_text(alloc, tag, strlen(tag));
    if (node == NULL)
        return NULL;
    node->kind = MBL_NODE_HANDLE;
    node->object = object;
    node->release = release;
    return node;
}

mbl_node *mbl_node_none(const mbl_alloc *alloc)
{
    return mbl_node_handle(alloc, NONE_TAG, NULL, NULL);
}

bool mbl_node_is_none(const mbl_node *node)
{
    return node != NULL && node->kind == MBL_NODE_HANDLE && node->object == NULL &&
           strcmp(node->text, NONE_TAG) == 0;
}

mbl_node *mbl_node_keep(mbl_node *node)
{
    if (node != NULL)
        node->refs++;
    return node;
}

void mbl_node_drop(mbl_node *node)
{
    if (node == NULL || --node->refs > 0)
        return;
    const mbl_alloc *alloc = node->alloc;
    if (node->text != NULL)
        mbl_free(alloc, node->text, node->count + 1, 1);
    if (node->release != NULL)
        node->release(node->object);
    if (node->items != NULL) {
        for (size_t i = 0; i < node->count; i++) {
            mbl_node_drop(node->items[i]);
            if (node->keys != NULL)
                mbl_free(alloc, node->keys[i], strlen(node->keys[i]) + 1, 1);
        }
        mbl_free(alloc, node->items, node->capacity, sizeof(mbl_node *));
        mbl_free(alloc, node->keys, node->capacity, sizeof(char *));
    }
    mbl_node_drop(node->positional);
    mbl_free(alloc, node, 1, sizeof *node);
}

/*
 * Makes room for one more item, and for its key in a map. Both arrays have one capacity, so the
 * keys move to a fresh array first: when the items then cannot grow, nothing has changed.
 */
static bool reserve(mbl_node *node)
{
    if (node->count < node->capacity)
        return true;
    const mbl_alloc *alloc = node->alloc;
    size_t capacity = node->capacity == 0 ? FIRST_CAPACITY : node->capacity * 2;
    char **keys = NULL;
    if (node->kind == MBL_NODE_MAP) {
        keys = mbl_new(alloc, capacity, sizeof *keys);
        if (keys == NULL)
            return false;
    }
    mbl_node **items = mbl_resize(alloc, node->items, node->capacity, capacity, sizeof *items);
    if (items == NULL) {
        mbl_free(alloc, keys, capacity, sizeof *keys);
        return false;
    }
    if (keys != NULL) {
        if (node->count > 0)
            memcpy(keys, node->keys, node->count * sizeof *keys);
        mbl_free(alloc, node->keys, node->capacity, sizeof *keys);
        node->keys = keys;
    }
    node->items = items;
    node->capacity = capacity;
    return true;
}

bool mbl_node_append(mbl_node *list, mbl_node *item)
{
    if (item == NULL || !reserve(list)) {
        mbl_node_drop(item);
        return false;
    }
    list->items[list->count++] = item;
    return true;
}

/* Where `key` is or belongs in the sorted keys. */
static size_t place(const mbl_node *map, const char *key, bool *found)
{
    size_t lo = 0;
    size_t hi = map->count;
    *found = false;
    while (lo < hi) {
        size_t mid = lo + (hi - lo) / 2;
        int order = strcmp(map->keys[mid], key);
        if (order == 0) {
            *found = true;
            return mid;
        }
        if (order < 0)
            lo = mid + 1;
        else
            hi = mid;
    }
    return lo;
}

bool mbl_node_put(mbl_node *map, const char *key, mbl_node *item)
{
    bool found = false;
    size_t at = place(map, key, &found);
    if (item == NULL || found || !reserve(map)) {
        mbl_node_drop(item);
        return false;
    }
    char *copy = copy_text(map->alloc, key, strlen(key));
    if (copy == NULL) {
        mbl_node_drop(item);
        return false;
    }
    size_t after = map->count - at;
    memmove(map->items + at + 1, map->items + at, after * sizeof *map->items);
    memmove(map->keys + at + 1, map->keys + at, after * sizeof *map->keys);
    map->items[at] = item;
    map->keys[at] = copy;
    map->count++;
    return true;
}

const mbl_node *mbl_node_get(const mbl_node *map, const char *key)
{
    if (map == NULL || map->kind != MBL_NODE_MAP)
        return NULL;
    bool found = false;
    size_t at = place(map, key, &found);
    return found ? map->items[at] : NULL;
}

/* One more reference to a node seen as const: the count is bookkeeping, not content. */
static mbl_node *share(const mbl_node *node)
{
    return mbl_node_keep((mbl_node *)node);
}

static bool is_plain_map(const mbl_node *node)
{
    return node != NULL && node->kind == MBL_NODE_MAP && node->bound == NULL;
}

static mbl_node *merge_maps(const mbl_node *base, const mbl_node *patch);

/* The child that `patch` makes of `base` (NULL when the key is new). */
static mbl_node *merge_child(const mbl_node *base, const mbl_node *patch)
{
    if (patch->kind == MBL_NODE_LIST && base != NULL && base->kind == MBL_NODE_MAP &&
        base->positional != NULL) {
        /* a script's { "a", "b" } is the list part of a table, here without any keys to change */
        if (patch->count == 0)
            return share(base);
        mbl_node *wrapped = mbl_node_map(patch->alloc);
        if (wrapped == NULL)
            return NULL;
        wrapped->positional = share(patch);
        mbl_node *merged = merge_maps(base, wrapped);
        mbl_node_drop(wrapped);
        return merged;
    }
    if (!is_plain_map(patch))
        return share(patch);
    /* a map that meets no map is still merged, onto nothing, so that `none` never stays inside */
    return merge_maps(base != NULL && base->kind == MBL_NODE_MAP ? base : NULL, patch);
}

/* Puts the children of both maps into `merged`; *changed when it differs from `base`. */
static bool merge_into(mbl_node *merged, const mbl_node *base, const mbl_node *patch, bool *changed)
{
    for (size_t i = 0; base != NULL && i < base->count; i++) {
        if (mbl_node_get(patch, base->keys[i]) == NULL &&
            !mbl_node_put(merged, base->keys[i], share(base->items[i])))
            return false;
    }
    for (size_t i = 0; i < patch->count; i++) {
        const mbl_node *old = mbl_node_get(base, patch->keys[i]);
        if (mbl_node_is_none(patch->items[i])) {
            *changed = *changed || old != NULL;
            continue;
        }
        mbl_node *child = merge_child(old, patch->items[i]);
        if (child == NULL)
            return false;
        *changed = *changed || child != old;
        if (!mbl_node_put(merged, patch->keys[i], child))
            return false;
    }
    const mbl_node *old = base == NULL ? NULL : base->positional;
    merged->positional = share(patch->positional != NULL ? patch->positional : old);
    *changed = *changed || merged->positional != old;
    return true;
}

static mbl_node *merge_maps(const mbl_node *base, const mbl_node *patch)
{
    const mbl_node *model = base != NULL ? base : patch;
    mbl_node *merged = mbl_node_map(model->alloc);
    if (merged == NULL)
        return NULL;
    merged->line = model->line;
    merged->column = model->column;
    bool changed = base == NULL;
    if (!merge_into(merged, base, patch, &changed)) {
        mbl_node_drop(merged);
        return NULL;
    }
    if (!changed) {
        mbl_node_drop(merged);
        return share(base);
    }
    return merged;
}

mbl_node *mbl_node_merge(const mbl_node *base, const mbl_node *patch)
{
    return merge_child(base, patch);
}
