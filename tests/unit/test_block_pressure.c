/* SPDX-License-Identifier: MIT */
/* How the line pressure of a car divides between its axles in the kernel, and what caps it. */
#include "support/coupe.h"
#include "support/lanes.h"

/* Pads of one coefficient of friction each: nothing but pressure and geometry divides the heat. */
static mbl_car flat(const char *pedal, double front, double rear)
{
    mbl_car car = test_coupe();
    if (pedal != NULL)
        test_fill(&mbl_pedal_schema, pedal, &car.pedal);
    car.front.pad.friction = (mbl_curve){.n = 1, .x = {300}, .y = {front}};
    car.rear.pad.friction = (mbl_curve){.n = 1, .x = {300}, .y = {rear}};
    return car;
}

/*
 * N of braking force per Pa and friction, by hand: 4 pistons' area x effective radius / tyre.
 * Front: pi/4 (38^2 + 34^2 + 30^2) mm2 at (355 - 50)/2 mm; rear: pi/4 x 2 x 28^2 at (330 - 46)/2.
 */
static const double front_gain = 4 * 2748.893571891069e-6 * 0.1525 / 0.318;
static const double rear_gain = 4 * 1231.504320207199e-6 * 0.142 / 0.318;

/* The rear's share of the heat in one short step at this braking force, at 40 m/s. */
static double rear_share(mbl_block *b, double force)
{
    mbl_block_start(b, 300);
    lanes_step(b, 1e-4, 40, 40 * force);
    assert_close(b->work[0] + b->work[1], 0.5 * 40 * force * 1e-4, 1e-13);
    return b->work[1] / (b->work[0] + b->work[1]);
}

static void without_a_pedal_both_axles_have_one_pressure(void **state)
{
    (void)state;
    mbl_car car = flat(NULL, 0.45, 0.40);
    mbl_block *b = lanes_of(&car, 1);
    double rear = rear_gain * 0.40;
    double front = front_gain * 0.45;
    assert_close(rear_share(b, 8000), rear / (front + rear), 1e-12);
    assert_close(b->pressure[0], 8000 / (front + rear), 1e-12);
    mbl_block_free(b);
}

/* p_rear / p_front = 0.38 / 0.62 x (19 / 17.8)^2 = 0.698327 */
static void with_a_bar_the_rear_takes_heat_by_its_pressure(void **state)
{
    (void)state;
    mbl_car car = flat(test_pedal_bar, 0.45, 0.40);
    mbl_block *b = lanes_of(&car, 1);
    double ratio = 0.38 / 0.62 * (19 / 17.8) * (19 / 17.8);
    assert_close(ratio, 0.698327, 1e-6);
    double rear = rear_gain * 0.40 * ratio;
    double front = front_gain * 0.45;
    for (double force = 10; force < 2e4; force *= 3) {
        assert_close(rear_share(b, force), rear / (front + rear), 1e-12);
        assert_close(b->pressure[0], force / (front + rear), 1e-12);
        assert_close(b->held[1], ratio, 1e-12);
    }
    mbl_block_free(b);
}

static void towards_the_front_the_bar_takes_heat_from_the_rear(void **state)
{
    (void)state;
    double before = 1;
    for (double balance = 0.35; balance < 0.75; balance += 0.05) {
        mbl_car car = flat(test_pedal_bar, 0.4, 0.4);
        car.pedal.balance = balance;
        mbl_block *b = lanes_of(&car, 1);
        double share = rear_share(b, 9000);
        assert_true(share < before);
        before = share;
        mbl_block_free(b);
    }
}

