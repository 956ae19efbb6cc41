/* SPDX-License-Identifier: MIT */
/*
 * The demo's temperatures beside what the trade expects of a heavy, fast track car. Plausibility,
 * never an oracle: a row outside its band fails nothing, it is there to be read.
 */
#include "heat/heat.h"
#include "host/host.h"
#include "support/coupe.h"
#include "support/test.h"
#include "support/validation.h"

#include <jansson.h>
#include <unistd.h>

static const char articles[] = "trade articles";
static const char practice[] = "common practice, no source";

/* The first run of the demo script, as it saves itself. */
static json_t *run_demo(void)
{
    char folder[] = "/tmp/emberlap-plausible-XXXXXX";
    assert_non_null(mkdtemp(folder));
    FILE *nowhere = fopen("/dev/null", "w");
    assert_non_null(nowhere);
    mbl_host_options o = {.alloc = &mbl_alloc_libc,
                          .out = nowhere,
                          .notes = nowhere,
                          .out_dir = folder,
                          .root = MBL_SOURCE_DIR};
    int code = mbl_host_script(&o, MBL_SOURCE_DIR "/scripts/harrow_vale.lua");
    fclose(nowhere);
    assert_true(code == MBL_EXIT_HOLDS || code == MBL_EXIT_PASSED);
    static const char *const names[] = {"harrow_vale_1.json", "harrow_vale_1.csv",
                                        "harrow_vale_2.json", "harrow_vale_2.csv"};
    json_t *document = NULL;
    for (int i = 0; i < 4; i++) {
        char path[128];
        snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        json_error_t wrong;
        if (i == 0) {
            document = json_load_file(path, 0, &wrong);
            if (document == NULL)
                fail_msg("%s: %s", path, wrong.text);
        }
        assert_int_equal(unlink(path), 0);
    }
    assert_int_equal(rmdir(folder), 0);
    return document;
}

/* Number at a path of keys, ended by NULL; an index is a key of digits. */
static double at(const json_t *node, ...)
{
    va_list keys;
    va_start(keys, node);
    const char *key = va_arg(keys, const char *);
    for (; key != NULL && node != NULL; key = va_arg(keys, const char *))
        node = json_is_array(node) ? json_array_get(node, (size_t)atoi(key))
                                   : json_object_get(node, key);
    va_end(keys);
    if (!json_is_number(node))
        fail_msg("the demo has no number where one was looked for");
    return json_number_value(node);
}

static double peak(const json_t *run, const char *axle, const char *node, const char *when)
{
    return at(run, "axles", axle, "nodes", node, when, "temperature", NULL);
}

/* How wide a front face stood above its core, K. */
static double gradient(const json_t *run)
{
    size_t i;
    json_t *check;
    json_array_foreach(json_object_get(run, "checks"), i, check)
    {
        const char *kind = json_string_value(json_object_get(check, "kind"));
        const char *axle = json_string_value(json_object_get(check, "axle"));
        if (strcmp(kind, "gradient") == 0 && strcmp(axle, "front") == 0)
            return at(check, "peak", NULL);
    }
    fail_msg("the demo has no check of the front rotor's gradient");
    return 0;
}

static void rotors_and_pads(const json_t *run)
{
    double core = peak(run, "front", "rotor.core", "peak");
    plausible("demo, front rotor core, peak, C (heavy or fast car on a track)", practice, 500, 680,
              core);
    plausible("demo, front rotor core, peak, C (a measured heavy saloon: 675)", articles, 0, 700,
              core);
    plausible("demo, rear rotor core, peak, C (light car or rear axle)", practice, 350, 550,
              peak(run, "rear", "rotor.core", "peak"));
    plausible("demo, front face over core at the end of a big stop, K", practice, 190, 360,
              gradient(run));
    plausible("demo, front pad face, peak, C (sprint race pad)", articles, 315, 815,
              peak(run, "front", "pad.face", "peak"));
}

