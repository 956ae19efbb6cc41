/* SPDX-License-Identifier: MIT */
/*
 * Distribution, lock, bite and stops over random cars: what must rise rises, and nothing jumps.
 * MBL_CASES cases (200 when not set), a failing one named by its seed.
 */
#include "brake/brake.h"
#include "support/random.h"
#include "support/test.h"

static const double g = 9.80665;

static int random_cases(void)
{
    const char *asked = getenv("MBL_CASES");
    return asked != NULL && atoi(asked) > 0 ? atoi(asked) : 200;
}

typedef struct balance_case {
    random_source r;
    mbl_car car;
    mbl_instant at;
    double air;
} balance_case;

static mbl_pedal random_pedal(random_source *r, int distribution)
{
    mbl_pedal p = {.present = true,
                   .ratio = random_between(r, 2.5, 8),
                   .efficiency = random_between(r, 0.7, 1),
                   .distribution = distribution,
                   .balance = NAN,
                   .per_turn = random_between(r, 0.004, 0.03),
                   .knee = NAN,
                   .slope = random_between(r, 0, 1),
                   .stab = random_between(r, 500, 20000)};
    bool pair = distribution == MBL_DISTRIBUTION_BAR;
    p.master.bore = pair ? NAN : random_between(r, 0.015, 0.03);
    p.master.front = pair ? random_between(r, 0.013, 0.026) : NAN;
    p.master.rear = pair ? random_between(r, 0.013, 0.026) : NAN;
    if (pair)
        p.balance = random_between(r, 0.3, 0.7);
    if (distribution == MBL_DISTRIBUTION_VALVE)
        p.knee = random_between(r, 1e6, 8e6);
    p.booster.gain = random_below(r, 2) ? random_between(r, 1.5, 9) : 1;
    p.booster.assist = random_between(r, 500, 8000);
    return p;
}

/* A factor that falls or rises a little up to 100 bar, as pads' do. */
static mbl_curve random_effect(random_source *r)
{
    return (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1, random_between(r, 0.8, 1.1)}};
}

static void random_brake(random_source *r, mbl_brake *b, double bore)
{
    b->caliper.pistons.n = 2;
    for (size_t i = 0; i < b->caliper.pistons.n; i++)
        b->caliper.pistons.v[i] = bore * random_between(r, 0.8, 1.2);
    b->effective_radius = random_between(r, 0.1, 0.17);
}

static balance_case random_case(int seed, int distribution)
{
    balance_case c = {.r = {(uint64_t)seed + 21000}};
    random_source *r = &c.r;
    mbl_car *car = &c.car;
    random_brake(r, &car->front, 0.036);
    random_brake(r, &car->rear, 0.026);
    car->mass = random_between(r, 500, 2600);
    car->tyre.radius = random_between(r, 0.26, 0.38);
    car->aero.drag_area = random_between(r, 0.3, 1.4);
    car->rotating = random_between(r, 0, 0.1);
    car->rolling = random_between(r, 0.005, 0.03);
    car->engine_braking = random_between(r, 0, 1);
    car->aero.downforce_area = random_below(r, 2) ? 0 : random_between(r, 0, 5);
    car->aero.front_share = random_between(r, 0.2, 0.7);
    car->tyre.grip = random_between(r, 0.4, 1.8);
    car->tyre.load_sensitivity = random_below(r, 2) ? 0 : random_between(r, 0, 0.3);
    car->front_weight = random_between(r, 0.4, 0.65);
    car->cg_height = random_between(r, 0.3, 0.7);
    car->wheelbase = random_between(r, 2, 3);
    car->pedal = random_pedal(r, distribution);
    c.at = (mbl_instant){.mass = car->mass + random_between(r, 0, 200),
                         .speed = random_between(r, 0, 80),
                         .density = random_between(r, 0.8, 1.3),
                         .mu = {random_between(r, 0.2, 0.6), random_between(r, 0.2, 0.6)}};
    c.air = random_between(r, 55e3, 105e3);
    return c;
}

static balance_case any_case(int seed)
{
    balance_case c = random_case(seed, seed % 3);
    if (random_below(&c.r, 2)) {
        c.car.front.pad.pressure_effect = random_effect(&c.r);
        c.car.rear.pad.pressure_effect = random_effect(&c.r);
    }
    return c;
}

static void expect(bool holds, int seed, const char *what, double before, double now)
{
    if (!holds)
        fail_msg("case %d: %s goes from %.12g to %.12g", seed, what, before, now);
}

