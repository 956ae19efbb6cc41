/* SPDX-License-Identifier: MIT */
#include "base/pool.h"

#include <limits.h>
#include <pthread.h>
#include <time.h>
#include <unistd.h>

/* How long the caller's thread sleeps at most before it looks at `stop`, ns. */
#define NAP 100000000L

/*
 * Items below `opened` may be begun, those below `next` have been, those below `delivered` are
 * taken: delivered <= next <= opened <= delivered + room. `end` is the first item that will not be
 * taken, and `status` and `error` say why. It only ever falls: to the end of the source, to an item
 * that failed, to what was not begun at a stop. The last fall is the one that counts, so the lowest
 * error wins without a word about time.
 */
typedef struct pool {
    const mbl_pool_job *job;
    struct worker *workers;
    int wanted;  /* threads there is memory for */
    int threads; /* started; 0: the caller's thread works */
    size_t room; /* slots */

    /* of the caller's thread alone */
    size_t delivered;
    bool supplying; /* the source has not ended */

    pthread_mutex_t lock; /* what follows is written under it */
    pthread_cond_t opening;
    pthread_cond_t finishing;
    size_t opened;
    size_t next;
    size_t end;
    mbl_status status;
    mbl_error error;
    bool *done; /* (room) item i is worked and waits to be taken, at i % room */
    bool closed;
} pool;

typedef struct worker {
    pthread_t thread;
    pool *pool;
    int number;
} worker;

/* With the lock held: item i will not be taken, nor any behind it. */
static void cut(pool *p, size_t i, mbl_status status, const mbl_error *error)
{
    if (i >= p->end)
        return;
    p->end = i;
    p->status = status;
    p->error = *error;
}

/* With the lock held, which is let go for the work itself. */
static void work_next(pool *p, int number)
{
    size_t i = p->next++;
    mbl_error error = {0};
    pthread_mutex_unlock(&p->lock);
    mbl_status status = p->job->work(p->job->ctx, i, number, &error);
    pthread_mutex_lock(&p->lock);
    p->done[i % p->room] = true;
    if (status != MBL_OK)
        cut(p, i, status, &error);
    pthread_cond_signal(&p->finishing);
}

static void *worker_main(void *arg)
{
    const worker *self = arg;
    pool *p = self->pool;
    pthread_mutex_lock(&p->lock);
    while (!p->closed) {
        if (p->next < p->opened && p->next < p->end)
            work_next(p, self->number);
        else
            pthread_cond_wait(&p->opening, &p->lock);
    }
    pthread_mutex_unlock(&p->lock);
    return NULL;
}

static bool stop_asked(const pool *p)
{
    return p->job->stop != NULL && *p->job->stop != 0;
}

/* Opens items until the window is full or the source has ended. */
static void supply(pool *p)
{
    const mbl_pool_job *job = p->job;
    while (p->supplying && p->opened < job->items && p->opened - p->delivered < p->room &&
           !stop_asked(p)) {
        mbl_error error = {0};
        mbl_status status = MBL_OK;
        bool more = job->give == NULL;
        if (job->give != NULL)
            status = job->give(job->ctx, p->opened, &more, &error);
        p->supplying = status == MBL_OK && more;
        pthread_mutex_lock(&p->lock);
        if (p->supplying) {
            p->opened++;
            pthread_cond_signal(&p->opening);
        } else {
            cut(p, p->opened, status, &error);
        }
        pthread_mutex_unlock(&p->lock);
    }
}

static void nap(pool *p)
{
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_nsec += NAP;
    if (until.tv_nsec >= 1000000000L) {
        until.tv_nsec -= 1000000000L;
        until.tv_sec++;
    }
    pthread_cond_timedwait(&p->finishing, &p->lock, &until);
}

/* Waits until the next item can be taken; false when there will be none. */
static bool await(pool *p)
{
    static const mbl_error no_story;
    bool *done = &p->done[p->delivered % p->room];
    bool ready = false;
    pthread_mutex_lock(&p->lock);
    for (;;) {
        if (stop_asked(p)) {
            /* items are begun in order: all that were lie below `next` and are still taken */
            cut(p, p->next, MBL_STOPPED, &no_story);
            p->supplying = false;
        }
        if (p->delivered >= p->end)
            break;
        if (*done) {
            *done = false;
            ready = true;
            break;
        }
        if (p->threads == 0)
            work_next(p, 0);
        else
            nap(p);
    }
    pthread_mutex_unlock(&p->lock);
    return ready;
}

/*
 * The caller's thread. It supplies before it looks whether an item failed, and looks only at the
 * item whose turn it is: how often `give` is called must not depend on when a worker failed.
 */
