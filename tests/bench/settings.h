/* SPDX-License-Identifier: MIT */
/* Every way in which a peer is run. */
#ifndef MBL_BENCH_SETTINGS_H
#define MBL_BENCH_SETTINGS_H

#include "bench/peers.h"

typedef struct bench_group {
    const char *name;
    bench_peer *run;
    int lanes[3]; /* that it is run with; 0: none */
    const bench_setting *setting;
    size_t n;
} bench_group;

extern const bench_group bench_groups[];
extern const size_t bench_ngroups;

#endif
