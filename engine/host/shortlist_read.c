/* SPDX-License-Identifier: MIT */
/*
 * The table of el.shortlist as slots and options. It is read as a tree at once, so nothing here
 * can raise.
 */
#include "host/course.h"
#include "host/shortlist.h"

#include "host/shortlist_keys.h"
#include "host/tree.h"

#include <math.h>
#include <string.h>

static mbl_status under(mbl_status status, mbl_error *err, const char *key)
{
    if (status != MBL_OK)
        mbl_error_under(err, key);
    return status;
}

/* ---- parts ---- */

typedef struct reader {
    const mbl_alloc *alloc;
    mbl_shortlist_object *object;
    const mbl_node *car; /* bound */
    mbl_error *err;
} reader;

static mbl_status no_memory(const reader *r)
{
    return mbl_fail(r->err, MBL_MEMORY, "out of memory reading a shortlist");
}

/* What the car has at a path of at most two words. */
static const mbl_node *there(const mbl_node *car, const char *path)
{
    char head[16];
    const char *dot = strchr(path, '.');
    if (dot == NULL)
        return mbl_node_get(car, path);
    snprintf(head, sizeof head, "%.*s", (int)(dot - path), path);
    return mbl_node_get(mbl_node_get(car, head), dot + 1);
}

/* { key = node }; takes over the reference. */
static mbl_node *map_of(const mbl_alloc *alloc, const char *key, mbl_node *node)
{
    mbl_node *map = mbl_node_map(alloc);
    if (map != NULL && mbl_node_put(map, key, node))
        return map;
    if (map == NULL)
        mbl_node_drop(node);
    mbl_node_drop(map);
    return NULL;
}

static mbl_node *share(const mbl_node *node)
{
    return mbl_node_keep((mbl_node *)(uintptr_t)node);
}

/* `base` changed by `patch` and then by `extra`, bound. */
static mbl_status bind_changed(reader *r, const mbl_schema *schema, const mbl_node *base,
                               const mbl_node *patch, const mbl_node *extra, mbl_node **out)
{
    mbl_node *merged = mbl_node_merge(base, patch);
    mbl_node *all = merged != NULL && extra != NULL ? mbl_node_merge(merged, extra) : merged;
    mbl_status status = all == NULL ? no_memory(r) : mbl_bind(schema, all, out, r->err);
    if (all != merged)
        mbl_node_drop(all);
    mbl_node_drop(merged);
    r->err->line = 0;
    r->err->column = 0;
    return status;
}

static mbl_status bind_masters(reader *r, const mbl_node *part, const mbl_node *extra,
                               mbl_node **out)
{
    const mbl_node *pedal = mbl_node_get(r->car, "pedal");
    if (pedal == NULL)
        return mbl_fail(r->err, MBL_INPUT,
                        "the car has no pedal, so there are no masters to change");
    mbl_node *patch = map_of(r->alloc, "master", share(part));
    mbl_node *more = extra != NULL ? map_of(r->alloc, "master", share(extra)) : NULL;
    mbl_status status = MBL_OK;
    if (patch == NULL || (extra != NULL && more == NULL))
        status = no_memory(r);
    else
        status = bind_changed(r, &mbl_pedal_schema, pedal, patch, more, out);
    mbl_node_drop(patch);
    mbl_node_drop(more);
    return status;
}

/* A definition of another kind is named; the binder would miss its keys one by one. */
static mbl_status check_kind(reader *r, mbl_slot_kind kind, const mbl_node *part)
{
    const char *word = kind == MBL_SLOT_MASTER ? "table of masters { front =, rear = }"
                                               : mbl_slot_schema(kind)->name;
    if (part->kind != MBL_NODE_MAP)
        return mbl_fail(r->err, MBL_INPUT, "expected a %s", word);
    if (part->bound == NULL || (kind != MBL_SLOT_MASTER && part->bound == mbl_slot_schema(kind)))
        return MBL_OK;
    return mbl_fail(r->err, MBL_INPUT, "expected a %s, found a %s", word, part->bound->name);
}

static mbl_status bind_part(reader *r, mbl_slot_kind kind, const mbl_node *part,
                            const mbl_node *extra, mbl_node **out)
{
    MBL_TRY(check_kind(r, kind, part));
    if (kind == MBL_SLOT_MASTER)
        return bind_masters(r, part, extra, out);
    return bind_changed(r, mbl_slot_schema(kind), there(r->car, mbl_slot_name(kind)), part, extra,
                        out);
}

