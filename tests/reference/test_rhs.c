/* SPDX-License-Identifier: MIT */
/*
 * The heat flow into every node of a car as derived a second time (support/rhs.h), held against
 * the engine's.
 *
 * Temperatures and speeds lie on the knots of the engine's tables (every 50 K from 250 K for
 * films, 5 K for friction, 2 m/s for speed), where a table is the law itself.
 */
#include "reference/bench.h"
#include "support/coupe.h"
#include "support/rhs.h"

/* Film laws are sampled once for each weather, and kept in `films`. */
static double compare(const mbl_car *car, const rhs_weather *w, double power, const double *T,
                      mbl_film_store *films, double tolerance)
{
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(&net, car, w->T_air, w->p, films, NULL), MBL_OK);
    mbl_block *b = bench_block(&net, w->T_air);
    for (int i = 0; i < RHS_NODES; i++)
        mbl_block_set(b, 0, i, T[i]);
    double got[RHS_NODES];
    double want[RHS_NODES];
    double lost;
    mbl_block_flows(b, w->v, power, NULL, got);
    double pressure = rhs_flows(car, w, power, T, want, &lost);
    double scale = fmax(0.5 * power, 1);
    for (int i = 0; i < RHS_NODES; i++)
        scale = fmax(scale, fabs(want[i]));
    double worst = 0;
    for (int i = 0; i < RHS_NODES; i++) {
        double off = fabs(got[i] - want[i]) / scale;
        if (!(off <= tolerance))
            fail_msg("%s at %g m/s, %g W: %.12g W, derived %.12g W", b->model[0]->node[i].name,
                     w->v, power, got[i], want[i]);
        worst = fmax(worst, off);
    }
    assert_near(b->pressure[0], pressure, tolerance * (pressure + 1));
    /* what goes in is half the power less what is lost: the derivation keeps its own books */
    double sum = lost - 0.5 * power;
    for (int i = 0; i < RHS_NODES; i++)
        sum += want[i];
    assert_near(sum, 0, 1e-10 * scale);
    mbl_block_free(b);
    return worst;
}

/* A temperature for every node: `base` and `spread` steps of 50 K in no order. */
static void mix(double T[RHS_NODES], double base, int spread, int turn)
{
    for (int i = 0; i < RHS_NODES; i++)
        T[i] = base + 50.0 * ((i * 7 + turn * 3) % spread);
}

static void over_states(const mbl_car *car, const char *what, double tolerance)
{
    static const double speeds[] = {0, 2, 10, 24, 40, 66, 100};
    double worst = 0;
    mbl_film_store films;
    mbl_film_store_init(&films, &mbl_alloc_libc);
    for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
        for (int turn = 0; turn < 3; turn++) {
            double T[RHS_NODES];
            rhs_weather w = {.v = speeds[i], .T_air = 290 + 10 * turn, .p = 101325 - 9000 * turn};
            mix(T, 300, 5 + 6 * turn, turn);
            worst = fmax(worst, compare(car, &w, 0, T, &films, tolerance));
            worst = fmax(worst, compare(car, &w, 6000 * speeds[i], T, &films, tolerance));
            worst = fmax(worst, compare(car, &w, 15000 * speeds[i], T, &films, tolerance));
        }
    }
    mbl_film_store_free(&films);
    printf("%s: worst disagreement %.1e of the largest flow\n", what, worst);
}

static void the_coupes_flows_are_those_of_a_second_derivation(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    over_states(&car, "coupe", 1e-9);
}

/* What the coupe does not have: a solid ring, sliding calipers of iron, other pistons, radius. */
static void so_are_those_of_a_car_with_the_other_choices(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.rear.rotor.thickness = 0.012;
    car.rear.rotor.ring_mass = 4.6;
    car.rear.rotor.vanes = 0;
    car.rear.caliper.type = MBL_CALIPER_SLIDING;
    car.rear.caliper.body = MBL_BODY_IRON;
    car.rear.caliper.piston = MBL_PISTON_ALUMINIUM;
    car.rear.caliper.pistons = (mbl_numbers){1, {0.041}};
    car.rear.effective_radius = 0.137;
    car.front.rotor.construction = MBL_ONE_PIECE;
    car.front.rotor.ring_height = 0.052;
    car.front.rotor.ring_mass = 8.9;
    car.front.rotor.vanes = -1;
    car.front.caliper.piston = MBL_PISTON_TITANIUM;
    car.front.pad.thickness_now = NAN;
    car.front.airflow = 0.4;
    over_states(&car, "other choices", 1e-9);
}

/* Rings at both ends of the mass that fits their size. */
static void so_are_those_of_very_light_and_very_heavy_rings(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.front.rotor.ring_mass = 4.2; /* of 11.9 kg of solid iron */
    car.rear.rotor.ring_mass = 8.8;  /* of 9.0 kg */
    over_states(&car, "light and heavy", 1e-9);
}

