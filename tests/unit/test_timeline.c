/* SPDX-License-Identifier: MIT */
/* Timelines: what their steps keep of the samples, where they end, and who shares them. */
#include "support/coupe.h"
#include "support/strides.h"
#include "support/test.h"

enum { MOST = 1600 };

static const double sample = MBL_TIMELINE_SAMPLE;

/* What docs/model.md states of each mode. */
typedef struct rule {
    mbl_mode mode;
    double face, bow, deep, rough, warms; /* K */
    double slips, ramp;
    size_t contact;
    double longest, bends;            /* s, m/s */
    double swing, gains, veer, macro; /* K, m/s, m/s, s */
    double apart, stretch, grow;      /* s, 1, 1 */
} rule;
static const rule rules[] = {
    {MBL_MODE_DEFAULT, 0.16, 0.2, 0.04, 0.35, 13, 0.042, 1.0, 1, 2.0, 1.0, 60, 30, 1.0, 2.0, 0, 1.2,
     1},
    {MBL_MODE_FINE, 0.05, 0.08, 0.008, 0.15, 6, 0.018, 0.7, 1, 1.0, 0.6, 30, 12, 0.6, 1.0, 0, 1, 1},
    {MBL_MODE_SCREENING, 3, 10, 1, 10, 120, 0.25, 6, 1, 4, 5, 200, 100, 5, 4, 0.2, 2.5, 10},
};
enum { MODES = sizeof rules / sizeof rules[0] };

/* Seconds in which the quickest pad's face of a kin follows what it rubs on, at a hard stop. */
static double quickness(const mbl_kin *kin)
{
    return mbl_kin_quick(kin, 10400);
}

/* The same for a kin: closer for a pad that is thinner than those the table is for. */
static rule rule_of(size_t mode, const mbl_kin *kin)
{
    double calm = fmin(fmax(quickness(kin) / 0.17, 0.2), 1);
    rule r = rules[mode];
    r.warms = fmin(r.warms, r.slips / mbl_kin_steep(kin));
    r.face *= calm * calm;
    r.bow *= calm * calm;
    r.deep *= calm * calm;
    r.rough *= calm * calm;
    r.warms *= calm * calm;
    r.ramp *= calm * calm;
    r.macro *= calm;
    return r;
}

/* Longest step `t` seconds after a lap began, and after the brakes went on or off. */
static double grown(const rule *r, const mbl_kin *kin, double t)
{
    return r->grow * (0.2 * quickness(kin) + 0.3 * t);
}

static double after_event(const rule *r, const mbl_kin *kin, double t)
{
    return r->grow * (quickness(kin) + 0.6 * t);
}

static double longest_macro(const rule *r, const mbl_kin *kin)
{
    return fmin(r->macro, r->stretch * mbl_kin_macro(kin));
}

/* ---- kin and cuts ---- */

static mbl_kin kin_of(const mbl_car *car)
{
    mbl_error err = {0};
    mbl_network net;
    mbl_model *m = NULL;
    mbl_kin kin;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_ok(mbl_corner_build(&net, car, 300, 101325, NULL, &err), err);
    assert_ok(mbl_model_make(&net, 300, &m, &err), err);
    mbl_network_free(&net);
    mbl_kin_of(m, &kin);
    mbl_model_drop(m);
    return kin;
}

/* The coupe, and as if a node of its own let macro steps be no longer than 1.2^power seconds. */
static mbl_kin coupe_kin(int power)
{
    mbl_car car = test_coupe();
    mbl_kin kin = kin_of(&car);
    short *macro = &kin.v[MBL_KIN_NUMBERS - 1];
    *macro = (short)(power < *macro ? power : *macro);
    assert_close(mbl_kin_macro(&kin), pow(1.2, *macro), 1e-12);
    return kin;
}
enum { FREE = 100 };

/* Cuts with room of their own, and scratch that holds rubbish. */
typedef struct planned {
    mbl_cuts cuts;
    unsigned at[MOST + 1];
    double *scratch;
} planned;

