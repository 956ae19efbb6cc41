/* SPDX-License-Identifier: MIT */
/* What a course does by itself: course:layout, course:driven_by, course:save. */
#include "host/course.h"
#include "host/definition.h"
#include "host/files.h"
#include "host/lap.h"
#include "host/options.h"

#include "drive/scale.h"
#include "out/layout_yaml.h"
#include "road/layout_log.h"

#include <string.h>

/* ---- course:layout ---- */

typedef struct layout_takes {
    int lap;
} layout_takes;

#define T layout_takes
static const mbl_field layout_fields[] = {
    COUNT("lap", lap, MBL_DEFAULT, 0, 100000, 0,
          "number of the logged lap it is taken from; 0 for the hot lap of median time", ""),
};
#undef T
SCHEMA(mbl_layout_options, "layout", layout_takes, layout_fields, NULL,
       "Options of course:layout.");

/* Index of the lap that is asked for; the number of laps when there is none. */
static size_t lap_of(const mbl_trace *trace, int number)
{
    return number == 0 ? trace->median : mbl_trace_lap(trace, number);
}

static mbl_status no_lap(const mbl_trace *trace, int number, mbl_error *err)
{
    return mbl_fail(err, MBL_INPUT, "the log has no lap %d: its laps are %d to %d", number,
                    trace->laps[0].number, trace->laps[trace->nlaps - 1].number);
}

static mbl_status push_layout(lua_State *L, const mbl_node *self, const mbl_course *course, int lap,
                              mbl_error *err)
{
    mbl_host *host = mbl_host_of(L);
    mbl_definition *d;
    mbl_layout *layout = NULL;
    const mbl_trace *trace = course->trace;
    size_t at = lap_of(trace, lap);
    if (at == trace->nlaps)
        return no_lap(trace, lap, err);
    MBL_TRY(mbl_course_push(L, self, NULL, &d, err));
    mbl_host_engine_begin(host);
    mbl_status status = mbl_layout_of_trace(&host->store.alloc, trace, at, &layout, err);
    mbl_host_engine_end(host);
    if (status == MBL_OK)
        status = mbl_course_with_layout(host, d->node, layout, err);
    return status;
}

int mbl_course_layout(lua_State *L)
{
    mbl_course course;
    layout_takes takes;
    mbl_error err = {0};
    size_t before = mbl_host_of(L)->store.used;
    const mbl_node *self = mbl_options_self(L, &mbl_course_schema, "layout");
    mbl_extract(&mbl_course_schema, self, &course);
    mbl_options_read(L, 2, &mbl_layout_options, &takes);
    if (course.trace == NULL) {
        lua_pushvalue(L, 1); /* it is one */
        return 1;
    }
    if (push_layout(L, self, &course, takes.lap, &err) != MBL_OK) {
        mbl_error_under(&err, "layout");
        return mbl_host_raise(L, &err);
    }
    mbl_lua_charge(L, before);
    return 1;
}

/* ---- course:driven_by ---- */

static mbl_status push_driven(lua_State *L, const mbl_node *self, const mbl_course *course,
                              const mbl_node *car, mbl_error *err)
{
    mbl_host *host = mbl_host_of(L);
    mbl_definition *d;
    mbl_trace *trace = NULL;
    mbl_car to;
    mbl_extract(&mbl_car_schema, car, &to);
    size_t at = lap_of(course->trace, course->hot_lap);
    const double sea_level = 101325, mild = 288.15;
    mbl_scale_ask ask = {.from = &course->of,
                         .to = &to,
                         .mass_from = mbl_car_mass(&course->of, course->of.fuel.start),
                         .mass_to = mbl_car_mass(&to, to.fuel.start),
                         .density = mbl_air_at(mild, sea_level).density};
    if (!course->of.present)
        return mbl_fail(err, MBL_INPUT,
                        "the car that made the log is not known: give it as of = car to el.trace");
    if (at == ((const mbl_trace *)course->trace)->nlaps)
        return no_lap(course->trace, course->hot_lap, err);
    MBL_TRY(mbl_course_push(L, self, car, &d, err));
    mbl_host_engine_begin(host);
    mbl_status status = mbl_scale_lap(&host->store.alloc, course->trace, at, &ask, &trace, err);
    mbl_host_engine_end(host);
    if (status == MBL_OK)
        status = mbl_course_with_trace(host, d->node, trace, err);
    return status;
}

int mbl_course_driven_by(lua_State *L)
{
    mbl_course course;
    mbl_error err = {0};
    size_t before = mbl_host_of(L)->store.used;
    const mbl_node *self = mbl_options_self(L, &mbl_course_schema, "driven_by");
    const mbl_definition *car = mbl_lua_test(L, 2, &mbl_definition_tag);
    mbl_extract(&mbl_course_schema, self, &course);
    if (car == NULL || car->node == NULL || car->node->bound != &mbl_car_schema)
        return mbl_host_wrong(L, "driven_by", "expected a car made by el.car");
    if (course.trace == NULL)
        return mbl_host_wrong(L, "driven_by",
                              "a layout is driven by any car as it is: el.run and el.lap do that");
    if (push_driven(L, self, &course, car->node, &err) != MBL_OK) {
        mbl_error_under(&err, "driven_by");
        return mbl_host_raise(L, &err);
    }
    mbl_lua_charge(L, before);
    return 1;
}

/* ---- course:save ---- */

int mbl_course_save(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    mbl_course course;
    char path[MBL_HOST_PATH];
    mbl_error err = {0};
    mbl_extract(&mbl_course_schema, mbl_options_self(L, &mbl_course_schema, "save"), &course);
    if (course.layout == NULL)
        return mbl_host_wrong(L, "save", "only a layout is saved; course:layout() makes one");
    if (lua_type(L, 2) != LUA_TSTRING || !mbl_files_ends(lua_tostring(L, 2), ".yaml"))
        return mbl_host_wrong(L, "save", "expected the name of a file such as \"course.yaml\"");
    bool dry = host->options->check;
    mbl_status status = mbl_files_place(host, lua_tostring(L, 2), dry, path, &err);
    mbl_host_engine_begin(host);
    if (status == MBL_OK && !dry)
        status = mbl_out_layout(course.layout, path, &err);
    mbl_host_engine_end(host);
    return mbl_files_saved(L, path, status, &err);
}
