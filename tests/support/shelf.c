/* SPDX-License-Identifier: MIT */
#include "support/shelf.h"

#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

const mbl_fits test_unsaid = {.diameter = {NAN, NAN}, .thickness = {NAN, NAN}, .stack = NAN};

mbl_slot *test_shelf_slot(test_shelf *at, mbl_slot_kind kind)
{
    mbl_slot *slot = &at->ask.slot[at->ask.nslots];
    mbl_option *there = at->option[at->ask.nslots++];
    *slot = (mbl_slot){.kind = kind, .keep = true, .n = 1, .option = there};
    mbl_part_of(kind, &at->setup.car, &there->part);
    there->name = "as it is";
    there->fits = test_unsaid;
    return slot;
}

mbl_option *test_shelf_add(test_shelf *at, mbl_slot *slot, const char *yaml)
{
    mbl_option *o = &at->option[slot - at->ask.slot][slot->n++];
    assert_true(slot->n <= TEST_OPTIONS);
    *o = (mbl_option){.name = yaml, .part = {.kind = slot->kind}, .fits = test_unsaid};
    test_fill(mbl_slot_schema(slot->kind), yaml, &o->part.of);
    return o;
}

void test_shelf_begin(test_shelf *at, mbl_trace *trace, const char *stint)
{
    memset(at, 0, sizeof *at);
    at->setup = test_case(trace, stint);
    at->setup.car = test_coupe_with(test_pedal_bar);
    at->setup.car.abs = true;
    at->setup.limits.rotor = 730 + 273.15;
    at->setup.event.labour_rate = 60;
    at->ask = (mbl_shortlist_ask){.alloc = &mbl_alloc_libc,
                                  .setup = &at->setup,
                                  .room = {.wheel = {NAN, NAN}, .ratio = {NAN, NAN}},
                                  .need = MBL_MARGINAL,
                                  .want = 5,
                                  .workers = 2};
    for (int k = 0; k < MBL_SLOT_KINDS; k++)
        at->ask.there[k] = test_unsaid;
}