static void plan(const mbl_channels *c, mbl_mode mode, const mbl_kin *kin, planned *p)
{
    size_t size = mbl_timeline_scratch(c->n);
    p->scratch = malloc((size + 1) * sizeof *p->scratch);
    assert_non_null(p->scratch);
    memset(p->scratch, 0xA5, (size + 1) * sizeof *p->scratch);
    memset(p->at, 0xA5, sizeof p->at);
    p->cuts = (mbl_cuts){.at = p->at};
    const double behind = p->scratch[size];
    mbl_timeline_plan(c, mode, kin, p->scratch, &p->cuts);
    assert_memory_equal(&p->scratch[size], &behind, sizeof behind);
}

static bool fit(strides *s, const planned *p)
{
    bool fits = mbl_timeline_fit(&s->fine, &p->cuts, p->scratch, s->step);
    s->n = p->cuts.n;
    return fits;
}

static void cut(strides *s, mbl_mode mode, const mbl_kin *kin)
{
    planned p;
    plan(&s->fine, mode, kin, &p);
    assert_true(fit(s, &p));
    free(p.scratch);
}

/* A drive drawn at random: on and off for 0.02 to 8 s at a time, smooth or with noise. */
static void draw(uint64_t seed, double noise, strides *s)
{
    random_source r = {seed};
    strides_make(MOST, s);
    double v = 50;
    bool on = seed % 2 == 0;
    while (s->fine.n + 330 < MOST) {
        double dt = random_between(&r, 0, 1) < 0.3 ? sample : random_between(&r, 0.02, 8);
        double to = random_between(&r, 5, 60);
        strides_add(s, dt, v, to, on ? random_between(&r, 1e3, 6e5) : 0);
        v = to;
        on = !on;
    }
    strides_noise(s, noise, seed + 100);
}

/* First sample of each stride, and the end of the last. */
static void places(const strides *s, size_t at[MOST + 1])
{
    double t = 0;
    size_t k = 0;
    for (size_t i = 0; i <= s->n; i++) {
        while (k < s->fine.n && s->fine.time[k] < t - 1e-6)
            k++;
        assert_near(s->fine.time[k], t, 1e-9);
        at[i] = k;
        t += i < s->n ? s->step[i].dt : 0;
    }
    assert_int_equal(at[0], 0);
    assert_int_equal(at[s->n], s->fine.n);
}

static bool on_at(const strides *s, size_t k)
{
    return s->fine.power[k] > 0;
}

typedef void check_drive(const strides *s, const rule *r, const mbl_kin *kin);

/* Every mode on drives smooth and rough. */
static void each_drive(check_drive *check)
{
    static const int macros[] = {FREE, -5, -9};
    for (uint64_t seed = 1; seed <= 12; seed++) {
        strides s;
        mbl_kin kin = coupe_kin(macros[seed % 3]);
        draw(seed, seed % 4 == 0 ? 0.4 : 0, &s);
        for (size_t m = 0; m < MODES; m++) {
            rule r = rule_of(m, &kin);
            cut(&s, r.mode, &kin);
            check(&s, &r, &kin);
        }
        strides_free(&s);
    }
}

/* ---- what steps keep ---- */

static void check_sums(const strides *s, const rule *r, const mbl_kin *kin)
{
    (void)r;
    (void)kin;
    size_t at[MOST + 1];
    const mbl_channels *c = &s->fine;
    places(s, at);
    assert_true(s->n <= c->n);
    double duration = 0;
    for (size_t i = 0; i < s->n; i++) {
        const mbl_stride *x = &s->step[i];
        double start = c->time[at[i]];
        double middle = start + 0.5 * x->dt;
        double energy = 0;
        double moment = 0;
        for (size_t k = at[i]; k < at[i + 1]; k++) {
            double dt = c->time[k + 1] - c->time[k];
            energy += c->power[k] * dt;
            moment += c->power[k] * dt * (0.5 * (c->time[k] + c->time[k + 1]) - middle);
        }
        duration += x->dt;
        assert_near(x->v0, c->speed[at[i]], 0);
        assert_near(x->v1, c->speed[at[i + 1]], 0);
        /* sums run through the lap: their rounding is that of all of it */
        double lap = s->fine.time[s->fine.n] * 6e5;
        assert_near(x->power * x->dt, energy, 1e-14 * lap);
        /* the moment of a line about its middle: slope x dt^3 / 12; one sample has none */
        if (at[i + 1] - at[i] > 1)
            assert_near(x->slope * x->dt * x->dt * x->dt / 12, moment, 1e-14 * lap * start);
        else
            assert_near(x->slope, 0, 0);
    }
    assert_near(duration, c->time[c->n], 1e-10);
}

