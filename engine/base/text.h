/* SPDX-License-Identifier: MIT */
/* Growable text, strict numbers, and the nearest known name to a misspelt one. */
#ifndef MBL_BASE_TEXT_H
#define MBL_BASE_TEXT_H

#include "base/alloc.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Text that grows. A failed allocation sets `failed` and later appends do nothing. */
typedef struct mbl_text {
    const mbl_alloc *alloc;
    char *data; /* zero-terminated; NULL while empty */
    size_t length;
    size_t capacity;
    bool failed;
} mbl_text;

void mbl_text_init(mbl_text *text, const mbl_alloc *alloc);
void mbl_text_free(mbl_text *text);
void mbl_text_add(mbl_text *text, const char *bytes, size_t n);
void mbl_text_print(mbl_text *text, const char *format, ...) MBL_PRINTF(2, 3);

/* The text so far; "" while empty; never NULL. Valid until the next append. */
const char *mbl_text_get(const mbl_text *text);

/*
 * Reads a plain decimal number (sign, digits, one point, exponent) that fills all n bytes.
 * Hexadecimal, "inf", "nan", blanks and values that overflow are refused.
 */
bool mbl_number_read(const char *bytes, size_t n, double *value);

/*
 * The decimal text of fewest digits that reads back to the same double, "100" and not "1e+02";
 * below 1e-307 of 15 digits or more. out holds at least 32 bytes.
 */
void mbl_number_write(double value, char out[32]);

/*
 * The name in names[0..n) closest to `word`, or NULL when none is close enough to be a slip
 * (more than a third of its letters differ).
 */
const char *mbl_nearest(const char *word, const char *const *names, size_t n);

/* How many letters must be changed, added, dropped or swapped to turn a into b. */
size_t mbl_distance(const char *a, const char *b);

#endif
