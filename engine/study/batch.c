/* SPDX-License-Identifier: MIT */
#include "study/batch.h"

#include "study/chunk.h"

/* Chunks in flight: enough for the workers, and a few more so that none waits for the sink. */
enum { CHUNKS_LEAST = 4, CHUNKS_SPARE = 2 };

typedef struct job {
    const mbl_batch *batch;
    const mbl_alloc *alloc;
    mbl_chunk_rule rule;
    size_t window;
    size_t rows_each; /* of a chunk */
    mbl_chunk *chunk; /* (window) */
    mbl_bench *bench; /* (workers) */
    size_t given;     /* rows */
    bool ended;       /* the source has no more */
    size_t done;
} job;

static void empty(mbl_chunk *c)
{
    for (int i = 0; i < MBL_CHUNK_ROWS; i++) {
        mbl_run_free(c->row[i].run);
        c->row[i] = (mbl_chunk_row){0};
    }
    c->n = 0;
}

/* Rows into the next chunk, until it is full or the source ends. */
static mbl_status give(void *ctx, size_t i, bool *more, mbl_error *err)
{
    job *j = ctx;
    const mbl_batch *b = j->batch;
    mbl_chunk *c = &j->chunk[i % j->window];
    c->n = 0;
    c->first = j->given;
    size_t most = j->rows_each;
    while (!j->ended && j->given < b->rows && (size_t)c->n < most) {
        mbl_chunk_row *row = &c->row[c->n];
        mbl_row_fate fate = MBL_ROW_NONE;
        *row = (mbl_chunk_row){.run = mbl_new(j->alloc, 1, sizeof *row->run)};
        if (row->run == NULL)
            return mbl_fail(err, MBL_MEMORY, "out of memory for a row");
        row->run->alloc = j->alloc;
        row->run->step = b->step;
        mbl_status status = b->source(b->ctx, j->given, &row->run->setup, &fate, &row->why);
        if (status != MBL_OK) {
            *err = row->why;
            return status;
        }
        if (fate == MBL_ROW_NONE) {
            j->ended = true;
            mbl_run_free(row->run);
            row->run = NULL;
            break;
        }
        row->failed = fate == MBL_ROW_REFUSED;
        /* a stop is heeded between chunks: those of slow rows are short */
        if (b->step > 0 || row->run->setup.mode == MBL_MODE_REFERENCE)
            most = (size_t)j->rule.lanes < most ? (size_t)j->rule.lanes : most;
        c->n++;
        j->given++;
    }
    *more = c->n > 0;
    return MBL_OK;
}

static mbl_status work(void *ctx, size_t i, int worker, mbl_error *err)
{
    job *j = ctx;
    return mbl_chunk_work(&j->bench[worker], &j->rule, &j->chunk[i % j->window], err);
}

static mbl_status take(void *ctx, size_t i, mbl_error *err)
{
    job *j = ctx;
    const mbl_batch *b = j->batch;
    mbl_chunk *c = &j->chunk[i % j->window];
    for (int k = 0; k < c->n; k++) {
        const mbl_chunk_row *row = &c->row[k];
        MBL_TRY(b->sink(b->ctx, c->first + (size_t)k, row->failed ? NULL : row->run,
                        row->failed ? &row->why : NULL, err));
        j->done++;
    }
    empty(c);
    return MBL_OK;
}

/* So many rows to a chunk that every worker has a few of them, in whole blocks. */
static size_t rows_each(const mbl_batch *b, int lanes)
{
    size_t blocks = MBL_CHUNK_ROWS / (size_t)lanes;
    size_t workers = b->workers > 1 ? (size_t)b->workers : 1;
    if (b->rows < SIZE_MAX) {
        size_t share = b->rows / (workers * (size_t)lanes * 2);
        blocks = share < 1 ? 1 : share < blocks ? share : blocks;
    }
    return blocks * (size_t)lanes;
}

static int lanes_of(const mbl_batch *b)
{
    int lanes = b->lanes > 0 ? b->lanes : mbl_lanes_best();
    return lanes < MBL_LANES_EIGHT ? lanes : MBL_LANES_EIGHT;
}

static int lanes_single_of(const mbl_batch *b)
{
    int lanes = b->lanes > 0 ? b->lanes : mbl_lanes_best_single();
    return lanes < MBL_LANES_SIXTEEN ? lanes : MBL_LANES_SIXTEEN;
}

static size_t window_of(const mbl_batch *b)
{
    size_t wanted = (b->workers > 1 ? (size_t)b->workers : 1) + CHUNKS_SPARE;
    return wanted > CHUNKS_LEAST ? wanted : CHUNKS_LEAST;
}

size_t mbl_batch_flight(const mbl_batch *b)
{
    return window_of(b) * rows_each(b, lanes_of(b));
}

mbl_status mbl_batch_run(const mbl_batch *b, size_t *done, mbl_error *err)
{
    const mbl_alloc *alloc = b->alloc != NULL ? b->alloc : &mbl_alloc_libc;
    int lanes = lanes_of(b);
    size_t workers = b->workers > 1 ? (size_t)b->workers : 1;
    job j = {.batch = b,
             .alloc = alloc,
             .rule = {.lanes = lanes,
                      .lanes_single = lanes_single_of(b),
                      .step = b->step,
                      .kin = b->kin},
             .window = window_of(b),
             .rows_each = rows_each(b, lanes)};
    *done = 0;
    j.chunk = mbl_new(alloc, j.window, sizeof *j.chunk);
    j.bench = mbl_new(alloc, workers, sizeof *j.bench);
    mbl_status status = MBL_OK;
    if (j.chunk == NULL || j.bench == NULL)
        status = mbl_fail(err, MBL_MEMORY, "out of memory starting a batch");
    if (status == MBL_OK) {
        for (size_t w = 0; w < workers; w++)
            mbl_bench_init(&j.bench[w], alloc);
        mbl_pool_job pool = {.items = SIZE_MAX,
                             .window = j.window,
                             .give = give,
                             .work = work,
                             .take = take,
                             .ctx = &j,
                             .stop = b->stop};
        size_t delivered = 0;
        status = mbl_pool_run(alloc, (int)workers, &pool, &delivered, err);
        for (size_t w = 0; w < workers; w++)
            mbl_bench_free(&j.bench[w]);
        for (size_t i = 0; i < j.window; i++)
            empty(&j.chunk[i]);
    }
    mbl_free(alloc, j.bench, workers, sizeof *j.bench);
    mbl_free(alloc, j.chunk, j.window, sizeof *j.chunk);
    *done = j.done;
    return status;
}
