/* SPDX-License-Identifier: MIT */
#include "host/result_put.h"

#include <math.h>
#include <string.h>

enum { NAMES = 64 };

/* Upvalues: what it is called, and a table of the names that may be absent. */
static int missing(lua_State *L)
{
    if (lua_type(L, 2) != LUA_TSTRING)
        return 0;
    lua_pushvalue(L, 2);
    if (lua_rawget(L, lua_upvalueindex(2)) != LUA_TNIL) {
        lua_pushnil(L);
        return 1;
    }
    const char *names[NAMES];
    size_t n = 0;
    /* the names stay alive in the two tables */
    for (lua_pushnil(L); n < NAMES && lua_next(L, 1); lua_pop(L, 1))
        if (lua_type(L, -2) == LUA_TSTRING)
            names[n++] = lua_tostring(L, -2);
    for (lua_pushnil(L); n < NAMES && lua_next(L, lua_upvalueindex(2)); lua_pop(L, 1))
        names[n++] = lua_tostring(L, -2);
    for (size_t i = 1; i < n; i++)
        for (size_t j = i; j > 0 && strcmp(names[j - 1], names[j]) > 0; j--) {
            const char *swap = names[j];
            names[j] = names[j - 1];
            names[j - 1] = swap;
        }
    return mbl_host_unknown(L, lua_tostring(L, lua_upvalueindex(1)), lua_tostring(L, 2), names, n);
}

static int refuse_change(lua_State *L)
{
    return mbl_host_wrong(L, lua_tostring(L, lua_upvalueindex(1)), "a result is not changed");
}

/* The table of names that may be absent is on top of the result. */
static void seal(lua_State *L, const char *what)
{
    lua_newtable(L);
    lua_insert(L, -2);
    lua_pushstring(L, what);
    lua_insert(L, -2);
    lua_pushcclosure(L, missing, 2);
    lua_setfield(L, -2, "__index");
    lua_pushstring(L, what);
    lua_pushcclosure(L, refuse_change, 1);
    lua_setfield(L, -2, "__newindex");
    lua_pushboolean(L, 0);
    lua_setfield(L, -2, "__metatable");
    lua_setmetatable(L, -2);
}

void mbl_result_seal(lua_State *L, const char *what, const char *const *optional)
{
    lua_newtable(L);
    for (; optional != NULL && *optional != NULL; optional++) {
        lua_pushboolean(L, 1);
        lua_setfield(L, -2, *optional);
    }
    seal(L, what);
}

/* Is the value on top what the row says? */
static bool fits(lua_State *L, const mbl_result_name *row)
{
    char word[64];
    switch (lua_type(L, -1)) {
    case LUA_TNUMBER:
        return strcmp(row->type, lua_isinteger(L, -1) ? "integer" : "number") == 0;
    case LUA_TBOOLEAN:
        return strcmp(row->type, "boolean") == 0;
    case LUA_TSTRING:
        snprintf(word, sizeof word, "\"%.60s\"", lua_tostring(L, -1));
        return strcmp(row->type, "string") == 0 || strstr(row->type, word) != NULL;
    case LUA_TTABLE:
    case LUA_TUSERDATA: /* a definition */
        return strpbrk(row->type, ".[<") != NULL;
    default:
        return false;
    }
}

static void off_the_rows(lua_State *L, const char *what, const char *name)
{
    mbl_error err = {0};
    (void)mbl_fail(&err, MBL_INTERNAL, "%.60s.%.60s is not as its row in result_names says", what,
                   name);
    (void)mbl_host_raise(L, &err);
}

/* Pushes the names of a class that may be absent; the result is on top before. */
static void push_optional(lua_State *L, const char *what, const mbl_result_class *of)
{
    int result = lua_gettop(L);
    lua_newtable(L);
    for (; of != NULL; of = of->base)
        for (size_t i = 0; i < of->n; i++) {
            const mbl_result_name *row = &of->names[i];
            if (row->need != MBL_ALWAYS) {
                lua_pushboolean(L, 1);
                lua_setfield(L, -2, row->name);
                continue;
            }
            lua_pushstring(L, row->name);
            if (lua_rawget(L, result) == LUA_TNIL)
                off_the_rows(L, what, row->name);
            lua_pop(L, 1);
        }
}

void mbl_result_seal_as(lua_State *L, const char *what, const mbl_result_class *of)
{
    for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
        const mbl_result_name *row = mbl_result_row(of, lua_tostring(L, -2));
        if (row == NULL || !fits(L, row))
            off_the_rows(L, what, lua_tostring(L, -2));
    }
    push_optional(L, what, of);
    seal(L, what);
}

static int stop(lua_State *L)
{
    return mbl_host_stop(L, MBL_STOP_CHECKED);
}

void mbl_result_push_unknown(lua_State *L)
{
    static const char *const events[] = {"__index", "__pairs", "__len", "__tostring"};
    lua_newtable(L);
    lua_newtable(L);
    for (size_t i = 0; i < sizeof events / sizeof events[0]; i++) {
        lua_pushcfunction(L, stop);
        lua_setfield(L, -2, events[i]);
    }
    lua_pushboolean(L, 0);
    lua_setfield(L, -2, "__metatable");
    lua_setmetatable(L, -2);
}

