/* SPDX-License-Identifier: MIT */
/* A few rows of a batch on one worker. Private to `study`. */
#ifndef MBL_STUDY_CHUNK_H
#define MBL_STUDY_CHUNK_H

#include "study/crew.h"

/* So many that cars of a few kin fill whole blocks; each takes 110 kB while it is in flight. */
enum { MBL_CHUNK_ROWS = 8 * MBL_LANES_EIGHT };

typedef struct mbl_chunk_row {
    mbl_run *run; /* owned; its case is filled by the source */
    bool failed;
    mbl_error why;
} mbl_chunk_row;

typedef struct mbl_chunk {
    size_t first; /* row */
    int n;
    mbl_chunk_row row[MBL_CHUNK_ROWS];
} mbl_chunk;

/* Routes that cars were driven along lately, with what they depend on. */
enum { MBL_ROUTES_KEPT = 16 };

typedef struct mbl_kept_route {
    mbl_digest digest;
    mbl_route *route; /* NULL: free */
    size_t used;      /* when last */
} mbl_kept_route;

/* What a worker keeps from chunk to chunk; no result depends on it. */
typedef struct mbl_bench {
    const mbl_alloc *alloc;
    mbl_film_store films;
    mbl_kept_route route[MBL_ROUTES_KEPT];
    size_t turn;
} mbl_bench;

void mbl_bench_init(mbl_bench *bench, const mbl_alloc *alloc);
void mbl_bench_free(mbl_bench *bench);

typedef struct mbl_chunk_rule {
    int lanes;
    int lanes_single; /* when screening */
    double step;
    const mbl_kin *kin; /* or NULL */
} mbl_chunk_rule;

/* Runs the rows of a chunk. A row that fails says so; a status tells what stops all. */
MBL_NODISCARD mbl_status mbl_chunk_work(mbl_bench *bench, const mbl_chunk_rule *rule,
                                        mbl_chunk *chunk, mbl_error *err);

#endif
