/* SPDX-License-Identifier: MIT */
/*
 * Binding goes from the leaves up: a map is bound when all its children are, and its rules then
 * see a filled struct. A child that is bound already is taken as it is, so after a merge only the
 * maps along the changed path are checked again, and the rules of each of them.
 */
#include "parts/bind.h"

#include "parts/say.h"

#include <stdio.h>
#include <string.h>

static mbl_status bind_map(const mbl_schema *schema, const mbl_node *raw, mbl_node **bound,
                           mbl_error *err);

static const mbl_field *find_field(const mbl_schema *schema, const char *key)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const char *known = schema->fields[i].key;
        if (known != NULL && strcmp(known, key) == 0)
            return &schema->fields[i];
    }
    return NULL;
}

/* Is this a key that people are told about? */
static bool is_offered(const mbl_field *field)
{
    return field->key != NULL && field->kind != MBL_FIELD_LATER && field->kind != MBL_FIELD_HANDLE;
}

static const mbl_field *positional_field(const mbl_schema *schema)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        if (schema->fields[i].key == NULL)
            return &schema->fields[i];
    }
    return NULL;
}

/* Marks a failure as being at `key`, in the document at `node`; returns the status. */
static mbl_status at_key(mbl_status status, const char *key, const mbl_node *node, mbl_error *err)
{
    if (node != NULL)
        mbl_error_at(err, NULL, node->line, node->column);
    mbl_error_under(err, key);
    return status;
}

/* Writes the known keys into out, as many as fit, and how many more there are. */
static void list_keys(const mbl_schema *schema, char *out, size_t room)
{
    size_t used = 0;
    size_t left = 0;
    out[0] = '\0';
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *field = &schema->fields[i];
        if (!is_offered(field))
            continue;
        size_t need = strlen(field->key) + 2;
        if (left > 0 || used + need >= room) {
            left++;
            continue;
        }
        snprintf(out + used, room - used, "%s%s", used > 0 ? ", " : "", field->key);
        used += strlen(out + used);
    }
    if (left > 0) {
        char more[32];
        snprintf(more, sizeof more, " and %zu more", left);
        size_t n = strlen(more);
        if (used + n >= room)
            used = room - n - 1;
        memcpy(out + used, more, n + 1);
    }
}

/* The accepted key a misspelt one stands for, or NULL. */
static const char *nearest_key(const mbl_schema *schema, const char *key)
{
    const char *best = NULL;
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *field = &schema->fields[i];
        if (!is_offered(field))
            continue;
        const char *pair[2] = {field->key, best};
        const char *nearer = mbl_nearest(key, pair, best == NULL ? 1 : 2);
        if (nearer != NULL)
            best = best != NULL && mbl_distance(key, best) <= mbl_distance(key, nearer) ? best
                                                                                        : nearer;
    }
    return best;
}

static mbl_status refuse_key(const mbl_schema *schema, const mbl_node *raw, size_t i,
                             mbl_error *err)
{
    const char *key = raw->keys[i];
    const mbl_field *field = find_field(schema, key);
    char said[MBL_SAY];
    mbl_say_text(key, said);
    if (field != NULL && field->kind == MBL_FIELD_LATER) {
        (void)mbl_fail(err, MBL_INPUT,
                       "%s is not yet modelled; remove it (a key is accepted only once it changes "
                       "a result)",
                       said);
        return at_key(MBL_INPUT, key, raw->items[i], err);
    }
    const char *meant = nearest_key(schema, key);
    char known[400];
    list_keys(schema, known, sizeof known);
    if (meant != NULL)
        (void)mbl_fail(err, MBL_INPUT, "unknown key %s; did you mean \"%s\"?", said, meant);
    else
        (void)mbl_fail(err, MBL_INPUT, "unknown key %s; %s %s takes: %s", said,
                       mbl_say_a(schema->name), schema->name, known);
    /* the path is printed to a terminal: what cannot be shown in it is left to the message */
    bool fits = strlen(key) < MBL_SAY && mbl_say_clean(key, strlen(key));
    return at_key(MBL_INPUT, fits ? key : "?", raw->items[i], err);
}

/* The object that the host, and nobody else, puts under a HANDLE key. */
static bool is_own_handle(const mbl_field *field, const mbl_node *node)
{
    return node->kind == MBL_NODE_HANDLE && strcmp(node->text, field->key) == 0;
}

