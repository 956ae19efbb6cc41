/* SPDX-License-Identifier: MIT */
#include "host/grid_object.h"

#include "host/files.h"

#include "out/grid.h"

#include <math.h>
#include <string.h>

static const char grid_tag;

mbl_grid_object *mbl_grid_push(lua_State *L)
{
    mbl_grid_object *g = mbl_lua_new(L, &grid_tag, sizeof *g, 1);
    mbl_grid_init(&g->own, &mbl_host_of(L)->store.alloc);
    g->grid = &g->own;
    return g;
}

/* The object at 1, whose rows are known; ends a check. */
static mbl_grid_object *check(lua_State *L)
{
    mbl_grid_object *g = mbl_lua_test(L, 1, &grid_tag);
    if (g == NULL)
        (void)mbl_host_wrong(L, "",
                             "grid:best and its like are called on a sweep's table, with a "
                             "colon");
    if (g->grid == NULL)
        (void)mbl_host_stop(L, MBL_STOP_CHECKED);
    return g;
}

static size_t rows_of(const mbl_grid_object *g)
{
    return g->pick != NULL ? g->n : g->grid->end - g->grid->first;
}

/* Row of the sweep, from 0, that is number i of the object. */
static size_t row_at(const mbl_grid_object *g, size_t i)
{
    return g->pick != NULL ? g->pick[i] : g->grid->first + i;
}

/* ---- rows ---- */

static void set_number(lua_State *L, const char *name, double value)
{
    if (isnan(value))
        return; /* nil: there is no such number */
    lua_pushnumber(L, value);
    lua_setfield(L, -2, name);
}

/* Pushes a row: its options by axis, what came of it, and its measures by name. */
static void push_row(lua_State *L, const mbl_grid *grid, size_t row)
{
    const mbl_grid_row *r = &grid->row[row - grid->first];
    lua_createtable(L, 0, (int)(grid->naxes + grid->ngauges) + 6);
    lua_pushinteger(L, (lua_Integer)row + 1);
    lua_setfield(L, -2, "row");
    for (size_t a = 0; a < grid->naxes; a++) {
        lua_pushstring(L, grid->axis[a].label[mbl_grid_option(grid, row, a)]);
        lua_setfield(L, -2, grid->axis[a].name);
    }
    if (r->state == MBL_ROW_FAILED) {
        lua_pushstring(L, grid->reason[row - grid->first]);
        lua_setfield(L, -2, "reason");
    }
    if (r->state != MBL_ROW_DONE)
        return;
    lua_pushstring(L, mbl_verdict_word(r->verdict));
    lua_setfield(L, -2, "verdict");
    lua_pushstring(L, mbl_mode_word(r->mode));
    lua_setfield(L, -2, "mode");
    lua_pushfstring(L, "%s %s", r->axle == MBL_WHOLE_CAR ? "car" : mbl_axle_word(r->axle),
                    mbl_check_word(r->limit));
    lua_setfield(L, -2, "limit");
    set_number(L, "closest", r->closest);
    for (size_t k = 0; k < grid->ngauges; k++)
        set_number(L, mbl_gauge_at(grid->gauge[k]).name, mbl_grid_value(grid, row, k));
}

/* ---- measures by name ---- */

int mbl_grid_unknown(lua_State *L, const char *path, const char *name)
{
    const char *known[MBL_GRID_GAUGES];
    size_t n = 0;
    mbl_gauge *all = lua_newuserdatauv(L, mbl_gauge_count() * sizeof *all, 0);
    for (size_t i = 0; i < mbl_gauge_count() && n < MBL_GRID_GAUGES; i++) {
        all[i] = mbl_gauge_at(i);
        known[n++] = all[i].name;
    }
    const char *meant = mbl_nearest(name, known, n);
    if (meant != NULL)
        return mbl_host_wrong(L, path, "no measure \"%.60s\"; did you mean \"%s\"?", name, meant);
    return mbl_host_wrong(L, path, "no measure \"%.60s\"; emberlap help sweep lists them", name);
}

/* Column of the name at `index`, and whether less of it is better. */
static size_t column_of(lua_State *L, const mbl_grid *grid, int index, const char *what, bool *less)
{
    const char *name = lua_type(L, index) == LUA_TSTRING ? lua_tostring(L, index) : "?";
    size_t column = mbl_grid_column(grid, name);
    if (column < grid->ngauges) {
        *less = mbl_gauge_at(grid->gauge[column]).better == MBL_BETTER_LESS;
        return column;
    }
    if (mbl_gauge_find(name) < mbl_gauge_count())
        (void)mbl_host_wrong(L, what, "\"%.60s\" was not kept: name it in the sweep's measures",
                             name);
    (void)mbl_grid_unknown(L, what, name);
    return 0;
}

