/* SPDX-License-Identifier: MIT */
/* A car before and after a change, by name. */
#include "study/compare.h"
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

static mbl_trace *trace;

static int set_up(void **state)
{
    (void)state;
    trace = test_session(&drive_kestrel_rise, 2);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_trace_drop(trace);
    return 0;
}

/* The case with the car before it as its base, run, and compared. */
static mbl_comparison compared(const mbl_case *after, const mbl_car *before, mbl_run **out)
{
    mbl_case c = *after;
    mbl_error err = {0};
    mbl_run *run = NULL;
    mbl_comparison cmp;
    c.base = *before;
    c.base.present = true;
    assert_ok(mbl_run_make(&mbl_alloc_libc, &c, NULL, 0, &run, &err), err);
    assert_non_null(run->base);
    assert_null(run->base->base);
    mbl_compare(run->base, run, &cmp);
    if (out != NULL)
        *out = run;
    else
        mbl_run_free(run);
    return cmp;
}

static mbl_case bar_case(void)
{
    mbl_case c = test_case(trace, "{ out: 1, hot: 1, park: 2 min }");
    c.car = test_coupe_with(test_pedal_bar);
    return c;
}

static const mbl_difference *row(const mbl_comparison *cmp, const char *what)
{
    for (int i = 0; i < cmp->n; i++) {
        if (strcmp(cmp->row[i].what, what) == 0)
            return &cmp->row[i];
    }
    fail_msg("no row of %s", what);
    return NULL;
}

static void a_car_against_itself_has_no_difference(void **state)
{
    (void)state;
    mbl_case c = bar_case();
    mbl_comparison cmp = compared(&c, &c.car, NULL);
    assert_true(cmp.n > 25);
    for (int i = 0; i < cmp.n; i++)
        assert_near(cmp.row[i].after, cmp.row[i].before, 0);
    assert_near(cmp.travel, 0, 0);
    assert_near(cmp.pressure, 0, 0);
    assert_near(cmp.effort, 0, 0);
    assert_near(cmp.front_share, 0, 0);
    assert_true(cmp.master_unchanged);
}

/* What 100 km/h and 1 g ask of the brakes, N: inertia less drag, rolling resistance, engine. */
static double asked(double m)
{
    double v = 100 / 3.6;
    double density = 101325 / (287.05 * 298.15);
    return m * 1.04 * 9.80665 - 0.5 * density * 0.72 * v * v - m * 9.80665 * 0.015 - m * 0.4;
}

/*
 * Front pistons of 38, 34, 30 become 44, 40, 36 mm on the same masters. At 300 C both axles rub
 * with 0.48; the rear has 0.698327 of the front pressure. Force asked is F, so
 *
 *   p = F / (0.48 (G_front + 0.698327 G_rear)),   front share G_front / (G_front + 0.698327 G_rear)
 *
 * and the strokes are free play, roll-back, pads, bodies, hoses and fluid as in brake/pedal.h.
 */
typedef struct hydraulics {
    double p, share, travel;
} hydraulics;

static hydraulics by_hand(double front_area)
{
    const double k = 0.6983274350338626;
    const double rear_area = 1231.504320207199e-6;
    double front = 4 * front_area * 0.1525 / 0.318;
    double rear = 4 * rear_area * 0.142 / 0.318 * k;
    hydraulics h = {.p = asked(1420) / (0.48 * (front + rear)), .share = front / (front + rear)};
    double area[2] = {front_area, rear_area};
    double bore[2] = {M_PI / 4 * 0.019 * 0.019, M_PI / 4 * 0.0178 * 0.0178};
    double pressure[2] = {h.p, k * h.p};
    double force[2] = {0.62, 0.38};
    for (int i = 0; i < 2; i++) {
        double bars = pressure[i] / 1e7;
        double volume = 4 * area[i] * 1e-4                    /* roll-back */
                        + 4 * area[i] * 1e-4 * bars           /* pads */
                        + 2 * area[i] * 2e-4 * bars           /* bodies */
                        + 2 * 2e-7 * bars                     /* hoses */
                        + 0.5 * 1.5e-4 * pressure[i] / 1.2e9; /* fluid */
        h.travel += 5.2 * force[i] * (0.001 + volume / bore[i]);
    }
    return h;
}

