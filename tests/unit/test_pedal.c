/* SPDX-License-Identifier: MIT */
#include "brake/brake.h"
#include "support/coupe.h"
#include "support/test.h"

static const double sea = 101325;

/* Bores of 20 mm wherever a test does not say otherwise: 3.141593 cm2. */
static const double bore_20 = 3.141592653589793e-4;

static mbl_pedal pedal_of(const char *yaml)
{
    mbl_pedal pedal;
    test_fill(&mbl_pedal_schema, yaml, &pedal);
    return pedal;
}

/*
 * 10 cm2 on one side in front and 5 cm2 behind; pads give 0.1 mm and bodies 0.2 mm under 100 bar;
 * seals draw each pad 0.1 mm back; hoses of 0.2 mL; 160 mL of fluid of 1.6 GPa.
 */
static mbl_car car_with(const char *yaml)
{
    mbl_car car = test_coupe();
    car.front.caliper.pistons = (mbl_numbers){1, {sqrt(4 * 10e-4 / M_PI)}};
    car.rear.caliper.pistons = (mbl_numbers){1, {sqrt(4 * 5e-4 / M_PI)}};
    car.front.pad.squeeze = car.rear.pad.squeeze = 1e-4;
    car.front.caliper.opening = car.rear.caliper.opening = 2e-4;
    car.front.caliper.rollback = car.rear.caliper.rollback = 1e-4;
    car.fluid.bulk_modulus = 1.6e9;
    car.pedal = pedal_of(yaml);
    car.pedal.hose_swell = 2e-7;
    car.pedal.fluid_volume = 1.6e-4;
    car.pedal.knock_back = 3e-4;
    car.pedal.master.stroke = 0.030;
    car.pedal.master.free = 0.001;
    return car;
}

static const char pair[] = "{ ratio: 5, efficiency: 1, distribution: bar, balance: 0.6, "
                           "master: { front: 20 mm, rear: 20 mm } }";
static const char tandem[] = "{ ratio: 5, efficiency: 1, master: { bore: 20 mm } }";
static const char valve[] = "{ ratio: 5, efficiency: 1, distribution: valve, knee: 3 MPa, "
                            "slope: 0.4, master: { bore: 20 mm } }";
static const char boosted[] = "{ ratio: 4, efficiency: 0.9, master: { bore: 20 mm }, "
                              "booster: { gain: 5, assist: 3600 N } }";

static const mbl_travel_at at_rest = {0};

/* ---- distribution ---- */

static void without_a_pedal_both_axles_share_one_pressure_and_the_rest_is_not_a_number(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.pedal = (mbl_pedal){0};
    mbl_distribution d = mbl_distribution_of(&car.pedal);
    assert_near(mbl_rear_pressure(&d, 7e6), 7e6, 0);
    assert_true(isnan(mbl_pedal_balance(&car.pedal)));
    assert_true(isnan(mbl_pedal_pressure(&car.pedal, 300, sea)));
    assert_true(isnan(mbl_pedal_effort(&car.pedal, 5e6, sea)));
    assert_true(isnan(mbl_pedal_run_out(&car.pedal, sea)));
    assert_true(isnan(mbl_pedal_bottoms(&car, &at_rest)));
    mbl_travel t = mbl_pedal_travel(&car, 5e6, &at_rest);
    assert_true(isnan(t.pad) && isnan(t.used) && isnan(t.stroke[0]) && isnan(t.stroke[1]));
    assert_true(isnan(t.gap + t.pads + t.calipers + t.hoses + t.fluid + t.vapour));
    assert_true(isnan(t.volume[0]) && isnan(t.volume[1]));
}

