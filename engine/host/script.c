/* SPDX-License-Identifier: MIT */
/* A script from beginning to exit code: the state, the run, the report. */
#include "host/bindings.h"
#include "host/fence.h"
#include "host/files.h"
#include "host/module.h"
#include "host/run.h"

#include <string.h>

/* Of the first argument Lua gives: with no block, old_size is a type tag and not a size. */
static void *lua_memory(void *ctx, void *p, size_t old_size, size_t new_size)
{
    mbl_meter *meter = ctx;
    /* one block may take half of the cap: what doubles then still fits beside its old self */
    if (new_size > meter->cap / 2)
        return NULL;
    if (p == NULL && new_size == 0)
        return NULL;
    return meter->alloc.fn(meter->alloc.ctx, p, p == NULL ? 0 : old_size, new_size);
}

/*
 * Turns any error value into text, where it was raised. A script's own __tostring is not called:
 * handlers run with hooks off.
 */
static int explain(lua_State *L)
{
    if (lua_type(L, 1) == LUA_TSTRING || lua_type(L, 1) == LUA_TLIGHTUSERDATA)
        return 1;
    if (lua_type(L, 1) == LUA_TNUMBER) {
        lua_tostring(L, 1);
        return 1;
    }
    char file[MBL_HOST_PATH];
    int line = 0;
    char at[24] = "";
    mbl_host_where(L, file, sizeof file, &line);
    if (line > 0)
        snprintf(at, sizeof at, ":%d", line);
    lua_pushfstring(L,
                    "%s%s: the script raised a %s as its error; error(\"text\") tells people why",
                    file, at, luaL_typename(L, 1));
    return 1;
}

typedef struct source {
    const char *name, *bytes;
    size_t size;
} source;

static int set_up(lua_State *L)
{
    mbl_fence_open(L);
    mbl_bindings_open(L);
    lua_getfield(L, -1, "args");
    mbl_fence_seal(L, "el.args");
    lua_setfield(L, -2, "args");
    mbl_fence_seal(L, "el");
    mbl_module_open(L);
    return 0;
}

static int load(lua_State *L)
{
    const source *s = lua_touserdata(L, 1);
    if (mbl_module_load(L, s->name, s->bytes, s->size) != LUA_OK)
        return lua_error(L);
    return 1;
}

/* Runs the source; returns a Lua status with the error, if any, on the stack. */
static int run(lua_State *L, source *s)
{
    lua_pushcfunction(L, explain);
    lua_pushcfunction(L, set_up);
    int status = lua_pcall(L, 0, 0, 1);
    if (status != LUA_OK)
        return status;
    lua_pushcfunction(L, load);
    lua_pushlightuserdata(L, s);
    status = lua_pcall(L, 1, 1, 1);
    if (status != LUA_OK)
        return status;
    mbl_host_watch(L);
    status = lua_pcall(L, 0, 0, 1);
    lua_sethook(L, NULL, 0, 0);
    return status;
}

static void print_list(FILE *out, const char *what, const mbl_text *list)
{
    const char *at = mbl_text_get(list);
    for (; *at != '\0'; at += strcspn(at, "\n") + 1)
        fprintf(out, "%s: %.*s\n", what, (int)strcspn(at, "\n"), at);
}

static int report_check(const mbl_host *host)
{
    FILE *out = host->options->out;
    if (host->stop == MBL_STOP_CHECKED)
        fprintf(out, "%s: checked up to %s, where a result is first used\n", host->script,
                host->stop_at);
    else
        fprintf(out, "%s: checked to its end\n", host->script);
    print_list(out, "read", &host->read);
    print_list(out, "would write", &host->written);
    return MBL_EXIT_HOLDS;
}

static int report_stop(const mbl_host *host)
{
    FILE *notes = host->options->notes;
    switch (host->stop) {
    case MBL_STOP_ALLOWANCE:
        fprintf(notes,
                "emberlap: %s: the script has run for too long: its allowance is %g s of "
                "processor time%s\n",
                host->stop_at, host->time.seconds, MBL_ALLOWANCE_ADVICE);
        return MBL_EXIT_WRONG;
    case MBL_STOP_PRINTED:
        fprintf(notes, "emberlap: %s: the script has printed too much: %zu MiB is the most\n",
                host->stop_at, MBL_HOST_PRINT / (1024 * 1024));
        return MBL_EXIT_WRONG;
    case MBL_STOP_INTERRUPTED:
        fprintf(notes, "emberlap: interrupted at %s\n", host->stop_at);
        return MBL_EXIT_INTERRUPTED;
    case MBL_STOP_NONE:
    case MBL_STOP_CHECKED:
        break;
    }
    return report_check(host);
}

static int report_error(const mbl_host *host, lua_State *L, int status)
{
    FILE *notes = host->options->notes;
    if (status == LUA_ERRMEM) {
        fprintf(notes, "emberlap: %s: out of memory: a script may use %zu MiB\n", host->script,
                MBL_HOST_HEAP / (1024 * 1024));
        return MBL_EXIT_WRONG;
    }
    const char *text = lua_type(L, -1) == LUA_TSTRING ? lua_tostring(L, -1) : "unknown error";
    fprintf(notes, "emberlap: %s\n", text);
    size_t n = strlen(host->engine);
    return n > 0 && strncmp(text, host->engine, n) == 0 ? MBL_EXIT_FAILED : MBL_EXIT_WRONG;
}

