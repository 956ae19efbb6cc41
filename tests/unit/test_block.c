/* SPDX-License-Identifier: MIT */
#include "heat/heat.h"
#include "support/coupe.h"
#include "support/random.h"
#include "support/test.h"

enum { STEPS = 400, NODES = MBL_AXLES * MBL_CORNER_NODES, STATE_MAX = 1024 };

/* A drive of our own: pulls, stops and a minute at rest, in steps that are not all alike. */
typedef struct drive_input {
    double time[STEPS + 1], speed[STEPS + 1], power[STEPS];
    mbl_inputs in;
} drive_input;

static const drive_input *input(void)
{
    static drive_input d;
    random_source r = {11};
    for (int k = 0; k <= STEPS; k++) {
        bool parked = k >= 300;
        int phase = k % 100;
        double dt = parked ? 0.6 : 0.05 + 0.01 * random_between(&r, 0, 1);
        d.time[k] = k == 0 ? 0 : d.time[k - 1] + dt;
        d.speed[k] = parked ? 0 : phase < 60 ? 15 + 0.75 * phase : 60 - 1.1 * (phase - 60);
        if (k < STEPS)
            d.power[k] = !parked && phase >= 60 ? 1420 * 9.0 * d.speed[k] : 0;
    }
    d.in = (mbl_inputs){.time = d.time, .speed = d.speed, .power = d.power};
    return &d;
}

/* Cars of one shape; no two alike. */
enum { CARS = MBL_LANES_EIGHT };

static mbl_model *model(int which)
{
    mbl_car car = test_coupe();
    if (which > 0) {
        car.front.rotor.ring_mass += 0.4 * which;
        car.rear.pad.conductivity = 1.5 + which;
        car.front.airflow = 0.3 + 0.05 * which;
        car.rear.pad.friction = (mbl_curve){.n = 1, .x = {293.15}, .y = {0.3 + 0.02 * which}};
    }
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    double ambient = 290 + 7 * which;
    assert_int_equal(mbl_corner_build(&net, &car, ambient, 101325, NULL, NULL), MBL_OK);
    mbl_error err = {0};
    mbl_model *m = NULL;
    assert_ok(mbl_model_make(&net, ambient, &m, &err), err);
    mbl_network_free(&net);
    return m;
}

/* A block takes its own references: the models can be dropped at once. */
static mbl_block *block(const int *which, int used)
{
    mbl_model *models[MBL_LANES_MOST] = {NULL};
    for (int w = 0; w < used; w++)
        models[w] = model(which[w]);
    mbl_error err = {0};
    mbl_block *b = NULL;
    assert_ok(mbl_block_make(&mbl_alloc_libc, models, used, &b, &err), err);
    for (int w = 0; w < used; w++)
        mbl_model_drop(models[w]);
    return b;
}

/* The whole state of a lane: every bit that a result could be made of. */
static void state_of(const mbl_block *b, int lane, double out[STATE_MAX])
{
    memset(out, 0, STATE_MAX * sizeof *out);
    assert_true(mbl_block_state_size(b) <= STATE_MAX);
    mbl_block_save(b, lane, out);
}

static void drive_alone(int which, double out[STATE_MAX])
{
    mbl_block *b = block(&which, 1);
    assert_int_equal(b->lanes, MBL_LANES_ONE);
    mbl_block_run(b, &input()->in, 0, STEPS, NULL);
    state_of(b, 0, out);
    mbl_block_free(b);
}

static void same_bits(const double *a, const double *b)
{
    assert_memory_equal(a, b, STATE_MAX * sizeof *a);
}

static void a_lane_has_the_bits_of_the_same_car_alone(void **state)
{
    (void)state;
    static double alone[CARS][STATE_MAX];
    for (int i = 0; i < CARS; i++) {
        drive_alone(i, alone[i]);
        for (int k = 0; k < i; k++)
            assert_memory_not_equal(alone[k], alone[i], sizeof alone[0]);
    }
    static const int places[][CARS] = {
        {0, 1, 2, 3, 4, 5, 6, 7}, {3, 3, 0, 1, 7, 7, 7, 2}, {2, 0, 0, 0, 0, 0, 0, 6}};
    for (size_t k = 0; k < sizeof places / sizeof places[0]; k++) {
        for (int used = 2; used <= CARS; used++) {
            mbl_block *b = block(places[k], used);
            assert_int_equal(b->lanes, used <= 4 ? MBL_LANES_FOUR : MBL_LANES_EIGHT);
            mbl_block_run(b, &input()->in, 0, STEPS, NULL);
            for (int w = 0; w < used; w++) {
                double got[STATE_MAX];
                state_of(b, w, got);
                same_bits(got, alone[places[k][w]]);
            }
            mbl_block_free(b);
        }
    }
}

