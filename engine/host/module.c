/* SPDX-License-Identifier: MIT */
#include "host/module.h"

#include "host/files.h"

#include <stdint.h>
#include <string.h>

/* Registry: name -> what the module returned, or `loading` while it runs. */
static const char modules_tag;
static const char loading_tag;
static const char chain_tag;
static const char source_tag;

/* Source text that Lua frees when compiling raises. */
typedef struct source {
    const mbl_alloc *alloc;
    char *bytes;
    size_t size;
} source;

int mbl_module_load(lua_State *L, const char *name, const char *bytes, size_t size)
{
    if (size >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) {
        bytes += 3;
        size -= 3;
    }
    if (size > 0 && bytes[0] == '#')
        /* its line feed stays, so that lines keep their numbers */
        for (; size > 0 && *bytes != '\n'; size--)
            bytes++;
    lua_pushfstring(L, "@%s", name);
    int status = luaL_loadbufferx(L, bytes, size, lua_tostring(L, -1), "t");
    lua_remove(L, -2);
    if (status == LUA_ERRSYNTAX && size > 0 && bytes[0] == LUA_SIGNATURE[0]) {
        lua_pop(L, 1);
        lua_pushfstring(L, "%s: this is Lua bytecode; only source text is run", name);
    }
    return status;
}

static void free_source(source *s)
{
    if (s->bytes != NULL)
        mbl_free(s->alloc, s->bytes, s->size + 1, 1);
    s->bytes = NULL;
}

static int collect_source(lua_State *L)
{
    source *s = mbl_lua_test(L, 1, &source_tag);
    if (s != NULL)
        free_source(s);
    return 0;
}

/* "cars.coupe" -> "cars/coupe.lua"; false when it is no module name. */
static bool file_of(const char *name, char file[MBL_HOST_PATH])
{
    size_t n = strlen(name);
    if (n == 0 || n > 180 || name[0] == '.' || name[n - 1] == '.' || strstr(name, "..") != NULL)
        return false;
    for (size_t i = 0; i < n; i++) {
        char c = name[i];
        bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                     c == '_' || c == '-';
        if (!plain && c != '.')
            return false;
        file[i] = c == '.' ? '/' : c;
    }
    memcpy(file + n, ".lua", 5);
    return true;
}

/* Raises "a requires b requires a"; the chain of modules that are loading is on top. */
static int refuse_circle(lua_State *L, const char *name)
{
    lua_Integer n = luaL_len(L, -1);
    luaL_Buffer text;
    luaL_buffinit(L, &text);
    bool on = false;
    for (lua_Integer i = 1; i <= n; i++) {
        lua_rawgeti(L, 2, i);
        on = on || strcmp(lua_tostring(L, -1), name) == 0;
        if (on) {
            luaL_addvalue(&text);
            luaL_addstring(&text, " requires ");
        } else {
            lua_pop(L, 1);
        }
    }
    luaL_addstring(&text, name);
    luaL_pushresult(&text);
    return mbl_host_wrong(L, "", "modules require each other in a circle: %.400s",
                          lua_tostring(L, -1));
}

/* Pushes the compiled module. */
static void load_file(lua_State *L, const char *name)
{
    char file[MBL_HOST_PATH];
    char path[MBL_HOST_PATH];
    mbl_error err = {0};
    mbl_host *host = mbl_host_of(L);
    if (!file_of(name, file))
        (void)mbl_host_wrong(L, "",
                             "\"%.60s\" is no module name: letters, digits, _ and -, with a dot "
                             "between folders",
                             name);
    source *s = mbl_lua_new(L, &source_tag, sizeof *s, 0);
    s->alloc = &host->store.alloc;
    mbl_status status = mbl_files_find(host, "module", file, path, &err);
    if (status == MBL_OK)
        status = mbl_file_read(s->alloc, path, MBL_MODULE_LIMIT, &s->bytes, &s->size, &err);
    if (status != MBL_OK)
        (void)mbl_host_raise(L, &err);
    int loaded = mbl_module_load(L, path, s->bytes, s->size);
    free_source(s);
    if (loaded != LUA_OK)
        (void)lua_error(L);
}

static void set_module(lua_State *L, const char *name)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, &modules_tag);
    lua_insert(L, -2);
    lua_setfield(L, -2, name);
    lua_pop(L, 1);
}

static void set_chain(lua_State *L, lua_Integer at, const char *name)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, &chain_tag);
    lua_pushstring(L, name);
    lua_rawseti(L, -2, at);
    lua_pop(L, 1);
}

static int require(lua_State *L)
{
    size_t size = 0;
    const char *name = luaL_checklstring(L, 1, &size);
    if (strlen(name) != size)
        return mbl_host_wrong(L, "", "the name of a module holds a zero byte");
    lua_settop(L, 1);
    lua_rawgetp(L, LUA_REGISTRYINDEX, &modules_tag);
    if (lua_getfield(L, 2, name) != LUA_TNIL) {
        if (lua_touserdata(L, -1) != &loading_tag)
            return 1;
        lua_settop(L, 1);
        lua_rawgetp(L, LUA_REGISTRYINDEX, &chain_tag);
        return refuse_circle(L, name);
    }
    lua_settop(L, 1);
    load_file(L, name);
    lua_rawgetp(L, LUA_REGISTRYINDEX, &chain_tag);
    lua_Integer depth = luaL_len(L, -1) + 1;
    lua_pop(L, 1);
    set_chain(L, depth, name);
    lua_pushlightuserdata(L, (void *)(uintptr_t)&loading_tag);
    set_module(L, name);
    lua_pushvalue(L, 1);
    int status = lua_pcall(L, 1, 1, 0);
    set_chain(L, depth, NULL);
    if (status != LUA_OK) {
        lua_pushnil(L);
        set_module(L, name);
        return lua_error(L);
    }
    if (lua_isnil(L, -1)) {
        lua_pop(L, 1);
        lua_pushboolean(L, 1);
    }
    lua_pushvalue(L, -1);
    set_module(L, name);
    return 1;
}

void mbl_module_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect_source}, {NULL, NULL}};
    mbl_lua_type(L, &source_tag, "source", meta);
    lua_newtable(L);
    lua_insert(L, -2);
    lua_setfield(L, -2, "emberlap");
    lua_rawsetp(L, LUA_REGISTRYINDEX, &modules_tag);
    lua_newtable(L);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &chain_tag);
    lua_register(L, "require", require);
}
