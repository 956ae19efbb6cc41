/* SPDX-License-Identifier: MIT */
#include "host/run.h"

#include "host/course.h"
#include "host/definition.h"
#include "host/files.h"
#include "host/options.h"
#include "host/result_put.h"

#include <string.h>

static const char run_tag;
static const char last_tag; /* registry: the last run */

static mbl_status read_case(lua_State *L, mbl_node **bound, mbl_case *setup, mbl_error *err)
{
    MBL_TRY(mbl_definition_bind(L, &mbl_case_schema, 1, bound, err));
    mbl_extract(&mbl_case_schema, *bound, setup);
    mbl_status status = mbl_course_needed(&setup->course, err);
    if (status != MBL_OK)
        mbl_error_under(err, "run");
    return status;
}

/* Compiles the case at 1 and, unless this is a check, runs it. */
static mbl_status compile(lua_State *L, mbl_run_object *object, mbl_error *err)
{
    mbl_host *host = mbl_host_of(L);
    const mbl_alloc *alloc = &host->store.alloc;
    mbl_node *bound = NULL;
    mbl_case setup;
    mbl_status status = read_case(L, &bound, &setup, err);
    mbl_trace *made = NULL; /* laps of a layout */
    mbl_host_engine_begin(host);
    if (status == MBL_OK)
        status = mbl_course_laps(alloc, &setup, &made, err);
    if (status == MBL_OK && host->options->check)
        status = mbl_run_check(alloc, &setup, err);
    else if (status == MBL_OK)
        status = mbl_run_make(alloc, &setup, bound, 0, &object->run, err);
    mbl_host_engine_end(host);
    mbl_trace_drop(made);
    mbl_node_drop(bound);
    return status;
}

/* Is this run worse than all before it? */
static bool is_worst(const mbl_host *host, const mbl_run *run)
{
    if (host->runs == 0 || run->verdict != host->worst_verdict)
        return host->runs == 0 || run->verdict > host->worst_verdict;
    return mbl_check_rank(&run->checks[0]) < host->worst_rank;
}

/* Counts the verdict, and remembers what gives out first in the worst of all runs. */
static void tally(mbl_host *host, const mbl_run *run)
{
    bool worst = is_worst(host, run);
    host->runs++;
    host->passed += run->verdict == MBL_FAILS;
    host->marginal += run->verdict == MBL_MARGINAL;
    if (!worst)
        return;
    mbl_text text;
    mbl_text_init(&text, &host->store.alloc);
    mbl_out_tightest(run, host->options->units, &text);
    host->worst_verdict = run->verdict;
    host->worst_rank = mbl_check_rank(&run->checks[0]);
    snprintf(host->worst, sizeof host->worst, "%s", mbl_text_get(&text));
    mbl_text_free(&text);
}

int mbl_run_call(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    if (lua_gettop(L) != 1 || !lua_istable(L, 1))
        return mbl_host_wrong(L, "", "el.run takes one table: { car =, course =, stint = }");
    size_t before = host->store.used;
    mbl_run_object *object = mbl_lua_new(L, &run_tag, sizeof *object, 2);
    mbl_error err = {0};
    if (compile(L, object, &err) != MBL_OK)
        return mbl_host_raise(L, &err);
    if (object->run != NULL)
        tally(host, object->run);
    lua_pushvalue(L, -1);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &last_tag);
    mbl_lua_charge(L, before);
    return 1;
}

mbl_run *mbl_run_last(lua_State *L)
{
    lua_rawgetp(L, LUA_REGISTRYINDEX, &last_tag);
    const mbl_run_object *object = mbl_lua_test(L, -1, &run_tag);
    lua_pop(L, 1); /* the registry keeps it */
    return object != NULL ? object->run : NULL;
}

mbl_run_object *mbl_run_object_at(lua_State *L, int index)
{
    return mbl_lua_test(L, index, &run_tag);
}

static mbl_run_object *check(lua_State *L)
{
    mbl_run_object *object = mbl_lua_test(L, 1, &run_tag);
    if (object == NULL)
        (void)mbl_host_wrong(L, "", "run:save and its like are called on a run, with a colon");
    return object;
}

/* The run behind a use of its result; ends a check. */
static mbl_run *use(lua_State *L)
{
    const mbl_run_object *object = check(L);
    if (object->run == NULL)
        (void)mbl_host_stop(L, MBL_STOP_CHECKED);
    return object->run;
}

/* The plan, found when it is first asked for. */
static void push_plan(lua_State *L, mbl_run *run)
{
    mbl_error err = {0};
    mbl_host *host = mbl_host_of(L);
    size_t before = host->store.used;
    mbl_host_engine_begin(host);
    mbl_status status = mbl_run_plan(run, &err);
    mbl_host_engine_end(host);
    if (status != MBL_OK)
        (void)mbl_host_raise(L, &err);
    mbl_lua_charge(L, before);
    mbl_result_plan(L, run);
}

