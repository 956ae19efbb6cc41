/* SPDX-License-Identifier: MIT */
#include "host/function.h"

typedef struct script_function {
    mbl_function law; /* first: the object of the node */
    const mbl_alloc *alloc;
    lua_State *L;
    int reference; /* in the registry */
} script_function;

/* Called protected: [1] a script_function as light userdata, [2] the function. */
static int refer(lua_State *L)
{
    script_function *f = lua_touserdata(L, 1);
    lua_pushvalue(L, 2);
    f->reference = luaL_ref(L, LUA_REGISTRYINDEX);
    return 0;
}

static mbl_status evaluate(void *ctx, const double *x, int n, double *y, mbl_error *err)
{
    script_function *f = ctx;
    lua_State *L = f->L;
    int top = lua_gettop(L);
    if (!lua_checkstack(L, n + 4))
        return mbl_fail(err, MBL_MEMORY, "out of memory");
    lua_rawgeti(L, LUA_REGISTRYINDEX, f->reference);
    for (int i = 0; i < n; i++)
        lua_pushnumber(L, x[i]);
    mbl_status status = MBL_OK;
    int engine = 0;
    if (!mbl_host_script_begin(mbl_host_of(L), &engine)) {
        lua_settop(L, top);
        return mbl_fail(err, MBL_INPUT, "asks for parts whose functions ask for parts, too deep");
    }
    int raised = lua_pcall(L, n, 1, 0);
    mbl_host_script_end(mbl_host_of(L), engine);
    if (raised != LUA_OK) {
        const char *text = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "an error";
        status = mbl_fail(err, MBL_INPUT, "%.300s", text);
    } else if (lua_type(L, -1) != LUA_TNUMBER) {
        status = mbl_fail(err, MBL_INPUT, "gives %s, not a number", luaL_typename(L, -1));
    } else {
        *y = lua_tonumber(L, -1);
    }
    lua_settop(L, top);
    return status;
}

static void release(void *object)
{
    script_function *f = object;
    luaL_unref(f->L, LUA_REGISTRYINDEX, f->reference);
    mbl_free(f->alloc, f, 1, sizeof *f);
}

mbl_node *mbl_function_node(lua_State *L, const mbl_alloc *alloc, int index)
{
    script_function *f = mbl_new(alloc, 1, sizeof *f);
    if (f == NULL)
        return NULL;
    *f = (script_function){
        .law = {.at = evaluate, .ctx = f}, .alloc = alloc, .L = L, .reference = LUA_NOREF};
    index = lua_absindex(L, index);
    int top = lua_gettop(L);
    mbl_node *node = NULL;
    if (lua_checkstack(L, 4)) {
        lua_pushcfunction(L, refer);
        lua_pushlightuserdata(L, f);
        lua_pushvalue(L, index);
        if (lua_pcall(L, 2, 0, 0) == LUA_OK)
            node = mbl_node_handle(alloc, MBL_FUNCTION_TAG, f, release);
    }
    lua_settop(L, top);
    if (node == NULL)
        release(f);
    return node;
}
