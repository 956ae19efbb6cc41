/* SPDX-License-Identifier: MIT */
#include "host/progress.h"

#include <time.h>
#include <unistd.h>

static const double least = 1.0;  /* s before anything is said: short work needs no line */
static const double every = 0.25; /* s */

/* What is shown only: no result depends on it. */
static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void mbl_progress_begin(mbl_progress *p, const mbl_host *host, const char *what, size_t all,
                        size_t before)
{
    const mbl_host_options *o = host->options;
    int file = fileno(o->notes);
    *p = (mbl_progress){.host = host, .what = what, .all = all, .before = before};
    p->on = !o->quiet && file >= 0 && isatty(file);
    if (p->on)
        p->start = p->told = now();
}

void mbl_progress_tell(mbl_progress *p, size_t done)
{
    if (!p->on)
        return;
    double t = now();
    if (t - p->start < least || t - p->told < every)
        return;
    p->told = t;
    p->shown = true;
    double rate = (double)(done - p->before) / (t - p->start);
    mbl_shown left = mbl_out_span(rate > 0 ? (double)(p->all - done) / rate : 0);
    fprintf(p->host->options->notes, "\r%s: %zu of %zu rows, %.0f a second, %s left   ", p->what,
            done, p->all, rate, left.s);
    fflush(p->host->options->notes);
}

void mbl_progress_end(mbl_progress *p)
{
    if (!p->shown)
        return;
    fprintf(p->host->options->notes, "\r%70s\r", "");
    fflush(p->host->options->notes);
    p->shown = false;
}
