/* SPDX-License-Identifier: MIT */
#include "drive/timeline_rule.h"

#include <math.h>

/* Found by trying: table C of tests/bench, tests/reference/test_strides.c. */
static const mbl_timeline_rule rules[] = {
    [MBL_MODE_DEFAULT] = {.face = 0.16,
                          .bow = 0.2,
                          .deep = 0.04,
                          .rough = 0.35,
                          .warms = 13,
                          .slips = 0.042,
                          .ramp = 1.0,
                          .contact = 1,
                          .longest = 2.0,
                          .bends = 1.0,
                          .swing = 60,
                          .gains = 30,
                          .veer = 1.0,
                          .macro = 2.0,
                          .apart = 0,
                          .stretch = 1.2,
                          .grow = 1},
    [MBL_MODE_FINE] = {.face = 0.05,
                       .bow = 0.05,
                       .deep = 0.008,
                       .rough = 0.15,
                       .warms = 6,
                       .slips = 0.018,
                       .ramp = 0.7,
                       .contact = 1,
                       .longest = 1.0,
                       .bends = 0.6,
                       .swing = 30,
                       .gains = 12,
                       .veer = 0.6,
                       .macro = 1.0,
                       .apart = 0,
                       .stretch = 1,
                       .grow = 1},
    [MBL_MODE_SCREENING] = {.face = 3.0,
                            .bow = 10,
                            .deep = 1.0,
                            .rough = 10,
                            .warms = 120,
                            .slips = 0.25,
                            .ramp = 6.0,
                            .contact = 1,
                            .longest = 4.0,
                            .bends = 5.0,
                            .swing = 200,
                            .gains = 100,
                            .veer = 5.0,
                            .macro = 4.0,
                            .apart = 0.2,
                            .stretch = 2.5,
                            .grow = 10},
    [MBL_MODE_REFERENCE] = {0},
};

const char *mbl_mode_word(mbl_mode mode)
{
    static const char *const words[] = {"default", "fine", "screening", "reference"};
    return words[mode];
}

const char *mbl_mode_promise(mbl_mode mode)
{
    static const char *const promises[] = {
        [MBL_MODE_DEFAULT] = "peaks within about 1 K of the same laws on an ever finer grid",
        [MBL_MODE_FINE] = "peaks within about 0.5 K of the same laws on an ever finer grid",
        [MBL_MODE_SCREENING] =
            "most peaks within 5 K, in single precision: run what you choose without it",
        [MBL_MODE_REFERENCE] = "a fixed grid of 25 ms, for comparison",
    };
    return promises[mode];
}

double mbl_timeline_sample(mbl_mode mode, const mbl_kin *kin, double mass)
{
    const double stop = 8; /* m/s2, a hard one */
    double tau = mbl_kin_quick(kin, stop * mass);
    /* found by trying: tests/reference/test_strides.c */
    double share = tau >= 0.050 ? 1 : tau >= 0.035 ? 0.5 : 0.25;
    double of_mode = mode == MBL_MODE_FINE ? 0.5 : mode == MBL_MODE_SCREENING ? 2 : 1;
    return of_mode * share * MBL_TIMELINE_SAMPLE;
}

mbl_timeline_rule mbl_timeline_rule_for(mbl_mode mode, double tau, double steep)
{
    const double thick = 0.17; /* s */
    double calm = fmin(fmax(tau / thick, 0.2), 1);
    mbl_timeline_rule r = rules[mode];
    r.warms = fmin(r.warms, r.slips / steep);
    r.face *= calm * calm;
    r.bow *= calm * calm;
    r.deep *= calm * calm;
    r.rough *= calm * calm;
    r.warms *= calm * calm;
    r.ramp *= calm * calm;
    r.macro *= calm;
    return r;
}
