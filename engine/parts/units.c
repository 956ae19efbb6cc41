/* SPDX-License-Identifier: MIT */
#include "parts/units.h"

#include "parts/say.h"
#include "parts/units_table.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST = 64 }; /* no value with its unit needs more */

const char *mbl_quantity_word(mbl_quantity quantity)
{
    switch (quantity) {
#define WORD_CASE(name, word, si)                                                                  \
    case MBL_Q_##name:                                                                             \
        return word;
        MBL_QUANTITY_LIST(WORD_CASE)
#undef WORD_CASE
    }
    return "quantity";
}

const char *mbl_quantity_si(mbl_quantity quantity)
{
    switch (quantity) {
#define SI_CASE(name, word, si)                                                                    \
    case MBL_Q_##name:                                                                             \
        return si;
        MBL_QUANTITY_LIST(SI_CASE)
#undef SI_CASE
    }
    return "";
}

const char *mbl_quantity_example(mbl_quantity quantity)
{
    static const char *const examples[] = {
        [MBL_Q_SHARE] = "0.3 or \"30 %\"",
        [MBL_Q_COUNT] = "4",
        [MBL_Q_LENGTH] = "\"350 mm\"",
        [MBL_Q_AREA] = "\"62 cm2\"",
        [MBL_Q_VOLUME] = "\"150 ml\"",
        [MBL_Q_MASS] = "\"7.9 kg\"",
        [MBL_Q_TIME] = "\"10 min\"",
        [MBL_Q_SPEED] = "\"180 km/h\"",
        [MBL_Q_ACCELERATION] = "\"0.9 g\"",
        [MBL_Q_FORCE] = "\"700 N\"",
        [MBL_Q_PRESSURE] = "\"80 bar\"",
        [MBL_Q_POWER] = "\"260 kW\"",
        [MBL_Q_LEVEL] = "\"300 C\"",
        [MBL_Q_RISE] = "\"30 K\"",
        [MBL_Q_DENSITY] = "\"7200 kg/m3\"",
        [MBL_Q_CONDUCTIVITY] = "\"50 W/mK\"",
        [MBL_Q_SPECIFIC_HEAT] = "\"500 J/kgK\"",
        [MBL_Q_FILM] = "\"60 W/m2K\"",
        [MBL_Q_CONDUCTANCE] = "\"5 W/K\"",
        [MBL_Q_CAPACITY] = "\"900 J/K\"",
        [MBL_Q_ENERGY] = "\"1.2 MJ\"",
        [MBL_Q_ANGLE] = "\"90 deg\"",
    };
    size_t q = (size_t)quantity;
    bool known = q < sizeof examples / sizeof examples[0] && examples[q] != NULL;
    return known ? examples[q] : "1";
}

/* Text taken apart: digits are text[from..end), the unit is the rest after blanks. */
typedef struct reading {
    char text[LONGEST];
    double number;
    size_t end;
    const char *unit; /* "" when there is none */
} reading;

static bool is_digit(char c)
{
    return isdigit((unsigned char)c) != 0;
}

static size_t skip_digits(const char *s, size_t i)
{
    while (is_digit(s[i]))
        i++;
    return i;
}

/* The end of a run of digits and points, with an exponent when one is written out. */
static size_t skip_decimal(const char *s, size_t i)
{
    while (is_digit(s[i]) || s[i] == '.')
        i++;
    if (s[i] == 'e' || s[i] == 'E') {
        size_t figures = s[i + 1] == '+' || s[i + 1] == '-' ? i + 2 : i + 1;
        if (is_digit(s[figures]))
            i = skip_digits(s, figures);
    }
    return i;
}

