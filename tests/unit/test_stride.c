/* SPDX-License-Identifier: MIT */
/* The strides: the bits of their lanes, and where their heat goes. */
#include "heat/stride_kernel.h"
#include "support/coupe.h"
#include "support/lanes.h"
#include "support/random_car.h"
#include "support/strides.h"

/* ---- bits ---- */

/* Cars of one shape, no two alike: bare, with a valve, with pads that feel pressure, capped, and
 * the same once more. */
enum { CARS = 8 };
static const double caps[CARS] = {MBL_NO_CAP, MBL_NO_CAP, MBL_NO_CAP, 4e6,
                                  MBL_NO_CAP, MBL_NO_CAP, MBL_NO_CAP, 3e6};

static mbl_car car_of(int which)
{
    mbl_car car = which % 4 == 1 ? test_coupe_with(test_pedal_valve) : test_coupe();
    car.front.rotor.ring_mass += 0.2 * which;
    car.rear.pad.conductivity = 1.5 + 0.5 * which;
    car.front.airflow = 0.3 + 0.05 * which;
    if (which % 4 == 2) {
        car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.93}};
        car.rear.pad.speed_effect = (mbl_curve){.n = 2, .x = {0, 60}, .y = {1.04, 0.9}};
    }
    return car;
}

/* Do the tests of bits look at the kernels of single precision? */
static bool screening;

static mbl_block *lanes(const int *which, int used)
{
    mbl_car cars[MBL_LANES_MOST];
    for (int w = 0; w < used; w++)
        cars[w] = car_of(which[w]);
    mbl_block *b = lanes_made(cars, used, screening);
    for (int w = 0; w < b->lanes; w++)
        b->cap[w] = caps[which[w < used ? w : used - 1]];
    return b;
}

/* Pulls and stops of 9 m/s2, with noise, and a second leg of them. */
static strides drive;
static size_t second; /* step at which it begins */

static int set_up(void **state)
{
    (void)state;
    mbl_block *b = lanes((const int[]){0}, 1);
    strides_of(lanes_drive(), 299, &drive); /* the next is at rest at once */
    strides_noise(&drive, 0.15, 5);
    strides_cut(&drive, b->model[0], MBL_MODE_DEFAULT);
    second = drive.n;
    drive.n *= 2;
    drive.step = realloc(drive.step, drive.n * sizeof *drive.step);
    assert_non_null(drive.step);
    memcpy(drive.step + second, drive.step, second * sizeof *drive.step);
    mbl_block_free(b);
    return 0;
}

static int set_up_single(void **state)
{
    screening = true;
    return set_up(state);
}

static int tear_down(void **state)
{
    (void)state;
    strides_free(&drive);
    return 0;
}

static void run_alone(int which, double out[LANE_STATE])
{
    mbl_block *b = lanes(&which, 1);
    assert_int_equal(b->lanes, MBL_LANES_ONE);
    strides_run(b, &drive, NULL);
    lane_state(b, 0, out);
    mbl_block_free(b);
}

static void a_lane_has_the_bits_of_the_same_car_alone_wherever_it_runs(void **state)
{
    (void)state;
    static double alone[CARS][LANE_STATE];
    for (int i = 0; i < CARS; i++)
        run_alone(i, alone[i]);
    for (int i = 1; i < CARS; i++)
        assert_memory_not_equal(alone[0], alone[i], sizeof alone[0]);
    static const int places[][CARS] = {{0, 1, 2, 3, 4, 5, 6, 7},
                                       {3, 3, 0, 1, 7, 7, 4, 4},
                                       {2, 0, 0, 0, 0, 0, 0, 5},
                                       {4, 0, 4, 0, 0, 4, 0, 4}}; /* bare ones only */
    for (size_t k = 0; k < sizeof places / sizeof places[0]; k++) {
        for (int used = 2; used <= CARS; used++) {
            mbl_block *b = lanes(places[k], used);
            assert_int_equal(b->lanes, used <= 4 ? MBL_LANES_FOUR : MBL_LANES_EIGHT);
            strides_run(b, &drive, NULL);
            for (int w = 0; w < used; w++) {
                double got[LANE_STATE];
                lane_state(b, w, got);
                lane_same_bits(got, alone[places[k][w]]);
            }
            mbl_block_free(b);
        }
    }
}