static void steps_keep_energy_and_first_moment_of_their_samples(void **state)
{
    (void)state;
    each_drive(check_sums);
}

static void check_events(const strides *s, const rule *r, const mbl_kin *kin)
{
    (void)r;
    (void)kin;
    size_t at[MOST + 1];
    places(s, at);
    double braked = 0;
    for (size_t i = 0; i < s->n; i++) {
        for (size_t k = at[i]; k < at[i + 1]; k++)
            assert_int_equal(on_at(s, k), on_at(s, at[i]));
        assert_int_equal(s->step[i].power > 0, on_at(s, at[i]));
        braked += s->step[i].power * s->step[i].dt;
    }
    assert_close(braked, strides_energy(s), 1e-12);
}

static void steps_end_where_the_brakes_go_on_or_off(void **state)
{
    (void)state;
    each_drive(check_events);
}

/* ---- how long they are ---- */

/* m/s by which the speed of the samples leaves the straight line between two of them. */
static double wander(const strides *s, size_t a, size_t b)
{
    const mbl_channels *c = &s->fine;
    double most = 0;
    for (size_t k = a + 1; k < b; k++) {
        double u = (c->time[k] - c->time[a]) / (c->time[b] - c->time[a]);
        double straight = c->speed[a] + u * (c->speed[b] - c->speed[a]);
        most = fmax(most, fabs(c->speed[k] - straight));
    }
    return most;
}

static void check_lengths(const strides *s, const rule *r, const mbl_kin *kin)
{
    size_t at[MOST + 1];
    places(s, at);
    double longest = fmin(r->longest, longest_macro(r, kin)) * (1 + 1e-6);
    size_t event = 0;
    size_t joined = 0;
    for (size_t i = 0; i < s->n; i++) {
        if (i > 0 && on_at(s, at[i]) != on_at(s, at[i - 1]))
            event = at[i];
        const mbl_stride *x = &s->step[i];
        if (at[i + 1] - at[i] == 1)
            continue;
        joined++;
        assert_true(x->dt <= longest);
        double since = s->fine.time[at[i]] - s->fine.time[event];
        assert_true(x->dt <= after_event(r, kin, since) * (1 + 1e-6));
        /* where it coasts, it is asked every 0.4 s at least */
        double between = on_at(s, at[i]) ? 1e-9 : 0.5;
        assert_true(wander(s, at[i], at[i + 1]) <= r->bends + between);
        if (!on_at(s, at[i]))
            continue;
        assert_true(at[i] - event >= r->contact);
        assert_true(fabs(x->slope) * x->dt <= x->power * r->ramp * (1 + 1e-9));
    }
    assert_true(joined > (r->mode == MBL_MODE_SCREENING ? 3 : 10));
}

static void no_step_is_longer_than_its_rules_allow(void **state)
{
    (void)state;
    each_drive(check_lengths);
}

/* The pilot over single samples, state before each. */
static void pilot_drives(const strides *s, const mbl_kin *kin, mbl_pilot_state T[MOST + 1])
{
    const mbl_channels *c = &s->fine;
    mbl_pilot p;
    mbl_pilot_make(kin, &p);
    /* a stint under way: docs/model.md */
    static const double warm[MBL_PLACES] = {150, 150, 150, 150, 150, 100, 50, 0, 0};
    for (int n = 0; n < MBL_PLACES; n++)
        T[0].T[n] = (mbl_pair){warm[n], warm[n]};
    for (size_t k = 0; k < c->n; k++)
        mbl_pilot_step(&p, c->time[k + 1] - c->time[k], 0.5 * (c->speed[k] + c->speed[k + 1]),
                       c->power[k], 0, &T[k], &T[k + 1]);
}

static bool is_face(int place)
{
    return place == MBL_PLACE_FACE || place == MBL_PLACE_PAD_FACE;
}

