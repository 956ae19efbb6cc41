/* SPDX-License-Identifier: MIT */
#include "drive/timeline_rule.h"

#include <math.h>
#include <string.h>

/* Sums over samples, so that any stretch of them is two differences. */
typedef struct sums {
    const mbl_channels *c;
    double *energy; /* (n + 1) J until a sample begins */
    double *moment; /* (n + 1) J s, about the start of the leg */
} sums;

static void add_up(const mbl_channels *c, double *scratch, sums *s)
{
    *s = (sums){c, scratch, scratch + c->n + 1};
    s->energy[0] = 0;
    s->moment[0] = 0;
    for (size_t k = 0; k < c->n; k++) {
        double e = c->power[k] * (c->time[k + 1] - c->time[k]);
        s->energy[k + 1] = s->energy[k] + e;
        s->moment[k + 1] = s->moment[k] + e * (0.5 * (c->time[k] + c->time[k + 1]));
    }
}

/* Power of samples [first, last) as a straight line: mean, and slope by the first moment. */
typedef struct fit {
    double mean, slope;
} fit;

static fit fit_of(const sums *s, size_t first, size_t last)
{
    const mbl_channels *c = s->c;
    double dt = c->time[last] - c->time[first];
    if (last - first == 1)
        return (fit){c->power[first], 0};
    double middle = 0.5 * (c->time[first] + c->time[last]);
    double energy = s->energy[last] - s->energy[first];
    double moment = s->moment[last] - s->moment[first] - middle * energy;
    return (fit){energy / dt, 12 * moment / (dt * dt * dt)};
}

/* Most heat that the fit is ever ahead of or behind the samples within the step, J. */
static double off_by(const sums *s, size_t first, size_t last, fit f)
{
    const mbl_channels *c = s->c;
    double dt = c->time[last] - c->time[first];
    double worst = 0;
    for (size_t k = first + 1; k < last; k++) {
        double t = c->time[k] - c->time[first];
        double fitted = t * (f.mean + 0.5 * f.slope * (t - dt));
        worst = fmax(worst, fabs(s->energy[k] - s->energy[first] - fitted));
    }
    return worst;
}

/* ---- the pilot's lap ---- */

/* Where the brakes are off and have been for a while, the pilot takes samples together: as many
 * seconds at once, in shares of the longest macro step. */
static double coasting(double since, double macro)
{
    double share = since < 0.5 ? 0 : since < 2 ? 0.05 : since < 5 ? 0.1 : 0.2;
    return share * macro;
}

/* A place where a step may end: where the pilot was. */
typedef struct station {
    unsigned at;  /* sample */
    bool forced;  /* a step has to end here: brakes on or off, a peak, the end */
    bool braking; /* in the stretch after it */
    mbl_pilot_state T;
} station;

typedef struct planner {
    mbl_timeline_rule rule;
    double tau; /* s in which the quickest pad's face follows its rotor */
    sums s;
    mbl_pilot pilot;
    double skin; /* J of the car's braking that move the quickest face by a kelvin */
    station *station;
    size_t n; /* last station */
} planner;

static double longest_macro(const planner *p)
{
    return fmin(p->rule.macro, p->rule.stretch * p->pilot.macro);
}

static double speed_between(const mbl_channels *c, size_t first, size_t last)
{
    return 0.5 * (c->speed[first] + c->speed[last]);
}

/*
 * K above pad body and plate that the pilot begins with: a stint under way. What a face moves by as
 * the brakes go on or off depends on how far the rotor stands above the pad, not on the power
 * alone.
 */
static void start_warm(mbl_pilot_state *s)
{
    const double rotor = 150;
    const double face = 100;
    const double body = 50;
    memset(s, 0, sizeof *s);
    for (int i = 0; i <= MBL_PLACE_FACE; i++)
        s->T[i] += rotor;
    s->T[MBL_PLACE_PAD_FACE] += face;
    s->T[MBL_PLACE_BODY1] += body;
}

