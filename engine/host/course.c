/* SPDX-License-Identifier: MIT */
#include "host/course.h"

#include "host/definition.h"
#include "host/files.h"
#include "host/wish.h"

#include "drive/loop.h"
#include "road/layout_read.h"

#include <string.h>

static const char trace_key[] = "trace";
static const char layout_key[] = "layout";

static void release_trace(void *trace)
{
    mbl_trace_drop(trace);
}

static void release_layout(void *layout)
{
    mbl_layout_drop(layout);
}

/* Puts an object into a course's tree, which owns it from here on, whatever comes of it. */
static mbl_status put(const mbl_alloc *alloc, mbl_node *bound, const char *key, void *object,
                      void (*release)(void *), mbl_error *err)
{
    mbl_node *handle = mbl_node_handle(alloc, key, object, release);
    if (handle == NULL)
        release(object);
    if (handle == NULL || !mbl_node_put(bound, key, handle))
        return mbl_fail(err, MBL_MEMORY, "out of memory keeping a course");
    return MBL_OK;
}

/* One line on what was guessed, one on what was repaired; nothing when there is nothing. */
static void note_log(mbl_host *host, const mbl_log *log, const mbl_trace *trace)
{
    mbl_text line;
    mbl_text_init(&line, host->options->alloc);
    mbl_out_log_guesses(log, &line);
    if (line.length > 0)
        mbl_host_note(host, "%s: columns guessed by name: %s", log->file, mbl_text_get(&line));
    mbl_text_free(&line);
    mbl_out_log_repairs(log, &line);
    if (line.length > 0)
        mbl_host_note(host, "%s: repaired: %s; emberlap log %s says where", log->file,
                      mbl_text_get(&line), log->file);
    mbl_text_free(&line);
    mbl_out_log_doubt_line(log, trace, host->options->units, &line);
    if (line.length > 0)
        mbl_host_note(host, "%s: doubtful: %s", log->file, mbl_text_get(&line));
    mbl_text_free(&line);
}

static mbl_status read_trace(mbl_host *host, const mbl_course *course, mbl_trace **trace,
                             mbl_error *err)
{
    mbl_log_wish wish;
    char path[MBL_HOST_PATH];
    mbl_log *log = NULL;
    mbl_wish_of_course(course, &wish);
    mbl_status status = mbl_files_find(host, "file", course->file, path, err);
    if (status != MBL_OK) {
        mbl_error_under(err, "trace.file");
        return status;
    }
    MBL_TRY(mbl_wish_read(&host->store.alloc, path, &wish, &log, err));
    status = mbl_trace_make(&host->store.alloc, log, trace, err);
    if (status == MBL_OK)
        note_log(host, log, *trace);
    else
        mbl_error_at(err, path, 0, 0);
    mbl_log_free(log);
    return status;
}

bool mbl_course_is_layout(const mbl_course *course)
{
    return mbl_files_ends(course->file, ".yaml") || mbl_files_ends(course->file, ".yml");
}

static mbl_status read_layout(mbl_host *host, const mbl_course *course, mbl_layout **layout,
                              mbl_error *err)
{
    char path[MBL_HOST_PATH];
    mbl_status status = mbl_files_find(host, "file", course->file, path, err);
    if (status != MBL_OK) {
        mbl_error_under(err, "track.file");
        return status;
    }
    return mbl_layout_read(&host->store.alloc, path, layout, err);
}

/* The first key that has to do with reading a log, or NULL. */
static const char *key_of_log(const mbl_node *bound)
{
    static const char *const others[] = {"file", "driver", "of", "hot_lap"};
    for (size_t i = 0; i < bound->count; i++) {
        bool other = false;
        for (size_t k = 0; k < sizeof others / sizeof *others; k++)
            other = other || strcmp(bound->keys[i], others[k]) == 0;
        if (!other)
            return bound->keys[i];
    }
    return NULL;
}

static mbl_status attach_layout(mbl_host *host, const mbl_course *course, mbl_node *bound,
                                mbl_error *err)
{
    mbl_layout *layout = NULL;
    const char *wrong = key_of_log(bound);
    if (wrong != NULL) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT,
                     "%s is a layout: it has no columns to name, only driver and of", course->file);
        mbl_error_under(err, wrong);
        mbl_error_under(err, "track");
        return status;
    }
    MBL_TRY(read_layout(host, course, &layout, err));
    return put(&host->store.alloc, bound, layout_key, layout, release_layout, err);
}

