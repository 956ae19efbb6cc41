/* SPDX-License-Identifier: MIT */
#include "host/context.h"

#include <stdarg.h>
#include <string.h>

/* Instructions between two looks at the clock. */
enum { STRIDE = 1000 };

/* Most calls from the engine into the script that are open at once: frames of the engine are large,
 * and a law may ask for a part whose law asks for a part. */
enum { CALLS = 8 };

static const char text_tag;

mbl_host *mbl_host_of(lua_State *L)
{
    return *(mbl_host **)lua_getextraspace(L);
}

static void *metered(void *ctx, void *p, size_t old_size, size_t new_size)
{
    mbl_meter *m = ctx;
    size_t others = m->used - old_size;
    if (new_size > old_size && (new_size > m->cap || others > m->cap - new_size))
        return NULL;
    void *moved = m->base->fn(m->base->ctx, p, old_size, new_size);
    if (moved != NULL || new_size == 0)
        m->used = others + new_size;
    return moved;
}

void mbl_meter_init(mbl_meter *meter, const mbl_alloc *base, size_t cap)
{
    *meter = (mbl_meter){.base = base, .cap = cap};
    meter->alloc = (mbl_alloc){metered, meter};
}

void mbl_host_where(lua_State *L, char *file, size_t room, int *line)
{
    lua_Debug ar;
    snprintf(file, room, "%s", mbl_host_of(L)->script);
    *line = 0;
    for (int level = 0; lua_getstack(L, level, &ar); level++) {
        if (!lua_getinfo(L, "Sl", &ar) || ar.currentline <= 0)
            continue;
        *line = ar.currentline;
        snprintf(file, room, "%s", ar.source[0] == '@' ? ar.source + 1 : ar.short_src);
        return;
    }
}

/* Is this a failure of the engine, and not of what it was given? */
static bool is_engine(mbl_status status)
{
    return status == MBL_MEMORY || status == MBL_NUMERIC || status == MBL_INTERNAL;
}

int mbl_host_raise(lua_State *L, const mbl_error *err)
{
    mbl_host *host = mbl_host_of(L);
    char file[MBL_HOST_PATH];
    int line = err->line;
    if (err->file[0] != '\0')
        snprintf(file, sizeof file, "%s", err->file);
    else
        mbl_host_where(L, file, sizeof file, &line);
    char at[24] = "";
    if (line > 0)
        snprintf(at, sizeof at, ":%d", line);
    lua_pushfstring(L, "%s%s: %s%s%s", file, at, err->path, err->path[0] != '\0' ? ": " : "",
                    err->text);
    if (err->file[0] != '\0') {
        mbl_host_where(L, file, sizeof file, &line);
        lua_pushfstring(L, " (from %s:%d)", file, line);
        lua_concat(L, 2);
    }
    if (is_engine(err->status))
        snprintf(host->engine, sizeof host->engine, "%s", lua_tostring(L, -1));
    return lua_error(L);
}

int mbl_host_wrong(lua_State *L, const char *path, const char *format, ...)
{
    mbl_error err = {.status = MBL_INPUT};
    snprintf(err.path, sizeof err.path, "%s", path);
    va_list args;
    va_start(args, format);
    vsnprintf(err.text, sizeof err.text, format, args);
    va_end(args);
    return mbl_host_raise(L, &err);
}

void mbl_host_look(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    const mbl_host_options *o = host->options;
    if (host->stop != MBL_STOP_NONE)
        (void)mbl_host_stop(L, host->stop);
    if (o->interrupt != NULL && *o->interrupt != 0)
        (void)mbl_host_stop(L, MBL_STOP_INTERRUPTED);
    if (mbl_allowance_over(&host->time))
        (void)mbl_host_stop(L, MBL_STOP_ALLOWANCE);
}

static void count(lua_State *L, lua_Debug *ar)
{
    mbl_host *host = mbl_host_of(L);
    int line = 0;
    if (lua_getinfo(L, "Sl", ar) && ar->source[0] == '@' &&
        strcmp(ar->source + 1, host->script) == 0)
        line = ar->currentline;
    mbl_allowance_seen(&host->time, line);
    mbl_host_look(L);
}

void mbl_host_engine_begin(mbl_host *host)
{
    mbl_allowance_engine_begin(&host->time);
}

void mbl_host_engine_end(mbl_host *host)
{
    mbl_allowance_engine_end(&host->time);
}

bool mbl_host_script_begin(mbl_host *host, int *engine)
{
    if (host->calls == CALLS)
        return false;
    host->calls++;
    *engine = mbl_allowance_script_begin(&host->time);
    return true;
}

void mbl_host_script_end(mbl_host *host, int engine)
{
    host->calls--;
    mbl_allowance_script_end(&host->time, engine);
}

