/* SPDX-License-Identifier: MIT */
/* How values are quoted in the messages of `parts`. Private to this layer. */
#ifndef MBL_PARTS_SAY_H
#define MBL_PARTS_SAY_H

#include <stdbool.h>
#include <stddef.h>

enum { MBL_SAY = 64 };

/* The text in double quotes, long ones cut short, anything unprintable as a question mark. */
void mbl_say_text(const char *text, char out[MBL_SAY]);

/* The number as a person writes it: whole numbers without exponent, else the shortest text. */
void mbl_say_number(double number, char out[32]);

/* "a" or "an", for the word that follows. */
const char *mbl_say_a(const char *word);

/* Valid UTF-8 without control characters? A zero byte is one. */
bool mbl_say_clean(const char *bytes, size_t n);

#endif