/* Knee 2.5 MPa, slope 0.35. */
static void a_valve_does_nothing_below_its_knee_and_holds_the_rear_back_above(void **state)
{
    (void)state;
    mbl_car plain = flat(test_pedal_tandem, 0.45, 0.40);
    mbl_car valve = flat(test_pedal_valve, 0.45, 0.40);
    mbl_block *a = lanes_of(&plain, 1);
    mbl_block *b = lanes_of(&valve, 1);
    double front = front_gain * 0.45;
    double rear = rear_gain * 0.40;
    double at_knee = 2.5e6 * (front + rear); /* N */
    for (double share = 0.05; share < 1; share += 0.1) {
        assert_near(rear_share(b, share * at_knee), rear_share(a, share * at_knee), 0);
        assert_near(b->pressure[0], a->pressure[0], 0);
    }
    for (double p = 2.6e6; p < 12e6; p += 0.7e6) {
        double behind = rear * (2.5e6 + 0.35 * (p - 2.5e6));
        double force = front * p + behind;
        assert_close(rear_share(b, force), behind / force, 1e-12);
        assert_close(b->pressure[0], p, 1e-12);
        assert_true(rear_share(a, force) > behind / force);
    }
    mbl_block_free(a);
    mbl_block_free(b);
}

static void at_its_knee_a_valve_is_continuous(void **state)
{
    (void)state;
    mbl_car car = flat(test_pedal_valve, 0.45, 0.40);
    mbl_block *b = lanes_of(&car, 1);
    double at_knee = 2.5e6 * (front_gain * 0.45 + rear_gain * 0.40);
    double below = rear_share(b, at_knee * (1 - 1e-9));
    double p = b->pressure[0];
    assert_close(rear_share(b, at_knee * (1 + 1e-9)), below, 1e-8);
    assert_close(b->pressure[0], p, 1e-8);
    assert_close(p, 2.5e6, 1e-8);
    mbl_block_free(b);
}

/* With a slope of 0 the rear keeps the pressure of the knee, and the front takes all the rest. */
static void a_valve_that_shuts_leaves_the_rest_to_the_front(void **state)
{
    (void)state;
    mbl_car car = flat(test_pedal_valve, 0.45, 0.40);
    car.pedal.slope = 0;
    mbl_block *b = lanes_of(&car, 1);
    double behind = rear_gain * 0.40 * 2.5e6;
    for (double p = 3e6; p < 15e6; p += 3e6) {
        double force = front_gain * 0.45 * p + behind;
        assert_close(rear_share(b, force), behind / force, 1e-12);
        assert_close(b->held[1] * b->pressure[0], 2.5e6, 1e-12);
    }
    mbl_block_free(b);
}

/* The layer between pad and rotor conducts by the pressure of its own line: half of it, half. */
static void contact_goes_by_the_pressure_of_its_own_axle(void **state)
{
    (void)state;
    mbl_car car = flat("{ ratio: 5, distribution: bar, balance: 0.5,"
                       "  master: { front: 18 mm, rear: 25.45584412271571 mm } }",
                       0.4, 0.4);
    car.rear = car.front; /* one and the same corner, at half the pressure */
    mbl_block *b = lanes_of(&car, 1);
    double q[MBL_AXLES * MBL_CORNER_NODES];
    mbl_block_flows(b, 40, 4e5, NULL, q);
    assert_close(b->held[1], 0.5, 1e-12);
    /* the film of the engine is that of the gap and 8000 W/m2K per MPa of contact pressure */
    const double contact = 8000e-6 * 2748.893571891069e-6 / 62e-4;
    for (int axle = 0; axle < 2; axle++) {
        double p = b->pressure[0] * (axle == 0 ? 1 : 0.5);
        double area = 2 * 62e-4;
        double film = 150 + contact * p;
        /* 46 W/mK of iron, 3 W/mK of pad */
        double to_rotor = 1 / (1 / (film * area * (1 + 46 / 3.0)) + b->rotor_half[axle]);
        double to_pad = 1 / (1 / (film * area * (1 + 3 / 46.0)) + b->pad_half[axle]);
        int link = b->model[0]->contact[axle].link;
        assert_close(b->g[link], to_rotor * to_pad / (to_rotor + to_pad), 1e-12);
    }
    mbl_block_free(b);
}

/* ---- cap ---- */