/* ---- methods ---- */

static bool better(double a, double b, bool less)
{
    return less ? a < b : a > b;
}

/* The best row of a selection, or of all, by the rules of mbl_grid_best. */
static size_t best_of(const mbl_grid_object *g, size_t column, bool less)
{
    const mbl_grid *grid = g->grid;
    if (g->pick == NULL)
        return mbl_grid_best(grid, column, less);
    size_t best = grid->rows;
    bool holds = false;
    for (size_t i = 0; i < g->n; i++) {
        const mbl_grid_row *r = &grid->row[g->pick[i] - grid->first];
        double value = mbl_grid_value(grid, g->pick[i], column);
        bool fine = r->verdict != MBL_FAILS;
        if (r->state != MBL_ROW_DONE || isnan(value) || (holds && !fine))
            continue;
        if (best == grid->rows || (fine && !holds) ||
            better(value, mbl_grid_value(grid, best, column), less))
            best = g->pick[i];
        holds = holds || fine;
    }
    return best;
}

static int best(lua_State *L)
{
    const mbl_grid_object *g = check(L);
    bool less = false;
    size_t column = column_of(L, g->grid, 2, "best", &less);
    size_t row = best_of(g, column, less);
    if (row >= g->grid->end)
        lua_pushnil(L);
    else
        push_row(L, g->grid, row);
    return 1;
}

/* Pushes a selection of the object at 1 with room for all of its rows. */
static mbl_grid_object *push_selection(lua_State *L, const mbl_grid_object *g)
{
    size_t n = rows_of(g);
    mbl_grid_object *s = mbl_lua_new(L, &grid_tag, sizeof *s, 1);
    s->grid = g->grid;
    lua_pushvalue(L, 1);
    lua_setiuservalue(L, -2, 1);
    s->own.alloc = &mbl_host_of(L)->store.alloc;
    s->pick = mbl_new(s->own.alloc, n > 0 ? n : 1, sizeof *s->pick);
    s->own.rows = n > 0 ? n : 1; /* room */
    if (s->pick == NULL)
        (void)luaL_error(L, "out of memory");
    return s;
}

static int where(lua_State *L)
{
    const mbl_grid_object *g = check(L);
    if (lua_type(L, 2) != LUA_TFUNCTION)
        return mbl_host_wrong(L, "where", "expected a function of a row that says true or false");
    mbl_grid_object *s = push_selection(L, g);
    for (size_t i = 0; i < rows_of(g); i++) {
        lua_pushvalue(L, 2);
        push_row(L, g->grid, row_at(g, i));
        lua_call(L, 1, 1);
        if (lua_toboolean(L, -1))
            s->pick[s->n++] = row_at(g, i);
        lua_pop(L, 1);
    }
    return 1;
}

static int tradeoff(lua_State *L)
{
    enum { COLUMNS = 8 };
    const mbl_grid_object *g = check(L);
    size_t column[COLUMNS];
    bool less[COLUMNS];
    size_t n = lua_istable(L, 2) ? lua_rawlen(L, 2) : 0;
    if (n < 2 || n > COLUMNS)
        return mbl_host_wrong(L, "tradeoff", "expected a list of 2 to %d measures", COLUMNS);
    for (size_t k = 0; k < n; k++) {
        lua_rawgeti(L, 2, (lua_Integer)k + 1);
        column[k] = column_of(L, g->grid, -1, "tradeoff", &less[k]);
        lua_pop(L, 1);
    }
    size_t rows = g->grid->end - g->grid->first;
    bool *keep = lua_newuserdatauv(L, rows > 0 ? rows : 1, 0);
    mbl_error err = {0};
    mbl_host *host = mbl_host_of(L);
    for (size_t i = 0; i < rows; i++)
        keep[i] = g->pick == NULL;
    for (size_t i = 0; g->pick != NULL && i < g->n; i++)
        keep[g->pick[i] - g->grid->first] = true;
    mbl_host_engine_begin(host);
    mbl_status status = mbl_grid_tradeoff(g->grid, n, column, less, keep, &err);
    mbl_host_engine_end(host);
    if (status != MBL_OK)
        return mbl_host_raise(L, &err);
    mbl_grid_object *s = push_selection(L, g);
    for (size_t i = 0; i < rows_of(g); i++)
        if (keep[row_at(g, i) - g->grid->first])
            s->pick[s->n++] = row_at(g, i);
    return 1;
}

