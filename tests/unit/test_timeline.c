/* SPDX-License-Identifier: MIT */
/* Timelines: what their steps keep of the samples, and where they end. */
#include "support/coupe.h"
#include "support/strides.h"
#include "support/test.h"

enum { MOST = 1200 };

static const double sample = MBL_TIMELINE_SAMPLE;
static const double skin = 150; /* J/K */

/* What docs/model.md states of each mode: samples, shares of the time since, K, s. */
typedef struct rule {
    mbl_mode mode;
    size_t contact;
    double braking;
    size_t braking_most;
    double coasting;
    size_t coasting_most;
    double rough, macro;
} rule;
static const rule rules[] = {
    {MBL_MODE_DEFAULT, 3, 0.10, 5, 0.20, 16, 0.6, 0.5},
    {MBL_MODE_FINE, 6, 0.05, 2, 0.08, 8, 0.2, 0.25},
};
enum { MODES = sizeof rules / sizeof rules[0] };

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

/* Every mode on drives smooth and rough. */
static void each_drive(void (*check)(const strides *s, const rule *r, double macro))
{
    static const double macros[] = {1.0, 0.43, 0.2};
    for (uint64_t seed = 1; seed <= 12; seed++) {
        strides s;
        draw(seed, seed % 3 == 0 ? 0.4 : 0, &s);
        for (size_t m = 0; m < MODES; m++) {
            double macro = macros[seed % 3];
            s.n = mbl_timeline_make(&s.fine, rules[m].mode, macro, skin, s.step);
            check(&s, &rules[m], macro);
        }
        strides_free(&s);
    }
}

