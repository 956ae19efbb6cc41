/* SPDX-License-Identifier: MIT */
#include "host/shortlist.h"

#include "host/progress.h"

#include <string.h>

/* Stack places of el.shortlist while it searches. */
enum { AT_TABLE = 1, AT_OBJECT, AT_CHANGE, AT_FIT };

typedef struct finder {
    lua_State *L;
    mbl_host *host;
    mbl_shortlist_object *object;
    mbl_progress progress;
} finder;

/* ---- the script's own rule ---- */

/* Called protected, with a finder and the options of the slots: what the rule says of them. */
typedef struct asked {
    finder *f;
    const unsigned *pick;
} asked;

/* Pushes { ["front.pad"] = the option as it stands in `change` }; what stays is not in it. */
static void push_pick(lua_State *L, const asked *a, int change)
{
    const mbl_shortlist_ask *ask = &a->f->object->ask;
    lua_createtable(L, 0, (int)ask->nslots);
    for (size_t i = 0; i < ask->nslots; i++) {
        const char *name = mbl_slot_name(ask->slot[i].kind);
        if (a->pick[i] == 0)
            continue;
        lua_getfield(L, change, name);
        lua_rawgeti(L, -1, (lua_Integer)a->pick[i]);
        lua_setfield(L, -3, name);
        lua_pop(L, 1);
    }
}

static int ask_rule(lua_State *L)
{
    const asked *a = lua_touserdata(L, 1);
    lua_rawgetp(L, LUA_REGISTRYINDEX, a->f);
    lua_rawgeti(L, -1, AT_FIT);
    lua_rawgeti(L, -2, AT_CHANGE);
    push_pick(L, a, lua_gettop(L));
    lua_remove(L, -2);
    lua_call(L, 1, 2);
    if (!lua_isboolean(L, -2))
        return luaL_error(L, "fit gives true, or false and why; not a %s", luaL_typename(L, -2));
    return 2;
}

static mbl_status fit(void *ctx, const mbl_pick pick, bool *fits, char why[MBL_WHY], mbl_error *err)
{
    finder *f = ctx;
    lua_State *L = f->L;
    int top = lua_gettop(L);
    asked a = {f, pick};
    int depth = 0;
    if (!lua_checkstack(L, 8))
        return mbl_fail(err, MBL_MEMORY, "out of memory asking fit");
    lua_pushcfunction(L, ask_rule);
    lua_pushlightuserdata(L, &a);
    if (!mbl_host_script_begin(f->host, &depth)) {
        lua_settop(L, top);
        return mbl_fail(err, MBL_INPUT, "a shortlist within another's fit goes too deep");
    }
    int raised = lua_pcall(L, 1, 2, 0);
    mbl_host_script_end(f->host, depth);
    mbl_status status = MBL_OK;
    if (raised == LUA_OK) {
        *fits = lua_toboolean(L, -2);
        snprintf(why, MBL_WHY, "%s",
                 lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "the script's own rule");
    } else if (f->host->stop != MBL_STOP_NONE) {
        status = mbl_fail(err, MBL_STOPPED, "stopped");
    } else {
        const char *text = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "an error";
        status = mbl_fail(err, MBL_INPUT, "%.600s", text);
        mbl_error_under(err, "fit");
    }
    lua_settop(L, top);
    return status;
}

static void told(void *ctx, size_t done, size_t most)
{
    finder *f = ctx;
    f->progress.all = most;
    mbl_progress_tell(&f->progress, done);
}

/* ---- the search ---- */

/* In a check: the first combination is compiled, and the list is not known. */
static mbl_status check_first(finder *f, mbl_error *err)
{
    mbl_shortlist_object *o = f->object;
    mbl_pick pick;
    mbl_case *setup = mbl_new(&f->host->store.alloc, 1, sizeof *setup);
    if (setup == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory checking a shortlist");
    *setup = o->setup;
    mbl_shortlist_pick(&o->ask, 0, pick);
    mbl_shortlist_car(&o->ask, pick, &setup->car);
    mbl_status status = mbl_run_check(&f->host->store.alloc, setup, err);
    mbl_free(&f->host->store.alloc, setup, 1, sizeof *setup);
    return status;
}

static mbl_status search(finder *f, mbl_error *err)
{
    mbl_shortlist_object *o = f->object;
    const mbl_host_options *options = f->host->options;
    o->ask.ctx = f;
    o->ask.told = told;
    o->ask.workers = options->workers > 0 ? options->workers : mbl_cpu_count();
    o->ask.stop = options->interrupt;
    mbl_progress_begin(&f->progress, f->host, "shortlist", 1, 0);
    mbl_status status = mbl_shortlist_run(&o->ask, &o->list, err);
    mbl_progress_end(&f->progress);
    o->known = status == MBL_OK;
    return status;
}

/* Where `ask_rule` finds change and rule. */
static void keep_rule(lua_State *L, finder *f)
{
    lua_createtable(L, AT_FIT, 0);
    lua_pushvalue(L, AT_CHANGE);
    lua_rawseti(L, -2, AT_CHANGE);
    lua_pushvalue(L, AT_FIT);
    lua_rawseti(L, -2, AT_FIT);
    lua_rawsetp(L, LUA_REGISTRYINDEX, f);
}

int mbl_shortlist_call(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    mbl_error err = {0};
    if (lua_gettop(L) != 1 || !lua_istable(L, 1))
        return mbl_host_wrong(
            L, "", "el.shortlist takes one table: { car =, course =, stint =, change = }");
    size_t before = host->store.used;
    finder f = {.L = L, .host = host, .object = mbl_shortlist_push(L)};
    lua_getfield(L, AT_TABLE, "change");
    int type = lua_getfield(L, AT_TABLE, "fit");
    if (type != LUA_TNIL && type != LUA_TFUNCTION)
        return mbl_host_wrong(L, "shortlist.fit",
                              "expected a function of a pick that gives true, or false and why");
    if (mbl_shortlist_read(L, AT_TABLE, f.object, &err) != MBL_OK)
        return mbl_host_raise(L, &err);
    if (f.object->lap != NULL)
        mbl_host_note(host, "shortlist: every package drives the lap of the car as it is (%.2f s)",
                      f.object->lap->laps[0].end);
    keep_rule(L, &f);
    f.object->ask.fit = type == LUA_TFUNCTION ? fit : NULL;
    mbl_host_engine_begin(host);
    mbl_status status = host->options->check ? check_first(&f, &err) : search(&f, &err);
    mbl_host_engine_end(host);
    lua_pushnil(L);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &f);
    f.object->ask.ctx = NULL;
    if (status == MBL_STOPPED)
        return mbl_host_stop(L, host->stop != MBL_STOP_NONE ? host->stop : MBL_STOP_INTERRUPTED);
    if (status != MBL_OK) {
        mbl_error_under(&err, "shortlist");
        return mbl_host_raise(L, &err);
    }
    lua_settop(L, AT_OBJECT);
    mbl_lua_charge(L, before);
    return 1;
}
