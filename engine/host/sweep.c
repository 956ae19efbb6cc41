/* SPDX-License-Identifier: MIT */
#include "host/sweep.h"

#include "host/course.h"
#include "host/definition.h"
#include "host/fence.h"
#include "host/grid_object.h"
#include "host/journal.h"
#include "host/progress.h"
#include "host/sweep_axes.h"
#include "host/sweep_laps.h"

#include "study/batch.h"

#include <string.h>

/* Stack places of the parts of a sweep while it runs. */
enum { AT_TABLE = 1, AT_GRID, AT_AXES, AT_CASE };

typedef struct sweep {
    lua_State *L;
    mbl_host *host;
    mbl_grid *grid;
    size_t next;      /* first row that is not run yet */
    mbl_node **bound; /* (room) trees of the rows in flight: laws of theirs are lent out */
    size_t room;
    mbl_journal journal;
    mbl_progress progress;
    mbl_sweep_laps laps;
    mbl_node *first; /* tree of the sweep's first row, where its car's laps are driven; or NULL */
} sweep;

/* ---- one row's case ---- */

static mbl_status no_base(const mbl_case *setup, mbl_error *err)
{
    if (!setup->base.present)
        return MBL_OK;
    mbl_status status = mbl_fail(err, MBL_INPUT, "a row has none; el.run and el.compare have");
    mbl_error_under(err, "base");
    return status;
}

/* The table on top, as a case; the tree stays with the sweep. */
static mbl_status bind_case(sweep *s, mbl_node **bound, mbl_case *out, mbl_error *err)
{
    MBL_TRY(mbl_definition_bind(s->L, &mbl_case_schema, -1, bound, err));
    mbl_extract(&mbl_case_schema, *bound, out);
    MBL_TRY(no_base(out, err));
    return mbl_course_needed(&out->course, err);
}

/* Called protected: [1] a sweep and [2] the row as light userdata; leaves the table of the case. */
typedef struct asked {
    sweep *s;
    size_t row;
} asked;

static int ask(lua_State *L)
{
    const asked *a = lua_touserdata(L, 1);
    /* a row depends on its number alone: others may not be asked for, in a part or a resume */
    mbl_fence_seed(L, (lua_Integer)a->row + 1);
    /* the places of the sweep, which are below this call */
    lua_rawgetp(L, LUA_REGISTRYINDEX, a->s);
    lua_rawgeti(L, -1, AT_AXES);
    lua_rawgeti(L, -2, AT_CASE);
    mbl_sweep_x(L, lua_gettop(L) - 1, a->s->grid, a->row);
    lua_call(L, 1, 1);
    if (!lua_istable(L, -1))
        return luaL_error(L, "case gives a %s, not a table { car =, course =, stint = }",
                          luaL_typename(L, -1));
    return 1;
}

/* What a failed call left on top: text, or that the script is being stopped. */
static mbl_status told(sweep *s, int raised, mbl_row_fate *fate, mbl_error *err)
{
    if (s->host->stop != MBL_STOP_NONE)
        return mbl_fail(err, MBL_STOPPED, "stopped");
    const char *text = lua_type(s->L, -1) == LUA_TSTRING ? lua_tostring(s->L, -1) : "an error";
    /* the engine's own failure is no row's fault */
    size_t engine = strlen(s->host->engine);
    if (raised == LUA_ERRMEM || (engine > 0 && strncmp(text, s->host->engine, engine) == 0))
        return mbl_fail(err, MBL_MEMORY, "%.600s", text);
    /* the same wherever the script was called from */
    size_t folder = strlen(s->host->folder);
    if (folder > 0 && strncmp(text, s->host->folder, folder) == 0 && text[folder] == '/')
        text += folder + 1;
    *fate = MBL_ROW_REFUSED;
    (void)mbl_fail(err, MBL_INPUT, "%.600s", text);
    return MBL_OK;
}