/* Even one that has stopped being a number. */
static void a_lane_does_not_notice_a_broken_neighbour(void **state)
{
    (void)state;
    double alone[STATE_MAX];
    double got[STATE_MAX];
    drive_alone(1, alone);
    mbl_block *b = block((const int[]){0, 1, 2, 3}, 4);
    b->H[0 * 4 + 0] = NAN;
    b->H[5 * 4 + 2] = INFINITY;
    mbl_block_run(b, &input()->in, 0, STEPS, NULL);
    assert_false(mbl_block_finite(b));
    state_of(b, 1, got);
    same_bits(got, alone);
    mbl_block_free(b);
}

static void a_run_in_pieces_has_the_bits_of_a_run_in_one(void **state)
{
    (void)state;
    double whole[STATE_MAX];
    double got[STATE_MAX];
    drive_alone(2, whole);
    mbl_block *b = block((const int[]){2}, 1);
    mbl_block_run(b, &input()->in, 0, 0, NULL);
    mbl_block_run(b, &input()->in, 0, 37, NULL);
    mbl_block_run(b, &input()->in, 37, 38, NULL);
    mbl_block_run(b, &input()->in, 38, STEPS, NULL);
    state_of(b, 0, got);
    same_bits(got, whole);
    mbl_block_free(b);
}

static void a_saved_lane_goes_on_as_if_nothing_had_been_in_between(void **state)
{
    (void)state;
    double whole[STATE_MAX];
    double kept[STATE_MAX];
    double got[STATE_MAX];
    drive_alone(3, whole);
    mbl_block *b = block((const int[]){3}, 1);
    mbl_block_run(b, &input()->in, 0, 150, NULL);
    state_of(b, 0, kept);
    mbl_block_run(b, &input()->in, 0, 90, NULL); /* something tried in between */
    mbl_block_load(b, 0, kept);
    state_of(b, 0, got);
    same_bits(got, kept);
    mbl_block_run(b, &input()->in, 150, STEPS, NULL);
    state_of(b, 0, got);
    same_bits(got, whole);

    /* and in a lane of a wider block, whose other lanes are left alone */
    mbl_block *wide = block((const int[]){0, 1, 3, 2}, 4);
    double neighbour[STATE_MAX];
    double untouched[STATE_MAX];
    state_of(wide, 1, neighbour);
    mbl_block_load(wide, 2, kept);
    state_of(wide, 1, untouched);
    same_bits(untouched, neighbour);
    mbl_block_run(wide, &input()->in, 150, STEPS, NULL);
    state_of(wide, 2, got);
    same_bits(got, whole);
    mbl_block_free(wide);
    mbl_block_free(b);
}

static void a_block_starts_at_the_ambient_of_each_lane(void **state)
{
    (void)state;
    mbl_block *b = block((const int[]){0, 1, 2, 3}, 4);
    for (int w = 0; w < 4; w++) {
        assert_near(b->ambient[w], 290 + 7 * w, 0);
        for (int i = 0; i < NODES; i++)
            assert_near(b->T[i * 4 + w], 290 + 7 * w, 0);
    }
    mbl_block_free(b);
}

static void setting_a_node_starts_the_sums_of_its_lane_again(void **state)
{
    (void)state;
    mbl_block *b = block((const int[]){0, 1}, 2);
    mbl_block_run(b, &input()->in, 0, 200, NULL);
    assert_true(b->heat[0] > 0 && b->work[0] > 0);
    double other = b->heat[1];
    mbl_block_set(b, 0, MBL_CORE, 600);
    assert_near(b->T[MBL_CORE * 4], 600, 0);
    assert_near(b->heat[0], 0, 0);
    assert_near(b->work[0], 0, 0);
    assert_near(mbl_block_stored(b, 0), 0, 0);
    assert_near(mbl_block_residual(b, 0), 0, 0);
    assert_near(b->heat[1], other, 0);
    mbl_block_free(b);
}

