/* SPDX-License-Identifier: MIT */
/*
 * Only calls that cannot raise are used here: tables are walked raw, and stack room is asked for
 * and not demanded. So the nodes in hand are always released.
 */
#include "host/tree.h"

#include "host/definition.h"
#include "host/function.h"

#include <math.h>
#include <string.h>

typedef struct reader {
    lua_State *L;
    const mbl_alloc *alloc;
    mbl_error *err;
    size_t nodes;
    int depth;
    const void *open[MBL_TREE_DEPTH]; /* tables we are inside of */
} reader;

static mbl_node *read_value(reader *r, int index);

static mbl_node *refuse(reader *r, const char *text)
{
    (void)mbl_fail(r->err, MBL_INPUT, "%s", text);
    return NULL;
}

/* `node`, or the failure that memory is out. */
static mbl_node *made(reader *r, mbl_node *node)
{
    if (node == NULL)
        (void)mbl_fail(r->err, MBL_MEMORY, "out of memory reading a table");
    return node;
}

static mbl_node *read_number(reader *r, int index)
{
    if (!lua_isinteger(r->L, index)) {
        double number = lua_tonumber(r->L, index);
        if (isnan(number))
            return refuse(r, "not a number (0/0 somewhere before?)");
        if (isinf(number))
            return refuse(r, "an infinite number (a division by 0 somewhere before?)");
        return made(r, mbl_node_number(r->alloc, number));
    }
    lua_Integer whole = lua_tointeger(r->L, index);
    const lua_Integer most = (lua_Integer)1 << 53;
    if (whole > most || whole < -most)
        return refuse(r, "this whole number is too large to be held exactly");
    return made(r, mbl_node_number(r->alloc, (double)whole));
}

static mbl_node *read_text(reader *r, int index)
{
    size_t size = 0;
    const char *text = lua_tolstring(r->L, index, &size);
    return made(r, mbl_node_text(r->alloc, text, size));
}

static mbl_node *read_object(reader *r, int index)
{
    const mbl_definition *d = mbl_lua_test(r->L, index, &mbl_definition_tag);
    if (d != NULL && d->node != NULL)
        return mbl_node_keep(d->node);
    if (mbl_lua_test(r->L, index, &mbl_none_tag) != NULL)
        return made(r, mbl_node_none(r->alloc));
    return refuse(
        r, "the result of el.run and a network cannot be values here; give the definition itself");
}

static void under_index(reader *r, lua_Integer i)
{
    char index[32];
    snprintf(index, sizeof index, "[%lld]", (long long)i);
    mbl_error_under(r->err, index);
}

/* The list part, items 1 to n, of the table at `index`. */
static mbl_node *read_items(reader *r, int index, lua_Integer n)
{
    mbl_node *list = made(r, mbl_node_list(r->alloc));
    for (lua_Integer i = 1; list != NULL && i <= n; i++) {
        mbl_node *item = NULL;
        if (lua_rawgeti(r->L, index, i) == LUA_TNIL)
            (void)refuse(r, "missing: the list has a hole here");
        else
            item = read_value(r, lua_gettop(r->L));
        lua_pop(r->L, 1);
        if (item != NULL && mbl_node_append(list, item))
            continue;
        if (item != NULL)
            (void)made(r, NULL);
        under_index(r, i);
        mbl_node_drop(list);
        list = NULL;
    }
    return list;
}

/* One key, on the stack below its value. Whole numbers belong to the list part. */
static bool read_key(reader *r, mbl_node *map, lua_Integer *places)
{
    lua_State *L = r->L;
    int at = lua_gettop(L);
    if (lua_isinteger(L, at - 1)) {
        ++*places;
        return true;
    }
    if (lua_type(L, at - 1) != LUA_TSTRING) {
        (void)refuse(r, "a key of a table is a name or a position, 1, 2, 3");
        return false;
    }
    size_t size = 0;
    const char *key = lua_tolstring(L, at - 1, &size);
    if (strlen(key) != size) {
        (void)refuse(r, "a key holds a zero byte");
        return false;
    }
    mbl_node *item = read_value(r, at);
    if (item != NULL && !mbl_node_put(map, key, item))
        item = made(r, NULL);
    if (item == NULL)
        mbl_error_under(r->err, size < 64 ? key : "?");
    return item != NULL;
}

static mbl_node *read_map(reader *r, int index, lua_Integer *places)
{
    mbl_node *map = made(r, mbl_node_map(r->alloc));
    if (map == NULL)
        return NULL;
    for (lua_pushnil(r->L); lua_next(r->L, index); lua_pop(r->L, 1)) {
        if (!read_key(r, map, places)) {
            lua_pop(r->L, 2);
            mbl_node_drop(map);
            return NULL;
        }
    }
    return map;
}

static mbl_node *read_table(reader *r, int index)
{
    lua_Integer places = 0;
    mbl_node *map = read_map(r, index, &places);
    if (map == NULL || places == 0)
        return map;
    lua_Integer n = (lua_Integer)lua_rawlen(r->L, index);
    if (n != places) {
        mbl_node_drop(map);
        return refuse(r, "the list in this table has holes: its positions are not 1, 2, 3 ...");
    }
    mbl_node *list = read_items(r, index, n);
    if (list == NULL || map->count == 0) {
        mbl_node_drop(map);
        return list;
    }
    map->positional = list;
    return map;
}

static mbl_node *enter_table(reader *r, int index)
{
    const void *self = lua_topointer(r->L, index);
    for (int i = 0; i < r->depth; i++)
        if (r->open[i] == self)
            return refuse(r, "this table contains itself");
    if (r->depth == MBL_TREE_DEPTH)
        return refuse(r, "tables are nested more than 32 deep");
    if (!lua_checkstack(r->L, 8))
        return made(r, NULL);
    r->open[r->depth++] = self;
    mbl_node *node = read_table(r, index);
    r->depth--;
    return node;
}

static mbl_node *read_value(reader *r, int index)
{
    if (++r->nodes > MBL_TREE_NODES)
        return refuse(r, "more than 100000 values in one definition");
    switch (lua_type(r->L, index)) {
    case LUA_TNUMBER:
        return read_number(r, index);
    case LUA_TSTRING:
        return read_text(r, index);
    case LUA_TBOOLEAN:
        return lua_toboolean(r->L, index) ? made(r, mbl_node_text(r->alloc, "true", 4))
                                          : made(r, mbl_node_text(r->alloc, "false", 5));
    case LUA_TTABLE:
        return enter_table(r, index);
    case LUA_TUSERDATA:
        return read_object(r, index);
    case LUA_TFUNCTION:
        return made(r, mbl_function_node(r->L, r->alloc, index));
    case LUA_TNIL:
    case LUA_TNONE:
        return refuse(r, "nothing was given (nil)");
    default:
        return refuse(r, "a coroutine cannot be a value here");
    }
}

mbl_status mbl_tree_read(lua_State *L, int index, mbl_node **out, mbl_error *err)
{
    reader r = {.L = L, .alloc = &mbl_host_of(L)->store.alloc, .err = err};
    int top = lua_gettop(L);
    mbl_node *node = read_value(&r, lua_absindex(L, index));
    lua_settop(L, top);
    if (node == NULL)
        return err->status;
    *out = node;
    return MBL_OK;
}
