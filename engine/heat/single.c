/* SPDX-License-Identifier: MIT */
#include "heat/single.h"

#include <stdint.h>

/* Bytes of one field, rounded up to a cache line. Totals are the block's own. */
#define BYTES_state(count)  (((count) * sizeof(float) + 63) / 64 * 64)
#define BYTES_model(count)  BYTES_state(count)
#define BYTES_stage(count)  BYTES_state(count)
#define BYTES_totals(count) 0

mbl_status mbl_single_make(mbl_block *b, mbl_single **out, mbl_error *err)
{
    mbl_counts n = mbl_counts_of(b->model[0]);
    size_t lanes = (size_t)b->lanes;
    size_t bytes = 64; /* to align the first field */
    mbl_single *s = mbl_new(b->alloc, 1, sizeof *s);
    if (s == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory making a block");
#define SIZE(field, count, unit, owner, about) bytes += BYTES_##owner(n.count * lanes);
    MBL_BLOCK_FIELDS(SIZE)
#undef SIZE
    s->alloc = b->alloc;
    s->bytes = bytes;
    s->buffer = mbl_new(b->alloc, 1, bytes);
    if (s->buffer == NULL) {
        mbl_free(b->alloc, s, 1, sizeof *s);
        return mbl_fail(err, MBL_MEMORY, "out of memory making a block");
    }
    s->model = b->model;
    s->law = b->law;
    s->contact = b->contact;
    unsigned char *at = s->buffer;
    at += (64 - (uintptr_t)at % 64) % 64;
#define PLACE_state(field, count)                                                                  \
    s->field = (float *)(void *)at;                                                                \
    at += BYTES_state(count);
#define PLACE_model(field, count)               PLACE_state(field, count)
#define PLACE_stage(field, count)               PLACE_state(field, count)
#define PLACE_totals(field, count)              s->field = b->field;
#define PLACE(field, count, unit, owner, about) PLACE_##owner(field, n.count *lanes)
    MBL_BLOCK_FIELDS(PLACE)
#undef PLACE
    *out = s;
    return MBL_OK;
}

void mbl_single_free(mbl_single *s)
{
    if (s == NULL)
        return;
    mbl_free(s->alloc, s->buffer, 1, s->bytes);
    mbl_free(s->alloc, s, 1, sizeof *s);
}

static void narrow(const double *from, float *to, size_t n)
{
    for (size_t i = 0; i < n; i++)
        to[i] = (float)from[i];
}

static void widen(const float *from, double *to, size_t n)
{
    for (size_t i = 0; i < n; i++)
        to[i] = (double)from[i];
}

#define ENTER_state(field, count) narrow(b->field, s->field, count);
#define ENTER_model(field, count) ENTER_state(field, count)
#define ENTER_stage(field, count)
#define ENTER_totals(field, count)

void mbl_single_enter(mbl_block *b)
{
    mbl_single *s = b->single;
    mbl_counts n = mbl_counts_of(b->model[0]);
    size_t lanes = (size_t)b->lanes;
    s->pressure_matters = b->pressure_matters;
    s->speed_matters = b->speed_matters;
    s->plain = b->plain;
#define ENTER(field, count, unit, owner, about) ENTER_##owner(field, n.count *lanes)
    MBL_BLOCK_FIELDS(ENTER)
#undef ENTER
}

#define LEAVE_state(field, count) widen(s->field, b->field, count);
#define LEAVE_model(field, count)
#define LEAVE_stage(field, count)
#define LEAVE_totals(field, count)

void mbl_single_leave(mbl_block *b)
{
    const mbl_single *s = b->single;
    mbl_counts n = mbl_counts_of(b->model[0]);
    size_t lanes = (size_t)b->lanes;
#define LEAVE(field, count, unit, owner, about) LEAVE_##owner(field, n.count *lanes)
    MBL_BLOCK_FIELDS(LEAVE)
#undef LEAVE
}
