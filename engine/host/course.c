/* SPDX-License-Identifier: MIT */
#include "host/course.h"

#include "host/files.h"

#include <string.h>

static const char trace_key[] = "trace";

static void release(void *trace)
{
    mbl_trace_drop(trace);
}

static void note_column(const mbl_host *host, const mbl_log *log, mbl_log_role role)
{
    const mbl_log_column *c = &log->column[role];
    const char *word = mbl_log_role_word(role);
    if (!c->present)
        return;
    if (c->repeats > 0)
        mbl_host_note(host, "%s: %d columns are called %s; the first is taken", log->file,
                      c->repeats + 1, c->name);
    if (c->guessed)
        mbl_host_note(host, "%s: column %s is taken for %s", log->file, c->name, word);
    if (c->unit_assumed)
        mbl_host_note(host, "%s: column %s has no unit; %s is taken in %s", log->file, c->name,
                      word,
                      role == MBL_LOG_SPEED  ? "m/s"
                      : role == MBL_LOG_TIME ? "s"
                                             : "m");
}

static void note_log(const mbl_host *host, const mbl_log *log)
{
    for (int role = 0; role < MBL_LOG_ROLES; role++)
        if (role != MBL_LOG_LAP)
            note_column(host, log, (mbl_log_role)role);
    size_t dropped = log->dropped_time + log->dropped_blank;
    if (dropped > 0)
        mbl_host_note(host, "%s: %zu of %zu rows are left out, the first at line %d", log->file,
                      dropped, dropped + log->rows, log->first_dropped_line);
}

static mbl_status read_trace(mbl_host *host, const mbl_course *course, mbl_trace **trace,
                             mbl_error *err)
{
    const mbl_log_wish wish = {
        .column = {[MBL_LOG_TIME] = course->time,
                   [MBL_LOG_SPEED] = course->speed,
                   [MBL_LOG_LAP] = course->lap,
                   [MBL_LOG_DISTANCE] = course->distance,
                   [MBL_LOG_ALTITUDE] = course->altitude},
        .unit = {[MBL_LOG_TIME] = course->time_unit, [MBL_LOG_SPEED] = course->speed_unit}};
    char path[MBL_HOST_PATH];
    mbl_log *log = NULL;
    mbl_status status = mbl_files_find(host, "file", course->file, path, err);
    if (status != MBL_OK) {
        mbl_error_under(err, "trace.file");
        return status;
    }
    MBL_TRY(mbl_log_read(&host->store.alloc, path, &wish, &log, err));
    status = mbl_trace_make(&host->store.alloc, log, trace, err);
    if (status == MBL_OK)
        note_log(host, log);
    else
        mbl_error_at(err, path, 0, 0);
    mbl_log_free(log);
    return status;
}

mbl_status mbl_course_attach(mbl_host *host, mbl_node *bound, mbl_error *err)
{
    if (mbl_node_get(bound, trace_key) != NULL)
        return MBL_OK;
    mbl_course course;
    mbl_trace *trace = NULL;
    mbl_extract(&mbl_course_schema, bound, &course);
    MBL_TRY(read_trace(host, &course, &trace, err));
    mbl_node *handle = mbl_node_handle(&host->store.alloc, trace_key, trace, release);
    if (handle == NULL)
        mbl_trace_drop(trace);
    if (handle == NULL || !mbl_node_put(bound, trace_key, handle))
        return mbl_fail(err, MBL_MEMORY, "out of memory keeping a trace");
    return MBL_OK;
}

mbl_status mbl_course_detach(mbl_node *patch, mbl_error *err)
{
    bool rereads = false;
    for (size_t i = 0; i < patch->count; i++)
        rereads = rereads ||
                  (strcmp(patch->keys[i], "of") != 0 && strcmp(patch->keys[i], "hot_lap") != 0);
    /* a `trace` that the script wrote stays for the binder to refuse */
    if (!rereads || mbl_node_get(patch, trace_key) != NULL)
        return MBL_OK;
    mbl_node *none = mbl_node_none(patch->alloc);
    if (none == NULL || !mbl_node_put(patch, trace_key, none))
        return mbl_fail(err, MBL_MEMORY, "out of memory changing a course");
    return MBL_OK;
}