/* The run before the change, which the run at 1 holds. */
static void push_base(lua_State *L, const mbl_run *run)
{
    if (run->base == NULL) {
        lua_pushnil(L);
        return;
    }
    mbl_run_object *base = mbl_lua_new(L, &run_tag, sizeof *base, 2);
    base->run = run->base;
    base->borrowed = true;
    lua_pushvalue(L, 1);
    lua_setiuservalue(L, -2, 2);
}

/* What is not in the result from the start: into it, and on top. */
static void push_late(lua_State *L, mbl_run *run, const char *key)
{
    lua_pushvalue(L, 2);
    if (lua_rawget(L, -2) != LUA_TNIL)
        return;
    lua_pop(L, 1);
    if (strcmp(key, "plan") == 0)
        push_plan(L, run);
    else
        push_base(L, run);
    lua_pushvalue(L, 2);
    lua_pushvalue(L, -2);
    lua_rawset(L, -4);
}

static int index_of(lua_State *L)
{
    const char *key = lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : "";
    if (strcmp(key, "save") == 0) {
        lua_pushcfunction(L, mbl_run_save);
        return 1;
    }
    mbl_run *run = use(L);
    if (lua_getiuservalue(L, 1, 1) == LUA_TNIL) {
        mbl_result_push(L, run);
        lua_pushvalue(L, -1);
        lua_setiuservalue(L, 1, 1);
    }
    if (strcmp(key, "plan") == 0 || strcmp(key, "base") == 0) {
        push_late(L, run, key);
        return 1;
    }
    lua_pushvalue(L, 2);
    lua_gettable(L, -2);
    return 1;
}

static int set_index(lua_State *L)
{
    return mbl_host_wrong(L, "run", "a result is not changed");
}

mbl_status mbl_run_complete(mbl_run *run, mbl_error *err)
{
    MBL_TRY(mbl_run_doubt(run, err));
    return mbl_run_plan(run, err);
}

static int to_string(lua_State *L)
{
    mbl_run *run = use(L);
    mbl_host *host = mbl_host_of(L);
    mbl_error err = {0};
    mbl_host_engine_begin(host);
    mbl_status status = mbl_run_complete(run, &err);
    mbl_host_engine_end(host);
    if (status != MBL_OK)
        return mbl_host_raise(L, &err);
    mbl_text *text = mbl_lua_text(L);
    mbl_out_run(run, host->options->units, text);
    return mbl_lua_page(L, text);
}

typedef struct save_options {
    double every; /* s */
} save_options;

#define T save_options
static const mbl_field save_fields[] = {
    NUMBER("every", every, MBL_DEFAULT, TIME, MBL_CSV_LEAST, MBL_CSV_MOST, MBL_CSV_EVERY,
           "time between rows", ""),
};
#undef T
SCHEMA(mbl_save_schema, "save", save_options, save_fields, NULL, "Options of run:save.");

int mbl_run_save(lua_State *L)
{
    const mbl_run_object *object = check(L);
    mbl_host *host = mbl_host_of(L);
    if (lua_type(L, 2) != LUA_TSTRING || strlen(lua_tostring(L, 2)) != lua_rawlen(L, 2))
        return mbl_host_wrong(L, "save", "expected the name of a file such as \"sprint.csv\"");
    const char *name = lua_tostring(L, 2);
    bool csv = mbl_files_ends(name, ".csv");
    if (!csv && !mbl_files_ends(name, ".json"))
        return mbl_host_wrong(
            L, "save", "\"%.100s\" ends in neither .csv (history) nor .json (summary)", name);
    if (!csv && !lua_isnoneornil(L, 3))
        return mbl_host_wrong(L, "save", "a .json summary takes no options");
    save_options options;
    mbl_options_read(L, 3, &mbl_save_schema, &options);
    bool dry = object->run == NULL;
    char path[MBL_HOST_PATH];
    mbl_error err = {0};
    mbl_status status = mbl_files_place(host, name, dry, path, &err);
    mbl_host_engine_begin(host);
    if (status == MBL_OK && !dry && !csv)
        status = mbl_run_complete(object->run, &err);
    if (status == MBL_OK && !dry)
        status = csv ? mbl_out_run_csv(object->run, path, options.every, host->options->units, &err)
                     : mbl_out_run_json(object->run, path, &err);
    mbl_host_engine_end(host);
    return mbl_files_saved(L, path, status, &err);
}

static int collect(lua_State *L)
{
    mbl_run_object *object = mbl_lua_test(L, 1, &run_tag);
    if (object != NULL) {
        if (!object->borrowed)
            mbl_run_free(object->run);
        object->run = NULL;
    }
    return 0;
}

void mbl_run_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect},
                                    {"__index", index_of},
                                    {"__newindex", set_index},
                                    {"__tostring", to_string},
                                    {NULL, NULL}};
    mbl_lua_type(L, &run_tag, "run", meta);
}
