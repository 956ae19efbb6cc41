/* SPDX-License-Identifier: MIT */
/*
 * Pedal, wear and cracks over random brakes: what must rise rises, what must be equal is. MBL_CASES
 * cases (200 when not set), a failing one named by its seed.
 */
#include "brake/brake.h"
#include "support/coupe.h"
#include "support/random.h"
#include "support/test.h"

static int random_cases(void)
{
    const char *asked = getenv("MBL_CASES");
    return asked != NULL && atoi(asked) > 0 ? atoi(asked) : 200;
}

static mbl_pedal random_pedal(random_source *r)
{
    bool tandem = random_below(r, 2);
    mbl_pedal p = {.ratio = random_between(r, 2.5, 8),
                   .effort_limit = 670,
                   .efficiency = random_between(r, 0.7, 1),
                   .distribution = random_below(r, 3),
                   .balance = NAN,
                   .knee = NAN,
                   .slope = random_between(r, 0.05, 1),
                   .hose_swell = random_between(r, 0, 1e-6),
                   .fluid_volume = random_between(r, 5e-5, 5e-4),
                   .knock_back = random_between(r, 0, 5e-4),
                   .present = true};
    if (tandem && p.distribution == MBL_DISTRIBUTION_BAR)
        p.distribution = MBL_DISTRIBUTION_FIXED;
    if (p.distribution == MBL_DISTRIBUTION_BAR && random_below(r, 2))
        p.balance = random_between(r, 0.3, 0.7);
    if (p.distribution == MBL_DISTRIBUTION_VALVE)
        p.knee = random_between(r, 1e6, 8e6);
    p.master.bore = tandem ? random_between(r, 0.015, 0.03) : NAN;
    p.master.front = tandem ? NAN : random_between(r, 0.013, 0.026);
    p.master.rear = tandem ? NAN : random_between(r, 0.013, 0.026);
    p.master.stroke = random_between(r, 0.02, 0.05);
    p.master.free = random_between(r, 0, 0.003);
    bool boosted = random_below(r, 2);
    p.booster.gain = boosted ? random_between(r, 1.5, 9) : 1;
    p.booster.assist = random_between(r, 500, 8000);
    return p;
}

static void random_brake(random_source *r, mbl_brake *b)
{
    b->caliper.type = random_below(r, 2);
    b->caliper.pistons.n = (size_t)(1 + random_below(r, 4));
    for (size_t i = 0; i < b->caliper.pistons.n; i++)
        b->caliper.pistons.v[i] = random_between(r, 0.02, 0.05);
    b->pad.squeeze = random_between(r, 1e-5, 3e-4);
    b->caliper.opening = random_between(r, 5e-5, 5e-4);
    b->caliper.rollback = random_between(r, 1e-5, 3e-4);
}

typedef struct pedal_case {
    random_source r;
    mbl_car car;
    mbl_travel_at at;
    double air;
} pedal_case;

static pedal_case random_case(int seed)
{
    pedal_case c = {.r = {(uint64_t)seed + 11000}, .car = test_coupe()};
    c.car.pedal = random_pedal(&c.r);
    random_brake(&c.r, &c.car.front);
    random_brake(&c.r, &c.car.rear);
    c.car.fluid.bulk_modulus = random_between(&c.r, 0.8e9, 2e9);
    c.at.knocked_back = random_below(&c.r, 2);
    for (int i = 0; i < 2; i++)
        c.at.vapour[i] = random_below(&c.r, 3) ? 0 : random_between(&c.r, 0, 5e-6);
    c.air = random_between(&c.r, 55e3, 105e3);
    return c;
}

static void rises(double before, double now, int seed, const char *what)
{
    if (!(now > before))
        fail_msg("case %d: %s goes from %.12g to %.12g", seed, what, before, now);
}

/* ---- effort and pressure ---- */

