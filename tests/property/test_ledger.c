/* SPDX-License-Identifier: MIT */
/* What must be true of any car: MBL_CASES cars (200 when not set), a failing one named by seed. */
#include "support/random_car.h"
#include "support/test.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES, STATE_MAX = 128, STOPS = 4 };

static const double ambient = 293.15;

/* Drives a stint, looking at every step; the end state to `out`. */
static double drive(uint64_t seed, const mbl_car *car, const random_stint *s, double out[STATE_MAX],
                    double *hottest)
{
    mbl_block *b = random_car_block(car, ambient);
    /* 3000 K: no stint of these gets there, a step run wild does; what cars reach is printed */
    for (size_t k = 0; k < s->n; k++) {
        mbl_block_run(b, &s->in, k, k + 1, NULL);
        for (int i = 0; i < NODES; i++) {
            if (!(b->T[i] >= ambient - 1e-6 && b->T[i] <= 3000))
                fail_msg("car %llu: %s at %.9g K after step %zu (%g s)", (unsigned long long)seed,
                         b->model[0]->node[i].name, b->T[i], k, s->time[k + 1]);
            *hottest = fmax(*hottest, b->T[i]);
        }
    }
    assert_true(mbl_block_finite(b));
    memset(out, 0, STATE_MAX * sizeof *out);
    assert_true(mbl_block_state_size(b) <= STATE_MAX);
    mbl_block_save(b, 0, out);
    double asked = 0;
    for (size_t k = 0; k < s->n; k++)
        asked += 0.5 * s->power[k] * (s->time[k + 1] - s->time[k]);
    assert_close(b->heat[0], asked, 1e-12);
    assert_close(b->work[0] + b->work[1], asked, 1e-12);
    for (int p = 0; p < b->model[0]->npaths; p++) {
        /* a solid ring has no vanes to lose heat by */
        bool vanes = strstr(b->model[0]->path[p], "vanes") != NULL;
        assert_true(b->lost[p] > 0 || (vanes && b->lost[p] == 0));
    }
    double residual = mbl_block_residual(b, 0);
    mbl_block_free(b);
    return residual;
}

static void heat_in_is_stored_or_lost_in_every_car(void **state)
{
    (void)state;
    int cases = random_cases(200);
    double worst = 0;
    double hottest = 0;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        double end[STATE_MAX];
        mbl_car car = random_car((uint64_t)seed);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        double residual = drive((uint64_t)seed, &car, &s, end, &hottest);
        if (!(fabs(residual) <= 1e-10))
            fail_msg("car %d: residual %g of the heat", seed, residual);
        worst = fmax(worst, fabs(residual));
    }
    printf("%d cars: worst residual %.1e of the heat, hottest node %.0f K\n", cases, worst,
           hottest);
}

static void a_car_driven_twice_has_the_same_bits(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 9) / 10;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        double once[STATE_MAX];
        double twice[STATE_MAX];
        double hottest = 0;
        mbl_car car = random_car((uint64_t)seed);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        drive((uint64_t)seed, &car, &s, once, &hottest);
        drive((uint64_t)seed, &car, &s, twice, &hottest);
        assert_memory_equal(once, twice, sizeof once);
    }
}

static void a_car_at_ambient_without_braking_stays_there(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        mbl_car car = random_car((uint64_t)seed);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        memset(s.power, 0, sizeof s.power);
        mbl_block *b = random_car_block(&car, ambient);
        double flows[NODES];
        mbl_block_flows(b, 30, 0, NULL, flows);
        mbl_block_run(b, &s.in, 0, s.n, NULL);
        for (int i = 0; i < NODES; i++) {
            assert_near(flows[i], 0, 0);
            assert_near(b->T[i], ambient, 1e-9);
        }
        assert_near(b->heat[0], 0, 0);
        mbl_block_free(b);
    }
}

/* Left alone, the hottest only cools and the coldest only warms, down to the air. */
static void heat_only_flows_downhill(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed};
        mbl_car car = random_car((uint64_t)seed);
        mbl_block *b = random_car_block(&car, ambient);
        double hot = ambient;
        for (int i = 0; i < NODES; i++) {
            double T = random_between(&r, ambient, 900);
            mbl_block_set(b, 0, i, T);
            hot = fmax(hot, T);
        }
        double dt = 0.002;
        for (int k = 0; k < 300; k++) {
            double time[] = {0, dt};
            double speed[] = {20, 20};
            mbl_inputs in = {.time = time, .speed = speed};
            mbl_block_run(b, &in, 0, 1, NULL);
            double now = 0;
            for (int i = 0; i < NODES; i++) {
                now = fmax(now, b->T[i]);
                if (!(b->T[i] >= ambient - 1e-6))
                    fail_msg("car %d: %s at %.9g K", seed, b->model[0]->node[i].name, b->T[i]);
            }
            if (!(now <= hot + 1e-6))
                fail_msg("car %d: the hottest rose from %.9g to %.9g K", seed, hot, now);
            hot = now;
            dt = fmin(1.03 * dt, 1);
        }
        mbl_block_free(b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(heat_in_is_stored_or_lost_in_every_car),
        cmocka_unit_test(a_car_driven_twice_has_the_same_bits),
        cmocka_unit_test(a_car_at_ambient_without_braking_stays_there),
        cmocka_unit_test(heat_only_flows_downhill),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
