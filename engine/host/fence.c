/* SPDX-License-Identifier: MIT */
/*
 * What is taken away, and the way round that each removal closes:
 *   dofile, loadfile, require of C      files and machine code
 *   string.dump, binary chunks in load  bytecode is not checked and can crash the machine
 *   __gc                                finalisers run with hooks off
 *   xpcall's handler inside the error   handlers run with hooks off; ours runs after it
 *   %p, table: 0x...                    addresses differ from run to run
 *   getmetatable("")                    one table for all strings
 *   collectgarbage, warn                state of the host
 *   math.randomseed()                   the clock as a seed
 *   ("").rep("", 1e15)                  a loop that does nothing
 *   rawset of what `require` gives      one table for all modules
 *
 * Loops within one call that do something (patterns, table.move, table.sort) are not taken away:
 * the watch ends them.
 */
#include "host/fence.h"

#include <lualib.h>
#include <string.h>

void mbl_fence_text(lua_State *L, int index)
{
    index = lua_absindex(L, index);
    switch (lua_type(L, index)) {
    case LUA_TNIL:
    case LUA_TBOOLEAN:
    case LUA_TNUMBER:
    case LUA_TSTRING:
        luaL_tolstring(L, index, NULL);
        return;
    default:
        break;
    }
    /* exactly one value is pushed: callers have a buffer beneath */
    if (luaL_getmetafield(L, index, "__tostring") != LUA_TNIL) {
        lua_pop(L, 1);
        luaL_tolstring(L, index, NULL);
        return;
    }
    int named = luaL_getmetafield(L, index, "__name");
    if (named == LUA_TSTRING)
        return;
    if (named != LUA_TNIL)
        lua_pop(L, 1);
    lua_pushstring(L, luaL_typename(L, index));
}

static int to_string(lua_State *L)
{
    luaL_checkany(L, 1);
    mbl_fence_text(L, 1);
    return 1;
}

static int print(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    int n = lua_gettop(L);
    luaL_Buffer line;
    luaL_buffinit(L, &line);
    for (int i = 1; i <= n; i++) {
        if (i > 1)
            luaL_addchar(&line, '\t');
        mbl_fence_text(L, i);
        luaL_addvalue(&line);
    }
    luaL_addchar(&line, '\n');
    luaL_pushresult(&line);
    size_t size = 0;
    const char *text = lua_tolstring(L, -1, &size);
    if (size > MBL_HOST_PRINT - host->printed)
        return mbl_host_stop(L, MBL_STOP_PRINTED);
    host->printed += size;
    fwrite(text, 1, size, host->options->out);
    return 0;
}

/*
 * The library's function behind one of ours, in the same frame, so that its errors have the line
 * and the name of the call. Only for functions of the library that have no upvalues.
 */
static int go_on(lua_State *L)
{
    return lua_tocfunction(L, lua_upvalueindex(1))(L);
}

/* load(chunk, name, mode, env) with mode always "t". */
static int load(lua_State *L)
{
    if (lua_gettop(L) < 3)
        lua_settop(L, 3);
    lua_pushliteral(L, "t");
    lua_replace(L, 3);
    return go_on(L);
}

static int set_metatable(lua_State *L)
{
    luaL_checktype(L, 1, LUA_TTABLE);
    luaL_argexpected(L, lua_isnil(L, 2) || lua_istable(L, 2), 2, "nil or table");
    if (lua_istable(L, 2)) {
        lua_pushliteral(L, "__gc");
        if (lua_rawget(L, 2) != LUA_TNIL)
            return luaL_error(L, "__gc is not for scripts");
        lua_pop(L, 1);
    }
    if (luaL_getmetafield(L, 1, "__metatable") != LUA_TNIL)
        return luaL_error(L, "cannot change a protected metatable");
    lua_settop(L, 2);
    lua_setmetatable(L, 1);
    return 1;
}

/* What is sealed is not changed behind its metatable either. */
static int raw_set(lua_State *L)
{
    if (mbl_fence_sealed(L, 1))
        return luaL_error(L, "this table is not changed");
    return go_on(L);
}

/* After the protected call of xpcall: [1] the handler, then what the call left. */
static int handle(lua_State *L, int status, lua_KContext ctx)
{
    (void)ctx;
    if (status == LUA_OK || status == LUA_YIELD) {
        lua_pushboolean(L, 1);
        lua_replace(L, 1);
        return lua_gettop(L);
    }
    lua_pushvalue(L, 1);
    lua_insert(L, -2);
    (void)lua_pcall(L, 1, 1, 0);
    lua_pushboolean(L, 0);
    lua_insert(L, -2);
    return 2;
}

