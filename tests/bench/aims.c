/* SPDX-License-Identifier: MIT */
#include "bench/aims.h"

#include "bench/page.h"

#include <math.h>
#include <stdio.h>

const char *const bench_measures[BENCH_MEASURES] = {"at steps", "every 25 ms", "stint peak",
                                                    "zone peak"};

double bench_measure(const bench_errors *e, int i)
{
    const double all[BENCH_MEASURES] = {e->at_steps, e->dense, e->peak, e->zone};
    return all[i];
}

double bench_error_aim(mbl_mode mode, int measure)
{
    static const double aims[BENCH_MODES][BENCH_MEASURES] = {
        [MBL_MODE_DEFAULT] = {1.0, 2.5, 0.5, 1.0},
        [MBL_MODE_FINE] = {0.5, 1.0, 0.25, 0.5},
        [MBL_MODE_SCREENING] = {10, 15, 5, 5}, /* its own promise */
    };
    return aims[mode][measure];
}

static void say(mbl_text *page, const char *what, double aim, double got, bool least,
                const char *unit)
{
    char f[2][24];
    bool met = least ? got >= aim : got <= aim;
    if (isnan(got))
        bench_say(page, "| %s | %s %s %s | not measured | |\n", what,
                  least ? "at least" : "at most", bench_figure(aim, f[0]), unit);
    else
        bench_say(page, "| %s | %s %s %s | %s | %s |\n", what, least ? "at least" : "at most",
                  bench_figure(aim, f[0]), unit, bench_figure(got, f[1]), met ? "yes" : "**no**");
}

static void say_cell(const bench_errors *e, int measure, double aim, mbl_text *page)
{
    char f[24];
    if (e == NULL) {
        bench_say(page, " not measured |");
        return;
    }
    double got = bench_measure(e, measure);
    bench_say(page, got <= aim ? " %s |" : " **%s** |", bench_figure(got, f));
}

static void say_errors(const bench_found *x, mbl_text *page)
{
    bench_say(page, "\n## Aims\n\nErrors, K; bold where an aim is missed. Of the coupe in table A; "
                    "of the worst random car of table C by stepping alone, and by sampling as "
                    "well. Those of screening are its own promise.\n\n"
                    "| mode | error | at most | coupe | cars, stepping | cars, sampling too |\n"
                    "|---|---|--:|--:|--:|--:|\n");
    for (int mode = 0; mode < BENCH_MODES; mode++) {
        for (int m = 0; m < BENCH_MEASURES; m++) {
            char f[24];
            double aim = bench_error_aim((mbl_mode)mode, m);
            bench_say(page, "| %s | %s | %s |", mbl_mode_word((mbl_mode)mode), bench_measures[m],
                      bench_figure(aim, f));
            say_cell(x->precision != NULL ? &bench_precision_best(x->precision, (mbl_mode)mode)->e
                                          : NULL,
                     m, aim, page);
            say_cell(x->same != NULL ? &x->same[mode] : NULL, m, aim, page);
            say_cell(x->finer != NULL ? &x->finer[mode] : NULL, m, aim, page);
            bench_say(page, "\n");
        }
    }
}

void bench_aims_say(const bench_found *x, mbl_text *page)
{
    say_errors(x, page);
    bench_say(page, "\n| what | aim | here | met |\n|---|---|--:|---|\n");
    for (int mode = 0; x->precision != NULL && mode < BENCH_MODES; mode++) {
        char what[96];
        const bench_row *r =
            bench_precision_find(x->precision, "batch of 288, one plan", (mbl_mode)mode);
        const bench_row *d = bench_precision_best(x->precision, (mbl_mode)mode);
        static const double aims[BENCH_MODES] = {
            [MBL_MODE_DEFAULT] = 2000, [MBL_MODE_FINE] = 1400, [MBL_MODE_SCREENING] = 4000};
        double aim = aims[mode];
        snprintf(what, sizeof what, "%s, driving with its share of the plan",
                 mbl_mode_word((mbl_mode)mode));
        say(page, what, aim, 1e3 / d->whole, true, "stints/s/core");
        snprintf(what, sizeof what, "%s, batch of 288 with all it costs",
                 mbl_mode_word((mbl_mode)mode));
        say(page, what, aim, 1e3 / r->whole, true, "stints/s/core");
    }
    for (int i = 0; x->precision != NULL && i < BENCH_RATIOS; i++) {
        double aim = 0;
        const char *what = NULL;
        double got = bench_ratio(x->precision, i, &what, &aim);
        char line[96];
        snprintf(line, sizeof line, "times faster than %s", what);
        say(page, line, aim, got, true, "");
    }
    if (x->precision != NULL)
        say(page, "ledger, worst residual", 1e-12, x->precision->residual, false, "of the heat");
    say(page, "one stint, trace in memory to result", 3, x->single.run, false, "ms");
    say(page, "cold process to verdict", 40, x->single.cold, false, "ms");
    say(page, "cold process to the whole page", 40, x->single.page, false, "ms");
    char what[96];
    snprintf(what, sizeof what, "peak resident memory, %zu rows", x->rows);
    say(page, what, 100, x->resident, false, "MB");
}
