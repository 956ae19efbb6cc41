/* SPDX-License-Identifier: MIT */
#include "bench/settings.h"

#define FIXED(label, split, braking, coasting, share, stretch)                                     \
    {                                                                                              \
        .name = label, .cut = { split, braking, coasting, share, stretch }                         \
    }

static const bench_setting fixed[] = {
    FIXED("12.5 ms", 2, 1, 1, 0, 0),
    FIXED("25 ms", 1, 1, 1, 0, 0),
    FIXED("25 ms, films 0.25 s", 1, 1, 1, 0, 0.25),
    FIXED("25 ms, films 0.5 s", 1, 1, 1, 0, 0.5),
    FIXED("25 ms, films 1 s", 1, 1, 1, 0, 1),
    FIXED("25, coasting 50 ms, films 0.5 s", 1, 1, 2, 0, 0.5),
    FIXED("25 then 50 ms, films 0.5 s", 1, 2, 2, 0.2, 0.5),
    FIXED("50 ms, films 0.5 s", 1, 2, 2, 0, 0.5),
    FIXED("100 ms, films 0.5 s", 1, 4, 4, 0, 0.5),
};

#ifdef BENCH_HAVE_SUNDIALS
static const bench_setting cvode[] = {
    {.name = "1e-3", .rtol = 1e-3},
    {.name = "1e-4", .rtol = 1e-4},
    {.name = "1e-5", .rtol = 1e-5},
    {.name = "1e-6", .rtol = 1e-6},
    {.name = "1e-7", .rtol = 1e-7},
    {.name = "1e-8", .rtol = 1e-8},
    {.name = "1e-5, difference quotients", .rtol = 1e-5, .quotient = true},
    {.name = "1e-4, anew at each power", .rtol = 1e-4, .every = true},
};

static const bench_setting erk[] = {
    {.name = "order 3, 1e-3", .rtol = 1e-3, .order = 3},
    {.name = "order 3, 1e-4", .rtol = 1e-4, .order = 3},
    {.name = "order 3, 1e-5", .rtol = 1e-5, .order = 3},
    {.name = "order 3, 1e-6", .rtol = 1e-6, .order = 3},
    {.name = "order 4, 1e-3", .rtol = 1e-3, .order = 4},
    {.name = "order 4, 1e-4", .rtol = 1e-4, .order = 4},
    {.name = "order 4, 1e-5", .rtol = 1e-5, .order = 4},
    {.name = "order 4, 1e-6", .rtol = 1e-6, .order = 4},
    {.name = "order 5, 1e-3", .rtol = 1e-3, .order = 5},
    {.name = "order 5, 1e-4", .rtol = 1e-4, .order = 5},
    {.name = "order 5, 1e-5", .rtol = 1e-5, .order = 5},
    {.name = "order 5, 1e-6", .rtol = 1e-6, .order = 5},
    {.name = "order 5, Dormand-Prince, 1e-4", .rtol = 1e-4},
    {.name = "order 5, Dormand-Prince, 1e-6", .rtol = 1e-6},
};
#endif

static const bench_setting lsoda[] = {
    {.name = "1e-3", .rtol = 1e-3},
    {.name = "1e-4", .rtol = 1e-4},
    {.name = "1e-5", .rtol = 1e-5},
    {.name = "1e-6", .rtol = 1e-6},
};

#define ALL(settings) settings, sizeof settings / sizeof settings[0]

const bench_group bench_groups[] = {
    {"RK4", bench_peer_rk4, {1, 4, 8}, ALL(fixed)},
    {"RK4 multirate", bench_peer_multirate, {1, 4, 8}, ALL(fixed)},
#ifdef BENCH_HAVE_SUNDIALS
    {"CVODE", bench_peer_cvode, {1}, ALL(cvode)},
    {"explicit, adaptive", bench_peer_erk, {1}, ALL(erk)},
#endif
    {"LSODA", bench_peer_lsoda, {1}, ALL(lsoda)},
};
const size_t bench_ngroups = sizeof bench_groups / sizeof bench_groups[0];
