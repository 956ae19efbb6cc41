/* SPDX-License-Identifier: MIT */
/* Table A: work against precision, engine and peers in turn. */
#ifndef MBL_BENCH_PRECISION_H
#define MBL_BENCH_PRECISION_H

#include "bench/engine.h"

/* One way to run the stint, measured. */
typedef struct bench_row {
    const char *who, *setting; /* string constants, or kept by the table */
    int lanes, workers;
    bool engine;
    mbl_mode mode;       /* of the engine */
    double ms;           /* processor time of one stint on one core, at its best */
    double whole;        /* ms, the same with its share of the plan; as `ms` for peers */
    double wall;         /* ms of one stint, wall clock; NAN where one thread does all */
    double flops, steps; /* of one lane */
    double over;         /* its time over the engine's default just before and after it; median */
    bool scaled;         /* one cold lap, scaled up to the time on track */
    const char *left;    /* why it was left out, or NULL */
    bench_errors e;
} bench_row;

enum { BENCH_ROWS = 120 };

typedef struct bench_precision {
    size_t n;
    bench_row row[BENCH_ROWS];
    int lanes;                   /* of the engine's rows that are fastest a lane */
    double planned[BENCH_MODES]; /* ms, one route in the default mode */
    double peak;                 /* flops a second, see bench_peak */
    double residual;             /* worst of the ledgers of the batches */
    double residual_single;      /* the same when screening */
    bool same;                   /* a batch and a drive gave the same bits */
} bench_precision;

/* Rounds: how often each quick row is repeated. */
void bench_precision_run(const bench_scene *scene, int rounds, bench_precision *out);

/* The row of the engine that ratios are of: default, so many lanes, a drive. */
const bench_row *bench_precision_best(const bench_precision *p, mbl_mode mode);
const bench_row *bench_precision_find(const bench_precision *p, const char *who, mbl_mode mode);

void bench_precision_say(const bench_scene *scene, const bench_precision *p, mbl_text *page);
/* The ratios that there is an aim for, by number: time of a peer over the engine's default with
 * plan; NAN where no setting of the peer is as good. */
enum { BENCH_RATIOS = 4 };
double bench_ratio(const bench_precision *p, int i, const char **what, double *aim);
void bench_ratios_say(const bench_precision *p, mbl_text *page);

#endif
