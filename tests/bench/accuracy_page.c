/* SPDX-License-Identifier: MIT */
/* Table C as it is printed. */
#include "bench/accuracy.h"

#include "bench/page.h"
#include "bench/scene.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a column shows, and the aim it is held against. */
typedef struct column {
    int measure;
    bool apart;
} column;

enum { COLUMNS = 6, MODES = BENCH_MODES };
static const column columns[COLUMNS] = {{0, false}, {0, true},  {1, false},
                                        {1, true},  {2, false}, {3, false}};

static double value(const bench_off *off, const column *c)
{
    return bench_measure(c->apart ? &off->apart : &off->all, c->measure);
}

/* The worst of a column over cars, and whose it is. */
static double worst(const bench_cars *a, bench_against against, size_t trace, int mode,
                    const column *c, size_t *car)
{
    double most = -1;
    *car = 0;
    for (size_t i = 0; i < a->n && !isnan(most); i++) {
        double off = value(&a->of[i * BENCH_TRACES + trace].off[against][mode], c);
        if (a->of[i * BENCH_TRACES + trace].pace > 0 && !(off <= most)) {
            most = off;
            *car = i;
        }
    }
    return most;
}

/* Cars that keep all aims in the columns with the pads, or with pads apart. */
static size_t kept(const bench_cars *a, bench_against against, size_t trace, int mode, bool apart)
{
    size_t n = 0;
    for (size_t i = 0; i < a->n; i++) {
        const bench_off *off = &a->of[i * BENCH_TRACES + trace].off[against][mode];
        bool all = a->of[i * BENCH_TRACES + trace].pace > 0;
        for (int m = 0; m < BENCH_MEASURES; m++) {
            column c = {m, apart && m < 2};
            all = all && value(off, &c) <= bench_error_aim((mbl_mode)mode, m);
        }
        n += all;
    }
    return n;
}

static void say_row(const bench_cars *a, bench_against against, size_t trace, int mode,
                    bench_errors *sum, mbl_text *page)
{
    char f[24];
    double *const into[] = {&sum->at_steps, &sum->dense, &sum->peak, &sum->zone};
    bench_say(page, "| %s | %s |", bench_trace_names[trace], mbl_mode_word((mbl_mode)mode));
    for (int i = 0; i < COLUMNS; i++) {
        size_t car;
        double most = worst(a, against, trace, mode, &columns[i], &car);
        double *all = into[columns[i].measure];
        if (!columns[i].apart && !(most <= *all))
            *all = most;
        bench_say(page, " %s (%llu) |", bench_figure(most, f),
                  (unsigned long long)bench_seed(a->options, car));
    }
    bench_say(page, " %zu, %zu of %zu |\n", kept(a, against, trace, mode, false),
              kept(a, against, trace, mode, true), a->n);
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a;
    double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* What half of the drives do not exceed. */
static void say_medians(const bench_cars *a, bench_against against, int mode, mbl_text *page)
{
    size_t n = a->n * BENCH_TRACES;
    double *v = bench_room(n, sizeof *v);
    char f[24];
    bench_say(page, "| half of all drives within | %s |", mbl_mode_word((mbl_mode)mode));
    for (int i = 0; i < COLUMNS; i++) {
        size_t driven = 0;
        for (size_t k = 0; k < n; k++) {
            if (a->of[k].pace > 0)
                v[driven++] = value(&a->of[k].off[against][mode], &columns[i]);
        }
        qsort(v, driven, sizeof *v, by_size);
        bench_say(page, " %s |", bench_figure(driven > 0 ? v[driven / 2] : (double)NAN, f));
    }
    bench_say(page, " |\n");
    free(v);
}

/* Where the worst by samples is. */
static void say_worst(const bench_cars *a, bench_against against, int mode, mbl_text *page)
{
    size_t at = 0;
    char f[2][24];
    for (size_t i = 0; i < a->n * BENCH_TRACES; i++) {
        if (a->of[i].off[against][mode].all.dense > a->of[at].off[against][mode].all.dense)
            at = i;
    }
    const bench_one *x = &a->of[at];
    const bench_errors *e = &x->off[against][mode].all;
    mbl_model *model = bench_model(&x->setup);
    bench_say(page, "- %s is furthest off every 25 ms in car %llu, %s: %s K at %s, %s s.\n",
              mbl_mode_word((mbl_mode)mode),
              (unsigned long long)bench_seed(a->options, at / BENCH_TRACES),
              bench_trace_names[at % BENCH_TRACES], bench_figure(e->dense, f[0]),
              model->node[e->node].name, bench_figure(e->at, f[1]));
    mbl_model_drop(model);
}

void bench_cars_say(const bench_cars *a, bench_against against, bench_errors sum[MODES],
                    mbl_text *page)
{
    static const char *const about[BENCH_AGAINSTS] = {
        [BENCH_SAME_SAMPLES] = "Stepping alone: the fixed grid on the same samples of 25 ms, each "
                               "in four steps.",
        [BENCH_FINER_SAMPLES] = "Sampling as well: the fixed grid of 6.25 ms, on samples as fine."};
    memset(sum, 0, MODES * sizeof *sum);
    bench_say(page,
              "\n%s Last: cars that keep all four aims, and those that do so apart from pads.\n\n"
              "| log | mode | at steps | the same, no pads | every 25 ms | the same, no pads | "
              "stint peak | zone peak | in aim |\n|---|---|--:|--:|--:|--:|--:|--:|--:|\n",
              about[against]);
    for (size_t k = 0; k < BENCH_TRACES; k++) {
        for (int mode = 0; mode < MODES; mode++)
            say_row(a, against, k, mode, &sum[mode], page);
    }
    for (int mode = 0; mode < MODES; mode++)
        say_medians(a, against, mode, page);
    bench_say(page, "\n");
    for (int mode = 0; mode < MODES; mode++)
        say_worst(a, against, mode, page);
}
