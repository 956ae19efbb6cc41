/* SPDX-License-Identifier: MIT */
/* How far a run is off a reference. Both are [samples][nodes] in K, at the ends of samples. */
#ifndef MBL_BENCH_ERRORS_H
#define MBL_BENCH_ERRORS_H

#include "bench/steps.h"

/* The modes that go by strides. */
enum { BENCH_MODES = MBL_MODE_REFERENCE };

/* All in K, NAN where a run was left out or is not finite. */
typedef struct bench_errors {
    double at_steps; /* worst of any node where steps end */
    double dense;    /* worst of any node at any sample */
    double peak;     /* worst difference of a node's highest temperature of the stint */
    double zone;     /* the same of each face in each braking zone */
    int node;        /* of `dense` */
    double at;       /* s, of `dense` */
} bench_errors;

/*
 * The first `samples` samples of a stint. `at` marks those where steps end: 1 of all nodes, 2 of
 * the quick ones alone; NULL for all. `peak` is what the run itself noted, of `lanes` lanes of
 * which the first counts, and `reference_peak` what the reference did, of one; NULL for those of
 * the samples. A zone lasts from brakes going on until half a second and more after they went off
 * they go on again.
 */
bench_errors bench_errors_of(const bench_stint *s, size_t samples, int nodes, const double *run,
                             const double *reference, const unsigned char *at, const double *peak,
                             int lanes, const double *reference_peak);

#endif