/* Reads n/d at s[i]; false when it is not one. A zero divisor gives infinity. */
static bool read_fraction(const char *s, size_t i, double *value, size_t *end)
{
    size_t bar = skip_digits(s, i);
    if (bar == i || s[bar] != '/' || !is_digit(s[bar + 1]))
        return false;
    double over = 0.0;
    double under = 0.0;
    *end = skip_digits(s, bar + 1);
    if (!mbl_number_read(s + i, bar - i, &over) ||
        !mbl_number_read(s + bar + 1, *end - bar - 1, &under))
        return false;
    *value = under > 0.0 ? over / under : INFINITY;
    return true;
}

/* Reads the number at the start of r->text without its sign. */
static mbl_status read_size(reading *r, size_t from, const char *said, mbl_error *err)
{
    const char *s = r->text;
    r->end = skip_decimal(s, from);
    double part = 0.0;
    if (read_fraction(s, from, &r->number, &r->end)) {
        /* 3/4 */
    } else if (mbl_number_read(s + from, r->end - from, &r->number)) {
        /* 1 3/4 */
        size_t next = r->end;
        while (s[next] == ' ')
            next++;
        bool whole = skip_digits(s, from) == r->end;
        if (whole && next > r->end && read_fraction(s, next, &part, &r->end))
            r->number += part;
    } else {
        return mbl_fail(err, MBL_INPUT, "%s: \"%.*s\" is not a number that can be read", said,
                        (int)(r->end - from), s + from);
    }
    if (!isfinite(r->number))
        return mbl_fail(err, MBL_INPUT, "%s: the fraction divides by zero", said);
    return MBL_OK;
}

static mbl_status refuse_comma(const reading *r, const char *said, mbl_error *err)
{
    char point[LONGEST];
    char none[LONGEST];
    snprintf(point, sizeof point, "%s", r->text);
    snprintf(none, sizeof none, "%.*s%s", (int)r->end, r->text, r->text + r->end + 1);
    point[r->end] = '.';
    return mbl_fail(err, MBL_INPUT,
                    "%s: a comma in a number is not read; write \"%s\" with a decimal point, or "
                    "\"%s\" without a thousands mark",
                    said, point, none);
}

/* Takes text apart into number and unit; the unit is not looked at. */
static mbl_status take_apart(mbl_quantity quantity, const char *text, reading *r, mbl_error *err)
{
    const char *word = mbl_quantity_word(quantity);
    char said[MBL_SAY];
    mbl_say_text(text, said);
    if (!mbl_unit_clean(text, r->text, sizeof r->text))
        return mbl_fail(err, MBL_INPUT, "%s is too long; expected %s %s such as %s", said,
                        mbl_say_a(word), word, mbl_quantity_example(quantity));
    const char *s = r->text;
    size_t from = s[0] == '-' || s[0] == '+' ? 1 : 0;
    if (!is_digit(s[from]) && !(s[from] == '.' && is_digit(s[from + 1])))
        return mbl_fail(err, MBL_INPUT,
                        "%s does not start with a number; expected %s %s such as %s", said,
                        mbl_say_a(word), word, mbl_quantity_example(quantity));
    MBL_TRY(read_size(r, from, said, err));
    if (s[0] == '-')
        r->number = -r->number;
    if (s[r->end] == ',' && is_digit(s[r->end + 1]))
        return refuse_comma(r, said, err);
    r->unit = s + r->end;
    while (*r->unit == ' ')
        r->unit++;
    if (is_digit(*r->unit))
        return mbl_fail(err, MBL_INPUT, "%s has two numbers; expected one %s such as %s", said,
                        word, mbl_quantity_example(quantity));
    return MBL_OK;
}

static bool same_but_case(const char *a, const char *b)
{
    while (*a != '\0' && tolower((unsigned char)*a) == tolower((unsigned char)*b)) {
        a++;
        b++;
    }
    return *a == *b;
}

/* Words people write where the nearest spelling would be a different unit, or none. */
static const char *const HABITS[][2] = {
    {"kph", "km/h"}, {"kmh", "km/h"}, {"kts", "kn"},    {"sec", "s"},    {"hr", "h"},
    {"lbs", "lb"},   {"inch", "in"},  {"inches", "in"}, {"\"", "in"},    {"feet", "ft"},
    {"cc", "cm3"},   {"litre", "l"},  {"litres", "l"},  {"mins", "min"},
};

