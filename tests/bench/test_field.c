/* SPDX-License-Identifier: MIT */
/*
 * The right-hand side that peers run on is the engine's: its flows are those of mbl_block_flows,
 * its heat capacities those of the engine's law of iron.
 */
#include "bench/lanes.h"

#include "support/coupe.h"
#include "support/random_car.h"
#include "support/test.h"

#include <float.h>

static const double air = 303;

typedef struct cars {
    mbl_model *model[BENCH_MOST];
    mbl_block *block[BENCH_MOST]; /* of one lane each: mbl_block_flows tells of the first */
    bench_field four, eight, one[BENCH_MOST]; /* four: the first of them */
} cars;

static void make(cars *x, const mbl_car car[BENCH_MOST])
{
    mbl_error err = {0};
    for (int w = 0; w < BENCH_MOST; w++) {
        mbl_network net;
        mbl_network_init(&net, &mbl_alloc_libc);
        assert_ok(mbl_corner_build(&net, &car[w], air, 101325, NULL, &err), err);
        assert_ok(mbl_model_make(&net, air, &x->model[w], &err), err);
        mbl_network_free(&net);
        assert_ok(mbl_block_make(&mbl_alloc_libc, &x->model[w], 1, &x->block[w], &err), err);
        const char *wrong = bench_field_make((const mbl_model *const *)&x->model[w], 1, &x->one[w]);
        if (wrong != NULL)
            fail_msg("car %d has %s", w, wrong);
    }
    const mbl_model *const *models = (const mbl_model *const *)x->model;
    assert_null(bench_field_make(models, BENCH_FOUR, &x->four));
    assert_null(bench_field_make(models, BENCH_MOST, &x->eight));
}

static void drop(cars *x)
{
    for (int w = 0; w < BENCH_MOST; w++) {
        mbl_block_free(x->block[w]);
        mbl_model_drop(x->model[w]);
    }
}

/* Temperatures from the air's to far beyond the tables, hotter where there is friction. */
static double draw(random_source *r, int node)
{
    int of = node % MBL_CORNER_NODES;
    return air + random_between(r, -20, of <= MBL_CORE || of == MBL_PAD_FACE ? 1250 : 300);
}

static void compare(const double *got, const double *want, int n, int stride, double share)
{
    double scale = 1;
    for (int i = 0; i < n; i++)
        scale = fmax(scale, fabs(want[i]));
    for (int i = 0; i < n; i++) {
        double off = fabs(got[i * stride] - want[i]);
        if (!(off <= share * scale))
            fail_msg("node %d: %.15g W, of the engine %.15g W", i, got[i * stride], want[i]);
    }
}

static void rates_of(const mbl_model *m, const double *T, const double *flow, double *out)
{
    for (int i = 0; i < m->nnodes; i++) {
        double c = m->node[i].iron ? mbl_iron_specific_heat(T[i]) : 1;
        out[i] = flow[i] / (m->node[i].scale * c);
    }
}

/* Flows and rates of some lanes against those of the engine, [lane][node]. */
static void hold_lanes(const bench_field *f, bench_rate *flows, bench_rate *rates, double speed,
                       double power, double T[][BENCH_NODES], double want[][BENCH_NODES],
                       double rate[][BENCH_NODES])
{
    double all[BENCH_NODES * BENCH_MOST], got[BENCH_NODES * BENCH_MOST];
    for (int i = 0; i < f->nnodes * f->lanes; i++)
        all[i] = T[i % f->lanes][i / f->lanes];
    flows(f, speed, power, all, got);
    for (int w = 0; w < f->lanes; w++)
        compare(got + w, want[w], f->nnodes, f->lanes, 1e-9);
    rates(f, speed, power, all, got);
    for (int w = 0; w < f->lanes; w++)
        compare(got + w, rate[w], f->nnodes, f->lanes, 1e-9);
}

static void hold(cars *x, random_source *r, double speed, double power)
{
    double T[BENCH_MOST][BENCH_NODES], want[BENCH_MOST][BENCH_NODES], rate[BENCH_MOST][BENCH_NODES];
    for (int w = 0; w < BENCH_MOST; w++) {
        for (int i = 0; i < x->eight.nnodes; i++) {
            T[w][i] = draw(r, i);
            mbl_block_set(x->block[w], 0, i, T[w][i]);
        }
        /* the engine reads T back from the enthalpy: the same but for rounding */
        mbl_block_flows(x->block[w], speed, power, NULL, want[w]);
        rates_of(x->model[w], T[w], want[w], rate[w]);
        hold_lanes(&x->one[w], bench_flows_1, bench_rates_1, speed, power, T + w, want + w,
                   rate + w);
    }
    hold_lanes(&x->four, bench_flows_4, bench_rates_4, speed, power, T, want, rate);
#ifdef BENCH_HAVE_AVX2
    if (__builtin_cpu_supports("avx2"))
        hold_lanes(&x->four, bench_flows_4_avx2, bench_rates_4_avx2, speed, power, T, want, rate);
#endif
#ifdef BENCH_HAVE_AVX512
    if (__builtin_cpu_supports("avx512dq"))
        hold_lanes(&x->eight, bench_flows_8_avx512, bench_rates_8_avx512, speed, power, T, want,
                   rate);
#endif
}

