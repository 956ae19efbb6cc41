/* SPDX-License-Identifier: MIT */
/* A shortlist as scripts have it: rows, what was counted, page and files. */
#include "host/shortlist.h"

#include "host/definition.h"
#include "host/files.h"

#include "out/shortlist.h"

#include <string.h>

static const char shortlist_tag;

mbl_shortlist_object *mbl_shortlist_push(lua_State *L)
{
    return mbl_lua_new(L, &shortlist_tag, sizeof(mbl_shortlist_object), 0);
}

/* The object at 1, whose rows are known; ends a check. */
static const mbl_shortlist_object *check(lua_State *L)
{
    const mbl_shortlist_object *o = mbl_lua_test(L, 1, &shortlist_tag);
    if (o == NULL)
        (void)mbl_host_wrong(L, "", "list:save is called on a shortlist, with a colon");
    if (!o->known)
        (void)mbl_host_stop(L, MBL_STOP_CHECKED);
    return o;
}

static void set_number(lua_State *L, const char *name, double value)
{
    lua_pushnumber(L, value);
    lua_setfield(L, -2, name);
}

static void set_count(lua_State *L, const char *name, size_t value)
{
    lua_pushinteger(L, (lua_Integer)value);
    lua_setfield(L, -2, name);
}

/* ---- the car of a choice ---- */

static bool put(mbl_node *map, const char *key, const mbl_node *node)
{
    return mbl_node_put(map, key, mbl_node_keep((mbl_node *)(uintptr_t)node));
}

/* What is new, as a table for d:with. */
static mbl_node *patch_of(const mbl_shortlist_object *o, const mbl_choice *c)
{
    const mbl_alloc *alloc = o->ask.alloc;
    mbl_node *axle[MBL_AXLES] = {mbl_node_map(alloc), mbl_node_map(alloc)};
    mbl_node *patch = mbl_node_map(alloc);
    bool fine = axle[0] != NULL && axle[1] != NULL && patch != NULL;
    for (size_t i = 0; i < o->ask.nslots && fine; i++) {
        const mbl_slot *slot = &o->ask.slot[i];
        const char *name = mbl_slot_name(slot->kind);
        const mbl_node *node = o->shelved[i][c->pick[i]].node;
        if (c->pick[i] == 0)
            continue;
        if (slot->kind == MBL_SLOT_MASTER)
            fine = put(patch, "pedal", node);
        else if (slot->kind == MBL_SLOT_FLUID)
            fine = put(patch, name, node);
        else
            fine = put(axle[slot->kind >= MBL_SLOT_REAR_ROTOR], strchr(name, '.') + 1, node);
    }
    fine = fine && put(patch, "front", axle[0]) && put(patch, "rear", axle[1]);
    mbl_node_drop(axle[0]);
    mbl_node_drop(axle[1]);
    if (fine)
        return patch;
    mbl_node_drop(patch);
    return NULL;
}

/* Pushes the car of a choice, for el.run. */
static void push_car(lua_State *L, const mbl_shortlist_object *o, const mbl_choice *c)
{
    mbl_error err = {0};
    mbl_definition *d = mbl_lua_new(L, &mbl_definition_tag, sizeof *d, 0);
    mbl_node *patch = patch_of(o, c);
    mbl_node *merged = patch != NULL ? mbl_node_merge(mbl_node_get(o->bound, "car"), patch) : NULL;
    mbl_status status = merged != NULL
                            ? mbl_bind(&mbl_car_schema, merged, &d->node, &err)
                            : mbl_fail(&err, MBL_MEMORY, "out of memory for the car of a package");
    mbl_node_drop(patch);
    mbl_node_drop(merged);
    if (status != MBL_OK)
        (void)mbl_host_raise(L, &err);
}

/* ---- rows ---- */

static void push_picks(lua_State *L, const mbl_shortlist_object *o, const mbl_choice *c)
{
    lua_createtable(L, 0, (int)o->ask.nslots);
    for (size_t i = 0; i < o->ask.nslots; i++) {
        if (c->pick[i] == 0)
            continue;
        lua_pushstring(L, o->shelved[i][c->pick[i]].name);
        lua_setfield(L, -2, mbl_slot_name(o->ask.slot[i].kind));
    }
}

static void push_choice(lua_State *L, const mbl_shortlist_object *o, const mbl_choice *c)
{
    mbl_text *limit = mbl_lua_text(L);
    mbl_out_shortlist_limit(c, limit);
    lua_createtable(L, 0, 12);
    push_picks(L, o, c);
    lua_setfield(L, -2, "picks");
    set_number(L, "cost", mbl_price_sum(&c->price));
    set_number(L, "parts", 1e-6 * (double)c->price.parts);
    set_number(L, "labour", 1e-6 * (double)c->price.labour);
    set_number(L, "event", c->event);
    set_number(L, "mass", c->mass);
    set_number(L, "margin", c->tightest.margin);
    set_number(L, "closest", c->closest);
    lua_pushstring(L, mbl_verdict_word(c->verdict));
    lua_setfield(L, -2, "verdict");
    lua_pushstring(L, mbl_text_get(limit));
    lua_setfield(L, -2, "limit");
    push_car(L, o, c);
    lua_setfield(L, -2, "car");
    lua_remove(L, -2);
}

static void push_row(lua_State *L, const mbl_shortlist_object *o, size_t i)
{
    const mbl_choice *c = &o->list.row[i];
    push_choice(L, o, c);
    set_count(L, "rank", i + 1);
    if (c->up < SIZE_MAX)
        set_count(L, "more_margin", c->up + 1);
}