/* Even one that has stopped being a number. */
static void a_lane_does_not_notice_a_broken_neighbour(void **state)
{
    (void)state;
    double alone[LANE_STATE];
    double got[LANE_STATE];
    run_alone(1, alone);
    mbl_block *b = lanes((const int[]){0, 1, 2, 3}, 4);
    b->H[MBL_FACE * 4 + 0] = NAN;
    b->H[MBL_FLUID * 4 + 2] = INFINITY;
    strides_run(b, &drive, NULL);
    assert_false(mbl_block_finite(b));
    lane_state(b, 1, got);
    lane_same_bits(got, alone);
    mbl_block_free(b);
}

/* A kernel of either kind. */
typedef struct kernel {
    mbl_stride_kernel *whole;
    mbl_stride_kernel_single *single;
} kernel;

static void go(const kernel *k, mbl_block *b, size_t first, size_t last, double time, mbl_record *r)
{
    if (k->whole != NULL) {
        k->whole(b, drive.step, first, last, time, r);
        return;
    }
    mbl_single_enter(b);
    k->single(b->single, drive.step, first, last, time, r);
    mbl_single_leave(b);
}

/* One kernel on blocks of `from` to `most` lanes in use, against each car alone. */
static void check_kernel(kernel of, int from, int most)
{
    static double peak[2][1024], peak_at[2][1024];
    static const int order[MBL_LANES_MOST] = {7, 1, 2, 3, 4, 5, 6, 0, 1, 0, 7, 5, 3, 2, 6, 4};
    for (int used = from; used <= most; used++) {
        mbl_block *b = lanes(order, used);
        mbl_record record = {.peak = peak[0], .peak_at = peak_at[0]};
        mbl_record_clear(b, &record, 0);
        mbl_block_stride(b, drive.step, 0, 0, 0, NULL); /* what it sets, and no step */
        double time = 0;
        random_source r = {(uint64_t)used};
        for (size_t k = 0; k < drive.n;) { /* split anywhere */
            size_t last = k + (size_t)random_below(&r, 60);
            last = last < drive.n ? last : drive.n;
            go(&of, b, k, last, time, &record);
            for (; k < last; k++)
                time += drive.step[k].dt;
        }
        int nodes = b->model[0]->nnodes;
        for (int w = 0; w < b->lanes; w++) { /* those that nobody asked for too */
            int which = order[w < used ? w : used - 1];
            mbl_record own = {.peak = peak[1], .peak_at = peak_at[1]};
            double alone[LANE_STATE];
            double got[LANE_STATE];
            mbl_block *one = lanes(&which, 1);
            mbl_record_clear(one, &own, 0);
            strides_run(one, &drive, &own);
            lane_state(one, 0, alone);
            lane_state(b, w, got);
            lane_same_bits(got, alone);
            assert_true(b->T[MBL_FACE * b->lanes + w] > 350);
            for (int n = 0; n < nodes; n++) {
                assert_near(peak[0][n * b->lanes + w], peak[1][n], 0);
                assert_near(peak_at[0][n * b->lanes + w], peak_at[1][n], 1e-9);
            }
            mbl_block_free(one);
        }
        mbl_block_free(b);
    }
}

/* Those that this processor can run; the plain ones are always among them. */
static void every_kernel_gives_the_bits_of_the_car_alone(void **state)
{
    (void)state;
    check_kernel((kernel){.whole = mbl_stride_run_1}, 1, 1);
    check_kernel((kernel){.whole = mbl_stride_run_4}, 2, 4);
    check_kernel((kernel){.whole = mbl_stride_run_8}, 5, 8);
    int wide = 0;
#ifdef MBL_HAVE_AVX2
    if (__builtin_cpu_supports("avx2")) {
        check_kernel((kernel){.whole = mbl_stride_run_1_avx2}, 1, 1);
        check_kernel((kernel){.whole = mbl_stride_run_4_avx2}, 2, 4);
        wide += 2;
    }
#endif
#ifdef MBL_HAVE_AVX512
    if (__builtin_cpu_supports("avx512f")) {
        check_kernel((kernel){.whole = mbl_stride_run_8_avx512}, 5, 8);
        wide++;
        assert_int_equal(mbl_lanes_best(), MBL_LANES_EIGHT);
    }
#endif
    printf("%d kernels of wider registers\n", wide);
    assert_true(mbl_lanes_best() == MBL_LANES_FOUR || mbl_lanes_best() == MBL_LANES_EIGHT);
}

