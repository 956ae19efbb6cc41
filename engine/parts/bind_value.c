/* SPDX-License-Identifier: MIT */
#include "parts/bind.h"

#include "parts/say.h"

#include <limits.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

mbl_status mbl_bind_memory(mbl_error *err)
{
    return mbl_fail(err, MBL_MEMORY, "out of memory checking the input");
}

size_t mbl_field_most(const mbl_field *field)
{
    size_t room = field->kind == MBL_FIELD_NUMBERS ? (size_t)MBL_NUMBERS_MAX
                  : field->kind == MBL_FIELD_CURVE ? (size_t)MBL_CURVE_MAX
                                                   : (size_t)MBL_ITEMS_MAX;
    /* the structs of these are the field's own, and as long as it says */
    bool own = field->kind == MBL_FIELD_NUMBERS || field->kind == MBL_FIELD_ITEMS;
    return field->most > 0 && (own || field->most < room) ? field->most : room;
}

size_t mbl_field_room(const mbl_field *field)
{
    return field->most > 0 ? field->most : (size_t)MBL_TEXT_FIELD;
}

bool mbl_field_ranged(const mbl_field *field)
{
    return field->lo < 0.0 || field->lo > 0.0 || field->hi < 0.0 || field->hi > 0.0;
}

/* What a node is, in the words of its author. */
static void found(const mbl_node *raw, char out[MBL_SAY + 16])
{
    char said[MBL_SAY];
    const char *what = "a table of keys";
    switch (raw->kind) {
    case MBL_NODE_TEXT:
        mbl_say_text(raw->text, said);
        snprintf(out, MBL_SAY + 16, "the text %s", said);
        return;
    case MBL_NODE_NUMBER:
        mbl_say_number(raw->number, said);
        snprintf(out, MBL_SAY + 16, "the number %s", said);
        return;
    case MBL_NODE_LIST:
        what = raw->count == 0 ? "an empty list" : "a list";
        break;
    case MBL_NODE_MAP:
        if (raw->bound != NULL) {
            snprintf(out, MBL_SAY + 16, "%s %.48s", mbl_say_a(raw->bound->name), raw->bound->name);
            return;
        }
        if (raw->count == 0)
            what = "an empty table";
        else if (raw->positional != NULL)
            what = "a table that mixes keys and values without a key";
        break;
    case MBL_NODE_HANDLE:
        if (mbl_node_is_none(raw)) {
            what = "none, which only removes a key";
            break;
        }
        snprintf(out, MBL_SAY + 16, "%s %.48s", mbl_say_a(raw->text), raw->text);
        return;
    }
    snprintf(out, MBL_SAY + 16, "%s", what);
}

mbl_status mbl_bind_wrong(mbl_error *err, const mbl_node *raw, const char *format, ...)
{
    char expected[320];
    va_list args;
    va_start(args, format);
    vsnprintf(expected, sizeof expected, format, args);
    va_end(args);
    char have[MBL_SAY + 16];
    found(raw, have);
    return mbl_fail(err, MBL_INPUT, "expected %s, found %s", expected, have);
}

/* The value as its author gave it, with its meaning where the text alone does not show it. */
static void say_value(mbl_quantity quantity, const mbl_node *raw, double si, char out[128])
{
    char shown[48];
    char said[MBL_SAY];
    mbl_units_show(quantity, si, shown);
    if (raw->kind == MBL_NODE_TEXT) {
        mbl_say_text(raw->text, said);
        if (strcmp(raw->text, shown) == 0)
            snprintf(out, 128, "%s", shown);
        else
            snprintf(out, 128, "%s (%s)", said, shown);
    } else if (raw->si) {
        snprintf(out, 128, "%s", shown);
    } else {
        const char *unit = quantity == MBL_Q_SHARE ? "" : mbl_quantity_si(quantity);
        mbl_say_number(raw->number, said);
        snprintf(out, 128, "%s%s%s", said, unit[0] != '\0' ? " " : "", unit);
    }
}