/* Most heat that the line of a step is ahead of or behind its samples, J. */
static double off_by(const strides *s, size_t i, size_t first, size_t last)
{
    const mbl_channels *c = &s->fine;
    const mbl_stride *x = &s->step[i];
    double in = 0;
    double worst = 0;
    for (size_t k = first; k < last; k++) {
        in += c->power[k] * (c->time[k + 1] - c->time[k]);
        double t = c->time[k + 1] - c->time[first];
        /* integral of power + slope (t - dt / 2) */
        double line = x->power * t + x->slope * 0.5 * (t * t - x->dt * t);
        worst = fmax(worst, fabs(line - in));
    }
    return worst;
}

/* J of the car's braking that move its quickest face by a kelvin, shared as between two slabs. */
static double quickest(const mbl_kin *kin)
{
    mbl_pilot p;
    double least = INFINITY;
    mbl_pilot_make(kin, &p);
    for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
        double rotor = p.share[c] / (1 + p.pad_layer[c] / p.rotor_layer[c]);
        double pad = p.share[c] - rotor;
        least = fmin(least, fmin(p.C[MBL_PLACE_FACE][c] / rotor, p.C[MBL_PLACE_PAD_FACE][c] / pad));
    }
    return least;
}

static void check_lines(const strides *s, const rule *r, const mbl_kin *kin)
{
    size_t at[MOST + 1];
    places(s, at);
    for (size_t i = 0; i < s->n; i++) {
        if (at[i + 1] - at[i] > 1)
            assert_true(off_by(s, i, at[i], at[i + 1]) <= quickest(kin) * r->rough * (1 + 1e-9));
    }
}

static void the_line_of_a_step_is_near_its_samples(void **state)
{
    (void)state;
    each_drive(check_lines);
}

/* Where a place turns within a step, it turns by no more than a peak may be missed. Where it coasts
 * the planner looks in longer steps. */
static void check_turns(const strides *s, const rule *r, const mbl_kin *kin)
{
    static mbl_pilot_state T[MOST + 1];
    size_t at[MOST + 1];
    places(s, at);
    pilot_drives(s, kin, T);
    for (size_t i = 0; i < s->n; i++) {
        double hair = on_at(s, at[i]) ? 0.01 : 0.05;
        for (int n = 0; n < MBL_PLACES; n++) {
            for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
                double ends = fmax(T[at[i]].T[n][c], T[at[i + 1]].T[n][c]);
                double top = ends;
                for (size_t k = at[i]; k <= at[i + 1]; k++)
                    top = fmax(top, T[k].T[n][c]);
                assert_true(top - ends <= r->bow + hair);
            }
        }
    }
}

static void no_peak_within_a_step_is_missed_by_more_than_twice_its_bow(void **state)
{
    (void)state;
    each_drive(check_turns);
}

/* A step is as good as the samples in it, from where these bring the pilot. Samples without brakes
 * are taken by fours there, which is 0.02 K at most. */
static void check_errors(const strides *s, const rule *r, const mbl_kin *kin)
{
    static mbl_pilot_state T[MOST + 1];
    const double hair = 0.02;
    size_t at[MOST + 1];
    mbl_pilot p;
    mbl_pilot_make(kin, &p);
    places(s, at);
    pilot_drives(s, kin, T);
    for (size_t i = 0; i < s->n; i++) {
        const mbl_stride *x = &s->step[i];
        const mbl_pilot_state *end = &T[at[i + 1]];
        mbl_pilot_state one;
        if (at[i + 1] - at[i] == 1)
            continue;
        mbl_pilot_step(&p, x->dt, 0.5 * (x->v0 + x->v1), x->power, x->slope, &T[at[i]], &one);
        for (int c = 0; c < MBL_STRIDE_CORNERS; c++) {
            for (int n = 0; n < MBL_PLACES; n++)
                assert_near(one.T[n][c], end->T[n][c], (is_face(n) ? r->face : r->deep) + hair);
            double rise = end->T[MBL_PLACE_PAD_FACE][c] - T[at[i]].T[MBL_PLACE_PAD_FACE][c];
            assert_true(!on_at(s, at[i]) || fabs(rise) <= r->warms + hair);
        }
    }
}