/*
 * The unit meant by a misspelt one, or NULL. Units are so short that one letter off is common to
 * many: the same letters in another case win, then the same length, then the same first letter.
 */
static const char *nearest_unit(mbl_quantity quantity, const char *name)
{
    for (size_t i = 0; i < sizeof HABITS / sizeof HABITS[0]; i++) {
        if (same_but_case(HABITS[i][0], name) && mbl_unit_find(quantity, HABITS[i][1]) != NULL)
            return HABITS[i][1];
    }
    const char *best = NULL;
    size_t best_score = (strlen(name) / 3 + 1) * 4 + 3;
    for (size_t i = 0; i < mbl_unit_count; i++) {
        const mbl_unit *unit = &mbl_unit_table[i];
        if (unit->quantity != quantity || unit->name[0] == '\0')
            continue;
        if (same_but_case(unit->name, name))
            return unit->name;
        size_t off = mbl_distance(name, unit->name);
        if (off > LONGEST || off >= strlen(name))
            continue;
        size_t score = off * 4 + (strlen(unit->name) != strlen(name) ? 2 : 0) +
                       (unit->name[0] != name[0] ? 1 : 0);
        if (score < best_score || (score == best_score && best == NULL)) {
            best_score = score;
            best = unit->name;
        }
    }
    return best;
}

static mbl_status refuse_unit(mbl_quantity quantity, const char *text, const char *name,
                              mbl_error *err)
{
    char said[MBL_SAY];
    char said_unit[MBL_SAY];
    const char *word = mbl_quantity_word(quantity);
    mbl_say_text(text, said);
    mbl_say_text(name, said_unit);
    char known[160] = "";
    size_t n = 0;
    const mbl_unit *elsewhere = NULL;
    for (size_t i = 0; i < mbl_unit_count; i++) {
        const mbl_unit *unit = &mbl_unit_table[i];
        if (elsewhere == NULL && strcmp(unit->name, name) == 0)
            elsewhere = unit;
        if (unit->quantity != quantity || unit->name[0] == '\0')
            continue;
        int w = snprintf(known + n, sizeof known - n, "%s%s", n > 0 ? ", " : "", unit->name);
        n += w > 0 && (size_t)w < sizeof known - n ? (size_t)w : 0;
    }
    if (n == 0)
        return mbl_fail(err, MBL_INPUT, "%s: the unit %s does not belong here; %s %s has none",
                        said, said_unit, mbl_say_a(word), word);
    if (elsewhere != NULL)
        return mbl_fail(err, MBL_INPUT, "%s: %s is a unit of %s; %s %s takes %s", said, said_unit,
                        mbl_quantity_word(elsewhere->quantity), mbl_say_a(word), word, known);
    const char *meant = nearest_unit(quantity, name);
    return mbl_fail(err, MBL_INPUT, "%s: the unit %s is not one of %s%s%s%s", said, said_unit,
                    known, meant != NULL ? "; did you mean \"" : "", meant != NULL ? meant : "",
                    meant != NULL ? "\"?" : "");
}

mbl_status mbl_units_read(mbl_quantity quantity, const char *text, double *si, mbl_error *err)
{
    reading r;
    MBL_TRY(take_apart(quantity, text, &r, err));
    double value = 0.0;
    if (r.unit[0] == '\0') {
        value = mbl_units_bare(quantity, r.number);
    } else {
        const mbl_unit *unit = mbl_unit_find(quantity, r.unit);
        if (unit == NULL)
            return refuse_unit(quantity, text, r.unit, err);
        value = mbl_unit_apply(unit, r.number);
    }
    if (!isfinite(value)) {
        char said[MBL_SAY];
        mbl_say_text(text, said);
        return mbl_fail(err, MBL_INPUT, "%s is too large a number", said);
    }
    *si = value;
    return MBL_OK;
}

