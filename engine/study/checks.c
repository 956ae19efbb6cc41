/* SPDX-License-Identifier: MIT */
#include "study/checks.h"

#include <math.h>

const char *mbl_verdict_word(mbl_verdict verdict)
{
    static const char *const words[] = {"holds", "marginal", "fails"};
    return words[verdict];
}

/* What there is to say of every kind; `worst` caps its verdict. */
static const struct {
    const char *word;
    mbl_quantity quantity;
    bool from_below;
    bool of_car;
    mbl_verdict worst;
} of_kind[MBL_CHECK_KINDS] = {
    [MBL_CHECK_ROTOR] = {"rotor", MBL_Q_LEVEL, false, false, MBL_FAILS},
    [MBL_CHECK_GRADIENT] = {"gradient", MBL_Q_RISE, false, false, MBL_FAILS},
    [MBL_CHECK_PAD] = {"pad", MBL_Q_LEVEL, false, false, MBL_FAILS},
    [MBL_CHECK_COLD] = {"cold pad", MBL_Q_LEVEL, true, false, MBL_MARGINAL},
    [MBL_CHECK_CALIPER] = {"caliper", MBL_Q_LEVEL, false, false, MBL_FAILS},
    [MBL_CHECK_FLUID] = {"fluid", MBL_Q_LEVEL, false, false, MBL_FAILS},
    [MBL_CHECK_HOSE] = {"hose", MBL_Q_LEVEL, false, false, MBL_FAILS},
    [MBL_CHECK_WORN] = {"pad wear", MBL_Q_LENGTH, true, false, MBL_FAILS},
    [MBL_CHECK_THIN] = {"rotor wear", MBL_Q_LENGTH, true, false, MBL_FAILS},
    [MBL_CHECK_EFFORT] = {"pedal effort", MBL_Q_FORCE, false, true, MBL_FAILS},
    [MBL_CHECK_TRAVEL] = {"pedal travel", MBL_Q_SHARE, false, true, MBL_FAILS},
    [MBL_CHECK_PANIC] = {"panic pressure", MBL_Q_PRESSURE, false, false, MBL_FAILS},
    [MBL_CHECK_GRIP] = {"grip", MBL_Q_ACCELERATION, false, true, MBL_FAILS},
    [MBL_CHECK_BALANCE] = {"balance", MBL_Q_SHARE, true, true, MBL_FAILS},
    [MBL_CHECK_BITE] = {"bite", MBL_Q_SHARE, true, true, MBL_FAILS},
    [MBL_CHECK_FOUND] = {"inspection", MBL_Q_COUNT, false, true, MBL_FAILS},
};

const char *mbl_check_word(mbl_check_kind kind)
{
    return of_kind[kind].word;
}

mbl_quantity mbl_check_quantity(mbl_check_kind kind)
{
    return of_kind[kind].quantity;
}

bool mbl_check_from_below(mbl_check_kind kind)
{
    return of_kind[kind].from_below;
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

void mbl_checks_watch(const mbl_case *setup, int lane, mbl_watch watch[MBL_WATCHES])
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
            [MBL_WATCH_PAD] = {MBL_PAD_FACE, mbl_car_brake(&setup->car, axle)->pad.window.v[1]},
            [MBL_WATCH_CALIPER] = {MBL_CALIPER, setup->limits.caliper},
            [MBL_WATCH_WET] = {MBL_FLUID, wet},
            [MBL_WATCH_NOW] = {MBL_FLUID, now},
            [MBL_WATCH_HOSE] = {MBL_CORE, core_for_hose(setup, mbl_car_brake(&setup->car, axle))},
        };
        for (int i = 0; i < MBL_WATCHES_AXLE; i++) {
            mbl_watch *w = &watch[axle * MBL_WATCHES_AXLE + i];
            w->node = mbl_corner_index(axle, of[i].node);
            w->level[lane] = of[i].level;
            w->first[lane] = NAN;
            w->above[lane] = 0;
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
    default:
        break;
    }
    return -1;
}

/* The node whose peak a check of heat looks at. */
static mbl_corner_node node_of(mbl_check_kind kind)
{
    switch (kind) {
    case MBL_CHECK_PAD:
        return MBL_PAD_FACE;
    case MBL_CHECK_CALIPER:
        return MBL_CALIPER;
    case MBL_CHECK_FLUID:
        return MBL_FLUID;
    default:
        break;
    }
    return MBL_CORE;
}