/* ---- a run ---- */

static double celsius(double T)
{
    return mbl_out_convert(MBL_SHOW_LEVEL, MBL_UNITS_SI, T);
}

/* The node results of an axle, by the names scripts have for them. */
static const struct {
    mbl_corner_node node;
    const char *what; /* "rotor.face" */
    const char *name; /* the last part */
    const mbl_result_class *of;
} nodes[] = {
    {MBL_FACE, "rotor.face", "face", &mbl_class_peak},
    {MBL_CORE, "rotor.core", "core", &mbl_class_peak},
    {MBL_HAT, "rotor.hat", "hat", &mbl_class_peak},
    {MBL_PAD_FACE, "pad", "pad", &mbl_class_pad},
    {MBL_CALIPER, "caliper", "caliper", &mbl_class_peak},
    {MBL_FLUID, "fluid", "fluid", &mbl_class_fluid},
};

/* peak, peak_at, track_peak, parked_peak of a node, into the table on top. */
static void set_peaks(lua_State *L, const mbl_axle_result *a, mbl_corner_node node)
{
    mbl_result_number(L, "peak", celsius(a->peak[node].T));
    mbl_result_number(L, "peak_at", a->peak[node].at);
    if (a->track[node].T > 0)
        mbl_result_number(L, "track_peak", celsius(a->track[node].T));
    if (a->parked[node].T > 0)
        mbl_result_number(L, "parked_peak", celsius(a->parked[node].T));
}

static void set_fluid(lua_State *L, const mbl_axle_result *a)
{
    mbl_result_number(L, "margin_wet", a->margin_wet);
    mbl_result_number(L, "margin_now", a->margin_now);
    mbl_result_number(L, "margin", a->margin);
    if (a->wet_passed.lap > 0)
        mbl_result_count(L, "wet_passed_on_lap", a->wet_passed.lap);
    if (a->boils.lap > 0)
        mbl_result_count(L, "boils_on_lap", a->boils.lap);
    if (!isnan(a->wet_passed.parked))
        mbl_result_number(L, "wet_passed_parked", a->wet_passed.parked);
    if (!isnan(a->boils.parked))
        mbl_result_number(L, "boils_parked", a->boils.parked);
    mbl_result_number(L, "vapour", a->vapour);
}

/* .nodes: peaks of the nodes of the user's own, by name, into the corner on top. */
static void set_own(lua_State *L, const mbl_run *run, int axle, const char *what)
{
    const mbl_brake *b = mbl_car_brake(&run->setup.car, axle);
    size_t first = axle == 0 ? 0 : run->setup.car.front.nodes.n;
    char path[64];
    lua_newtable(L);
    for (size_t i = 0; i < b->nodes.n; i++) {
        lua_newtable(L);
        mbl_result_number(L, "peak", celsius(run->own[first + i].T));
        mbl_result_number(L, "peak_at", run->own[first + i].at);
        snprintf(path, sizeof path, "%.30s.nodes.%.24s", what, b->nodes.v[i].name);
        mbl_result_seal_as(L, path, &mbl_class_peak);
        lua_setfield(L, -2, b->nodes.v[i].name);
    }
    snprintf(path, sizeof path, "%.30s.nodes", what);
    mbl_result_seal(L, path, NULL);
    lua_setfield(L, -2, "nodes");
}

static void push_corner(lua_State *L, const mbl_run *run, int side_of, const char *axle)
{
    const mbl_axle_result *a = &run->axle[side_of];
    char what[64];
    lua_newtable(L);
    lua_newtable(L); /* rotor */
    for (size_t i = 0; i < sizeof nodes / sizeof nodes[0]; i++) {
        bool rotor = strncmp(nodes[i].what, "rotor", 5) == 0;
        lua_newtable(L);
        set_peaks(L, a, nodes[i].node);
        if (nodes[i].node == MBL_FLUID)
            set_fluid(L, a);
        if (nodes[i].node == MBL_PAD_FACE)
            mbl_result_pad_life(L, &a->life);
        snprintf(what, sizeof what, "%s.%s", axle, nodes[i].what);
        mbl_result_seal_as(L, what, nodes[i].of);
        lua_setfield(L, rotor ? -2 : -3, nodes[i].name);
    }
    mbl_result_rotor_life(L, &a->life);
    snprintf(what, sizeof what, "%s.rotor", axle);
    mbl_result_seal_as(L, what, &mbl_class_rotor);
    lua_setfield(L, -2, "rotor");
    set_own(L, run, side_of, axle);
    mbl_result_number(L, "duct_flow", a->duct_flow);
}

/* The worse corner with .left and .right beneath; both wheels of an axle are one so far. */
static void push_axle(lua_State *L, const mbl_run *run, int axle)
{
    static const char *const sides[] = {"left", "right"};
    char what[32];
    snprintf(what, sizeof what, "run.%s", mbl_axle_word(axle));
    push_corner(L, run, axle, what);
    for (int side = 0; side < 2; side++) {
        char below[48];
        snprintf(below, sizeof below, "%s.%s", what, sides[side]);
        push_corner(L, run, axle, below);
        mbl_result_seal_as(L, below, &mbl_class_corner);
        lua_setfield(L, -2, sides[side]);
    }
    mbl_result_seal_as(L, what, &mbl_class_axle);
}

