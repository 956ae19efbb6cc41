/* SPDX-License-Identifier: MIT */
/* Who is how much faster, at which error: both signs. */
#include "bench/aims.h"

#include "bench/page.h"
#include "bench/settings.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static double measure(const bench_row *r, int i)
{
    return bench_measure(&r->e, i);
}

static const char *lanes_word(const bench_row *r)
{
    return r->lanes == 8 ? ", 8 lanes" : r->lanes == 4 ? ", 4 lanes" : "";
}

/* Times of a peer over those of a row of the engine: by its drive, and with the plan. */
static double over_drive(const bench_precision *p, const bench_row *peer, const bench_row *engine)
{
    const bench_row *usual = bench_precision_best(p, MBL_MODE_DEFAULT);
    double scale = isnan(engine->ms) ? usual->ms / engine->whole : usual->ms / engine->ms;
    return peer->over * scale;
}

static double over_whole(const bench_precision *p, const bench_row *peer, const bench_row *engine)
{
    double drive = isnan(engine->ms) ? engine->whole : engine->ms;
    return over_drive(p, peer, engine) * drive / engine->whole;
}

/* The fastest row of a group with an error of at most `most`; `setting` NULL for any. */
static const bench_row *fastest(const bench_precision *p, const char *who, const char *setting,
                                int by, double most)
{
    const bench_row *best = NULL;
    for (size_t i = 0; i < p->n; i++) {
        const bench_row *r = &p->row[i];
        if (r->engine || r->left != NULL || strcmp(r->who, who) != 0)
            continue;
        if (setting != NULL && strcmp(r->setting, setting) != 0)
            continue;
        if (!(measure(r, by) <= most) && setting == NULL)
            continue;
        if (best == NULL || r->ms < best->ms)
            best = r;
    }
    return best;
}

/* By samples, at 50 ms or at the error of the engine's default. */
static const struct {
    const char *what, *who, *setting;
    double aim;
} ratios[BENCH_RATIOS] = {
    {"RK4 50 ms in lanes, the same soak", "RK4", "50 ms, films 0.5 s", 6},
    {"RK4 50 ms multirate in lanes", "RK4 multirate", "50 ms, films 0.5 s", 3},
    {"adaptive explicit", "explicit, adaptive", NULL, 100},
    {"CVODE", "CVODE", NULL, 250},
};

static const bench_row *ratio_row(const bench_precision *p, int i)
{
    const bench_row *e = bench_precision_best(p, MBL_MODE_DEFAULT);
    return fastest(p, ratios[i].who, ratios[i].setting, 1, e->e.dense);
}

double bench_ratio(const bench_precision *p, int i, const char **what, double *aim)
{
    const bench_row *peer = ratio_row(p, i);
    *what = ratios[i].what;
    *aim = ratios[i].aim;
    return peer == NULL ? (double)NAN
                        : over_whole(p, peer, bench_precision_best(p, MBL_MODE_DEFAULT));
}

static void say_line(const bench_precision *p, int i, mbl_text *page)
{
    const bench_row *e = bench_precision_best(p, MBL_MODE_DEFAULT);
    const bench_row *batch = bench_precision_find(p, "batch of 288, one plan", MBL_MODE_DEFAULT);
    const bench_row *peer = ratio_row(p, i);
    char f[6][24];
    if (peer == NULL) {
        bench_say(page, "| %s | none | | | | | %s | |\n", ratios[i].what,
                  bench_figure(ratios[i].aim, f[0]));
        return;
    }
    double ratio = over_whole(p, peer, e);
    bench_say(page, "| %s | %s%s | %s against %s | %s | %s | %s | %s | %s |\n", ratios[i].what,
              peer->setting, lanes_word(peer), bench_figure(peer->e.dense, f[0]),
              bench_figure(e->e.dense, f[1]), bench_figure(over_drive(p, peer, e), f[2]),
              bench_figure(ratio, f[3]), bench_figure(over_whole(p, peer, batch), f[4]),
              bench_figure(ratios[i].aim, f[5]), ratio >= ratios[i].aim ? "yes" : "**no**");
}