/* Two wheels of one side are modelled: twice their heat is the car's. */
static void what_a_cap_leaves_undone_is_the_rest_of_the_energy(void **state)
{
    (void)state;
    static const char *const pedals[] = {NULL, test_pedal_bar, test_pedal_tandem, test_pedal_valve};
    const mbl_inputs *in = lanes_drive();
    for (size_t i = 0; i < sizeof pedals / sizeof pedals[0]; i++) {
        mbl_car car = test_coupe(); /* friction that fades */
        if (pedals[i] != NULL)
            test_fill(&mbl_pedal_schema, pedals[i], &car.pedal);
        car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.93}};
        mbl_block *b = lanes_of(&car, 1);
        b->cap[0] = 3e6;
        double asked = 0;
        double capped = 0;
        for (size_t k = 0; k < LANE_STEPS; k++) {
            double before = b->shortfall[0];
            mbl_block_run(b, in, k, k + 1, NULL);
            assert_true(b->pressure[0] <= 3e6);
            double energy = in->power[k] * (in->time[k + 1] - in->time[k]);
            asked += energy;
            capped += b->shortfall[0] > before ? energy : 0;
            assert_true(b->shortfall[0] - before <= energy * (1 + 1e-12));
        }
        assert_true(b->shortfall[0] > 0.1 * asked && b->shortfall[0] < 0.9 * capped);
        assert_close(2 * b->heat[0] + b->shortfall[0], asked, 1e-13);
        assert_close(b->work[0] + b->work[1], b->heat[0], 1e-13);
        assert_near(mbl_block_residual(b, 0), 0, 1e-12);
        mbl_block_free(b);
    }
}

/* At 3 MPa pads of 0.45 and 0.40 push with so much, whatever is asked. */
static void at_the_cap_the_force_is_that_of_the_cap(void **state)
{
    (void)state;
    mbl_car car = flat(test_pedal_valve, 0.45, 0.40);
    mbl_block *b = lanes_of(&car, 1);
    b->cap[0] = 3e6;
    double most = front_gain * 0.45 * 3e6 + rear_gain * 0.40 * (2.5e6 + 0.35 * 0.5e6);
    for (double force = 0.5 * most; force < 3 * most; force *= 1.3) {
        mbl_block_start(b, 300);
        lanes_step(b, 0.01, 40, 40 * force);
        assert_close(2 * b->heat[0], 0.4 * fmin(force, most), 1e-12);
        assert_near(b->shortfall[0], 0.4 * fmax(force - most, 0), 1e-10 * most);
        assert_true(force < most ? b->pressure[0] < 3e6 : b->pressure[0] == 3e6);
    }
    mbl_block_free(b);
}

static void a_cap_that_is_never_reached_changes_no_bit(void **state)
{
    (void)state;
    static const char *const pedals[] = {NULL, test_pedal_bar, test_pedal_valve};
    for (size_t i = 0; i < sizeof pedals / sizeof pedals[0]; i++) {
        double free_state[LANE_STATE];
        double capped_state[LANE_STATE];
        mbl_car car = test_coupe();
        if (pedals[i] != NULL)
            test_fill(&mbl_pedal_schema, pedals[i], &car.pedal);
        mbl_block *b = lanes_of(&car, 1);
        assert_true(b->cap[0] > 1e11);
        mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
        lane_state(b, 0, free_state);
        mbl_block_start(b, 300);
        b->cap[0] = 5e7; /* 500 bar */
        mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
        lane_state(b, 0, capped_state);
        lane_same_bits(free_state, capped_state);
        assert_near(b->shortfall[0], 0, 0);
        mbl_block_free(b);
    }
}