static void drive(pool *p)
{
    for (;;) {
        supply(p);
        if (!await(p))
            return;
        mbl_error error = {0};
        mbl_status status = p->job->take(p->job->ctx, p->delivered, &error);
        if (status != MBL_OK) {
            pthread_mutex_lock(&p->lock);
            cut(p, p->delivered, status, &error);
            pthread_mutex_unlock(&p->lock);
            return;
        }
        p->delivered++;
    }
}

/* Starts what threads there are to be had. They begin with the caller's signal mask, so it is
 * changed for as long as that takes: no signal finds a worker that does not block it yet. */
static void start(pool *p)
{
    static const int faults[] = {SIGBUS, SIGFPE, SIGILL, SIGSEGV, SIGSYS, SIGTRAP};
    sigset_t blocked;
    sigset_t before;
    sigfillset(&blocked);
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++)
        sigdelset(&blocked, faults[i]);
    pthread_sigmask(SIG_SETMASK, &blocked, &before);
    while (p->threads < p->wanted) {
        worker *w = &p->workers[p->threads];
        *w = (worker){.pool = p, .number = p->threads};
        if (pthread_create(&w->thread, NULL, worker_main, w) != 0)
            break;
        p->threads++;
    }
    pthread_sigmask(SIG_SETMASK, &before, NULL);
}

static void finish(pool *p)
{
    pthread_mutex_lock(&p->lock);
    p->closed = true;
    pthread_cond_broadcast(&p->opening);
    pthread_mutex_unlock(&p->lock);
    for (int i = 0; i < p->threads; i++)
        pthread_join(p->workers[i].thread, NULL);
}

/* The lock and its two conditions; the caller's naps are by a clock that nobody sets. */
static bool locks_init(pool *p)
{
    pthread_condattr_t attr;
    if (pthread_condattr_init(&attr) != 0)
        return false;
    bool lock = pthread_mutex_init(&p->lock, NULL) == 0;
    bool opening = pthread_cond_init(&p->opening, NULL) == 0;
    bool finishing = pthread_condattr_setclock(&attr, CLOCK_MONOTONIC) == 0 &&
                     pthread_cond_init(&p->finishing, &attr) == 0;
    pthread_condattr_destroy(&attr);
    if (lock && opening && finishing)
        return true;
    if (lock)
        pthread_mutex_destroy(&p->lock);
    if (opening)
        pthread_cond_destroy(&p->opening);
    if (finishing)
        pthread_cond_destroy(&p->finishing);
    return false;
}

static void locks_free(pool *p)
{
    pthread_mutex_destroy(&p->lock);
    pthread_cond_destroy(&p->opening);
    pthread_cond_destroy(&p->finishing);
}

static mbl_status report(pool *p, mbl_error *err)
{
    if (p->status == MBL_STOPPED)
        (void)mbl_fail(&p->error, p->status, "interrupted after %zu items", p->delivered);
    else if (p->status != MBL_OK)
        (void)mbl_fail(&p->error, p->status, "item %zu, counted from 0: %s", p->end,
                       mbl_status_text(p->status));
    if (p->status != MBL_OK && err != NULL && err->status == MBL_OK)
        *err = p->error;
    return p->status;
}

mbl_status mbl_pool_run(const mbl_alloc *alloc, int workers, const mbl_pool_job *job,
                        size_t *delivered, mbl_error *err)
{
    *delivered = 0;
    if (job->window == 0)
        return mbl_fail(err, MBL_INTERNAL, "a pool needs a window of at least 1 item");
    if (job->items == 0)
        return MBL_OK;
    size_t room = job->window < job->items ? job->window : job->items;
    size_t hands = workers < 2 ? 0 : (size_t)workers;
    if (hands > room)
        hands = room;
    pool p = {.job = job, .supplying = true, .end = job->items, .room = room};
    if (!locks_init(&p))
        return mbl_fail(err, MBL_MEMORY, "the system has no lock left for worker threads");
    p.done = mbl_new(alloc, room, sizeof *p.done);
    p.workers = mbl_new(alloc, hands, sizeof *p.workers);
    p.wanted = (int)hands;
    mbl_status status = MBL_MEMORY;
    if (p.done != NULL && p.workers != NULL) {
        start(&p);
        drive(&p);
        finish(&p);
        *delivered = p.delivered;
        status = report(&p, err);
    } else {
        (void)mbl_fail(err, status, "out of memory for %zu items at a time", room);
    }
    mbl_free(alloc, p.done, room, sizeof *p.done);
    mbl_free(alloc, p.workers, hands, sizeof *p.workers);
    locks_free(&p);
    return status;
}

int mbl_cpu_count(void)
{
    long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : n > INT_MAX ? INT_MAX : (int)n;
}