/* The record against the same drive taken step by step. */
static void peaks_and_watches_are_those_of_the_ends_of_the_steps(void **state)
{
    (void)state;
    static double peak[NODES * 4], peak_at[NODES * 4];
    mbl_watch watch[2] = {{.node = MBL_FACE, .level = {420, 450, 480, 1e9}},
                          {.node = MBL_CALIPER, .level = {0, 0, 0, 0}}};
    mbl_record record = {
        .offset = 1000, .peak = peak, .peak_at = peak_at, .nwatches = 2, .watch = watch};
    const drive_input *d = input();
    mbl_block *b = block((const int[]){0, 1, 2, 3}, 4);
    mbl_record_clear(b, &record, 1000);
    mbl_block_run(b, &d->in, 0, STEPS, &record);

    mbl_block *by_step = block((const int[]){0, 1, 2, 3}, 4);
    double highest[4] = {0};
    double when[4] = {0};
    double above[4] = {0};
    double first[4] = {NAN, NAN, NAN, NAN};
    for (size_t k = 0; k < STEPS; k++) {
        double before[4];
        for (int w = 0; w < 4; w++)
            before[w] = by_step->T[MBL_FACE * 4 + w];
        mbl_block_run(by_step, &d->in, k, k + 1, NULL);
        for (int w = 0; w < 4; w++) {
            double T = by_step->T[MBL_FACE * 4 + w];
            double dt = d->time[k + 1] - d->time[k];
            double over0 = fmax(before[w] - watch[0].level[w], 0);
            double over1 = fmax(T - watch[0].level[w], 0);
            if (T > highest[w]) {
                highest[w] = T;
                when[w] = 1000 + d->time[k + 1];
            }
            /* straight through the step: of two similar triangles the one above the level */
            if (over0 + over1 > 0)
                above[w] +=
                    over0 > 0 && over1 > 0 ? dt : dt * (over0 + over1) / fabs(T - before[w]);
            if (over1 > 0)
                first[w] = isnan(first[w]) ? 1000 + d->time[k + 1] : first[w];
        }
    }
    for (int w = 0; w < 4; w++) {
        assert_near(peak[MBL_FACE * 4 + w], highest[w], 0);
        assert_near(peak_at[MBL_FACE * 4 + w], when[w], 0);
        assert_near(watch[0].above[w], above[w], 1e-12);
        assert_near(watch[1].above[w], d->time[STEPS], 1e-9);
        assert_near(watch[1].first[w], 1000 + d->time[1], 0);
    }
    for (int w = 0; w < 3; w++) {
        assert_true(above[w] > 0);
        assert_near(watch[0].first[w], first[w], 0);
    }
    assert_true(isnan(watch[0].first[3]));
    assert_near(watch[0].above[3], 0, 0);

    mbl_record_clear(b, &record, 7);
    assert_near(peak[MBL_FACE * 4], b->T[MBL_FACE * 4], 0);
    assert_near(peak_at[MBL_FACE * 4], 7, 0);
    assert_true(isnan(watch[1].first[0]));
    assert_near(watch[1].above[0], 0, 0);
    mbl_block_free(by_step);
    mbl_block_free(b);
}

/* The power of the trace is heat to the last instant of a stop, at a pressure that stays finite. */
static void power_is_heat_at_any_speed_and_the_pressure_stays_finite(void **state)
{
    (void)state;
    double time[] = {0, 1};
    double power[] = {2000};
    for (double v = 0; v < 3; v += 0.25) {
        double speed[] = {v, v};
        mbl_inputs in = {.time = time, .speed = speed, .power = power};
        mbl_block *b = block((const int[]){0}, 1);
        mbl_block_run(b, &in, 0, 1, NULL);
        assert_close(b->heat[0], 1000.0, 1e-13);
        double p = b->pressure[0];
        assert_true(p > 0);
        if (v > 0.5) {
            /* 2000 W at v: force over the gains of both axles at their friction of the stage */
            double force = p * (b->gain[0] * b->mu[0] + b->gain[1] * b->mu[1]);
            assert_close(force, 2000 / v, 1e-12);
        } else {
            assert_true(p < 2000 / 0.4 / (b->gain[0] * 0.38 + b->gain[1] * 0.38));
        }
        mbl_block_free(b);
    }
}