static void pilot_drives(planner *p)
{
    const mbl_channels *c = p->s.c;
    size_t k = 0;
    size_t since = 0; /* the brakes went on or off */
    double macro = longest_macro(p);
    p->n = 0;
    memset(&p->station[0], 0, sizeof p->station[0]);
    start_warm(&p->station[0].T);
    while (k < c->n) {
        station *now = &p->station[p->n];
        bool on = c->power[k] > 0;
        bool event = k == 0 || (c->power[k - 1] > 0) != on;
        since = event ? k : since;
        now->at = (unsigned)k;
        now->braking = on;
        now->forced = event;
        size_t last = k + 1;
        const double hair = 1e-6;
        double together = on ? 0 : coasting(c->time[k] - c->time[since] + hair, macro) + hair;
        while (last < c->n && c->time[last + 1] - c->time[k] <= together && c->power[last] <= 0)
            last++;
        mbl_pilot_step(&p->pilot, c->time[last] - c->time[k], speed_between(c, k, last),
                       on ? c->power[k] : 0, 0, &now->T, &now[1].T);
        p->n++;
        k = last;
    }
    p->station[p->n].at = (unsigned)c->n;
    p->station[p->n].forced = true;
    p->station[p->n].braking = false;
}

/* Where a face of a corner is hottest between two stations. */
static size_t hottest(const planner *p, size_t first, size_t last, int face, int corner)
{
    size_t at = last;
    for (size_t i = first; i < last; i++) {
        if (p->station[i].T.T[face][corner] > p->station[at].T.T[face][corner])
            at = i;
    }
    return at;
}

/* A step ends where a face is hottest in each application of the brakes. */
static void force_peaks(planner *p)
{
    static const int faces[] = {MBL_PLACE_FACE, MBL_PLACE_PAD_FACE};
    const double *time = p->s.c->time;
    size_t first = 0;
    while (first < p->n) {
        size_t last = first + 1;
        while (last < p->n && p->station[last].braking == p->station[first].braking)
            last++;
        for (int f = 0; f < 2 && p->station[first].braking; f++) {
            for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
                size_t at = hottest(p, first, last, faces[f], c);
                size_t before = at; /* the last place before it where a step ends */
                while (before > first && !p->station[before].forced)
                    before--;
                double since = time[p->station[at].at] - time[p->station[before].at];
                if (before == first || since > p->rule.apart)
                    p->station[at].forced = true;
            }
        }
        first = last;
    }
}

/* Does a place turn between stations a and b, by more than a peak may be missed? */
static bool turns(const planner *p, size_t a, size_t b)
{
    for (int n = 0; n < MBL_PLACES; n++) {
        mbl_pair from = p->station[a].T.T[n];
        mbl_pair to = p->station[b].T.T[n];
        double front = (from[0] > to[0] ? from[0] : to[0]) + p->rule.bow;
        double rear = (from[1] > to[1] ? from[1] : to[1]) + p->rule.bow;
        for (size_t i = a + 1; i < b; i++) {
            mbl_pair T = p->station[i].T.T[n];
            if (T[0] > front || T[1] > rear)
                return true;
        }
    }
    return false;
}

/*
 * Is a face about to turn between stations a and b, or has it just? Where it does is another place
 * in another car. By the sample in the middle: of a parabola, the top lies within the step where
 * its ends differ by less than four times its bow, and within half a step of it where by less than
 * eight.
 */
static bool near_turn(const planner *p, size_t a, size_t b)
{
    static const int faces[] = {MBL_PLACE_FACE, MBL_PLACE_PAD_FACE};
    const station *from = &p->station[a];
    const station *mid = &p->station[(a + b) / 2];
    const station *to = &p->station[b];
    const double *time = p->s.c->time;
    double u = (time[mid->at] - time[from->at]) / (time[to->at] - time[from->at]);
    for (int f = 0; f < 2; f++) {
        mbl_pair rise = to->T.T[faces[f]] - from->T.T[faces[f]];
        mbl_pair bow = mid->T.T[faces[f]] - from->T.T[faces[f]] - u * rise;
        for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
            double most = fabs(bow[c]);
            if (most > p->rule.bow && fabs(rise[c]) < 8 * most)
                return true;
        }
    }
    return false;
}

/* Does the speed leave the straight line between two stations by more than `most` m/s? */
static bool veers(const planner *p, size_t a, size_t b, double most)
{
    const double *v = p->s.c->speed;
    const double *time = p->s.c->time;
    unsigned from = p->station[a].at;
    unsigned to = p->station[b].at;
    double rate = (v[to] - v[from]) / (time[to] - time[from]);
    for (size_t i = a + 1; i < b; i++) {
        unsigned at = p->station[i].at;
        if (fabs(v[at] - v[from] - rate * (time[at] - time[from])) > most)
            return true;
    }
    return false;
}

