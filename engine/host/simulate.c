/* SPDX-License-Identifier: MIT */
/*
 * net:simulate. Heat is given to the kernel as a mean over each step: of a list of points
 * exactly, of a function by its value in the middle of the step, so that a switch that falls on
 * a step loses nothing. Steps divide the spacing of the history, so its rows need no
 * interpolation.
 */
#include "host/network.h"

#include "host/options.h"
#include "host/result.h"

#include <math.h>
#include <string.h>

static const char block_tag;

/* Most steps of one simulation, and most rows of history over all nodes. */
#define MOST_STEPS 5000000.0
#define MOST_ROWS  1000000.0

typedef struct wish {
    double duration, every, step; /* s */
} wish;

#define T wish
static const mbl_field wish_fields[] = {
    NUMBER("duration", duration, MBL_REQUIRED, TIME, 1e-6, 1e8, NAN, "how long", ""),
    NUMBER("every", every, MBL_DEFAULT, TIME, 1e-6, 1e8, 1, "time between rows of the history", ""),
    NUMBER("step", step, MBL_DEFAULT, TIME, 1e-6, 3600, MBL_REFERENCE_STEP, "longest time step",
           ""),
};
#undef T
SCHEMA(mbl_simulate_schema, "simulate", wish, wish_fields, NULL, "Options of net:simulate.");

/* The grid: step k is [k, k + 1] x length, the last one cut to the duration. */
typedef struct grid {
    size_t steps, per_row;
    double length, duration; /* s */
} grid;

static grid plan(lua_State *L, const mbl_net *net, const wish *w)
{
    double per_row = fmax(1, ceil(w->every / w->step * (1 - 1e-12)));
    grid g = {.length = w->every / per_row, .duration = w->duration};
    double steps = fmax(1, ceil(w->duration / g.length * (1 - 1e-12)));
    double rows = (w->duration / w->every + 2) * (double)net->nnodes;
    if (steps > MOST_STEPS)
        (void)mbl_host_wrong(L, "simulate.step", "%.3g steps; the most that are run is %.0f", steps,
                             MOST_STEPS);
    if (rows > MOST_ROWS)
        (void)mbl_host_wrong(L, "simulate.every",
                             "%.3g rows over all nodes; the most that are kept is %.0f", rows,
                             MOST_ROWS);
    g.steps = (size_t)steps;
    g.per_row = per_row < steps ? (size_t)per_row : g.steps;
    return g;
}

static double time_at(const grid *g, size_t k)
{
    return k >= g->steps ? g->duration : (double)k * g->length;
}

/* W at t: linear between the points, flat outside; two points at one time are a jump. */
static double area_between(const mbl_net_heat *h, size_t i, double a, double b)
{
    double span = h->t[i + 1] - h->t[i];
    if (!(span > 0))
        return 0;
    double slope = (h->w[i + 1] - h->w[i]) / span;
    double middle = h->w[i] + slope * ((a + b) / 2 - h->t[i]);
    return middle * (b - a);
}

/* Energy in J of heat h over [a, b]; *at is the point the last call ended at. */
static double energy(const mbl_net_heat *h, double a, double b, size_t *at)
{
    size_t last = h->n - 1;
    if (h->n == 1)
        return h->w[0] * (b - a);
    double sum = 0;
    if (a < h->t[0])
        sum += h->w[0] * (fmin(b, h->t[0]) - a);
    while (*at + 1 < last && h->t[*at + 1] <= a)
        ++*at;
    for (size_t i = *at; i < last && h->t[i] < b; i++) {
        double from = fmax(a, h->t[i]);
        double to = fmin(b, h->t[i + 1]);
        if (to > from)
            sum += area_between(h, i, from, to);
    }
    if (b > h->t[last])
        sum += h->w[last] * (b - fmax(a, h->t[last]));
    return sum;
}

/* Mean heat over each of n steps. */
static void means(mbl_host *host, const mbl_net_heat *h, const double *time, size_t n, double *out)
{
    size_t at = 0;
    mbl_host_engine_begin(host);
    for (size_t k = 0; k < n; k++)
        out[k] = energy(h, time[k], time[k + 1], &at) / (time[k + 1] - time[k]);
    mbl_host_engine_end(host);
}

/* One value of the function on top. */
static double call(lua_State *L, const char *name, double t)
{
    char path[MBL_NAME_MAX + 8];
    snprintf(path, sizeof path, "heat.%s", name);
    lua_pushvalue(L, -1);
    lua_pushnumber(L, t);
    lua_call(L, 1, 1);
    if (lua_type(L, -1) != LUA_TNUMBER)
        return mbl_host_wrong(L, path, "the function gave a %s at t = %.6g s, not watts",
                              luaL_typename(L, -1), t);
    double w = lua_tonumber(L, -1);
    if (!isfinite(w))
        return mbl_host_wrong(L, path, "the function gave %s at t = %.6g s",
                              isnan(w) ? "not a number" : "an infinite number", t);
    lua_pop(L, 1);
    return w;
}

