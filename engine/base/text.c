/* SPDX-License-Identifier: MIT */
#include "base/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void mbl_text_init(mbl_text *text, const mbl_alloc *alloc)
{
    *text = (mbl_text){.alloc = alloc};
}

void mbl_text_free(mbl_text *text)
{
    mbl_free(text->alloc, text->data, text->capacity, 1);
    mbl_text_init(text, text->alloc);
}

/* Makes room for n more bytes and the terminator. */
static bool reserve(mbl_text *text, size_t n)
{
    if (text->failed)
        return false;
    if (n > SIZE_MAX / 2 - text->length) {
        text->failed = true;
        return false;
    }
    size_t need = text->length + n + 1;
    if (need <= text->capacity)
        return true;
    size_t capacity = text->capacity < 64 ? 64 : text->capacity;
    while (capacity < need)
        capacity *= 2;
    char *data = mbl_resize(text->alloc, text->data, text->capacity, capacity, 1);
    if (data == NULL) {
        text->failed = true;
        return false;
    }
    text->data = data;
    text->capacity = capacity;
    return true;
}

void mbl_text_add(mbl_text *text, const char *bytes, size_t n)
{
    if (!reserve(text, n))
        return;
    memcpy(text->data + text->length, bytes, n);
    text->length += n;
    text->data[text->length] = '\0';
}

void mbl_text_print(mbl_text *text, const char *format, ...)
{
    va_list args;
    va_list again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    if (n < 0)
        text->failed = true;
    else if (reserve(text, (size_t)n)) {
        vsnprintf(text->data + text->length, (size_t)n + 1, format, again);
        text->length += (size_t)n;
    }
    va_end(again);
}

const char *mbl_text_get(const mbl_text *text)
{
    return text->data == NULL ? "" : text->data;
}

static size_t digits(const char *bytes, size_t n, size_t i)
{
    while (i < n && bytes[i] >= '0' && bytes[i] <= '9')
        i++;
    return i;
}

/* Is this exactly [+-] digits [. digits] [e [+-] digits], with at least one digit before e? */
static bool is_decimal(const char *bytes, size_t n)
{
    size_t i = n > 0 && (bytes[0] == '+' || bytes[0] == '-') ? 1 : 0;
    size_t whole = digits(bytes, n, i);
    size_t figures = whole - i;
    i = whole;
    if (i < n && bytes[i] == '.') {
        size_t end = digits(bytes, n, i + 1);
        figures += end - i - 1;
        i = end;
    }
    if (figures == 0)
        return false;
    if (i < n && (bytes[i] == 'e' || bytes[i] == 'E')) {
        i++;
        if (i < n && (bytes[i] == '+' || bytes[i] == '-'))
            i++;
        size_t end = digits(bytes, n, i);
        if (end == i)
            return false;
        i = end;
    }
    return i == n;
}

bool mbl_number_read(const char *bytes, size_t n, double *value)
{
    char copy[64];
    if (n == 0 || n >= sizeof copy || !is_decimal(bytes, n))
        return false;
    memcpy(copy, bytes, n);
    copy[n] = '\0';
    /* the engine never sets a locale, so strtod reads a point as the decimal mark */
    double read = strtod(copy, NULL);
    if (!isfinite(read))
        return false;
    *value = read;
    return true;
}

void mbl_number_write(double value, char out[32])
{
    /* a number that has up to 15 digits comes out with them, without zeros behind them */
    for (int precision = 15; precision <= 17; precision++) {
        snprintf(out, 32, "%.*g", precision, value);
        if (strtod(out, NULL) == value)
            return;
    }
}

size_t mbl_distance(const char *a, const char *b)
{
    enum { LONGEST = 63 };
    size_t na = strlen(a);
    size_t nb = strlen(b);
    if (na > LONGEST || nb > LONGEST)
        return SIZE_MAX;
    /* optimal string alignment: three rows of the table are enough */
    size_t row[3][LONGEST + 1];
    for (size_t j = 0; j <= nb; j++)
        row[0][j] = j;
    for (size_t i = 1; i <= na; i++) {
        size_t *now = row[i % 3];
        const size_t *last = row[(i + 2) % 3];
        const size_t *before = row[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= nb; j++) {
            size_t best = last[j - 1] + (a[i - 1] != b[j - 1]);
            if (last[j] + 1 < best)
                best = last[j] + 1;
            if (now[j - 1] + 1 < best)
                best = now[j - 1] + 1;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] &&
                before[j - 2] + 1 < best)
                best = before[j - 2] + 1;
            now[j] = best;
        }
    }
    return row[na % 3][nb];
}

const char *mbl_nearest(const char *word, const char *const *names, size_t n)
{
    const char *best = NULL;
    size_t best_distance = strlen(word) / 3 + 1;
    for (size_t i = 0; i < n; i++) {
        size_t d = mbl_distance(word, names[i]);
        if (d < best_distance || (d == best_distance && best == NULL)) {
            best_distance = d;
            best = names[i];
        }
    }
    return best;
}