/* Asks the script for the case of a row, whose tree goes to `bound`. */
static mbl_status ask_row(sweep *s, size_t row, mbl_node **bound, mbl_case *out, mbl_row_fate *fate,
                          mbl_error *err)
{
    lua_State *L = s->L;
    int top = lua_gettop(L);
    asked a = {s, row};
    int depth = 0;
    lua_pushcfunction(L, ask);
    lua_pushlightuserdata(L, &a);
    if (!mbl_host_script_begin(s->host, &depth)) {
        lua_settop(L, top);
        return mbl_fail(err, MBL_INPUT, "a sweep within a sweep's case goes too deep");
    }
    int raised = lua_pcall(L, 1, 1, 0);
    mbl_host_script_end(s->host, depth);
    mbl_status status = MBL_OK;
    if (raised != LUA_OK) {
        status = told(s, raised, fate, err);
    } else {
        *fate = MBL_ROW_GIVEN;
        mbl_status made = bind_case(s, bound, out, err);
        if (made == MBL_INPUT)
            *fate = MBL_ROW_REFUSED;
        else
            status = made;
    }
    lua_settop(L, top);
    return status;
}

/*
 * The car of the sweep's first row, whichever rows this part runs: its laps are driven by all. A
 * first row that is refused has no car, and rows then drive their own laps.
 */
