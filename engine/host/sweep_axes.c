/* SPDX-License-Identifier: MIT */
#include "host/sweep_axes.h"

#include "host/definition.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- numbers with a unit ---- */

/* A number and what follows it: "6.5 kg" is 6.5 and " kg". */
typedef struct amount {
    double number;
    char unit[24];
} amount;

static bool read_amount(lua_State *L, int index, amount *out)
{
    *out = (amount){0};
    if (lua_type(L, index) == LUA_TNUMBER) {
        out->number = lua_tonumber(L, index);
        return isfinite(out->number);
    }
    if (lua_type(L, index) != LUA_TSTRING)
        return false;
    size_t size = 0;
    const char *text = lua_tolstring(L, index, &size);
    size_t digits = strspn(text, "+-.0123456789eE");
    while (digits > 0 && !mbl_number_read(text, digits, &out->number))
        digits--; /* "3 e" is no exponent */
    if (digits == 0 || strlen(text) != size || size - digits >= sizeof out->unit)
        return false;
    snprintf(out->unit, sizeof out->unit, "%s", text + digits);
    return strpbrk(out->unit, "0123456789/") == NULL;
}

/* Pushes number and unit as they were given: a number, or text. */
static void push_amount(lua_State *L, double number, const char *unit)
{
    char text[64];
    if (unit[0] == '\0') {
        lua_pushnumber(L, number);
        return;
    }
    mbl_number_write(number, text);
    lua_pushfstring(L, "%s%s", text, unit);
}

/* Between two, at share u; rounded so that labels stay short: a step is a few parts in 1e9. */
static double between(double a, double b, double u)
{
    char text[32];
    double value = a + u * (b - a);
    snprintf(text, sizeof text, "%.9g", value);
    double rounded = 0;
    return mbl_number_read(text, strlen(text), &rounded) ? rounded : value;
}

int mbl_range_call(lua_State *L)
{
    amount a;
    amount b;
    if (lua_gettop(L) != 3 || !read_amount(L, 1, &a) || !read_amount(L, 2, &b) ||
        lua_type(L, 3) != LUA_TNUMBER)
        return mbl_host_wrong(L, "",
                              "el.range takes two values and how many: el.range(\"6 kg\", "
                              "\"10 kg\", 9)");
    if (strcmp(a.unit, b.unit) != 0)
        return mbl_host_wrong(L, "",
                              "both ends of a range have one unit, not \"%.20s\" and \"%.20s\"",
                              a.unit, b.unit);
    double count = lua_tonumber(L, 3);
    if (!(count >= 2 && count <= MBL_SWEEP_OPTIONS && count == floor(count)))
        return mbl_host_wrong(L, "", "a range has 2 to %d values, not %.9g", MBL_SWEEP_OPTIONS,
                              count);
    lua_createtable(L, (int)count, 0);
    for (int i = 0; i < (int)count; i++) {
        double u = (double)i / (count - 1);
        push_amount(L, i + 1 == (int)count ? b.number : between(a.number, b.number, u), a.unit);
        lua_rawseti(L, -2, i + 1);
    }
    return 1;
}

/* ---- labels ---- */

/* What people read for the value on top: "76 mm", "0.3"; pushes it. */
static void push_label(lua_State *L, const char *axis, size_t i)
{
    amount a;
    if (lua_type(L, -1) == LUA_TSTRING) {
        lua_pushvalue(L, -1);
    } else if (lua_type(L, -1) == LUA_TNUMBER) {
        char text[32];
        (void)read_amount(L, -1, &a);
        mbl_number_write(a.number, text);
        lua_pushstring(L, text);
    } else if (lua_type(L, -1) == LUA_TBOOLEAN) {
        lua_pushstring(L, lua_toboolean(L, -1) ? "true" : "false");
    } else {
        char text[MBL_AXIS_NAME + 24];
        snprintf(text, sizeof text, "%s %zu", axis, i + 1);
        lua_pushstring(L, text);
    }
}

static const char *const taken[] = {"row", "verdict", "mode", "limit", "closest", "reason"};