static double lock_deceleration(const balance_case *c)
{
    return mbl_first_lock(&c->car, &c->at).deceleration;
}

/* ---- pressure and effort ---- */

static void effort_and_pressure_rise_with_the_deceleration(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        double p = 0;
        double effort = 0;
        for (double a = 0.2; a < 20; a += 0.4) {
            double now = mbl_pressure_for(&c.car, &c.at, a);
            double foot = mbl_pedal_effort(&c.car.pedal, now, c.air);
            expect(now > p || (now == 0 && p == 0), seed, "pressure", p, now);
            expect(foot > effort || (foot == 0 && effort == 0), seed, "effort", effort, foot);
            if (now > 0) {
                /* and it is the pressure that gives this deceleration */
                double force =
                    mbl_axle_force(&c.car, 0, &c.at, now) + mbl_axle_force(&c.car, 1, &c.at, now);
                double drag = 0.5 * c.at.density * c.car.aero.drag_area * c.at.speed * c.at.speed;
                double other = c.at.mass * (g * c.car.rolling + c.car.engine_braking) + drag;
                assert_near((force + other) / (c.at.mass * (1 + c.car.rotating)), a, 1e-9);
            }
            p = now;
            effort = foot;
        }
        expect(p > 0, seed, "pressure at 20 m/s2", 0, p);
    }
}

static void forces_rise_without_a_jump_over_the_knee_of_a_valve(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = random_case(seed, MBL_DISTRIBUTION_VALVE);
        double knee = c.car.pedal.knee;
        for (int axle = 0; axle < 2; axle++) {
            double before = mbl_axle_force(&c.car, axle, &c.at, knee * (1 - 1e-9));
            double at = mbl_axle_force(&c.car, axle, &c.at, knee);
            double after = mbl_axle_force(&c.car, axle, &c.at, knee * (1 + 1e-9));
            expect(before < at && at <= after, seed, "force", before, after);
            assert_near(after / before, 1, 3e-9);
        }
        /* above it the front share only rises */
        double share = mbl_actual_front(&c.car, &c.at, knee);
        assert_near(share, mbl_actual_front(&c.car, &c.at, 0), 1e-12);
        double beyond = mbl_actual_front(&c.car, &c.at, 2 * knee);
        expect(beyond >= share, seed, "front share", share, beyond);
    }
}

/* ---- shares ---- */

static void shares_lie_between_none_and_all_and_the_ideal_rises(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        double ideal = 0;
        for (double a = 0; a < 30; a += 0.5) {
            double load[2];
            mbl_axle_loads(&c.car, &c.at, a, load);
            double now = mbl_ideal_front(&c.car, &c.at, a);
            if (load[1] == 0) {
                assert_near(now, 1, 0);
                break;
            }
            expect(now > ideal && now < 1, seed, "ideal share", ideal, now);
            ideal = now;
        }
        for (double p = 0; p < 2e7; p += 5e5) {
            double share = mbl_actual_front(&c.car, &c.at, p);
            expect(share > 0 && share < 1, seed, "front share", p, share);
        }
    }
}

static void the_bar_turns_there_and_back(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = random_case(seed, MBL_DISTRIBUTION_BAR);
        c.car.front.pad.pressure_effect = random_effect(&c.r);
        c.car.rear.pad.pressure_effect = random_effect(&c.r);
        double a = random_between(&c.r, 3, 12);
        double ahead = random_between(&c.r, -0.05, 0.05);
        double wanted = mbl_ideal_front(&c.car, &c.at, a) + ahead;
        double p = mbl_pressure_for(&c.car, &c.at, a);
        if (p == 0 || wanted > 0.97)
            continue;
        double share = mbl_actual_front(&c.car, &c.at, p);
        double turns = mbl_turns_to(&c.car, &c.at, a, ahead);
        expect((turns > 0) == (wanted > share), seed, "share by the turns", share, wanted);
        c.car.pedal.balance += turns * c.car.pedal.per_turn;
        p = mbl_pressure_for(&c.car, &c.at, a);
        assert_near(mbl_actual_front(&c.car, &c.at, p), wanted, 1e-10);
        assert_near(mbl_turns_to(&c.car, &c.at, a, ahead), 0, 1e-9);
    }
}

/* ---- locks ---- */