/* ---- by name ---- */

static void push_counts(lua_State *L, const mbl_shortlist_object *o)
{
    const mbl_shortlist *l = &o->list;
    size_t misfit = 0;
    for (int i = 1; i < MBL_MISFITS; i++)
        misfit += l->misfit[i];
    lua_createtable(L, 0, 8);
    set_count(L, "combinations", l->all);
    set_count(L, "misfit", misfit);
    set_count(L, "panic", l->panic);
    set_count(L, "failed", l->failed);
    set_count(L, "judged", l->judged);
    set_count(L, "later", l->later);
    set_count(L, "held", l->held);
    set_count(L, "drives", l->drives);
}

/* The best of each single change, by slot. */
static void push_alone(lua_State *L, const mbl_shortlist_object *o)
{
    lua_createtable(L, 0, (int)o->ask.nslots);
    for (size_t i = 0; i < o->ask.nslots; i++) {
        if (!o->list.alone[i].any)
            continue;
        push_choice(L, o, &o->list.alone[i].best);
        lua_setfield(L, -2, mbl_slot_name(o->ask.slot[i].kind));
    }
}

static int save(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    const mbl_shortlist_object *o = mbl_lua_test(L, 1, &shortlist_tag);
    if (o == NULL)
        return mbl_host_wrong(L, "", "list:save is called on a shortlist, with a colon");
    if (lua_type(L, 2) != LUA_TSTRING || strlen(lua_tostring(L, 2)) != lua_rawlen(L, 2))
        return mbl_host_wrong(L, "save", "expected the name of a file such as \"shortlist.csv\"");
    const char *name = lua_tostring(L, 2);
    size_t n = strlen(name);
    bool csv = n > 4 && strcmp(name + n - 4, ".csv") == 0;
    if (!csv && (n <= 5 || strcmp(name + n - 5, ".json") != 0))
        return mbl_host_wrong(L, "save", "\"%.100s\" ends in neither .csv nor .json", name);
    char path[MBL_HOST_PATH];
    mbl_error err = {0};
    mbl_status status = mbl_files_place(host, name, !o->known, path, &err);
    mbl_host_engine_begin(host);
    if (status == MBL_OK && o->known)
        status = csv ? mbl_out_shortlist_csv(&o->ask, &o->list, path, &err)
                     : mbl_out_shortlist_json(&o->ask, &o->list, path, &err);
    mbl_host_engine_end(host);
    return mbl_files_saved(L, path, status, &err);
}

static int index_of(lua_State *L)
{
    static const char *const names[] = {"alone",   "as_it_is", "counts",
                                        "nearest", "save",     "step_up"};
    const char *key = lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : "?";
    if (strcmp(key, "save") == 0) {
        lua_pushcfunction(L, save);
        return 1;
    }
    const mbl_shortlist_object *o = check(L);
    if (lua_isinteger(L, 2)) {
        lua_Integer i = lua_tointeger(L, 2);
        if (i < 1 || (size_t)i > o->list.n)
            lua_pushnil(L); /* so that ipairs ends */
        else
            push_row(L, o, (size_t)i - 1);
    } else if (strcmp(key, "alone") == 0) {
        push_alone(L, o);
    } else if (strcmp(key, "as_it_is") == 0) {
        push_choice(L, o, &o->list.as_is);
    } else if (strcmp(key, "counts") == 0) {
        push_counts(L, o);
    } else if (strcmp(key, "step_up") == 0) {
        if (o->list.stepped)
            push_choice(L, o, &o->list.step);
        else
            lua_pushnil(L);
    } else if (strcmp(key, "nearest") == 0) {
        if (o->list.missed)
            push_choice(L, o, &o->list.nearest);
        else
            lua_pushnil(L);
    } else {
        return mbl_host_unknown(L, "a shortlist", key, names, sizeof names / sizeof names[0]);
    }
    return 1;
}

static int length(lua_State *L)
{
    lua_pushinteger(L, (lua_Integer)check(L)->list.n);
    return 1;
}

static int set_index(lua_State *L)
{
    return mbl_host_wrong(L, "shortlist", "a shortlist is not changed");
}

static int to_string(lua_State *L)
{
    const mbl_shortlist_object *o = check(L);
    mbl_text *text = mbl_lua_text(L);
    mbl_out_shortlist(&o->ask, &o->list, mbl_host_of(L)->options->units, text);
    return mbl_lua_page(L, text);
}

static int collect(lua_State *L)
{
    mbl_shortlist_object *o = mbl_lua_test(L, 1, &shortlist_tag);
    if (o == NULL)
        return 0;
    const mbl_alloc *alloc = &mbl_host_of(L)->store.alloc;
    for (size_t i = 0; i < o->ask.nslots; i++) {
        size_t n = o->ask.slot[i].n;
        for (size_t k = 0; k < n && o->shelved[i] != NULL; k++)
            mbl_node_drop(o->shelved[i][k].node);
        mbl_free(alloc, o->option[i], n, sizeof *o->option[i]);
        mbl_free(alloc, o->shelved[i], n, sizeof *o->shelved[i]);
    }
    if (o->known)
        mbl_shortlist_free(&o->list);
    mbl_trace_drop(o->lap);
    mbl_node_drop(o->bound);
    memset(o, 0, sizeof *o);
    return 0;
}

void mbl_shortlist_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect},         {"__index", index_of},
                                    {"__newindex", set_index}, {"__len", length},
                                    {"__tostring", to_string}, {NULL, NULL}};
    mbl_lua_type(L, &shortlist_tag, "shortlist", meta);
}
