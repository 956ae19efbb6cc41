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
    static const char *const words[] = {"rotor",   "gradient", "pad",  "cold pad",
                                        "caliper", "fluid",    "hose", ""};
    return words[kind];
}

bool mbl_check_is_rise(mbl_check_kind kind)
{
    return kind == MBL_CHECK_GRADIENT;
}

void mbl_checks_boiling(const mbl_case *setup, double *wet, double *now)
{
    /* judged with the pedal released: vapour forms when the line pressure is gone */
    double p = mbl_air_pressure(setup->stint.altitude);
    const mbl_fluid *fluid = &setup->car.fluid;
    *wet = mbl_boiling_at_pressure(mbl_fluid_wet(fluid), p);
    *now = mbl_boiling_point(fluid, mbl_fluid_water(fluid), p);
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

static const double hose_warms = 0.35; /* of the core's excess over the air */

double mbl_checks_hose(double core, double ambient)
{
    return ambient + hose_warms * (core - ambient);
}

/* Core temperature at which a hose reaches what it bears; out of reach without a duct. */
static double core_for_hose(const mbl_case *setup, const mbl_brake *b)
{
    double ambient = setup->stint.ambient;
    return b->duct.present ? ambient + (mbl_duct_bears(&b->duct) - ambient) / hose_warms : INFINITY;
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
            [MBL_WATCH_HOSE] = {MBL_CORE, core_for_hose(setup, brake_of(setup, axle))},
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

/* The watch behind a check; -1 for a check that none stands behind. */
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
        return mbl_checks_judge(setup);
    case MBL_CHECK_HOSE:
        return MBL_WATCH_HOSE;
    case MBL_CHECK_GRADIENT:
    case MBL_CHECK_COLD:
    case MBL_CHECK_KINDS:
        break;
    }
    return -1;
}

int mbl_check_node(int axle, mbl_check_kind kind)
{
    static const mbl_corner_node nodes[] = {
        [MBL_CHECK_GRADIENT] = MBL_FACE,   [MBL_CHECK_ROTOR] = MBL_CORE,
        [MBL_CHECK_PAD] = MBL_PAD_FACE,    [MBL_CHECK_COLD] = MBL_PAD_FACE,
        [MBL_CHECK_CALIPER] = MBL_CALIPER, [MBL_CHECK_FLUID] = MBL_FLUID,
        [MBL_CHECK_HOSE] = MBL_CORE,       [MBL_CHECK_KINDS] = MBL_CORNER_NODES};
    return mbl_corner_index(axle, nodes[kind]);
}

double mbl_check_limit(const mbl_case *setup, int axle, mbl_check_kind kind)
{
    const mbl_brake *b = brake_of(setup, axle);
    double point[MBL_WATCHES_AXLE] = {0};
    switch (kind) {
    case MBL_CHECK_ROTOR:
        return setup->limits.rotor;
    case MBL_CHECK_GRADIENT:
        return setup->limits.gradient;
    case MBL_CHECK_PAD:
        return b->pad.window.v[1];
    case MBL_CHECK_COLD:
        return b->pad.window.v[0];
    case MBL_CHECK_CALIPER:
        return setup->limits.caliper;
    case MBL_CHECK_FLUID:
        mbl_checks_boiling(setup, &point[MBL_WATCH_WET], &point[MBL_WATCH_NOW]);
        return point[mbl_checks_judge(setup)];
    case MBL_CHECK_HOSE:
        return mbl_duct_bears(&b->duct);
    case MBL_CHECK_KINDS:
        break;
    }
    return NAN;
}

bool mbl_checks_passed(const mbl_case *setup, const mbl_watch watch[MBL_WATCHES],
                       mbl_check_kind *kind, int *axle)
{
    bool passed = false;
    double earliest = INFINITY;
    for (int a = 0; a < MBL_AXLES; a++) {
        for (int k = 0; k < MBL_CHECK_KINDS; k++) {
            int behind = watch_of(setup, (mbl_check_kind)k);
            int i = a * MBL_WATCHES_AXLE + behind;
            if (behind < 0)
                continue;
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

/* The worse verdict first, then by margin over band. A band of 0 ranks by the bare margin. */
static bool tighter(const mbl_check *a, const mbl_check *b)
{
    if (a->verdict != b->verdict)
        return a->verdict > b->verdict;
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

static double band_of(const mbl_limits *limits, mbl_check_kind kind)
{
    const double bands[] = {
        [MBL_CHECK_GRADIENT] = limits->gradient_band, [MBL_CHECK_ROTOR] = limits->rotor_band,
        [MBL_CHECK_PAD] = limits->pad_band,           [MBL_CHECK_COLD] = limits->cold_band,
        [MBL_CHECK_CALIPER] = limits->caliper_band,   [MBL_CHECK_FLUID] = limits->fluid_band,
        [MBL_CHECK_HOSE] = limits->hose_band};
    return bands[kind];
}

/* Is there anything to check? */
static bool applies(const mbl_run *run, int axle, mbl_check_kind kind)
{
    if (kind == MBL_CHECK_HOSE)
        return brake_of(&run->setup, axle)->duct.present;
    return kind != MBL_CHECK_COLD || run->first_stop[axle].lap > 0;
}

static mbl_check check_of(const mbl_run *run, int axle, mbl_check_kind kind,
                          const mbl_passing passing[MBL_WATCHES])
{
    const mbl_case *setup = &run->setup;
    const mbl_axle_result *a = &run->axle[axle];
    int node = mbl_check_node(axle, kind) - axle * MBL_CORNER_NODES;
    int behind = watch_of(setup, kind);
    mbl_check c = {.kind = kind,
                   .axle = axle,
                   .limit = mbl_check_limit(setup, axle, kind),
                   .band = band_of(&setup->limits, kind),
                   .peak = a->peak[node],
                   .passing = {.parked = NAN}};
    if (behind >= 0)
        c.passing = passing[axle * MBL_WATCHES_AXLE + behind];
    if (kind == MBL_CHECK_HOSE)
        c.peak.T = mbl_checks_hose(c.peak.T, setup->stint.ambient);
    if (kind == MBL_CHECK_COLD)
        c.peak = run->first_stop[axle];
    if (kind == MBL_CHECK_GRADIENT) {
        c.peak = run->gradient[axle];
        c.passing.lap = c.peak.T > c.limit ? c.peak.lap : 0;
    }
    c.margin = kind == MBL_CHECK_COLD ? c.peak.T - c.limit : c.limit - c.peak.T;
    c.verdict = judge(c.margin, c.band);
    if (kind == MBL_CHECK_COLD && c.verdict == MBL_FAILS)
        c.verdict = MBL_MARGINAL;
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
            if (!applies(run, axle, (mbl_check_kind)k))
                continue;
            mbl_check c = check_of(run, axle, (mbl_check_kind)k, passing);
            if (c.verdict > run->verdict)
                run->verdict = c.verdict;
            run->checks[n++] = c;
        }
    }
    run->nchecks = n;
    sort(run->checks, n);
}
