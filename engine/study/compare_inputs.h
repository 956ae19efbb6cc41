/* SPDX-License-Identifier: MIT */
/* What differs in what several runs were given: key by key, as their trees have it. */
#ifndef MBL_STUDY_COMPARE_INPUTS_H
#define MBL_STUDY_COMPARE_INPUTS_H

#include "study/run.h"

enum { MBL_COMPARED_MOST = 9, MBL_GIVEN_PATH = 96 };

/* A key as one run has it. */
typedef struct mbl_given_value {
    bool there;           /* false: its part is not there */
    const mbl_node *node; /* borrowed from the run's tree; NULL: not given */
    mbl_origin origin;
} mbl_given_value;

typedef struct mbl_given_row {
    char path[MBL_GIVEN_PATH]; /* "car.front.pad.window" */
    const mbl_field *field;
    mbl_given_value of[MBL_COMPARED_MOST];
} mbl_given_row;

typedef struct mbl_given {
    const mbl_alloc *alloc;
    size_t n, room;
    mbl_given_row *row; /* (n) */
} mbl_given;

/*
 * Keys that not all of the 2 to MBL_COMPARED_MOST runs have alike, in the order of the field
 * tables; what is left out and given as its default is alike. A base is no input of its run here.
 * Runs need their trees. Free with mbl_given_free. MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_compare_inputs(const mbl_alloc *alloc, size_t n,
                                            const mbl_run *const runs[], mbl_given *out,
                                            mbl_error *err);
void mbl_given_free(mbl_given *inputs);

#endif