static mbl_duct duct(mbl_aim aim)
{
    mbl_duct d;
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.2 m }", &d);
    d.aim = (int)aim;
    return d;
}

/* Every place a duct can aim at, every inlet and hose, tape, and one inlet for two hoses. */
static void so_are_those_of_cars_with_ducts(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.front.duct = duct(MBL_AIM_EYE);
    car.rear.duct = duct(MBL_AIM_FACE);
    car.rear.duct.inlet = MBL_INLET_FLUSH;
    car.rear.duct.hose = MBL_HOSE_SMOOTH;
    over_states(&car, "ducts to eye and face", 1e-9);
    car.front.duct.aim = MBL_AIM_OPEN_EYE;
    car.front.duct.hose = MBL_HOSE_COMPRESSED;
    car.front.duct.hoses = 2;
    car.front.duct.split = 2;
    car.front.rotor.vane = MBL_VANES_CURVED;
    car.front.rotor.hat = MBL_HAT_INVERTED;
    car.rear.duct.aim = MBL_AIM_CALIPER;
    car.rear.duct.taped = 0.6;
    car.rear.duct.inlet = MBL_INLET_NOSE;
    car.rear.rotor.vane = MBL_VANES_PILLARS;
    car.rear.still_air = 0.45;
    over_states(&car, "ducts to open eye and caliper", 1e-9);
    car.rear.rotor.vanes = 0;
    car.rear.rotor.thickness = 0.012;
    car.rear.rotor.ring_mass = 4.6;
    car.rear.duct.aim = MBL_AIM_EYE;
    car.rear.duct.recovery = 0.7;
    car.front.rotor.pumping = 0.3;
    over_states(&car, "ducts, solid rear", 1e-9);
}

static void so_are_those_of_pads_that_feel_speed_and_condition(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.front.pad.speed_effect = (mbl_curve){.n = 3, .x = {0, 30, 80}, .y = {1.05, 1.0, 0.85}};
    car.front.pad.condition = MBL_PAD_GLAZED;
    car.rear.pad.condition = MBL_PAD_GREEN;
    over_states(&car, "speed and condition", 1e-9);
}

/*
 * Line pressures run from 0 to some 80 bar over the states, so the valve is met on both sides of
 * its knee; a slope of 0 holds the rear where it is.
 */
static void so_are_those_of_cars_whose_axles_have_pressures_of_their_own(void **state)
{
    (void)state;
    mbl_car car = test_coupe_with(test_pedal_bar);
    over_states(&car, "bar", 1e-9);
    car.pedal.balance = 0.41;
    car.rear.pad.friction = (mbl_curve){.n = 1, .x = {300}, .y = {0.33}};
    over_states(&car, "bar to the rear", 1e-9);
    car = test_coupe_with(test_pedal_tandem);
    over_states(&car, "tandem master", 1e-9);
    car = test_coupe_with("{ ratio: 5, master: { front: 22 mm, rear: 17 mm } }");
    over_states(&car, "two masters without a bar", 1e-9);
    car = test_coupe_with(test_pedal_valve);
    over_states(&car, "valve", 1e-9);
    car.pedal.slope = 0;
    over_states(&car, "valve that shuts", 1e-9);
    car = test_coupe_with("{ ratio: 5, distribution: valve, knee: 2 MPa, slope: 0.5,"
                          "  master: { front: 22 mm, rear: 17 mm } }");
    over_states(&car, "valve and two masters", 1e-9);
}

/*
 * Friction by pressure makes the pressure an unknown. The engine takes four turns, each of which
 * shrinks what is off by as much as the factor changes; here it is settled to rounding.
 */
static void so_nearly_are_those_of_pads_that_feel_pressure(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 10e6}, .y = {1.06, 0.94}};
    car.rear.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 10e6}, .y = {1.00, 0.90}};
    over_states(&car, "pressure", 1e-5);
    /* above the knee the front alone answers: the pressure moves more with its friction */
    test_fill(&mbl_pedal_schema, test_pedal_valve, &car.pedal);
    over_states(&car, "pressure, with a valve", 5e-5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_coupes_flows_are_those_of_a_second_derivation),
        cmocka_unit_test(so_are_those_of_a_car_with_the_other_choices),
        cmocka_unit_test(so_are_those_of_very_light_and_very_heavy_rings),
        cmocka_unit_test(so_are_those_of_cars_with_ducts),
        cmocka_unit_test(so_are_those_of_pads_that_feel_speed_and_condition),
        cmocka_unit_test(so_are_those_of_cars_whose_axles_have_pressures_of_their_own),
        cmocka_unit_test(so_nearly_are_those_of_pads_that_feel_pressure),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