static mbl_status refuse_range(const mbl_field *field, mbl_quantity quantity, const mbl_node *raw,
                               double si, mbl_error *err)
{
    char value[128];
    char lo[48];
    char hi[48];
    char slip[48];
    say_value(quantity, raw, si, value);
    mbl_units_show(quantity, field->lo, lo);
    mbl_units_show(quantity, field->hi, hi);
    bool likely =
        raw->kind == MBL_NODE_TEXT
            ? mbl_units_slip_text(quantity, raw->text, field->lo, field->hi, slip)
            : !raw->si && mbl_units_slip(quantity, raw->number, field->lo, field->hi, slip);
    const char *before = likely ? "; did you mean \"" : "";
    const char *after = likely ? "\"?" : "";
    if (!likely)
        slip[0] = '\0';
    if (isinf(field->hi))
        return mbl_fail(err, MBL_INPUT, "%s is below %s%s%s%s", value, lo, before, slip, after);
    if (isinf(field->lo))
        return mbl_fail(err, MBL_INPUT, "%s is above %s%s%s%s", value, hi, before, slip, after);
    return mbl_fail(err, MBL_INPUT, "%s is outside %s to %s%s%s%s", value, lo, hi, before, slip,
                    after);
}

/*
 * A value off a limit by no more than rounding is taken for the limit: 212 F is to be as good as
 * 100 C. 1e-12 is far above the rounding of a conversion and far below any digit people write.
 */
static void snap(double limit, double *si)
{
    if (isfinite(limit) && fabs(*si - limit) <= 1e-12 * fabs(limit))
        *si = limit;
}

mbl_status mbl_bind_read(const mbl_field *field, mbl_quantity quantity, bool ranged,
                         const mbl_node *raw, double *si, mbl_error *err)
{
    double value = 0.0;
    if (raw->kind == MBL_NODE_TEXT && strlen(raw->text) == raw->count) {
        MBL_TRY(mbl_units_read(quantity, raw->text, &value, err));
    } else if (raw->kind == MBL_NODE_NUMBER) {
        value = raw->si ? raw->number : mbl_units_bare(quantity, raw->number);
    } else {
        const char *word = mbl_quantity_word(quantity);
        return mbl_bind_wrong(err, raw, "%s %s such as %s", mbl_say_a(word), word,
                              mbl_quantity_example(quantity));
    }
    if (!isfinite(value))
        return mbl_fail(err, MBL_INPUT, "%s is refused; expected a finite %s such as %s",
                        isnan(value) ? "NaN (not a number)" : "an infinite number",
                        mbl_quantity_word(quantity), mbl_quantity_example(quantity));
    if (quantity == MBL_Q_LEVEL && value < 0.0) {
        char said[128];
        say_value(quantity, raw, value, said);
        return mbl_fail(err, MBL_INPUT, "%s is below absolute zero", said);
    }
    if (ranged && mbl_field_ranged(field)) {
        snap(field->lo, &value);
        snap(field->hi, &value);
        if (value < field->lo || value > field->hi)
            return refuse_range(field, quantity, raw, value, err);
    }
    *si = value;
    return MBL_OK;
}

mbl_status mbl_bind_keep(const mbl_node *raw, double si, mbl_node **bound, mbl_error *err)
{
    if (raw->kind == MBL_NODE_NUMBER && raw->si) {
        *bound = mbl_node_keep((mbl_node *)raw);
        return MBL_OK;
    }
    mbl_node *node = mbl_node_number(raw->alloc, si);
    if (node == NULL)
        return mbl_bind_memory(err);
    node->si = true;
    node->line = raw->line;
    node->column = raw->column;
    *bound = node;
    return MBL_OK;
}