/* s that want of brakes cost in a lap that was worked out. */
static double lost_to_brakes(const mbl_run *run, const mbl_leg *leg)
{
    for (size_t i = 0; run->trace->lost != NULL && i < run->trace->nlaps; i++) {
        const mbl_lap *lap = &run->trace->laps[i];
        if (lap->start == leg->start && lap->end == leg->end)
            return run->trace->lost[i] / leg->pace;
    }
    return 0;
}

static void push_lap(lua_State *L, const mbl_run *run, const mbl_leg_result *r)
{
    lua_newtable(L);
    mbl_result_text(L, "kind", mbl_phase_word(r->leg.phase));
    mbl_result_count(L, "number", r->leg.lap);
    mbl_result_number(L, "start", r->report.start);
    mbl_result_number(L, "time", r->report.duration);
    mbl_result_number(L, "energy", r->report.energy);
    mbl_result_number(L, "braking_time", r->report.braking_time);
    mbl_result_number(L, "top_speed", r->report.top_speed);
    mbl_result_number(L, "lost_to_brakes", lost_to_brakes(run, &r->leg));
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        char what[32];
        lua_newtable(L);
        for (size_t i = 0; i < sizeof nodes / sizeof nodes[0]; i++)
            mbl_result_number(L, nodes[i].name,
                              celsius(r->peak[mbl_corner_index(axle, nodes[i].node)]));
        snprintf(what, sizeof what, "lap.%s", mbl_axle_word(axle));
        mbl_result_seal_as(L, what, &mbl_class_lap_axle);
        lua_setfield(L, -2, mbl_axle_word(axle));
    }
    mbl_result_seal_as(L, "lap", &mbl_class_lap);
}

static void push_laps(lua_State *L, const mbl_run *run)
{
    lua_Integer n = 0;
    lua_newtable(L);
    for (size_t i = 0; i < run->nlegs; i++) {
        if (run->legs[i].leg.kind != MBL_LEG_LAP)
            continue;
        push_lap(L, run, &run->legs[i]);
        lua_rawseti(L, -2, ++n);
    }
    mbl_result_seal(L, "run.laps", NULL);
}

static void push_checks(lua_State *L, const mbl_run *run)
{
    lua_newtable(L);
    for (int i = 0; i < run->nchecks; i++) {
        const mbl_check *c = &run->checks[i];
        lua_newtable(L);
        bool level = mbl_check_quantity(c->kind) == MBL_Q_LEVEL;
        mbl_result_check_name(L, "name", c->kind, c->axle);
        mbl_result_text(L, "axle", mbl_result_axle(c->axle));
        mbl_result_text(L, "kind", mbl_check_word(c->kind));
        mbl_result_number(L, "peak", level ? celsius(c->peak.T) : c->peak.T);
        mbl_result_number(L, "limit", level ? celsius(c->limit) : c->limit);
        mbl_result_number(L, "margin", c->margin);
        mbl_result_number(L, "band", c->band);
        mbl_result_text(L, "verdict", mbl_verdict_word(c->verdict));
        if (c->passing.lap > 0)
            mbl_result_count(L, "lap", c->passing.lap);
        if (!isnan(c->passing.parked))
            mbl_result_number(L, "parked", c->passing.parked);
        mbl_result_seal_as(L, "check", &mbl_class_check);
        lua_rawseti(L, -2, i + 1);
    }
    mbl_result_seal(L, "run.checks", NULL);
}

static void push_reach(lua_State *L, const mbl_reach *reach)
{
    lua_newtable(L);
    lua_pushboolean(L, reach->known);
    lua_setfield(L, -2, "known");
    if (reach->known) {
        mbl_result_count(L, "hot_laps", reach->hot_laps);
        mbl_result_count(L, "holds", reach->holds);
        lua_pushboolean(L, reach->capped);
        lua_setfield(L, -2, "capped");
        if (!reach->capped) {
            mbl_result_check_name(L, "limit", reach->limit, reach->axle);
            lua_pushboolean(L, reach->parked);
            lua_setfield(L, -2, "parked");
        }
    }
    mbl_result_seal_as(L, "run.more", &mbl_class_more);
}

void mbl_result_push(lua_State *L, const mbl_run *run)
{
    lua_newtable(L);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        push_axle(L, run, axle);
        lua_setfield(L, -2, mbl_axle_word(axle));
    }
    push_laps(L, run);
    lua_setfield(L, -2, "laps");
    push_checks(L, run);
    lua_setfield(L, -2, "checks");
    push_reach(L, &run->reach);
    lua_setfield(L, -2, "more");
    mbl_result_number(L, "energy", run->ledger.energy);
    mbl_result_number(L, "residual", run->ledger.residual);
    mbl_result_text(L, "verdict", mbl_verdict_word(run->verdict));
    mbl_result_package(L, run);
    mbl_result_seal_as(L, "run", &mbl_class_run);
}
