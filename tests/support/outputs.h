/* SPDX-License-Identifier: MIT */
/* Everything a run tells, as numbers: what a key must move to be worth having. */
#ifndef MBL_TESTS_OUTPUTS_H
#define MBL_TESTS_OUTPUTS_H

#include "study/study.h"

enum { OUTPUTS = 1024 };

typedef struct outputs {
    size_t n;
    double v[OUTPUTS];
} outputs;

/* The stint alone: enough for most keys, and quick. */
outputs outputs_quick(const mbl_case *c, mbl_film_store *films);

/* With what lies beyond it: reach, plan of the day, the car before and the comparison. */
outputs outputs_full(const mbl_case *c);

/* Numbers that are none count as equal. */
bool outputs_same(const outputs *a, const outputs *b);

#endif