static int print_last(mbl_host *host)
{
    mbl_run *last = mbl_run_last(host->L);
    if (last == NULL || host->printed > 0)
        return MBL_EXIT_HOLDS;
    mbl_error err = {0};
    if (mbl_run_complete(last, &err) != MBL_OK) {
        mbl_host_note(host, "%s", err.text);
        return MBL_EXIT_FAILED;
    }
    mbl_text text;
    mbl_text_init(&text, host->options->alloc);
    mbl_out_run(last, host->options->units, &text);
    bool failed = text.failed;
    if (!failed)
        fputs(mbl_text_get(&text), host->options->out);
    else
        fprintf(host->options->notes, "emberlap: out of memory writing the table\n");
    mbl_text_free(&text);
    return failed ? MBL_EXIT_FAILED : MBL_EXIT_HOLDS;
}

static int report_verdict(mbl_host *host)
{
    int code = print_last(host);
    if (code != MBL_EXIT_HOLDS)
        return code;
    if (host->passed > 0)
        mbl_host_note(host, "a limit is passed in %d of %d run%s; the worst: %s", host->passed,
                      host->runs, host->runs == 1 ? "" : "s", host->worst);
    else if (host->marginal > 0)
        mbl_host_note(host, "%d of %d run%s %s marginal; the tightest: %s", host->marginal,
                      host->runs, host->runs == 1 ? "" : "s", host->marginal == 1 ? "is" : "are",
                      host->worst);
    bool strict = host->options->strict && host->marginal > 0;
    return host->passed > 0 || strict ? MBL_EXIT_PASSED : MBL_EXIT_HOLDS;
}

static int finish(mbl_host *host, lua_State *L, int status)
{
    int code;
    host->noted = 0;
    if (host->stop != MBL_STOP_NONE)
        code = report_stop(host);
    else if (status != LUA_OK)
        code = report_error(host, L, status);
    else if (host->options->check)
        code = report_check(host);
    else
        code = report_verdict(host);
    if (fflush(host->options->out) == 0 && !ferror(host->options->out))
        return code;
    fprintf(host->options->notes, "emberlap: cannot write the output\n");
    return MBL_EXIT_FAILED;
}

/* Runs the source under the clock; a Lua status, or -1 when nothing could be started. */
static int run_watched(mbl_host *host, source *s)
{
    const mbl_host_options *o = host->options;
    mbl_allowance_begin(&host->time, host->script,
                        o->allowance > 0 ? o->allowance : MBL_HOST_ALLOWANCE);
    if (o->may_end && !mbl_allowance_guard(&host->time, fileno(o->notes)))
        return -1;
    int status = run(host->L, s);
    mbl_allowance_end(&host->time);
    return status;
}

int mbl_host_text(const mbl_host_options *options, const char *name, const char *bytes, size_t size)
{
    mbl_host host = {.options = options};
    mbl_meter_init(&host.heap, options->alloc, MBL_HOST_HEAP);
    mbl_meter_init(&host.store, options->alloc, MBL_HOST_STORE);
    mbl_text_init(&host.read, options->alloc);
    mbl_text_init(&host.written, options->alloc);
    mbl_text_init(&host.journals, options->alloc);
    mbl_digest_start(&host.inputs);
    mbl_digest_add(&host.inputs, bytes, size);
    mbl_files_begin(&host, name);
    mbl_files_note(&host.read, name);
    lua_State *L = lua_newstate(lua_memory, &host.heap);
    int code = MBL_EXIT_FAILED;
    if (L != NULL) {
        source s = {name, bytes, size};
        host.L = L;
        *(mbl_host **)lua_getextraspace(L) = &host;
        int status = run_watched(&host, &s);
        if (status >= 0)
            code = finish(&host, L, status);
        else
            fprintf(options->notes, "emberlap: no thread can be had to watch over the script\n");
        lua_close(L);
    } else {
        fprintf(options->notes, "emberlap: out of memory starting a script\n");
    }
    mbl_text_free(&host.read);
    mbl_text_free(&host.written);
    mbl_text_free(&host.journals);
    return code;
}

int mbl_host_script(const mbl_host_options *options, const char *path)
{
    char *bytes = NULL;
    size_t size = 0;
    mbl_error err = {0};
    if (strlen(path) >= MBL_HOST_PATH - 64) {
        fprintf(options->notes, "emberlap: the path of the script is too long\n");
        return MBL_EXIT_WRONG;
    }
    if (mbl_file_read(options->alloc, path, MBL_MODULE_LIMIT, &bytes, &size, &err) != MBL_OK) {
        fprintf(options->notes, "emberlap: %s\n", err.text);
        return err.status == MBL_MEMORY ? MBL_EXIT_FAILED : MBL_EXIT_WRONG;
    }
    int code = mbl_host_text(options, path, bytes, size);
    mbl_free(options->alloc, bytes, size + 1, 1);
    return code;
}