/* Pushes a block of memory with the steps' times and the mean heat of each source. */
static mbl_inputs push_inputs(lua_State *L, const mbl_net *net, const grid *g)
{
    mbl_host *host = mbl_host_of(L);
    size_t n = g->steps;
    double *time = lua_newuserdatauv(L, (n + 1 + net->nheats * n) * sizeof *time, 0);
    double *source = time + n + 1;
    for (size_t k = 0; k <= n; k++)
        time[k] = time_at(g, k);
    lua_getiuservalue(L, 1, 1);
    for (size_t s = 0; s < net->nheats; s++) {
        const mbl_net_heat *h = &net->heat[s];
        double *out = source + s * n;
        if (!h->function) {
            means(host, h, time, n, out);
            continue;
        }
        lua_rawgeti(L, -1, (lua_Integer)s + 1);
        for (size_t k = 0; k < n; k++)
            out[k] = call(L, net->build.node[h->node].name, (time[k] + time[k + 1]) / 2);
        lua_pop(L, 1);
    }
    lua_pop(L, 1);
    return (mbl_inputs){.time = time, .source = net->nheats > 0 ? source : NULL, .stride = n};
}

static mbl_block *push_block(lua_State *L, const mbl_net *net)
{
    mbl_block **block = mbl_lua_new(L, &block_tag, sizeof(mbl_block *), 0);
    mbl_error err = {0};
    if (mbl_block_make(net->alloc, &net->model, 1, block, &err) != MBL_OK)
        (void)mbl_host_raise(L, &err);
    mbl_block_start(*block, net->ambient);
    for (size_t i = 0; i < net->nnodes; i++)
        mbl_block_set(*block, 0, (int)i, net->start[i]);
    return *block;
}

static double celsius(double T)
{
    return mbl_out_convert(MBL_SHOW_LEVEL, MBL_UNITS_SI, T);
}

/* Adds { t, T } to each node's history; the table of histories is on top. */
static void add_row(lua_State *L, const mbl_net *net, const mbl_block *block, lua_Integer row,
                    double t)
{
    for (size_t i = 0; i < net->nnodes; i++) {
        lua_rawgeti(L, -1, (lua_Integer)i + 1);
        lua_createtable(L, 2, 0);
        lua_pushnumber(L, t);
        lua_rawseti(L, -2, 1);
        lua_pushnumber(L, celsius(block->T[i * (size_t)block->lanes]));
        lua_rawseti(L, -2, 2);
        lua_rawseti(L, -2, row);
        lua_pop(L, 1);
    }
}

/* The result by node name; the table of histories is on top and stays below it. */
static void push_result(lua_State *L, const mbl_net *net, const mbl_block *block,
                        const mbl_record *record)
{
    int histories = lua_gettop(L);
    lua_newtable(L);
    for (size_t i = 0; i < net->nnodes; i++) {
        size_t at = i * (size_t)block->lanes;
        lua_newtable(L);
        lua_pushnumber(L, celsius(record->peak[at]));
        lua_setfield(L, -2, "peak");
        lua_pushnumber(L, record->peak_at[at]);
        lua_setfield(L, -2, "peak_at");
        lua_pushnumber(L, celsius(block->T[at]));
        lua_setfield(L, -2, "final");
        lua_rawgeti(L, histories, (lua_Integer)i + 1);
        lua_setfield(L, -2, "history");
        mbl_result_seal_as(L, "a node", &mbl_class_node);
        lua_setfield(L, -2, net->build.node[i].name);
    }
    mbl_result_seal(L, "the result", NULL);
}

static void run(lua_State *L, const mbl_net *net, mbl_block *block, const mbl_inputs *in,
                const grid *g)
{
    mbl_host *host = mbl_host_of(L);
    size_t values = net->nnodes * (size_t)block->lanes;
    mbl_record record = {0};
    record.peak = lua_newuserdatauv(L, values * sizeof(double), 0);
    record.peak_at = lua_newuserdatauv(L, values * sizeof(double), 0);
    mbl_record_clear(block, &record, 0);
    lua_newtable(L);
    for (size_t i = 0; i < net->nnodes; i++) {
        lua_newtable(L);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    lua_Integer row = 1;
    add_row(L, net, block, row, 0);
    for (size_t k = 0; k < g->steps;) {
        size_t end = k + g->per_row < g->steps ? k + g->per_row : g->steps;
        mbl_host_engine_begin(host);
        mbl_block_run(block, in, k, end, &record);
        mbl_host_engine_end(host);
        mbl_host_look(L);
        k = end;
        add_row(L, net, block, ++row, time_at(g, k));
    }
    if (!mbl_block_finite(block)) {
        mbl_error err = {0};
        (void)mbl_fail(&err, MBL_NUMERIC, "a temperature is no longer finite");
        (void)mbl_host_raise(L, &err);
    }
    push_result(L, net, block, &record);
}

int mbl_net_simulate(lua_State *L)
{
    const mbl_net *net = mbl_lua_test(L, 1, &mbl_net_tag);
    wish w;
    if (net == NULL || net->model == NULL)
        return mbl_host_wrong(L, "", "net:simulate{...} is called on a network, with a colon");
    if (lua_gettop(L) != 2 || !lua_istable(L, 2))
        return mbl_host_wrong(L, "", "simulate takes one table: { duration =, every = }");
    mbl_options_read(L, 2, &mbl_simulate_schema, &w);
    grid g = plan(L, net, &w);
    if (mbl_host_of(L)->options->check) {
        mbl_result_push_unknown(L);
        return 1;
    }
    mbl_inputs in = push_inputs(L, net, &g);
    mbl_block *block = push_block(L, net);
    run(L, net, block, &in, &g);
    return 1;
}

static int collect(lua_State *L)
{
    mbl_block **block = mbl_lua_test(L, 1, &block_tag);
    if (block != NULL) {
        mbl_block_free(*block);
        *block = NULL;
    }
    return 0;
}

void mbl_net_simulate_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect}, {NULL, NULL}};
    mbl_lua_type(L, &block_tag, "simulation", meta);
}