static void hold_all(const mbl_car car[BENCH_MOST])
{
    static cars x;
    static const double speeds[] = {0, 0.3, 7.7, 23, 41.2, 66.6, 118.9};
    random_source r = {11};
    make(&x, car);
    for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
        hold(&x, &r, speeds[i], 0);
        hold(&x, &r, speeds[i], 1500 * speeds[i]);
        hold(&x, &r, speeds[i], 14000 * speeds[i]);
    }
    drop(&x);
}

static void the_coupe_has_the_flows_of_the_engine_in_every_lane(void **state)
{
    (void)state;
    mbl_car car[BENCH_MOST];
    for (int w = 0; w < BENCH_MOST; w++) {
        car[w] = test_coupe();
        car[w].mass += 100 * w;
        car[w].front.pad.thickness_now = 0.005 + 0.002 * w;
        car[w].rear.rotor.ring_mass -= 0.2 * w;
    }
    hold_all(car);
}

/* What the field leaves out is taken off a random car: pressure's effect and the valve. */
static void so_have_random_cars(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 5; seed++) {
        mbl_car one = random_car(seed);
        one.front.pad.pressure_effect.n = 0;
        one.rear.pad.pressure_effect.n = 0;
        one.pedal = test_coupe().pedal;
        mbl_car car[BENCH_MOST];
        for (int w = 0; w < BENCH_MOST; w++) {
            car[w] = one;
            car[w].front.pad.conductivity *= 1 + 0.1 * w;
            car[w].rear.caliper.mass *= 1 + 0.2 * w;
        }
        hold_all(car);
    }
}

static void put_link(mbl_brake *b, const char *from, const char *to, double conductance)
{
    mbl_extra_link *l = &b->links.v[b->links.n++];
    *l = (mbl_extra_link){.conductance = conductance};
    snprintf(l->from, sizeof l->from, "%s", from);
    snprintf(l->to, sizeof l->to, "%s", to);
}

/* A shield behind the pad, and links between nodes that have one already. */
static mbl_car with_nodes_of_its_own(double capacity)
{
    mbl_car car = test_coupe();
    mbl_brake *b = &car.rear;
    mbl_extra_node *n = &b->nodes.v[b->nodes.n++];
    *n = (mbl_extra_node){.capacity = capacity};
    snprintf(n->name, sizeof n->name, "shield");
    put_link(b, "pad.plate", "shield", 6);
    put_link(b, "shield", "ambient", 1);
    put_link(b, "rotor.core", "ambient", 2);
    put_link(b, "rotor.layer3", "rotor.hat", 3);
    put_link(b, "pad.face", "shield", 0.5);
    car.front.pad.speed_effect = (mbl_curve){.n = 3, .x = {0, 30, 80}, .y = {1.05, 1.0, 0.85}};
    return car;
}

static void so_has_a_car_with_friction_of_speed_and_nodes_of_its_own(void **state)
{
    (void)state;
    mbl_car car[BENCH_MOST];
    for (int w = 0; w < BENCH_MOST; w++)
        car[w] = with_nodes_of_its_own(120 + 10 * w);
    hold_all(car);
}

/* A minute with two stops, the slow nodes in one with the others and on steps of their own. */
static void multirate_goes_where_the_plain_method_goes(void **state)
{
    (void)state;
    static cars x;
    enum { STEPS = 2400 };
    static bench_step steps[STEPS];
    mbl_car car[BENCH_MOST];
    for (int w = 0; w < BENCH_MOST; w++)
        car[w] = with_nodes_of_its_own(120 + 10 * w);
    make(&x, car);
    for (int i = 0; i < STEPS; i++) {
        bool on = i % 1200 > 1000;
        double speed = on ? 60 - 0.25 * (i % 1200 - 1000) : 40;
        steps[i] = (bench_step){.dt = 0.025, .v0 = speed, .v1 = speed, .power = on ? 6e5 : 0};
        if (i % 10 == 0) {
            steps[i].stretch_dt = 0.25;
            steps[i].stretch_v1 = speed;
        }
    }
    int n = x.one[0].nnodes;
    double plain[BENCH_NODES], split[BENCH_NODES], peak[BENCH_NODES] = {0};
    double all[BENCH_NODES * BENCH_MOST], most[BENCH_NODES * BENCH_MOST] = {0};
    for (int i = 0; i < n * BENCH_MOST; i++)
        all[i] = air;
    for (int i = 0; i < n; i++)
        plain[i] = split[i] = air;
    bench_rk4_1(&x.one[0], steps, STEPS, plain, peak, NULL);
    assert_true(peak[MBL_FACE] > air + 150);
    bench_multirate_1(&x.one[0], steps, STEPS, split, peak, NULL);
    for (int i = 0; i < n; i++)
        assert_near(split[i], plain[i], 0.005);
    bench_multirate_4(&x.four, steps, STEPS, all, most, NULL);
    for (int i = 0; i < n; i++)
        assert_near(all[i * BENCH_FOUR], split[i], 1e-9);
    drop(&x);
}

