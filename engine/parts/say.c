/* SPDX-License-Identifier: MIT */
#include "parts/say.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The length of the well-formed sequence at p, or 0: Unicode Standard, table 3-7. */
static size_t sequence(const unsigned char *p, size_t n)
{
    if (p[0] < 0x80)
        return 1;
    size_t length = p[0] >= 0xF0 ? 4 : p[0] >= 0xE0 ? 3 : 2;
    if (p[0] < 0xC2 || p[0] > 0xF4 || length > n)
        return 0;
    for (size_t i = 1; i < length; i++) {
        if ((p[i] & 0xC0) != 0x80)
            return 0;
    }
    /* overlong forms, surrogates, and what lies above U+10FFFF */
    if ((p[0] == 0xE0 && p[1] < 0xA0) || (p[0] == 0xED && p[1] > 0x9F) ||
        (p[0] == 0xF0 && p[1] < 0x90) || (p[0] == 0xF4 && p[1] > 0x8F))
        return 0;
    return length;
}

static bool is_control(const unsigned char *p, size_t length)
{
    return (length == 1 && (p[0] < 0x20 || p[0] == 0x7F)) ||
           (length == 2 && p[0] == 0xC2 && p[1] < 0xA0);
}

bool mbl_say_clean(const char *bytes, size_t n)
{
    const unsigned char *p = (const unsigned char *)bytes;
    size_t i = 0;
    while (i < n) {
        size_t length = sequence(p + i, n - i);
        if (length == 0 || is_control(p + i, length))
            return false;
        i += length;
    }
    return true;
}

void mbl_say_text(const char *text, char out[MBL_SAY])
{
    enum { LONGEST = MBL_SAY - 6 }; /* two quotes, three dots, the end */
    const unsigned char *p = (const unsigned char *)text;
    size_t n = strlen(text);
    size_t o = 0;
    out[o++] = '"';
    size_t i = 0;
    while (i < n) {
        size_t length = sequence(p + i, n - i);
        bool good = length > 0 && !is_control(p + i, length);
        size_t wide = good ? length : 1;
        if (o - 1 + wide > LONGEST)
            break;
        if (good)
            memcpy(out + o, p + i, length);
        else
            out[o] = '?';
        o += wide;
        i += length > 0 ? length : 1;
    }
    snprintf(out + o, MBL_SAY - o, "%s", i < n ? "...\"" : "\"");
}

void mbl_say_number(double number, char out[32])
{
    /* 1e15: below it every whole number is exact and still short enough to read */
    if (fabs(number) < 1e15 && number == floor(number))
        snprintf(out, 32, "%.0f", number + 0.0);
    else
        mbl_number_write(number, out);
}

const char *mbl_say_a(const char *word)
{
    return word[0] != '\0' && strchr("aeiouAEIOU", word[0]) != NULL ? "an" : "a";
}
