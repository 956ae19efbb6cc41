/* SPDX-License-Identifier: MIT */
/* Table A as it is printed. */
#include "bench/precision.h"

#include "bench/machine.h"
#include "bench/page.h"

#include <math.h>
#include <stdio.h>

static void say_head(const bench_scene *x, const bench_precision *p, mbl_text *page)
{
    char a[24], b[24], c[24];
    bench_say(
        page,
        "\n## A. Work against precision\n\n"
        "One stint of the coupe with a front duct round Harrow Vale: out-lap, 18 hot laps, "
        "cool-down lap, %.0f s parked; %.0f s in all, %zu samples of 25 ms on track. The same "
        "samples and the same laws for all. Lanes are rows of a sweep of 4 duct bores by 9 "
        "ring masses; pads do not wear here, since the peers know no wear.\n\n",
        x->stint.time[x->stint.n] - x->stint.time[x->stint.parked], x->stint.time[x->stint.n],
        x->stint.parked);
    bench_say(page,
              "- ms: processor time of one stint on one core, the least of several runs; lanes "
              "that go together share it. Engine: driving, with watches, wear, ledger and peaks. "
              "Peers: driving alone, given less to do (no ledger, no wear, no watches); explicit "
              "ones park by the engine's own implicit kernel, in the steps that the engine takes.\n"
              "- with plan: the engine's ms with its lanes' share of cutting the stint into steps, "
              "%s ms for one route (fine %s, screening %s). A batch is given as a whole: compiling "
              "each car, plan, drive, "
              "checks and a line of CSV each.\n",
              bench_figure(p->planned[MBL_MODE_DEFAULT], a),
              bench_figure(p->planned[MBL_MODE_FINE], b),
              bench_figure(p->planned[MBL_MODE_SCREENING], c));
    bench_say(page,
              "- batch of 288: the 36 rows eight times over, so that what is kept from row to "
              "row (film laws, routes) is there for most; the batch of 36 pays for all of "
              "it. One plan: all rows by the steps of the first.\n");
    bench_say(page, "- errors, K, of lane 0: worst of any node where steps end; at every 25 ms, "
                    "between steps by each method's own interpolant (the engine's by its history); "
                    "of a node's highest temperature of the stint; of a face's in one zone of "
                    "braking.\n");
    if (x->reference != NULL)
        bench_say(page,
                  "- reference: CVODE at 1e-9, started anew at every change of power. At 1e-8 it "
                  "is %s K off that at samples, %s K in peaks, %s K in zones: no row means more "
                  "than that.\n",
                  bench_figure(x->apart.dense, a), bench_figure(x->apart.peak, b),
                  bench_figure(x->apart.zone, c));
    else
        bench_say(page, "- reference: none, SUNDIALS was not found: no errors.\n");
    bench_say(
        page,
        "- Mflop: estimate of one lane on track, operations counted by hand in the source; of "
        "peak: their rate over %s Gflop/s, measured with %s; single precision, which "
        "screening goes by, has twice that.\n"
        "- over: its ms over those of the engine's default, run just before and after it; "
        "median.\n\n",
        bench_figure(1e-9 * p->peak, a), bench_peak_name());
}

static void say_row(const bench_precision *p, const bench_row *r, mbl_text *page)
{
    char f[11][24];
    char workers[16] = "";
    if (r->workers > 1)
        snprintf(workers, sizeof workers, " x %d", r->workers);
    if (r->left != NULL) {
        bench_say(page, "| %s | %s | %d | left out: %s | | | | | | | | | | |\n", r->who, r->setting,
                  r->lanes, r->left);
        return;
    }
    double time = 1e-3 * (isnan(r->ms) ? r->whole : r->ms);
    double share = 100 * r->flops / time / p->peak;
    double flops_step = r->steps > 0 ? r->flops / r->steps : (double)NAN;
    bench_say(page, "| %s | %s%s | %d%s | %s | %s | %s | %s | %s | %s | %s | %s | %s | %s | %s |\n",
              r->who, r->setting, r->scaled ? " (one cold lap, scaled up)" : "", r->lanes, workers,
              bench_figure(r->ms, f[0]),
              r->engine ? bench_figure(r->whole, f[1]) : bench_figure(r->ms, f[1]),
              bench_figure(1e3 / r->whole, f[2]), bench_figure(r->over, f[3]),
              bench_figure(r->e.at_steps, f[4]), bench_figure(r->e.dense, f[5]),
              bench_figure(r->e.peak, f[6]), bench_figure(r->e.zone, f[7]),
              bench_figure(1e-6 * r->flops, f[8]), bench_figure(flops_step, f[9]),
              bench_figure(share, f[10]));
}

void bench_precision_say(const bench_scene *x, const bench_precision *p, mbl_text *page)
{
    char f[2][24];
    say_head(x, p, page);
    bench_say(
        page,
        "| who | setting | lanes x workers | ms | with plan | stints/s/core | over | at steps | "
        "every 25 ms | stint peak | zone peak | Mflop | flop/step | %% of peak |\n"
        "|---|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|--:|--:|--:|\n");
    for (size_t i = 0; i < p->n; i++)
        say_row(p, &p->row[i], page);
    bench_say(page, "\n");
    for (size_t i = 0; i < p->n; i++) {
        const bench_row *r = &p->row[i];
        if (!isnan(r->wall))
            bench_say(page, "- %s, %s, by %d workers: %s ms of wall clock a stint, %s stints/s.\n",
                      r->who, mbl_mode_word(r->mode), r->workers, bench_figure(r->wall, f[0]),
                      bench_figure(1e3 / r->wall, f[1]));
    }
    bench_say(
        page,
        "- Row 0 of a batch and the same car driven alone: %s. Errors of a batch are those "
        "of the drive.\n"
        "- Worst residual of the ledgers of all rows of the batches: %s of the heat; screening "
        "in single precision, %s.\n",
        p->same ? "the same bits" : "NOT the same bits", bench_figure(p->residual, f[0]),
        bench_figure(p->residual_single, f[1]));
}