int mbl_host_stop(lua_State *L, mbl_script_stop why)
{
    mbl_host *host = mbl_host_of(L);
    if (host->stop == MBL_STOP_NONE) {
        host->stop = why;
        int line = 0;
        mbl_host_where(L, host->stop_at, sizeof host->stop_at - 12, &line);
        size_t n = strlen(host->stop_at);
        if (line > 0)
            snprintf(host->stop_at + n, sizeof host->stop_at - n, ":%d", line);
        mbl_allowance_ask(&host->time, host->stop_at);
    }
    /* whoever catches this is stopped again at the next instruction */
    lua_sethook(L, count, LUA_MASKCOUNT, 1);
    if (L != host->L)
        lua_sethook(host->L, count, LUA_MASKCOUNT, 1);
    lua_pushlightuserdata(L, host);
    return lua_error(L);
}

void mbl_host_watch(lua_State *L)
{
    lua_sethook(L, count, LUA_MASKCOUNT, STRIDE);
}

void mbl_host_note(mbl_host *host, const char *format, ...)
{
    if (host->options->quiet || host->noted > MBL_HOST_NOTES)
        return;
    if (host->noted++ == MBL_HOST_NOTES)
        format = "no more notes on this script";
    va_list args;
    va_start(args, format);
    fprintf(host->options->notes, "emberlap: ");
    vfprintf(host->options->notes, format, args);
    fprintf(host->options->notes, "\n");
    va_end(args);
}

void mbl_lua_type(lua_State *L, const void *tag, const char *name, const luaL_Reg *meta)
{
    lua_newtable(L);
    luaL_setfuncs(L, meta, 0);
    lua_pushstring(L, name);
    lua_setfield(L, -2, "__name");
    lua_pushboolean(L, 0);
    lua_setfield(L, -2, "__metatable");
    lua_rawsetp(L, LUA_REGISTRYINDEX, tag);
}

void *mbl_lua_new(lua_State *L, const void *tag, size_t size, int uservalues)
{
    void *block = lua_newuserdatauv(L, size, uservalues);
    memset(block, 0, size);
    lua_rawgetp(L, LUA_REGISTRYINDEX, tag);
    lua_setmetatable(L, -2);
    return block;
}

void *mbl_lua_test(lua_State *L, int index, const void *tag)
{
    void *block = lua_type(L, index) == LUA_TUSERDATA ? lua_touserdata(L, index) : NULL;
    if (block == NULL || !lua_checkstack(L, 2) || !lua_getmetatable(L, index))
        return NULL;
    lua_rawgetp(L, LUA_REGISTRYINDEX, tag);
    bool same = lua_rawequal(L, -1, -2);
    lua_pop(L, 2);
    return same ? block : NULL;
}

static int free_text(lua_State *L)
{
    mbl_text *text = mbl_lua_test(L, 1, &text_tag);
    if (text != NULL)
        mbl_text_free(text);
    return 0;
}

mbl_text *mbl_lua_text(lua_State *L)
{
    /* its type is made on first use: it is needed before any binding exists */
    if (lua_rawgetp(L, LUA_REGISTRYINDEX, &text_tag) == LUA_TNIL) {
        static const luaL_Reg meta[] = {{"__gc", free_text}, {NULL, NULL}};
        mbl_lua_type(L, &text_tag, "text", meta);
    }
    lua_pop(L, 1);
    mbl_text *text = mbl_lua_new(L, &text_tag, sizeof *text, 0);
    mbl_text_init(text, &mbl_host_of(L)->store.alloc);
    return text;
}

int mbl_lua_page(lua_State *L, mbl_text *text)
{
    if (text->failed)
        return luaL_error(L, "out of memory");
    size_t n = text->length;
    while (n > 0 && text->data[n - 1] == '\n')
        n--;
    lua_pushlstring(L, mbl_text_get(text), n);
    mbl_text_free(text);
    return 1;
}

void mbl_lua_charge(lua_State *L, size_t before)
{
    size_t now = mbl_host_of(L)->store.used;
    size_t kb = now > before ? (now - before) / 1024 : 0;
    if (kb > 0)
        lua_gc(L, LUA_GCSTEP, kb < 1000000 ? (int)kb : 1000000);
    mbl_host_look(L);
}

int mbl_host_unknown(lua_State *L, const char *owner, const char *name, const char *const *names,
                     size_t n)
{
    const char *meant = mbl_nearest(name, names, n);
    if (meant != NULL)
        return mbl_host_wrong(L, "", "%s has no \"%.60s\"; did you mean \"%s\"?", owner, name,
                              meant);
    char known[400] = "";
    size_t used = 0;
    for (size_t i = 0; i < n && used + strlen(names[i]) + 8 < sizeof known; i++) {
        size_t before = 0; /* what is there, and what may be there, overlap */
        while (before < i && strcmp(names[before], names[i]) != 0)
            before++;
        if (before < i)
            continue;
        used += (size_t)snprintf(known + used, sizeof known - used, "%s%s", i > 0 ? ", " : "",
                                 names[i]);
    }
    return mbl_host_wrong(L, "", "%s has no \"%.60s\"; it has: %s", owner, name, known);
}