/* Also where the booster runs out, which lies between two of the steps. */
static void pressure_and_effort_rise_with_each_other_and_undo_each_other(void **state)
{
    (void)state;
    int cases = random_cases();
    int ran_out = 0;
    for (int seed = 1; seed <= cases; seed++) {
        pedal_case c = random_case(seed);
        const mbl_pedal *pedal = &c.car.pedal;
        double steepest = mbl_pedal_pressure(pedal, 1, c.air);
        double before = mbl_pedal_pressure(pedal, 0, c.air);
        assert_near(before, 0, 0);
        enum { STEPS = 60 };
        const double step = 1500.0 / STEPS;
        for (int i = 1; i <= STEPS; i++) {
            double effort = step * i;
            double p = mbl_pedal_pressure(pedal, effort, c.air);
            rises(before, p, seed, "pressure over effort");
            /* never steeper than at first, with all the booster's gain: no jump anywhere */
            assert_true(p - before <= steepest * step * (1 + 1e-9));
            rises(mbl_pedal_effort(pedal, before, c.air), mbl_pedal_effort(pedal, p, c.air), seed,
                  "effort over pressure");
            assert_close(mbl_pedal_effort(pedal, p, c.air), effort, 1e-12);
            before = p;
        }
        ran_out += mbl_pedal_run_out(pedal, c.air) < 1500;
    }
    printf("%d cases: the booster runs out in %d\n", cases, ran_out);
}

static void rear_pressure_rises_without_a_jump_across_the_knee(void **state)
{
    (void)state;
    int cases = random_cases();
    int with_valve = 0;
    for (int seed = 1; seed <= cases; seed++) {
        pedal_case c = random_case(seed);
        mbl_distribution d = mbl_distribution_of(&c.car.pedal);
        with_valve += d.knee < MBL_NO_KNEE;
        double before = mbl_rear_pressure(&d, 0);
        assert_near(before, 0, 0);
        for (int i = 1; i <= 60; i++) {
            double now = mbl_rear_pressure(&d, 2e5 * i);
            rises(before, now, seed, "rear over front pressure");
            assert_true(now - before <= d.rear * 2e5 * (1 + 1e-9));
            before = now;
        }
    }
    printf("%d cases: a valve in %d\n", cases, with_valve);
}

/* ---- travel ---- */

static void volumes_add_up_and_strokes_follow_from_them(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        pedal_case c = random_case(seed);
        const mbl_pedal *pedal = &c.car.pedal;
        mbl_travel t = mbl_pedal_travel(&c.car, random_between(&c.r, 0, 12e6), &c.at);
        assert_close(t.gap + t.pads + t.calipers + t.hoses + t.fluid + t.vapour,
                     t.volume[0] + t.volume[1], 1e-12);
        /* what the rod pushes out is what the axles take, once the ports are shut */
        double bore[2] = {pedal->master.front, pedal->master.rear};
        for (int i = 0; i < 2; i++) {
            double d = isnan(pedal->master.bore) ? bore[i] : pedal->master.bore;
            assert_close((t.stroke[i] - pedal->master.free) * M_PI / 4 * d * d, t.volume[i], 1e-9);
        }
        assert_true(t.pad <= pedal->ratio * (t.stroke[0] + t.stroke[1]) * (1 + 1e-12));
        assert_true(t.pad >= pedal->ratio * fmin(t.stroke[0], t.stroke[1]) * (1 - 1e-12));
    }
}

static void travel_and_the_stroke_used_rise_with_pressure(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        pedal_case c = random_case(seed);
        mbl_travel before = mbl_pedal_travel(&c.car, 0, &c.at);
        for (int i = 1; i <= 40; i++) {
            mbl_travel now = mbl_pedal_travel(&c.car, 3e5 * i, &c.at);
            rises(before.used, now.used, seed, "stroke used over pressure");
            rises(before.pad, now.pad, seed, "travel over pressure");
            before = now;
        }
    }
}

/* What is said to be the highest pressure is where a stroke is used up, and no earlier. */
static void a_circuit_bottoms_where_its_stroke_is_used_up(void **state)
{
    (void)state;
    int cases = random_cases();
    int spent = 0;
    for (int seed = 1; seed <= cases; seed++) {
        pedal_case c = random_case(seed);
        double most = mbl_pedal_bottoms(&c.car, &c.at);
        double used = mbl_pedal_travel(&c.car, most, &c.at).used;
        if (most > 0)
            assert_near(used, 1, 1e-9);
        else
            assert_true(used >= 1);
        spent += !(most > 0);
        mbl_travel_at worse = c.at;
        worse.vapour[0] += 1e-7;
        worse.vapour[1] += 1e-7;
        assert_true(most > 0 ? mbl_pedal_bottoms(&c.car, &worse) < most
                             : mbl_pedal_bottoms(&c.car, &worse) == 0);
    }
    printf("%d cases: bottoms without pressure in %d\n", cases, spent);
}

