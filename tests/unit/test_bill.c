/* SPDX-License-Identifier: MIT */
/* Mass and money of a package, by hand. */
#include "study/bill.h"
#include "support/coupe.h"
#include "support/test.h"

/* Prices and times on everything but ducts. */
static mbl_car priced(void)
{
    mbl_car car = test_coupe_with(test_pedal_bar);
    car.front.rotor.cost = 210;
    car.front.rotor.labour = 3600; /* an hour */
    car.front.pad.cost = 180;
    car.front.pad.labour = 1800;
    car.front.caliper.cost = 400;
    car.front.caliper.labour = 5400;
    car.rear.rotor.cost = 120;
    car.rear.rotor.labour = 3600;
    car.rear.pad.cost = 110;
    car.rear.pad.labour = 1800;
    car.rear.caliper.cost = 250;
    car.rear.caliper.labour = 5400;
    car.fluid.cost = 30; /* a litre */
    car.fluid.labour = 2700;
    car.pedal.master.cost = 160;
    car.pedal.master.labour = 7200;
    return car;
}

static mbl_event event_of(int sessions, int bleeds)
{
    mbl_event e = test_event(); /* half a litre a bleed */
    e.sessions = sessions;
    e.bleeds = bleeds;
    e.labour_rate = 60;
    return e;
}

/* A session takes 0.5 mm off the front pads and nothing else of note. */
static const mbl_life_result life[2] = {
    {.pad_session = 0.0005, .pad_now = 0.011, .pad_end = 0.0105, .rotor_sessions = 40},
    {.pad_now = 0.014, .pad_end = 0.014, .rotor_sessions = INFINITY}};

static void parts_are_what_a_package_is_made_of(void **state)
{
    (void)state;
    mbl_car car = priced();
    mbl_event e = event_of(1, 1);
    mbl_bill b = mbl_bill_of(&car, &e, life);
    /* 2 x 210 + 180 + 2 x 400, 2 x 120 + 110 + 2 x 250, half a litre, masters */
    assert_near(b.parts, 1400 + 850 + 15 + 160, 1e-9);
    /* 60 an hour: 1 + 0.5 + 1.5 at each axle, 2 for the masters, 0.75 to bleed */
    assert_near(b.labour, 60 * (3 + 3 + 2 + 0.75), 1e-9);
    assert_int_equal(b.unpriced, 0);
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1 m }", &car.front.duct);
    b = mbl_bill_of(&car, &e, life);
    assert_int_equal(b.unpriced, 1);
    car.front.duct.cost = 90;
    car.front.duct.labour = 3600;
    b = mbl_bill_of(&car, &e, life);
    assert_near(b.parts, 2425 + 90, 1e-9);
    assert_near(b.labour, 60 * 9.75, 1e-9);
    assert_int_equal(b.unpriced, 0);
    car.pedal.present = false; /* then its masters are nobody's */
    b = mbl_bill_of(&car, &e, life);
    assert_near(b.parts, 2425 + 90 - 160, 1e-9);
    assert_near(b.labour, 60 * 7.75, 1e-9);
}

/*
 * A new set of front pads has 16 - 5 = 11 mm to wear, 22 sessions at 0.5 mm; rotors last 40. What
 * a set lasts is paid for, whatever is left of the one that is in.
 */
static void an_event_uses_up_shares_of_pads_and_rotors_and_its_bleeds(void **state)
{
    (void)state;
    mbl_car car = priced();
    mbl_event e = event_of(6, 2);
    mbl_bill b = mbl_bill_of(&car, &e, life);
    assert_near(b.pads_event, 6 / 22.0 * (180 + 30), 1e-9);
    assert_near(b.rotors_event, 6 / 40.0 * (2 * 210 + 60), 1e-9);
    assert_near(b.fluid_event, 2 * (0.5 * 30 + 0.75 * 60), 1e-9);
    assert_near(b.event, b.pads_event + b.rotors_event + b.fluid_event, 1e-12);
    mbl_life_result more[2] = {life[0], life[1]};
    more[0].pad_now = 0.008; /* the same wear of thinner pads */
    more[0].pad_end = 0.0075;
    assert_near(mbl_bill_of(&car, &e, more).pads_event, b.pads_event, 1e-9);
    more[1].pad_session = 0.001; /* rear: (14 - 5) / 1 = 9 sessions a set */
    assert_near(mbl_bill_of(&car, &e, more).pads_event, b.pads_event + 6 / 9.0 * (110 + 30), 1e-9);
    e.bleeds = 0;
    assert_near(mbl_bill_of(&car, &e, life).fluid_event, 0, 0);
}

