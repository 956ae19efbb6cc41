/* SPDX-License-Identifier: MIT */
/* Cars drawn at random, all of them acceptable to the field tables, and a stint to drive them. */
#ifndef MBL_TESTS_RANDOM_CAR_H
#define MBL_TESTS_RANDOM_CAR_H

#include "heat/heat.h"
#include "support/random.h"

enum { RANDOM_CAR_TEXT = 4096, RANDOM_STINT_STEPS = 1024 };

/* The YAML of car number `seed`: every field of rotor, pad, caliper, fluid and
 * pedal may be set. */
void random_car_text(uint64_t seed, char out[RANDOM_CAR_TEXT]);

/* The same bound through the schema; fails the test, showing the text, when it is refused. */
mbl_car random_car(uint64_t seed);

/* Pads of one coefficient of friction, so that no temperature moves heat between the axles. */
void random_car_flat_friction(mbl_car *car);

/* A block of one lane in air at `ambient` (K) and one atmosphere. */
mbl_block *random_car_block(const mbl_car *car, double ambient);

/*
 * Pulls and stops, then parked. The energy of a stop heats the rings of the car by 30 to 120 K
 * if it stays in them, so that any car is asked what suits it.
 */
typedef struct random_stint {
    double time[RANDOM_STINT_STEPS + 1], speed[RANDOM_STINT_STEPS + 1];
    double power[RANDOM_STINT_STEPS];
    size_t n;      /* steps */
    size_t parked; /* first step at rest */
    mbl_inputs in;
} random_stint;
void random_stint_make(uint64_t seed, const mbl_car *car, int stops, random_stint *out);

/* Number of cases: MBL_CASES of the environment, or `usual`. */
int random_cases(int usual);

/* Runs step k of a stint in pieces of at most 0.1 s: a skin that has just been braked on is far
 * from settled after two seconds in one. */
void random_stint_step(mbl_block *b, const random_stint *s, size_t k);

#endif