static void say_aims(const bench_precision *p, mbl_text *page)
{
    const bench_row *e = bench_precision_best(p, MBL_MODE_DEFAULT);
    bench_say(page,
              "\n### Ratios\n\n"
              "Time of the peer over that of the engine's default on one core: its drive of %d "
              "lanes alone; with the plan shared by those lanes, which is what is held against "
              "the aim, since the peers' cutting is in their times; and one row of the batch of "
              "288 with all that a row costs. RK4 at 50 ms whatever its error; the last two rows "
              "take the fastest setting of equal or smaller error every 25 ms, and so jump where a "
              "setting just passes or just misses.\n\n"
              "| peer | setting | error every 25 ms, K | drive | with plan | batch | aim | met |\n"
              "|---|---|---|--:|--:|--:|--:|---|\n",
              e->lanes);
    for (int i = 0; i < BENCH_RATIOS; i++)
        say_line(p, i, page);
}

static void say_matrix(const bench_precision *p, mbl_mode mode, mbl_text *page)
{
    const bench_row *e = bench_precision_best(p, mode);
    char f[2][24];
    bench_say(page,
              "\nThe fastest setting of each peer that is as good as the engine's **%s** or better "
              "by that measure alone, and its time over the engine's with plan; below 1 the peer "
              "is faster.\n\n| peer |",
              mbl_mode_word(mode));
    for (int m = 0; m < BENCH_MEASURES; m++)
        bench_say(page, " %s, %s K |", bench_measures[m], bench_figure(measure(e, m), f[0]));
    bench_say(page, "\n|---|---|---|---|---|\n");
    for (size_t i = 0; i < bench_ngroups; i++) {
        bench_say(page, "| %s |", bench_groups[i].name);
        for (int m = 0; m < BENCH_MEASURES; m++) {
            const bench_row *r = fastest(p, bench_groups[i].name, NULL, m, measure(e, m));
            if (r == NULL)
                bench_say(page, " none |");
            else
                bench_say(page, " %s (%s%s%s: %s K) |", bench_figure(over_whole(p, r, e), f[0]),
                          r->setting, lanes_word(r), r->scaled ? ", one cold lap" : "",
                          bench_figure(measure(r, m), f[1]));
        }
        bench_say(page, "\n");
    }
}

/* Where the peers win, plainly. */
static void say_other_sign(const bench_precision *p, mbl_text *page)
{
    const bench_row *fine = bench_precision_best(p, MBL_MODE_FINE);
    const bench_row *usual = bench_precision_best(p, MBL_MODE_DEFAULT);
    char f[6][24];
    size_t quicker = 0;
    bench_say(page, "\nWhere peers are better:\n\n");
    for (size_t i = 0; i < p->n; i++) {
        const bench_row *r = &p->row[i];
        if (r->engine || r->left != NULL || !(r->ms < usual->whole))
            continue;
        quicker++;
        bench_say(page, "- %s, %s%s is faster than the default: %s ms against %s.\n", r->who,
                  r->setting, lanes_word(r), bench_figure(r->ms, f[0]),
                  bench_figure(usual->whole, f[1]));
    }
    if (quicker == 0)
        bench_say(page, "- None is faster than the default, whatever its error.\n");
    for (int m = 0; m < BENCH_MEASURES; m++) {
        const bench_row *best = NULL;
        for (size_t i = 0; i < bench_ngroups; i++) {
            const bench_row *r =
                fastest(p, bench_groups[i].name, NULL, m, 0.999 * measure(fine, m));
            if (r != NULL && !r->scaled && (best == NULL || r->ms < best->ms))
                best = r;
        }
        if (best != NULL)
            bench_say(page,
                      "- More exact than fine %s: %s, %s%s, %s K against %s K, in %s of "
                      "fine's time and %s of the default's. The engine has no mode that goes "
                      "there.\n",
                      bench_measures[m], best->who, best->setting, lanes_word(best),
                      bench_figure(measure(best, m), f[0]), bench_figure(measure(fine, m), f[1]),
                      bench_figure(over_whole(p, best, fine), f[2]),
                      bench_figure(over_whole(p, best, usual), f[3]));
    }
}

void bench_ratios_say(const bench_precision *p, mbl_text *page)
{
    say_aims(p, page);
    say_matrix(p, MBL_MODE_DEFAULT, page);
    say_matrix(p, MBL_MODE_FINE, page);
    say_other_sign(p, page);
}
