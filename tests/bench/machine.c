/* SPDX-License-Identifier: MIT */
#include "bench/machine.h"

#include "base/pool.h"
#include "bench/page.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static void model_name(char out[128])
{
    char line[256];
    snprintf(out, 128, "a processor without a name");
    FILE *in = fopen("/proc/cpuinfo", "r");
    while (in != NULL && fgets(line, sizeof line, in) != NULL) {
        char *colon = strchr(line, ':');
        if (strncmp(line, "model name", 10) != 0 || colon == NULL)
            continue;
        line[strcspn(line, "\n")] = '\0';
        snprintf(out, 128, "%.127s", colon + 2);
        break;
    }
    if (in != NULL)
        fclose(in);
}

enum { NO_PEAK, AVX2, AVX512 };

static int widest(void)
{
#ifdef BENCH_HAVE_PEAK_AVX512
    if (__builtin_cpu_supports("avx512f"))
        return AVX512;
#endif
#ifdef BENCH_HAVE_PEAK_AVX2
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma"))
        return AVX2;
#endif
    return NO_PEAK;
}

double bench_peak(void)
{
    double most = (double)NAN;
#ifdef BENCH_HAVE_PEAK_AVX2
    if (widest() != NO_PEAK)
        most = bench_peak_avx2(0.3);
#endif
#ifdef BENCH_HAVE_PEAK_AVX512
    if (widest() == AVX512)
        most = fmax(most, bench_peak_avx512(0.3));
#endif
    return most;
}

const char *bench_peak_name(void)
{
    static const char *const names[] = {"no fused multiply-adds",
                                        "fused multiply-adds of 4 doubles",
                                        "fused multiply-adds of 8 or 4 doubles, whichever is more"};
    return names[widest()];
}

void bench_machine_say(mbl_text *page)
{
    char model[128];
    model_name(model);
    bench_say(page, "- Machine: %s, %d processors on line.\n", model, mbl_cpu_count());
    bench_say(page, "- Compiler: %s; flags: %s.\n", BENCH_COMPILER, BENCH_FLAGS);
}