static void a_bigger_front_caliper_on_the_same_master(void **state)
{
    (void)state;
    mbl_case c = bar_case();
    mbl_car before = c.car;
    c.car.front.caliper.pistons = (mbl_numbers){3, {0.044, 0.040, 0.036}};
    mbl_run *run = NULL;
    mbl_comparison cmp = compared(&c, &before, &run);
    hydraulics was = by_hand(M_PI / 4 * (0.038 * 0.038 + 0.034 * 0.034 + 0.030 * 0.030));
    hydraulics is = by_hand(M_PI / 4 * (0.044 * 0.044 + 0.040 * 0.040 + 0.036 * 0.036));
    assert_true(cmp.travel > 0.03 && cmp.pressure < -0.1 && cmp.front_share > 0.02);
    printf("travel %+.4f, pressure %+.4f, front %+.4f\n", cmp.travel, cmp.pressure,
           cmp.front_share);
    assert_near(cmp.pressure, is.p / was.p - 1, 1e-9);
    assert_near(cmp.effort, is.p / was.p - 1, 1e-9);
    assert_near(cmp.front_share, is.share - was.share, 1e-9);
    assert_near(cmp.travel, is.travel / was.travel - 1, 1e-9);
    assert_true(cmp.master_unchanged);
    const mbl_difference *pressure = row(&cmp, "line pressure at 1 g");
    assert_close(pressure->before, was.p, 1e-4); /* density of the air is the engine's own */
    assert_close(pressure->after, is.p, 1e-4);
    assert_true(pressure->relative);
    const mbl_difference *share = row(&cmp, "front share of the braking");
    assert_near(share->after, is.share, 1e-9);
    assert_false(share->relative);
    const mbl_difference *travel = row(&cmp, "pedal travel at 1 g");
    assert_close(travel->after, is.travel, 1e-4);
    /* the checks are those of both runs, by their margins */
    const mbl_difference *fluid = row(&cmp, "front fluid, margin");
    assert_int_equal(fluid->quantity, MBL_Q_RISE);
    assert_near(fluid->before, mbl_run_check_of(run->base, MBL_CHECK_FLUID, 0)->margin, 0);
    assert_near(fluid->after, mbl_run_check_of(run, MBL_CHECK_FLUID, 0)->margin, 0);
    assert_true(fluid->after < fluid->before); /* more of the heat in front */
    mbl_run_free(run);
}

static void another_master_is_told(void **state)
{
    (void)state;
    mbl_case c = bar_case();
    mbl_car before = c.car;
    c.car.pedal.master.front = 0.0206;
    mbl_comparison cmp = compared(&c, &before, NULL);
    assert_false(cmp.master_unchanged);
    /* its pressure is the same share of a larger area: the front brakes less for the effort */
    assert_true(cmp.front_share < 0);
    test_fill(&mbl_pedal_schema, test_pedal_tandem, &c.car.pedal);
    cmp = compared(&c, &before, NULL);
    assert_false(cmp.master_unchanged);
    before.pedal.present = false;
    cmp = compared(&c, &before, NULL);
    assert_false(cmp.master_unchanged);
    assert_true(isnan(cmp.travel) && isnan(cmp.effort));
    assert_true(isfinite(cmp.pressure));
}

static void without_pedals_there_are_rows_of_pressure_and_share_only(void **state)
{
    (void)state;
    mbl_case c = bar_case();
    c.car = test_coupe();
    mbl_car before = c.car;
    before.front.pad.friction.y[0] *= 0.9;
    mbl_comparison cmp = compared(&c, &before, NULL);
    for (int i = 0; i < cmp.n; i++) {
        assert_null(strstr(cmp.row[i].what, "effort"));
        assert_null(strstr(cmp.row[i].what, "travel"));
    }
    row(&cmp, "line pressure at 1 g");
    row(&cmp, "front share of the braking");
}