static void a_step_is_as_good_as_the_samples_in_it_for_the_pilot(void **state)
{
    (void)state;
    each_drive(check_errors);
}

/* Peaks are those at the ends of steps, so one ends where a face is hottest. */
static void check_peaks(const strides *s, const rule *r, const mbl_kin *kin)
{
    static mbl_pilot_state T[MOST + 1];
    size_t at[MOST + 1];
    places(s, at);
    pilot_drives(s, kin, T);
    size_t i = 0;
    while (i < s->n) {
        size_t last = i + 1;
        while (last < s->n && on_at(s, at[last]) == on_at(s, at[i]))
            last++;
        for (int k = 0; k < 2 * MBL_STRIDE_CORNERS && on_at(s, at[i]); k++) {
            int place = k < MBL_STRIDE_CORNERS ? MBL_PLACE_FACE : MBL_PLACE_PAD_FACE;
            int c = k % MBL_STRIDE_CORNERS;
            double hottest = -INFINITY;
            double seen = -INFINITY;
            size_t when = at[i];
            for (size_t j = at[i]; j <= at[last]; j++) {
                if (T[j].T[place][c] > hottest)
                    when = j;
                hottest = fmax(hottest, T[j].T[place][c]);
            }
            double nearest = INFINITY; /* s from there to where a step ends */
            for (size_t j = i; j <= last; j++) {
                seen = fmax(seen, T[at[j]].T[place][c]);
                nearest = fmin(nearest, fabs(s->fine.time[at[j]] - s->fine.time[when]));
            }
            if (r->apart > 0)
                assert_true(nearest <= r->apart + 1e-9);
            else
                assert_near(seen, hottest, 0.01);
        }
        i = last;
    }
}

static void a_step_ends_where_a_face_is_hottest(void **state)
{
    (void)state;
    each_drive(check_peaks);
}

static size_t steps_with(const strides *s, bool on)
{
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++)
        n += (s->step[i].power > 0) == on;
    return n;
}

static void noise_shortens_the_steps_of_braking_and_no_others(void **state)
{
    (void)state;
    mbl_kin kin = coupe_kin(FREE);
    for (size_t m = 0; m < MODES; m++) {
        size_t before = 0;
        size_t coasting = 0;
        for (int i = 0; i < 4; i++) {
            strides s;
            strides_make(MOST, &s);
            for (int stop = 0; stop < 3; stop++) {
                strides_add(&s, 5, 20, 60, 0);
                strides_add(&s, 4, 60, 20, 4e5);
            }
            strides_noise(&s, 0.2 * i, 3);
            cut(&s, rules[m].mode, &kin);
            size_t braking = steps_with(&s, true);
            printf("%s, noise of %.1f: %zu braking, %zu coasting\n", mbl_mode_word(rules[m].mode),
                   0.2 * i, braking, steps_with(&s, false));
            assert_true(braking > before);
            before = braking;
            coasting = i == 0 ? steps_with(&s, false) : coasting;
            assert_near((double)steps_with(&s, false), (double)coasting, 0.1 * (double)coasting);
            strides_free(&s);
        }
    }
}

static void fine_is_finer_than_default(void **state)
{
    (void)state;
    mbl_kin kin = coupe_kin(FREE);
    for (uint64_t seed = 1; seed <= 12; seed++) {
        strides s;
        draw(seed, 0, &s);
        cut(&s, MBL_MODE_DEFAULT, &kin);
        size_t n = s.n;
        cut(&s, MBL_MODE_FINE, &kin);
        assert_true((double)s.n > 1.3 * (double)n);
        assert_true((double)n < 0.6 * (double)s.fine.n);
        strides_free(&s);
    }
}

/* ---- macro steps ---- */

/* Last step of the macro step that begins with step i, whose length and end the first one has. */
static size_t last_of_macro(const strides *s, size_t i)
{
    double sum = s->step[i].dt;
    size_t last = i;
    assert_int_equal(s->step[i].afresh, i == 0);
    while (last + 1 < s->n && s->step[last + 1].macro_dt <= 0) {
        last++;
        assert_near(s->step[last].macro_dt, 0, 0);
        assert_false(s->step[last].afresh);
        sum += s->step[last].dt;
    }
    assert_near(s->step[i].macro_dt, sum, 1e-12);
    assert_near(s->step[i].macro_v1, s->step[last].v1, 0);
    return last;
}