static mbl_status bind_number(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                              mbl_error *err)
{
    double si = 0.0;
    mbl_quantity quantity = field->kind == MBL_FIELD_COUNT ? MBL_Q_COUNT : field->quantity;
    MBL_TRY(mbl_bind_read(field, quantity, true, raw, &si, err));
    if (field->kind == MBL_FIELD_COUNT) {
        char said[32];
        mbl_say_number(si, said);
        if (si != floor(si))
            return mbl_fail(err, MBL_INPUT, "%s is not a whole number", said);
        if (fabs(si) > INT_MAX)
            return mbl_fail(err, MBL_INPUT, "%s is too large for a count", said);
    }
    return mbl_bind_keep(raw, si, bound, err);
}

static mbl_status bind_flag(const mbl_node *raw, mbl_node **bound, mbl_error *err)
{
    if (raw->kind != MBL_NODE_TEXT ||
        (strcmp(raw->text, "true") != 0 && strcmp(raw->text, "false") != 0))
        return mbl_bind_wrong(err, raw, "true or false");
    *bound = mbl_node_keep((mbl_node *)raw);
    return MBL_OK;
}

static mbl_status bind_choice(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                              mbl_error *err)
{
    char known[256] = "";
    size_t n = 0;
    size_t used = 0;
    for (; field->choices[n] != NULL; n++) {
        if (raw->kind == MBL_NODE_TEXT && strcmp(raw->text, field->choices[n]) == 0) {
            *bound = mbl_node_keep((mbl_node *)raw);
            return MBL_OK;
        }
        int w = snprintf(known + used, sizeof known - used, "%s\"%s\"", n > 0 ? ", " : "",
                         field->choices[n]);
        used += w > 0 && (size_t)w < sizeof known - used ? (size_t)w : 0;
    }
    if (raw->kind != MBL_NODE_TEXT)
        return mbl_bind_wrong(err, raw, "one of %s", known);
    char said[MBL_SAY];
    mbl_say_text(raw->text, said);
    const char *meant = mbl_nearest(raw->text, field->choices, n);
    return mbl_fail(err, MBL_INPUT, "%s is not one of %s%s%s%s", said, known,
                    meant != NULL ? "; did you mean \"" : "", meant != NULL ? meant : "",
                    meant != NULL ? "\"?" : "");
}

static mbl_status bind_text(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                            mbl_error *err)
{
    size_t room = mbl_field_room(field);
    if (raw->kind != MBL_NODE_TEXT)
        return mbl_bind_wrong(err, raw, "text in quotes");
    if (raw->count >= room)
        return mbl_fail(err, MBL_INPUT, "text of %zu bytes; the most that is read is %zu",
                        raw->count, room - 1);
    if (!mbl_say_clean(raw->text, raw->count)) {
        char said[MBL_SAY];
        mbl_say_text(raw->text, said);
        return mbl_fail(err, MBL_INPUT, "%s holds control characters or is not UTF-8", said);
    }
    *bound = mbl_node_keep((mbl_node *)raw);
    return MBL_OK;
}

mbl_status mbl_bind_value(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                          mbl_error *err)
{
    switch (field->kind) {
    case MBL_FIELD_NUMBER:
    case MBL_FIELD_COUNT:
        return bind_number(field, raw, bound, err);
    case MBL_FIELD_FLAG:
        return bind_flag(raw, bound, err);
    case MBL_FIELD_CHOICE:
        return bind_choice(field, raw, bound, err);
    case MBL_FIELD_TEXT:
        return bind_text(field, raw, bound, err);
    case MBL_FIELD_NUMBERS:
        return mbl_bind_numbers(field, raw, bound, err);
    case MBL_FIELD_CURVE:
        return mbl_bind_curve(field, raw, bound, err);
    case MBL_FIELD_FILM:
        return mbl_bind_film(field, raw, bound, err);
    case MBL_FIELD_GROUP:
    case MBL_FIELD_PART:
    case MBL_FIELD_ITEMS:
    case MBL_FIELD_HANDLE:
    case MBL_FIELD_LATER:
        break;
    }
    return mbl_fail(err, MBL_INTERNAL, "a field table has a kind the binder does not know");
}