static void a_tandem_master_gives_both_circuits_the_same(void **state)
{
    (void)state;
    mbl_pedal pedal = pedal_of(tandem);
    assert_near(mbl_pedal_balance(&pedal), 1, 0);
    mbl_distribution d = mbl_distribution_of(&pedal);
    assert_near(mbl_rear_pressure(&d, 7e6), 7e6, 0);
    assert_near(mbl_rear_pressure(&d, 0), 0, 0);
    assert_near(d.knee, MBL_NO_KNEE, 0);
    assert_near(d.slope, 1, 0);
}

/* By hand: 60 % on 20 mm against 40 % on 16 mm: (0.4 / 256) / (0.6 / 400) = 1.041667. */
static void a_bar_divides_force_and_bores_divide_it_by_area(void **state)
{
    (void)state;
    mbl_pedal pedal = pedal_of(pair);
    mbl_distribution d = mbl_distribution_of(&pedal);
    assert_near(mbl_pedal_balance(&pedal), 0.6, 0);
    assert_close(mbl_rear_pressure(&d, 6e6), 4e6, 1e-12);
    pedal.master.rear = 0.016;
    d = mbl_distribution_of(&pedal);
    assert_close(mbl_rear_pressure(&d, 6e6), 6.25e6, 1e-12);
    assert_close(mbl_pedal_pressure(&pedal, 400, sea), 0.6 * 2000 / bore_20, 1e-12);
}

static void two_masters_without_a_bar_are_one_in_its_middle(void **state)
{
    (void)state;
    mbl_pedal bar = pedal_of(pair);
    bar.balance = NAN;
    mbl_pedal bare = pedal_of("{ ratio: 5, efficiency: 1, master: { front: 20 mm, rear: 16 mm } }");
    bar.master.rear = 0.016;
    mbl_distribution a = mbl_distribution_of(&bar);
    mbl_distribution b = mbl_distribution_of(&bare);
    assert_near(mbl_pedal_balance(&bar), 0.5, 0);
    assert_near(mbl_pedal_balance(&bare), 0.5, 0);
    assert_close(a.rear, 1.5625, 1e-12); /* (20 / 16)^2 */
    assert_near(b.rear, a.rear, 0);
    assert_near(mbl_pedal_pressure(&bare, 400, sea), mbl_pedal_pressure(&bar, 400, sea), 0);
}

static void a_valve_holds_the_rear_back_above_its_knee(void **state)
{
    (void)state;
    mbl_pedal pedal = pedal_of(valve);
    mbl_distribution d = mbl_distribution_of(&pedal);
    assert_near(mbl_rear_pressure(&d, 2e6), 2e6, 1e-6);
    assert_near(mbl_rear_pressure(&d, 3e6), 3e6, 1e-6);
    assert_near(mbl_rear_pressure(&d, 8e6), 5e6, 1e-6);
    /* it leaves the knee without a jump: 1 Pa of front pressure is at most 1 Pa behind */
    assert_near(mbl_rear_pressure(&d, 3e6 + 1) - mbl_rear_pressure(&d, 3e6), 0.4, 1e-6);
    assert_near(mbl_rear_pressure(&d, 3e6) - mbl_rear_pressure(&d, 3e6 - 1), 1, 1e-6);
}

/* ---- effort ---- */

/* By hand: 100 N x 4 x 0.9 = 360 N on the rod, times 5; it runs out at 3600 / (4 x 3.6) = 250 N. */
static void a_booster_multiplies_until_it_runs_out(void **state)
{
    (void)state;
    mbl_pedal pedal = pedal_of(boosted);
    assert_close(mbl_pedal_run_out(&pedal, sea), 250.0, 1e-12);
    assert_close(mbl_pedal_pressure(&pedal, 100, sea) * bore_20, 1800.0, 1e-12);
    assert_close(mbl_pedal_pressure(&pedal, 250, sea) * bore_20, 4500.0, 1e-12);
    assert_close(mbl_pedal_pressure(&pedal, 350, sea) * bore_20, 4860.0, 1e-12);
    /* no jump where it runs out, and the slope falls from 18 to 3.6 N per N */
    double p = mbl_pedal_pressure(&pedal, 250, sea) * bore_20;
    assert_near(p - mbl_pedal_pressure(&pedal, 249, sea) * bore_20, 18, 1e-9);
    assert_near(mbl_pedal_pressure(&pedal, 251, sea) * bore_20 - p, 3.6, 1e-9);
}

