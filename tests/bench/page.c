/* SPDX-License-Identifier: MIT */
#include "bench/page.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

void bench_need(mbl_status status, const mbl_error *err, const char *what)
{
    if (status == MBL_OK)
        return;
    fprintf(stderr, "bench: %s: %s %s\n", what, err != NULL ? err->path : "",
            err != NULL ? err->text : "");
    exit(1);
}

void *bench_room(size_t n, size_t size)
{
    void *p = calloc(n > 0 ? n : 1, size);
    if (p == NULL)
        bench_need(MBL_MEMORY, NULL, "out of memory");
    return p;
}

void bench_say(mbl_text *page, const char *format, ...)
{
    char line[2048];
    va_list args;
    va_start(args, format);
    vsnprintf(line, sizeof line, format, args);
    va_end(args);
    fputs(line, stdout);
    fflush(stdout);
    mbl_text_print(page, "%s", line);
}

const char *bench_figure(double x, char out[24])
{
    if (!isfinite(x))
        snprintf(out, 24, "-");
    else if (fabs(x) >= 1e7)
        snprintf(out, 24, "%.0e", x);
    else if (fabs(x) >= 1000)
        snprintf(out, 24, "%.0f", x);
    else
        snprintf(out, 24, "%.3g", x);
    return out;
}

double bench_wall(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}
