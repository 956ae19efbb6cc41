/* SPDX-License-Identifier: MIT */
/* What braking wears off in the kernel, and what pads are from lap to lap. */
#include "support/coupe.h"
#include "support/lanes.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES, LAP = 100 };

/* Both axles wear this much (m3/J) at any temperature, and rub with one friction at any. */
static mbl_car wearing(double front, double rear)
{
    mbl_car car = test_coupe();
    const mbl_curve even = {.n = 1, .x = {300}, .y = {1}};
    const mbl_curve flat = {.n = 1, .x = {300}, .y = {0.42}};
    car.front.pad.wear = front;
    car.rear.pad.wear = rear;
    car.front.pad.wear_effect = car.rear.pad.wear_effect = even;
    car.front.pad.friction = car.rear.pad.friction = flat;
    return car;
}

/* Drives, and gives the pads their thickness every LAP steps. */
static void drive_laps(mbl_block *b, const mbl_car cars[])
{
    for (size_t k = 0; k < LANE_STEPS; k += LAP) {
        for (int w = 0; w < b->used; w++)
            lane_wear(b, w, &cars[w]);
        mbl_block_run(b, lanes_drive(), k, k + LAP, NULL);
    }
}

static int path_of(const mbl_block *b, const char *name)
{
    for (int p = 0; p < b->model[0]->npaths; p++) {
        if (strcmp(b->model[0]->path[p], name) == 0)
            return p;
    }
    fail_msg("no path %s", name);
    return 0;
}

/* ---- what is worn off ---- */

static void wear_that_goes_by_energy_alone_is_work_times_wear(void **state)
{
    (void)state;
    mbl_car car = wearing(3e-13, 7e-14);
    mbl_block *b = lanes_of(&car, 1);
    mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
    assert_true(b->work[0] > 1e5 && b->work[1] > 1e5);
    assert_close(b->worn[0], 3e-13 * b->work[0], 1e-13);
    assert_close(b->worn[1], 7e-14 * b->work[1], 1e-13);
    mbl_block_free(b);
}

/*
 * 5e-14 m3/J below 550 C (150 K below the window's upper end), above it by
 * exp(60000 / 8.314463 x (1 / 823.15 - 1 / T)): 2.11400 at 900 K, 4.71334 at 1000 K, by hand.
 */
static void at_every_temperature_it_is_what_the_law_says(void **state)
{
    (void)state;
    static const struct {
        double T, wear;
    } rows[] = {{300, 5e-14}, {800, 5e-14}, {900, 5e-14 * 2.11400}, {1000, 5e-14 * 4.71334}};
    mbl_car car = test_coupe();
    car.front.pad.wear = car.rear.pad.wear = 5e-14;
    car.front.pad.wear_activation = 6e4;
    mbl_block *b = lanes_of(&car, 1);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_block_start(b, 300);
        mbl_block_set(b, 0, mbl_corner_index(0, MBL_PAD_FACE), rows[i].T);
        lanes_step(b, 1e-7, 40, 4e5); /* too short to warm anything */
        assert_close(b->worn[0] / b->work[0], rows[i].wear, 1e-5);
        assert_close(b->worn[1] / b->work[1], 5e-14, 1e-12);
    }
    mbl_block_free(b);
}

/* A law that rises by a straight line, so that its mean over a step is that of its ends. */
static void over_a_drive_it_is_the_integral_of_work_and_law(void **state)
{
    (void)state;
    mbl_car car = wearing(1e-13, 1e-13);
    car.front.pad.wear_effect = (mbl_curve){.n = 2, .x = {300, 1300}, .y = {1, 6}};
    mbl_block *b = lanes_of(&car, 1);
    double sum = 0;
    for (size_t k = 0; k < LANE_STEPS; k++) {
        double T = b->T[MBL_PAD_FACE];
        double work = b->work[0];
        mbl_block_run(b, lanes_drive(), k, k + 1, NULL);
        double mean = 0.5 * (T + b->T[MBL_PAD_FACE]);
        sum += (b->work[0] - work) * 1e-13 * (1 + 5 * (mean - 300) / 1000);
    }
    assert_true(b->T[MBL_PAD_FACE] > 400);
    assert_close(b->worn[0], sum, 2e-3);
    assert_true(b->worn[0] > 1.5 * 1e-13 * b->work[0]);
    mbl_block_free(b);
}