static void thin_air_takes_assist_but_not_gain(void **state)
{
    (void)state;
    mbl_pedal pedal = pedal_of(boosted);
    assert_close(mbl_pedal_run_out(&pedal, 0.8 * sea), 200.0, 1e-12);
    assert_near(mbl_pedal_pressure(&pedal, 150, 0.8 * sea), mbl_pedal_pressure(&pedal, 150, sea),
                0);
    assert_close(
        (mbl_pedal_pressure(&pedal, 400, sea) - mbl_pedal_pressure(&pedal, 400, 0.8 * sea)) *
            bore_20,
        720.0, 1e-12);
}

static void without_a_booster_the_air_does_not_matter(void **state)
{
    (void)state;
    mbl_pedal pedal = pedal_of(tandem);
    assert_true(mbl_pedal_run_out(&pedal, sea) == INFINITY);
    assert_close(mbl_pedal_pressure(&pedal, 200, sea), 1000 / bore_20, 1e-12);
    assert_near(mbl_pedal_pressure(&pedal, 200, 0.5 * sea), mbl_pedal_pressure(&pedal, 200, sea),
                0);
}

static void effort_is_the_inverse_of_pressure(void **state)
{
    (void)state;
    static const char *const pedals[] = {pair, tandem, valve, boosted};
    static const double efforts[] = {0, 1e-3, 40, 249.999, 250, 250.001, 600, 1500};
    for (size_t i = 0; i < sizeof pedals / sizeof pedals[0]; i++) {
        mbl_pedal pedal = pedal_of(pedals[i]);
        for (size_t k = 0; k < sizeof efforts / sizeof efforts[0]; k++) {
            double p = mbl_pedal_pressure(&pedal, efforts[k], 0.9 * sea);
            assert_close(mbl_pedal_effort(&pedal, p, 0.9 * sea), efforts[k], 1e-12);
        }
    }
}

/* ---- travel ---- */

/*
 * By hand at 5 MPa in front and, with 60 % of the bar in front, 3.3333 MPa behind. Front: gap 0.4,
 * pads 0.2, bodies 0.2, hoses 0.2, fluid 0.25 mL. Rear: 0.2, 0.066667, 0.066667, 0.133333,
 * 0.166667 mL.
 */
static void each_part_takes_what_it_should(void **state)
{
    (void)state;
    mbl_car car = car_with(pair);
    mbl_travel t = mbl_pedal_travel(&car, 5e6, &at_rest);
    assert_close(t.volume[0], 1.25e-6, 1e-12);
    assert_close(t.volume[1], 0.633333333333333e-6, 1e-12);
    assert_close(t.gap, 0.6e-6, 1e-12);
    assert_close(t.pads, 0.266666666666667e-6, 1e-12);
    assert_close(t.calipers, 0.266666666666667e-6, 1e-12);
    assert_close(t.hoses, 0.333333333333333e-6, 1e-12);
    assert_close(t.fluid, 0.416666666666667e-6, 1e-12);
    assert_near(t.vapour, 0, 0);
    double front = 1e-3 + 1.25e-6 / bore_20;
    double rear = 1e-3 + 0.633333333333333e-6 / bore_20;
    assert_close(t.stroke[0], front, 1e-12);
    assert_close(t.stroke[1], rear, 1e-12);
    assert_close(t.pad, 5 * (0.6 * front + 0.4 * rear), 1e-12);
    assert_close(t.used, front / 0.030, 1e-12);
}

