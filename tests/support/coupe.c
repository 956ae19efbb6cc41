/* SPDX-License-Identifier: MIT */
#include "support/coupe.h"

#include "support/test.h"

const char test_coupe_yaml[] =
    "mass: 1420 kg\n"
    "tyre: { radius: 318 mm }\n"
    "aero: { drag_area: 0.72 m2 }\n"
    "fluid: { dry: 310 C, wet: 200 C, water: 1 % }\n"
    "front:\n"
    "  rotor: { diameter: 355 mm, thickness: 32 mm, ring_mass: 7.9 kg, hat_mass: 1.2 kg,\n"
    "           construction: two-piece, hat: plain, vanes: 48 }\n"
    "  pad: { area: 62 cm2, height: 50 mm, thickness: 16 mm, thickness_now: 11 mm,\n"
    "         friction: [[20, 0.38], [300, 0.48], [650, 0.44], [800, 0.30]],\n"
    "         window: [150 C, 700 C] }\n"
    "  caliper: { type: fixed, pistons: [38 mm, 34 mm, 30 mm], mass: 3.4 kg }\n"
    "rear:\n"
    "  rotor: { diameter: 330 mm, thickness: 28 mm, ring_mass: 6.2 kg, hat_mass: 2.1 kg,\n"
    "           vanes: 40 }\n"
    "  pad: { area: 42 cm2, height: 46 mm, thickness: 14 mm,\n"
    "         friction: [[20, 0.38], [300, 0.48], [650, 0.44], [800, 0.30]],\n"
    "         window: [150 C, 700 C] }\n"
    "  caliper: { type: fixed, pistons: [28 mm, 28 mm], mass: 2.3 kg }\n";

const char test_pedal_bar[] = "{ ratio: 5.2, effort_limit: 700 N, distribution: bar, balance: 0.62,"
                              "  master: { front: 19 mm, rear: 17.8 mm } }";

const char test_pedal_tandem[] =
    "{ ratio: 3.2, effort_limit: 500 N, master: { bore: 25.4 mm }, booster: { gain: 4.5 } }";

const char test_pedal_valve[] =
    "{ ratio: 3.2, effort_limit: 500 N, distribution: valve, knee: 2.5 MPa, slope: 0.35,"
    "  master: { bore: 25.4 mm }, booster: { gain: 4.5 } }";

void test_fill(const mbl_schema *schema, const char *yaml, void *out)
{
    mbl_error err = {0};
    mbl_node *raw = NULL;
    mbl_node *bound = NULL;
    assert_ok(mbl_document_parse(&mbl_alloc_libc, "test", yaml, strlen(yaml), &raw, &err), err);
    assert_ok(mbl_bind(schema, raw, &bound, &err), err);
    mbl_extract(schema, bound, out);
    mbl_node_drop(raw);
    mbl_node_drop(bound);
}

mbl_car test_coupe(void)
{
    mbl_car car;
    test_fill(&mbl_car_schema, test_coupe_yaml, &car);
    return car;
}

mbl_car test_coupe_with(const char *pedal_yaml)
{
    mbl_car car = test_coupe();
    test_fill(&mbl_pedal_schema, pedal_yaml, &car.pedal);
    car.tyre.grip = 1.4;
    return car;
}

mbl_limits test_limits(void)
{
    mbl_limits limits;
    test_fill(&mbl_limits_schema, "{}", &limits);
    return limits;
}

mbl_event test_event(void)
{
    mbl_event event;
    test_fill(&mbl_event_schema, "{}", &event);
    return event;
}