static int protected_call(lua_State *L)
{
    luaL_checktype(L, 2, LUA_TFUNCTION);
    lua_pushvalue(L, 1);
    lua_pushvalue(L, 2);
    lua_replace(L, 1);
    lua_replace(L, 2);
    int n = lua_gettop(L) - 2;
    return handle(L, lua_pcallk(L, n, LUA_MULTRET, 0, 0, handle), 0);
}

static int repeat(lua_State *L)
{
    size_t size = 0;
    size_t between = 0;
    luaL_checklstring(L, 1, &size);
    luaL_optlstring(L, 3, "", &between);
    if (size + between == 0) {
        lua_pushliteral(L, "");
        return 1;
    }
    return go_on(L);
}

/* string.format whose %s shows no address, and without %p. */
static int format(lua_State *L)
{
    size_t size = 0;
    const char *f = luaL_checklstring(L, 1, &size);
    const char *end = f + size; /* zero bytes are text to the library */
    int n = lua_gettop(L);
    int arg = 1;
    for (; f < end; f++) {
        if (*f != '%' || *++f == '%')
            continue;
        f += strspn(f, "-+ #0123456789.");
        if (f == end)
            break;
        arg++;
        if (*f == 'p')
            return luaL_error(L, "%%p is not for scripts");
        if (*f == 's' && arg <= n) {
            mbl_fence_text(L, arg);
            lua_replace(L, arg);
        }
    }
    return go_on(L);
}

/* Upvalue: the library's own, which has the generator as its upvalue. */
static int random_seed(lua_State *L)
{
    luaL_checknumber(L, 1);
    luaL_optinteger(L, 2, 0);
    int n = lua_gettop(L);
    lua_pushvalue(L, lua_upvalueindex(1));
    lua_insert(L, 1);
    lua_call(L, n, 0);
    return 0;
}

static const char seed_tag; /* registry: the library's own randomseed */

void mbl_fence_seed(lua_State *L, lua_Integer seed)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, &seed_tag);
    lua_pushinteger(L, seed);
    lua_call(L, 1, 0);
}

/* coroutine.create and wrap: what they make counts its instructions afresh, so the clock is looked
 * at here. */
static int new_coroutine(lua_State *L)
{
    mbl_host_look(L);
    return go_on(L);
}

/* Replaces field `name` of the table on top by `fn`, which gets the old one as upvalue. */
static void wrap(lua_State *L, const char *name, lua_CFunction fn)
{
    lua_getfield(L, -1, name);
    lua_pushcclosure(L, fn, 1);
    lua_setfield(L, -2, name);
}

static void drop(lua_State *L, const char *name)
{
    lua_pushnil(L);
    lua_setfield(L, -2, name);
}

static void open_libraries(lua_State *L)
{
    static const luaL_Reg libraries[] = {
        {LUA_GNAME, luaopen_base},       {LUA_STRLIBNAME, luaopen_string},
        {LUA_TABLIBNAME, luaopen_table}, {LUA_MATHLIBNAME, luaopen_math},
        {LUA_UTF8LIBNAME, luaopen_utf8}, {LUA_COLIBNAME, luaopen_coroutine},
    };
    for (size_t i = 0; i < sizeof libraries / sizeof libraries[0]; i++) {
        luaL_requiref(L, libraries[i].name, libraries[i].func, 1);
        lua_pop(L, 1);
    }
}

void mbl_fence_open(lua_State *L)
{
    open_libraries(L);
    lua_pushglobaltable(L);
    drop(L, "dofile");
    drop(L, "loadfile");
    drop(L, "collectgarbage");
    drop(L, "warn");
    wrap(L, "load", load);
    wrap(L, "rawset", raw_set);
    lua_register(L, "print", print);
    lua_register(L, "tostring", to_string);
    lua_register(L, "setmetatable", set_metatable);
    lua_register(L, "xpcall", protected_call);
    lua_pop(L, 1);

    lua_getglobal(L, "string");
    drop(L, "dump");
    wrap(L, "rep", repeat);
    wrap(L, "format", format);
    lua_pop(L, 1);

    lua_getglobal(L, "coroutine");
    wrap(L, "create", new_coroutine);
    wrap(L, "wrap", new_coroutine);
    lua_pop(L, 1);

    lua_getglobal(L, "math");
    lua_getfield(L, -1, "randomseed");
    lua_pushvalue(L, -1);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &seed_tag);
    lua_pushinteger(L, 1);
    lua_call(L, 1, 0);
    wrap(L, "randomseed", random_seed);
    lua_pop(L, 1);

    lua_pushliteral(L, "");
    lua_getmetatable(L, -1);
    lua_pushboolean(L, 0);
    lua_setfield(L, -2, "__metatable");
    lua_pop(L, 2);
    mbl_pairs_open(L);
}