/* Larger pistons in front on the same master: a longer pedal that asks for less pressure. */
static void larger_calipers_lengthen_the_pedal_and_ask_for_less_pressure(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        pedal_case c = random_case(seed);
        mbl_car large = c.car;
        mbl_numbers *pistons = &large.front.caliper.pistons;
        double grows = random_between(&c.r, 1.01, 1.4);
        for (size_t i = 0; i < pistons->n; i++)
            pistons->v[i] *= grows;
        double effort = random_between(&c.r, 20, 900);
        double p = mbl_pedal_pressure(&c.car.pedal, effort, c.air);
        assert_near(mbl_pedal_pressure(&large.pedal, effort, c.air), p, 0);
        mbl_travel small_one = mbl_pedal_travel(&c.car, p, &c.at);
        mbl_travel large_one = mbl_pedal_travel(&large, p, &c.at);
        rises(small_one.pad, large_one.pad, seed, "travel with a larger caliper");
        rises(small_one.volume[0], large_one.volume[0], seed, "volume with a larger caliper");
        assert_near(large_one.volume[1], small_one.volume[1], 0);
        assert_true(mbl_pedal_bottoms(&large, &c.at) <= mbl_pedal_bottoms(&c.car, &c.at));
        /* the same force at the tyres takes less pressure and less effort */
        double gain = mbl_axle_gain(&c.car.front, c.car.tyre.radius);
        double eased = p * gain / mbl_axle_gain(&large.front, c.car.tyre.radius);
        rises(eased, p, seed, "pressure for the same force with a smaller caliper");
        rises(mbl_pedal_effort(&large.pedal, eased, c.air), effort, seed,
              "effort for the same force with a smaller caliper");
        assert_close(eased * grows * grows, p, 1e-9);
    }
}

/* ---- life ---- */

static void pads_wear_more_by_more_energy_and_heat_without_a_jump(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 12000};
        mbl_car car = test_coupe();
        mbl_pad *pad = &car.front.pad;
        pad->area = random_between(&r, 1e-3, 2e-2);
        pad->window.v[1] = random_between(&r, 550, 1200);
        pad->wear = random_between(&r, 1e-14, 2e-13);
        pad->wear_activation = random_between(&r, 1e4, 1e5);
        pad->wear_onset = random_below(&r, 2) ? NAN : random_between(&r, 400, 900);
        double energy = random_between(&r, 1e6, 1e9);
        double T = random_between(&r, 280, 1200);
        double depth = mbl_pad_wear_depth(pad, energy, T);
        assert_close(mbl_pad_wear_depth(pad, 3 * energy, T), 3 * depth, 1e-12);
        rises(depth, mbl_pad_wear_depth(pad, 1.01 * energy, T), seed, "wear over energy");
        double onset = mbl_pad_wear_onset(pad);
        double before = mbl_pad_wear(pad, 280);
        for (double at = 281; at <= 1300; at += 1) {
            double now = mbl_pad_wear(pad, at);
            if (at <= onset)
                assert_near(now, before, 0);
            else
                rises(before, now, seed, "wear over temperature");
            /* steepest just above the onset: E / R / T^2 a kelvin */
            double steepest =
                pad->wear_activation / (8.314463 * fmax(at - 1, onset) * fmax(at - 1, onset));
            assert_true(now <= before * exp(steepest) * (1 + 1e-9));
            before = now;
        }
    }
}

static void skins_that_are_hotter_count_more_towards_cracks(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 13000};
        double low = random_between(&r, -200, 600);
        double high = low + random_between(&r, 1e-3, 200);
        double a = mbl_crack_weight(low);
        double b = mbl_crack_weight(high);
        if (high > MBL_SKIN_FLOWS)
            rises(a, b, seed, "weight over rise");
        else
            assert_true(a == 0 && b == 0);
        /* by the mean value: no step is taller than the slope at its hot end allows */
        double slope = 2 * fmax(high - MBL_SKIN_FLOWS, 0) / (MBL_SKIN_FLOWS * MBL_SKIN_FLOWS);
        assert_true(b - a <= slope * (high - low) * (1 + 1e-9));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pressure_and_effort_rise_with_each_other_and_undo_each_other),
        cmocka_unit_test(rear_pressure_rises_without_a_jump_across_the_knee),
        cmocka_unit_test(volumes_add_up_and_strokes_follow_from_them),
        cmocka_unit_test(travel_and_the_stroke_used_rise_with_pressure),
        cmocka_unit_test(a_circuit_bottoms_where_its_stroke_is_used_up),
        cmocka_unit_test(larger_calipers_lengthen_the_pedal_and_ask_for_less_pressure),
        cmocka_unit_test(pads_wear_more_by_more_energy_and_heat_without_a_jump),
        cmocka_unit_test(skins_that_are_hotter_count_more_towards_cracks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