/* K that the pilot's cheek moves by between two samples, at the axle where it moves most. */
static double swing(const mbl_pilot_state T[MOST + 1], size_t a, size_t b)
{
    mbl_pair by = T[b].T[MBL_PLACE_LAYER3] - T[a].T[MBL_PLACE_LAYER3];
    return fmax(fabs(by[0]), fabs(by[1]));
}

static void check_macros(const strides *s, const rule *r, const mbl_kin *kin)
{
    static mbl_pilot_state T[MOST + 1];
    size_t at[MOST + 1];
    places(s, at);
    pilot_drives(s, kin, T);
    double most = longest_macro(r, kin);
    const double hair = 0.02;
    for (size_t i = 0; i < s->n;) {
        size_t last = last_of_macro(s, i);
        double length = s->step[i].macro_dt;
        assert_true(length > 0 && length <= most * (1 + 1e-6));
        for (size_t k = i; k <= last; k++)
            assert_int_equal(on_at(s, at[k]), on_at(s, at[i]));
        double by = s->fine.speed[at[last + 1]] - s->fine.speed[at[i]];
        double between = on_at(s, at[i]) ? 1e-9 : 0.5; /* as for steps */
        if (last > i) {
            assert_true(swing(T, at[i], at[last + 1]) <= r->swing + hair);
            assert_true(fabs(by) <= r->gains);
            assert_true(wander(s, at[i], at[last + 1]) <= r->veer + between);
        }
        /* one more step would not have gone in */
        if (last + 1 < s->n && on_at(s, at[last + 1]) == on_at(s, at[i])) {
            double further = s->fine.speed[at[last + 2]] - s->fine.speed[at[i]];
            assert_true(length + s->step[last + 1].dt > most ||
                        swing(T, at[i], at[last + 2]) > r->swing - hair ||
                        fabs(further) > r->gains || wander(s, at[i], at[last + 2]) > r->veer);
        }
        i = last + 1;
    }
}

/* With cuts of other samples the brakes may go on and off within one. */
static void check_macro_sums(const strides *s)
{
    for (size_t i = 0; i < s->n;)
        i = last_of_macro(s, i) + 1;
}

static void macro_steps_add_up_and_end_where_the_brakes_go_on_or_off(void **state)
{
    (void)state;
    each_drive(check_macros);
}

/* ---- who shares cuts ---- */

static void cars_of_one_kin_have_the_same_cuts_to_the_bit(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    mbl_kin kin = kin_of(&car);
    car.front.airflow = 0.8;
    car.rear.caliper.mass = 4;
    car.front.pad.friction.y[0] *= 1.1; /* cold: a pilot takes it at 650 K */
    mbl_kin other = kin_of(&car);
    assert_memory_equal(&kin, &other, sizeof kin);
    car.front.rotor.ring_mass *= 1.25;
    mbl_kin stranger = kin_of(&car);
    assert_memory_not_equal(&kin, &stranger, sizeof kin);
    size_t strange = 0;
    for (uint64_t seed = 1; seed <= 6; seed++) {
        strides s;
        planned a;
        planned b;
        planned c;
        draw(seed, 0.2, &s);
        plan(&s.fine, MBL_MODE_DEFAULT, &kin, &a);
        plan(&s.fine, MBL_MODE_DEFAULT, &other, &b);
        plan(&s.fine, MBL_MODE_DEFAULT, &stranger, &c);
        assert_int_equal(a.cuts.n, b.cuts.n);
        assert_memory_equal(a.at, b.at, sizeof a.at);
        strange += memcmp(a.at, c.at, sizeof a.at) != 0;
        free(a.scratch);
        free(b.scratch);
        free(c.scratch);
        strides_free(&s);
    }
    assert_true(strange > 0);
}

/* Three pulls and stops. */
static void lap(strides *s)
{
    strides_make(MOST, s);
    for (int stop = 0; stop < 3; stop++) {
        strides_add(s, 5, 20, 60, 0);
        strides_add(s, 4, 60, 20, 4e5);
    }
}

