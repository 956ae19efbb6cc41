/* SPDX-License-Identifier: MIT */
/*
 * Tables that all modules of a script share, as a script sees them: an empty table in front of the
 * real one, which no function of the language then reaches.
 */
#include "host/fence.h"

static const char seal_tag; /* in the metatable of what is sealed */

/* Upvalue: what it is called. */
static int refuse(lua_State *L)
{
    return mbl_host_wrong(L, "", "%s is not changed", lua_tostring(L, lua_upvalueindex(1)));
}

/* Upvalue: the table behind. A copy is walked: the walk itself shows the table it is of. */
static int walk(lua_State *L)
{
    lua_settop(L, 0);
    lua_newtable(L);
    for (lua_pushnil(L); lua_next(L, lua_upvalueindex(1));) {
        lua_pushvalue(L, -2);
        lua_insert(L, -2);
        lua_rawset(L, 1);
    }
    return mbl_pairs_of(L);
}

void mbl_fence_seal(lua_State *L, const char *name)
{
    lua_newtable(L);
    lua_newtable(L);
    lua_pushvalue(L, -3);
    lua_setfield(L, -2, "__index");
    lua_pushstring(L, name);
    lua_pushcclosure(L, refuse, 1);
    lua_setfield(L, -2, "__newindex");
    lua_pushvalue(L, -3);
    lua_pushcclosure(L, walk, 1);
    lua_setfield(L, -2, "__pairs");
    lua_pushboolean(L, 0);
    lua_setfield(L, -2, "__metatable");
    lua_pushboolean(L, 1);
    lua_rawsetp(L, -2, &seal_tag);
    lua_setmetatable(L, -2);
    lua_remove(L, -2);
}

bool mbl_fence_sealed(lua_State *L, int index)
{
    if (lua_type(L, index) != LUA_TTABLE || !lua_getmetatable(L, index))
        return false;
    bool sealed = lua_rawgetp(L, -1, &seal_tag) != LUA_TNIL;
    lua_pop(L, 2);
    return sealed;
}