static void a_lock_is_an_axle_at_its_grip_and_the_other_below(void **state)
{
    (void)state;
    int cases = random_cases();
    int rear = 0;
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        mbl_lock lock = mbl_first_lock(&c.car, &c.at);
        double load[2];
        double used[2];
        mbl_axle_loads(&c.car, &c.at, lock.deceleration, load);
        for (int axle = 0; axle < 2; axle++)
            used[axle] = mbl_axle_force(&c.car, axle, &c.at, lock.pressure) /
                         (mbl_tyre_grip(&c.car, axle, load[axle]) * load[axle]);
        assert_near(used[lock.axle], 1, 1e-9);
        expect(used[1 - lock.axle] <= 1 + 1e-9, seed, "what the other axle uses", 1,
               used[1 - lock.axle]);
        expect((lock.front > lock.ideal) == (lock.axle == 0) ||
                   fabs(lock.front - lock.ideal) < 1e-9,
               seed, "share and axle", lock.front, lock.ideal);
        rear += lock.axle;
        /* nothing locks at any lower pressure: the first is the first */
        for (int i = 1; i < 20; i++) {
            double p = lock.pressure * i / 20;
            double force[2] = {mbl_axle_force(&c.car, 0, &c.at, p),
                               mbl_axle_force(&c.car, 1, &c.at, p)};
            double drag = 0.5 * c.at.density * c.car.aero.drag_area * c.at.speed * c.at.speed;
            double other = c.at.mass * (g * c.car.rolling + c.car.engine_braking) + drag;
            double a = (force[0] + force[1] + other) / (c.at.mass * (1 + c.car.rotating));
            mbl_axle_loads(&c.car, &c.at, a, load);
            for (int axle = 0; axle < 2; axle++) {
                double bears = mbl_tyre_grip(&c.car, axle, load[axle]) * load[axle];
                expect(force[axle] < bears, seed, "force below the first lock", bears, force[axle]);
            }
        }
    }
    printf("%d cases: the rear locks first in %d\n", cases, rear);
    expect(rear > cases / 10 && rear < cases, 0, "cases that lock the rear first", cases, rear);
}

static void more_grip_locks_later_and_abs_never_sooner(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        double last = 0;
        double last_abs = 0;
        for (double grip = 0.3; grip < 2; grip += 0.1) {
            c.car.tyre.grip = grip;
            c.car.abs = false;
            double now = mbl_grip_limit(&c.car, &c.at);
            c.car.abs = true;
            double with = mbl_grip_limit(&c.car, &c.at);
            expect(now > last, seed, "deceleration of the first lock", last, now);
            expect(with > last_abs, seed, "deceleration with ABS", last_abs, with);
            expect(with >= now * (1 - 1e-12), seed, "deceleration without and with ABS", now, with);
            last = now;
            last_abs = with;
        }
    }
}

/* ---- bite ---- */

static double bite_of(const balance_case *c)
{
    double bite = mbl_bite(&c->car, &c->at, c->air);
    if (!(bite > 0 && bite <= 1))
        fail_msg("a bite of %g", bite);
    return bite;
}

/* With a valve the share at the lock moves with the pressure there, so friction is left out. */
static void a_faster_stab_and_a_grabbier_pad_bite_less(void **state)
{
    (void)state;
    int cases = random_cases();
    int less = 0;
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = random_case(seed, seed % 3);
        double slow = bite_of(&c);
        double before = slow;
        balance_case faster = c;
        for (int i = 0; i < 6; i++) {
            faster.car.pedal.stab *= 1.2;
            double now = bite_of(&faster);
            expect(now <= before + 1e-9, seed, "bite with the stab", before, now);
            before = now;
        }
        less += before < slow;
        if (c.car.pedal.distribution == MBL_DISTRIBUTION_VALVE)
            continue;
        balance_case grabbier = c;
        before = slow;
        for (int i = 0; i < 6; i++) {
            grabbier.at.mu[0] *= 1.1;
            grabbier.at.mu[1] *= 1.1;
            double now = bite_of(&grabbier);
            expect(now <= before + 1e-9, seed, "bite with the friction", before, now);
            before = now;
        }
        balance_case larger = c;
        larger.car.front.effective_radius = 1.3 * mbl_effective_radius(&c.car.front);
        larger.car.rear.effective_radius = 1.3 * mbl_effective_radius(&c.car.rear);
        double gained = bite_of(&larger);
        expect(gained <= slow + 1e-9, seed, "bite with the gain", slow, gained);
    }
    printf("%d cases: a stab three times as fast bites less in %d\n", cases, less);
    expect(less > cases / 4, 0, "cases that bite less", cases, less);
}