/* ---- keys ---- */

/* Refuses what is no field of the schema and none of its keys that are read by hand: told together,
 * as the binder knows only the fields. */
static mbl_status check_keys(reader *r, const mbl_node *map, const mbl_schema *schema,
                             const char *const by_hand[2])
{
    enum { ROOM = 24 };
    const char *names[ROOM] = {by_hand[0], by_hand[1]};
    size_t n = 2;
    for (size_t i = 0; i < schema->nfields && n < ROOM; i++)
        names[n++] = schema->fields[i].key;
    for (size_t i = 0; i < map->count; i++) {
        size_t k = 0;
        while (k < n && strcmp(names[k], map->keys[i]) != 0)
            k++;
        if (k < n)
            continue;
        const char *meant = mbl_nearest(map->keys[i], names, n);
        char known[200] = "";
        for (k = 0; k < n; k++)
            if (k == 0 || names[k] != names[k - 1])
                snprintf(known + strlen(known), sizeof known - strlen(known), "%s%s",
                         k > 0 ? ", " : "", names[k]);
        return meant != NULL
                   ? mbl_fail(r->err, MBL_INPUT, "unknown key \"%.60s\"; did you mean \"%s\"?",
                              map->keys[i], meant)
                   : mbl_fail(r->err, MBL_INPUT, "unknown key \"%.60s\"; it takes: %s",
                              map->keys[i], known);
    }
    return MBL_OK;
}

/* ---- options ---- */

/* The keys of a map but two, and its list part. */
static mbl_node *without(const mbl_node *map, const char *a, const char *b)
{
    mbl_node *copy = mbl_node_map(map->alloc);
    for (size_t i = 0; copy != NULL && i < map->count; i++) {
        if (strcmp(map->keys[i], a) == 0 || strcmp(map->keys[i], b) == 0)
            continue;
        if (!mbl_node_put(copy, map->keys[i], share(map->items[i]))) {
            mbl_node_drop(copy);
            return NULL;
        }
    }
    if (copy != NULL && map->positional != NULL)
        copy->positional = share(map->positional);
    return copy;
}

/* Price, hours and mass that an option says beside its part, as keys of the part. */
static mbl_status extra_of(reader *r, const mbl_node *bound, mbl_node **out)
{
    static const char *const keys[] = {"cost", "labour", "mass"};
    mbl_node *extra = mbl_node_map(r->alloc);
    for (size_t i = 0; extra != NULL && i < sizeof keys / sizeof keys[0]; i++) {
        const mbl_node *value = mbl_node_get(bound, keys[i]);
        if (value == NULL || mbl_node_put(extra, keys[i], share(value)))
            continue;
        mbl_node_drop(extra);
        extra = NULL;
    }
    *out = extra;
    return extra != NULL ? MBL_OK : no_memory(r);
}

/* A table { name =, part =, ... }. */
static mbl_status read_table(reader *r, mbl_slot_kind kind, const mbl_node *item,
                             mbl_option *option, mbl_shelved *shelved)
{
    const mbl_node *part = mbl_node_get(item, "part");
    static const char *const by_hand[2] = {"part", "part"};
    mbl_option_keys keys;
    mbl_node *bound = NULL;
    mbl_node *extra = NULL;
    if (part == NULL)
        return mbl_fail(r->err, MBL_INPUT,
                        "an option is a definition, or a table { name =, part =, cost =, fits = }: "
                        "there is no \"part\"");
    MBL_TRY(check_keys(r, item, &mbl_option_schema, by_hand));
    mbl_node *rest = without(item, "part", "part");
    mbl_status status =
        rest == NULL ? no_memory(r) : mbl_bind(&mbl_option_schema, rest, &bound, r->err);
    if (status == MBL_OK) {
        mbl_extract(&mbl_option_schema, bound, &keys);
        if (keys.name[0] != '\0')
            snprintf(shelved->name, sizeof shelved->name, "%.*s", MBL_SHORTLIST_NAME - 1,
                     keys.name);
        status = under(mbl_fits_take(&keys.fits, &option->fits, r->err), r->err, "fits");
    }
    if (status == MBL_OK)
        status = extra_of(r, bound, &extra);
    if (status == MBL_OK)
        status = bind_part(r, kind, part, extra->count > 0 ? extra : NULL, &shelved->node);
    mbl_node_drop(rest);
    mbl_node_drop(bound);
    mbl_node_drop(extra);
    return status;
}