static void cuts_serve_a_lighter_car_whose_brakes_go_on_where_they_did(void **state)
{
    (void)state;
    mbl_kin kin = coupe_kin(FREE);
    for (size_t m = 0; m < MODES; m++) {
        strides s;
        planned p;
        lap(&s);
        plan(&s.fine, rules[m].mode, &kin, &p);
        for (size_t k = 0; k < s.fine.n; k++)
            s.fine.power[k] *= 0.97;
        assert_true(fit(&s, &p));
        rule r = rule_of(m, &kin);
        check_sums(&s, &r, &kin);
        check_events(&s, &r, &kin);
        check_macro_sums(&s);
        free(p.scratch);
        strides_free(&s);
    }
}

/* Sample k with its brakes the other way round. */
static bool fits_turned(strides *s, size_t k, const mbl_kin *kin, const planned *p)
{
    double was = s->fine.power[k];
    s->fine.power[k] = was > 0 ? 0 : 2e4;
    bool fits = fit(s, p);
    if (fits) {
        check_sums(s, &rules[0], kin);
        check_events(s, &rules[0], kin);
        check_macro_sums(s);
    }
    s->fine.power[k] = was;
    return fits;
}

/* Cuts may be between, at either end of it; or within a step, which then is half braked. */
static void cuts_are_refused_when_the_brakes_go_on_or_off_within_a_step(void **state)
{
    (void)state;
    strides s;
    planned p;
    mbl_kin kin = coupe_kin(FREE);
    size_t refused = 0;
    lap(&s);
    plan(&s.fine, MBL_MODE_DEFAULT, &kin, &p);
    for (size_t i = 0; i < p.cuts.n; i++) {
        size_t first = p.at[i] & ~MBL_CUT_MACRO;
        size_t last = p.at[i + 1] & ~MBL_CUT_MACRO;
        for (size_t k = first; k < last; k++) {
            bool alone = last - first == 1;
            assert_int_equal(fits_turned(&s, k, &kin, &p), alone);
            refused += !alone;
        }
    }
    assert_true(refused > 500 && refused < s.fine.n);
    assert_true(fit(&s, &p)); /* as they were */
    free(p.scratch);
    strides_free(&s);
}

/* ---- legs of one kind, and of next to nothing ---- */

static void a_leg_may_be_one_sample_or_none(void **state)
{
    (void)state;
    mbl_kin kin = coupe_kin(FREE);
    for (size_t m = 0; m < MODES; m++) {
        for (int on = 0; on < 2; on++) {
            strides s;
            strides_make(MOST, &s);
            cut(&s, rules[m].mode, &kin);
            assert_int_equal(s.n, 0);
            strides_add(&s, 0.015, 40, 39, on ? 3e5 : 0);
            cut(&s, rules[m].mode, &kin);
            assert_int_equal(s.n, 1);
            assert_near(s.step[0].dt, 0.015, 1e-15);
            assert_near(s.step[0].power, on ? 3e5 : 0, on ? 1e-9 : 0);
            assert_near(s.step[0].macro_dt, 0.015, 1e-15);
            assert_near(s.step[0].macro_v1, 39, 0);
            strides_add(&s, 0.015, 39, 38, on ? 3e5 : 0);
            cut(&s, rules[m].mode, &kin);
            /* two are one step, but as the brakes go on */
            assert_int_equal(s.n, on ? 2 : 1);
            strides_free(&s);
        }
    }
}

/* Nothing is off where nothing happens: steps of the longest that is allowed, in samples that come
 * together after the first half second, in the end by a fifth of that. */
static void a_leg_without_brakes_goes_by_the_longest_steps(void **state)
{
    (void)state;
    static const int macros[] = {FREE, -5};
    for (size_t m = 0; m < 2 * MODES; m++) {
        mbl_kin kin = coupe_kin(macros[m / MODES]);
        rule r = rule_of(m % MODES, &kin);
        strides s;
        strides_make(MOST, &s);
        strides_add(&s, 20, 20, 60, 0);
        cut(&s, r.mode, &kin);
        double t = 0;
        for (size_t i = 0; i < s.n; i++) {
            double macro = longest_macro(&r, &kin);
            double most =
                fmin(fmin(grown(&r, &kin, t), after_event(&r, &kin, t)), fmin(r.longest, macro));
            t += s.step[i].dt;
            assert_true(s.step[i].dt < most + 1e-9);
            assert_true(i + 1 == s.n || s.step[i].dt > most - 0.2 * macro - 1e-9);
            assert_near(s.step[i].power, 0, 0);
            assert_near(s.step[i].slope, 0, 0);
        }
        strides_free(&s);
    }
}

