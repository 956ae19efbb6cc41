/* SPDX-License-Identifier: MIT */
/*
 * pairs and next in an order that does not depend on where things lie in memory, nor on the seed
 * that the library takes from the clock: numbers upwards, then strings byte by byte, then the rest
 * as the library has it (tables and functions as keys have no order of their own). The keys are
 * taken when a loop begins; a key that is removed meanwhile is passed over, as with the library's
 * own. The price is that next(t) looks at all keys of t.
 */
#include "host/fence.h"

#include <stdlib.h>
#include <string.h>

typedef struct key {
    enum { KEY_NUMBER, KEY_TEXT, KEY_REST } rank;
    bool whole;
    lua_Integer i;
    double number;
    const char *text; /* alive as long as the table of keys is */
    size_t size;
    lua_Integer at; /* position in the order of next */
} key;

static int compare_numbers(const key *a, const key *b)
{
    if (a->whole && b->whole)
        return (a->i > b->i) - (a->i < b->i);
    return (a->number > b->number) - (a->number < b->number);
}

static int compare(const void *x, const void *y)
{
    const key *a = x;
    const key *b = y;
    if (a->rank != b->rank)
        return a->rank < b->rank ? -1 : 1;
    int order = 0;
    if (a->rank == KEY_NUMBER)
        order = compare_numbers(a, b);
    if (a->rank == KEY_TEXT) {
        order = memcmp(a->text, b->text, a->size < b->size ? a->size : b->size);
        if (order == 0)
            order = (a->size > b->size) - (a->size < b->size);
    }
    return order != 0 ? order : (a->at > b->at) - (a->at < b->at);
}

static key key_at(lua_State *L, int index, lua_Integer at)
{
    key k = {.rank = KEY_REST, .at = at};
    if (lua_type(L, index) == LUA_TNUMBER) {
        k.rank = KEY_NUMBER;
        k.whole = lua_isinteger(L, index);
        k.number = lua_tonumber(L, index);
        k.i = k.whole ? lua_tointeger(L, index) : 0;
    } else if (lua_type(L, index) == LUA_TSTRING) {
        k.rank = KEY_TEXT;
        k.text = lua_tolstring(L, index, &k.size);
    }
    return k;
}

/* Upvalues: the sorted keys, and how many are done. Called with the table. */
static int step(lua_State *L)
{
    lua_settop(L, 1);
    for (;;) {
        lua_Integer at = lua_tointeger(L, lua_upvalueindex(2)) + 1;
        if (lua_rawgeti(L, lua_upvalueindex(1), at) == LUA_TNIL)
            return 1;
        lua_pushinteger(L, at);
        lua_replace(L, lua_upvalueindex(2));
        lua_pushvalue(L, -1);
        if (lua_rawget(L, 1) != LUA_TNIL)
            return 2;
        lua_settop(L, 1);
    }
}

/* Pushes a table with the keys of the table at 1 in order; returns how many. */
static lua_Integer push_keys(lua_State *L)
{
    lua_newtable(L); /* as the library has them: keeps them alive */
    int found = lua_gettop(L);
    lua_Integer n = 0;
    for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
        lua_pushvalue(L, -2);
        lua_rawseti(L, found, ++n);
    }
    key *keys = lua_newuserdatauv(L, (size_t)n * sizeof *keys + 1, 0);
    for (lua_Integer i = 1; i <= n; i++) {
        lua_rawgeti(L, found, i);
        keys[i - 1] = key_at(L, -1, i);
        lua_pop(L, 1);
    }
    qsort(keys, (size_t)n, sizeof *keys, compare);
    lua_createtable(L, n < 1 << 20 ? (int)n : 0, 0);
    for (lua_Integer i = 1; i <= n; i++) {
        lua_rawgeti(L, found, keys[i - 1].at);
        lua_rawseti(L, -2, i);
    }
    lua_replace(L, found);
    lua_settop(L, found);
    return n;
}

int mbl_pairs_of(lua_State *L)
{
    lua_settop(L, 1);
    (void)push_keys(L);
    lua_pushinteger(L, 0);
    lua_pushcclosure(L, step, 2);
    lua_pushvalue(L, 1);
    lua_pushnil(L);
    return 3;
}

static int pairs_after(lua_State *L, int status, lua_KContext ctx)
{
    (void)L;
    (void)status;
    (void)ctx;
    return 3;
}