static void every_kernel_of_single_precision_gives_the_bits_of_the_car_alone(void **state)
{
    (void)state;
    check_kernel((kernel){.single = mbl_stride_run_1_single}, 1, 1);
    check_kernel((kernel){.single = mbl_stride_run_4_single}, 2, 4);
    check_kernel((kernel){.single = mbl_stride_run_8_single}, 5, 8);
    check_kernel((kernel){.single = mbl_stride_run_16_single}, 9, 16);
    int wide = 0;
#ifdef MBL_HAVE_AVX2
    if (__builtin_cpu_supports("avx2")) {
        check_kernel((kernel){.single = mbl_stride_run_8_single_avx2}, 5, 8);
        wide++;
    }
#endif
#ifdef MBL_HAVE_AVX512
    if (__builtin_cpu_supports("avx512f")) {
        check_kernel((kernel){.single = mbl_stride_run_16_single_avx512}, 9, 16);
        wide++;
        assert_int_equal(mbl_lanes_best_single(), MBL_LANES_SIXTEEN);
    }
#endif
    printf("%d kernels of wider registers\n", wide);
    assert_true(mbl_lanes_best_single() >= MBL_LANES_EIGHT);
}

/* Split at every step, at a few, and with calls for no step at all. */
static void a_run_in_pieces_has_the_bits_of_a_run_in_one(void **state)
{
    (void)state;
    double whole[LANE_STATE];
    double got[LANE_STATE];
    static double peak[3][64], peak_at[3][64];
    mbl_block *b = lanes((const int[]){1}, 1);
    for (int way = 0; way < 3; way++) {
        mbl_record record = {.offset = 50, .peak = peak[way], .peak_at = peak_at[way]};
        random_source r = {3};
        double time = 0;
        mbl_block_start(b, 300);
        mbl_record_clear(b, &record, 50);
        for (size_t k = 0; k < drive.n;) {
            size_t n = way == 0 ? drive.n : way == 1 ? 1 : (size_t)random_below(&r, 40);
            size_t last = k + n < drive.n ? k + n : drive.n;
            mbl_block_stride(b, drive.step, k, last, time, &record);
            for (; k < last; k++)
                time += drive.step[k].dt;
        }
        lane_state(b, 0, way == 0 ? whole : got);
        if (way == 0)
            continue;
        lane_same_bits(got, whole);
        assert_memory_equal(peak[way], peak[0], sizeof peak[0]);
        assert_memory_equal(peak_at[way], peak_at[0], sizeof peak_at[0]);
    }
    mbl_block_free(b);
}

/* Kept between legs, as between laps. */
static void a_saved_lane_goes_on_as_if_nothing_had_been_in_between(void **state)
{
    (void)state;
    double whole[LANE_STATE];
    double kept[LANE_STATE];
    double got[LANE_STATE];
    run_alone(3, whole);
    size_t half = second;
    double time = 0;
    for (size_t k = 0; k < half; k++)
        time += drive.step[k].dt;
    mbl_block *b = lanes((const int[]){3}, 1);
    mbl_block_stride(b, drive.step, 0, half, 0, NULL);
    lane_state(b, 0, kept);
    mbl_block_stride(b, drive.step, 0, half / 2, 0, NULL); /* something tried in between */
    mbl_block_run(b, lanes_drive(), 300, LANE_STEPS, NULL);
    mbl_block_load(b, 0, kept);
    mbl_block_stride(b, drive.step, half, drive.n, time, NULL);
    lane_state(b, 0, got);
    lane_same_bits(got, whole);
    mbl_block_free(b);
}

/* ---- where the heat goes ---- */

/* Nodes and links of one's own: a heavy shroud on the pads' bodies, and a tank on the caliper. */
static void add_own(mbl_brake *b)
{
    b->nodes.n = 2;
    b->nodes.v[0] = (mbl_extra_node){.name = "shroud", .capacity = 900};
    b->nodes.v[1] = (mbl_extra_node){.name = "tank", .capacity = 400};
    b->links.n = 5;
    b->links.v[0] = (mbl_extra_link){.from = "pad.body2", .to = "shroud", .conductance = 30};
    b->links.v[1] = (mbl_extra_link){.from = "shroud", .to = "ambient", .conductance = 8};
    b->links.v[2] = (mbl_extra_link){.from = "tank", .to = "caliper", .conductance = 12};
    b->links.v[3] = (mbl_extra_link){.from = "rotor.core", .to = "ambient", .conductance = 6};
    b->links.v[4] = (mbl_extra_link){.from = "rotor.hat", .to = "hub", .conductance = 9};
}