static void a_leg_that_brakes_all_the_way_is_cut_all_the_same(void **state)
{
    (void)state;
    mbl_kin kin = coupe_kin(FREE);
    for (size_t m = 0; m < MODES; m++) {
        const rule scaled = rule_of(m, &kin);
        const rule *r = &scaled;
        strides s;
        strides_make(MOST, &s);
        strides_add(&s, 20, 40, 40, 8e4);
        cut(&s, r->mode, &kin);
        for (size_t i = 0; i < r->contact; i++)
            assert_near(s.step[i].dt, sample, 1e-9);
        assert_true(s.n < s.fine.n / 8);
        assert_true(s.step[s.n - 2].dt > 4 * sample);
        check_sums(&s, r, &kin);
        check_events(&s, r, &kin);
        check_lengths(&s, r, &kin);
        check_errors(&s, r, &kin);
        check_macros(&s, r, &kin);
        strides_free(&s);
    }
}

/* On and off at every sample, at rest with the brakes held, uneven samples, far too much power. */
static void legs_of_no_sense_are_cut_all_the_same(void **state)
{
    (void)state;
    for (size_t m = 0; m < MODES; m++) {
        mbl_kin kin = coupe_kin(FREE);
        for (int which = 0; which < 4; which++) {
            strides s;
            strides_make(MOST, &s);
            for (int k = 0; k < 300; k++) {
                double dt = which == 2 ? 1e-7 * pow(10, k % 6) : sample;
                double v = which == 1 ? 0 : 30;
                double power = which == 0 ? (k % 2) * 1e5 : which == 3 ? 1e12 : 1e5;
                strides_add(&s, dt, v, v, power);
            }
            cut(&s, rules[m].mode, &kin);
            double duration = 0;
            double energy = 0;
            for (size_t i = 0; i < s.n; i++) {
                duration += s.step[i].dt;
                energy += s.step[i].power * s.step[i].dt;
                assert_true(s.step[i].dt > 0 && isfinite(s.step[i].slope));
            }
            assert_close(duration, s.fine.time[s.fine.n], 1e-12);
            assert_close(energy, strides_energy(&s), 1e-12);
            if (which == 0)
                assert_int_equal(s.n, s.fine.n);
            strides_free(&s);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_keep_energy_and_first_moment_of_their_samples),
        cmocka_unit_test(steps_end_where_the_brakes_go_on_or_off),
        cmocka_unit_test(no_step_is_longer_than_its_rules_allow),
        cmocka_unit_test(the_line_of_a_step_is_near_its_samples),
        cmocka_unit_test(no_peak_within_a_step_is_missed_by_more_than_twice_its_bow),
        cmocka_unit_test(a_step_is_as_good_as_the_samples_in_it_for_the_pilot),
        cmocka_unit_test(a_step_ends_where_a_face_is_hottest),
        cmocka_unit_test(noise_shortens_the_steps_of_braking_and_no_others),
        cmocka_unit_test(fine_is_finer_than_default),
        cmocka_unit_test(macro_steps_add_up_and_end_where_the_brakes_go_on_or_off),
        cmocka_unit_test(cars_of_one_kin_have_the_same_cuts_to_the_bit),
        cmocka_unit_test(cuts_serve_a_lighter_car_whose_brakes_go_on_where_they_did),
        cmocka_unit_test(cuts_are_refused_when_the_brakes_go_on_or_off_within_a_step),
        cmocka_unit_test(a_leg_may_be_one_sample_or_none),
        cmocka_unit_test(a_leg_without_brakes_goes_by_the_longest_steps),
        cmocka_unit_test(a_leg_that_brakes_all_the_way_is_cut_all_the_same),
        cmocka_unit_test(legs_of_no_sense_are_cut_all_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