static void the_cap_on_pressure_spares_the_pads(void **state)
{
    (void)state;
    mbl_car car = wearing(1e-13, 1e-13);
    mbl_block *b = lanes_of(&car, 1);
    b->cap[0] = 2e6;
    mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
    assert_true(b->shortfall[0] > 0);
    assert_close(b->worn[0] + b->worn[1], 1e-13 * b->heat[0], 1e-13);
    mbl_block_free(b);
}

/* ---- thickness ---- */

/* Fixed conductance, or area of a film, of the link between two nodes. */
static double link_value(const mbl_block *b, mbl_link_kind kind, int from, int to)
{
    const mbl_model *m = b->model[0];
    for (int k = 0; k < m->nlinks; k++) {
        if (m->link[k].kind == kind && m->link[k].from == from && m->link[k].to == to)
            return b->value[k];
    }
    fail_msg("no link from %d to %d", from, to);
    return NAN;
}

/*
 * Two pads of 42 cm2, 2700 kg/m3, 900 J/kgK, 3 W/mK in layers of 5, 25 and 70 %, on plates of 5 mm
 * of steel of 45 W/mK.
 */
static void a_lap_later_the_pads_are_as_thin_as_they_are_worn(void **state)
{
    (void)state;
    mbl_car car = wearing(0, 1.2e-10);
    mbl_block *b = lanes_of(&car, 1);
    mbl_block_run(b, lanes_drive(), 0, LAP, NULL);
    double t = 0.014 - 1.2e-10 * b->work[1] / (2 * 42e-4);
    assert_true(t > 0.004 && t < 0.012);
    assert_close(mbl_corner_pad_left(b, 0, 1, &car.rear.pad), t, 1e-12);
    assert_near(mbl_corner_pad_left(b, 0, 0, &car.front.pad), 0.011, 0);
    const double A = 2 * 42e-4;
    int face = mbl_corner_index(1, MBL_PAD_FACE);
    /* in the lap they wear in they still store and conduct as before */
    assert_close(b->scale[face], A * 0.05 * 0.014 * 2700 * 900, 1e-12);
    lane_wear(b, 0, &car);
    assert_close(b->scale[face], A * 0.05 * t * 2700 * 900, 1e-12);
    assert_close(b->scale[face + 1], A * 0.25 * t * 2700 * 900, 1e-12);
    assert_close(b->scale[face + 2], A * 0.70 * t * 2700 * 900, 1e-12);
    assert_close(link_value(b, MBL_LINK_FIXED, face, face + 1), 3 * A / (0.15 * t), 1e-12);
    assert_close(link_value(b, MBL_LINK_FIXED, face + 1, face + 2), 3 * A / (0.475 * t), 1e-12);
    double to_plate = 1 / (0.35 * t / (3 * A) + 0.0025 / (45 * A));
    assert_close(link_value(b, MBL_LINK_FIXED, face + 2, face + 3), to_plate, 1e-12);
    /* edges of both pads: five times the side of a square of 42 cm2, 70 % of the thickness */
    double edge = 5 * sqrt(42e-4) * 0.7 * t;
    assert_close(link_value(b, MBL_LINK_FILM, face + 2, MBL_AMBIENT), edge, 1e-12);
    assert_close(b->pad_half[1], 0.025 * t / (3 * A), 1e-12);
    mbl_block_free(b);
}

/* Nothing but the thickness tells worn pads from new ones of that thickness. */
static void pads_worn_to_a_thickness_are_pads_of_that_thickness(void **state)
{
    (void)state;
    mbl_car car = wearing(0, 0);
    mbl_car thin = car;
    thin.front.pad.thickness_now = 0.005;
    thin.rear.pad.thickness_now = 0.006;
    mbl_block *a = lanes_of(&car, 1);
    mbl_block *b = lanes_of(&thin, 1);
    a->worn[0] = (0.011 - 0.005) * 2 * 62e-4;
    a->worn[1] = (0.014 - 0.006) * 2 * 42e-4;
    lane_wear(a, 0, &car);
    mbl_block_run(a, lanes_drive(), 0, LANE_STEPS, NULL);
    mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
    for (int i = 0; i < NODES; i++)
        assert_near(a->T[i], b->T[i], 1e-9);
    mbl_block_free(a);
    mbl_block_free(b);
}

