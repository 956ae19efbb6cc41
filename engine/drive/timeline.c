/* SPDX-License-Identifier: MIT */
#include "drive/timeline.h"

#include <math.h>

/* What a mode allows. Found by trying: see tests/reference/test_strides.c. */
typedef struct rule {
    size_t contact; /* single samples after the brakes went on */
    double braking; /* longest step, as a share of the time since they went on */
    size_t braking_most;
    double coasting; /* the same since they went off */
    size_t coasting_most;
    double rough; /* K that a step's fit of the power may move the skin */
    double macro; /* s */
} rule;

static const rule rules[] = {
    [MBL_MODE_DEFAULT] = {3, 0.10, 5, 0.20, 16, 0.25, 0.50},
    [MBL_MODE_FINE] = {6, 0.05, 2, 0.08, 8, 0.2, 0.25},
    [MBL_MODE_REFERENCE] = {1, 0, 1, 0, 1, 0, 0.1},
};

const char *mbl_mode_word(mbl_mode mode)
{
    static const char *const words[] = {"default", "fine", "reference"};
    return words[mode];
}

const char *mbl_mode_promise(mbl_mode mode)
{
    static const char *const promises[] = {
        [MBL_MODE_DEFAULT] = "peaks within 1 K of the same laws on an ever finer grid",
        [MBL_MODE_FINE] = "peaks within 0.5 K of the same laws on an ever finer grid",
        [MBL_MODE_REFERENCE] = "a fixed grid of 25 ms, for comparison",
    };
    return promises[mode];
}

/* Power of samples [first, last) as a straight line: mean, and slope by the first moment. */
typedef struct fit {
    double mean, slope;
} fit;

static fit fit_of(const mbl_channels *c, size_t first, size_t last)
{
    double t0 = c->time[first];
    double dt = c->time[last] - t0;
    double middle = t0 + 0.5 * dt;
    double energy = 0;
    double moment = 0;
    for (size_t k = first; k < last; k++) {
        double width = c->time[k + 1] - c->time[k];
        energy += c->power[k] * width;
        moment += c->power[k] * width * (0.5 * (c->time[k] + c->time[k + 1]) - middle);
    }
    return (fit){energy / dt, last - first > 1 ? 12 * moment / (dt * dt * dt) : 0};
}

/* Most heat that the fit is ever ahead of or behind the samples within the step, J. */
static double off_by(const mbl_channels *c, size_t first, size_t last, fit f)
{
    double t0 = c->time[first];
    double dt = c->time[last] - t0;
    double sum = 0;
    double worst = 0;
    for (size_t k = first; k < last; k++) {
        double t = c->time[k + 1] - t0;
        sum += c->power[k] * (c->time[k + 1] - c->time[k]);
        double fitted = t * (f.mean + 0.5 * f.slope * (t - dt));
        worst = fmax(worst, fabs(sum - fitted));
    }
    return worst;
}

/* Samples until the brakes go on or off, from `first` on. */
static size_t event_after(const mbl_channels *c, size_t first)
{
    bool on = c->power[first] > 0;
    size_t k = first + 1;
    while (k < c->n && (c->power[k] > 0) == on)
        k++;
    return k;
}

static size_t longest(const rule *r, bool on, size_t since)
{
    if (on && since < r->contact)
        return 1;
    double share = on ? r->braking : r->coasting;
    size_t most = on ? r->braking_most : r->coasting_most;
    size_t n = 1 + (size_t)(share * (double)since);
    return n < most ? n : most;
}

/* Marks macro steps: at most `longest` seconds, and a new one at every event. */
static void mark(mbl_stride *s, size_t n, double most)
{
    size_t first = 0;
    while (first < n) {
        size_t last = first + 1;
        double dt = s[first].dt;
        bool on = s[first].power > 0;
        while (last < n && (s[last].power > 0) == on && dt + s[last].dt <= most * (1 + 1e-9))
            dt += s[last++].dt;
        s[first].macro_dt = dt;
        s[first].macro_v1 = s[last - 1].v1;
        first = last;
    }
}

double mbl_timeline_skin(const mbl_model *m)
{
    const double c = 500; /* J/kgK of warm iron: a scale, not a law */
    double least = INFINITY;
    for (int k = 0; k < m->ncontacts; k++) {
        const mbl_contact *x = &m->contact[k];
        /* a pad takes the smaller part of the heat, but thin ones take little to warm */
        double to_pad = x->face.k_pad / (x->face.k_pad + x->face.k_rotor);
        least = fmin(least, c * m->node[x->rotor].scale);
        least = fmin(least, m->node[x->pad].scale / to_pad);
    }
    return least;
}

size_t mbl_timeline_make(const mbl_channels *fine, mbl_mode mode, double macro, double skin,
                         mbl_stride *out)
{
    const rule *r = &rules[mode];
    double most = fmin(macro, r->macro);
    /* about a third of the braking power of the car goes to the wheel of one axle's face */
    double rough = 3 * skin * r->rough;
    size_t n = 0;
    size_t k = 0;
    while (k < fine->n) {
        size_t event = event_after(fine, k);
        size_t start = k;
        bool on = fine->power[k] > 0;
        while (k < event) {
            size_t last = k + longest(r, on, k - start);
            last = last < event ? last : event;
            while (last > k + 1 && fine->time[last] - fine->time[k] > most)
                last--;
            fit f = fit_of(fine, k, last);
            while (on && last > k + 1 && off_by(fine, k, last, f) > rough) {
                last--;
                f = fit_of(fine, k, last);
            }
            out[n++] = (mbl_stride){.dt = fine->time[last] - fine->time[k],
                                    .v0 = fine->speed[k],
                                    .v1 = fine->speed[last],
                                    .power = f.mean,
                                    .slope = f.slope};
            k = last;
        }
    }
    mark(out, n, most);
    return n;
}
