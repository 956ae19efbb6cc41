/* SPDX-License-Identifier: MIT */
#include "host/course.h"

#include "host/files.h"
#include "host/wish.h"

#include <string.h>

static const char trace_key[] = "trace";

static void release(void *trace)
{
    mbl_trace_drop(trace);
}

/* One line on what was guessed, one on what was repaired; nothing when there is nothing. */
static void note_log(mbl_host *host, const mbl_log *log)
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