static void without_pressure_only_gaps_are_closed(void **state)
{
    (void)state;
    mbl_car car = car_with(pair);
    mbl_travel t = mbl_pedal_travel(&car, 0, &at_rest);
    assert_close(t.volume[0] + t.volume[1], 0.6e-6, 1e-12);
    assert_near(t.pads + t.calipers + t.hoses + t.fluid + t.vapour, 0, 0);
    assert_close(t.stroke[0], 1e-3 + 0.4e-6 / bore_20, 1e-12);
}

/* In line: the rod goes as far as both circuits together, and each has its own stroke to lose. */
static void the_strokes_of_a_tandem_master_add(void **state)
{
    (void)state;
    mbl_car car = car_with(tandem);
    mbl_travel t = mbl_pedal_travel(&car, 5e6, &at_rest);
    assert_close(t.pad, 5 * (t.stroke[0] + t.stroke[1]), 1e-12);
    assert_close(t.stroke[0], 1e-3 + 1.25e-6 / bore_20, 1e-12);
    /* rear, at the same 5 MPa: 0.2 + 0.1 + 0.1 + 0.2 + 0.25 mL */
    assert_close(t.stroke[1], 1e-3 + 0.85e-6 / bore_20, 1e-12);
    assert_close(t.used, t.stroke[0] / 0.030, 1e-12);
}

/* 0.3 mm on two pads at two wheels: 1.2 mL in front, 0.6 mL behind. */
static void knock_back_adds_to_the_gap_alone(void **state)
{
    (void)state;
    mbl_car car = car_with(pair);
    mbl_travel before = mbl_pedal_travel(&car, 5e6, &at_rest);
    mbl_travel after = mbl_pedal_travel(&car, 5e6, &(mbl_travel_at){.knocked_back = true});
    assert_close(after.gap - before.gap, 1.8e-6, 1e-12);
    assert_close(after.volume[0] - before.volume[0], 1.2e-6, 1e-12);
    assert_close(after.volume[1] - before.volume[1], 0.6e-6, 1e-12);
    assert_near(after.pads + after.calipers + after.hoses + after.fluid,
                before.pads + before.calipers + before.hoses + before.fluid, 1e-21);
}

static void vapour_in_one_caliper_is_there_in_both_wheels(void **state)
{
    (void)state;
    mbl_car car = car_with(pair);
    mbl_travel none = mbl_pedal_travel(&car, 5e6, &at_rest);
    mbl_travel some = mbl_pedal_travel(&car, 5e6, &(mbl_travel_at){.vapour = {1e-6, 0.25e-6}});
    assert_close(some.vapour, 2.5e-6, 1e-12);
    assert_close(some.volume[0] - none.volume[0], 2e-6, 1e-12);
    assert_close(some.volume[1] - none.volume[1], 0.5e-6, 1e-12);
}

static void a_sliding_caliper_takes_what_a_fixed_one_of_the_same_side_does(void **state)
{
    (void)state;
    mbl_car fixed = car_with(pair);
    mbl_car sliding = fixed;
    fixed.front.caliper.type = fixed.rear.caliper.type = MBL_CALIPER_FIXED;
    sliding.front.caliper.type = sliding.rear.caliper.type = MBL_CALIPER_SLIDING;
    mbl_travel_at at = {.vapour = {1e-7, 1e-7}, .knocked_back = true};
    mbl_travel a = mbl_pedal_travel(&fixed, 5e6, &at);
    mbl_travel b = mbl_pedal_travel(&sliding, 5e6, &at);
    assert_near(b.pad, a.pad, 0);
    assert_near(b.volume[0], a.volume[0], 0);
}

/* ---- bottoming ---- */

/* By hand: 29 mm of 20 mm bore hold 9.110619 mL; less the gap, over 0.17 mL a MPa in front. */
static void the_front_bottoms_where_its_volume_is_used_up(void **state)
{
    (void)state;
    mbl_car car = car_with(pair);
    double most = mbl_pedal_bottoms(&car, &at_rest);
    assert_close(most, (9.110618695e-6 - 0.4e-6) / 0.17e-12, 1e-9);
    assert_close(mbl_pedal_travel(&car, most, &at_rest).used, 1.0, 1e-12);
}