/* Is one step from station a to b as good as the pilot's? */
static bool good(planner *p, size_t a, size_t b)
{
    const mbl_channels *c = p->s.c;
    const station *from = &p->station[a];
    const station *to = &p->station[b];
    if (b == a + 1)
        return true;
    if (veers(p, a, b, p->rule.bends))
        return false;
    fit f = fit_of(&p->s, from->at, to->at);
    if (from->braking && off_by(&p->s, from->at, to->at, f) > p->skin * p->rule.rough)
        return false;
    double dt = c->time[to->at] - c->time[from->at];
    if (from->braking && fabs(f.slope) * dt > f.mean * p->rule.ramp)
        return false;
    if (turns(p, a, b) || (from->braking && near_turn(p, a, b)))
        return false;
    mbl_pilot_state end;
    mbl_pilot_step(&p->pilot, dt, speed_between(c, from->at, to->at), f.mean, f.slope, &from->T,
                   &end);
    mbl_pair rise = to->T.T[MBL_PLACE_PAD_FACE] - from->T.T[MBL_PLACE_PAD_FACE];
    if (from->braking && (fabs(rise[0]) > p->rule.warms || fabs(rise[1]) > p->rule.warms))
        return false;
    for (int i = 0; i < MBL_PLACES; i++) {
        bool face = i == MBL_PLACE_FACE || i == MBL_PLACE_PAD_FACE;
        double most = face ? p->rule.face : p->rule.deep;
        mbl_pair off = end.T[i] - to->T.T[i];
        if (fabs(off[0]) > most || fabs(off[1]) > most)
            return false;
    }
    return true;
}

/*
 * The last station that a step from `a` may reach whatever its error. A lap's steps grow from its
 * start: what it has worn off a pad is taken off there, and the pilot sees nothing of that. They
 * also grow from where the brakes went on or off, as another car's faces may move more than the
 * pilot's.
 */
static size_t reach_of(const planner *p, size_t a, size_t since)
{
    const double *time = p->s.c->time;
    double passed = time[p->station[a].at] - time[p->station[since].at];
    double grown = p->rule.grow * (0.2 * p->tau + 0.3 * (time[p->station[a].at] - time[0]));
    double after = p->rule.grow * (1.0 * p->tau + 0.6 * passed);
    double macro = longest_macro(p);
    double most = fmin(fmin(grown, after), fmin(p->rule.longest, macro));
    size_t b = a + 1;
    if (p->station[a].braking && p->station[a].at - p->station[since].at < p->rule.contact)
        return b;
    while (!p->station[b].forced &&
           time[p->station[b + 1].at] - time[p->station[a].at] <= most * (1 + 1e-9))
        b++;
    return b;
}

/* The longest good step from `a` of those tried, from the length of the one before. */
static size_t longest_from(planner *p, size_t a, size_t before, size_t reach)
{
    size_t b = a + before < reach ? a + before : reach;
    if (good(p, a, b)) {
        while (b < reach) {
            size_t more = b + 1 + (b - a) / 3;
            more = more < reach ? more : reach;
            if (!good(p, a, more))
                break;
            b = more;
        }
        return b;
    }
    while (b > a + 1) {
        b = a + 1 + 2 * (b - a - 1) / 3;
        if (good(p, a, b))
            break;
    }
    return b;
}

/* May a macro step go on from station a to b? Films go straight over it, in temperature too. */
static bool within_macro(const planner *p, size_t a, size_t b)
{
    const station *from = &p->station[a];
    const station *to = &p->station[b];
    const double *time = p->s.c->time;
    const double *v = p->s.c->speed;
    double longest = longest_macro(p);
    mbl_pair swing = to->T.T[MBL_PLACE_LAYER3] - from->T.T[MBL_PLACE_LAYER3];
    return time[to->at] - time[from->at] <= longest * (1 + 1e-9) &&
           fabs(swing[0]) <= p->rule.swing && fabs(swing[1]) <= p->rule.swing &&
           fabs(v[to->at] - v[from->at]) <= p->rule.gains && !veers(p, a, b, p->rule.veer);
}