static mbl_status check_keys(const mbl_schema *schema, const mbl_node *raw, mbl_error *err)
{
    for (size_t i = 0; raw->kind == MBL_NODE_MAP && i < raw->count; i++) {
        const mbl_field *field = find_field(schema, raw->keys[i]);
        if (field == NULL || field->kind == MBL_FIELD_LATER ||
            (field->kind == MBL_FIELD_HANDLE && !is_own_handle(field, raw->items[i])))
            return refuse_key(schema, raw, i, err);
    }
    return MBL_OK;
}

static mbl_status bind_item(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                            mbl_error *err)
{
    /* an item that is one word needs no table around it: { "crack", "boiled" } */
    if (raw->kind != MBL_NODE_TEXT || field->sub->nfields != 1 || field->sub->fields[0].key != NULL)
        return bind_map(field->sub, raw, bound, err);
    mbl_node *around = mbl_node_list(raw->alloc);
    if (around == NULL)
        return mbl_bind_memory(err);
    around->line = raw->line;
    around->column = raw->column;
    mbl_status status = mbl_node_append(around, mbl_node_keep((mbl_node *)raw))
                            ? bind_map(field->sub, around, bound, err)
                            : mbl_bind_memory(err);
    mbl_node_drop(around);
    return status;
}

static mbl_status bind_field(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                             mbl_error *err)
{
    if (field->kind == MBL_FIELD_GROUP || field->kind == MBL_FIELD_PART)
        return bind_map(field->sub, raw, bound, err);
    if (field->kind == MBL_FIELD_ITEMS)
        return mbl_bind_list(field, raw, field->sub->name, bind_item, bound, err);
    if (field->kind == MBL_FIELD_HANDLE) {
        *bound = mbl_node_keep((mbl_node *)raw);
        return MBL_OK;
    }
    return mbl_bind_value(field, raw, bound, err);
}

static mbl_status missing(const mbl_field *field, mbl_error *err)
{
    /* the sentence of the table, without its full stop, between brackets */
    size_t n = strlen(field->about);
    if (n > 0 && field->about[n - 1] == '.')
        n--;
    if (field->key == NULL)
        return mbl_fail(err, MBL_INPUT, "missing: the first value without a key (%.*s)", (int)n,
                        field->about);
    return mbl_fail(err, MBL_INPUT, "missing: \"%s\" (%.*s)", field->key, (int)n, field->about);
}

static mbl_status bind_key(const mbl_field *field, const mbl_node *raw, mbl_node *fresh,
                           mbl_error *err)
{
    const mbl_node *node = mbl_node_get(raw, field->key);
    mbl_status status = MBL_OK;
    mbl_node *bound = NULL;
    if (node == NULL || mbl_node_is_none(node)) {
        if (field->need != MBL_REQUIRED)
            return MBL_OK;
        return at_key(missing(field, err), field->key, raw, err);
    }
    status = bind_field(field, node, &bound, err);
    if (status == MBL_OK && !mbl_node_put(fresh, field->key, bound))
        status = mbl_bind_memory(err);
    return status == MBL_OK ? MBL_OK : at_key(status, field->key, node, err);
}

/* The list part of a table: a list of maps, or the one value that needs no key. */
static mbl_status bind_positional(const mbl_field *field, const mbl_node *list, mbl_node *fresh,
                                  mbl_error *err)
{
    if (list == NULL || list->count == 0)
        return field->need == MBL_REQUIRED ? missing(field, err) : MBL_OK;
    if (field->kind == MBL_FIELD_ITEMS)
        return bind_field(field, list, &fresh->positional, err);
    if (list->count > 1) {
        (void)mbl_fail(err, MBL_INPUT,
                       "only one value is taken without a key; write the others as "
                       "key = value");
        return at_key(MBL_INPUT, "[2]", list->items[1], err);
    }
    mbl_node *bound = NULL;
    mbl_status status = bind_field(field, list->items[0], &bound, err);
    if (status != MBL_OK)
        return at_key(status, "[1]", list->items[0], err);
    if (bound == list->items[0]) {
        mbl_node_drop(bound);
        fresh->positional = mbl_node_keep((mbl_node *)list);
        return MBL_OK;
    }
    fresh->positional = mbl_node_list(list->alloc);
    if (fresh->positional == NULL) {
        mbl_node_drop(bound);
        return mbl_bind_memory(err);
    }
    return mbl_node_append(fresh->positional, bound) ? MBL_OK : mbl_bind_memory(err);
}

