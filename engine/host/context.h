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
#include "host/allowance.h"

#include "base/digest.h"

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
    mbl_text journals;          /* of them those that are of sweeps */
    mbl_digest inputs;          /* bytes of all that was read */
    mbl_allowance time;         /* the script's processor time */
    size_t printed;             /* bytes */
    int files, noted;           /* saved; said so far */
    long long saved;            /* bytes in files */
    int calls;                  /* of the engine back into the script, open now */
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

/* Puts the hook that looks at the clock on the main thread; coroutines inherit it. */
void mbl_host_watch(lua_State *L);

/* Stops the script when its allowance is spent, or when it is interrupted. */
void mbl_host_look(lua_State *L);

/*
 * Bracket work of the engine that can take long: its time is not the script's. Raise nothing in
 * between. Brackets nest. What a script can ask for a thousand times a second needs none.
 */
void mbl_host_engine_begin(mbl_host *host);
void mbl_host_engine_end(mbl_host *host);

/*
 * Bracket a protected call from C back into the script, below or outside of the engine's brackets:
 * its time is the script's. False: calls are nested too deep, so do not call, and do not end.
 */
MBL_NODISCARD bool mbl_host_script_begin(mbl_host *host, int *engine);
void mbl_host_script_end(mbl_host *host, int engine);

/* A line on standard error unless --quiet. */
void mbl_host_note(mbl_host *host, const char *format, ...) MBL_PRINTF(2, 3);

/*
 * Userdata of a type that is named by the address of `tag`, and how to recognise it. The block
 * is zeroed; the metatable must have been made by mbl_lua_type. Recognising raises nothing.
 */
void mbl_lua_type(lua_State *L, const void *tag, const char *name, const luaL_Reg *meta);
void *mbl_lua_new(lua_State *L, const void *tag, size_t size, int uservalues);
void *mbl_lua_test(lua_State *L, int index, const void *tag);

/* A text that Lua frees; pushed. */
mbl_text *mbl_lua_text(lua_State *L);

/* A __tostring's answer: pushes the page in `text`, without the line ends that print adds, and
 * frees what it held. Returns 1, or raises when it ran out of memory. */
int mbl_lua_page(lua_State *L, mbl_text *text);

/*
 * Tells the collector about `before` to now of engine memory that hangs on Lua objects, and looks
 * at the clock: a loop of calls that cost few instructions is stopped here. May raise.
 */
void mbl_lua_charge(lua_State *L, size_t before);

/*
 * Pushes the error for a name that is not there: `owner` "el", `names` what it has. Never returns.
 */
int mbl_host_unknown(lua_State *L, const char *owner, const char *name, const char *const *names,
                     size_t n);

#endif