static void check_sums(const strides *s, const rule *r, double macro)
{
    (void)r;
    (void)macro;
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
        assert_near(x->power * x->dt, energy, 1e-12 * energy);
        /* the moment of a line about its middle: slope x dt^3 / 12; one sample has none */
        if (at[i + 1] - at[i] > 1)
            assert_near(x->slope * x->dt * x->dt * x->dt / 12, moment, 1e-12 * energy * x->dt);
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

static void check_events(const strides *s, const rule *r, double macro)
{
    (void)r;
    (void)macro;
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

static void check_lengths(const strides *s, const rule *r, double macro)
{
    size_t at[MOST + 1];
    places(s, at);
    size_t event = 0;
    for (size_t i = 0; i < s->n; i++) {
        if (i > 0 && on_at(s, at[i]) != on_at(s, at[i - 1]))
            event = at[i];
        bool on = on_at(s, at[i]);
        size_t n = at[i + 1] - at[i];
        double since = (double)(at[i] - event);
        double allowed = 1 + (on ? r->braking : r->coasting) * since;
        assert_true((double)n <= allowed && n <= (on ? r->braking_most : r->coasting_most));
        assert_true(n == 1 || s->step[i].dt <= macro);
        if (on && since < (double)r->contact)
            assert_int_equal(n, 1);
        if (n > 1)
            assert_true(off_by(s, i, at[i], at[i + 1]) <= 3 * skin * r->rough);
    }
}

static void no_step_is_longer_than_its_rules_allow(void **state)
{
    (void)state;
    each_drive(check_lengths);
}

/* Even power and no power leave nothing but the longest to hold a step back. */
static void steps_of_even_power_are_as_long_as_the_rules_allow(void **state)
{
    (void)state;
    for (size_t m = 0; m < MODES; m++) {
        const rule *r = &rules[m];
        for (int on = 0; on < 2; on++) {
            strides s;
            strides_make(MOST, &s);
            strides_add(&s, 8, 40, 40, on ? 2e5 : 0);
            s.n = mbl_timeline_make(&s.fine, r->mode, 1.0, skin, s.step);
            size_t k = 0;
            for (size_t i = 0; i < s.n; i++) {
                double grown = 1 + (on ? r->braking : r->coasting) * (double)k;
                size_t n = on && k < r->contact ? 1 : (size_t)grown;
                size_t most = on ? r->braking_most : r->coasting_most;
                n = n < most ? n : most;
                n = n < s.fine.n - k ? n : s.fine.n - k;
                assert_near(s.step[i].dt, (double)n * sample, 1e-9);
                k += n;
            }
            assert_int_equal(k, s.fine.n);
            strides_free(&s);
        }
    }
}

static void check_macros(const strides *s, const rule *r, double macro)
{
    size_t at[MOST + 1];
    places(s, at);
    double most = fmin(macro, r->macro);
    size_t i = 0;
    while (i < s->n) {
        double length = s->step[i].macro_dt;
        assert_true(length > 0);
        assert_true(length <= most * (1 + 1e-6));
        double sum = s->step[i].dt;
        size_t last = i;
        while (last + 1 < s->n && s->step[last + 1].macro_dt <= 0) {
            last++;
            assert_near(s->step[last].macro_dt, 0, 0);
            assert_int_equal(on_at(s, at[last]), on_at(s, at[i]));
            sum += s->step[last].dt;
        }
        assert_near(sum, length, 1e-12);
        assert_near(s->step[i].macro_v1, s->step[last].v1, 0);
        /* one more step would not have gone in */
        if (last + 1 < s->n && on_at(s, at[last + 1]) == on_at(s, at[i]))
            assert_true(sum + s->step[last + 1].dt > most);
        i = last + 1;
    }
}

static void macro_steps_add_up_and_end_where_the_brakes_go_on_or_off(void **state)
{
    (void)state;
    each_drive(check_macros);
}

static void check_grid(const strides *s, size_t steps)
{
    assert_int_equal(s->n, steps);
    double duration = 0;
    for (size_t i = 0; i < s->n; i++)
        duration += s->step[i].dt;
    assert_near(duration, s->fine.time[s->fine.n], 1e-12);
}

static void a_lap_may_be_one_sample_all_braking_or_none(void **state)
{
    (void)state;
    for (size_t m = 0; m < MODES; m++) {
        for (int on = 0; on < 2; on++) {
            strides s;
            strides_make(MOST, &s);
            strides_add(&s, 0.02, 40, 39, on ? 3e5 : 0);
            s.n = mbl_timeline_make(&s.fine, rules[m].mode, 1, skin, s.step);
            check_grid(&s, 1);
            assert_near(s.step[0].power, on ? 3e5 : 0, on ? 1e-9 : 0);
            assert_near(s.step[0].macro_dt, 0.02, 1e-15);
            assert_near(s.step[0].macro_v1, 39, 0);
            strides_add(&s, 0.02, 39, 38, on ? 3e5 : 0);
            s.n = mbl_timeline_make(&s.fine, rules[m].mode, 1, skin, s.step);
            check_grid(&s, 2); /* too soon to join them */
            strides_free(&s);
        }
    }
}

/* A pad worn thin is lighter than the skin of its rotor, though it takes little of the heat. */
static void the_lightest_face_is_the_rotors_or_a_thin_pads(void **state)
{
    (void)state;
    mbl_error err = {0};
    double got[2];
    for (int thin = 0; thin < 2; thin++) {
        mbl_car car = test_coupe();
        if (thin)
            car.rear.pad.thickness_now = 0.0006;
        mbl_network net;
        mbl_network_init(&net, &mbl_alloc_libc);
        assert_ok(mbl_corner_build(&net, &car, 300, 101325, NULL, &err), err);
        mbl_model *m = NULL;
        assert_ok(mbl_model_make(&net, 300, &m, &err), err);
        mbl_network_free(&net);
        got[thin] = mbl_timeline_skin(m);
        if (!thin) {
            double front = m->node[MBL_FACE].scale;
            double rear = m->node[mbl_corner_index(1, MBL_FACE)].scale;
            assert_near(got[0], 500 * fmin(front, rear), 1e-9);
        } else {
            /* of 46 and 3 W/mK the pad takes 3 / 49 of the heat */
            double pad = m->node[mbl_corner_index(1, MBL_PAD_FACE)].scale;
            assert_close(got[1], pad * 49 / 3, 1e-12);
        }
        mbl_model_drop(m);
    }
    assert_true(got[1] < 0.9 * got[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_keep_energy_and_first_moment_of_their_samples),
        cmocka_unit_test(steps_end_where_the_brakes_go_on_or_off),
        cmocka_unit_test(no_step_is_longer_than_its_rules_allow),
        cmocka_unit_test(steps_of_even_power_are_as_long_as_the_rules_allow),
        cmocka_unit_test(macro_steps_add_up_and_end_where_the_brakes_go_on_or_off),
        cmocka_unit_test(a_lap_may_be_one_sample_all_braking_or_none),
        cmocka_unit_test(the_lightest_face_is_the_rotors_or_a_thin_pads),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