/* Runs the rules of the schema on the struct that `fresh` fills. */
static mbl_status check_rules(const mbl_schema *schema, const mbl_node *fresh, mbl_error *err)
{
    if (schema->rules == NULL)
        return MBL_OK;
    void *filled = mbl_new(fresh->alloc, 1, schema->size);
    if (filled == NULL)
        return mbl_bind_memory(err);
    mbl_extract(schema, fresh, filled);
    mbl_status status = schema->rules(filled, err);
    mbl_free(fresh->alloc, filled, 1, schema->size);
    if (status == MBL_OK)
        return MBL_OK;
    /* a rule names the key; the line is that key's */
    char key[sizeof err->path];
    size_t n = strcspn(err->path, ".[");
    memcpy(key, err->path, n);
    key[n] = '\0';
    const mbl_node *node = mbl_node_get(fresh, key);
    if (node != NULL)
        mbl_error_at(err, NULL, node->line, node->column);
    return status;
}

/* The list part of what stands for a map: a plain list is a map that has nothing else. */
static const mbl_node *list_part(const mbl_node *raw)
{
    const mbl_node *list = raw->kind == MBL_NODE_LIST ? raw : raw->positional;
    return list != NULL && list->count > 0 ? list : NULL;
}

static mbl_status check_shape(const mbl_schema *schema, const mbl_node *raw, mbl_error *err)
{
    const char *a = mbl_say_a(schema->name);
    if (raw->kind == MBL_NODE_MAP && raw->bound != NULL)
        return mbl_bind_wrong(err, raw, "%s %s", a, schema->name);
    bool table = raw->kind == MBL_NODE_MAP || raw->kind == MBL_NODE_LIST;
    const mbl_node *list = table ? list_part(raw) : NULL;
    bool keyed = raw->kind == MBL_NODE_MAP && raw->count > 0;
    if (!table || (list != NULL && !keyed && positional_field(schema) == NULL))
        return mbl_bind_wrong(err, raw, "%s %s (a table of its keys)", a, schema->name);
    if (list != NULL && positional_field(schema) == NULL)
        return mbl_fail(err, MBL_INPUT,
                        "this table mixes values with and without keys; %s %s takes only key = "
                        "value",
                        a, schema->name);
    return MBL_OK;
}

static mbl_status fill(const mbl_schema *schema, const mbl_node *raw, mbl_node *fresh,
                       mbl_error *err)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *field = &schema->fields[i];
        if (field->kind == MBL_FIELD_LATER)
            continue;
        if (field->key == NULL)
            MBL_TRY(bind_positional(field, list_part(raw), fresh, err));
        else
            MBL_TRY(bind_key(field, raw, fresh, err));
    }
    return check_rules(schema, fresh, err);
}

static mbl_status bind_map(const mbl_schema *schema, const mbl_node *raw, mbl_node **bound,
                           mbl_error *err)
{
    if (raw->kind == MBL_NODE_MAP && raw->bound == schema) {
        *bound = mbl_node_keep((mbl_node *)raw);
        return MBL_OK;
    }
    MBL_TRY(check_shape(schema, raw, err));
    MBL_TRY(check_keys(schema, raw, err));
    mbl_node *fresh = mbl_node_map(raw->alloc);
    if (fresh == NULL)
        return mbl_bind_memory(err);
    fresh->line = raw->line;
    fresh->column = raw->column;
    mbl_status status = fill(schema, raw, fresh, err);
    if (status != MBL_OK) {
        mbl_node_drop(fresh);
        return status;
    }
    fresh->bound = schema;
    *bound = fresh;
    return MBL_OK;
}

mbl_status mbl_bind(const mbl_schema *schema, const mbl_node *raw, mbl_node **bound, mbl_error *err)
{
    mbl_error local = {0};
    if (err == NULL)
        err = &local;
    mbl_status status = bind_map(schema, raw, bound, err);
    if (status == MBL_OK)
        return MBL_OK;
    mbl_error_at(err, NULL, raw->line, raw->column);
    /* front.rotor.ring_mass says enough; a single key or an index needs its owner */
    if (err->path[0] == '[' || strchr(err->path, '.') == NULL)
        mbl_error_under(err, schema->name);
    return status;
}