static void a_stab_a_little_faster_bites_a_little_less(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        double before = bite_of(&c);
        c.car.pedal.stab *= 1.0001;
        assert_near(bite_of(&c), before, 2e-4);
    }
}

/* ---- stops ---- */

static void a_heavier_car_never_stops_shorter_on_the_same_pressure(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        double p = random_between(&c.r, 0.2, 0.9) * mbl_first_lock(&c.car, &c.at).pressure;
        double from = random_between(&c.r, 10, 80);
        double to = random_between(&c.r, 0, 0.9) * from;
        mbl_stop before = mbl_stop_at_pressure(&c.car, &c.at, from, to, p);
        for (int i = 0; i < 5; i++) {
            c.at.mass *= 1.05;
            mbl_stop now = mbl_stop_at_pressure(&c.car, &c.at, from, to, p);
            expect(now.distance > before.distance, seed, "distance", before.distance, now.distance);
            expect(now.time > before.time, seed, "time", before.time, now.time);
            expect(now.brake_energy > before.brake_energy, seed, "energy of the brakes",
                   before.brake_energy, now.brake_energy);
            before = now;
        }
        mbl_stop harder = mbl_stop_at_pressure(&c.car, &c.at, from, to, 1.05 * p);
        expect(harder.distance < before.distance, seed, "distance with the pressure",
               before.distance, harder.distance);
    }
}

/* Both forms of a stop keep the energy: what the brakes do not take, the rest takes. */
static void the_energy_of_a_stop_adds_up(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        double from = random_between(&c.r, 20, 80);
        double to = random_between(&c.r, 0, 0.5) * from;
        double a = random_between(&c.r, 6, 12);
        mbl_stop stop = mbl_stop_of(&c.car, &c.at, from, to, a);
        expect(stop.brake_energy > 0 && stop.brake_energy <= stop.kinetic_energy, seed,
               "energy in the brakes", stop.kinetic_energy, stop.brake_energy);
        mbl_stop soft = mbl_stop_of(&c.car, &c.at, from, to, 0.1 * a);
        expect(soft.brake_energy >= 0 && soft.brake_energy < stop.brake_energy, seed,
               "energy of a soft stop", stop.brake_energy, soft.brake_energy);
        /* held at its highest pressure the stop is no longer than it was */
        mbl_stop held = mbl_stop_at_pressure(&c.car, &c.at, from, to, stop.pressure[0]);
        expect(held.distance <= stop.distance * (1 + 1e-9), seed, "distance when held",
               stop.distance, held.distance);
        expect(held.brake_energy < held.kinetic_energy, seed, "energy when held",
               held.kinetic_energy, held.brake_energy);
        double d = 0.5 * c.at.density * c.car.aero.drag_area;
        double fixed = c.at.mass * (g * c.car.rolling + c.car.engine_braking);
        double force = c.at.mass * (1 + c.car.rotating) * a - fixed;
        /* pressing from end to end the rest is rolling, engine and drag over the way */
        if (force > d * from * from) {
            double drag = d * (pow(from, 4) - pow(to, 4)) / (4 * a);
            assert_close(stop.brake_energy + drag + fixed * stop.distance, stop.kinetic_energy,
                         1e-9);
        }
    }
}

static void a_lock_lies_where_the_pressure_for_its_deceleration_does(void **state)
{
    (void)state;
    int cases = random_cases();
    for (int seed = 1; seed <= cases; seed++) {
        balance_case c = any_case(seed);
        double p = mbl_pressure_for(&c.car, &c.at, lock_deceleration(&c));
        assert_close(p, mbl_first_lock(&c.car, &c.at).pressure, 1e-8);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(effort_and_pressure_rise_with_the_deceleration),
        cmocka_unit_test(forces_rise_without_a_jump_over_the_knee_of_a_valve),
        cmocka_unit_test(shares_lie_between_none_and_all_and_the_ideal_rises),
        cmocka_unit_test(the_bar_turns_there_and_back),
        cmocka_unit_test(a_lock_is_an_axle_at_its_grip_and_the_other_below),
        cmocka_unit_test(more_grip_locks_later_and_abs_never_sooner),
        cmocka_unit_test(a_faster_stab_and_a_grabbier_pad_bite_less),
        cmocka_unit_test(a_stab_a_little_faster_bites_a_little_less),
        cmocka_unit_test(a_heavier_car_never_stops_shorter_on_the_same_pressure),
        cmocka_unit_test(the_energy_of_a_stop_adds_up),
        cmocka_unit_test(a_lock_lies_where_the_pressure_for_its_deceleration_does),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
