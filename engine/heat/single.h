/* SPDX-License-Identifier: MIT */
/*
 * The fields of a block in single precision, for screening: half the bytes, and twice the lanes in
 * a register. Only the strides go by it. A state that was copied out and in again is the same to
 * the last bit; totals stay the block's own doubles, so that sums over a stint lose nothing.
 * Private to `heat`.
 */
#ifndef MBL_HEAT_SINGLE_H
#define MBL_HEAT_SINGLE_H

#include "heat/block.h"

/* Of a field, by who writes it. */
#define MBL_SINGLE_state  float
#define MBL_SINGLE_model  float
#define MBL_SINGLE_stage  float
#define MBL_SINGLE_totals double

typedef struct mbl_single {
    const mbl_alloc *alloc;
    size_t bytes;
    void *buffer;
    /* the block's */
    mbl_model *const *model;
    const mbl_table2 *const *law;
    const mbl_contact *const *contact;
    bool pressure_matters, speed_matters, plain;
#define MBL_SINGLE_POINTER(field, count, unit, owner, about) MBL_SINGLE_##owner *field;
    MBL_BLOCK_FIELDS(MBL_SINGLE_POINTER)
#undef MBL_SINGLE_POINTER
} mbl_single;

/* Room for the fields of this block; free with mbl_single_free. */
MBL_NODISCARD mbl_status mbl_single_make(mbl_block *block, mbl_single **out, mbl_error *err);
void mbl_single_free(mbl_single *single);

/* State and model of the block into its copy; the state back. */
void mbl_single_enter(mbl_block *block);
void mbl_single_leave(mbl_block *block);

#endif
