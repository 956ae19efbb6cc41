/* SPDX-License-Identifier: MIT */
/*
 * What every binding can reach: one context per script, found through the Lua state. Private to
 * `host`, as are all headers of this folder but host.h.
 *
 * A Lua error jumps over C frames. So whatever has to be released lives in a userdata that Lua
 * collects, or is released before anything is raised; and the engine is only ever called from
 * frames that raise nothing while it works.
 */
#ifndef MBL_HOST_CONTEXT_H
#define MBL_HOST_CONTEXT_H

#include "host/host.h"

#include <lauxlib.h>
#include <lua.h>

/* An allocator that counts what it hands out, and stops at a cap. */
typedef struct mbl_meter {
    mbl_alloc alloc; /* pass &meter.alloc on */
    const mbl_alloc *base;
    size_t used, cap; /* bytes */
} mbl_meter;

/* Why a script is being stopped from outside. */
typedef enum mbl_script_stop {
    MBL_STOP_NONE,
    MBL_STOP_ALLOWANCE,
    MBL_STOP_PRINTED,
    MBL_STOP_INTERRUPTED,
    MBL_STOP_CHECKED
} mbl_script_stop;

enum { MBL_HOST_PATH = 512 };

typedef struct mbl_host {
    const mbl_host_options *options;
    mbl_meter heap;  /* of the Lua state */
    mbl_meter store; /* of everything the engine makes for the script */
    lua_State *L;    /* the main thread */
    char script[MBL_HOST_PATH];
    char folder[MBL_HOST_PATH]; /* of the script */
    char root[MBL_HOST_PATH];   /* "" when there is none */
    mbl_text read, written;     /* paths, one a line */
    long long spent;            /* instructions */
    size_t printed;             /* bytes */
    mbl_script_stop stop;
    char stop_at[MBL_HOST_PATH]; /* "file:line" */
    int runs, passed, marginal;  /* runs so far, and of them with that verdict */
    char worst[256];             /* what gives out first in the worst run, in words */
    mbl_verdict worst_verdict;
    double worst_rank;
    char engine[256]; /* start of the last message that was the engine's own failure */
} mbl_host;

mbl_host *mbl_host_of(lua_State *L);

void mbl_meter_init(mbl_meter *meter, const mbl_alloc *base, size_t cap);

/* "file:line" of the innermost script function; only the file when no line is known. */
void mbl_host_where(lua_State *L, char *file, size_t room, int *line);

/*
 * Raises `err` as text "file:line: path: what". Its own file and line when it has a file, and
 * then those of the call at the end; else those of the call. Never returns; the int is for `return
 * mbl_host_raise(...)`.
 */
int mbl_host_raise(lua_State *L, const mbl_error *err);

/* The same for an input error made on the spot. path may be "". */
int mbl_host_wrong(lua_State *L, const char *path, const char *format, ...) MBL_PRINTF(3, 4);

/* Ends the script for good: pcall does not hold it. Never returns. */
int mbl_host_stop(lua_State *L, mbl_script_stop why);

/* Puts the instruction counter on the main thread; coroutines inherit it. */
void mbl_host_watch(lua_State *L);

/* Charges one stride of instructions, and stops the script when its allowance is spent. */
void mbl_host_spend(lua_State *L);

/* A line on standard error unless --quiet. */
void mbl_host_note(const mbl_host *host, const char *format, ...) MBL_PRINTF(2, 3);

/*
 * Userdata of a type that is named by the address of `tag`, and how to recognise it. The block
 * is zeroed; the metatable must have been made by mbl_lua_type. Recognising raises nothing.
 */
void mbl_lua_type(lua_State *L, const void *tag, const char *name, const luaL_Reg *meta);
void *mbl_lua_new(lua_State *L, const void *tag, size_t size, int uservalues);
void *mbl_lua_test(lua_State *L, int index, const void *tag);

/* A text that Lua frees; pushed. */
mbl_text *mbl_lua_text(lua_State *L);

/* Tells the collector about `before` to now of engine memory that hangs on Lua objects. */
void mbl_lua_charge(lua_State *L, size_t before);

/*
 * Pushes the error for a name that is not there: `owner` "el", `names` what it has. Never returns.
 */
int mbl_host_unknown(lua_State *L, const char *owner, const char *name, const char *const *names,
                     size_t n);

#endif