/* With ducts, minima, pedal and grip every check is there; no row falls off the end. */
static void every_row_of_a_full_comparison_has_room(void **state)
{
    (void)state;
    mbl_case c = bar_case();
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.4 m }", &c.car.front.duct);
    test_fill(&mbl_duct_schema, "{ bore: 51 mm, length: 1 m }", &c.car.rear.duct);
    c.car.front.rotor.minimum = 0.030;
    c.car.rear.rotor.minimum = 0.026;
    mbl_car before = c.car;
    c.car.fluid.cost = 40;
    mbl_comparison cmp = compared(&c, &before, NULL);
    static const char *const heat[] = {"rotor",      "gradient",      "pad",  "cold pad",
                                       "caliper",    "fluid",         "hose", "pad wear",
                                       "rotor wear", "panic pressure"};
    for (int axle = 0; axle < 2; axle++) {
        for (size_t i = 0; i < sizeof heat / sizeof heat[0]; i++) {
            char what[64];
            snprintf(what, sizeof what, "%s %s, margin", mbl_axle_word(axle), heat[i]);
            row(&cmp, what);
        }
    }
    static const char *const of_car[] = {"line pressure at 1 g",
                                         "pedal effort at 1 g",
                                         "pedal travel at 1 g",
                                         "front share of the braking",
                                         "pedal effort, margin",
                                         "pedal travel, margin",
                                         "grip, margin",
                                         "balance, margin",
                                         "bite, margin",
                                         "fluid's wet point",
                                         "fluid, a litre",
                                         "mass of all brakes",
                                         "mass their turning adds",
                                         "front pads, sessions left",
                                         "rear pads, sessions left",
                                         "parts",
                                         "labour to fit them",
                                         "used up by the event"};
    for (size_t i = 0; i < sizeof of_car / sizeof of_car[0]; i++)
        row(&cmp, of_car[i]);
    assert_true(cmp.n <= MBL_DIFFERENCES_MOST);
    assert_string_equal(cmp.row[cmp.n - 1].what, "used up by the event");
    assert_near(row(&cmp, "fluid, a litre")->after, 40, 0);
}

static void mass_and_money_are_those_of_each_car(void **state)
{
    (void)state;
    mbl_case c = bar_case();
    mbl_car before = c.car;
    c.car.front.caliper.mass += 0.75;
    c.car.front.rotor.ring_mass += 0.5;
    c.car.front.pad.cost = 200;
    mbl_comparison cmp = compared(&c, &before, NULL);
    const mbl_difference *mass = row(&cmp, "mass of all brakes");
    assert_near(mass->after - mass->before, 2 * 1.25, 1e-9);
    const mbl_difference *turns = row(&cmp, "mass their turning adds");
    /* a thick ring of 0.5 kg more, twice */
    double inertia = 0.5 * 0.5 * (0.1775 * 0.1775 + 0.122475 * 0.122475);
    assert_close(turns->after - turns->before, 2 * inertia / (0.318 * 0.318), 1e-9);
    const mbl_difference *parts = row(&cmp, "parts");
    assert_near(parts->after - parts->before, 200, 1e-9);
}

/* Friction that is 0.8 of another's at any pressure is a lower friction, at 1 g, too. */
static void
a_factor_over_pressure_that_is_even_asks_for_the_pressure_of_a_lower_friction(void **state)
{
    (void)state;
    mbl_case c = bar_case();
    mbl_car before = c.car;
    for (size_t i = 0; i < before.front.pad.friction.n; i++)
        before.front.pad.friction.y[i] *= 0.8;
    c.car.front.pad.pressure_effect = (mbl_curve){.n = 1, .x = {0}, .y = {0.8}};
    mbl_comparison cmp = compared(&c, &before, NULL);
    assert_near(cmp.pressure, 0, 1e-9);
    assert_near(cmp.travel, 0, 1e-9);
    assert_near(cmp.front_share, 0, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_car_against_itself_has_no_difference),
        cmocka_unit_test(a_bigger_front_caliper_on_the_same_master),
        cmocka_unit_test(another_master_is_told),
        cmocka_unit_test(without_pedals_there_are_rows_of_pressure_and_share_only),
        cmocka_unit_test(every_row_of_a_full_comparison_has_room),
        cmocka_unit_test(mass_and_money_are_those_of_each_car),
        cmocka_unit_test(
            a_factor_over_pressure_that_is_even_asks_for_the_pressure_of_a_lower_friction),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
