/* SPDX-License-Identifier: MIT */
#include "study/checks.h"

#include <math.h>

const char *mbl_verdict_word(mbl_verdict verdict)
{
    static const char *const words[] = {"holds", "marginal", "fails"};
    return words[verdict];
}

const char *mbl_check_word(mbl_check_kind kind)
{
    static const char *const words[] = {"rotor", "pad", "caliper", "fluid", ""};
    return words[kind];
}

void mbl_checks_boiling(const mbl_case *setup, double *wet, double *now)
{
    /* judged with the pedal released: vapour forms when the line pressure is gone */
    double p = mbl_air_pressure(setup->stint.altitude);
    const mbl_fluid *fluid = &setup->car.fluid;
    *wet = mbl_boiling_at_pressure(fluid->wet, p);
    *now = mbl_boiling_at_pressure(mbl_boiling_with_water(fluid, fluid->water), p);
}

int mbl_checks_judge(const mbl_case *setup)
{
    double wet;
    double now;
    mbl_checks_boiling(setup, &wet, &now);
    return setup->stint.judge == MBL_JUDGE_PRESENT || now < wet ? MBL_WATCH_NOW : MBL_WATCH_WET;
}

static const mbl_brake *brake_of(const mbl_case *setup, int axle)
{
    return axle == 0 ? &setup->car.front : &setup->car.rear;
}

void mbl_checks_watch(const mbl_case *setup, mbl_watch watch[MBL_WATCHES])
{
    double wet;
    double now;
    mbl_checks_boiling(setup, &wet, &now);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const struct {
            mbl_corner_node node;
            double level;
        } of[MBL_WATCHES_AXLE] = {
            [MBL_WATCH_ROTOR] = {MBL_CORE, setup->limits.rotor},
            [MBL_WATCH_PAD] = {MBL_PAD_FACE, brake_of(setup, axle)->pad.window.v[1]},
            [MBL_WATCH_CALIPER] = {MBL_CALIPER, setup->limits.caliper},
            [MBL_WATCH_WET] = {MBL_FLUID, wet},
            [MBL_WATCH_NOW] = {MBL_FLUID, now},
        };
        for (int i = 0; i < MBL_WATCHES_AXLE; i++) {
            mbl_watch *w = &watch[axle * MBL_WATCHES_AXLE + i];
            *w = (mbl_watch){.node = mbl_corner_index(axle, of[i].node)};
            for (int lane = 0; lane < MBL_LANES_WIDE; lane++) {
                w->level[lane] = of[i].level;
                w->first[lane] = NAN;
            }
        }
    }
}

/* The watch behind a check. */
static int watch_of(const mbl_case *setup, mbl_check_kind kind)
{
    switch (kind) {
    case MBL_CHECK_ROTOR:
        return MBL_WATCH_ROTOR;
    case MBL_CHECK_PAD:
        return MBL_WATCH_PAD;
    case MBL_CHECK_CALIPER:
        return MBL_WATCH_CALIPER;
    case MBL_CHECK_FLUID:
    case MBL_CHECK_KINDS:
        break;
    }
    return mbl_checks_judge(setup);
}

bool mbl_checks_passed(const mbl_case *setup, const mbl_watch watch[MBL_WATCHES],
                       mbl_check_kind *kind, int *axle)
{
    bool passed = false;
    double earliest = INFINITY;
    for (int a = 0; a < MBL_AXLES; a++) {
        for (int k = 0; k < MBL_CHECK_KINDS; k++) {
            int i = a * MBL_WATCHES_AXLE + watch_of(setup, (mbl_check_kind)k);
            if (isnan(watch[i].first[0]) || watch[i].first[0] >= earliest)
                continue;
            earliest = watch[i].first[0];
            *kind = (mbl_check_kind)k;
            *axle = a;
            passed = true;
        }
    }
    return passed;
}

static mbl_verdict judge(double margin, double band)
{
    if (margin < 0)
        return MBL_FAILS;
    return margin < band ? MBL_MARGINAL : MBL_HOLDS;
}

/* Tighter first; a passed limit before any that holds. A band of 0 ranks by the bare margin. */
static bool tighter(const mbl_check *a, const mbl_check *b)
{
    double ra = a->margin / (a->band > 1 ? a->band : 1);
    double rb = b->margin / (b->band > 1 ? b->band : 1);
    return ra < rb;
}

static void sort(mbl_check *checks, int n)
{
    for (int i = 1; i < n; i++) {
        mbl_check c = checks[i];
        int j = i;
        for (; j > 0 && tighter(&c, &checks[j - 1]); j--)
            checks[j] = checks[j - 1];
        checks[j] = c;
    }
}

static mbl_check check_of(const mbl_run *run, int axle, mbl_check_kind kind,
                          const mbl_passing passing[MBL_WATCHES])
{
    static const mbl_corner_node nodes[] = {MBL_CORE, MBL_PAD_FACE, MBL_CALIPER, MBL_FLUID};
    const mbl_case *setup = &run->setup;
    const mbl_limits *limits = &setup->limits;
    const double bands[] = {limits->rotor_band, limits->pad_band, limits->caliper_band,
                            limits->fluid_band};
    mbl_watch watch[MBL_WATCHES];
    mbl_checks_watch(setup, watch);
    int i = axle * MBL_WATCHES_AXLE + watch_of(setup, kind);
    mbl_check c = {.kind = kind,
                   .axle = axle,
                   .limit = watch[i].level[0],
                   .band = bands[kind],
                   .peak = run->axle[axle].peak[nodes[kind]],
                   .passing = passing[i]};
    c.margin = c.limit - c.peak.T;
    c.verdict = judge(c.margin, c.band);
    return c;
}

void mbl_checks_judge_run(mbl_run *run, const mbl_passing passing[MBL_WATCHES])
{
    int n = 0;
    run->verdict = MBL_HOLDS;
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        mbl_axle_result *a = &run->axle[axle];
        mbl_checks_boiling(&run->setup, &a->wet, &a->now);
        a->margin_wet = a->wet - a->peak[MBL_FLUID].T;
        a->margin_now = a->now - a->peak[MBL_FLUID].T;
        a->margin = mbl_checks_judge(&run->setup) == MBL_WATCH_WET ? a->margin_wet : a->margin_now;
        a->wet_passed = passing[axle * MBL_WATCHES_AXLE + MBL_WATCH_WET];
        a->boils = passing[axle * MBL_WATCHES_AXLE + MBL_WATCH_NOW];
        for (int k = 0; k < MBL_CHECK_KINDS; k++) {
            mbl_check c = check_of(run, axle, (mbl_check_kind)k, passing);
            if (c.verdict > run->verdict)
                run->verdict = c.verdict;
            run->checks[n++] = c;
        }
    }
    sort(run->checks, n);
}