/* The rear bottoms first with a small bore, or with vapour; its pressure is not the front's. */
static void the_rear_may_bottom_first(void **state)
{
    (void)state;
    mbl_travel_at hot = {.vapour = {0, 4e-6}};
    static const char *const pedals[] = {pair, tandem, valve};
    for (int i = 0; i < 3; i++) {
        mbl_car car = car_with(pedals[i]);
        double most = mbl_pedal_bottoms(&car, &hot);
        assert_true(most > 0 && most < mbl_pedal_bottoms(&car, &at_rest));
        mbl_travel t = mbl_pedal_travel(&car, most, &hot);
        assert_close(t.used, 1.0, 1e-12);
        assert_close(t.stroke[1], 0.030, 1e-12);
        assert_true(t.stroke[0] < 0.030);
    }
}

static void too_much_vapour_bottoms_without_any_pressure(void **state)
{
    (void)state;
    mbl_car car = car_with(pair);
    mbl_travel_at boiled = {.vapour = {5e-6, 0}};
    assert_near(mbl_pedal_bottoms(&car, &boiled), 0, 0);
    assert_true(mbl_pedal_travel(&car, 0, &boiled).used > 1);
    assert_true(mbl_pedal_travel(&car, 0, &at_rest).used < 1);
}

/* A shut valve keeps the rear below the pressure at which it would bottom. */
static void a_circuit_that_nothing_fills_never_bottoms(void **state)
{
    (void)state;
    mbl_car car = car_with(valve);
    double front = mbl_pedal_bottoms(&car, &at_rest);
    mbl_travel_at hot = {.vapour = {0, 4e-6}};
    assert_true(mbl_pedal_bottoms(&car, &hot) < front);
    car.pedal.slope = 0;
    assert_near(mbl_pedal_bottoms(&car, &hot), front, 0);
    car.pedal.hose_swell = car.pedal.fluid_volume = 0;
    car.front.pad.squeeze = car.front.caliper.opening = 0;
    assert_true(mbl_pedal_bottoms(&car, &hot) == INFINITY);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(
            without_a_pedal_both_axles_share_one_pressure_and_the_rest_is_not_a_number),
        cmocka_unit_test(a_tandem_master_gives_both_circuits_the_same),
        cmocka_unit_test(a_bar_divides_force_and_bores_divide_it_by_area),
        cmocka_unit_test(two_masters_without_a_bar_are_one_in_its_middle),
        cmocka_unit_test(a_valve_holds_the_rear_back_above_its_knee),
        cmocka_unit_test(a_booster_multiplies_until_it_runs_out),
        cmocka_unit_test(thin_air_takes_assist_but_not_gain),
        cmocka_unit_test(without_a_booster_the_air_does_not_matter),
        cmocka_unit_test(effort_is_the_inverse_of_pressure),
        cmocka_unit_test(each_part_takes_what_it_should),
        cmocka_unit_test(without_pressure_only_gaps_are_closed),
        cmocka_unit_test(the_strokes_of_a_tandem_master_add),
        cmocka_unit_test(knock_back_adds_to_the_gap_alone),
        cmocka_unit_test(vapour_in_one_caliper_is_there_in_both_wheels),
        cmocka_unit_test(a_sliding_caliper_takes_what_a_fixed_one_of_the_same_side_does),
        cmocka_unit_test(the_front_bottoms_where_its_volume_is_used_up),
        cmocka_unit_test(the_rear_may_bottom_first),
        cmocka_unit_test(too_much_vapour_bottoms_without_any_pressure),
        cmocka_unit_test(a_circuit_that_nothing_fills_never_bottoms),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
