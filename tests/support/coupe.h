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

/* Limits with their defaults. */
mbl_limits test_limits(void);

#endif
