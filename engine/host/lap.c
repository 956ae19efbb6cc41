/* SPDX-License-Identifier: MIT */
#include "host/lap.h"

#include "host/course.h"
#include "host/definition.h"
#include "host/options.h"
#include "host/result_put.h"

#include "drive/loop.h"

#include <math.h>
#include <string.h>

/* ---- el.lap ---- */

typedef struct lap_keys {
    mbl_car car;
    mbl_course course;
    double ambient, altitude, temperature, fuel;
} lap_keys;

#define T lap_keys
static const mbl_field lap_fields[] = {
    PART("car", car, MBL_REQUIRED, &mbl_car_schema,
         "the car, made by el.car, with tyre.grip and power"),
    PART("course", course, MBL_REQUIRED, &mbl_course_schema, "the layout, made by el.track"),
    OPTION_TEMPERATURE(temperature, 300, "temperature of the pads all the way round"),
    OPTION_AMBIENT(ambient, 25),
    OPTION_ALTITUDE(altitude),
    NUMBER("fuel", fuel, MBL_INFERRED, MASS, 0, 200, NAN,
           "fuel in the tank; that of the car's start when not given", ""),
};
#undef T
SCHEMA(mbl_lap_schema, "lap", lap_keys, lap_fields, NULL,
       "One car, one layout, one lap: a flying one where the course is closed.");

/* What a lap came to, while it is on its way to Lua. */
typedef struct lap_object {
    mbl_node *bound;
    mbl_path *path, *free;    /* free: with brakes that set no limit; may be NULL */
    const mbl_layout *layout; /* in `bound` */
} lap_object;

static const char lap_tag;

static mbl_status drive(mbl_host *host, const lap_keys *keys, lap_object *o, mbl_error *err)
{
    const mbl_alloc *alloc = &host->store.alloc;
    mbl_case setup;
    memset(&setup, 0, sizeof setup);
    setup.car = keys->car;
    setup.course = keys->course;
    setup.stint.ambient = keys->ambient;
    setup.stint.altitude = keys->altitude;
    double fuel = isnan(keys->fuel) ? keys->car.fuel.start : keys->fuel;
    o->layout = keys->course.layout;
    if (o->layout == NULL) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT,
                     "a lap needs a layout: el.track reads one, and course:layout() "
                     "makes one of a log");
        mbl_error_under(err, "course");
        return status;
    }
    MBL_TRY(mbl_lap_of(alloc, &setup, fuel, keys->temperature, true, &o->path, err));
    if (o->path->held[MBL_HOLDS_BRAKES] <= 0)
        return MBL_OK;
    return mbl_lap_of(alloc, &setup, fuel, keys->temperature, false, &o->free, err);
}

/* The lap as a course on top: its trace, and the car that drove it. */
static mbl_status push_trace(lua_State *L, const lap_object *o, mbl_error *err)
{
    mbl_host *host = mbl_host_of(L);
    mbl_definition *d;
    mbl_trace *trace = NULL;
    MBL_TRY(mbl_course_push(L, mbl_node_get(o->bound, "course"), mbl_node_get(o->bound, "car"), &d,
                            err));
    MBL_TRY(mbl_lap_trace(&host->store.alloc, o->path, &trace, err));
    return mbl_course_with_trace(host, d->node, trace, err);
}

static const char *const held_by[MBL_HOLDS_COUNT] = {
    [MBL_HOLDS_CORNER] = "corners",    [MBL_HOLDS_POWER] = "power",
    [MBL_HOLDS_TRACTION] = "traction", [MBL_HOLDS_TYRES] = "tyres",
    [MBL_HOLDS_BRAKES] = "brakes",
};