static void check_name(lua_State *L, const char *name)
{
    char path[64];
    snprintf(path, sizeof path, "sweep.over.%.40s", name);
    if (strlen(name) >= MBL_AXIS_NAME || name[0] == '\0')
        (void)mbl_host_wrong(L, path, "a name has 1 to %d letters", MBL_AXIS_NAME - 1);
    for (size_t i = 0; i < sizeof taken / sizeof taken[0]; i++)
        if (strcmp(name, taken[i]) == 0)
            (void)mbl_host_wrong(L, path, "\"%s\" is what a row has besides; call it otherwise",
                                 name);
    if (mbl_gauge_find(name) < mbl_gauge_count())
        (void)mbl_host_wrong(L, path, "\"%s\" is a measure; call it otherwise", name);
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Text keys of the table on top, in order; they live as long as it does. */
static size_t names_of(lua_State *L, const char *what, const char **names, size_t room)
{
    size_t n = 0;
    for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
        if (lua_type(L, -2) != LUA_TSTRING)
            (void)mbl_host_wrong(L, what, "expected names and what each may be");
        if (n == room)
            (void)mbl_host_wrong(L, what, "more than %zu names", room);
        names[n++] = lua_tostring(L, -2);
    }
    qsort(names, n, sizeof *names, compare_names);
    return n;
}

/* ---- one axis of `over` ---- */

/*
 * Turns the table of options on top into a list of values and pushes that and a list of labels:
 * a list as it is, names in their order.
 */
static size_t push_options(lua_State *L, const char *axis)
{
    char path[64];
    snprintf(path, sizeof path, "sweep.over.%.40s", axis);
    if (!lua_istable(L, -1))
        (void)mbl_host_wrong(L, path, "expected a list, el.range(...) or named options");
    int from = lua_gettop(L);
    size_t n = lua_rawlen(L, from);
    if (n > MBL_SWEEP_OPTIONS)
        (void)mbl_host_wrong(L, path, "more than %d options", MBL_SWEEP_OPTIONS);
    lua_newtable(L); /* values */
    lua_newtable(L); /* labels */
    if (n > 0) {
        for (size_t i = 0; i < n; i++) {
            lua_rawgeti(L, from, (lua_Integer)i + 1);
            push_label(L, axis, i);
            lua_rawseti(L, from + 2, (lua_Integer)i + 1);
            lua_rawseti(L, from + 1, (lua_Integer)i + 1);
        }
        return n;
    }
    enum { NAMED = 1000 };
    const char **names = lua_newuserdatauv(L, NAMED * sizeof *names, 0);
    lua_pushvalue(L, from);
    n = names_of(L, path, names, NAMED);
    if (n == 0)
        (void)mbl_host_wrong(L, path, "there is nothing to try");
    for (size_t i = 0; i < n; i++) {
        lua_getfield(L, from, names[i]);
        lua_rawseti(L, from + 1, (lua_Integer)i + 1);
        lua_pushstring(L, names[i]);
        lua_rawseti(L, from + 2, (lua_Integer)i + 1);
    }
    lua_pop(L, 2);
    return n;
}

/* Gives the axis its labels, from the list at `labels`. */
static void add_axis(lua_State *L, mbl_grid *grid, const char *name, size_t n, int labels)
{
    const char **text = lua_newuserdatauv(L, n * sizeof *text, 0);
    mbl_error err = {0};
    for (size_t i = 0; i < n; i++) {
        lua_rawgeti(L, labels, (lua_Integer)i + 1);
        text[i] = lua_tostring(L, -1); /* alive in the list */
        lua_pop(L, 1);
    }
    if (mbl_grid_axis(grid, name, n, text, &err) != MBL_OK)
        (void)mbl_host_raise(L, &err);
    lua_pop(L, 1);
}

/* Every combination of the options in `over`, on top; fills the table at `axes`. */
static void read_product(lua_State *L, mbl_grid *grid, int axes)
{
    const char *names[MBL_AXES];
    size_t n = names_of(L, "sweep.over", names, MBL_AXES);
    int over = lua_gettop(L);
    if (n == 0)
        (void)mbl_host_wrong(L, "sweep.over", "there is nothing to vary");
    grid->shape = MBL_GRID_PRODUCT;
    for (size_t i = 0; i < n; i++) {
        check_name(L, names[i]);
        lua_getfield(L, over, names[i]);
        size_t count = push_options(L, names[i]);
        int labels = lua_gettop(L);
        add_axis(L, grid, names[i], count, labels);
        lua_pushvalue(L, labels - 1);
        lua_rawseti(L, axes, (lua_Integer)i + 1);
        lua_settop(L, over);
    }
}

