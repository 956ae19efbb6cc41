/* SPDX-License-Identifier: MIT */
/*
 * The order of the stepper as observed: the coupe's network, iron that takes more heat the hotter
 * it is, radiation, films and contacts with their friction curve, under a power and a speed that
 * vary smoothly. Halving the step must quarter the error.
 */
#include "reference/bench.h"
#include "support/coupe.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES, HALVINGS = 5, MOST = 1 << 15 };

static const double duration = 8.192;

/* Speed between 30 and 34 m/s, power between 0 and 200 kW. */
static double speed_at(double t)
{
    return 32 + 2 * cos(2 * M_PI * t / duration);
}

static double energy_until(double t)
{
    double w = 2 * M_PI / 4.096;
    return 1e5 * (t - sin(w * t) / w);
}

static mbl_block *coupe_block(void)
{
    mbl_car car = test_coupe();
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(&net, &car, 300, 101325, NULL, NULL), MBL_OK);
    return bench_block(&net, 300);
}

/* Drives n even steps with power as the mean of each; temperatures at the end. */
static double drive(int n, double T[NODES])
{
    static double time[MOST + 1], speed[MOST + 1], power[MOST];
    double dt = duration / n;
    for (int k = 0; k <= n; k++) {
        time[k] = dt * k;
        speed[k] = speed_at(time[k]);
        if (k > 0)
            power[k - 1] = (energy_until(time[k]) - energy_until(time[k - 1])) / dt;
    }
    mbl_block *b = coupe_block();
    /* hot enough to radiate, and not all alike */
    for (int i = 0; i < NODES; i++)
        mbl_block_set(b, 0, i, 420 + 15 * (i % MBL_CORNER_NODES));
    mbl_inputs in = {.time = time, .speed = speed, .power = power};
    mbl_block_run(b, &in, 0, (size_t)n, NULL);
    for (int i = 0; i < NODES; i++)
        T[i] = b->T[i];
    double residual = mbl_block_residual(b, 0);
    mbl_block_free(b);
    return residual;
}

static double furthest(const double *a, const double *b)
{
    double worst = 0;
    for (int i = 0; i < NODES; i++)
        worst = fmax(worst, fabs(a[i] - b[i]));
    return worst;
}

static void halving_the_step_quarters_the_error(void **state)
{
    (void)state;
    double exact[NODES];
    drive(MOST, exact);
    double before = 0;
    for (int i = 0; i < HALVINGS; i++) {
        double T[NODES];
        int n = 512 << i;
        drive(n, T);
        double error = furthest(T, exact);
        if (i > 0) {
            double order = log2(before / error);
            printf("step %.4f s: error %.3e K, order %.3f\n", duration / n, error, order);
            assert_true(order >= 1.9);
        } else {
            printf("step %.4f s: error %.3e K\n", duration / n, error);
        }
        before = error;
    }
}

static void the_ledger_closes_at_the_finest_step(void **state)
{
    (void)state;
    double T[NODES];
    double residual = drive(MOST, T);
    printf("residual after %d steps: %.2e\n", MOST, residual);
    assert_true(fabs(residual) < 1e-11);
}

/* L-stable: a step far beyond the time constant of 1 s lands on the air, and does not ring. */
static void a_step_of_a_million_time_constants_lands_on_the_air(void **state)
{
    (void)state;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    mbl_network_node(&net, "lump", 1000);
    mbl_network_lose(&net, 0, 1000, mbl_network_path(&net, "air"));
    mbl_block *b = bench_block(&net, 300);
    mbl_block_set(b, 0, 0, 800);
    bench_run(b, 1e6, 1, NULL);
    assert_near(b->T[0], 300, 0.01);
    mbl_block_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(halving_the_step_quarters_the_error),
        cmocka_unit_test(a_step_of_a_million_time_constants_lands_on_the_air),
        cmocka_unit_test(the_ledger_closes_at_the_finest_step),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