static void the_ledger_closes_for_any_car(void **state)
{
    (void)state;
    static random_stint stint;
    double worst = 0;
    int strode = 0;
    for (int seed = 1; seed <= random_cases(12); seed++) {
        mbl_car car = random_car((uint64_t)seed);
        if (seed % 2 == 0) {
            add_own(&car.front);
            add_own(&car.rear);
        }
        random_stint_make((uint64_t)seed, &car, 3, &stint);
        strides s;
        strides_of(&stint.in, stint.parked, &s);
        if (seed % 3 == 0)
            strides_noise(&s, 0.2, (uint64_t)seed);
        mbl_block *b = random_car_block(&car, 290);
        if (mbl_model_macro(b->model[0]) > 0) {
            strode++;
            strides_cut(&s, b->model[0], seed % 4 == 0 ? MBL_MODE_FINE : MBL_MODE_DEFAULT);
            for (int lap = 0; lap < 2; lap++) {
                strides_run(b, &s, NULL);
                lane_wear(b, 0, &car);
            }
            /* two wheels of one side are modelled */
            assert_close(2 * b->heat[0] + b->shortfall[0], 2 * strides_energy(&s), 1e-12);
            assert_close(b->work[0] + b->work[1], b->heat[0], 1e-13);
            worst = fmax(worst, fabs(mbl_block_residual(b, 0)));
        }
        mbl_block_free(b);
        strides_free(&s);
    }
    printf("worst residual of %d cars: %.1e\n", strode, worst);
    assert_true(strode >= 8);
    assert_true(worst > 0 && worst < 1e-12);
}

static void what_a_cap_leaves_undone_is_the_rest_of_the_energy(void **state)
{
    (void)state;
    static const char *const pedals[] = {NULL, test_pedal_bar, test_pedal_tandem, test_pedal_valve};
    for (size_t i = 0; i < sizeof pedals / sizeof pedals[0]; i++) {
        mbl_car car = test_coupe(); /* friction that fades */
        if (pedals[i] != NULL)
            test_fill(&mbl_pedal_schema, pedals[i], &car.pedal);
        car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.93}};
        mbl_block *b = lanes_of(&car, 1);
        b->cap[0] = 3e6;
        double time = 0;
        for (size_t k = 0; k < drive.n; k++) {
            double before = b->shortfall[0];
            double energy = drive.step[k].power * drive.step[k].dt;
            mbl_block_stride(b, drive.step, k, k + 1, time, NULL);
            time += drive.step[k].dt;
            double undone = b->shortfall[0] - before;
            assert_true(b->pressure[0] <= 3e6);
            assert_true(undone >= -1e-9 * energy && undone <= energy);
        }
        double asked = 2 * strides_energy(&drive); /* two legs */
        assert_true(b->shortfall[0] > 0.1 * asked && b->shortfall[0] < 0.9 * asked);
        assert_close(2 * b->heat[0] + b->shortfall[0], asked, 1e-12);
        assert_near(mbl_block_residual(b, 0), 0, 1e-12);
        mbl_block_free(b);
    }
}

static void a_cap_that_is_never_reached_changes_no_bit(void **state)
{
    (void)state;
    double want[LANE_STATE];
    double got[LANE_STATE];
    mbl_block *b = lanes((const int[]){1}, 1);
    strides_run(b, &drive, NULL);
    lane_state(b, 0, want);
    mbl_block_start(b, 300);
    b->cap[0] = 5e7; /* 500 bar */
    strides_run(b, &drive, NULL);
    lane_state(b, 0, got);
    lane_same_bits(got, want);
    assert_near(b->shortfall[0], 0, 0);
    mbl_block_free(b);
}

/* ---- single precision ---- */

