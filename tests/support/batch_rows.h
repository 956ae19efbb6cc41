/* SPDX-License-Identifier: MIT */
/* Batches over cases that are all there beforehand, and what came of each. */
#ifndef MBL_TESTS_BATCH_ROWS_H
#define MBL_TESTS_BATCH_ROWS_H

#include "study/batch.h"
#include "support/run_digest.h"
#include "support/test.h"

/* Row i is case order[i], or case i; what came of it is kept under the number of the case. */
typedef struct batch_rows {
    const mbl_case *cases;
    const size_t *order;
    size_t n;
    mbl_digest *digest;                /* by case */
    mbl_error *why;                    /* by case, of those that failed; or NULL: none may */
    size_t given, taken, failed, most; /* rows; the most in flight */
} batch_rows;

static inline size_t batch_rows_case(const batch_rows *b, size_t i)
{
    return b->order != NULL ? b->order[i] : i;
}

static inline mbl_status batch_rows_give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate,
                                         mbl_error *err)
{
    (void)err;
    batch_rows *b = ctx;
    if (i == b->n)
        return MBL_OK;
    assert_int_equal(i, b->given);
    *out = b->cases[batch_rows_case(b, i)];
    *fate = MBL_ROW_GIVEN;
    b->given++;
    b->most = b->given - b->taken > b->most ? b->given - b->taken : b->most;
    return MBL_OK;
}

static inline mbl_status batch_rows_take(void *ctx, size_t i, const mbl_run *run,
                                         const mbl_error *why, mbl_error *err)
{
    (void)err;
    batch_rows *b = ctx;
    size_t at = batch_rows_case(b, i);
    assert_int_equal(i, b->taken++);
    assert_true((run == NULL) == (why != NULL));
    if (run != NULL) {
        b->digest[at] = run_digest(run);
        return MBL_OK;
    }
    if (b->why == NULL)
        fail_msg("row %zu: %s %s", i, why->path, why->text);
    b->failed++;
    b->why[at] = *why;
    return MBL_OK;
}

/* All rows of it, by a batch of these settings. */
static inline void batch_rows_run(batch_rows *b, mbl_batch batch)
{
    mbl_error err = {0};
    size_t done = 0;
    batch.source = batch_rows_give;
    batch.sink = batch_rows_take;
    batch.ctx = b;
    batch.rows = batch.rows > 0 ? batch.rows : b->n;
    b->given = b->taken = b->failed = b->most = 0;
    assert_ok(mbl_batch_run(&batch, &done, &err), err);
    assert_int_equal(done, b->n);
    assert_int_equal(b->taken, b->n);
    assert_true(b->most <= mbl_batch_flight(&batch));
}

/* The same case alone, by mbl_run_quick. */
static inline mbl_digest batch_rows_alone(const mbl_case *c, double step)
{
    mbl_error err = {0};
    mbl_run *run = NULL;
    assert_ok(mbl_run_quick(&mbl_alloc_libc, c, step, NULL, &run, &err), err);
    mbl_digest digest = run_digest(run);
    mbl_run_free(run);
    return digest;
}

#endif