static int sorted_pairs(lua_State *L)
{
    luaL_checkany(L, 1);
    if (luaL_getmetafield(L, 1, "__pairs") != LUA_TNIL) {
        lua_pushvalue(L, 1);
        lua_callk(L, 1, 3, 0, pairs_after);
        return 3;
    }
    luaL_checktype(L, 1, LUA_TTABLE);
    return mbl_pairs_of(L);
}

/* ---- next ---- */

/*
 * A walk is the table of keys in order, with the place of the last one given at [0]. Walks are
 * found by the table they are of, in a table with weak keys, which is upvalue 1.
 */
static void set_walk(lua_State *L, int walk)
{
    lua_pushvalue(L, 1);
    lua_pushvalue(L, walk);
    lua_rawset(L, lua_upvalueindex(1));
}

/*
 * The first key of the table at 1 and its value, or nil. Mostly that is all that is asked for, so
 * the walk is left to the next call, but where that could not find a key again once it is removed.
 */
static int first(lua_State *L)
{
    set_walk(L, 2); /* nil */
    lua_Integer n = 0;
    bool rest = false;
    key best = {0};
    for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
        key k = key_at(L, -2, ++n);
        rest = rest || k.rank == KEY_REST;
        if (n > 1 && compare(&k, &best) >= 0)
            continue;
        best = k;
        lua_pushvalue(L, -2);
        lua_replace(L, 2);
    }
    if (n == 0)
        return 1;
    lua_settop(L, 2);
    if (rest) {
        (void)push_keys(L);
        lua_rawgeti(L, 3, 1);
        lua_replace(L, 2);
        lua_pushinteger(L, 1);
        lua_rawseti(L, 3, 0);
        set_walk(L, 3);
        lua_settop(L, 2);
    }
    lua_pushvalue(L, 2);
    lua_rawget(L, 1);
    return 2;
}

/* Does the walk at 3 stand at the key at 2? */
static bool stands(lua_State *L, lua_Integer *at)
{
    if (!lua_istable(L, 3))
        return false;
    lua_rawgeti(L, 3, 0);
    *at = lua_tointeger(L, -1);
    lua_rawgeti(L, 3, *at);
    bool there = lua_rawequal(L, -1, 2);
    lua_pop(L, 2);
    return there;
}

/* The last of the n keys at 3 that is not behind the key at 2, which may have been removed. */
static lua_Integer find(lua_State *L, lua_Integer n)
{
    key wanted = key_at(L, 2, 0);
    for (lua_Integer i = 1; i <= n; i++) {
        lua_rawgeti(L, 3, i);
        key k = key_at(L, -1, 0);
        bool same = lua_rawequal(L, -1, 2);
        int order = compare(&k, &wanted);
        lua_pop(L, 1);
        if (same)
            return i;
        if (wanted.rank != KEY_REST && order > 0)
            return i - 1;
    }
    return wanted.rank != KEY_REST ? n : luaL_error(L, "invalid key to 'next'");
}

static int sorted_next(lua_State *L)
{
    luaL_checktype(L, 1, LUA_TTABLE);
    lua_settop(L, 2);
    if (lua_isnil(L, 2))
        return first(L);
    lua_Integer at = 0;
    lua_pushvalue(L, 1);
    lua_rawget(L, lua_upvalueindex(1));
    if (!stands(L, &at)) {
        lua_settop(L, 2);
        lua_Integer n = push_keys(L);
        at = find(L, n);
        set_walk(L, 3);
    }
    for (;;) {
        if (lua_rawgeti(L, 3, ++at) == LUA_TNIL) {
            set_walk(L, 4); /* nil */
            return 1;
        }
        lua_pushvalue(L, 4);
        if (lua_rawget(L, 1) != LUA_TNIL)
            break;
        lua_settop(L, 3);
    }
    lua_pushinteger(L, at);
    lua_rawseti(L, 3, 0);
    return 2;
}

void mbl_pairs_open(lua_State *L)
{
    lua_register(L, "pairs", sorted_pairs);
    lua_newtable(L);
    lua_newtable(L);
    lua_pushliteral(L, "k");
    lua_setfield(L, -2, "__mode");
    lua_setmetatable(L, -2);
    lua_pushcclosure(L, sorted_next, 1);
    lua_setglobal(L, "next");
}
