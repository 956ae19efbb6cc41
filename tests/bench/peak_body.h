/* SPDX-License-Identifier: MIT */
/* A loop of independent fused multiply-adds. Included by files that define VEC, FMA, WIDTH and
 * PEAK_NAME, for which they include immintrin.h. */
#include "bench/machine.h"
#include "bench/peers.h"

enum { PEAK_CHAINS = 12, PEAK_TURNS = 200000 };

double PEAK_NAME(double seconds)
{
    VEC sum[PEAK_CHAINS];
    VEC factor = SPLAT(0.999999);
    VEC more = SPLAT(1e-6);
    volatile double sink = 0;
    double best = 0;
    double begun = bench_clock();
    for (int i = 0; i < PEAK_CHAINS; i++)
        sum[i] = SPLAT(1.0 + i);
    double last = begun;
    while (last - begun < seconds) {
        for (int turn = 0; turn < PEAK_TURNS; turn++) {
#pragma GCC unroll 12
            for (int i = 0; i < PEAK_CHAINS; i++)
                sum[i] = FMA(sum[i], factor, more);
        }
        double now = bench_clock();
        double rate = 2.0 * WIDTH * PEAK_CHAINS * PEAK_TURNS / (now - last);
        best = rate > best ? rate : best;
        last = now;
    }
    for (int i = 0; i < PEAK_CHAINS; i++)
        sink += sum[i][0];
    (void)sink;
    return best;
}
