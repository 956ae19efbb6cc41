/* SPDX-License-Identifier: MIT */
/* What the cars of a mixed sweep differ in. */
#ifndef MBL_TESTS_BATCH_SWEEP_H
#define MBL_TESTS_BATCH_SWEEP_H

#include "support/coupe.h"
#include "support/random.h"
#include "support/session.h"
#include "support/test.h"

static inline void sweep_add_own(mbl_brake *b, double conductance)
{
    b->nodes.n = 1;
    b->nodes.v[0] = (mbl_extra_node){.name = "shroud", .capacity = 900};
    b->links.n = 2;
    b->links.v[0] = (mbl_extra_link){.from = "caliper", .to = "shroud", .conductance = conductance};
    b->links.v[1] = (mbl_extra_link){.from = "shroud", .to = "ambient", .conductance = 4};
}

/* What may differ among cars that are driven together. */
static inline void sweep_small_changes(mbl_car *car, random_source *r)
{
    car->front.airflow = random_between(r, 0.3, 0.6);
    car->rear.airflow = random_between(r, 0.2, 0.5);
    car->front.rotor.hat_mass *= random_between(r, 0.9, 1.1);
    car->front.caliper.mass *= random_between(r, 0.8, 1.2);
    car->rear.pad.wear *= random_between(r, 1, 20);
    car->fluid.dry += random_between(r, -20, 20);
    car->fluid.water = random_between(r, 0, 0.03);
    if (random_below(r, 2)) {
        test_fill(&mbl_duct_schema, "{ bore: 63 mm, length: 1.2 m }", &car->front.duct);
        car->front.duct.bore = random_between(r, 0.05, 0.09);
        car->front.duct.present = true;
    }
    switch (random_below(r, 4)) {
    case 0: /* ends before the demand does */
        test_fill(&mbl_pedal_schema, test_pedal_tandem, &car->pedal);
        car->pedal.effort_limit = random_between(r, 60, 110);
        car->pedal.present = true;
        break;
    case 1:
        test_fill(&mbl_pedal_schema, test_pedal_valve, &car->pedal);
        car->pedal.present = true;
        break;
    case 2:
        car->front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.93}};
        car->rear.pad.speed_effect = (mbl_curve){.n = 2, .x = {0, 60}, .y = {1.04, 0.9}};
        break;
    default:
        break;
    }
    car->tyre.grip = random_below(r, 2) ? 1.3 : (double)NAN;
}

/* What sets a car apart from others, in steps, so that some are together in it. */
static inline void sweep_large_changes(mbl_case *c, random_source *r)
{
    mbl_car *car = &c->car;
    if (random_below(r, 4) == 0) { /* solid */
        car->rear.rotor.vanes = 0;
        car->rear.rotor.thickness = 0.014;
    }
    if (random_below(r, 5) == 0)
        sweep_add_own(&car->front, random_between(r, 2, 5));
    if (random_below(r, 4) == 0)
        car->front.pad.conductivity *= 2;
    if (random_below(r, 4) == 0)
        car->mass += 150;
    if (random_below(r, 6) == 0)
        c->mode = MBL_MODE_FINE;
    if (random_below(r, 20) == 0)
        c->mode = MBL_MODE_REFERENCE;
    if (random_below(r, 3) == 0)
        c->mode = MBL_MODE_SCREENING;
    if (random_below(r, 3) == 0)
        c->stint.start = random_between(r, 320, 420);
}

#endif