static mbl_status read_option(reader *r, mbl_slot_kind kind, const mbl_node *item, size_t i,
                              mbl_option *option, mbl_shelved *shelved)
{
    static const mbl_fits unsaid = {
        .diameter = {NAN, NAN}, .thickness = {NAN, NAN}, .stack = NAN, .pad = ""};
    snprintf(shelved->name, sizeof shelved->name, "no. %zu", i);
    option->name = shelved->name;
    option->fits = unsaid;
    if (item->kind == MBL_NODE_MAP && item->bound == NULL)
        MBL_TRY(read_table(r, kind, item, option, shelved));
    else
        MBL_TRY(bind_part(r, kind, item, NULL, &shelved->node));
    option->part.kind = kind;
    mbl_extract(mbl_slot_schema(kind), shelved->node, &option->part.of);
    return MBL_OK;
}

/* ---- slots ---- */

/* What is there, as option 0. */
static mbl_status begin_slot(reader *r, size_t at, mbl_slot_kind kind, size_t n)
{
    mbl_shortlist_object *o = r->object;
    mbl_slot *slot = &o->ask.slot[at];
    o->option[at] = mbl_new(r->alloc, n + 1, sizeof *o->option[at]);
    o->shelved[at] = mbl_new(r->alloc, n + 1, sizeof *o->shelved[at]);
    *slot = (mbl_slot){.kind = kind, .keep = true, .n = n + 1, .option = o->option[at]};
    o->ask.nslots = at + 1;
    if (o->option[at] == NULL || o->shelved[at] == NULL)
        return no_memory(r);
    mbl_option *first = o->option[at];
    snprintf(o->shelved[at][0].name, MBL_SHORTLIST_NAME, "as it is");
    first->name = o->shelved[at][0].name;
    first->fits = o->ask.there[kind];
    mbl_part_of(kind, &o->setup.car, &first->part);
    return MBL_OK;
}

/* `keep` beside the list of a slot. */
static mbl_status read_keep(reader *r, const mbl_node *list, bool *keep)
{
    for (size_t i = 0; list->kind == MBL_NODE_MAP && i < list->count; i++) {
        const mbl_node *value = list->items[i];
        bool no = value->kind == MBL_NODE_TEXT && strcmp(value->text, "false") == 0;
        bool yes = value->kind == MBL_NODE_TEXT && strcmp(value->text, "true") == 0;
        if (strcmp(list->keys[i], "keep") != 0) {
            mbl_status status =
                mbl_fail(r->err, MBL_INPUT, "beside its options a slot has only \"keep\"");
            mbl_error_under(r->err, list->keys[i]);
            return status;
        }
        if (!no && !yes)
            return under(mbl_fail(r->err, MBL_INPUT, "expected true or false"), r->err, "keep");
        *keep = yes;
    }
    return MBL_OK;
}

static mbl_status read_slot(reader *r, size_t at, mbl_slot_kind kind, const mbl_node *value,
                            bool keep)
{
    const mbl_node *list = value->kind == MBL_NODE_MAP ? value->positional : value;
    if (value->bound != NULL || (list != NULL && list->kind != MBL_NODE_LIST))
        return mbl_fail(r->err, MBL_INPUT, "expected a list of options");
    if (list == NULL || list->count == 0)
        return mbl_fail(r->err, MBL_INPUT, "there is nothing to try");
    if (list->count > MBL_SHORTLIST_OPTIONS)
        return mbl_fail(r->err, MBL_INPUT, "more than %d options", MBL_SHORTLIST_OPTIONS);
    MBL_TRY(begin_slot(r, at, kind, list->count));
    r->object->ask.slot[at].keep = keep;
    MBL_TRY(read_keep(r, value, &r->object->ask.slot[at].keep));
    for (size_t i = 0; i < list->count; i++) {
        char index[24];
        snprintf(index, sizeof index, "[%zu]", i + 1);
        MBL_TRY(under(read_option(r, kind, list->items[i], i + 1, &r->object->option[at][i + 1],
                                  &r->object->shelved[at][i + 1]),
                      r->err, index));
    }
    return MBL_OK;
}