/* The same steps in both: what rounding does to temperatures, totals and the ledger. */
static void single_precision_rounds_and_does_no_more(void **state)
{
    (void)state;
    double apart = 0;
    double residual = 0;
    for (int which = 0; which < CARS; which++) {
        mbl_car car = car_of(which);
        mbl_block *b[2] = {lanes_made(&car, 1, false), lanes_made(&car, 1, true)};
        for (int k = 0; k < 2; k++) {
            b[k]->cap[0] = caps[which];
            strides_run(b[k], &drive, NULL);
        }
        for (int n = 0; n < b[0]->model[0]->nnodes; n++)
            apart = fmax(apart, fabs(b[0]->T[n] - b[1]->T[n]));
        residual = fmax(residual, fabs(mbl_block_residual(b[1], 0)));
        assert_true(b[0]->T[MBL_FACE] > 350);
        assert_true(memcmp(b[0]->T, b[1]->T, sizeof(double)) != 0);
        assert_close(b[1]->heat[0], b[0]->heat[0], 1e-6);
        assert_close(b[1]->work[1], b[0]->work[1], 1e-6);
        assert_close(b[1]->worn[0], b[0]->worn[0], 1e-5);
        assert_close(b[1]->lost[0], b[0]->lost[0], 1e-5);
        if (caps[which] < MBL_NO_CAP)
            assert_close(b[1]->shortfall[0], b[0]->shortfall[0], 1e-5);
        mbl_block_free(b[0]);
        mbl_block_free(b[1]);
    }
    printf("single precision: %.1e K apart, %.1e of the heat unaccounted for\n", apart, residual);
    assert_true(apart > 1e-9 && apart < 0.02);
    assert_true(residual > 1e-12 && residual < 1e-5);
}

/* Double precision has no kernel of sixteen lanes. */
static void sixteen_lanes_are_for_screening(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_block *b = NULL;
    mbl_model *models[MBL_LANES_MOST + 1] = {NULL};
    mbl_car car = test_coupe();
    mbl_block *one = lanes_of(&car, 1);
    for (int w = 0; w <= MBL_LANES_MOST; w++)
        models[w] = one->model[0];
    assert_int_equal(mbl_block_make(&mbl_alloc_libc, models, 9, &b, &err), MBL_INTERNAL);
    assert_non_null(strstr(err.text, "1 to 8"));
    err = (mbl_error){0};
    assert_int_equal(mbl_block_make_single(&mbl_alloc_libc, models, 17, &b, &err), MBL_INTERNAL);
    assert_non_null(strstr(err.text, "1 to 16"));
    assert_ok(mbl_block_make_single(&mbl_alloc_libc, models, 9, &b, &err), err);
    assert_int_equal(b->lanes, MBL_LANES_SIXTEEN);
    mbl_block_free(b);
    mbl_block_free(one);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_lane_has_the_bits_of_the_same_car_alone_wherever_it_runs),
        cmocka_unit_test(a_lane_does_not_notice_a_broken_neighbour),
        cmocka_unit_test(every_kernel_gives_the_bits_of_the_car_alone),
        cmocka_unit_test(a_run_in_pieces_has_the_bits_of_a_run_in_one),
        cmocka_unit_test(a_saved_lane_goes_on_as_if_nothing_had_been_in_between),
        cmocka_unit_test(the_ledger_closes_for_any_car),
        cmocka_unit_test(what_a_cap_leaves_undone_is_the_rest_of_the_energy),
        cmocka_unit_test(a_cap_that_is_never_reached_changes_no_bit),
    };
    const struct CMUnitTest single[] = {
        cmocka_unit_test(a_lane_has_the_bits_of_the_same_car_alone_wherever_it_runs),
        cmocka_unit_test(a_lane_does_not_notice_a_broken_neighbour),
        cmocka_unit_test(every_kernel_of_single_precision_gives_the_bits_of_the_car_alone),
        cmocka_unit_test(a_run_in_pieces_has_the_bits_of_a_run_in_one),
        cmocka_unit_test(a_saved_lane_goes_on_as_if_nothing_had_been_in_between),
        cmocka_unit_test(a_cap_that_is_never_reached_changes_no_bit),
        cmocka_unit_test(single_precision_rounds_and_does_no_more),
        cmocka_unit_test(sixteen_lanes_are_for_screening),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down) +
           cmocka_run_group_tests(single, set_up_single, tear_down);
}
