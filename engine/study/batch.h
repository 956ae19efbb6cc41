/* SPDX-License-Identifier: MIT */
/*
 * Many cases at once: rows from a source are driven in blocks of lanes by a pool of workers, and
 * handed to a sink in their order as they are finished. Memory does not grow with their number.
 *
 * A row's result depends on its case alone: neither on the rows beside it, nor on workers, lanes or
 * order. Rows run together when one route serves them (mbl_route_digest) and their networks have
 * one shape, however much their parts differ.
 */
#ifndef MBL_STUDY_BATCH_H
#define MBL_STUDY_BATCH_H

#include "base/pool.h"
#include "study/run.h"

typedef enum mbl_row_fate {
    MBL_ROW_NONE,   /* there is no row i, nor any after it */
    MBL_ROW_GIVEN,  /* it is in `out` */
    MBL_ROW_REFUSED /* there is none to run: `err` says why, and the sink gets that */
} mbl_row_fate;

/*
 * Puts the case of row i, in the order 0, 1, 2 ..., into `out`, which comes zeroed. Its trace, and
 * what its laws point to, has to live until the sink was given the row. A status that is not MBL_OK
 * ends the batch. Called on the thread of mbl_batch_run.
 */
typedef mbl_status (*mbl_batch_source)(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate,
                                       mbl_error *err);

/*
 * Takes row i, in order: a run as mbl_run_quick makes it, without `drive` and `path`, or NULL when
 * it failed, and then why. Both last for this call. A status that is not MBL_OK ends the batch.
 * Called on the thread of mbl_batch_run.
 */
typedef mbl_status (*mbl_batch_sink)(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                                     mbl_error *err);

typedef struct mbl_batch {
    const mbl_alloc *alloc; /* with 2 workers or more one that several threads may use at once;
                               NULL: mbl_alloc_libc */
    mbl_batch_source source;
    mbl_batch_sink sink;
    void *ctx;
    size_t rows;        /* at most; SIZE_MAX: as many as the source has */
    int workers;        /* threads; 0 or 1: none but the caller's */
    int lanes;          /* 1, 4, 8 or, when screening, 16; 0: the fastest here */
    double step;        /* as in mbl_road_of */
    const mbl_kin *kin; /* cut time for this kin whatever the row's own, so that small changes are
                           not blurred by other steps; NULL: by each row's own */
    const volatile sig_atomic_t *stop; /* see mbl_pool_job; may be NULL */
} mbl_batch;

/* Most rows that are in flight at once: given, and not taken yet. */
size_t mbl_batch_flight(const mbl_batch *batch);

/*
 * Runs the batch. *done is how many rows the sink took, whatever is returned: MBL_STOPPED when
 * `stop` was set before the end, finished rows handed over first.
 */
MBL_NODISCARD mbl_status mbl_batch_run(const mbl_batch *batch, size_t *done, mbl_error *err);

#endif