/* A pedal that divides nothing is no pedal; a valve whose knee is out of reach is none either. */
static void an_even_pressure_is_the_same_bits_however_it_comes_about(void **state)
{
    (void)state;
    double want[LANE_STATE];
    double got[LANE_STATE];
    mbl_car car = test_coupe();
    mbl_block *b = lanes_of(&car, 1);
    mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
    lane_state(b, 0, want);
    mbl_block_free(b);
    static const char *const even[] = {
        "{ ratio: 4, master: { bore: 22 mm } }",
        "{ ratio: 5, master: { front: 20 mm, rear: 20 mm } }",
        "{ ratio: 4, distribution: valve, knee: 20 MPa, slope: 0.1, master: { bore: 22 mm } }"};
    for (size_t i = 0; i < sizeof even / sizeof even[0]; i++) {
        test_fill(&mbl_pedal_schema, even[i], &car.pedal);
        b = lanes_of(&car, 1);
        mbl_block_run(b, lanes_drive(), 0, LANE_STEPS, NULL);
        lane_state(b, 0, got);
        lane_same_bits(got, want);
        mbl_block_free(b);
    }
}

/* ---- the hardest application ---- */

static void the_hardest_application_is_the_step_of_the_highest_pressure(void **state)
{
    (void)state;
    enum { NODES = MBL_AXLES * MBL_CORNER_NODES };
    static double peak[NODES], peak_at[NODES];
    const mbl_inputs *in = lanes_drive();
    mbl_car car = test_coupe_with(test_pedal_valve);
    mbl_hardest hardest;
    mbl_record record = {.offset = 500, .peak = peak, .peak_at = peak_at, .hardest = &hardest};
    mbl_block *b = lanes_of(&car, 1);
    mbl_record_clear(b, &record, 500);
    assert_near(hardest.pressure[0], 0, 0);
    mbl_block_run(b, in, 0, LANE_STEPS, &record);
    mbl_block_start(b, 300);
    mbl_hardest want = {0};
    for (size_t k = 0; k < LANE_STEPS; k++) {
        mbl_block_run(b, in, k, k + 1, NULL);
        if (b->pressure[0] <= want.pressure[0])
            continue;
        want.pressure[0] = b->pressure[0];
        want.at[0] = 500 + in->time[k + 1];
        want.speed[0] = 0.5 * (in->speed[k] + in->speed[k + 1]);
        want.force[0] = in->power[k] / want.speed[0];
        want.mu[0][0] = b->mu[0];
        want.mu[1][0] = b->mu[1];
    }
    assert_true(want.pressure[0] > 3e6);
    assert_near(hardest.pressure[0], want.pressure[0], 0);
    assert_near(hardest.at[0], want.at[0], 0);
    assert_near(hardest.speed[0], want.speed[0], 0);
    assert_near(hardest.force[0], want.force[0], 0);
    for (int axle = 0; axle < 2; axle++)
        assert_near(hardest.mu[axle][0], want.mu[axle][0], 0);
    /* and the force is that of both axles at their pressures */
    double rear = 2.5e6 + 0.35 * (want.pressure[0] - 2.5e6);
    double force = front_gain * want.mu[0][0] * want.pressure[0] + rear_gain * want.mu[1][0] * rear;
    assert_close(hardest.force[0], force, 1e-12);
    mbl_block_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_pedal_both_axles_have_one_pressure),
        cmocka_unit_test(with_a_bar_the_rear_takes_heat_by_its_pressure),
        cmocka_unit_test(towards_the_front_the_bar_takes_heat_from_the_rear),
        cmocka_unit_test(a_valve_does_nothing_below_its_knee_and_holds_the_rear_back_above),
        cmocka_unit_test(at_its_knee_a_valve_is_continuous),
        cmocka_unit_test(a_valve_that_shuts_leaves_the_rest_to_the_front),
        cmocka_unit_test(contact_goes_by_the_pressure_of_its_own_axle),
        cmocka_unit_test(what_a_cap_leaves_undone_is_the_rest_of_the_energy),
        cmocka_unit_test(at_the_cap_the_force_is_that_of_the_cap),
        cmocka_unit_test(a_cap_that_is_never_reached_changes_no_bit),
        cmocka_unit_test(an_even_pressure_is_the_same_bits_however_it_comes_about),
        cmocka_unit_test(the_hardest_application_is_the_step_of_the_highest_pressure),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
