/* SPDX-License-Identifier: MIT */
/* Building JSON without losing sight of failures. Private to `out`. */
#ifndef MBL_OUT_JSON_PARTS_H
#define MBL_OUT_JSON_PARTS_H

#include "study/study.h"

#include <jansson.h>

/*
 * Puts take over the value; a value or an object that could not be made (NULL) sets *failed and
 * is left out.
 */
typedef struct mbl_json {
    bool failed;
} mbl_json;

void mbl_json_put(mbl_json *j, json_t *object, const char *key, json_t *value);
void mbl_json_push(mbl_json *j, json_t *array, json_t *value);

json_t *mbl_json_number(double number);  /* null unless finite */
json_t *mbl_json_level(double kelvin);   /* in C */
json_t *mbl_json_text(const char *text); /* bytes that are not UTF-8 become question marks */
json_t *mbl_json_sentences(mbl_json *j, const char *const *sentences);

json_t *mbl_json_lap(int lap); /* null for lap 0 */
json_t *mbl_json_peak(mbl_json *j, const mbl_run *run, const mbl_peak *peak);
json_t *mbl_json_passing(mbl_json *j, const mbl_passing *passing);
json_t *mbl_json_check(mbl_json *j, const mbl_run *run, const mbl_check *check);
json_t *mbl_json_checks(mbl_json *j, const mbl_run *run);

/* What is not heat; plan and comparison are null where there is none. */
json_t *mbl_json_pedal(mbl_json *j, const mbl_run *run);
json_t *mbl_json_balance(mbl_json *j, const mbl_run *run);
json_t *mbl_json_life(mbl_json *j, const mbl_life_result *life);
json_t *mbl_json_mass(mbl_json *j, const mbl_run *run);
json_t *mbl_json_cost(mbl_json *j, const mbl_run *run);
json_t *mbl_json_plan(mbl_json *j, const mbl_run *run);
json_t *mbl_json_against(mbl_json *j, const mbl_run *run);

/* The part of the document about the inputs: an entry for every leaf. */
json_t *mbl_json_assumptions(mbl_json *j, const mbl_run *run);

/* Car, stint and course as run. */
json_t *mbl_json_car(mbl_json *j, const mbl_run *run);
json_t *mbl_json_stint(mbl_json *j, const mbl_run *run);
json_t *mbl_json_course(mbl_json *j, const mbl_run *run);

#endif
