/* SPDX-License-Identifier: MIT */
/*
 * A script that runs Lua code is stopped by the hook that counts its instructions. The guard is for
 * what no hook sees: loops within one call of Lua's library (patterns, table.move), handlers that
 * run with hooks off (__close of a coroutine that the hook has stopped).
 *
 * Ending the process from beside loses nothing that is finished: files are written while the engine
 * works, under names of their own, and `since` is how both threads agree. Either the engine takes
 * it first and the guard waits, or the guard does and the engine no longer begins.
 */
#include "host/allowance.h"

#include "host/host.h"

#include <errno.h>
#include <poll.h>
#include <unistd.h>

#define SECOND 1000000000LL
#define LOOK   (SECOND / 40) /* between two looks */
#define GRACE  SECOND        /* for a script to stop by itself */

enum { THE_END = -1 };

static long long now(const mbl_allowance *w)
{
    struct timespec t = {0};
    clock_gettime(w->clock, &t);
    return (long long)t.tv_sec * SECOND + t.tv_nsec;
}

/*
 * Never more than the script has had, whenever the other thread goes on: the clock is read first,
 * and of work that has just ended or begun too much is taken off rather than too little.
 */
static long long spent(const mbl_allowance *w)
{
    long long at = now(w);
    long long since = atomic_load(&w->since);
    long long engine = atomic_load(&w->engine);
    if (since > 0 && at > since)
        engine += at - since;
    return at - w->start - engine;
}

void mbl_allowance_begin(mbl_allowance *w, const char *script, double seconds)
{
    *w = (mbl_allowance){.script = script, .seconds = seconds};
    w->allowance = (long long)(seconds * (double)SECOND);
    if (pthread_getcpuclockid(pthread_self(), &w->clock) != 0)
        w->clock = CLOCK_PROCESS_CPUTIME_ID; /* stricter, if workers run */
    w->start = now(w);
}

/* ---- the guard ---- */

/* One line, if somebody can take it: a full pipe must not keep the process alive. */
static void say(const mbl_allowance *w)
{
    char text[1200];
    char seen[40] = "";
    const char *where = atomic_load(&w->asked);
    int line = atomic_load(&w->line);
    if (where == NULL && line > 0)
        snprintf(seen, sizeof seen, " last seen at line %d:", line);
    int n = snprintf(text, sizeof text,
                     "emberlap: %.500s:%s the script has run for too long and does not stop when "
                     "asked: its allowance is %g s of processor time" MBL_ALLOWANCE_ADVICE "\n",
                     where != NULL ? where : w->script, seen, w->seconds);
    struct pollfd out = {.fd = w->notes, .events = POLLOUT};
    if (n > 0 && poll(&out, 1, 200) == 1 && (out.revents & POLLOUT) != 0)
        n = (int)write(w->notes, text, (size_t)n);
}

static void end_process(mbl_allowance *w)
{
    long long script = 0;
    if (!atomic_compare_exchange_strong(&w->since, &script, (long long)THE_END))
        return;
    say(w);
    _exit(MBL_EXIT_WRONG);
}

static void *guard(void *arg)
{
    mbl_allowance *w = arg;
    pthread_mutex_lock(&w->lock);
    while (!w->done) {
        struct timespec until;
        clock_gettime(CLOCK_MONOTONIC, &until);
        until.tv_nsec += LOOK;
        if (until.tv_nsec >= SECOND) {
            until.tv_nsec -= SECOND;
            until.tv_sec++;
        }
        if (pthread_cond_timedwait(&w->ending, &w->lock, &until) != ETIMEDOUT)
            continue;
        long long so_far = spent(w);
        if (so_far > w->allowance)
            atomic_store(&w->over, true);
        if (so_far > w->allowance + GRACE)
            end_process(w);
    }
    pthread_mutex_unlock(&w->lock);
    return NULL;
}

/* On the clock that nobody sets. */
static bool make_condition(pthread_cond_t *condition)
{
    pthread_condattr_t how;
    if (pthread_condattr_init(&how) != 0)
        return false;
    bool made = pthread_condattr_setclock(&how, CLOCK_MONOTONIC) == 0 &&
                pthread_cond_init(condition, &how) == 0;
    pthread_condattr_destroy(&how);
    return made;
}

bool mbl_allowance_guard(mbl_allowance *w, int notes)
{
    w->notes = notes;
    if (pthread_mutex_init(&w->lock, NULL) != 0)
        return false;
    if (!make_condition(&w->ending)) {
        pthread_mutex_destroy(&w->lock);
        return false;
    }
    /* signals are for the script's thread */
    sigset_t all;
    sigset_t before;
    sigfillset(&all);
    pthread_sigmask(SIG_SETMASK, &all, &before);
    w->guarded = pthread_create(&w->guard, NULL, guard, w) == 0;
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    if (!w->guarded) {
        pthread_cond_destroy(&w->ending);
        pthread_mutex_destroy(&w->lock);
    }
    return w->guarded;
}

void mbl_allowance_end(mbl_allowance *w)
{
    if (!w->guarded)
        return;
    pthread_mutex_lock(&w->lock);
    w->done = true;
    pthread_cond_signal(&w->ending);
    pthread_mutex_unlock(&w->lock);
    pthread_join(w->guard, NULL);
    pthread_cond_destroy(&w->ending);
    pthread_mutex_destroy(&w->lock);
    w->guarded = false;
}

/* ---- the script's thread ---- */

bool mbl_allowance_over(mbl_allowance *w)
{
    return w->guarded ? atomic_load(&w->over) : spent(w) > w->allowance;
}

void mbl_allowance_ask(mbl_allowance *w, const char *where)
{
    atomic_store(&w->asked, where);
}

static void take(mbl_allowance *w)
{
    long long script = 0;
    if (!atomic_compare_exchange_strong(&w->since, &script, now(w)))
        for (;;)
            pause();
}

static void give_back(mbl_allowance *w)
{
    atomic_fetch_add(&w->engine, now(w) - atomic_load(&w->since));
    atomic_store(&w->since, 0);
}

void mbl_allowance_engine_begin(mbl_allowance *w)
{
    if (w->depth++ == 0)
        take(w);
}

void mbl_allowance_engine_end(mbl_allowance *w)
{
    if (w->depth > 0 && --w->depth == 0)
        give_back(w);
}

int mbl_allowance_script_begin(mbl_allowance *w)
{
    int depth = w->depth;
    w->depth = 0;
    if (depth > 0)
        give_back(w);
    return depth;
}

void mbl_allowance_script_end(mbl_allowance *w, int depth)
{
    (void)mbl_allowance_script_begin(w);
    if (depth > 0)
        take(w);
    w->depth = depth;
}

void mbl_allowance_seen(mbl_allowance *w, int line)
{
    (void)mbl_allowance_script_begin(w);
    if (line > 0)
        atomic_store(&w->line, line);
}