static void what_there_is_no_place_for_is_refused(void **state)
{
    (void)state;
    static bench_field f;
    mbl_car car = test_coupe_with(test_pedal_valve);
    mbl_block *b = random_car_block(&car, air);
    const mbl_model *m = b->model[0];
    assert_non_null(bench_field_make(&m, 1, &f));
    mbl_block_free(b);
    car = test_coupe();
    car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 10e6}, .y = {1.06, 0.94}};
    b = random_car_block(&car, air);
    m = b->model[0];
    assert_non_null(bench_field_make(&m, 1, &f));
    mbl_block_free(b);
}

/* Rolling and standing; while braking it is for Newton's method only. */
static void the_jacobian_is_the_slope_of_the_rates(void **state)
{
    (void)state;
    static cars x;
    mbl_car car[BENCH_MOST];
    for (int w = 0; w < BENCH_MOST; w++)
        car[w] = test_coupe();
    make(&x, car);
    random_source r = {5};
    int n = x.one[0].nnodes;
    for (int turn = 0; turn < 8; turn++) {
        double J[BENCH_NODES * BENCH_NODES] = {0};
        double T[BENCH_NODES], low[BENCH_NODES], high[BENCH_NODES];
        double speed = random_between(&r, 0, 60);
        for (int i = 0; i < n; i++) {
            /* away from the corners of the tables and of the law of iron */
            T[i] = 50 * floor(draw(&r, i) / 50) + random_between(&r, 5, 18);
        }
        bench_jacobian(&x.one[0], speed, 0, T, J);
        for (int column = 0; column < n; column++) {
            double at = T[column];
            T[column] = at - 0.5;
            bench_rates_1(&x.one[0], speed, 0, T, low);
            T[column] = at + 0.5;
            bench_rates_1(&x.one[0], speed, 0, T, high);
            T[column] = at;
            for (int row = 0; row < n; row++)
                assert_near(J[column * n + row], high[row] - low[row],
                            1e-5 * fabs(J[row * n + row]));
        }
    }
    drop(&x);
}

/* What lies on a stretch of no length is exact; one step of RK4 by hand, from the exact rates. */
static void a_short_step_is_that_of_the_classical_method(void **state)
{
    (void)state;
    static cars x;
    mbl_car car[BENCH_MOST];
    for (int w = 0; w < BENCH_MOST; w++)
        car[w] = test_coupe();
    make(&x, car);
    const double h = 0.01, v0 = 50.2, v1 = 50.1, power = 4e5;
    bench_step step = {
        .dt = h, .v0 = v0, .v1 = v1, .power = power, .stretch_dt = h, .stretch_v1 = v1, .seen = 1};
    int n = x.one[0].nnodes;
    double T[BENCH_NODES], Y[BENCH_NODES], k[4][BENCH_NODES], peak[BENCH_NODES] = {0};
    for (int i = 0; i < n; i++)
        T[i] = Y[i] = 460 + 3.3 * i;
    static const double at[] = {0, 0.5, 0.5, 1};
    for (int i = 0; i < 4; i++) {
        for (int j = 0; j < n; j++)
            Y[j] = i > 0 ? T[j] + at[i] * h * k[i - 1][j] : T[j];
        bench_rates_1(&x.one[0], v0 + at[i] * (v1 - v0), power, Y, k[i]);
    }
    for (int j = 0; j < n; j++)
        Y[j] = T[j] + h / 6 * (k[0][j] + 2 * k[1][j] + 2 * k[2][j] + k[3][j]);
    bench_rk4_1(&x.one[0], &step, 1, T, peak, NULL);
    for (int j = 0; j < n; j++) {
        assert_near(T[j], Y[j], 1e-9);
        assert_near(peak[j], T[j], 0);
    }
    drop(&x);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_coupe_has_the_flows_of_the_engine_in_every_lane),
        cmocka_unit_test(so_have_random_cars),
        cmocka_unit_test(so_has_a_car_with_friction_of_speed_and_nodes_of_its_own),
        cmocka_unit_test(what_there_is_no_place_for_is_refused),
        cmocka_unit_test(the_jacobian_is_the_slope_of_the_rates),
        cmocka_unit_test(multirate_goes_where_the_plain_method_goes),
        cmocka_unit_test(a_short_step_is_that_of_the_classical_method),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