static void what_has_no_price_is_counted_and_costs_nothing(void **state)
{
    (void)state;
    mbl_car car = test_coupe_with(test_pedal_tandem);
    mbl_event e = test_event();
    mbl_bill b = mbl_bill_of(&car, &e, life);
    assert_near(b.parts, 0, 0);
    assert_near(b.labour, 0, 0);
    assert_near(b.event, 0, 0);
    assert_int_equal(b.unpriced, 8); /* 3 an axle, fluid, masters */
    car.pedal.present = false;
    assert_int_equal(mbl_bill_of(&car, &e, life).unpriced, 7);
    car.rear.pad.cost = 1;
    assert_int_equal(mbl_bill_of(&car, &e, life).unpriced, 6);
}

/*
 * Front of a wheel: ring 7.9 and hat 1.2 kg; pads 2 x 62 cm2 x (11 mm x 2700 + 5 mm x 7850 kg/m3);
 * caliper 3.4 kg. Rear: 6.2 and 2.1, 2 x 42 cm2 x (14 mm x 2700 + 5 mm x 7850), 2.3 kg.
 */
static void weights_add_up_part_by_part(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    mbl_weights w = mbl_weights_of(&car);
    static const double rotor[] = {9.1, 8.3};
    static const double pads[] = {0.85498, 0.64722};
    static const double caliper[] = {3.4, 2.3};
    double all = 0;
    for (int axle = 0; axle < 2; axle++) {
        assert_near(w.rotor[axle], rotor[axle], 1e-12);
        assert_near(w.pads[axle], pads[axle], 1e-9);
        assert_near(w.caliper[axle], caliper[axle], 1e-12);
        assert_near(w.duct[axle], 0, 0);
        all += 2 * (rotor[axle] + pads[axle] + caliper[axle]);
    }
    assert_near(w.unsprung, all, 1e-9);
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1 m, mass: 0.6 kg }", &car.rear.duct);
    w = mbl_weights_of(&car);
    assert_near(w.duct[1], 0.6, 1e-12);
    assert_near(w.unsprung, all + 1.2, 1e-9);
}

/*
 * A thick ring of 7.9 kg from 122.475 to 177.5 mm and a disc of 1.2 kg inside it: 0.192700 kg m2;
 * one of 6.2 kg from 113.85 to 165 mm with 2.1 kg: 0.138189.
 */
static void what_turns_counts_twice(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    mbl_weights w = mbl_weights_of(&car);
    double front =
        0.5 * 7.9 * (0.1775 * 0.1775 + 0.122475 * 0.122475) + 0.5 * 1.2 * 0.122475 * 0.122475;
    double rear = 0.5 * 6.2 * (0.165 * 0.165 + 0.11385 * 0.11385) + 0.5 * 2.1 * 0.11385 * 0.11385;
    assert_close(front, 0.192700, 1e-5);
    assert_close(rear, 0.138189, 1e-5);
    assert_close(w.inertia, 2 * (front + rear), 1e-12);
    assert_close(w.equivalent, w.inertia / (0.318 * 0.318), 1e-12);
}

/* A vented ring is 62 % iron of 7150 kg/m3 (common practice): this one by its size 7.356 kg. */
static void a_ring_that_is_not_as_heavy_as_its_size_says_is_told(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    double size = M_PI * (0.1775 * 0.1775 - 0.122475 * 0.122475) * 0.032;
    mbl_weights w = mbl_weights_of(&car);
    assert_close(w.ring_off[0], 7.9 / (0.62 * 7150 * size) - 1, 1e-9);
    car.front.rotor.ring_mass = 1.2 * 0.62 * 7150 * size;
    assert_near(mbl_weights_of(&car).ring_off[0], 0.2, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_are_what_a_package_is_made_of),
        cmocka_unit_test(an_event_uses_up_shares_of_pads_and_rotors_and_its_bleeds),
        cmocka_unit_test(what_has_no_price_is_counted_and_costs_nothing),
        cmocka_unit_test(weights_add_up_part_by_part),
        cmocka_unit_test(what_turns_counts_twice),
        cmocka_unit_test(a_ring_that_is_not_as_heavy_as_its_size_says_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