static mbl_status find_base(sweep *s, mbl_error *err)
{
    mbl_node *bound = NULL;
    mbl_row_fate fate = MBL_ROW_NONE;
    mbl_error refused = {0};
    mbl_case *first = mbl_new(&s->host->store.alloc, 1, sizeof *first);
    if (first == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for the laps of a sweep");
    mbl_status status = ask_row(s, 0, &bound, first, &fate, &refused);
    if (status == MBL_OK && fate == MBL_ROW_GIVEN)
        mbl_sweep_laps_base(&s->laps, first);
    else if (status != MBL_OK)
        *err = refused;
    mbl_free(&s->host->store.alloc, first, 1, sizeof *first);
    s->first = bound; /* laws of the car are lent out of it */
    s->laps.relap = s->laps.relap || !s->laps.based;
    return status;
}

static mbl_status source(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    sweep *s = ctx;
    size_t row = s->next + i;
    if (row >= s->grid->end)
        return MBL_OK;
    MBL_TRY(ask_row(s, row, &s->bound[row % s->room], out, fate, err));
    if (*fate != MBL_ROW_GIVEN || out->course.trace != NULL)
        return MBL_OK;
    if (!s->laps.relap && !s->laps.based && !out->course.of.present)
        MBL_TRY(find_base(s, err));
    mbl_status status = mbl_sweep_laps_find(&s->laps, out, err);
    if (status != MBL_INPUT)
        return status;
    *fate = MBL_ROW_REFUSED; /* this car does not get round */
    return MBL_OK;
}

static mbl_status sink(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    sweep *s = ctx;
    size_t row = s->next + i;
    char reason[sizeof why->path + sizeof why->text + 2] = ""; /* whole: the grid cuts it */
    if (run == NULL)
        snprintf(reason, sizeof reason, "%s%s%s", why->path, why->path[0] != '\0' ? ": " : "",
                 why->text);
    mbl_status status = mbl_grid_take(s->grid, row, run, reason, err);
    mbl_node_drop(s->bound[row % s->room]);
    s->bound[row % s->room] = NULL;
    if (status == MBL_OK)
        status = mbl_journal_add(&s->journal, s->grid, row, err);
    mbl_progress_tell(&s->progress, row + 1 - s->grid->first);
    return status;
}

/* ---- the sweep ---- */

static mbl_status run_rows(sweep *s, mbl_error *err)
{
    int workers = s->host->options->workers;
    /* the script's store is of one thread; alone it counts what rows take, too */
    mbl_batch batch = {.alloc = workers <= 1 ? &s->host->store.alloc : &mbl_alloc_libc,
                       .source = source,
                       .sink = sink,
                       .ctx = s,
                       .rows = s->grid->end - s->next,
                       .workers = workers,
                       .stop = s->host->options->interrupt};
    const mbl_alloc *alloc = &s->host->store.alloc;
    size_t done = 0;
    s->room = mbl_batch_flight(&batch);
    s->bound = mbl_new(alloc, s->room, sizeof *s->bound);
    if (s->bound == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a sweep of %zu rows", s->grid->rows);
    mbl_status status = mbl_batch_run(&batch, &done, err);
    for (size_t i = 0; i < s->room; i++)
        mbl_node_drop(s->bound[i]);
    mbl_free(alloc, s->bound, s->room, sizeof *s->bound);
    return status;
}

/* Measures by name into the grid: a list, "all", or the usual ones. */
static void read_measures(lua_State *L, mbl_grid *grid)
{
    int type = lua_getfield(L, AT_TABLE, "measures");
    bool all = type == LUA_TSTRING && strcmp(lua_tostring(L, -1), "all") == 0;
    if (type == LUA_TNIL || all) {
        for (size_t i = 0; i < mbl_gauge_count(); i++)
            if ((all || mbl_gauge_at(i).usual) && grid->ngauges < MBL_GRID_GAUGES)
                grid->gauge[grid->ngauges++] = i;
    } else if (type == LUA_TTABLE) {
        size_t n = lua_rawlen(L, -1);
        for (size_t i = 0; i < n; i++) {
            char path[48];
            snprintf(path, sizeof path, "sweep.measures[%zu]", i + 1);
            lua_rawgeti(L, -1, (lua_Integer)i + 1);
            const char *name = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "?";
            size_t k = mbl_gauge_find(name);
            if (k == mbl_gauge_count())
                (void)mbl_grid_unknown(L, path, name);
            if (grid->ngauges == MBL_GRID_GAUGES)
                (void)mbl_host_wrong(L, path, "more than %d measures", MBL_GRID_GAUGES);
            grid->gauge[grid->ngauges++] = k;
            lua_pop(L, 1);
        }
    } else {
        (void)mbl_host_wrong(L, "sweep.measures", "expected a list of names, or \"all\"");
    }
    lua_pop(L, 1);
}

/* The rows of this part: `part` of `parts`, from 1. */
static void share(const mbl_host_options *o, size_t rows, size_t *first, size_t *end)
{
    size_t parts = o->parts > 0 ? (size_t)o->parts : 1;
    size_t part = o->parts > 0 ? (size_t)o->part - 1 : 0;
    *first = rows / parts * part + rows % parts * part / parts;
    *end = rows / parts * (part + 1) + rows % parts * (part + 1) / parts;
}

static void check_keys(lua_State *L)
{
    static const char *const known[] = {"case",  "journal", "measures", "over",
                                        "relap", "rows",    "sample",   "seed"};
    enum { N = sizeof known / sizeof known[0] };
    for (lua_pushnil(L); lua_next(L, AT_TABLE); lua_pop(L, 1)) {
        const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "?";
        bool fine = false;
        for (size_t i = 0; i < N; i++)
            fine = fine || strcmp(key, known[i]) == 0;
        if (!fine)
            (void)mbl_host_unknown(L, "el.sweep", key, known, N);
    }
}

/* relap: is the lap of a layout worked out for each row's own car? */
static bool read_relap(lua_State *L)
{
    int type = lua_getfield(L, AT_TABLE, "relap");
    if (type != LUA_TNIL && type != LUA_TBOOLEAN)
        (void)mbl_host_wrong(L, "sweep.relap", "expected true or false");
    bool relap = lua_toboolean(L, -1);
    lua_pop(L, 1);
    return relap;
}

static void drop_laps(sweep *s)
{
    mbl_sweep_laps_free(&s->laps);
    mbl_node_drop(s->first);
    s->first = NULL;
}

/* In a check: the first row's case is made and compiled, and the table is not known. */
static int check_first(lua_State *L, sweep *s)
{
    mbl_error err = {0};
    mbl_row_fate fate = MBL_ROW_NONE;
    mbl_case *setup = lua_newuserdatauv(L, sizeof *setup, 0);
    memset(setup, 0, sizeof *setup);
    mbl_node *bound = NULL;
    s->bound = &bound;
    s->room = 1;
    mbl_status status = source(s, 0, setup, &fate, &err);
    if (status == MBL_OK && fate == MBL_ROW_GIVEN)
        status = mbl_run_check(&s->host->store.alloc, setup, &err);
    mbl_node_drop(bound);
    drop_laps(s);
    if (s->host->stop != MBL_STOP_NONE)
        return mbl_host_stop(L, s->host->stop);
    if (status != MBL_OK || fate == MBL_ROW_REFUSED) {
        mbl_error_under(&err, "sweep.case");
        return mbl_host_raise(L, &err);
    }
    lua_settop(L, AT_GRID);
    mbl_grid_object *object = lua_touserdata(L, AT_GRID);
    object->grid = NULL;
    return 1;
}

/* What ends a sweep before its end. */
static int end_early(lua_State *L, sweep *s, mbl_status status, mbl_error *err)
{
    mbl_journal_tell(&s->journal, s->host);
    if (status == MBL_STOPPED) {
        return mbl_host_stop(L,
                             s->host->stop != MBL_STOP_NONE ? s->host->stop : MBL_STOP_INTERRUPTED);
    }
    mbl_error_under(err, "sweep");
    return mbl_host_raise(L, err);
}

int mbl_sweep_call(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    mbl_error err = {0};
    if (lua_gettop(L) != 1 || !lua_istable(L, 1))
        return mbl_host_wrong(L, "", "el.sweep takes one table: { over =, case = }");
    check_keys(L);
    size_t before = host->store.used;
    mbl_grid_object *object = mbl_grid_push(L);
    mbl_sweep_axes(L, object->grid);
    if (lua_getfield(L, AT_TABLE, "case") != LUA_TFUNCTION)
        return mbl_host_wrong(L, "sweep.case",
                              "expected a function of x that gives { car =, course =, stint = }");
    sweep s = {.L = L, .host = host, .grid = object->grid, .laps = {.host = host}};
    s.laps.relap = read_relap(L);
    read_measures(L, object->grid);
    size_t first;
    size_t end;
    share(host->options, mbl_grid_rows(object->grid), &first, &end);
    if (mbl_grid_open(object->grid, first, end, &err) != MBL_OK)
        return mbl_host_raise(L, &err);
    s.next = first;
    /* where `ask` finds the axes and the case */
    lua_createtable(L, AT_CASE, 0);
    lua_pushvalue(L, AT_AXES);
    lua_rawseti(L, -2, AT_AXES);
    lua_pushvalue(L, AT_CASE);
    lua_rawseti(L, -2, AT_CASE);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &s);
    mbl_journal_open(L, AT_TABLE, &s.journal, object->grid, &s.next);
    if (host->options->check)
        return check_first(L, &s);
    mbl_progress_begin(&s.progress, host, "sweep", end - first, s.next - first);
    mbl_host_engine_begin(host);
    mbl_status status = s.next < end ? run_rows(&s, &err) : MBL_OK;
    mbl_status kept =
        mbl_journal_close(&s.journal, status == MBL_OK, status == MBL_OK ? &err : NULL);
    mbl_host_engine_end(host);
    mbl_progress_end(&s.progress);
    if (status == MBL_OK)
        mbl_sweep_laps_tell(&s.laps);
    drop_laps(&s);
    lua_pushnil(L);
    lua_rawsetp(L, LUA_REGISTRYINDEX, &s);
    if (status == MBL_OK)
        status = kept;
    if (status != MBL_OK)
        return end_early(L, &s, status, &err);
    lua_settop(L, AT_GRID);
    mbl_lua_charge(L, before);
    return 1;
}
