/* SPDX-License-Identifier: MIT */
/*
 * The processor time of a script, and a thread that ends the process when a script does not stop
 * by itself. Private to `host`.
 *
 * Counted is the time of the thread that runs Lua, less what the engine has of it. All functions
 * are called on that thread.
 */
#ifndef MBL_HOST_ALLOWANCE_H
#define MBL_HOST_ALLOWANCE_H

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <time.h>

/* What a message on a spent allowance ends in. */
#define MBL_ALLOWANCE_ADVICE "; --allowance SECONDS gives it another"

/*
 * Times are ns of the clock of the script's thread. What is atomic is written there and read by the
 * guard, but for `over`, which goes the other way, and the last value of `since`.
 */
typedef struct mbl_allowance {
    const char *script;         /* its name in messages */
    double seconds;             /* the allowance */
    long long allowance, start; /* ns */
    clockid_t clock;
    int depth;                   /* brackets of the engine that are open */
    atomic_llong engine;         /* what the engine has had */
    atomic_llong since;          /* when the engine began; 0: the script runs; below: the end */
    atomic_int line;             /* of the script, where it was last seen; 0: nowhere yet */
    _Atomic(const char *) asked; /* "file:line" where the script was told to stop, or NULL */
    atomic_bool over;            /* the allowance is spent, says the guard */
    bool guarded;
    int notes; /* descriptor that the guard writes to */
    pthread_t guard;
    pthread_mutex_t lock;
    pthread_cond_t ending;
    bool done; /* under the lock */
} mbl_allowance;

/* Counts from now. `script` has to outlive the watch. */
void mbl_allowance_begin(mbl_allowance *w, const char *script, double seconds);

/*
 * Starts the thread: a second after the allowance is spent it writes one line to `notes` and ends
 * the process with `MBL_EXIT_WRONG`, but never while the engine works. False: there is no thread.
 */
bool mbl_allowance_guard(mbl_allowance *w, int notes);

/* Ends the thread, if there is one. */
void mbl_allowance_end(mbl_allowance *w);

/* Is the allowance spent? */
bool mbl_allowance_over(mbl_allowance *w);

/* The script is at this line of its own file. Also closes brackets that an error jumped out of. */
void mbl_allowance_seen(mbl_allowance *w, int line);

/* The script is being stopped; the text has to outlive the watch. */
void mbl_allowance_ask(mbl_allowance *w, const char *where);

/* Brackets: the engine works. They nest. */
void mbl_allowance_engine_begin(mbl_allowance *w);
void mbl_allowance_engine_end(mbl_allowance *w);

/* A call from the engine back into the script; give the result of one to the other. */
int mbl_allowance_script_begin(mbl_allowance *w);
void mbl_allowance_script_end(mbl_allowance *w, int depth);

#endif
