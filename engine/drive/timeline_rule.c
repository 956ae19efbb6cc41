/* SPDX-License-Identifier: MIT */
#include "drive/timeline_rule.h"

#include <math.h>

/* Found by trying: table C of tests/bench, tests/reference/test_strides.c. */
static const mbl_timeline_rule rules[] = {
    [MBL_MODE_DEFAULT] = {0.20, 0.2, 0.05, 0.6, 15, 1.0, 1, 2.0, 1.0, 60, 30, 1.0, 2.0, 1, 1},
    [MBL_MODE_FINE] = {0.06, 0.05, 0.012, 0.25, 7, 0.7, 1, 1.0, 0.6, 30, 12, 0.6, 1.0, 1, 1},
    [MBL_MODE_SCREENING] = {3.0, 10, 1.0, 10, 120, 6.0, 1, 4.0, 5.0, 200, 100, 5.0, 4.0, 2.5, 10},
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
        [MBL_MODE_REFERENCE] = "a fixed grid of 25 ms, for comparison",
        [MBL_MODE_SCREENING] = "peaks within about 5 K, in single precision; ask again in the "
                               "default mode before you rely on it",
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

mbl_timeline_rule mbl_timeline_rule_for(mbl_mode mode, double tau)
{
    const double thick = 0.17; /* s */
    double calm = fmin(fmax(tau / thick, 0.2), 1);
    mbl_timeline_rule r = rules[mode];
    r.face *= calm * calm;
    r.bow *= calm * calm;
    r.deep *= calm * calm;
    r.rough *= calm * calm;
    r.warms *= calm * calm;
    r.ramp *= calm * calm;
    r.macro *= calm;
    return r;
}