/* The table of a lap, under its trace on top. */
static void push_result(lua_State *L, const lap_object *o)
{
    const mbl_path *p = o->path;
    lua_newtable(L);
    mbl_result_text(L, "course", o->layout->name);
    mbl_result_number(L, "time", p->time);
    mbl_result_number(L, "top_speed", p->top_speed);
    mbl_result_number(L, "length", o->layout->length);
    mbl_result_number(L, "lost_to_brakes", o->free != NULL ? fmax(p->time - o->free->time, 0) : 0);
    lua_newtable(L);
    for (size_t i = 0; i < o->layout->nsplits; i++) {
        lua_pushnumber(L, p->split[i]);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    mbl_result_seal(L, "lap.splits", NULL);
    lua_setfield(L, -2, "splits");
    lua_newtable(L);
    for (int i = 0; i < MBL_HOLDS_COUNT; i++)
        mbl_result_number(L, held_by[i], p->held[i]);
    mbl_result_seal_as(L, "lap.held", &mbl_class_held);
    lua_setfield(L, -2, "held");
    lua_pushvalue(L, -2);
    lua_setfield(L, -2, "trace");
    mbl_result_seal_as(L, "lap", &mbl_class_own_lap);
}

int mbl_lap_call(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    if (lua_gettop(L) != 1 || !lua_istable(L, 1))
        return mbl_host_wrong(L, "", "el.lap takes one table: { car =, course = }");
    size_t before = host->store.used;
    lap_object *o = mbl_lua_new(L, &lap_tag, sizeof *o, 0);
    lap_keys *keys = lua_newuserdatauv(L, sizeof *keys, 0);
    mbl_error err = {0};
    mbl_status status = mbl_definition_bind(L, &mbl_lap_schema, 1, &o->bound, &err);
    if (status == MBL_OK) {
        mbl_extract(&mbl_lap_schema, o->bound, keys);
        mbl_host_engine_begin(host);
        status = drive(host, keys, o, &err);
        mbl_host_engine_end(host);
        if (status != MBL_OK)
            mbl_error_under(&err, "lap");
    }
    if (status == MBL_OK)
        status = push_trace(L, o, &err);
    if (status != MBL_OK)
        return mbl_host_raise(L, &err);
    push_result(L, o);
    mbl_lua_charge(L, before);
    return 1;
}

/* ---- el.track ---- */

/* The argument as a tree: a name stands for { file = name }. */
static mbl_status read_track(lua_State *L, mbl_node **bound, mbl_error *err)
{
    if (lua_type(L, 1) == LUA_TSTRING) {
        lua_createtable(L, 0, 1);
        lua_pushvalue(L, 1);
        lua_setfield(L, -2, "file");
        lua_replace(L, 1);
    }
    return mbl_definition_bind(L, &mbl_course_schema, 1, bound, err);
}

static bool is_yaml(const mbl_node *bound)
{
    mbl_course course;
    mbl_extract(&mbl_course_schema, bound, &course);
    return mbl_course_is_layout(&course);
}

int mbl_track_call(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    if (lua_gettop(L) != 1 || (lua_type(L, 1) != LUA_TSTRING && !lua_istable(L, 1)))
        return mbl_host_wrong(L, "",
                              "el.track takes one thing: the name of a layout, as "
                              "\"tracks/low_cinder.yaml\", or { file =, driver =, of = }");
    size_t before = host->store.used;
    mbl_error err = {0};
    mbl_definition *d = mbl_lua_new(L, &mbl_definition_tag, sizeof *d, 0);
    mbl_status status = read_track(L, &d->node, &err);
    if (status == MBL_OK && !is_yaml(d->node))
        return mbl_host_wrong(L, "track.file",
                              "a layout is a .yaml file; el.trace reads the log of a drive");
    mbl_host_engine_begin(host);
    if (status == MBL_OK)
        status = mbl_course_attach(host, d->node, &err);
    mbl_host_engine_end(host);
    if (status != MBL_OK)
        return mbl_host_raise(L, &err);
    lua_pushvalue(L, -1);
    mbl_lua_charge(L, before);
    return 1;
}

static int collect(lua_State *L)
{
    lap_object *o = mbl_lua_test(L, 1, &lap_tag);
    if (o != NULL) {
        mbl_path_free(o->path);
        mbl_path_free(o->free);
        mbl_node_drop(o->bound);
        *o = (lap_object){0};
    }
    return 0;
}

void mbl_lap_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect}, {NULL, NULL}};
    mbl_lua_type(L, &lap_tag, "lap", meta);
}
