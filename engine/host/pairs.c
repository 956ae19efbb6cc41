/* SPDX-License-Identifier: MIT */
/*
 * pairs in an order that does not depend on where things lie in memory: numbers upwards, then
 * strings byte by byte, then the rest as `next` has it. The keys are taken when the loop begins;
 * a key that is removed meanwhile is passed over, as with the library's own.
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

/* Pushes a table with the keys of the table at 1 in order. */
static void push_keys(lua_State *L)
{
    lua_newtable(L); /* as next has them: keeps them alive */
    lua_Integer n = 0;
    for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
        lua_pushvalue(L, -2);
        lua_rawseti(L, 2, ++n);
    }
    key *keys = lua_newuserdatauv(L, (size_t)n * sizeof *keys + 1, 0);
    for (lua_Integer i = 1; i <= n; i++) {
        lua_rawgeti(L, 2, i);
        keys[i - 1] = key_at(L, -1, i);
        lua_pop(L, 1);
    }
    qsort(keys, (size_t)n, sizeof *keys, compare);
    lua_createtable(L, n < 1 << 20 ? (int)n : 0, 0);
    for (lua_Integer i = 1; i <= n; i++) {
        lua_rawgeti(L, 2, keys[i - 1].at);
        lua_rawseti(L, -2, i);
    }
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
    lua_settop(L, 1);
    push_keys(L);
    lua_pushinteger(L, 0);
    lua_pushcclosure(L, step, 2);
    lua_pushvalue(L, 1);
    lua_pushnil(L);
    return 3;
}

void mbl_pairs_open(lua_State *L)
{
    lua_register(L, "pairs", sorted_pairs);
}