/* Rows of a selection as marks; NULL for all. Memory that Lua frees, on top. */
static bool *push_marks(lua_State *L, const mbl_grid_object *g)
{
    if (g->pick == NULL)
        return NULL;
    size_t rows = g->grid->end - g->grid->first;
    bool *keep = lua_newuserdatauv(L, rows > 0 ? rows : 1, 0);
    memset(keep, 0, rows);
    for (size_t i = 0; i < g->n; i++)
        keep[g->pick[i] - g->grid->first] = true;
    return keep;
}

/* The name a part of a sweep is saved under: "ducts.part-3-of-64.csv", as its journal is. */
static const char *part_name(lua_State *L, const char *name)
{
    const mbl_host_options *o = mbl_host_of(L)->options;
    if (o->parts == 0)
        return name;
    const char *dot = strrchr(name, '.');
    lua_pushlstring(L, name, (size_t)(dot - name));
    return lua_pushfstring(L, "%s.part-%d-of-%d%s", lua_tostring(L, -1), o->part, o->parts, dot);
}

static int save(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    const mbl_grid_object *g = mbl_lua_test(L, 1, &grid_tag);
    if (g == NULL)
        return mbl_host_wrong(L, "", "grid:save is called on a sweep's table, with a colon");
    if (lua_type(L, 2) != LUA_TSTRING || strlen(lua_tostring(L, 2)) != lua_rawlen(L, 2))
        return mbl_host_wrong(L, "save", "expected the name of a file such as \"ducts.csv\"");
    const char *name = lua_tostring(L, 2);
    bool csv = mbl_files_ends(name, ".csv");
    if (!csv && !mbl_files_ends(name, ".json"))
        return mbl_host_wrong(L, "save", "\"%.100s\" ends in neither .csv nor .json", name);
    char path[MBL_HOST_PATH];
    mbl_error err = {0};
    bool dry = g->grid == NULL;
    const bool *keep = dry ? NULL : push_marks(L, g);
    mbl_status status = mbl_files_place(host, part_name(L, name), dry, path, &err);
    mbl_host_engine_begin(host);
    if (status == MBL_OK && !dry)
        status = csv ? mbl_out_grid_csv(g->grid, keep, host->options->units, path, &err)
                     : mbl_out_grid_json(g->grid, keep, path, &err);
    mbl_host_engine_end(host);
    return mbl_files_saved(L, path, status, &err);
}

static const luaL_Reg methods[] = {
    {"best", best}, {"save", save}, {"tradeoff", tradeoff}, {"where", where}};
enum { METHODS = sizeof methods / sizeof methods[0] };

static int index_of(lua_State *L)
{
    const char *names[METHODS];
    const char *key = lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : "?";
    for (size_t i = 0; i < METHODS; i++) {
        names[i] = methods[i].name;
        if (strcmp(key, names[i]) != 0)
            continue;
        lua_pushcfunction(L, methods[i].func);
        return 1;
    }
    const mbl_grid_object *g = check(L);
    if (!lua_isinteger(L, 2))
        return mbl_host_unknown(L, "a sweep's table", key, names, METHODS);
    lua_Integer i = lua_tointeger(L, 2);
    if (i < 1 || (size_t)i > rows_of(g))
        lua_pushnil(L); /* so that ipairs ends */
    else
        push_row(L, g->grid, row_at(g, (size_t)i - 1));
    return 1;
}

static int length(lua_State *L)
{
    lua_pushinteger(L, (lua_Integer)rows_of(check(L)));
    return 1;
}

static int set_index(lua_State *L)
{
    return mbl_host_wrong(L, "grid", "a sweep's table is not changed");
}

static int to_string(lua_State *L)
{
    const mbl_grid_object *g = check(L);
    const bool *keep = push_marks(L, g);
    mbl_text *text = mbl_lua_text(L);
    mbl_out_grid(g->grid, keep, mbl_host_of(L)->options->units, text);
    return mbl_lua_page(L, text);
}

static int collect(lua_State *L)
{
    mbl_grid_object *g = mbl_lua_test(L, 1, &grid_tag);
    if (g == NULL)
        return 0;
    if (g->pick != NULL)
        mbl_free(g->own.alloc, g->pick, g->own.rows, sizeof *g->pick);
    else if (g->own.alloc != NULL)
        mbl_grid_free(&g->own);
    memset(g, 0, sizeof *g);
    return 0;
}

void mbl_grid_object_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect},         {"__index", index_of},
                                    {"__newindex", set_index}, {"__len", length},
                                    {"__tostring", to_string}, {NULL, NULL}};
    mbl_lua_type(L, &grid_tag, "sweep", meta);
}