static double limit_of(const mbl_run *run, int axle, mbl_check_kind kind)
{
    const mbl_case *setup = &run->setup;
    const mbl_brake *b = mbl_car_brake(&setup->car, axle);
    double point[MBL_WATCHES_AXLE] = {0};
    switch (kind) {
    case MBL_CHECK_WORN:
        return mbl_pad_worn_at(&b->pad);
    case MBL_CHECK_THIN:
        return b->rotor.minimum;
    case MBL_CHECK_EFFORT:
        return setup->car.pedal.effort_limit;
    case MBL_CHECK_TRAVEL:
        return 1;
    case MBL_CHECK_PANIC:
        return run->pedal.rating[axle];
    case MBL_CHECK_GRIP:
        return run->balance.grip;
    case MBL_CHECK_BALANCE:
    case MBL_CHECK_FOUND:
        return 0;
    case MBL_CHECK_BITE:
        return setup->limits.bite;
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
    if (!(margin >= 0)) /* what is not a number is not kept either */
        return MBL_FAILS;
    return margin < band ? MBL_MARGINAL : MBL_HOLDS;
}

double mbl_check_rank(const mbl_check *c)
{
    /* a band of 0 ranks by the sign of the margin, a little apart so that it is not lost */
    double least = 1e-3 * fabs(c->limit);
    double band = c->band > least ? c->band : least;
    return c->margin / (band > 0 ? band : 1);
}

/* The worse verdict first, then by margin over band. */
static bool tighter(const mbl_check *a, const mbl_check *b)
{
    if (a->verdict != b->verdict)
        return a->verdict > b->verdict;
    return mbl_check_rank(a) < mbl_check_rank(b);
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
    const double bands[MBL_CHECK_KINDS] = {
        [MBL_CHECK_GRADIENT] = limits->gradient_band, [MBL_CHECK_ROTOR] = limits->rotor_band,
        [MBL_CHECK_PAD] = limits->pad_band,           [MBL_CHECK_COLD] = limits->cold_band,
        [MBL_CHECK_CALIPER] = limits->caliper_band,   [MBL_CHECK_FLUID] = limits->fluid_band,
        [MBL_CHECK_HOSE] = limits->hose_band,         [MBL_CHECK_WORN] = limits->pad_left_band,
        [MBL_CHECK_THIN] = limits->rotor_left_band,   [MBL_CHECK_EFFORT] = limits->effort_band,
        [MBL_CHECK_TRAVEL] = limits->travel_band,     [MBL_CHECK_PANIC] = limits->pressure_band,
        [MBL_CHECK_GRIP] = limits->grip_band,         [MBL_CHECK_BALANCE] = limits->balance_band,
        [MBL_CHECK_BITE] = limits->bite_band};
    return bands[kind];
}

/* Is there anything to check? */
static bool applies(const mbl_run *run, int axle, mbl_check_kind kind)
{
    const mbl_car *car = &run->setup.car;
    bool braked = run->pedal.lap > 0;
    if (of_kind[kind].of_car != (axle == MBL_WHOLE_CAR))
        return false;
    switch (kind) {
    case MBL_CHECK_HOSE:
        return mbl_car_brake(&run->setup.car, axle)->duct.present;
    case MBL_CHECK_COLD:
        return run->first_stop[axle].lap > 0;
    case MBL_CHECK_THIN:
        return !isnan(mbl_car_brake(&run->setup.car, axle)->rotor.minimum);
    case MBL_CHECK_EFFORT:
    case MBL_CHECK_TRAVEL:
        return car->pedal.present && braked;
    case MBL_CHECK_PANIC:
        return car->pedal.present;
    case MBL_CHECK_GRIP:
        /* a lap that was worked out asks for what tyres have on the banks and grades of its course,
         * which is more than they have on the level */
        return run->balance.known && ((const mbl_trace *)run->setup.course.trace)->lost == NULL;
    case MBL_CHECK_BALANCE:
        return run->balance.known;
    case MBL_CHECK_BITE:
        return run->balance.known && car->pedal.present;
    case MBL_CHECK_FOUND:
        return car->found.n > 0;
    default:
        return true;
    }
}

/* The value that is judged, with when it came. */
static mbl_peak value_of(const mbl_run *run, int axle, mbl_check_kind kind)
{
    const mbl_peak hardest = {0, run->pedal.hardest.at, run->pedal.lap, false};
    const mbl_peak end = {0, run->duration, run->laps, false};
    mbl_peak p = hardest;
    switch (kind) {
    case MBL_CHECK_COLD:
        return run->first_stop[axle];
    case MBL_CHECK_GRADIENT:
        return run->gradient[axle];
    case MBL_CHECK_HOSE:
        p = run->axle[axle].peak[node_of(kind)];
        p.T = mbl_checks_hose(p.T, run->setup.stint.ambient);
        return p;
    case MBL_CHECK_WORN:
        p = end;
        p.T = run->axle[axle].life.pad_event;
        return p;
    case MBL_CHECK_THIN:
        p = end;
        p.T = run->axle[axle].life.rotor_event;
        return p;
    case MBL_CHECK_EFFORT:
        p.T = run->pedal.effort;
        return p;
    case MBL_CHECK_TRAVEL:
        p.T = run->pedal.travel.used;
        return p;
    case MBL_CHECK_PANIC:
        p.T = run->pedal.panic[axle];
        return p;
    case MBL_CHECK_GRIP:
        p.T = run->balance.asked;
        p.lap = run->balance.lap;
        return p;
    case MBL_CHECK_BALANCE:
        p.T = run->balance.ahead;
        p.lap = run->balance.ahead_lap;
        return p;
    case MBL_CHECK_BITE:
        p.T = run->balance.bite;
        return p;
    case MBL_CHECK_FOUND:
        p.T = (double)run->setup.car.found.n;
        return p;
    default:
        return run->axle[axle].peak[node_of(kind)];
    }
}

static mbl_check check_of(const mbl_run *run, int axle, mbl_check_kind kind,
                          const mbl_passing passing[MBL_WATCHES])
{
    const mbl_case *setup = &run->setup;
    int behind = watch_of(setup, kind);
    mbl_check c = {.kind = kind,
                   .axle = axle,
                   .limit = limit_of(run, axle, kind),
                   .band = band_of(&setup->limits, kind),
                   .peak = value_of(run, axle, kind),
                   .passing = {.parked = NAN}};
    c.margin = of_kind[kind].from_below ? c.peak.T - c.limit : c.limit - c.peak.T;
    c.verdict = judge(c.margin, c.band);
    if (behind >= 0)
        c.passing = passing[axle * MBL_WATCHES_AXLE + behind];
    else if (c.margin < 0)
        c.passing.lap = kind == MBL_CHECK_EFFORT ? run->pedal.shortfall_lap : c.peak.lap;
    mbl_verdict worst = of_kind[kind].worst;
    if (kind == MBL_CHECK_BALANCE && setup->car.abs)
        worst = MBL_MARGINAL;
    /* a limit that stands in for a rating nobody gave does not condemn a part */
    if (kind == MBL_CHECK_PANIC && isnan(mbl_car_brake(&setup->car, axle)->caliper.rating))
        worst = MBL_MARGINAL;
    if (c.verdict > worst)
        c.verdict = worst;
    return c;
}

static void add_checks(mbl_run *run, int axle, const mbl_passing passing[MBL_WATCHES])
{
    for (int k = 0; k < MBL_CHECK_KINDS; k++) {
        if (!applies(run, axle, (mbl_check_kind)k))
            continue;
        mbl_check c = check_of(run, axle, (mbl_check_kind)k, passing);
        if (c.verdict > run->verdict)
            run->verdict = c.verdict;
        run->checks[run->nchecks++] = c;
    }
}

void mbl_checks_judge_run(mbl_run *run, const mbl_passing passing[MBL_WATCHES])
{
    run->nchecks = 0;
    run->verdict = MBL_HOLDS;
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        mbl_axle_result *a = &run->axle[axle];
        mbl_checks_boiling(&run->setup, &a->wet, &a->now);
        a->margin_wet = a->wet - a->peak[MBL_FLUID].T;
        a->margin_now = a->now - a->peak[MBL_FLUID].T;
        a->margin = mbl_checks_judge(&run->setup) == MBL_WATCH_WET ? a->margin_wet : a->margin_now;
        a->wet_passed = passing[axle * MBL_WATCHES_AXLE + MBL_WATCH_WET];
        a->boils = passing[axle * MBL_WATCHES_AXLE + MBL_WATCH_NOW];
        add_checks(run, axle, passing);
    }
    add_checks(run, MBL_WHOLE_CAR, passing);
    sort(run->checks, run->nchecks);
}
