/* SPDX-License-Identifier: MIT */
#include "host/compare.h"

#include "host/run.h"

#include "out/compare.h"

#include <math.h>
#include <string.h>

static const char comparison_tag;

/* The userdata; its user value is the list of the runs, which keeps them. */
typedef struct comparison {
    size_t n; /* 0 in a check */
    const mbl_run *run[MBL_COMPARED_MOST];
    mbl_given inputs;
} comparison;

/* ---- making ---- */

/* Leaves a list of the runs at 1: that given, or the arguments. */
static void gather(lua_State *L)
{
    int n = lua_gettop(L);
    if (n == 1 && lua_istable(L, 1))
        return;
    lua_createtable(L, n, 0);
    lua_insert(L, 1);
    for (int i = n; i > 0; i--)
        lua_rawseti(L, 1, i);
}

int mbl_compare_call(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    mbl_error err = {0};
    gather(L);
    size_t n = lua_rawlen(L, 1);
    if (n < 2 || n > MBL_COMPARED_MOST)
        return mbl_host_wrong(L, "compare", "expected 2 to %d runs: el.compare(before, after)",
                              MBL_COMPARED_MOST);
    size_t before = host->store.used;
    comparison *c = mbl_lua_new(L, &comparison_tag, sizeof *c, 1);
    bool known = true;
    for (size_t i = 0; i < n; i++) {
        lua_rawgeti(L, 1, (lua_Integer)i + 1);
        mbl_run_object *object = mbl_run_object_at(L, -1);
        char path[40];
        snprintf(path, sizeof path, "compare[%zu]", i + 1);
        if (object == NULL)
            return mbl_host_wrong(L, path, "expected a run, which el.run gives, found a %s",
                                  luaL_typename(L, -1));
        if (object->run != NULL && object->run->tree == NULL)
            return mbl_host_wrong(L, path,
                                  "the base of a run keeps no inputs: run that car with el.run");
        c->run[i] = object->run;
        known = known && object->run != NULL;
        lua_pop(L, 1);
    }
    lua_pushvalue(L, 1);
    lua_setiuservalue(L, -2, 1);
    if (!known)
        return 1;
    mbl_host_engine_begin(host);
    mbl_status status = mbl_compare_inputs(&host->store.alloc, n, c->run, &c->inputs, &err);
    mbl_host_engine_end(host);
    if (status != MBL_OK)
        return mbl_host_raise(L, &err);
    c->n = n;
    mbl_lua_charge(L, before);
    return 1;
}

/* ---- reading ---- */

static const comparison *use(lua_State *L)
{
    const comparison *c = mbl_lua_test(L, 1, &comparison_tag);
    if (c == NULL)
        (void)mbl_host_wrong(L, "", "expected what el.compare gives");
    if (c->n == 0)
        (void)mbl_host_stop(L, MBL_STOP_CHECKED);
    return c;
}

/* Pushes { { key =, [1] =, [2] = ... }, ... }: values as the page has them. */
static void push_inputs(lua_State *L, const comparison *c)
{
    mbl_text *text = mbl_lua_text(L);
    lua_createtable(L, (int)c->inputs.n, 0);
    for (size_t i = 0; i < c->inputs.n; i++) {
        const mbl_given_row *row = &c->inputs.row[i];
        lua_createtable(L, (int)c->n, 1);
        lua_pushstring(L, row->path);
        lua_setfield(L, -2, "key");
        for (size_t k = 0; k < c->n; k++) {
            text->length = 0;
            mbl_out_input(row->field, &row->of[k], mbl_host_of(L)->options->units, text);
            if (text->failed)
                (void)luaL_error(L, "out of memory");
            lua_pushlstring(L, mbl_text_get(text), text->length);
            lua_rawseti(L, -2, (lua_Integer)k + 1);
        }
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    lua_remove(L, -2);
}

static void set_figure(lua_State *L, size_t run, const mbl_difference *d, double si)
{
    if (!isfinite(si))
        return;
    lua_pushnumber(L, d->quantity == MBL_Q_LEVEL ? si - 273.15 : si);
    lua_rawseti(L, -2, (lua_Integer)run + 1);
}

/* Pushes { ["front fluid, margin"] = { before, after, ... }, ... } in SI, levels in C. */
static void push_figures(lua_State *L, const comparison *c)
{
    mbl_comparison *pair = lua_newuserdatauv(L, sizeof *pair, 0);
    lua_newtable(L);
    for (size_t k = 1; k < c->n; k++) {
        mbl_compare(c->run[0], c->run[k], pair);
        for (int i = 0; i < pair->n; i++) {
            const mbl_difference *d = &pair->row[i];
            if (lua_getfield(L, -1, d->what) == LUA_TNIL) {
                lua_pop(L, 1);
                lua_createtable(L, (int)c->n, 0);
                lua_pushvalue(L, -1);
                lua_setfield(L, -3, d->what);
                set_figure(L, 0, d, d->before);
            }
            set_figure(L, k, d, d->after);
            lua_pop(L, 1);
        }
    }
    lua_remove(L, -2);
}

static int index_of(lua_State *L)
{
    static const char *const names[] = {"figures", "inputs"};
    const comparison *c = use(L);
    const char *key = lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : "?";
    if (strcmp(key, "inputs") == 0)
        push_inputs(L, c);
    else if (strcmp(key, "figures") == 0)
        push_figures(L, c);
    else
        return mbl_host_unknown(L, "a comparison", key, names, sizeof names / sizeof names[0]);
    return 1;
}

static int set_index(lua_State *L)
{
    return mbl_host_wrong(L, "compare", "a comparison is not changed");
}

static int to_string(lua_State *L)
{
    const comparison *c = use(L);
    mbl_text *text = mbl_lua_text(L);
    mbl_out_compare(c->n, c->run, &c->inputs, mbl_host_of(L)->options->units, text);
    return mbl_lua_page(L, text);
}

static int collect(lua_State *L)
{
    comparison *c = mbl_lua_test(L, 1, &comparison_tag);
    if (c != NULL && c->inputs.alloc != NULL)
        mbl_given_free(&c->inputs);
    return 0;
}

void mbl_compare_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect},
                                    {"__index", index_of},
                                    {"__newindex", set_index},
                                    {"__tostring", to_string},
                                    {NULL, NULL}};
    mbl_lua_type(L, &comparison_tag, "comparison", meta);
}
