/* SPDX-License-Identifier: MIT */
/*
 * Work on numbered items by a fixed number of threads, with the results handed over in order.
 *
 * One call, mbl_pool_run, starts the threads, runs the job and ends them; nothing outlives it. It
 * knows no results: the job keeps them in `window` slots of its own, item i in slot i % window.
 *
 * Threads. `give` and `take` run on the caller's thread only, so that they may use what lives
 * there; `work` runs on the workers, several items at once. What `give` left in a slot is visible
 * to `work`, and what `work` left there to `take`, without a lock. With 0 or 1 workers there is no
 * thread at all and `work` runs on the caller's. With 2 or more the caller's thread never works: it
 * gives, takes and watches `stop`. Fewer threads are started when the window or the job is smaller,
 * or when the system has no more of them (with none, the caller's thread works); no result tells.
 *
 * Signals. Workers block them all, except those that a fault in the worker itself raises: handlers
 * run on the caller's thread (or another of the program's).
 *
 * Order. The calls on the caller's thread follow from `items`, `window` and what they return, never
 * from the workers or from timing: give(i) comes straight after take(i - window), the first
 * `window` of them at the start. So a state that both touch sees the same whatever the workers. The
 * price: with a `give`, item 0 is taken only when the window was filled once; a source that is slow
 * asks for a small window. Without one, an item is taken as soon as it and all before it are
 * worked.
 *
 * Memory. The run itself allocates a few bytes per slot and worker, on the caller's thread, through
 * `alloc`. `work` may allocate only through an allocator that several threads may use at once:
 * mbl_alloc_libc is one (the C library's, without a state of ours), an mbl_alloc that counts or
 * caps is not, unless it locks.
 */
#ifndef MBL_BASE_POOL_H
#define MBL_BASE_POOL_H

#include "base/alloc.h"
#include "base/status.h"

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

/*
 * Puts item i into its slot and sets *more, which comes in false; leaves it when there is no item i
 * (it is then not called again). `err` is never NULL here or below, and zeroed.
 */
typedef mbl_status (*mbl_pool_give)(void *ctx, size_t i, bool *more, mbl_error *err);

/* Works item i; `worker` (0 .. workers - 1) is this thread's alone meanwhile, for scratch. */
typedef mbl_status (*mbl_pool_work)(void *ctx, size_t i, int worker, mbl_error *err);

/* Takes the result of item i out of its slot, in the order 0, 1, 2 ... */
typedef mbl_status (*mbl_pool_take)(void *ctx, size_t i, mbl_error *err);

typedef struct mbl_pool_job {
    size_t items;       /* how many; with a `give` at most so many, SIZE_MAX: as many as it gives */
    size_t window;      /* at least 1: item i is given and worked once item i - window is taken */
    mbl_pool_give give; /* NULL: all items are there beforehand */
    mbl_pool_work work;
    mbl_pool_take take;
    void *ctx;
    const volatile sig_atomic_t *stop; /* not 0: stop; may be NULL. Set it by a signal handler or
                                          within give and take; only the caller's thread reads it */
} mbl_pool_job;

/*
 * Runs the job. *delivered is how many items were taken, whatever is returned: always 0 ..
 * *delivered - 1. What is still in slots then stays the job's to release: items it gave and that
 * were not taken, worked or not. No call is under way any more when this returns.
 *
 * MBL_OK: all items were taken.
 * An error of the job: that of the lowest item that failed, with its status and story; all items
 *   before it were taken. The same whatever the workers, but items behind it may have been worked.
 *   An item whose `take` fails does not count as taken.
 * MBL_STOPPED: `stop` was set while there was more to do, or a source had not said that it ends. No
 *   item is given or begun after it; with threads, after a tenth of a second, or once the `give` or
 *   `take` under way returns. Items being worked are finished and taken; should one of them fail,
 *   its error is returned.
 * MBL_MEMORY, MBL_INTERNAL (a window of 0): nothing was called.
 */
MBL_NODISCARD mbl_status mbl_pool_run(const mbl_alloc *alloc, int workers, const mbl_pool_job *job,
                                      size_t *delivered, mbl_error *err);

/* Processors on line, at least 1; a smaller share that this process was given is not looked at. */
int mbl_cpu_count(void);

#endif