/* ---- rows of their own ---- */

static void read_rows(lua_State *L, mbl_grid *grid, int axes)
{
    int rows = lua_gettop(L);
    size_t count = lua_rawlen(L, rows);
    const char *names[MBL_AXES];
    if (count == 0 || count > MBL_SWEEP_ROWS)
        (void)mbl_host_wrong(L, "sweep.rows",
                             "expected a list of 1 to %d rows, each { name = value }",
                             MBL_SWEEP_ROWS);
    lua_rawgeti(L, rows, 1);
    if (!lua_istable(L, -1))
        (void)mbl_host_wrong(L, "sweep.rows[1]", "expected { name = value, ... }");
    size_t n = names_of(L, "sweep.rows[1]", names, MBL_AXES);
    grid->shape = MBL_GRID_ROWS;
    for (size_t a = 0; a < n; a++) {
        check_name(L, names[a]);
        lua_newtable(L); /* values */
        lua_newtable(L); /* labels */
        int labels = lua_gettop(L);
        for (size_t i = 0; i < count; i++) {
            lua_rawgeti(L, rows, (lua_Integer)i + 1);
            if (lua_type(L, -1) != LUA_TTABLE || lua_getfield(L, -1, names[a]) == LUA_TNIL) {
                char path[48];
                snprintf(path, sizeof path, "sweep.rows[%zu]", i + 1);
                (void)mbl_host_wrong(L, path, "there is no \"%.32s\", which the first row has",
                                     names[a]);
            }
            push_label(L, names[a], i);
            lua_rawseti(L, labels, (lua_Integer)i + 1);
            lua_rawseti(L, labels - 1, (lua_Integer)i + 1);
            lua_pop(L, 1);
        }
        add_axis(L, grid, names[a], count, labels);
        lua_pushvalue(L, labels - 1);
        lua_rawseti(L, axes, (lua_Integer)a + 1);
        lua_settop(L, labels - 2);
    }
}

/* ---- samples ---- */

/* splitmix64 (Steele, Lea and Flood 2014; constants from memory): the same draws everywhere. */
static uint64_t next_draw(uint64_t *state)
{
    uint64_t x = *state += 0x9e3779b97f4a7c15u;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
    return x ^ (x >> 31);
}

static double unit_draw(uint64_t *state)
{
    return (double)(next_draw(state) >> 11) * 0x1p-53;
}

/* A shuffled list of 0 .. n - 1, in memory that Lua frees; on top. */
static size_t *push_shuffle(lua_State *L, size_t n, uint64_t *state)
{
    size_t *order = lua_newuserdatauv(L, n * sizeof *order, 0);
    for (size_t i = 0; i < n; i++)
        order[i] = i;
    for (size_t i = n; i > 1; i--) {
        size_t j = (size_t)(next_draw(state) % i);
        size_t swap = order[i - 1];
        order[i - 1] = order[j];
        order[j] = swap;
    }
    return order;
}

/* Pushes the value at share u of the options in the list at `values`: between the ends of amounts
 * of one unit, else one of them. */
static void push_share(lua_State *L, int values, size_t n, double u)
{
    amount a;
    amount b;
    lua_rawgeti(L, values, 1);
    lua_rawgeti(L, values, (lua_Integer)n);
    bool spans = read_amount(L, -2, &a) && read_amount(L, -1, &b) && strcmp(a.unit, b.unit) == 0;
    lua_pop(L, 2);
    if (spans && n > 1) {
        push_amount(L, between(a.number, b.number, u), a.unit);
        return;
    }
    size_t i = (size_t)(u * (double)n);
    lua_rawgeti(L, values, (lua_Integer)(i < n ? i : n - 1) + 1);
}

/*
 * `count` points spread over the options of `over`, on top: of every axis one in each of `count`
 * equal parts of its span, in a shuffled order of its own (a Latin hypercube: McKay, Beckman and
 * Conover 1979).
 */
