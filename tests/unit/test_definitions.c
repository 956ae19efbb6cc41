/* SPDX-License-Identifier: MIT */
/* The rules between fields of the real field tables, and what the defaults come out as. */
#include "parts/parts.h"
#include "support/coupe.h"
#include "support/test.h"

static void assert_refused(const mbl_schema *schema, const char *yaml, const char *path,
                           const char *part)
{
    mbl_error err = {0};
    mbl_node *raw = NULL;
    mbl_node *bound = NULL;
    assert_ok(mbl_document_parse(&mbl_alloc_libc, "test", yaml, strlen(yaml), &raw, &err), err);
    assert_int_equal(mbl_bind(schema, raw, &bound, &err), MBL_INPUT);
    assert_string_equal(err.path, path);
    assert_has(err.text, part);
    assert_null(bound);
    mbl_node_drop(raw);
}

static void a_ring_cannot_be_heavier_than_iron_or_a_third_of_it(void **state)
{
    (void)state;
    /* 330 x 28 mm, 51.15 mm deep: pi/4 (0.33^2 - 0.2277^2) 0.028 x 7200 = 9.03 kg of iron */
    assert_refused(&mbl_rotor_schema, "{ diameter: 330 mm, thickness: 28 mm, ring_mass: 9.6 kg }",
                   "rotor.ring_mass", "weighs 9.03 kg");
    assert_refused(&mbl_rotor_schema, "{ diameter: 330 mm, thickness: 28 mm, ring_mass: 2 kg }",
                   "rotor.ring_mass", "is the hat in it");
    mbl_rotor rotor;
    test_fill(&mbl_rotor_schema, "{ diameter: 330 mm, thickness: 28 mm, ring_mass: 6 kg }", &rotor);
    assert_near(rotor.ring_mass, 6, 0);
}

static void what_is_not_modelled_is_refused_by_name(void **state)
{
    (void)state;
    assert_refused(&mbl_brake_schema, "{ left: 1 }", "brake.left", "not yet modelled");
    assert_refused(&mbl_brake_schema, "{ right: 1 }", "brake.right", "not yet modelled");
}

static void a_gearing_pulls_with_torque_ratios_and_final_together(void **state)
{
    (void)state;
    static const struct {
        const char *gearing, *path, *part;
    } rows[] = {
        {"{ ratios: [3, 2], final: 4 }", "gearing.torque", "only together"},
        {"{ torque: [[1000, 200], [6000, 250]], final: 4 }", "gearing.ratios", "only together"},
        {"{ torque: [[1000, 200], [6000, 250]], ratios: [3, 2] }", "gearing.final",
         "only together"},
        {"{ torque: [[1000, 200], [6000, 250]], ratios: [2, 3], final: 4 }", "gearing.ratios",
         "fall from gear to gear"},
        {"{ torque: [[1000, 200], [60000, 250]], ratios: [3, 2], final: 4 }", "gearing.torque",
         "between 0 and 25000"},
    };
    char yaml[4096];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        snprintf(yaml, sizeof yaml, "gearing: %s\n%s", rows[i].gearing, test_coupe_yaml);
        assert_refused(&mbl_car_schema, yaml, rows[i].path, rows[i].part);
    }
    mbl_car car = test_coupe();
    assert_int_equal(car.gearing.driven, MBL_DRIVEN_REAR);
    assert_true(isnan(car.power) && isnan(car.gearing.final) && car.gearing.torque.n == 0);
    snprintf(yaml, sizeof yaml,
             "power: 350 hp\n"
             "gearing: { driven: all, torque: [[1000, 200], [6000, 250]], ratios: [3, 2], final: 4 "
             "}\n%s",
             test_coupe_yaml);
    test_fill(&mbl_car_schema, yaml, &car);
    assert_near(car.power, 350 * 745.69987158227022, 1e-6); /* 550 ft lbf/s, exact */
    assert_int_equal(car.gearing.driven, MBL_DRIVEN_ALL);
    assert_near(car.gearing.efficiency, 0.9, 0);
    assert_near(car.gearing.torque.x[1], 6000, 0);
    assert_near(car.gearing.ratios.v[1], 2, 0);
}

