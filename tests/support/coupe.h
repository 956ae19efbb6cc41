/* SPDX-License-Identifier: MIT */
/* A car for tests, ours, bound through the field tables as a script's would be. */
#ifndef MBL_TESTS_COUPE_H
#define MBL_TESTS_COUPE_H

#include "parts/parts.h"

/* YAML of the car; 1420 kg, 355 mm vented two-piece front, 330 mm vented one-piece rear. */
extern const char test_coupe_yaml[];

/* Binds a YAML text against a schema and fills `out`; fails the test when it cannot. */
void test_fill(const mbl_schema *schema, const char *yaml, void *out);

/* The car of test_coupe_yaml. */
mbl_car test_coupe(void);

/*
 * Pedals for it: a bar between masters of 19 and 17.8 mm, 0.62 of the force in front; a tandem
 * master of 25.4 mm with a booster; the same with a valve in the rear line.
 */
extern const char test_pedal_bar[];
extern const char test_pedal_tandem[];
extern const char test_pedal_valve[];

/* The car with one of these pedals and tyres of grip 1.4. */
mbl_car test_coupe_with(const char *pedal_yaml);

/* Limits and event with their defaults. */
mbl_limits test_limits(void);
mbl_event test_event(void);

#endif