static void calipers_and_fluid(const json_t *run)
{
    double air = at(run, "stint", "ambient", NULL);
    double caliper = peak(run, "front", "caliper", "track");
    double parked = peak(run, "front", "caliper", "parked");
    double core = peak(run, "front", "rotor.core", "peak");
    plausible("demo, front caliper on track, C (comfortable below 150, watched below 200)",
              practice, 100, 200, caliper);
    plausible("demo, front caliper's excess over that of the core", practice, 0.25, 0.40,
              (caliper - air) / (core - air));
    plausible("demo, front caliper, rise while parked, K", practice, 15, 50, parked - caliper);
    plausible("demo, front caliper, peak after parking, min", practice, 3, 12,
              at(run, "axles", "front", "nodes", "caliper", "parked", "parked_s", NULL) / 60);
    plausible("demo, front fluid over caliper on track, K", practice, 5, 25,
              peak(run, "front", "fluid", "track") - caliper);
}

static void energies(const json_t *run)
{
    double mass = at(run, "car", "mass", NULL);
    plausible("demo, braking energy of a hot lap, kJ per kg of car", "a public race log, 3.7 km",
              2.4, 2.9, at(run, "ledger", "braking_energy_hot_lap", NULL) / mass / 1e3);
    const char *hot = "5";
    plausible("demo, share of a hot lap on the brakes", "a public race log", 0.11, 0.16,
              at(run, "laps", hot, "braking_time", NULL) / at(run, "laps", hot, "time", NULL));
    plausible("demo, share of a hot lap on the brakes, any course", practice, 0.10, 0.20,
              at(run, "laps", hot, "braking_time", NULL) / at(run, "laps", hot, "time", NULL));
}

static void the_demo_beside_the_trade(void **state)
{
    (void)state;
    json_t *run = run_demo();
    rotors_and_pads(run);
    calipers_and_fluid(run);
    energies(run);
    json_decref(run);
}

/*
 * A front rotor of 9 kg as one lump, its loss as a film on 0.2 m2, as the trade counts it; bands
 * of a fifth around what the trade names.
 */
static void a_front_rotor_cools_beside_the_trade(void **state)
{
    (void)state;
    static const struct {
        const char *what;
        double kmh, celsius, film;
    } rows[] = {{"in-lap at 50 km/h", 50, 400, 45 + 18},
                {"100 km/h", 100, 400, 80 + 18},
                {"150 km/h, no duct", 150, 400, 110 + 18},
                {"150 km/h, good sealed duct", 150, 400, 160 + 18}};
    mbl_brake b = test_coupe().front; /* 7.9 kg of ring, 1.2 kg of hat */
    double losses[4];
    for (int i = 0; i < 4; i++) {
        if (i == 3)
            test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.2 m, aim: eye }", &b.duct);
        mbl_ring ring = mbl_ring_of(&b.rotor);
        mbl_surroundings air = {.brake = &b,
                                .tyre_radius = 0.318,
                                .ambient = 293.15,
                                .p = 101325,
                                .vanes = ring.channels};
        double T = 273.15 + rows[i].celsius;
        double watts = mbl_rotor_cools(&air, rows[i].kmh / 3.6, T).watts;
        double film = watts / (T - air.ambient) / 0.2;
        losses[i] = film;
        char what[128];
        snprintf(what, sizeof what,
                 "front rotor, 355 x 32 mm, at 400 C, %s: loss on 0.2 m2, radiation in, W/m2K",
                 rows[i].what);
        plausible(what, practice, 0.8 * rows[i].film, 1.2 * rows[i].film, film);
    }
    plausible("the same at 150 km/h: loss with a good sealed duct over that without", practice, 1.2,
              1.6, losses[3] / losses[2]);
    b.duct.present = false;
    mbl_ring ring = mbl_ring_of(&b.rotor);
    mbl_surroundings air = {
        .brake = &b, .tyre_radius = 0.318, .ambient = 293.15, .p = 101325, .vanes = ring.channels};
    double still = mbl_rotor_cools(&air, 0, 773.15).convection;
    plausible("the same standing, 500 C, convection alone, W/m2K", articles, 3, 5, still);
}

/* 40 m/s, 76 mm hose. */
static void a_duct_delivers_beside_the_trade(void **state)
{
    (void)state;
    mbl_duct d;
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.2 m }", &d);
    mbl_air air = mbl_air_at(293.15, 101325);
    plausible("76 mm corrugated hose at 40 m/s: air, kg/s", "capture of 0.3 to 0.6, computed",
              0.063, 0.125, mbl_duct_flow(&d, 40, &air));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_demo_beside_the_trade),
        cmocka_unit_test(a_front_rotor_cools_beside_the_trade),
        cmocka_unit_test(a_duct_delivers_beside_the_trade),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