mbl_status mbl_course_attach(mbl_host *host, mbl_node *bound, mbl_error *err)
{
    if (mbl_node_get(bound, trace_key) != NULL || mbl_node_get(bound, layout_key) != NULL)
        return MBL_OK;
    mbl_course course;
    mbl_trace *trace = NULL;
    mbl_extract(&mbl_course_schema, bound, &course);
    if (mbl_course_is_layout(&course))
        return attach_layout(host, &course, bound, err);
    if (mbl_node_get(bound, "driver") != NULL) {
        mbl_status status =
            mbl_fail(err, MBL_INPUT, "a log has its driver in it; pace slows him (stint.pace)");
        mbl_error_under(err, "trace.driver");
        return status;
    }
    MBL_TRY(read_trace(host, &course, &trace, err));
    return put(&host->store.alloc, bound, trace_key, trace, release_trace, err);
}

mbl_status mbl_course_push(lua_State *L, const mbl_node *old, const mbl_node *of,
                           struct mbl_definition **out, mbl_error *err)
{
    mbl_definition *d = mbl_lua_new(L, &mbl_definition_tag, sizeof *d, 0);
    mbl_node *raw = mbl_node_map(&mbl_host_of(L)->store.alloc);
    const mbl_node *file = mbl_node_get(old, "file");
    bool made = raw != NULL &&
                mbl_node_put(raw, "file", mbl_node_keep((mbl_node *)(uintptr_t)file)) &&
                (of == NULL || mbl_node_put(raw, "of", mbl_node_keep((mbl_node *)(uintptr_t)of)));
    mbl_status status = made ? mbl_bind(&mbl_course_schema, raw, &d->node, err)
                             : mbl_fail(err, MBL_MEMORY, "out of memory making a course");
    mbl_node_drop(raw);
    *out = d;
    return status;
}

/* ---- laps of a layout ---- */

mbl_status mbl_course_lap(const mbl_alloc *alloc, const mbl_case *setup, const mbl_car *by,
                          mbl_trace **out, mbl_error *err)
{
    mbl_case one = *setup;
    mbl_path *path = NULL;
    one.car = *by;
    MBL_TRY(mbl_lap_of(alloc, &one, by->fuel.start, MBL_LAP_PADS, true, &path, err));
    mbl_status status = mbl_lap_trace(alloc, path, out, err);
    mbl_path_free(path);
    return status;
}

mbl_status mbl_course_needed(const mbl_course *course, mbl_error *err)
{
    if (course->trace != NULL || course->layout != NULL)
        return MBL_OK;
    mbl_status status = mbl_fail(err, MBL_INPUT,
                                 "a course is made by el.trace, which reads its log, or by "
                                 "el.track, which reads its layout");
    mbl_error_under(err, "course");
    return status;
}

mbl_status mbl_course_laps(const mbl_alloc *alloc, mbl_case *setup, mbl_trace **made,
                           mbl_error *err)
{
    *made = NULL;
    MBL_TRY(mbl_course_needed(&setup->course, err));
    if (setup->course.trace != NULL)
        return MBL_OK;
    mbl_status status = setup->course.of.present
                            ? mbl_course_lap(alloc, setup, &setup->course.of, made, err)
                            : mbl_loop_trace(alloc, setup, NULL, made, err);
    if (status == MBL_OK)
        setup->course.trace = *made;
    else if (strncmp(err->path, "stint", 5) != 0)
        mbl_error_under(err, "course");
    return status;
}

mbl_status mbl_course_with_trace(mbl_host *host, mbl_node *bound, mbl_trace *trace, mbl_error *err)
{
    return put(&host->store.alloc, bound, trace_key, trace, release_trace, err);
}

mbl_status mbl_course_with_layout(mbl_host *host, mbl_node *bound, mbl_layout *layout,
                                  mbl_error *err)
{
    return put(&host->store.alloc, bound, layout_key, layout, release_layout, err);
}

static mbl_status drop(mbl_node *patch, const char *key, mbl_error *err)
{
    /* one that the script wrote stays for the binder to refuse */
    if (mbl_node_get(patch, key) != NULL)
        return MBL_OK;
    mbl_node *none = mbl_node_none(patch->alloc);
    if (none == NULL || !mbl_node_put(patch, key, none))
        return mbl_fail(err, MBL_MEMORY, "out of memory changing a course");
    return MBL_OK;
}

mbl_status mbl_course_detach(mbl_node *patch, mbl_error *err)
{
    bool rereads = false;
    for (size_t i = 0; i < patch->count; i++)
        rereads = rereads ||
                  (strcmp(patch->keys[i], "of") != 0 && strcmp(patch->keys[i], "hot_lap") != 0 &&
                   strcmp(patch->keys[i], "driver") != 0);
    if (!rereads)
        return MBL_OK;
    MBL_TRY(drop(patch, trace_key, err));
    return drop(patch, layout_key, err);
}