static void read_sample(lua_State *L, mbl_grid *grid, int axes, size_t count, uint64_t seed)
{
    const char *names[MBL_AXES];
    size_t n = names_of(L, "sweep.over", names, MBL_AXES);
    int over = lua_gettop(L);
    uint64_t state = seed;
    if (n == 0)
        (void)mbl_host_wrong(L, "sweep.over", "there is nothing to vary");
    grid->shape = MBL_GRID_ROWS;
    for (size_t a = 0; a < n; a++) {
        check_name(L, names[a]);
        lua_getfield(L, over, names[a]);
        size_t options = push_options(L, names[a]);
        int given = lua_gettop(L) - 1;
        bool named = lua_rawlen(L, over + 1) == 0;
        const size_t *order = push_shuffle(L, count, &state);
        lua_newtable(L); /* values */
        lua_newtable(L); /* labels */
        int labels = lua_gettop(L);
        for (size_t i = 0; i < count; i++) {
            double u = ((double)order[i] + unit_draw(&state)) / (double)count;
            push_share(L, given, options, u);
            if (named) {
                size_t k = (size_t)(u * (double)options);
                lua_rawgeti(L, given + 1, (lua_Integer)(k < options ? k : options - 1) + 1);
            } else {
                push_label(L, names[a], i);
            }
            lua_rawseti(L, labels, (lua_Integer)i + 1);
            lua_rawseti(L, labels - 1, (lua_Integer)i + 1);
        }
        add_axis(L, grid, names[a], count, labels);
        lua_pushvalue(L, labels - 1);
        lua_rawseti(L, axes, (lua_Integer)a + 1);
        lua_settop(L, over);
    }
}

/* A whole number of the table at 1, or `fallback`. */
static double whole(lua_State *L, const char *key, double lo, double hi, double fallback)
{
    char path[32];
    snprintf(path, sizeof path, "sweep.%s", key);
    int type = lua_getfield(L, 1, key);
    double value = type == LUA_TNUMBER ? lua_tonumber(L, -1) : NAN;
    lua_pop(L, 1);
    if (type == LUA_TNIL)
        return fallback;
    if (!(value >= lo && value <= hi && value == floor(value)))
        (void)mbl_host_wrong(L, path, "expected a whole number from %.0f to %.0f", lo, hi);
    return value;
}

void mbl_sweep_axes(lua_State *L, mbl_grid *grid)
{
    lua_newtable(L);
    int axes = lua_gettop(L);
    double sample = whole(L, "sample", 1, MBL_SWEEP_ROWS, 0);
    double seed = whole(L, "seed", 0, 9007199254740992.0, 1);
    bool rows = lua_getfield(L, 1, "rows") != LUA_TNIL;
    bool over = lua_getfield(L, 1, "over") != LUA_TNIL;
    if (rows == over)
        (void)mbl_host_wrong(L, "sweep", "expected either `over`, what is varied, or `rows`");
    if (rows && sample > 0)
        (void)mbl_host_wrong(L, "sweep.sample", "goes with `over`, not with `rows`");
    if (rows)
        lua_pop(L, 1);
    if (!lua_istable(L, -1))
        (void)mbl_host_wrong(L, rows ? "sweep.rows" : "sweep.over", "expected a table");
    if (rows)
        read_rows(L, grid, axes);
    else if (sample > 0)
        read_sample(L, grid, axes, (size_t)sample, (uint64_t)seed);
    else
        read_product(L, grid, axes);
    lua_settop(L, axes);
    if (mbl_grid_rows(grid) > MBL_SWEEP_ROWS)
        (void)mbl_host_wrong(L, "sweep.over", "more than %d combinations", MBL_SWEEP_ROWS);
}

void mbl_sweep_x(lua_State *L, int axes, const mbl_grid *grid, size_t row)
{
    lua_createtable(L, 0, (int)grid->naxes);
    for (size_t a = 0; a < grid->naxes; a++) {
        lua_rawgeti(L, axes, (lua_Integer)a + 1);
        lua_rawgeti(L, -1, (lua_Integer)mbl_grid_option(grid, row, a) + 1);
        lua_setfield(L, -3, grid->axis[a].name);
        lua_pop(L, 1);
    }
}