void test_shelf_fill(test_shelf *at)
{
    mbl_slot *s = test_shelf_slot(at, MBL_SLOT_FRONT_ROTOR);
    test_shelf_add(
        at, s,
        TEST_RING("diameter: 355 mm, thickness: 32 mm, ring_mass: 9 kg, cost: 150, labour: 1 h"));
    test_shelf_add(
        at, s,
        TEST_RING("diameter: 370 mm, thickness: 34 mm, ring_mass: 10 kg, cost: 210, labour: 1 h"));
    test_shelf_add(
        at, s,
        TEST_RING(
            "diameter: 370 mm, thickness: 34 mm, ring_mass: 10 kg, cost: 190, labour: 1.5 h"));
    s = test_shelf_slot(at, MBL_SLOT_FRONT_PAD);
    test_shelf_add(at, s, TEST_PAD("window: [100 C, 720 C], cost: 140, labour: 0.5 h"))
        ->fits.pad[0] = 'A';
    test_shelf_add(at, s, TEST_PAD("window: [120 C, 850 C], cost: 320, labour: 0.5 h"))
        ->fits.pad[0] = 'A';
    test_shelf_add(at, s, TEST_PAD("window: [120 C, 850 C], cost: 300, labour: 0.5 h"))
        ->fits.pad[0] = 'B';
    test_shelf_add(at, s,
                   "{ area: 50 cm2, height: 46 mm, thickness: 16 mm, friction: [[20, 0.5]], "
                   "window: [60 C, 780 C], cost: 170, labour: 0.5 h }");
    s = test_shelf_slot(at, MBL_SLOT_FRONT_CALIPER);
    at->option[2][0].fits.pad[0] = 'A';
    at->option[2][0].fits.diameter[0] = 0.34;
    at->option[2][0].fits.diameter[1] = 0.36;
    mbl_option *o = test_shelf_add(at, s,
                                   "{ type: fixed, pistons: [40 mm, 36 mm, 32 mm], mass: 3.9 kg, "
                                   "piston: titanium, cost: 600, labour: 3 h }");
    o->fits.pad[0] = 'B';
    test_shelf_add(
        at, s,
        "{ type: fixed, pistons: [38 mm, 34 mm], mass: 2.9 kg, rating: 125 bar, cost: 300, "
        "labour: 3 h }");
    s = test_shelf_slot(at, MBL_SLOT_FRONT_DUCT);
    test_shelf_add(at, s, "{ bore: 63 mm, length: 1.4 m, mass: 0.9 kg, cost: 150, labour: 3 h }");
    test_shelf_add(at, s, "{ bore: 76 mm, length: 1.4 m, mass: 1.1 kg, cost: 150, labour: 3 h }");
    s = test_shelf_slot(at, MBL_SLOT_MASTER);
    test_shelf_add(at, s,
                   "{ ratio: 5.2, effort_limit: 700 N, distribution: bar, balance: 0.62,"
                   "  master: { front: 20.6 mm, rear: 19.05 mm, cost: 190, labour: 2 h } }");
    test_shelf_add(
        at, s,
        "{ ratio: 5.2, effort_limit: 700 N, distribution: bar, balance: 0.62,"
        "  master: { front: 19 mm, rear: 17.8 mm, stroke: 40 mm, cost: 120, labour: 2 h } }");
    test_shelf_add(at, s,
                   "{ ratio: 5.2, effort_limit: 700 N, distribution: bar, balance: 0.62,"
                   "  master: { front: 22.2 mm, rear: 17.8 mm, cost: 190, labour: 2 h } }");
    s = test_shelf_slot(at, MBL_SLOT_FLUID);
    test_shelf_add(at, s, "{ dry: 268 C, wet: 160 C, water: 0.5 %, cost: 20, labour: 0.8 h }");
    test_shelf_add(at, s, "{ dry: 312 C, wet: 205 C, water: 0.5 %, cost: 70, labour: 0.8 h }");
    test_shelf_add(at, s, "{ dry: 325 C, wet: 195 C, water: 0.5 %, cost: 95, labour: 0.8 h }");
    test_shelf_add(at, s, "{ grade: DOT 4, cost: 12, labour: 0.8 h, bulk_modulus: 700 MPa }");
    test_shelf_add(at, s,
                   "{ dry: 330 C, wet: 212 C, water: 3 %, cost: 70, labour: 0.8 h, "
                   "boiling: [[0, 330], [0.02, 240], [0.04, 205]] }");
}

void test_shelf_small(test_shelf *at, mbl_trace *trace)
{
    test_shelf_begin(at, trace, "{ out: 2, hot: 2, cool: 1, park: 5 min, ambient: 30 C }");
    at->setup.car.tyre.grip = NAN;
    at->setup.limits.pressure = 4e7;
    at->setup.limits.rotor = 860 + 273.15;
    at->setup.limits.rotor_band = 30;
    at->setup.limits.hose_band = 20;
    at->setup.limits.gradient = 450;
    at->setup.car.rear.pad.window = (mbl_numbers){2, {293.15, 1173.15}};
    mbl_slot *s = test_shelf_slot(at, MBL_SLOT_FRONT_PAD);
    test_shelf_add(at, s, TEST_PAD("window: [60 C, 1000 C], cost: 320, labour: 0.5 h"));
    test_shelf_add(at, s, TEST_PAD("window: [60 C, 920 C], cost: 300, labour: 0.5 h"));
    test_shelf_add(at, s, TEST_PAD("window: [20 C, 400 C], cost: 60, labour: 0.5 h"));
    s = test_shelf_slot(at, MBL_SLOT_FRONT_DUCT);
    test_shelf_add(at, s, "{ bore: 63 mm, length: 1.4 m, mass: 0.9 kg, cost: 150, labour: 3 h }");
    test_shelf_add(at, s,
                   "{ bore: 102 mm, length: 1.4 m, inlet: nose, aim: eye, mass: 1.1 kg, cost: 400, "
                   "labour: 3 h }");
    s = test_shelf_slot(at, MBL_SLOT_FLUID);
    test_shelf_add(at, s, "{ dry: 160 C, wet: 112 C, water: 0.5 %, cost: 10, labour: 0.8 h }");
    test_shelf_add(at, s, "{ dry: 312 C, wet: 205 C, water: 0.5 %, cost: 70, labour: 0.8 h }");
}