static mbl_status unknown_slot(reader *r, const char *key)
{
    const char *names[MBL_SLOT_KINDS];
    for (int k = 0; k < MBL_SLOT_KINDS; k++)
        names[k] = mbl_slot_name((mbl_slot_kind)k);
    const char *meant = mbl_nearest(key, names, MBL_SLOT_KINDS);
    if (meant != NULL)
        return mbl_fail(r->err, MBL_INPUT, "no such place \"%.60s\"; did you mean \"%s\"?", key,
                        meant);
    return mbl_fail(r->err, MBL_INPUT,
                    "no such place \"%.60s\": fluid, pedal.master, and rotor, pad, caliper, duct "
                    "of front and rear may change, as [\"front.pad\"]",
                    key);
}

static mbl_status read_change(reader *r, const mbl_node *change, bool keep)
{
    if (change == NULL || change->kind != MBL_NODE_MAP || change->bound != NULL ||
        change->positional != NULL || change->count == 0)
        return mbl_fail(r->err, MBL_INPUT,
                        "missing: what may change, { [\"front.pad\"] = { ... }, fluid = { ... } }");
    for (size_t i = 0; i < change->count; i++)
        if (mbl_slot_find(change->keys[i]) == MBL_SLOT_KINDS)
            return unknown_slot(r, change->keys[i]);
    size_t at = 0;
    for (int k = 0; k < MBL_SLOT_KINDS; k++) {
        const char *name = mbl_slot_name((mbl_slot_kind)k);
        const mbl_node *value = mbl_node_get(change, name);
        if (value != NULL)
            MBL_TRY(under(read_slot(r, at++, (mbl_slot_kind)k, value, keep), r->err, name));
    }
    return MBL_OK;
}

/* ---- all of it ---- */

static mbl_status read_tree(reader *r, const mbl_node *raw)
{
    mbl_shortlist_object *o = r->object;
    if (raw->kind != MBL_NODE_MAP)
        return mbl_fail(r->err, MBL_INPUT, "expected { car =, course =, stint =, change = }");
    static const char *const by_hand[2] = {"change", "fit"};
    MBL_TRY(under(check_keys(r, raw, &mbl_list_schema, by_hand), r->err, "shortlist"));
    mbl_node *rest = without(raw, "change", "fit");
    mbl_status status =
        rest == NULL ? no_memory(r) : mbl_bind(&mbl_list_schema, rest, &o->bound, r->err);
    mbl_node_drop(rest);
    r->err->line = 0;
    r->err->column = 0;
    MBL_TRY(status);
    mbl_list_keys *keys = mbl_new(r->alloc, 1, sizeof *keys);
    if (keys == NULL)
        return no_memory(r);
    mbl_extract(&mbl_list_schema, o->bound, keys);
    o->setup = keys->setup;
    o->ask = (mbl_shortlist_ask){.alloc = r->alloc,
                                 .setup = &o->setup,
                                 .by = (mbl_shortlist_by)keys->by,
                                 .need = mbl_list_need(keys),
                                 .want = (size_t)keys->want};
    r->car = mbl_node_get(o->bound, "car");
    status = under(under(mbl_room_take(&keys->fits, &o->ask, r->err), r->err, "fits"), r->err,
                   "shortlist");
    if (status == MBL_OK)
        status = under(mbl_course_needed(&o->setup.course, r->err), r->err, "shortlist");
    if (status == MBL_OK && o->setup.course.trace == NULL) {
        status = under(mbl_course_lap(r->alloc, &o->setup, &o->setup.car, &o->lap, r->err), r->err,
                       "shortlist.course");
        o->setup.course.trace = o->lap;
    }
    if (status == MBL_OK)
        status = under(read_change(r, mbl_node_get(raw, "change"), keys->keep), r->err,
                       "shortlist.change");
    mbl_free(r->alloc, keys, 1, sizeof *keys);
    return status;
}

mbl_status mbl_shortlist_read(lua_State *L, int index, mbl_shortlist_object *object, mbl_error *err)
{
    reader r = {.alloc = &mbl_host_of(L)->store.alloc, .object = object, .err = err};
    mbl_node *raw = NULL;
    mbl_status status = under(mbl_tree_read(L, index, &raw, err), err, "shortlist");
    if (status == MBL_OK)
        status = read_tree(&r, raw);
    mbl_node_drop(raw);
    return status;
}