static void contradictions_between_fields_are_refused(void **state)
{
    (void)state;
    assert_refused(&mbl_fluid_schema, "{ dry: 200 C, wet: 200 C }", "fluid.wet", "below the dry");
    assert_refused(&mbl_pad_schema,
                   "{ area: 60 cm2, height: 50 mm, thickness: 16 mm, friction: [[20, 0.4]],"
                   "  window: [700 C, 150 C] }",
                   "pad.window", "hotter");
    assert_refused(&mbl_pad_schema,
                   "{ area: 60 cm2, height: 50 mm, thickness: 16 mm, thickness_now: 17 mm,"
                   "  friction: [[20, 0.4]], window: [150 C, 700 C] }",
                   "pad.thickness_now", "thicker than when it was new");
    assert_refused(&mbl_stint_schema, "{ park: 5 min }", "stint.hot", "how many laps");
    assert_refused(&mbl_stint_schema, "{ logged: true, hot: 3 }", "stint.logged", "the place of");
}

/* One master or two, and what each way to divide the pressure asks for. */
static void a_pedal_whose_parts_do_not_go_together_is_refused(void **state)
{
    (void)state;
    static const struct {
        const char *yaml, *path, *part;
    } rows[] = {
        {"{ ratio: 5, master: { bore: 20 mm, rear: 18 mm } }", "master.bore", "either one"},
        {"{ ratio: 5, master: { front: 20 mm } }", "master.rear", "missing"},
        {"{ ratio: 5, master: { stroke: 30 mm } }", "master.front", "missing"},
        {"{ ratio: 5, distribution: bar, master: { bore: 20 mm } }", "pedal.distribution",
         "two masters"},
        {"{ ratio: 5, balance: 0.6, master: { front: 20 mm, rear: 18 mm } }", "pedal.balance",
         "only distribution = \"bar\""},
        {"{ ratio: 5, distribution: valve, master: { bore: 20 mm } }", "pedal.knee", "missing"},
        {"{ ratio: 5, knee: 2 MPa, master: { bore: 20 mm } }", "pedal.knee", "\"valve\""}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_refused(&mbl_pedal_schema, rows[i].yaml, rows[i].path, rows[i].part);
    assert_refused(&mbl_pedal_schema, "{ master: { bore: 20 mm } }", "pedal.ratio", "missing");
    mbl_pedal pedal;
    test_fill(&mbl_pedal_schema, test_pedal_bar, &pedal);
    assert_true(pedal.present);
    assert_true(isnan(pedal.master.bore) && isnan(pedal.knee));
    assert_near(pedal.balance, 0.62, 0);
    assert_near(pedal.booster.gain, 1, 0);
    test_fill(&mbl_pedal_schema, test_pedal_valve, &pedal);
    assert_true(isnan(pedal.master.front) && isnan(pedal.balance));
    assert_near(pedal.knee, 2.5e6, 1e-9);
}

static void without_a_pedal_or_grip_a_car_says_so(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    assert_false(car.pedal.present);
    assert_true(isnan(car.tyre.grip));
    assert_false(car.abs);
    assert_int_equal(car.found.n, 0);
    assert_true(isnan(car.front.rotor.minimum) && isnan(car.front.caliper.rating));
}

static void what_was_found_is_read_by_its_word(void **state)
{
    (void)state;
    char yaml[2048];
    snprintf(yaml, sizeof yaml, "found: [worn pad, crack, soft pedal]\n%s", test_coupe_yaml);
    mbl_car car;
    test_fill(&mbl_car_schema, yaml, &car);
    assert_int_equal(car.found.n, 3);
    static const char *const words[] = {"worn pad", "crack", "soft pedal"};
    for (int i = 0; i < 3; i++)
        assert_string_equal(mbl_finding_word(car.found.v[i].what), words[i]);
    snprintf(yaml, sizeof yaml, "found: [squeak]\n%s", test_coupe_yaml);
    mbl_error err = {0};
    mbl_node *raw = NULL;
    mbl_node *bound = NULL;
    assert_ok(mbl_document_parse(&mbl_alloc_libc, "test", yaml, strlen(yaml), &raw, &err), err);
    assert_int_equal(mbl_bind(&mbl_car_schema, raw, &bound, &err), MBL_INPUT);
    assert_has(err.path, "car.found");
    mbl_node_drop(raw);
}

/* Changed below the thickness of the plate, where nothing else is said. */
static void a_pad_is_worn_at_its_plate_unless_said_otherwise(void **state)
{
    (void)state;
    mbl_pad pad;
    static const char text[] = "{ area: 60 cm2, height: 50 mm, thickness: 16 mm, thickness_now: "
                               "9 mm, friction: [[20, 0.4]], window: [150 C, 700 C]%s }";
    char yaml[256];
    snprintf(yaml, sizeof yaml, text, "");
    test_fill(&mbl_pad_schema, yaml, &pad);
    assert_near(mbl_pad_worn_at(&pad), 0.005, 1e-15);
    assert_near(mbl_pad_thickness(&pad), 0.009, 1e-15);
    assert_near(mbl_pad_wear_onset(&pad), 273.15 + 550, 1e-9);
    snprintf(yaml, sizeof yaml, text, ", worn_at: 3 mm, wear_onset: 400 C");
    test_fill(&mbl_pad_schema, yaml, &pad);
    assert_near(mbl_pad_worn_at(&pad), 0.003, 1e-15);
    assert_near(mbl_pad_wear_onset(&pad), 273.15 + 400, 1e-9);
    snprintf(yaml, sizeof yaml, text, ", plate_thickness: 12 mm, worn_at: 16 mm");
    assert_refused(&mbl_pad_schema, yaml, "pad.worn_at", "worn out already");
}

static void an_event_is_one_session_and_one_bleed_unless_said_otherwise(void **state)
{
    (void)state;
    mbl_event e = test_event();
    assert_int_equal(e.sessions, 1);
    assert_int_equal(e.bleeds, 1);
    assert_near(e.bleed_volume, 5e-4, 0);
    assert_near(e.labour_rate, 0, 0);
    assert_refused(&mbl_event_schema, "{ sessions: 0 }", "event.sessions", "1");
}

static void defaults_are_the_documented_ones(void **state)
{
    (void)state;
    mbl_stint stint;
    test_fill(&mbl_stint_schema, "{ hot: 3 }", &stint);
    assert_near(stint.ambient, 298.15, 1e-9);
    assert_near(stint.pace.traffic, 0.78, 0);
    assert_true(isnan(stint.start));
    assert_int_equal(stint.judge, MBL_JUDGE_LESSER);
    mbl_car car = test_coupe();
    assert_true(car.present);
    assert_near(car.load.passenger, 0, 0);
    assert_near(car.front.airflow, 1, 0);
    assert_int_equal(mbl_rotor_vanes(&car.front.rotor), 48);
    car.front.rotor.vanes = -1;
    assert_int_equal(mbl_rotor_vanes(&car.front.rotor), 40);
    car.front.rotor.thickness = 0.012;
    assert_int_equal(mbl_rotor_vanes(&car.front.rotor), 0);
}

static void a_grade_gives_the_least_its_standard_allows(void **state)
{
    (void)state;
    /* FMVSS 116 S5.1.1 and S5.1.2 by a third party's transcription; class 6: ISO 4925, from
     * memory */
    static const struct {
        const char *yaml;
        double dry, wet;
    } rows[] = {{"{ grade: DOT 3 }", 205, 140},
                {"{ grade: DOT 4 }", 230, 155},
                {"{ grade: DOT 5.1 }", 260, 180},
                {"{ grade: class 6 }", 250, 165},
                {"{ grade: DOT 4, dry: 270 C }", 270, 155}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        mbl_fluid f;
        test_fill(&mbl_fluid_schema, rows[i].yaml, &f);
        assert_near(mbl_fluid_dry(&f), rows[i].dry + 273.15, 1e-9);
        assert_near(mbl_fluid_wet(&f), rows[i].wet + 273.15, 1e-9);
    }
    assert_refused(&mbl_fluid_schema, "{ wet: 180 C }", "fluid.dry", "or a grade");
}

static void water_is_as_given_or_by_age(void **state)
{
    (void)state;
    mbl_fluid f;
    test_fill(&mbl_fluid_schema, "{ grade: DOT 4, water: 2 %, age: 10 months }", &f);
    assert_near(mbl_fluid_water(&f), 0.02, 1e-12);
    test_fill(&mbl_fluid_schema, "{ grade: DOT 4, age: 10 months, uptake: 0.2 % }", &f);
    assert_near(mbl_fluid_water(&f), 0.02, 1e-12);
    test_fill(&mbl_fluid_schema, "{ grade: DOT 4 }", &f);
    assert_near(mbl_fluid_water(&f), 0.015, 1e-12);
}

static void a_ring_is_weighed_or_what_the_hat_leaves_or_of_its_size(void **state)
{
    (void)state;
    mbl_rotor r;
    test_fill(&mbl_rotor_schema,
              "{ diameter: 355 mm, thickness: 32 mm, ring_height: 60 mm, mass: 9.5 kg,"
              "  hat_mass: 1.3 kg }",
              &r);
    assert_near(mbl_rotor_ring_mass(&r), 8.2, 1e-12);
    test_fill(&mbl_rotor_schema, "{ diameter: 355 mm, thickness: 32 mm, ring_height: 60 mm }", &r);
    /* 7150 x 0.62 x pi/4 (0.355^2 - 0.235^2) x 0.032, computed */
    assert_close(mbl_rotor_ring_mass(&r), 7.888072, 1e-6);
    assert_refused(&mbl_rotor_schema,
                   "{ diameter: 355 mm, thickness: 32 mm, mass: 9 kg, ring_mass: 8 kg }",
                   "rotor.mass", "either the ring by itself");
    assert_refused(&mbl_rotor_schema,
                   "{ diameter: 355 mm, thickness: 32 mm, mass: 9 kg, hat_mass: 7 kg }",
                   "rotor.mass", "is hat_mass");
    assert_refused(&mbl_rotor_schema, "{ diameter: 355 mm, thickness: 32 mm, minimum: 32 mm }",
                   "rotor.minimum", "at or below");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_ring_cannot_be_heavier_than_iron_or_a_third_of_it),
        cmocka_unit_test(what_is_not_modelled_is_refused_by_name),
        cmocka_unit_test(a_gearing_pulls_with_torque_ratios_and_final_together),
        cmocka_unit_test(contradictions_between_fields_are_refused),
        cmocka_unit_test(a_pedal_whose_parts_do_not_go_together_is_refused),
        cmocka_unit_test(without_a_pedal_or_grip_a_car_says_so),
        cmocka_unit_test(what_was_found_is_read_by_its_word),
        cmocka_unit_test(a_pad_is_worn_at_its_plate_unless_said_otherwise),
        cmocka_unit_test(an_event_is_one_session_and_one_bleed_unless_said_otherwise),
        cmocka_unit_test(defaults_are_the_documented_ones),
        cmocka_unit_test(a_grade_gives_the_least_its_standard_allows),
        cmocka_unit_test(water_is_as_given_or_by_age),
        cmocka_unit_test(a_ring_is_weighed_or_what_the_hat_leaves_or_of_its_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