double mbl_units_bare(mbl_quantity quantity, double number)
{
    const mbl_unit *unit = quantity == MBL_Q_LEVEL || quantity == MBL_Q_ANGLE
                               ? mbl_unit_find(quantity, mbl_quantity_si(quantity))
                               : NULL;
    return unit != NULL ? mbl_unit_apply(unit, number) : number;
}

void mbl_units_show(mbl_quantity quantity, double si, char out[48])
{
    double number = quantity == MBL_Q_LEVEL   ? si - 273.15
                    : quantity == MBL_Q_ANGLE ? si / mbl_units_bare(quantity, 1)
                                              : si;
    /* six figures: what is left of a conversion's rounding is nobody's number */
    char rounded[32];
    snprintf(rounded, sizeof rounded, "%.6g", number);
    char digits[32];
    mbl_say_number(strtod(rounded, NULL), digits);
    const char *unit = quantity == MBL_Q_SHARE ? "" : mbl_quantity_si(quantity);
    snprintf(out, 48, "%s%s%s", digits, unit[0] != '\0' ? " " : "", unit);
}

/* The first unit other than `have` that brings the number into the range, or NULL. */
static const mbl_unit *other_unit(mbl_quantity quantity, double number, const mbl_unit *have,
                                  double lo, double hi)
{
    for (size_t i = 0; i < mbl_unit_count; i++) {
        const mbl_unit *unit = &mbl_unit_table[i];
        double si = mbl_unit_apply(unit, number);
        if (unit->quantity == quantity && unit != have && si >= lo && si <= hi)
            return unit;
    }
    return NULL;
}

/* The unit a bare number has; NULL for a count. */
static const mbl_unit *bare_unit(mbl_quantity quantity)
{
    return mbl_unit_find(quantity, quantity == MBL_Q_SHARE ? "" : mbl_quantity_si(quantity));
}

static bool write_slip(const char *digits, size_t n, const mbl_unit *unit, char out[48])
{
    if (unit == NULL)
        return false;
    int w = snprintf(NULL, 0, "%.*s %s", (int)n, digits, unit->name);
    if (w < 0 || w >= 48)
        return false;
    snprintf(out, 48, "%.*s%s%s", (int)n, digits, unit->name[0] != '\0' ? " " : "", unit->name);
    return true;
}

bool mbl_units_slip(mbl_quantity quantity, double number, double lo, double hi, char out[48])
{
    double si = mbl_units_bare(quantity, number);
    if (!isfinite(number) || (si >= lo && si <= hi))
        return false;
    char digits[32];
    mbl_say_number(number, digits);
    return write_slip(digits, strlen(digits),
                      other_unit(quantity, number, bare_unit(quantity), lo, hi), out);
}

bool mbl_units_slip_text(mbl_quantity quantity, const char *text, double lo, double hi,
                         char out[48])
{
    reading r;
    if (take_apart(quantity, text, &r, NULL) != MBL_OK)
        return false;
    const mbl_unit *have =
        r.unit[0] == '\0' ? bare_unit(quantity) : mbl_unit_find(quantity, r.unit);
    if (have == NULL)
        return false;
    double si = mbl_unit_apply(have, r.number);
    if (si >= lo && si <= hi)
        return false;
    return write_slip(r.text, r.end, other_unit(quantity, r.number, have, lo, hi), out);
}

bool mbl_units_find(mbl_quantity quantity, const char *unit, double *scale, double *offset)
{
    char clean[LONGEST];
    if (!mbl_unit_clean(unit, clean, sizeof clean) || clean[0] == '\0')
        return false;
    const mbl_unit *found = mbl_unit_find(quantity, clean);
    if (found == NULL)
        return false;
    *scale = found->num / found->den;
    *offset = found->shift * found->num / found->den;
    return true;
}
