/* SPDX-License-Identifier: MIT */
#include "road/header.h"
#include "road/names.h"

#include <string.h>

/* Units of one letter or of common words are none at the end of a name without brackets. */
static bool ends_in_unit(const char *unit)
{
    static const char *const words[] = {"in", "min", "mins",    "minutes", "h",
                                        "k",  "dd",  "decimal", "'"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (mbl_names_alike(unit, words[i]))
            return false;
    return mbl_names_is_unit(unit) || strcmp(unit, "%") == 0;
}

/* speedKmh: no gap, but the letters are no end of a word. */
static size_t glued_unit(const char *text, size_t n)
{
    static const char *const units[] = {"kmh", "kph", "mph"};
    char end[4];
    if (n < 5)
        return 0;
    memcpy(end, text + n - 3, 3);
    end[3] = '\0';
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (mbl_names_alike(end, units[i]))
            return 3;
    return 0;
}

static size_t without_quotes(const char **text, size_t n)
{
    if (n >= 2 && (*text)[0] == '"' && (*text)[n - 1] == '"') {
        ++*text;
        n -= 2;
    }
    return n;
}

/* name|unit|..., each in quotes or not */
static bool split_bars(const char *text, size_t n, mbl_header_name *out)
{
    const char *bar = memchr(text, '|', n);
    if (bar == NULL)
        return false;
    const char *name = text;
    const char *unit = bar + 1;
    size_t left = n - (size_t)(unit - text);
    const char *next = memchr(unit, '|', left);
    size_t unit_n = next != NULL ? (size_t)(next - unit) : left;
    size_t name_n = without_quotes(&name, (size_t)(bar - text));
    unit_n = without_quotes(&unit, unit_n);
    mbl_names_show(out->name, sizeof out->name, name, name_n);
    mbl_names_show(out->unit, sizeof out->unit, unit, unit_n);
    return true;
}

void mbl_header_split(const char *text, size_t n, mbl_header_name *out)
{
    out->alias[0] = '\0';
    out->unit[0] = '\0';
    if (split_bars(text, n, out))
        return;
    mbl_names_show(out->name, sizeof out->name, text, n);
    if (n > 2 && (text[n - 1] == ']' || text[n - 1] == ')')) {
        char open = text[n - 1] == ']' ? '[' : '(';
        size_t i = n - 1;
        while (i > 0 && text[i] != open)
            i--;
        if (i > 0) {
            mbl_names_show(out->name, sizeof out->name, text, i);
            mbl_names_show(out->unit, sizeof out->unit, text + i + 1, n - i - 2);
        }
        return;
    }
    size_t cut = n;
    while (cut > 0 && text[cut - 1] != ' ' && text[cut - 1] != '_')
        cut--;
    size_t glued = glued_unit(text, n);
    if (cut < 2 && glued == 0)
        return;
    if (cut < 2)
        cut = n - glued;
    else
        glued = 0;
    char unit[16];
    if (n - cut >= sizeof unit)
        return;
    mbl_names_show(unit, sizeof unit, text + cut, n - cut);
    if (ends_in_unit(unit)) {
        mbl_names_show(out->name, sizeof out->name, text, glued > 0 ? cut : cut - 1);
        memcpy(out->unit, unit, sizeof unit);
    }
}