static void thinner_pads_heat_the_fluid_more_at_equal_heat(void **state)
{
    (void)state;
    double before = 0;
    double work = 0;
    for (double t = 0.011; t > 0.002; t -= 0.002) {
        mbl_car car = wearing(0, 0);
        mbl_block *b = lanes_of(&car, 1);
        b->worn[0] = (0.011 - t) * 2 * 62e-4;
        lane_wear(b, 0, &car);
        mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
        assert_true(b->T[MBL_FLUID] > before);
        assert_true(work == 0 || b->work[0] == work);
        before = b->T[MBL_FLUID];
        work = b->work[0];
        mbl_block_free(b);
    }
}

/* J in the friction material of an axle. */
static double pad_heat(const mbl_block *b, int axle)
{
    int face = mbl_corner_index(axle, MBL_PAD_FACE);
    return b->H[face] + b->H[face + 1] + b->H[face + 2];
}

static void what_is_worn_off_takes_its_heat_along_and_the_ledger_closes(void **state)
{
    (void)state;
    mbl_car car = wearing(1e-11, 2e-11);
    mbl_block *b = lanes_of(&car, 1);
    mbl_block_run(b, lanes_drive(), 0, LAP, NULL);
    int path[2] = {path_of(b, "front.worn pads"), path_of(b, "rear.worn pads")};
    double before[2] = {pad_heat(b, 0), pad_heat(b, 1)};
    for (int axle = 0; axle < 2; axle++)
        assert_near(b->lost[path[axle]], 0, 0);
    double T[NODES];
    memcpy(T, b->T, sizeof T);
    lane_wear(b, 0, &car);
    for (int axle = 0; axle < 2; axle++) {
        double gone = before[axle] - pad_heat(b, axle);
        assert_true(gone > 0);
        assert_close(b->lost[path[axle]], gone, 1e-12);
    }
    assert_near(mbl_block_residual(b, 0), 0, 1e-12);
    for (size_t k = LAP; k < LANE_STEPS; k += LAP) {
        mbl_block_run(b, lanes_drive(), k, k + LAP, NULL);
        lane_wear(b, 0, &car);
        assert_near(mbl_block_residual(b, 0), 0, 1e-12);
    }
    double lost = 0;
    for (int p = 0; p < b->model[0]->npaths; p++)
        lost += b->lost[p];
    assert_close(mbl_block_stored(b, 0) + lost, b->heat[0], 1e-12);
    mbl_block_free(b);

    /* material goes at the temperature it has: no node is warmer or colder for it */
    b = lanes_of(&car, 1);
    mbl_block_run(b, lanes_drive(), 0, LAP, NULL);
    lane_wear(b, 0, &car);
    mbl_block_run(b, lanes_drive(), LAP, LAP, NULL);
    for (int i = 0; i < NODES; i++)
        assert_near(b->T[i], T[i], 1e-9);
    mbl_block_free(b);
}

static void the_plates_are_never_reached_but_wear_is_counted_on(void **state)
{
    (void)state;
    mbl_car car = wearing(1e-9, 1e-9);
    mbl_block *b = lanes_of(&car, 1);
    drive_laps(b, &car);
    lane_wear(b, 0, &car);
    assert_true(b->worn[0] > 0.011 * 2 * 62e-4);
    assert_near(mbl_corner_pad_left(b, 0, 0, &car.front.pad), 1e-3, 0);
    assert_close(b->scale[MBL_PAD_FACE], 2 * 62e-4 * 3e-4 * 2700 * 900, 1e-12);
    assert_true(mbl_block_finite(b));
    assert_near(mbl_block_residual(b, 0), 0, 1e-12);
    mbl_block_free(b);
}

static void pads_that_do_not_wear_change_no_bit_at_the_end_of_a_lap(void **state)
{
    (void)state;
    double want[LANE_STATE];
    double got[LANE_STATE];
    mbl_car car = wearing(0, 0);
    mbl_block *b = lanes_of(&car, 1);
    mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
    lane_state(b, 0, want);
    mbl_block_start(b, 300);
    drive_laps(b, &car);
    lane_state(b, 0, got);
    lane_same_bits(want, got);
    mbl_block_free(b);
}

