/* SPDX-License-Identifier: MIT */
#include "host/bindings.h"

#include "host/answer.h"
#include "host/compare.h"
#include "host/definition.h"
#include "host/network.h"
#include "host/grid_object.h"
#include "host/lap.h"
#include "host/run.h"
#include "host/shortlist.h"
#include "host/sweep.h"
#include "host/sweep_axes.h"

#include <string.h>

#define MAKE(name, schema, about)                                                                  \
    {"el." #name, "el." #name " { key = value, ... } or el." #name " \"file.yaml\"",               \
     about ".",   mbl_make_##name,                                                                 \
     &(schema),   "fun(keys: emberlap." #name ".keys|string): emberlap." #name},

const mbl_binding mbl_bindings[] = {
    MBL_DEFINITION_LIST(MAKE){"el.run",
                              "el.run { car =, course =, stint =, limits =, event =, base = }",
                              "Runs one car on one course for one stint, and judges it; with base, "
                              "the car before a change, says what the change did.",
                              mbl_run_call, &mbl_case_schema, "emberlap.run"},
    {"el.track", "el.track \"tracks/low_cinder.yaml\" or el.track { file =, driver =, of = }",
     "A course as its layout, read from YAML; laps of it are worked out for the car that is run, "
     "lap by lap with its brakes as they are, or once for the car in `of`.",
     mbl_track_call, NULL, "fun(layout: string|emberlap.trace.keys): emberlap.trace"},
    {"el.lap", "el.lap { car =, course =, temperature =, fuel =, ambient =, altitude = }",
     "One lap of a layout by one car: time, splits, what it was held by, and its trace, which is a "
     "course for el.run.",
     mbl_lap_call, &mbl_lap_schema, "fun(lap: emberlap.lap.keys): emberlap.own_lap"},
    {"el.sweep", "el.sweep { over = { name = options, ... }, case = function(x) ... end }",
     "Runs every combination of the options (or `rows`, or a `sample` of them) through `case`, "
     "which "
     "gives what el.run takes; keeps the `measures` asked for; writes rows to `journal` as they "
     "finish.",
     mbl_sweep_call, NULL, "fun(sweep: emberlap.sweep.keys): emberlap.grid"},
    {"el.range", "el.range(\"6 kg\", \"10 kg\", 9)",
     "A list of evenly spaced values, both ends included, for el.sweep.", mbl_range_call, NULL,
     "fun(first: string|number, last: string|number, count: integer): (string|number)[]"},
    {"grid:best", "grid:best \"front.fluid.margin\"",
     "The best row of a sweep by a measure, of those that do not fail if there are any.", NULL,
     NULL, "fun(self: emberlap.grid, measure: emberlap.measure): emberlap.row?"},
    {"grid:where", "grid:where(function(row) return row.verdict == \"holds\" end)",
     "The rows for which a function is true.", NULL, NULL,
     "fun(self: emberlap.grid, wanted: fun(row: emberlap.row): boolean): emberlap.grid"},
    {"grid:tradeoff", "grid:tradeoff { \"cost\", \"mass\", \"closest\" }",
     "The rows that no other row beats in every one of the measures.", NULL, NULL,
     "fun(self: emberlap.grid, measures: emberlap.measure[]): emberlap.grid"},
    {"grid:save", "grid:save \"ducts.csv\"",
     "Writes the rows (.csv with a row of units, or .json) below --out.", NULL, NULL,
     "fun(self: emberlap.grid, name: string)"},
    {"el.shortlist",
     "el.shortlist { car =, course =, stint =, change = { [\"front.pad\"] = { ... } } }",
     "The cheapest packages that hold, of every combination of the options in `change`, each a "
     "definition or { name =, part =, cost =, labour =, fits = }; ranked `by` \"cost\", \"event\", "
     "\"mass\" or \"labour\".",
     mbl_shortlist_call, NULL, "fun(shortlist: table): table"},
    {"list:save", "list:save \"shortlist.csv\"",
     "Writes the packages of a shortlist (.csv), or all that is known of it (.json), below --out.",
     NULL, NULL, "fun(self: table, name: string)"},
    {"el.compare", "el.compare(before, after) or el.compare { run, run, ... }",
     "What differs between runs: every key that was given otherwise with its values, and what came "
     "of it.",
     mbl_compare_call, NULL, "fun(...: emberlap.run|emberlap.run[]): table"},
    {"el.network", "el.network { nodes =, links =, heat =, ambient = }",
     "A network of heat capacities (J/K), conductances (W/K) and heat (W, points { t, W } or a "
     "function of t) of the script's own.",
     mbl_net_call, &mbl_net_schema, "emberlap.net"},
    {"el.none", "d:with { key = el.none }", "Removes a key in d:with.", NULL, NULL, "any"},
    {"el.args", "el.args.name", "Text given as name=value on the command line, or nil.", NULL, NULL,
     "table<string, string?>"},
    {"d:with", "d:with { key = value, ... }",
     "A changed copy of a definition: tables merge key by key, lists and definitions replace.",
     NULL, NULL, NULL},
    {"run:save", "run:save \"sprint.csv\" or run:save(\"sprint.csv\", { every = \"0.5 s\" })",
     "Writes the history (.csv) or the summary (.json) below --out.", NULL, &mbl_save_schema,
     "fun(self: emberlap.run, name: string, options?: emberlap.save.keys)"},
    {"net:simulate", "net:simulate { duration =, every =, step = }",
     "Runs a network; gives by node peak, peak_at, final and history, a list of { t, T }.", NULL,
     &mbl_simulate_schema, "table<string, emberlap.node>"},
};
const size_t mbl_binding_count = sizeof mbl_bindings / sizeof mbl_bindings[0];

static int unknown(lua_State *L)
{
    const char *names[32];
    size_t n = 0;
    const char *key = lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : "?";
    for (size_t i = 0; i < mbl_binding_count; i++)
        if (strncmp(mbl_bindings[i].name, "el.", 3) == 0)
            names[n++] = mbl_bindings[i].name + 3;
    return mbl_host_unknown(L, "el", key, names, n);
}

static int refuse_change(lua_State *L)
{
    return mbl_host_wrong(L, "", "el is not changed");
}

/* The script asks for a value that was not given: was one given under a name like it? */
static int args_absent(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    const mbl_host_options *o = host->options;
    if (lua_type(L, 2) != LUA_TSTRING)
        return 0;
    const char *asked = lua_tostring(L, 2);
    for (size_t i = 0; i < o->nargs; i++) {
        const char *equals = strchr(o->args[i], '=');
        if (equals == NULL)
            continue;
        lua_pushlstring(L, o->args[i], (size_t)(equals - o->args[i]));
        if (mbl_nearest(lua_tostring(L, -1), &asked, 1) != NULL)
            mbl_host_note(host, "%s: the script asks for %.60s=, which is not given; a slip?",
                          o->args[i], asked);
        lua_pop(L, 1);
    }
    return 0;
}

/* Pushes el.args. */
static void push_args(lua_State *L)
{
    const mbl_host_options *o = mbl_host_of(L)->options;
    lua_newtable(L);
    for (size_t i = 0; i < o->nargs; i++) {
        const char *equals = strchr(o->args[i], '=');
        if (equals == NULL)
            continue;
        lua_pushlstring(L, o->args[i], (size_t)(equals - o->args[i]));
        lua_pushstring(L, equals + 1);
        lua_rawset(L, -3);
    }
    lua_createtable(L, 0, 2);
    lua_pushcfunction(L, args_absent);
    lua_setfield(L, -2, "__index");
    lua_pushboolean(L, 0);
    lua_setfield(L, -2, "__metatable");
    lua_setmetatable(L, -2);
}

void mbl_bindings_open(lua_State *L)
{
    mbl_definition_open(L);
    mbl_run_open(L);
    mbl_lap_open(L);
    mbl_net_open(L);
    mbl_grid_object_open(L);
    mbl_shortlist_open(L);
    mbl_compare_open(L);
    mbl_net_simulate_open(L);
    lua_newtable(L);
    for (size_t i = 0; i < mbl_binding_count; i++) {
        if (mbl_bindings[i].fn == NULL)
            continue;
        lua_pushcfunction(L, mbl_bindings[i].fn);
        lua_setfield(L, -2, mbl_bindings[i].name + 3);
    }
    (void)mbl_lua_new(L, &mbl_none_tag, 1, 0);
    lua_setfield(L, -2, "none");
    push_args(L);
    lua_setfield(L, -2, "args");
    lua_newtable(L);
    lua_pushcfunction(L, unknown);
    lua_setfield(L, -2, "__index");
    lua_pushcfunction(L, refuse_change);
    lua_setfield(L, -2, "__newindex");
    lua_pushboolean(L, 0);
    lua_setfield(L, -2, "__metatable");
    lua_setmetatable(L, -2);
}