static void without_speed_and_power_there_is_no_heat(void **state)
{
    (void)state;
    double time[] = {0, 1, 2};
    mbl_inputs in = {.time = time};
    mbl_block *b = block((const int[]){0}, 1);
    mbl_block_run(b, &in, 0, 2, NULL);
    assert_near(b->heat[0], 0, 0);
    assert_near(b->pressure[0], 0, 0);
    mbl_block_free(b);
}

/* Of 100 kW at the tyres one of two wheels of each axle is modelled: 50 kW. */
static void the_heat_of_one_wheel_an_axle_is_half_of_the_power(void **state)
{
    (void)state;
    double time[] = {0, 0.1};
    double speed[] = {40, 40};
    double power[] = {1e5};
    mbl_inputs in = {.time = time, .speed = speed, .power = power};
    mbl_block *b = block((const int[]){0}, 1);
    mbl_block_run(b, &in, 0, 1, NULL);
    assert_close(b->heat[0], 5000.0, 1e-13);
    assert_close(b->work[0] + b->work[1], 5000.0, 1e-13);
    mbl_block_free(b);
}

/* The first lane's, whatever runs beside it. */
static void flows_do_not_change_the_state_and_agree_between_widths(void **state)
{
    (void)state;
    double before[STATE_MAX];
    double after[STATE_MAX];
    double want[NODES];
    for (int used = 1; used <= CARS; used++) {
        double got[NODES];
        mbl_block *b = block((const int[]){1, 2, 0, 3, 4, 5, 6, 7}, used);
        mbl_block_run(b, &input()->in, 0, 90, NULL);
        state_of(b, 0, before);
        double pressure = b->pressure[0];
        mbl_block_flows(b, 33, 2e5, NULL, got);
        if (used == 1)
            memcpy(want, got, sizeof want);
        assert_memory_equal(got, want, sizeof want);
        /* but for the line pressure, which is that of the last evaluation */
        assert_true(b->pressure[0] != pressure);
        b->pressure[0] = pressure;
        state_of(b, 0, after);
        same_bits(before, after);
        mbl_block_free(b);
    }
}

static void lanes_of_another_shape_are_refused(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.rear.rotor.vanes = 0;
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(&net, &car, 300, 101325, NULL, NULL), MBL_OK);
    mbl_error err = {0};
    mbl_model *models[2] = {model(0), NULL};
    assert_ok(mbl_model_make(&net, 300, &models[1], &err), err);
    mbl_block *b = NULL;
    assert_int_equal(mbl_block_make(&mbl_alloc_libc, models, 2, &b, &err), MBL_INTERNAL);
    assert_null(b);
    assert_has(err.text, "shape");
    err = (mbl_error){0};
    assert_int_equal(mbl_block_make(&mbl_alloc_libc, models, 0, &b, &err), MBL_INTERNAL);
    assert_int_equal(mbl_block_make(&mbl_alloc_libc, models, MBL_LANES_EIGHT + 1, &b, &err),
                     MBL_INTERNAL);
    assert_null(b);
    mbl_network_free(&net);
    mbl_model_drop(models[0]);
    mbl_model_drop(models[1]);
    mbl_block_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_lane_has_the_bits_of_the_same_car_alone),
        cmocka_unit_test(a_lane_does_not_notice_a_broken_neighbour),
        cmocka_unit_test(a_run_in_pieces_has_the_bits_of_a_run_in_one),
        cmocka_unit_test(a_saved_lane_goes_on_as_if_nothing_had_been_in_between),
        cmocka_unit_test(a_block_starts_at_the_ambient_of_each_lane),
        cmocka_unit_test(setting_a_node_starts_the_sums_of_its_lane_again),
        cmocka_unit_test(peaks_and_watches_are_those_of_the_ends_of_the_steps),
        cmocka_unit_test(power_is_heat_at_any_speed_and_the_pressure_stays_finite),
        cmocka_unit_test(without_speed_and_power_there_is_no_heat),
        cmocka_unit_test(the_heat_of_one_wheel_an_axle_is_half_of_the_power),
        cmocka_unit_test(flows_do_not_change_the_state_and_agree_between_widths),
        cmocka_unit_test(lanes_of_another_shape_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