static void a_saved_lane_has_its_worn_pads_back(void **state)
{
    (void)state;
    double kept[LANE_STATE];
    double whole[LANE_STATE];
    double got[LANE_STATE];
    mbl_car car = wearing(1e-11, 2e-11);
    mbl_block *b = lanes_of(&car, 1);
    drive_laps(b, &car);
    lane_state(b, 0, kept);
    double left = mbl_corner_pad_left(b, 0, 0, &car.front.pad);
    drive_laps(b, &car);
    lane_state(b, 0, whole);
    assert_true(mbl_corner_pad_left(b, 0, 0, &car.front.pad) < left);
    mbl_block_load(b, 0, kept);
    assert_near(mbl_corner_pad_left(b, 0, 0, &car.front.pad), left, 0);
    lane_state(b, 0, got);
    lane_same_bits(kept, got);
    drive_laps(b, &car);
    lane_state(b, 0, got);
    lane_same_bits(whole, got);
    mbl_block_free(b);
}

static void a_new_start_has_new_pads(void **state)
{
    (void)state;
    double want[LANE_STATE];
    double got[LANE_STATE];
    mbl_car car = wearing(1e-11, 2e-11);
    mbl_block *b = lanes_of(&car, 1);
    mbl_block_start(b, 330);
    lane_state(b, 0, want);
    drive_laps(b, &car);
    mbl_block_start(b, 330);
    lane_state(b, 0, got);
    lane_same_bits(want, got);
    mbl_block_free(b);
}

/* ---- all of it side by side ---- */

static void four_cars_side_by_side_are_four_cars_alone(void **state)
{
    (void)state;
    mbl_car cars[4] = {wearing(1e-11, 2e-11), test_coupe_with(test_pedal_bar),
                       test_coupe_with(test_pedal_valve), wearing(4e-11, 0)};
    cars[1].front.pad.wear = 3e-12;
    cars[2].rear.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.04, 0.93}};
    cars[3].pedal = cars[2].pedal;
    cars[3].pedal.knee = 1.2e6;
    static const double cap[4] = {3e6, 1e12, 4e6, 1e12};
    static double alone[4][LANE_STATE];
    for (int w = 0; w < 4; w++) {
        mbl_block *b = lanes_of(&cars[w], 1);
        b->cap[0] = cap[w];
        drive_laps(b, &cars[w]);
        lane_state(b, 0, alone[w]);
        assert_int_equal(b->shortfall[0] > 0, cap[w] < 1e12);
        mbl_block_free(b);
    }
    static const int places[][4] = {{0, 1, 2, 3}, {3, 2, 0, 1}, {1, 1, 3, 0}};
    for (size_t k = 0; k < sizeof places / sizeof places[0]; k++) {
        mbl_car placed[4];
        for (int w = 0; w < 4; w++)
            placed[w] = cars[places[k][w]];
        mbl_block *b = lanes_of(placed, 4);
        for (int w = 0; w < 4; w++)
            b->cap[w] = cap[places[k][w]];
        drive_laps(b, placed);
        for (int w = 0; w < 4; w++) {
            double got[LANE_STATE];
            lane_state(b, w, got);
            lane_same_bits(got, alone[places[k][w]]);
        }
        mbl_block_free(b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wear_that_goes_by_energy_alone_is_work_times_wear),
        cmocka_unit_test(at_every_temperature_it_is_what_the_law_says),
        cmocka_unit_test(over_a_drive_it_is_the_integral_of_work_and_law),
        cmocka_unit_test(the_cap_on_pressure_spares_the_pads),
        cmocka_unit_test(a_lap_later_the_pads_are_as_thin_as_they_are_worn),
        cmocka_unit_test(pads_worn_to_a_thickness_are_pads_of_that_thickness),
        cmocka_unit_test(thinner_pads_heat_the_fluid_more_at_equal_heat),
        cmocka_unit_test(what_is_worn_off_takes_its_heat_along_and_the_ledger_closes),
        cmocka_unit_test(the_plates_are_never_reached_but_wear_is_counted_on),
        cmocka_unit_test(pads_that_do_not_wear_change_no_bit_at_the_end_of_a_lap),
        cmocka_unit_test(a_saved_lane_has_its_worn_pads_back),
        cmocka_unit_test(a_new_start_has_new_pads),
        cmocka_unit_test(four_cars_side_by_side_are_four_cars_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