/* J of braking of the whole car that warm the quickest face of a wheel by a kelvin. */
static double skin_of(const mbl_pilot *p)
{
    double least = INFINITY;
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        /* about as the heat is shared between layers: rotor by its side, pad by its side */
        double both = p->rotor_layer[c] + p->pad_layer[c];
        double rotor = p->rotor_layer[c] / both * p->share[c];
        double pad = p->pad_layer[c] / both * p->share[c];
        least = fmin(least, p->C[MBL_PLACE_FACE][c] / rotor);
        least = fmin(least, p->C[MBL_PLACE_PAD_FACE][c] / pad);
    }
    return least;
}

/* Stations lie behind the sums in the scratch. */
size_t mbl_timeline_scratch(size_t n)
{
    size_t stations = (n + 2) * sizeof(station) / sizeof(double) + 1;
    return 2 * (n + 1) + stations + 8;
}

static station *stations_in(double *scratch, size_t n)
{
    double *at = scratch + 2 * (n + 1);
    while ((size_t)at % _Alignof(station) != 0)
        at++;
    return (station *)(void *)at;
}

void mbl_timeline_plan(const mbl_channels *fine, mbl_mode mode, const mbl_kin *kin, double *scratch,
                       mbl_cuts *cuts)
{
    const double stop = 10400; /* N, a hard one of a car of middling mass */
    double tau = mbl_kin_quick(kin, stop);
    planner p = {.rule = mbl_timeline_rule_for(mode, tau, mbl_kin_steep(kin)),
                 .tau = tau,
                 .station = stations_in(scratch, fine->n)};
    add_up(fine, scratch, &p.s);
    mbl_pilot_make(kin, &p.pilot);
    p.skin = skin_of(&p.pilot);
    pilot_drives(&p);
    force_peaks(&p);
    size_t before = 1;
    size_t since = 0;
    size_t macro = 0;
    cuts->n = 0;
    for (size_t a = 0; a < p.n;) {
        bool event = a == 0 || p.station[a].braking != p.station[a - 1].braking;
        since = event ? a : since;
        before = event ? 1 : before;
        size_t b = longest_from(&p, a, before, reach_of(&p, a, since));
        before = b - a;
        bool begins = event || !within_macro(&p, macro, b);
        macro = begins ? a : macro;
        cuts->at[cuts->n++] = p.station[a].at | (begins ? MBL_CUT_MACRO : 0);
        a = b;
    }
    cuts->at[cuts->n] = p.station[p.n].at;
}

/* ---- strides ---- */

static double force(double power, double v0, double v1)
{
    double v = 0.5 * (v0 + v1);
    return power / (v > 0.5 ? v : 0.5);
}

/* Highest force of samples [first, last) over that of the stride they make. */
static double peak_of(const mbl_channels *c, size_t first, size_t last, const mbl_stride *s)
{
    double peak = 0;
    if (!(s->power > 0))
        return 1;
    for (size_t k = first; k < last; k++)
        peak = fmax(peak, force(c->power[k], c->speed[k], c->speed[k + 1]));
    return peak / force(s->power, s->v0, s->v1);
}

/* Length and end of each macro step, at its first stride. */
static void measure_macros(const mbl_cuts *cuts, mbl_stride *s)
{
    size_t first = 0;
    for (size_t i = 0; i < cuts->n; i++) {
        if (cuts->at[i] & MBL_CUT_MACRO)
            first = i;
        s[first].macro_dt += s[i].dt;
        s[first].macro_v1 = s[i].v1;
    }
    if (cuts->n > 0)
        s[0].afresh = true;
}

bool mbl_timeline_fit(const mbl_channels *fine, const mbl_cuts *cuts, double *scratch,
                      mbl_stride *out)
{
    sums s;
    add_up(fine, scratch, &s);
    for (size_t i = 0; i < cuts->n; i++) {
        size_t first = cuts->at[i] & ~MBL_CUT_MACRO;
        size_t last = cuts->at[i + 1] & ~MBL_CUT_MACRO;
        for (size_t k = first + 1; k < last; k++) {
            if ((fine->power[k] > 0) != (fine->power[first] > 0))
                return false;
        }
        fit f = fit_of(&s, first, last);
        out[i] = (mbl_stride){.dt = fine->time[last] - fine->time[first],
                              .v0 = fine->speed[first],
                              .v1 = fine->speed[last],
                              .power = f.mean,
                              .slope = f.slope};
        out[i].peak = peak_of(fine, first, last, &out[i]);
    }
    measure_macros(cuts, out);
    return true;
}
